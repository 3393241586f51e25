//! Skirts that cover what they are to cover, treads that reach past them, posts off the notches.

use crate::diagnostics::{Finding, codes};
use crate::job::{Hand, Job, Rail, SkirtKind};
use crate::profile::ON_THE_LIMIT;
use crate::stair::outline::{Skirt, SkirtProblem};
use crate::stair::{Flight, RailLine};
use crate::units::Length;

/// What skirts and treads give to say. A flight that has no stringer is told elsewhere.
pub(super) fn steps(job: &Job, flight: &Flight) -> Vec<Finding> {
    let mut findings = skirts(job, flight);
    let apart = RailLine::of(job, flight).map(|line| line.most_apart()).zip(job.rail);
    let is_far =
        |(apart, rail): &(Length, Rail)| *apart > rail.most_apart + Length::mm(ON_THE_LIMIT);
    findings.extend(apart.filter(is_far).map(|(measured, rail)| {
        codes::PostsApart { measured, limit: rail.most_apart }.at("rail.most_apart")
    }));
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
    findings.extend(board_narrow(job, flight));
    let past = job.steps.as_ref().map(|steps| steps.past_sides);
    let is_short = |past: &_| skirts.count(SkirtKind::Open) > 0 && *past < skirts.thickness;
    findings.extend(past.filter(is_short).map(|past| {
        codes::TreadShortOfSkirt { past, skirt: skirts.thickness }.at("steps.past_sides")
    }));
    findings
}

/// An open skirt that the board asked for is too narrow for.
fn board_narrow(job: &Job, flight: &Flight) -> Option<Finding> {
    let skirts = job.skirts.as_ref()?;
    let width = skirts.width?;
    let is_open = |side: &Hand| skirts.side(*side) == Some(SkirtKind::Open);
    let side = Hand::BOTH.into_iter().find(is_open)?;
    let skirt = Skirt::at(job, flight, side)?.ok()?;
    let needs = Length::mm(skirt.in_board_frame().bounds().height());
    (needs > width + Length::mm(ON_THE_LIMIT))
        .then(|| codes::SkirtBoardNarrow { needs, width }.at("skirts.width"))
}

fn narrow(job: &Job, flight: &Flight, side: Hand) -> Option<Finding> {
    match Skirt::at(job, flight, side)? {
        Err(SkirtProblem::Narrow { width, least }) => Some(
            codes::SkirtNarrow { side: side.name().to_string(), width, least }.at("skirts.width"),
        ),
        Err(SkirtProblem::NoSteps(_)) | Ok(_) => None,
    }
}
