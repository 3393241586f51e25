//! The strap over the joint, and the check lengths beyond its ends.

use super::CheckAcross;
use super::joint::Joint;
use crate::geometry::{Contour, Point, Segment, Vector, distance_to_segment};
use crate::stair::outline::Role;
use crate::units::{Length, MM_PER_INCH};

/// The strap keeps this from every edge of the pattern, so that the edge can be followed: a quarter
/// inch.
pub(super) const FROM_EDGE_MM: f64 = 0.25 * MM_PER_INCH;
/// How far it reaches beyond the lap at both ends: an inch.
const BEYOND_MM: f64 = MM_PER_INCH;
/// A cross of a check length keeps this from the strap and from every edge: half an inch.
const CROSS_MM: f64 = 0.5 * MM_PER_INCH;

/// Level of its lower edge.
pub(super) fn floor(joint: &Joint) -> f64 {
    joint.lower.y + FROM_EDGE_MM
}

/// Level of its upper edge.
pub(super) fn top(joint: &Joint) -> f64 {
    joint.notches - FROM_EDGE_MM
}

/// Its length.
pub(super) fn length(joint: &Joint) -> f64 {
    joint.lower.x - joint.upper.x + 2.0 * BEYOND_MM
}

fn corners(joint: &Joint) -> [Point; 4] {
    let (left, right) = (joint.upper.x - BEYOND_MM, joint.lower.x + BEYOND_MM);
    let (low, high) = (floor(joint), top(joint));
    [Point::new(left, low), Point::new(right, low), Point::new(right, high), Point::new(left, high)]
}

/// The strap where it lies.
pub(super) fn contour(joint: &Joint) -> Option<Contour<Role>> {
    Contour::polygon(&corners(joint).map(|corner| (corner, Role::Strap))).ok()
}

/// Whether the strap lies on the pattern and keeps its distance from every edge.
pub(super) fn lies_on(joint: &Joint, whole: &Contour<Role>) -> bool {
    let corners = corners(joint);
    let sides: Vec<Segment> =
        (0..4).map(|i| Segment::Line { from: corners[i], to: corners[(i + 1) % 4] }).collect();
    let enough = FROM_EDGE_MM - 1e-6;
    let near = |p: Point, segments: &[Segment]| {
        segments.iter().any(|s| distance_to_segment(p, s) < enough)
    };
    let edges: Vec<Segment> = whole.edges().iter().map(|edge| edge.segment).collect();
    corners.iter().all(|corner| whole.holds(*corner) && !near(*corner, &edges))
        && whole
            .vertices()
            .iter()
            .all(|vertex| !near(*vertex, &sides) && !within(*vertex, &corners))
}

fn within(p: Point, [min, _, max, _]: &[Point; 4]) -> bool {
    (min.x..=max.x).contains(&p.x) && (min.y..=max.y).contains(&p.y)
}

/// The check lengths: one along the strap's lower edge, one along its upper, each from beside one
/// of its ends to beside the other and whole inches long; left out where a cross would lie near an
/// edge.
pub(super) fn checks(
    joint: &Joint,
    foot: &Contour<Role>,
    head: &Contour<Role>,
) -> Vec<CheckAcross> {
    let [start, end, ..] = corners(joint);
    let [low, high] = [floor(joint) + CROSS_MM, top(joint) - CROSS_MM];
    let least = end.x - start.x + 2.0 * CROSS_MM;
    let length = Length::inches((least / MM_PER_INCH - 1e-9).ceil());
    let across = |y: f64| {
        let from = Point::new(start.x - CROSS_MM, y);
        CheckAcross { foot: from, head: from + Vector::new(length.as_mm(), 0.0), length }
    };
    let clear = |p: Point, piece: &Contour<Role>| {
        piece.holds(p)
            && piece.edges().iter().all(|edge| distance_to_segment(p, &edge.segment) >= CROSS_MM)
    };
    [low, high]
        .map(across)
        .into_iter()
        .filter(|check| clear(check.foot, foot) && clear(check.head, head))
        .collect()
}
