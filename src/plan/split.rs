//! Whether and how a pattern is split for this job's machine and material, and what there is to say about it.

use super::{laser, router};
use crate::diagnostics::{Finding, GEOMETRY, PRACTICE, codes};
use crate::measure::{Job, Makes};
use crate::outline::{DOWEL_CLEARANCE_IN, Outline, Split, Splitting, split};
use crate::profile::Tool;
use crate::units::{Length, trimmed};

/// The longest piece that this job's material and machine take, with the room its tool needs.
pub fn longest_piece(job: &Job) -> Length {
    let machine = &job.cut.machine;
    let room = match &machine.tool {
        Tool::Router(_) => router::room(job),
        Tool::Laser(beam) => laser::room(job, beam),
    };
    let travel = machine.travel[0].max(machine.travel[1]);
    (job.cut.material.length.min(travel) - Length::mm(2.0 * room)).max(Length::ZERO)
}

/// Splits the pattern of a job so that each piece goes on its machine.
///
/// # Errors
/// A refusal: a stringer is never split, or the joint finds no room.
pub fn split_pattern(job: &Job, outline: &Outline) -> Result<(Split, Vec<Finding>), Vec<Finding>> {
    let Makes::Pattern(follow) = job.cut.makes else {
        let finding = Finding::about(codes::SplitStringer::CODE, "outline");
        let why = "a stringer carries load: a joint in it would carry less than the board";
        return Err(vec![finding.figures(why, "a pattern").source(PRACTICE)]);
    };
    let cutter = job.cut.machine.tool_radius() * 2.0;
    let splitting = Splitting::new(longest_piece(job), cutter, follow.inset());
    match split(outline, &splitting) {
        Ok(split) => {
            let said = said(&split);
            Ok((split, said))
        }
        Err(problem) => {
            let finding = Finding::about(codes::SplitNoRoom::CODE, "joint");
            let limit = format!("two pieces of at most {}", splitting.longest);
            Err(vec![finding.figures(problem.to_string(), limit).source(GEOMETRY)])
        }
    }
}

fn said(split: &Split) -> Vec<Finding> {
    let thousandths = |length: Length| format!("{} in", trimmed(length.as_inches(), 4));
    let wander = format!(
        "dowels {} apart, holes {DOWEL_CLEARANCE_IN} in over {}: the far tip may wander {}",
        split.dowels_apart,
        split.dowel,
        thousandths(split.wander())
    );
    let mut limit = format!("figures to hold it to: joint gap {}", thousandths(split.clearance));
    let mut told: Vec<String> = Vec::new();
    for check in &split.checks {
        let words = format!("; {} from cross to cross over the joint", check.length);
        if !told.contains(&words) {
            limit.push_str(&words);
            told.push(words);
        }
    }
    vec![Finding::about(codes::SplitWander::CODE, "joint").figures(wander, limit).source(PRACTICE)]
}
