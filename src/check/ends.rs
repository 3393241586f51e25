//! The ends of the flight: a rise that was measured rough, what the foot stands on, how far the
//! upper finish reaches.

use crate::diagnostics::{Finding, codes};
use crate::job::{Job, Meets};
use crate::stair::Flight;
use crate::units::Length;

/// Less wood than this under the front of the first tread splits off (common practice, no source).
const LEAST_FIRST_RISER_IN: f64 = 1.0;

/// What the ends give to say.
pub(super) fn ends(job: &Job, flight: &Flight) -> Vec<Finding> {
    [overhang(job), rough(job), first_riser(flight)].into_iter().flatten().collect()
}

/// A housed stringer meets the upper finish as a cut one does.
fn overhang(job: &Job) -> Option<Finding> {
    let assumed = job.head.meets == Meets::OneDown && job.head.overhang.is_none();
    assumed.then(|| codes::HeadOverhangAssumed { overhang: job.head_overhang() }.at("head"))
}

pub(super) fn rough(job: &Job) -> Option<Finding> {
    let rough = job.rise.rough?;
    let found = codes::RiseFromRough {
        total: job.rise.total,
        rough,
        upper: job.head.finish,
        come: job.rise.finish_to_come,
        under: job.foot.stands_on_height(),
    };
    Some(found.at("flight"))
}

fn first_riser(flight: &Flight) -> Option<Finding> {
    let limit = Length::inches(LEAST_FIRST_RISER_IN);
    let measured = flight.first_riser_cut();
    let thin = flight.stands_on > Length::ZERO && measured > Length::ZERO && measured < limit;
    thin.then(|| codes::FirstRiserThin { measured, limit }.at("foot"))
}
