//! Skirts that cover what they are to cover, treads that reach past them, posts off the notches, a
//! stringer that is alone.

use crate::diagnostics::{Finding, codes};
use crate::job::{Hand, Job, Makes, Rail, SkirtKind, Skirts};
use crate::profile::ON_THE_LIMIT;
use crate::stair::outline::{Skirt, SkirtProblem};
use crate::stair::{Flight, RailLine};
use crate::units::Length;

/// What skirts and treads give to say. A flight that has no stringer is told elsewhere.
pub(super) fn steps(job: &Job, flight: &Flight) -> Vec<Finding> {
    let mut findings = job.skirts.as_ref().map_or_else(Vec::new, |of| skirts(job, flight, of));
    if let Some((line, rail)) = RailLine::of(job, flight).zip(job.rail) {
        let (measured, limit) = (line.most_apart(), rail.most_apart);
        if measured > limit + Length::mm(ON_THE_LIMIT) {
            findings.push(codes::PostsApart { measured, limit }.at("rail.most_apart"));
        }
        if line.off_corner.is_some_and(|off| off <= Length::ZERO) {
            let run = flight.unit_run.min(flight.top_tread_cut);
            findings.push(codes::PostOnNotch { post: rail.post, run }.at("rail.post"));
        }
        let widest = line.bays.iter().map(|bay| bay.gap).reduce(Length::max);
        if let Some(measured) = widest.filter(|_| rail.baluster.is_none()) {
            findings.push(codes::RailOpen { measured }.at("rail"));
        }
        findings.extend(on_holes(job, &rail, &line));
    }
    findings.extend(alone(job));
    findings
}

/// One stringer for each stair, where nobody said how wide that is.
fn alone(job: &Job) -> Option<Finding> {
    let one = job.cut.stringers() == job.cut.stairs as usize;
    let is_asked = job.cut.makes == Makes::Stringers && !job.by_hand;
    let is_wide = job.around.stair.is_some();
    (one && is_asked && !is_wide).then(|| codes::OneStringer {}.at("cut.quantity"))
}

/// Posts that lie on the heads of the cleats' fasteners: those stand beside the hole by as much as
/// it is wide.
fn on_holes(job: &Job, rail: &Rail, line: &RailLine) -> Option<Finding> {
    let (cleated, off) = (job.stringer.cleated()?, line.off_holes?);
    let is_on = off < cleated.hole - Length::mm(ON_THE_LIMIT);
    let found = || codes::PostOnFasteners { post: rail.post, hole: cleated.hole }.at("rail.post");
    is_on.then(found)
}

fn skirts(job: &Job, flight: &Flight, asked: &Skirts) -> Vec<Finding> {
    let mut findings = Vec::new();
    let mut widest_open = Length::ZERO;
    for side in Hand::BOTH {
        match Skirt::at(job, flight, side) {
            Some(Err(SkirtProblem::Narrow { width, least })) => {
                let side = side.name().to_string();
                findings.push(codes::SkirtNarrow { side, width, least }.at("skirts.width"));
            }
            Some(Ok(skirt)) if asked.side(side) == Some(SkirtKind::Open) => {
                widest_open = widest_open.max(skirt.depth());
            }
            Some(Err(SkirtProblem::NoSteps(_)) | Ok(_)) | None => {}
        }
    }
    // Out of a sheet no board is too narrow.
    let of_board = asked.width.filter(|_| !job.cuts_from_sheet(asked.thickness));
    let width = of_board.filter(|width| widest_open > *width + Length::mm(ON_THE_LIMIT));
    findings.extend(
        width.map(|width| codes::SkirtBoardNarrow { needs: widest_open, width }.at("skirts.width")),
    );
    let past = job.steps.as_ref().map(|steps| steps.past_sides);
    let is_short = |past: &_| asked.count(SkirtKind::Open) > 0 && *past < asked.thickness;
    findings.extend(past.filter(is_short).map(|past| {
        codes::TreadShortOfSkirt { past, skirt: asked.thickness }.at("steps.past_sides")
    }));
    findings
}
