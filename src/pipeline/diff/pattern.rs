//! Whether a pattern made for the old job serves for the new one.

use super::settings::{corners_words, follow_words};
use crate::geometry::tolerance::AGREEMENT_MM;
use crate::job::{Job, Makes};
use crate::pipeline::workup::Workup;
use crate::stair::outline::Outline;
use crate::units::Length;

/// What can be said of the old pattern.
#[derive(Clone, Debug)]
pub struct Pattern {
    /// Whether both outlines are one, vertex by vertex, to a millionth of an inch; false where a
    /// job has no outline.
    pub outline_equal: bool,
    /// The farthest that a vertex moved; none where the outlines have other edges or one is
    /// missing.
    pub largest_move: Option<Length>,
    /// What else keeps the old pattern from serving as it is.
    pub but: Vec<String>,
}

impl Pattern {
    pub(super) fn between(old: &Workup, new: &Workup) -> Self {
        let largest_move = match (&old.outline, &new.outline) {
            (Some(old), Some(new)) => largest_move(old, new),
            _ => None,
        };
        Self {
            outline_equal: largest_move.is_some_and(|length| length.as_mm() <= AGREEMENT_MM),
            largest_move,
            but: but(&old.job, &new.job),
        }
    }

    /// Whether the old pattern can still be used as it is.
    pub fn usable(&self) -> bool {
        self.outline_equal && self.but.is_empty()
    }
}

fn largest_move(old: &Outline, new: &Outline) -> Option<Length> {
    let (old, new) = (old.contour().edges(), new.contour().edges());
    let same_edges = old.len() == new.len() && old.iter().zip(new).all(|(a, b)| a.role == b.role);
    let moves = old.iter().zip(new).map(|(a, b)| (a.segment.from() - b.segment.from()).norm());
    same_edges.then(|| Length::mm(moves.fold(0.0, f64::max)))
}

/// The same outline does not make the same pattern where another tool follows it or its corners are
/// made otherwise.
fn but(old: &Job, new: &Job) -> Vec<String> {
    let differs = |what: &str, old: String, new: String| {
        (old != new).then(|| format!("{what}: {old} then, {new} now"))
    };
    let inset = |job: &Job| match job.cut.makes {
        Makes::Pattern(follow) => follow.inset(),
        Makes::Stringers => Length::ZERO,
    };
    let other_inset = !inset(old).is_within(Length::mm(AGREEMENT_MM), inset(new));
    let followed =
        differs("followed by", follow_words(old), follow_words(new)).filter(|_| other_inset);
    let corners = differs("inside corners", corners_words(old), corners_words(new));
    followed.into_iter().chain(corners).collect()
}
