//! Whether and how a pattern is split for this job's machine and material, and what there is to say
//! about it.

use super::by_tool;
use crate::diagnostics::codes::{self, Lengths};
use crate::diagnostics::{Finding, Fine, Outcome, Refusals, Warned};
use crate::job::{Job, Long, Makes};
use crate::profile::Machine;
use crate::stair::outline::{DOWEL_CLEARANCE_IN, Outline, Split, Splitting, split};
use crate::units::Length;

/// The longest piece that this job's material and machine take, with the room its tool needs.
pub fn longest_piece(job: &Job) -> Length {
    let machine = &job.cut.machine;
    let room = by_tool::room(&job.cut.machine, &job.cut.material);
    let travel = machine.travel[0].max(machine.travel[1]);
    (job.cut.material.length.min(travel) - Length::mm(2.0 * room)).max(Length::ZERO)
}

/// Splits the pattern of a job so that each piece goes on its machine.
///
/// # Errors
/// A refusal: a stringer is never split, or the joint finds no room.
pub fn split_pattern(job: &Job, outline: &Outline) -> Outcome<Split> {
    let Makes::Pattern(follow) = job.cut.makes else {
        return Err(codes::SplitStringer {}.at("outline").into());
    };
    // The joint has room for both cutters, the roughing one with what it leaves on both sides.
    let room = |machine: &Machine| (machine.tool_radius() + machine.tool.leaves()) * 2.0;
    let roughing = job.cut.machine.roughing();
    let cutter = roughing.as_ref().map_or(Length::ZERO, room).max(room(&job.cut.machine));
    let splitting = Splitting::new(longest_piece(job), cutter, follow.inset());
    let split = split(outline, &splitting).map_err(|problem| {
        Refusals::from(
            codes::SplitNoRoom { why: problem.to_string(), limit: splitting.longest }.at("joint"),
        )
    })?;
    let wander = wander(&split);
    Ok(Warned::new(split, vec![wander]))
}

/// Whether the stock of a part that is too long is moved on: a housed board has no treads to break
/// the path at, and is refused for that before.
pub(super) fn is_indexed(job: &Job) -> bool {
    job.cut.long == Long::Index && !job.stringer.is_made_alone()
}

/// What there is to say about the split that the job asks for: the whole is refused here, its
/// pieces are planned one by one.
pub(super) fn of_split(job: &Job, outline: &Outline) -> Vec<Finding> {
    match job.cut.long {
        Long::Split => match split_pattern(job, outline) {
            Ok(split) => split.findings,
            Err(refusals) => refusals.into_findings(),
        },
        Long::Refuse | Long::Index => Vec::new(),
    }
}

/// How far the far tip may wander over the joint.
fn wander(split: &Split) -> Finding {
    let mut across: Vec<Length> = Vec::new();
    for check in &split.checks {
        // On a tape two lengths that read alike are one.
        if !across.iter().any(|told| told.to_string() == check.length.to_string()) {
            across.push(check.length);
        }
    }
    let wander = codes::SplitWander {
        measured: Fine(split.wander()),
        apart: split.dowels_apart,
        dowel: split.dowel,
        play: Fine(Length::inches(DOWEL_CLEARANCE_IN)),
        gap: Fine(split.clearance),
        across: Lengths(across),
    };
    wander.at("joint")
}
