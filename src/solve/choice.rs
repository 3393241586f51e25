//! Which riser count, and why.

use crate::measure::{Job, Meets, RiserChoice};
use crate::profile::Measure;
use crate::units::Length;

/// The unit rises between which a count is worth a line in the table: from a shallow garden step to a steep ladder stair.
const LEAST_RISE_MM: f64 = 100.0;
const MOST_RISE_MM: f64 = 250.0;
/// Why a count was chosen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Reason {
    /// The job forces it.
    Forced,
    /// Its unit rise is nearest to the job's aim.
    NearestToAim(Length),
    /// Its unit rise is nearest to the rule set's aim among the counts that the set allows.
    Comfort(Length),
}

impl std::fmt::Display for Reason {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        match self {
            Reason::Forced => write!(f, "the job asks for this count"),
            Reason::NearestToAim(aim) => write!(f, "total rise over the aim of {aim}, to the nearest whole count"),
            Reason::Comfort(aim) => write!(f, "of the allowed counts the one nearest to the rule set's aim of {aim}"),
        }
    }
}

/// The fewest risers a job can have: a tread is needed.
fn fewest(job: &Job) -> usize {
    match job.head.meets {
        Meets::OneDown => 2,
        Meets::Flush => 1,
    }
}

/// The count of a job and why.
///
/// To the nearest count: US Army EN5156 Carpentry II, 1995, p. 2-27.
pub fn chosen_count(job: &Job) -> (usize, Reason) {
    match job.rise.risers {
        RiserChoice::Forced(count) => (count, Reason::Forced),
        RiserChoice::Aim(aim) => (nearest_count(job, aim), Reason::NearestToAim(aim)),
        RiserChoice::Comfort => {
            let aim = job.rules.aim;
            let nearest = nearest_count(job, aim);
            let allowed = candidate_counts(job).into_iter().filter(|&count| rise_allowed(job, count));
            let best = allowed.min_by_key(|count| count.abs_diff(nearest)).unwrap_or(nearest);
            (best, Reason::Comfort(aim))
        }
    }
}

/// Total rise over the aim, rounded; a half goes to the greater count, so to the lower riser.
fn nearest_count(job: &Job, aim: Length) -> usize {
    ((job.rise.total.as_mm() / aim.as_mm()).round() as usize).max(fewest(job))
}

fn rise_allowed(job: &Job, count: usize) -> bool {
    let rise = job.rise.total.as_mm() / count as f64;
    job.rules.limits_on(Measure::UnitRise).all(|limit| limit.breach(rise).is_none())
}

/// The counts whose unit rise a person could climb, fewest first; the chosen count is not necessarily among them.
pub fn candidate_counts(job: &Job) -> Vec<usize> {
    let total = job.rise.total.as_mm();
    let fewest_risers = ((total / MOST_RISE_MM).ceil() as usize).max(fewest(job));
    let most_risers = (total / LEAST_RISE_MM).floor() as usize;
    (fewest_risers..=most_risers).collect()
}
