//! Skirts that cover what they are to cover, treads that reach past them, posts off the notches.

use crate::diagnostics::{Finding, codes};
use crate::job::{Hand, Job, SkirtKind};
use crate::stair::outline::{Skirt, SkirtProblem};
use crate::stair::{Flight, RailLine};
use crate::units::Length;

/// What skirts and treads give to say. A flight that has no stringer is told elsewhere.
pub(super) fn steps(job: &Job, flight: &Flight) -> Vec<Finding> {
    let mut findings = skirts(job, flight);
    let line = RailLine::of(job, flight).filter(|line| line.off_corner <= Length::ZERO);
    findings.extend(line.zip(job.rail).map(|(_, rail)| {
        let run = flight.unit_run.min(flight.top_tread_cut);
        codes::PostOnNotch { post: rail.post, run }.at("rail.post")
    }));
    findings
}

fn skirts(job: &Job, flight: &Flight) -> Vec<Finding> {
    let Some(skirts) = &job.skirts else { return Vec::new() };
    let mut findings: Vec<Finding> =
        Hand::BOTH.into_iter().filter_map(|side| narrow(job, flight, side)).collect();
    let past = job.steps.as_ref().map(|steps| steps.past_sides);
    let is_short = |past: &_| skirts.count(SkirtKind::Open) > 0 && *past < skirts.thickness;
    findings.extend(past.filter(is_short).map(|past| {
        codes::TreadShortOfSkirt { past, skirt: skirts.thickness }.at("steps.past_sides")
    }));
    findings
}

fn narrow(job: &Job, flight: &Flight, side: Hand) -> Option<Finding> {
    match Skirt::at(job, flight, side)? {
        Err(SkirtProblem::Narrow { width, least }) => Some(
            codes::SkirtNarrow { side: side.name().to_string(), width, least }.at("skirts.width"),
        ),
        Err(SkirtProblem::NoSteps(_)) | Ok(_) => None,
    }
}
