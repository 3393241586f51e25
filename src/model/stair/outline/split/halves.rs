//! The whole cut in two along the joint, and the gap in it.

use super::joint::Joint;
use crate::geometry::{Contour, Edge, Point, Vector, cross, left_of};
use crate::stair::outline::Role;

/// The two pieces without a gap: the foot's, the head's. `None` if either is no simple contour.
pub(super) fn halves(
    whole: &Contour<Role>,
    joint: &Joint,
) -> Option<(Contour<Role>, Contour<Role>)> {
    let edges = whole.edges();
    let starts = |from: usize, to: usize| {
        let count = (to + edges.len() - from) % edges.len() + 1;
        (0..count)
            .map(move |i| &edges[(from + i) % edges.len()])
            .map(|edge| (edge.segment.from(), edge.role))
    };
    let [bottom, .., top] = joint.points();
    let mut up: Vec<(Point, Role)> = joint.points().map(|p| (p, Role::Joint)).to_vec();
    let mut down = up.clone();
    down.reverse();
    up[5] = (top, edges[joint.upper_edge].role);
    down[5] = (bottom, Role::LowerEdge);
    up.extend(starts(joint.upper_edge + 1, joint.lower_edge));
    down.extend(starts(joint.lower_edge + 1, joint.upper_edge));
    let simple = |vertices: &[(Point, Role)]| {
        Contour::polygon(vertices).ok().filter(Contour::is_simple_polygon)
    };
    Some((simple(&up)?, simple(&down)?))
}

/// The piece with every edge of the joint moved into it by `gap`, all other edges left where they
/// are.
pub(super) fn with_gap(piece: &Contour<Role>, gap: f64) -> Option<Contour<Role>> {
    let moved = |edge: &Edge<Role>| {
        let direction = edge.segment.direction_at(0.0);
        let by = if edge.role == Role::Joint { gap } else { 0.0 };
        (edge.segment.from() + left_of(direction) * by, direction)
    };
    let before = piece.edges().iter().cycle().skip(piece.edges().len() - 1);
    let vertex = |(before, edge): (&Edge<Role>, &Edge<Role>)| {
        let straight = before.role != Role::Joint && edge.role != Role::Joint;
        let at = if straight { edge.segment.from() } else { meeting(moved(before), moved(edge))? };
        Some((at, edge.role))
    };
    let vertices: Option<Vec<(Point, Role)>> = before.zip(piece.edges()).map(vertex).collect();
    Contour::polygon(&vertices?).ok()
}

/// Where two lines meet, each a point and a direction; `None` if they run alike.
fn meeting((a, u): (Point, Vector), (b, v): (Point, Vector)) -> Option<Point> {
    let turn = cross(u, v);
    (turn.abs() > 1e-9).then(|| a + u * (cross(b - a, v) / turn))
}
