//! The independent check of a layout: distances between outlines, edge by edge, with nothing of the
//! constructions in it. Its box corners and its distance to a line are its own on purpose: a fault
//! in the geometry that the searches share would agree with itself.
//!
//! O(n log n) to sort n pieces by their left ends, then O(c^2) for each two whose boxes are near,
//! with c corners each.

use super::problem::{Placed, Problem, Rotations, SheetSize};
use crate::geometry::{Bounds, Point, cross, is_inside, sides, tolerance::COINCIDENT_MM};
use std::f64::consts::{FRAC_PI_2, PI};

/// What is wrong with a layout; numbers count the pieces placed, in order.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum Fault {
    /// It names a kind of piece that is not in the problem.
    #[error("piece {0} is of a kind that is not in the problem")]
    Unknown(usize),
    /// It lies at an angle it may not lie at.
    #[error("piece {0} lies at an angle that is not allowed")]
    Rotated(usize),
    /// It is not wholly within the sheet's margin.
    #[error("piece {0} is not wholly within the sheet's margin")]
    Outside(usize),
    /// It touches what is kept out.
    #[error("piece {0} touches what is kept free")]
    KeptOut(usize),
    /// Two are nearer than the spacing; how near in mm, 0 if they share a point.
    #[error("pieces {0} and {1} are {2:.4} mm apart")]
    Near(usize, usize, f64),
}

/// Whether every piece lies within the margin, at an allowed angle, off everything kept out, and at
/// least the spacing from every other, each to [`COINCIDENT_MM`].
///
/// # Errors
/// The first fault found.
pub fn check(problem: &Problem, layout: &[Placed]) -> Result<(), Fault> {
    let mut placed = Vec::with_capacity(layout.len());
    for (i, one) in layout.iter().enumerate() {
        let piece = problem.pieces().get(one.piece).ok_or(Fault::Unknown(i))?;
        // Grain is strength: a piece at a wrong angle is as bad as one that overlaps.
        if !may_lie_at(piece.rotations, one.placement.rotation.angle()) {
            return Err(Fault::Rotated(i));
        }
        let points: Vec<Point> = piece.outline.iter().map(|p| one.placement * p).collect();
        let bounds = Bounds::around(points.iter().copied()).ok_or(Fault::Unknown(i))?;
        on_sheet(problem.sheet(), &points, bounds, i)?;
        placed.push((i, points, bounds));
    }
    placed.sort_by(|a, b| a.2.min.x.total_cmp(&b.2.min.x));
    let spacing = problem.spacing_mm();
    for (k, (i, a, box_a)) in placed.iter().enumerate() {
        let reach = box_a.grown(spacing);
        // By left ends: once one begins beyond reach, so do all behind it.
        let behind = placed[k + 1..].iter().take_while(|(_, _, b)| b.min.x <= reach.max.x);
        for (j, b, box_b) in behind {
            if reach.touches(*box_b) {
                let apart = distance(a, b);
                // With a spacing of 0 pieces may come near without end, but not share a point.
                if apart < spacing - COINCIDENT_MM || apart <= 0.0 {
                    return Err(Fault::Near(*i.min(j), *i.max(j), apart));
                }
            }
        }
    }
    Ok(())
}

fn on_sheet(sheet: &SheetSize, points: &[Point], bounds: Bounds, i: usize) -> Result<(), Fault> {
    let within = bounds.min.x >= sheet.margin - COINCIDENT_MM
        && bounds.min.y >= sheet.margin - COINCIDENT_MM
        && bounds.max.x <= sheet.length - sheet.margin + COINCIDENT_MM
        && bounds.max.y <= sheet.width - sheet.margin + COINCIDENT_MM;
    if !within {
        return Err(Fault::Outside(i));
    }
    for kept in sheet.keep_out.iter().filter(|k| k.touches(bounds)) {
        if distance(points, &corners_of(*kept)) <= 0.0 {
            return Err(Fault::KeptOut(i));
        }
    }
    Ok(())
}

/// The corners of a box, counter-clockwise.
pub(super) fn corners_of(b: Bounds) -> [Point; 4] {
    [b.min, Point::new(b.max.x, b.min.y), b.max, Point::new(b.min.x, b.max.y)]
}

fn may_lie_at(rotations: Rotations, angle: f64) -> bool {
    let step = match rotations {
        Rotations::Half => PI,
        Rotations::Quarter => FRAC_PI_2,
        Rotations::Any => return angle.is_finite(),
    };
    (angle / step - (angle / step).round()).abs() < COINCIDENT_MM
}

/// The distance in mm between two simple polygons as areas: 0 where they share a point.
pub fn distance(a: &[Point], b: &[Point]) -> f64 {
    // One wholly inside the other has no edge near an edge: a corner inside tells it.
    if holds_first(a, b) || holds_first(b, a) {
        return 0.0;
    }
    let mut least = f64::INFINITY;
    for (p, q) in sides(a) {
        for (r, s) in sides(b) {
            if cross_each_other(p, q, r, s) {
                return 0.0;
            }
            // The least distance of two segments that do not cross is at an end of one of them.
            let ends = [(r, p, q), (s, p, q), (p, r, s), (q, r, s)];
            let distances = ends.iter().map(|(at, from, to)| to_line(*at, *from, *to));
            least = distances.fold(least, f64::min);
        }
    }
    least
}

/// Whether a ring holds the first corner of another.
fn holds_first(ring: &[Point], other: &[Point]) -> bool {
    other.first().is_some_and(|p| is_inside(*p, sides(ring)))
}

/// The distance in mm from a point to the line from one point to another.
fn to_line(at: Point, from: Point, to: Point) -> f64 {
    let along = to - from;
    let share = (at - from).dot(&along) / along.norm_squared().max(f64::MIN_POSITIVE);
    (at - (from + along * share.clamp(0.0, 1.0))).norm()
}

fn cross_each_other(p: Point, q: Point, r: Point, s: Point) -> bool {
    let side = |a: Point, b: Point, c: Point| cross(b - a, c - a);
    // A sign that rounding turns lies on a crossing at an end: there the distance is 0 anyway.
    side(p, q, r) * side(p, q, s) < 0.0 && side(r, s, p) * side(r, s, q) < 0.0
}
