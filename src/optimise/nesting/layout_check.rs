//! The independent check of a layout: distances between outlines, edge by edge, with nothing of the constructions in it.

use super::problem::{Lying, Piece, SheetSize, Turns};
use crate::geometry::{Bounds, Point, cross, is_inside, sides, tolerance::COINCIDENT_MM};
use std::f64::consts::{FRAC_PI_2, PI};

/// What is wrong with a layout; numbers count the pieces lying in order.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Fault {
    /// It names a kind of piece that is not in the order.
    Unknown(usize),
    /// It lies at an angle it may not lie at.
    Turned(usize),
    /// It is not wholly within the sheet's margin.
    Outside(usize),
    /// It touches what is kept out.
    KeptOut(usize),
    /// Two are nearer than the spacing; how near in mm, 0 if they share a point.
    Near(usize, usize, f64),
}

/// Whether every piece lies within the margin, at an allowed angle, off everything kept out, and at least `spacing` mm
/// from every other, each to [`COINCIDENT_MM`].
///
/// # Errors
/// The first fault found.
pub fn clear(pieces: &[Piece], sheet: &SheetSize, spacing: f64, lying: &[Lying]) -> Result<(), Fault> {
    let mut placed = Vec::with_capacity(lying.len());
    for (i, one) in lying.iter().enumerate() {
        let piece = pieces.get(one.piece).ok_or(Fault::Unknown(i))?;
        if !may_lie_at(piece.turns, one.placement.rotation.angle()) {
            return Err(Fault::Turned(i));
        }
        let points: Vec<Point> = piece.outline.iter().map(|p| one.placement * p).collect();
        let bounds = Bounds::around(points.iter().copied()).ok_or(Fault::Unknown(i))?;
        on_sheet(sheet, &points, bounds, i)?;
        placed.push((i, points, bounds));
    }
    placed.sort_by(|a, b| a.2.min.x.total_cmp(&b.2.min.x));
    for (k, (i, a, box_a)) in placed.iter().enumerate() {
        let reach = box_a.grown(spacing);
        for (j, b, box_b) in placed[k + 1..].iter().take_while(|(_, _, b)| b.min.x <= reach.max.x) {
            if reach.touches(*box_b) {
                let apart = distance(a, b);
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

fn may_lie_at(turns: Turns, angle: f64) -> bool {
    let step = match turns {
        Turns::Half => PI,
        Turns::Quarter => FRAC_PI_2,
        Turns::Any => return angle.is_finite(),
    };
    (angle / step - (angle / step).round()).abs() < COINCIDENT_MM
}

/// The distance in mm between two simple polygons as areas: 0 where they share a point.
pub fn distance(a: &[Point], b: &[Point]) -> f64 {
    let holds = |ring: &[Point], other: &[Point]| other.first().is_some_and(|p| is_inside(*p, sides(ring)));
    if holds(a, b) || holds(b, a) {
        return 0.0;
    }
    let mut least = f64::INFINITY;
    for (p, q) in sides(a) {
        for (r, s) in sides(b) {
            if cross_each_other(p, q, r, s) {
                return 0.0;
            }
            let ends = [(r, p, q), (s, p, q), (p, r, s), (q, r, s)];
            least = ends.iter().map(|(at, from, to)| to_line(*at, *from, *to)).fold(least, f64::min);
        }
    }
    least
}

/// The distance in mm from a point to the line from one point to another.
fn to_line(at: Point, from: Point, to: Point) -> f64 {
    let along = to - from;
    let share = (at - from).dot(&along) / along.norm_squared().max(f64::MIN_POSITIVE);
    (at - (from + along * share.clamp(0.0, 1.0))).norm()
}

fn cross_each_other(p: Point, q: Point, r: Point, s: Point) -> bool {
    let side = |a: Point, b: Point, c: Point| cross(b - a, c - a);
    side(p, q, r) * side(p, q, s) < 0.0 && side(r, s, p) * side(r, s, q) < 0.0
}
