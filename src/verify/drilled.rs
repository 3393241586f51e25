//! The holes of a drawing: layer DRILL held against the holes that a finished part has, each a
//! circle.

use super::contents::{Drawing, Figure, FigureKind};
use super::expectation::{Expectation, Piece};
use super::findings::Findings;
use super::limits::JOIN_MM;
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
        Recognised::NominalDrawing | Recognised::Program | Recognised::Marks => 0.0,
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

/// Middle and radius of a figure that is one closed circle, gone round once; no radius of a point,
/// where a tool goes straight down.
fn circle(figure: &Figure) -> Option<(Point, f64)> {
    let first = figure.segments.first()?;
    if figure.kind == FigureKind::Point {
        return Some((first.from(), 0.0));
    }
    let Segment::Arc { center, turn, .. } = *first else { return None };
    let radius = first.radius();
    let next = figure.segments.iter().cycle().skip(1);
    let goes_on = figure.segments.iter().zip(next).all(|(segment, next)| {
        let Segment::Arc { center: middle, turn: way, .. } = *segment else { return false };
        (middle - center).norm() <= PROOF_MM
            && (segment.radius() - radius).abs() <= PROOF_MM
            && way == turn
            && (next.from() - segment.to()).norm() <= JOIN_MM
    });
    // Closed, and on one way all along, it goes round a whole number of times.
    let turned: f64 = figure.segments.iter().map(|segment| segment.sweep().abs()).sum();
    let once = (turned - std::f64::consts::TAU).abs() < std::f64::consts::PI;
    (goes_on && once).then_some((center, radius))
}
