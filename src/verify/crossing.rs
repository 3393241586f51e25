//! Where a ring crosses itself.

use super::limits::{JOIN_MM, MOST_CROSSINGS, MOST_PAIRS};
use super::shape::Shape;
use crate::geometry::{Point, Segment, cross};

/// The places where segments cross, each with the first of the two, an arc taken as its chord;
/// touching and running along each other is no crossing: a relief is walked out and back. No more
/// than a few are looked for.
pub(super) fn crossings(shape: &Shape) -> Vec<(usize, Point)> {
    let mut found: Vec<(usize, Point)> = Vec::new();
    let mut near = Vec::new();
    let mut pairs = 0;
    for (i, segment) in shape.segments.iter().enumerate() {
        shape.near(segment.bounds(), &mut near);
        pairs += near.len();
        if pairs > MOST_PAIRS || found.len() >= MOST_CROSSINGS {
            break;
        }
        found.extend(
            near.iter()
                .filter(|&&j| j > i)
                .filter_map(|&j| Some((i, crossing(segment, &shape.segments[j])?))),
        );
    }
    found.truncate(MOST_CROSSINGS);
    found
}

/// The point where two chords cross, if it is away from all four of their ends.
fn crossing(a: &Segment, b: &Segment) -> Option<Point> {
    let (along_a, along_b) = (a.to() - a.from(), b.to() - b.from());
    let turn = cross(along_a, along_b);
    if turn.abs() <= f64::EPSILON * along_a.norm() * along_b.norm() {
        return None;
    }
    let share_a = cross(b.from() - a.from(), along_b) / turn;
    let share_b = cross(b.from() - a.from(), along_a) / turn;
    let inside =
        |share: f64, length: f64| share * length > JOIN_MM && (1.0 - share) * length > JOIN_MM;
    let at = a.from() + along_a * share_a;
    (inside(share_a, along_a.norm()) && inside(share_b, along_b.norm())).then_some(at)
}
