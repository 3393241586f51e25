//! The holes of a drawing: layer DRILL held against the holes that a finished part has, each a
//! circle.

use super::dxf::{Drawing, Figure};
use super::expectation::{Expectation, Piece};
use super::findings::Findings;
use super::verdict::{Recognised, Verdict};
use crate::diagnostics::Millimetres;
use crate::diagnostics::codes::{self, Circle, HoleOff};
use crate::geometry::tolerance::PROOF_MM;
use crate::geometry::{Placement, Point, Segment, Vector};

/// The layer of holes that are cut through.
pub(super) const DRILL: &str = "DRILL";

/// The verdict with what layer DRILL gives to say, where the outline was recognised: every hole of
/// the part is there, once, in its place and of its size, and nothing else is.
pub(super) fn with_holes(
    drawing: &Drawing,
    file: &str,
    e: &Expectation<'_>,
    piece: &Piece,
    mut verdict: Verdict,
) -> Verdict {
    let Some(at) = verdict.placements.first() else { return verdict };
    let at = Placement::new(Vector::new(at.x_mm, at.y_mm), at.turn_deg.to_radians());
    let smaller = match verdict.what {
        Recognised::CompensatedDrawing => e.machine.tool_radius().as_mm(),
        Recognised::NominalDrawing | Recognised::Program => 0.0,
    };
    let mut findings = Findings::new(file);
    let mut missing: Vec<(Point, f64)> =
        piece.drilled.iter().map(|hole| (at * hole.center, hole.radius_mm - smaller)).collect();
    for figure in drawing.figures.iter().filter(|figure| figure.layer.eq_ignore_ascii_case(DRILL)) {
        let drawn = circle(figure);
        let is_it = |(center, radius): &(Point, f64)| {
            drawn.is_some_and(|(c, r)| {
                (c - center).norm() <= PROOF_MM && (r - radius).abs() <= PROOF_MM
            })
        };
        match missing.iter().position(is_it) {
            Some(found) => drop(missing.swap_remove(found)),
            None => {
                let how = drawn.map_or(HoleOff::NoCircle, |drawn| HoleOff::Stray(said(drawn)));
                findings.at_line(codes::HoleDrawnOff { how }, figure.line);
            }
        }
    }
    for hole in missing {
        findings.at(codes::HoleDrawnOff { how: HoleOff::Missing(said(hole)) }, "layer DRILL");
    }
    verdict.findings.extend(findings.finish());
    verdict
}

fn said((center, radius): (Point, f64)) -> Circle {
    Circle { wide: Millimetres(2.0 * radius), x: Millimetres(center.x), y: Millimetres(center.y) }
}

/// Middle and radius of a figure that is one whole circle; none of a point, where a tool goes
/// straight down.
fn circle(figure: &Figure) -> Option<(Point, f64)> {
    if let [Segment::Line { from, to }] = &figure.segments[..] {
        return (from == to).then_some((*from, 0.0));
    }
    let (mut found, mut turned): (Option<(Point, f64)>, f64) = (None, 0.0);
    for segment in &figure.segments {
        let Segment::Arc { center, .. } = segment else { return None };
        let (middle, radius) = *found.get_or_insert((*center, segment.radius()));
        if (middle - center).norm() > PROOF_MM || (radius - segment.radius()).abs() > PROOF_MM {
            return None;
        }
        turned += segment.sweep().abs();
    }
    found.filter(|_| (turned - std::f64::consts::TAU).abs() <= WHOLE_RAD)
}

/// How far the arcs of a circle may be from going round once, in radians: what rounding of their
/// ends leaves.
const WHOLE_RAD: f64 = 1e-3;
