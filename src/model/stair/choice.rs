//! Which riser count, and why. One chooser for level ground and for ground that falls: it asks for
//! the total rise of each count and for what one riser more adds to it.

use crate::job::{Job, MOST_RISERS, MOST_TOTAL_RISE_MM, RiserChoice};
use crate::profile::Measure;
use crate::units::Length;

/// The unit rises between which a count is worth a line in the table: from a shallow garden step to
/// a steep ladder stair.
const LEAST_RISE_MM: f64 = 100.0;
/// The greater of the two, in mm.
pub const MOST_RISE_MM: f64 = 250.0;

/// Why a count was chosen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Reason {
    /// The job forces it.
    Forced,
    /// Its unit rise is nearest to the job's aim.
    NearestToAim(Length),
    /// Its unit rise is nearest to the rule set's aim among the counts that the set allows.
    Comfort(Length),
    /// The ground falls as steeply as a stair at the rule set's aim, so no count comes near it: the
    /// shortest that is allowed.
    Shortest(Length),
}

impl std::fmt::Display for Reason {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Forced => write!(f, "the job asks for this count"),
            Self::NearestToAim(aim) => {
                write!(f, "total rise over the aim of {aim}, to the nearest whole count")
            }
            Self::Comfort(aim) => {
                write!(f, "of the allowed counts the one nearest to the rule set's aim of {aim}")
            }
            Self::Shortest(aim) => {
                write!(
                    f,
                    "the ground falls too steeply for the aim of {aim}: the fewest risers that are \
                    allowed"
                )
            }
        }
    }
}

/// Why no count can be chosen; never on level ground.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum NoCount {
    /// Every riser more adds this aim or more to the total rise, so no count comes near it.
    #[error("every riser more adds {0} or more to the total rise: no count comes near it")]
    NearTo(Length),
    /// No count comes near the rule set's aim, and none is allowed.
    #[error("the rule set allows no count")]
    Allowed,
}

/// The counts that a job can have. The total rise runs straight over them: on level ground it is
/// the same for each; where the ground falls away from the head every riser more lands one run
/// further out, and lower.
#[derive(Debug)]
pub struct Counts<'a, T> {
    job: &'a Job,
    total: T,
    gained: Length,
}

impl<'a, T: Fn(usize) -> Length> Counts<'a, T> {
    /// The counts of a job whose total rise with so many risers is `total`, and `gained` more with
    /// each riser more.
    pub fn new(job: &'a Job, total: T, gained: Length) -> Self {
        Counts { job, total, gained }
    }

    /// Total rise over risers.
    fn unit_rise(&self, count: usize) -> Length {
        (self.total)(count) / count as f64
    }

    /// The counts whose unit rise a person could climb, fewest first; the chosen count is not
    /// necessarily among them.
    pub fn candidates(&self) -> Vec<usize> {
        let climbed =
            |count: usize| (LEAST_RISE_MM..=MOST_RISE_MM).contains(&self.unit_rise(count).as_mm());
        let built = |count: usize| (self.total)(count).as_mm() <= MOST_TOTAL_RISE_MM;
        let counts = self.job.head.meets.fewest_risers()..=MOST_RISERS;
        counts.filter(|&count| climbed(count) && built(count)).collect()
    }

    /// The count of the job and why.
    ///
    /// To the nearest count: US Army EN5156 Carpentry II, 1995, p. 2-27.
    ///
    /// # Errors
    /// Where no count comes near the aim, see [`NoCount`].
    pub fn chosen(&self) -> Result<(usize, Reason), NoCount> {
        match self.job.rise.risers {
            RiserChoice::Forced(count) => Ok((count, Reason::Forced)),
            RiserChoice::Aim(aim) => {
                let count = self.nearest(aim).ok_or(NoCount::NearTo(aim))?;
                Ok((count, Reason::NearestToAim(aim)))
            }
            RiserChoice::Comfort => self.comfort(),
        }
    }

    fn comfort(&self) -> Result<(usize, Reason), NoCount> {
        let aim = self.job.rules.aim;
        let candidates = self.candidates();
        let allowed = || candidates.iter().copied().filter(|&count| self.is_allowed(count));
        let Some(nearest) = self.nearest(aim) else {
            return allowed()
                .next()
                .map(|count| (count, Reason::Shortest(aim)))
                .ok_or(NoCount::Allowed);
        };
        let by_unit_rise =
            || candidates.iter().copied().filter(|&count| self.unit_rise_is_allowed(count));
        let from_nearest = |count: &usize| count.abs_diff(nearest);
        // A flight that is too high with every count says nothing of the count.
        let best =
            allowed().min_by_key(from_nearest).or_else(|| by_unit_rise().min_by_key(from_nearest));
        Ok((best.unwrap_or(nearest), Reason::Comfort(aim)))
    }

    /// The count whose unit rise is the aim, rounded: a half goes to the greater count, so to the
    /// lower riser. With H(n) = h + n d the total rise of n risers that is n = h / (aim - d).
    /// `None` where d is the aim or more.
    fn nearest(&self, aim: Length) -> Option<usize> {
        let closing = aim - self.gained;
        if closing <= Length::ZERO {
            return None;
        }
        let fewest = self.job.head.meets.fewest_risers();
        let of_none = (self.total)(fewest) - self.gained * fewest as f64;
        Some(
            ((of_none.as_mm() / closing.as_mm()).round().max(0.0) as usize)
                .clamp(fewest, MOST_RISERS),
        )
    }

    /// Whether the rule set allows a count, its unit rise and its total rise.
    pub fn is_allowed(&self, count: usize) -> bool {
        // Landings part the rise; each flight is held to the other two by itself.
        if !self.job.landings.is_empty() {
            return self.unit_rise_is_allowed(count);
        }
        self.unit_rise_is_allowed(count)
            && self.keeps(Measure::FlightRise, (self.total)(count).as_mm())
            && self.keeps(Measure::RiserCount, count as f64)
    }

    fn unit_rise_is_allowed(&self, count: usize) -> bool {
        self.keeps(Measure::UnitRise, self.unit_rise(count).as_mm())
    }

    fn keeps(&self, measure: Measure, figure: f64) -> bool {
        self.job.rules.limits_on(measure).all(|limit| limit.breach(figure).is_none())
    }
}

fn on_level_ground(job: &Job) -> Counts<'_, impl Fn(usize) -> Length> {
    let total = job.rise.total;
    Counts::new(job, move |_| total, Length::ZERO)
}

/// The count of a job whose total rise is known, and why.
pub fn chosen_count(job: &Job) -> (usize, Reason) {
    let fewest = || (job.head.meets.fewest_risers(), Reason::Shortest(job.rules.aim));
    on_level_ground(job).chosen().unwrap_or_else(|_| fewest())
}

/// The counts of a job whose total rise is known, those whose unit rise a person could climb,
/// fewest first.
pub fn candidate_counts(job: &Job) -> Vec<usize> {
    on_level_ground(job).candidates()
}
