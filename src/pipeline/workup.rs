//! A job taken through every stage up to the plan: what the export and the command work from.

use crate::cam::compensate::{ToolPath, compensate};
use crate::cam::mark::{Marks, marks, stringer_marks};
use crate::cam::plan::{self, Program, Roughing, SetUp, SetUps, plan, plan_marked};
use crate::check::{apply_waivers, behind_relief, check, profile_sense, spaced};
use crate::diagnostics::Error;
use crate::diagnostics::{Code, Finding, Outcome, Warned, codes, gathered};
use crate::geometry::Contour;
use crate::job::{Fingerprint, Job, Makes};
use crate::pipeline::numbers::{Number, numbers};
use crate::pipeline::steps::BesideStringers;
use crate::profile::Machine;
use crate::site::answers::{OnSite, Surroundings};
use crate::stair::outline::{Outline, Role};
use crate::stair::{Flight, Reason};
use crate::units::Length;

/// One riser count and what would be found with it.
#[derive(Clone, Debug)]
pub struct Choice {
    /// The flight with this count.
    pub flight: Flight,
    /// Extent of its stringer along the pitch, where there is one.
    pub blank_length: Option<Length>,
    /// Why it was chosen, if it was.
    pub reason: Option<Reason>,
    /// Codes of everything found with it, each once, advice that is the same for
    /// every count left out.
    pub codes: Vec<Code>,
}

/// A planned cut.
#[derive(Clone, Debug)]
pub struct Planned {
    /// The tool path.
    pub path: ToolPath,
    /// The program that cuts, on the line where a roughing cutter goes first.
    pub program: Program,
    /// What a roughing cutter takes first, where the machine has one.
    pub rough: Option<Roughing>,
    /// What is marked on a pattern.
    pub marks: Option<Marks>,
    /// The program that only marks, run before the cut; none where the cut marks by itself or
    /// nothing marks.
    pub mark_program: Option<Program>,
    /// The programs of each set-up, where there are several: what is run in place of the two.
    pub set_ups: Option<SetUps>,
}

impl Planned {
    /// The programs in the order they are run: marks before the cut; of several set-ups first the
    /// one that bores the table, then those of each.
    pub fn programs(&self) -> impl Iterator<Item = &Program> {
        let rough = self.rough.iter().map(|rough| &rough.program);
        let whole = self.mark_program.iter().chain(rough).chain([&self.program]);
        let whole = whole.filter(|_| self.set_ups.is_none());
        self.set_ups.iter().flat_map(SetUps::programs).chain(whole)
    }

    /// The machine as one of the programs has it.
    pub fn machine_of<'a>(&'a self, program: &Program, job: &'a Job) -> &'a Machine {
        match (&self.set_ups, &program.set_up, &self.rough) {
            (Some(set_ups), Some(SetUp { number: 0, .. }), _) => &set_ups.table_machine,
            (.., Some(rough)) if program.roughs => &rough.machine,
            _ => &job.cut.machine,
        }
    }

    /// The piece as it lies on the stock: the part, or the pattern made smaller by what follows it.
    pub fn piece_on_stock(&self) -> Contour<Role> {
        self.path.piece().placed(&self.program.placement())
    }
}

/// Everything that follows from a job.
#[derive(Clone, Debug)]
pub struct Workup {
    /// The job, where its flight lands.
    pub job: Job,
    /// Its short name.
    pub fingerprint: Fingerprint,
    /// The chosen flight.
    pub flight: Flight,
    /// What notches leave of the board after the inside-corner relief that will be cut.
    pub behind_relief: Length,
    /// The finished part, if there is one.
    pub outline: Option<Outline>,
    /// Every feasible riser count, the chosen one among them.
    pub choices: Vec<Choice>,
    /// The planned cut, if nothing refuses it.
    pub planned: Option<Planned>,
    /// Skirts, treads and riser boards, and what to buy for them.
    pub beside: BesideStringers,
    /// What the job asks beyond the stringer, answered.
    pub around: Surroundings,
    /// Everything there is to say, waivers applied.
    pub findings: Vec<Finding>,
}

/// The tool's path and the marks of a job's piece, before it is known where it lies.
#[derive(Clone, Debug)]
pub struct Tooling {
    /// The tool path.
    pub path: ToolPath,
    /// What is marked on it.
    pub marks: Option<Marks>,
}

impl Workup {
    /// Takes a job through solve, outline, check, compensate and plan, one part on its own. Nothing
    /// is made where a refusal stands; what the job asks of its site and means nothing is one that
    /// no waiver reaches.
    pub fn of(job: &Job) -> Self {
        Self::alone(job).0
    }

    /// The same of a job that somebody typed.
    ///
    /// # Errors
    /// Where what it asks of its site means nothing, or its flight never lands, with the place in
    /// the text.
    pub fn designed(job: &Job) -> Result<Self, Error> {
        let (workup, meaningless) = Self::alone(job);
        meaningless.map_or(Ok(workup), Err)
    }

    /// Takes a job through solve, outline, check and compensate, to be laid out together with
    /// others. No tooling where a refusal stands.
    ///
    /// # Errors
    /// Those of [`Workup::designed`].
    pub fn tooled(job: &Job) -> Result<(Self, Option<Tooling>), Error> {
        let Through { workup, made, meaningless } =
            Self::through(job, |_, tooling, _| Ok(Warned::plain(tooling)));
        meaningless.map_or(Ok((workup, made)), Err)
    }

    fn alone(job: &Job) -> (Self, Option<Error>) {
        let Through { workup, made, meaningless } = Self::through(job, alone);
        (Self { planned: made, ..workup }, meaningless)
    }

    /// The job worked up but not planned, and what `make` makes of its tooling: nothing where a
    /// refusal stands.
    fn through<T>(
        asked: &Job,
        make: impl FnOnce(&Job, Tooling, &Outline) -> Outcome<T>,
    ) -> Through<T> {
        asked.tape.tells(|| Self::worked(asked, make))
    }

    fn worked<T>(
        asked: &Job,
        make: impl FnOnce(&Job, Tooling, &Outline) -> Outcome<T>,
    ) -> Through<T> {
        let site = OnSite::of(asked);
        let (site, never_lands) =
            site.map_or_else(|error| (OnSite::level(asked), Some(error)), |site| (site, None));
        let job = &site.job;
        let fingerprint = Fingerprint::of(job);
        let (count, reason) = site.chosen();
        let flight = Flight::new(job, count);
        let outline = Outline::of(job, &flight);
        let mut findings = check(job, &flight, outline.as_ref());
        let choices =
            choices(&site, Choice::new(&flight, outline.as_ref().ok(), &findings).because(reason));
        if !job.by_hand {
            findings.extend(profile_sense(&job.cut.machine, &job.cut.material));
        }
        let behind_relief = behind_relief(job, &flight);
        let around = match never_lands {
            Some(error) => Err(error),
            None => Surroundings::of(&site, &flight, outline.as_ref().ok(), behind_relief),
        };
        let (around, meaningless) = around.map_or_else(
            |error| (Surroundings::not_worked_out(&error), Some(error)),
            |around| (around, None),
        );
        let spacing = around.value.stringers.as_ref().map(|layout| layout.spacing);
        findings.extend(spaced(job, &flight, spacing));
        findings.extend(around.findings);
        let beside = BesideStringers::of(job, &flight);
        findings.extend(beside.findings);
        let beside = beside.value;
        let around = around.value;
        let made = outline.as_ref().ok().filter(|_| !job.by_hand).and_then(|outline| {
            let tooling = tooling(job, &fingerprint, &flight, outline);
            gathered(
                tooling.and_then(|tooling| tooling.and_then(|tooling| make(job, tooling, outline))),
                &mut findings,
            )
        });
        apply_waivers(&mut findings, &job.waivers);
        let outline = outline.ok();
        let job = site.job;
        let workup = Self {
            job,
            fingerprint,
            flight,
            behind_relief,
            outline,
            choices,
            planned: None,
            beside,
            around,
            findings,
        };
        let refused = workup.refused();
        Through { workup, made: made.filter(|_| !refused), meaningless }
    }

    /// Every layout number of the job.
    pub fn numbers(&self) -> Vec<Number> {
        numbers(&self.job, &self.flight, self.outline.as_ref(), self.behind_relief)
    }

    /// Whether a refusal stands that nobody took on.
    pub fn refused(&self) -> bool {
        self.findings.iter().any(Finding::refuses)
    }
}

/// Compensates and marks.
fn tooling(
    job: &Job,
    fingerprint: &Fingerprint,
    flight: &Flight,
    outline: &Outline,
) -> Outcome<Tooling> {
    compensate(job, outline)?.and_then(|path| {
        let stroke = job.cut.machine.tool.stroke_width();
        if job.cut.makes == Makes::Stringers {
            return Ok(stringer_marks(job, outline, stroke).map(|marks| Tooling { path, marks }));
        }
        let marks = marks(job, fingerprint, flight, outline, stroke)?;
        Ok(marks.map(|marks| Tooling { path, marks: Some(marks) }))
    })
}

/// Plans one part on its own.
fn alone(job: &Job, tooling: Tooling, outline: &Outline) -> Outcome<Planned> {
    let Tooling { path, marks } = tooling;
    let Some(marks) = marks else {
        return plan(job, outline, &path)?.and_then(|planned| {
            let plan::Planned { marks: mark_program, rough, cut: program } = planned;
            let set_ups = SetUps::of(job, &program, None)?;
            let marks = None;
            Ok(Warned::plain(Planned { path, program, rough, marks, mark_program, set_ups }))
        });
    };
    let planned = plan_marked(job, outline, &path, &marks)?;
    planned.and_then(|plan::Planned { marks: mark_program, rough, cut: program }| {
        let set_ups = SetUps::of(job, &program, mark_program.as_ref())?;
        let marks = Some(marks);
        Ok(Warned::plain(Planned { path, program, rough, marks, mark_program, set_ups }))
    })
}

/// A job worked up, what was made of its tooling, and what of it means nothing.
struct Through<T> {
    workup: Workup,
    made: Option<T>,
    meaningless: Option<Error>,
}

/// Every count beside the one that was worked up, fewest first.
fn choices(site: &OnSite, chosen: Choice) -> Vec<Choice> {
    let other = |(job, count): (Job, usize)| {
        let flight = Flight::new(&job, count);
        let outline = Outline::of(&job, &flight);
        Choice::new(&flight, outline.as_ref().ok(), &check(&job, &flight, outline.as_ref()))
    };
    let mut all: Vec<Choice> = site.other_counts().into_iter().map(other).collect();
    all.push(chosen);
    all.sort_by_key(|choice| choice.flight.risers);
    all
}

/// What is said of every count alike tells none from another.
fn is_of_every_count(finding: &Finding) -> bool {
    finding.site_item().is_some()
        || finding.is::<codes::CleatTaken>()
        || finding.is::<codes::CleatMiddle>()
        || finding.is::<codes::HeadOverhangAssumed>()
        || finding.is::<codes::RiseFromRough>()
        || finding.is::<codes::HeadNotched>()
        || finding.is::<codes::LandingsWouldDo>()
        || finding.is::<codes::OpeningOffHead>()
        || finding.is::<codes::TakenAs>()
        || finding.is::<codes::LaidOutByHand>()
        || finding.is::<codes::BoardByName>()
        || finding.is::<codes::BoardNamedSize>()
}

impl Choice {
    fn new(flight: &Flight, outline: Option<&Outline>, found: &[Finding]) -> Self {
        let mut codes: Vec<Code> = Vec::new();
        for finding in found {
            if !is_of_every_count(finding) && !codes.contains(&finding.code) {
                codes.push(finding.code);
            }
        }
        Self {
            flight: flight.clone(),
            blank_length: outline.map(Outline::blank_length),
            reason: None,
            codes,
        }
    }

    fn because(self, reason: Reason) -> Self {
        Self { reason: Some(reason), ..self }
    }
}
