//! The answer that would do in the place of one that is refused, where the figures say it.

use crate::check::headroom_asked;
use crate::pipeline::workup::Workup;
use crate::site::beam::{Change, Remedy};
use crate::stair::Headroom;
use crate::units::{Length, Tape};

/// What to answer instead, as a tape shows it; nothing where no figure says it.
pub(super) fn would_do(workup: &Workup, key: &str) -> Option<String> {
    match key {
        "opening.length" => {
            let asked = headroom_asked(&workup.job, &workup.flight)?;
            let least = Headroom::of(&workup.job, &workup.flight)?.least_length(asked)?;
            Some(format!("{} or more", on_line_above(least, workup.job.tape)))
        }
        "stair.most_spacing" => {
            let beam = workup.around.beam.as_ref()?;
            let enough = beam.strength.remedies.iter().filter(|of| of.suffices());
            let (count, spacing) = enough.into_iter().find_map(more_stringers)?;
            let apart = on_line_above(spacing, workup.job.tape);
            Some(format!("{apart}: {count} stringers are enough by these figures"))
        }
        _ => None,
    }
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
