//! What a round tool does at an inside corner: where its centre goes, and what that costs.

use super::tool_path::place_of;
use crate::diagnostics::{Finding, codes};
use crate::geometry::tolerance::CUTTER_CLEARANCE_MM;
use crate::geometry::{Contour, Corner, Point, corners, distance_to_segment};
use crate::job::Corners;
use crate::stair::outline::Role;
use crate::units::Length;

/// The point that the tool's centre walks out to from the parallel path's own corner, so that the
/// sharp corner is cleared exactly; `None` for a fillet. Elevation frame.
///
/// Corner V, bisector b and edge normals n into the waste, radius R: bisector V + R b; into one
/// face V + R n of the other.
pub(super) fn reach(corner: &Corner<Role>, choice: Corners, radius: f64) -> Option<Point> {
    let upright_first = corner.normal_before.x.abs() > corner.normal_before.y.abs();
    let (upright, level) = if upright_first {
        (corner.normal_before, corner.normal_after)
    } else {
        (corner.normal_after, corner.normal_before)
    };
    match choice_at(corner, choice) {
        Corners::Fillet => None,
        Corners::Bisector => Some(corner.at + corner.bisector() * radius),
        Corners::Riser => Some(corner.at + level * radius),
        Corners::Tread => Some(corner.at + upright * radius),
    }
}

/// What is done at this corner: one of a joint is always cleared, or the sharp corner of the other
/// piece would not go in.
fn choice_at(corner: &Corner<Role>, choice: Corners) -> Corners {
    if (corner.before, corner.after) == (Role::Joint, Role::Joint) {
        Corners::Bisector
    } else {
        choice
    }
}

/// How much of an edge the bite of a relief at one of its ends takes, as the elevation frame has
/// it.
fn mouth(level_edge: bool, choice: Corners, radius: f64) -> f64 {
    match choice {
        Corners::Fillet => radius,
        Corners::Bisector => radius * 2_f64.sqrt(),
        Corners::Riser => radius * if level_edge { 0.0 } else { 2.0 },
        Corners::Tread => radius * if level_edge { 2.0 } else { 0.0 },
    }
}

/// Refusals for edges too short for the reliefs at their ends.
pub(super) fn overlaps(piece: &Contour<Role>, choice: Corners, radius: f64) -> Vec<Finding> {
    let corners = corners(piece);
    let mut findings = Vec::new();
    for (edge, (corner, next)) in
        piece.edges().iter().zip(corners.iter().zip(corners.iter().cycle().skip(1)))
    {
        let level_edge = corner.normal_after.y.abs() > corner.normal_after.x.abs();
        let at_end = |c: &Corner<Role>| {
            if c.is_inside() { mouth(level_edge, choice_at(c, choice), radius) } else { 0.0 }
        };
        let taken = at_end(corner) + at_end(next);
        let length = edge.segment.length();
        if taken > 0.0 && taken >= length {
            let (measured, limit) = (Length::mm(taken), Length::mm(length));
            findings.push(codes::ReliefOverlap { measured, limit }.at(place_of(edge.role)));
        }
    }
    findings
}

/// Refusals for reliefs that reach through the wood behind them to another edge.
pub(super) fn breakthroughs(piece: &Contour<Role>, choice: Corners, radius: f64) -> Vec<Finding> {
    let (edges, corners) = (piece.edges(), corners(piece));
    let mut findings = Vec::new();
    for (i, corner) in corners.iter().enumerate().filter(|(_, corner)| corner.is_inside()) {
        let Some(center) = reach(corner, choice, radius) else { continue };
        let arriving = (i + edges.len() - 1) % edges.len();
        let others = edges.iter().enumerate().filter(|(e, _)| *e != i && *e != arriving);
        let nearest =
            others.map(|(_, edge)| (distance_to_segment(center, &edge.segment), edge.role));
        let Some((distance, role)) = nearest.min_by(|a, b| a.0.total_cmp(&b.0)) else { continue };
        if distance < radius + CUTTER_CLEARANCE_MM {
            let measured = Length::mm(distance - radius).max(Length::ZERO);
            let found = codes::ReliefBreakthrough { measured, behind: role.to_string() };
            findings.push(found.at(place_of(corner.after)));
        }
    }
    findings
}

/// A board that stands off less than this stands in the corner: a sixty-fourth of an inch.
const LEAST_STAND_OFF_IN: f64 = 1.0 / 64.0;

/// What the corner choice leaves or takes, for the person who fits a square board into the corner.
pub(super) fn left_standing(choice: Corners, radius: Length) -> Option<Finding> {
    let off = radius * (1.0 - 0.5_f64.sqrt());
    let worth_saying = choice == Corners::Fillet && off > Length::inches(LEAST_STAND_OFF_IN);
    worth_saying.then(|| codes::FilletLeft { radius, off }.at("inside corners"))
}
