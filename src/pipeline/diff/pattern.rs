//! Whether a pattern made for the old job serves for the new one.

use super::settings::{corners_words, follow_words};
use crate::geometry::tolerance::AGREEMENT_MM;
use crate::job::{Corners, Job, Makes};
use crate::pipeline::proof;
use crate::pipeline::workup::Workup;
use crate::stair::outline::{Outline, cleat_marks};
use crate::units::Length;
use crate::verify::{Hole, Pocket};

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
            but: [but(&old.job, &new.job), features(old, new)].concat(),
        }
    }

    /// Whether the old pattern can still be used as it is.
    pub fn usable(&self) -> bool {
        self.outline_equal && self.but.is_empty()
    }
}

/// The same outline does not make the same part where holes, pockets or what is marked for cleats
/// lie elsewhere.
fn features(old: &Workup, new: &Workup) -> Vec<String> {
    let (Some(old_outline), Some(new_outline)) = (&old.outline, &new.outline) else {
        return Vec::new();
    };
    let [was, is] = [(old, old_outline), (new, new_outline)]
        .map(|(of, outline)| proof::anybodys(&of.job, outline).pieces.remove(0));
    let near = |a: f64, b: f64| (a - b).abs() <= AGREEMENT_MM;
    let alike = |a: &Hole, b: &Hole| {
        (a.center - b.center).norm() <= AGREEMENT_MM && near(a.radius_mm, b.radius_mm)
    };
    let same_holes = was.holes.len() == is.holes.len()
        && was.holes.iter().zip(&is.holes).all(|(a, b)| alike(a, b));
    let edges = |of: &Pocket| {
        let ends = of.boundary.edges().iter().map(|edge| edge.segment.from()).collect::<Vec<_>>();
        (ends, of.depth_mm)
    };
    let same_pocket = |a: &Pocket, b: &Pocket| {
        let ((ends, depth), (others, other_depth)) = (edges(a), edges(b));
        ends.len() == others.len()
            && near(depth, other_depth)
            && ends.iter().zip(&others).all(|(a, b)| (a - b).norm() <= AGREEMENT_MM)
    };
    let same_pockets = was.pockets.len() == is.pockets.len()
        && was.pockets.iter().zip(&is.pockets).all(|(a, b)| same_pocket(a, b));
    // What a job asks for of a rail is marked as posts.
    let rail = |of: &Workup| format!("{:?}", of.job.rail);
    let round = |of: &Workup| match of.job.cut.corners {
        Corners::Fillet => of.job.cut.machine.tool_radius().as_mm(),
        Corners::Bisector | Corners::Riser | Corners::Tread => 0.0,
    };
    let layers = |of: &Workup| (of.job.cut.sharing.layers, of.job.cut.sharing.dowel);
    let [then, now] = [old, new].map(|of| cleat_marks(&of.job, &of.flight));
    [
        (same_holes, "its holes are others"),
        (same_pockets, "its pockets are others"),
        (rail(old) == rail(new), "its rail is another, whose posts are marked"),
        (
            old.job.cut.corners != new.job.cut.corners || near(round(old), round(new)),
            "the rounds in its inside corners are others",
        ),
        (layers(old) == layers(new), "its layers or their dowels are others"),
        (format!("{then:?}") == format!("{now:?}"), "the lines for its cleats are others"),
    ]
    .into_iter()
    .filter(|(same, _)| !same)
    .map(|(_, words)| words.to_string())
    .collect()
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
