//! The opening in the upper floor: long enough, longer than the flight, where it begins.

use super::limits::most_asked;
use crate::diagnostics::{Finding, codes};
use crate::job::Job;
use crate::profile::{Measure, ON_THE_LIMIT};
use crate::stair::{Flight, Headroom};
use crate::units::Length;

/// The headroom that the rule set asks of a flight, mere advice left out.
pub fn headroom_asked(job: &Job, flight: &Flight) -> Option<Length> {
    most_asked(job, flight, Measure::Headroom).map(|(least, _)| Length::mm(least))
}

/// What the opening gives to say beyond the limit itself.
pub(super) fn opening(job: &Job, flight: &Flight) -> Vec<Finding> {
    let (Some(headroom), Some(opening)) = (Headroom::of(job, flight), job.opening) else {
        return Vec::new();
    };
    let mut findings = Vec::new();
    let length = opening.length;
    if opening.from_head > Length::ZERO {
        let from_head = opening.from_head;
        findings.push(codes::OpeningOffHead { from_head }.at("opening"));
    }
    if let Some(beyond) = headroom.beyond_flight().filter(|_| job.flight_of.is_none()) {
        findings.push(codes::OpeningBeyondFlight { length, beyond }.at("opening"));
    }
    let short = headroom_asked(job, flight)
        .filter(|asked| headroom.clear < *asked - Length::mm(ON_THE_LIMIT));
    let off_head = opening.from_head > Length::ZERO;
    findings.extend(short.filter(|_| !off_head).map(|asked| match headroom.least_length(asked) {
        Some(least) => {
            codes::OpeningShort { length, least, by: least - length, asked }.at("opening")
        }
        None => codes::CeilingLow { ceiling: headroom.ceiling, asked }.at("opening"),
    }));
    findings
}
