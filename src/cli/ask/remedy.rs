//! The answer that would do in the place of one that is refused, where the figures say it.

use crate::check::headroom_asked;
use crate::diagnostics::{Finding, codes};
use crate::pipeline::workup::Workup;
use crate::site::beam::{Change, Remedy};
use crate::stair::Headroom;
use crate::units::{Length, Tape};

/// What is known of the answer that would do.
pub(super) enum Enough {
    /// This, as a tape shows it.
    Answer(String),
    /// No figure says it.
    Untold,
    /// That no answer to this question is enough.
    Not,
}

/// What to answer instead, for a finding that refuses.
pub(super) fn would_do(workup: &Workup, key: &str, of: &Finding) -> Enough {
    match key {
        "opening.length" => shortest_opening(workup).map_or(Enough::Untold, Enough::Answer),
        // How far apart they may stand for their treads is told with the finding.
        "stair.most_spacing" if of.is::<codes::StringerSpacingHigh>() => Enough::Untold,
        "stair.most_spacing" => stringers_enough(workup).map_or(Enough::Not, Enough::Answer),
        _ => Enough::Untold,
    }
}

fn shortest_opening(workup: &Workup) -> Option<String> {
    let asked = headroom_asked(&workup.job, &workup.flight)?;
    let least = Headroom::of(&workup.job, &workup.flight)?.least_length(asked)?;
    Some(format!("{} or more", on_line_above(least, workup.job.tape)))
}

fn stringers_enough(workup: &Workup) -> Option<String> {
    let beam = workup.around.beam.as_ref()?;
    let enough = beam.strength.remedies.iter().filter(|of| of.suffices());
    let (count, spacing) = enough.into_iter().find_map(more_stringers)?;
    let apart = on_line_above(spacing, workup.job.tape);
    Some(format!("{apart}: {count} stringers are enough by these figures"))
}

fn more_stringers(of: &Remedy) -> Option<(usize, Length)> {
    match of.change {
        Change::MoreStringers { count, spacing } => Some((count, spacing)),
        _ => None,
    }
}

/// The first line of the tape at a length or above it.
fn on_line_above(length: Length, tape: Tape) -> String {
    let near = tape.nearest_line(length);
    let line = if near < length { near + tape.smallest() } else { near };
    tape.reads(line)
}
