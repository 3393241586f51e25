//! Ground that falls away from the head: the total rise depends on where the flight lands, and that
//! on the count.

use super::grade::Grade;
use crate::diagnostics::{Error, ErrorKind, Figure, Finding, codes};
use crate::job::{Job, MOST_EDGE_OUT_MM, MOST_TOTAL_RISE_MM, RiserChoice};
use crate::profile::Measure;
use crate::stair::{Counts, Flight, MOST_RISE_MM, NoCount, Reason};
use crate::units::{Length, trimmed};

/// The ground as measured from the head.
///
/// The run from the head to the landing is R(n) = X(n) + s + p - e: plumb cut, spacer and riser
/// board, less how far the plumb line hung out from the rim. The total rise is H(n) = H0 + fall *
/// R(n), and R is linear in the count n, so nothing is iterated. The landing is taken level with
/// the ground at the face of the first riser. Formulas: geometry.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FallingGround {
    at_head: Length,
    grade: Grade,
    edge_out: Length,
}

/// One count and where it lands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Landing {
    /// Number of risers.
    pub risers: usize,
    /// Level from the rim's face at the head out to the face of the first riser: where to measure
    /// again.
    pub out_from_head: Length,
    /// The same from the plumb line, where that hung out from the rim.
    pub out_from_line: Length,
    /// Total rise there, finished to finished: the expected reading.
    pub total_rise: Length,
    /// The same down to what the stringer will stand on, where finish is still to come.
    pub rise_to_bare: Length,
    /// Total rise over risers.
    pub unit_rise: Length,
    /// Whether the rule set allows its unit rise and its total rise.
    pub allowed: bool,
}

/// Where a flight lands, with every other count.
#[derive(Clone, Debug, PartialEq)]
pub struct Landed {
    /// The landing of the chosen count.
    pub landing: Landing,
    /// Why it was chosen.
    pub reason: Reason,
    /// Every count whose unit rise a person could climb, fewest first.
    pub counts: Vec<Landing>,
    /// What is worth saying.
    pub findings: Vec<Finding>,
}

impl FallingGround {
    /// Ground whose rise under the head is `at_head`, plumb, from the finished ground to the
    /// finished upper surface; the plumb line hung `edge_out` from the rim's face (the overhang of
    /// the decking, say).
    ///
    /// # Errors
    /// Where there is no rise, more than 20 m, or the line hung behind the rim or more than 300 mm
    /// out.
    pub fn new(at_head: Length, grade: Grade, edge_out: Length) -> Result<Self, Error> {
        if at_head <= Length::ZERO || at_head > Length::mm(MOST_TOTAL_RISE_MM) {
            return Err(Error::new(
                ErrorKind::Input,
                "the rise measured at the head means nothing",
            )
            .found(at_head.to_string())
            .allowed(format!("more than 0, at most {}", Length::mm(MOST_TOTAL_RISE_MM)))
            .hint("measure at_head again: plumb at the head"));
        }
        if edge_out < Length::ZERO || edge_out > Length::mm(MOST_EDGE_OUT_MM) {
            return Err(Error::new(
                ErrorKind::Input,
                "the plumb line at the head hung in an odd place",
            )
            .found(format!("{edge_out} out from the rim"))
            .allowed(format!("0 to {}", Length::mm(MOST_EDGE_OUT_MM)))
            .hint("measure edge_out again: level, from the rim out to the plumb line"));
        }
        Ok(Self { at_head, grade, edge_out })
    }

    /// The slope.
    pub fn grade(&self) -> Grade {
        self.grade
    }

    /// Level from the plumb line at the head to the face of the first riser. It does not depend on
    /// the rise.
    pub fn run(&self, job: &Job, risers: usize) -> Length {
        Flight::run(job, risers) + job.head.spacer + job.tread.riser_board - self.edge_out
    }

    /// Total rise of a flight of this many risers.
    pub fn rise(&self, job: &Job, risers: usize) -> Length {
        self.at_head + self.grade.drop(self.run(job, risers))
    }

    fn counts<'a>(&self, job: &'a Job) -> Counts<'a, impl Fn(usize) -> Length> {
        let ground = *self;
        Counts::new(job, move |risers| ground.rise(job, risers), self.grade.drop(job.tread.cut))
    }

    /// The landing of this many risers, at least the fewest that the head allows; `None` where the
    /// ground comes up so fast that no rise is left.
    pub fn landing(&self, job: &Job, risers: usize) -> Option<Landing> {
        let total_rise = self.rise(job, risers);
        let landing = Landing {
            risers,
            out_from_head: self.run(job, risers) + self.edge_out,
            out_from_line: self.run(job, risers),
            total_rise,
            rise_to_bare: total_rise + job.rise.finish_to_come - job.foot.stands_on_height(),
            unit_rise: total_rise / risers as f64,
            allowed: self.counts(job).is_allowed(risers),
        };
        (total_rise > Length::ZERO && total_rise <= Length::mm(MOST_TOTAL_RISE_MM))
            .then_some(landing)
    }

    /// Every count whose unit rise a person could climb, fewest first.
    pub fn landings(&self, job: &Job) -> Vec<Landing> {
        self.counts(job)
            .candidates()
            .into_iter()
            .filter_map(|risers| self.landing(job, risers))
            .collect()
    }

    /// The count by the job's own choice (forced, aim or the rule set's comfort), and where it
    /// lands.
    ///
    /// # Errors
    /// Refused where the ground falls as steeply as the steepest stair that is allowed, or as the
    /// job's own aim: no landing is ever reached. A forced count is refused only where it has no
    /// rise at all.
    pub fn choose(&self, job: &Job) -> Result<Landed, Error> {
        counted!("landing");
        let (risers, reason) = self.counts(job).chosen().map_err(|none| match none {
            NoCount::NearTo(aim) => self.no_landing(job, aim),
            NoCount::Allowed => self.none_allowed(job),
        })?;
        let most = steepest_rise(job);
        if self.as_steep_as(job, most) && reason != Reason::Forced {
            return Err(self.no_landing(job, most));
        }
        let landing = self.landing(job, risers).ok_or_else(|| self.no_rise(job, risers))?;
        Ok(Landed {
            landing,
            reason,
            findings: self.findings(job, &landing),
            counts: self.landings(job),
        })
    }

    /// The job with the total rise at this landing and its count forced: from here on as on level
    /// ground.
    pub fn job_at(&self, job: &Job, landing: &Landing) -> Job {
        let mut landed = job.clone();
        landed.rise.total = landing.total_rise;
        landed.rise.risers = RiserChoice::Forced(landing.risers);
        landed
    }

    fn as_steep_as(&self, job: &Job, rise: Length) -> bool {
        self.grade.drop(job.tread.cut) >= rise
    }

    fn no_landing(&self, job: &Job, rise: Length) -> Error {
        let stair = rise.as_mm() / job.tread.cut.as_mm() * 100.0;
        Error::new(ErrorKind::Refused, "no landing point: the ground falls as steeply as the stair")
            .found(format!("ground {}", self.grade))
            .allowed(format!(
                "less than the stair's {} percent: {rise} over {}",
                trimmed(stair, 2),
                job.tread.cut
            ))
            .hint(
                "cut a level landing into the slope and measure to it, shorten the run, or turn \
                the flight",
            )
    }

    fn none_allowed(&self, job: &Job) -> Error {
        let most = steepest_rise(job);
        if self.as_steep_as(job, most) {
            return self.no_landing(job, most);
        }
        Error::new(
            ErrorKind::Refused,
            "no landing point: no count of risers that is allowed is reached",
        )
        .found(format!("ground {}, nearly as steep as the stair", self.grade))
        .allowed(format!("what {} allows of one riser and of the whole flight", job.rules.name))
        .hint(
            "cut a level landing into the slope and measure to it, shorten the run, or turn the \
            flight",
        )
    }

    fn no_rise(&self, job: &Job, risers: usize) -> Error {
        Error::new(
            ErrorKind::Refused,
            "no landing point: no rise that can be built is left where the flight lands",
        )
        .found(format!("{} for {risers} risers", self.rise(job, risers)))
        .allowed(format!("more than 0, at most {}", Length::mm(MOST_TOTAL_RISE_MM)))
        .hint("ask for another count of risers")
    }

    fn findings(&self, job: &Job, landing: &Landing) -> Vec<Finding> {
        let again =
            codes::LandingReading { out: landing.out_from_head, expected: landing.rise_to_bare };
        let fall = self.grade.fall();
        let measured = Figure { value: fall.abs() * 100.0, unit: "%", digits: 2 };
        let rise = steepest_rise(job);
        let steep = || codes::GroundTooSteep { measured, rise, run: job.tread.cut }.at("ground");
        let rises = || codes::GroundRises { measured }.at("ground");
        let mut findings = vec![again.at("landing")];
        findings.extend(self.as_steep_as(job, rise).then(steep));
        findings.extend((fall < 0.0).then(rises));
        findings
    }
}

/// The most unit rise of the rule set, or the most that is worth a line where it has none.
fn steepest_rise(job: &Job) -> Length {
    let limits = job.rules.limits_on(Measure::UnitRise).filter_map(|limit| limit.at_most);
    Length::mm(limits.fold(MOST_RISE_MM, f64::min))
}
