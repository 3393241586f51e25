//! The last word on a layout: distances of the outlines themselves, by no formula that the search uses.

use super::convex::squared_to_segment;
use super::order::{Lying, Piece, SheetSize};
use super::posture::corners;
use crate::geometry::{Bounds, Point, cross, tolerance::COINCIDENT_MM};

/// Whether every two pieces lie `spacing` mm or more apart, none touches what is kept free, and all lie inside the margin.
pub(super) fn is_valid(pieces: &[Piece], lying: &[Lying], sheet: &SheetSize, spacing: f64) -> bool {
    let outlines: Vec<Vec<Point>> =
        lying.iter().map(|l| pieces[l.piece].outline.iter().map(|p| l.placement * p).collect()).collect();
    let kept_out: Vec<[Point; 4]> = sheet.keep_out.iter().map(|k| corners(*k)).collect();
    outlines.iter().enumerate().all(|(i, outline)| {
        is_inside_margin(outline, sheet)
            && outlines[..i].iter().all(|other| distance(outline, other) >= spacing - COINCIDENT_MM)
            && kept_out.iter().all(|other| distance(outline, other) > 0.0)
    })
}

/// The distance between two simple polygons in mm: 0 where they share a point.
pub(super) fn distance(a: &[Point], b: &[Point]) -> f64 {
    if sides(a).any(|(p, q)| sides(b).any(|(r, s)| cross_over(p, q, r, s))) || holds(a, b[0]) || holds(b, a[0]) {
        return 0.0;
    }
    let from_corners = |from: &[Point], to: &[Point]| {
        from.iter().flat_map(|c| sides(to).map(|(p, q)| squared_to_segment(*c, p, q))).fold(f64::MAX, f64::min)
    };
    from_corners(a, b).min(from_corners(b, a)).sqrt()
}

fn is_inside_margin(outline: &[Point], sheet: &SheetSize) -> bool {
    let least = sheet.margin - COINCIDENT_MM;
    Bounds::around(outline.iter().copied()).is_some_and(|b| {
        b.min.x >= least && b.min.y >= least && b.max.x <= sheet.length - least && b.max.y <= sheet.width - least
    })
}

fn sides(outline: &[Point]) -> impl Iterator<Item = (Point, Point)> {
    (0..outline.len()).map(|i| (outline[i], outline[(i + 1) % outline.len()]))
}

fn cross_over(p: Point, q: Point, r: Point, s: Point) -> bool {
    let apart = |p: Point, q: Point, r: Point, s: Point| cross(q - p, r - p) * cross(q - p, s - p) < 0.0;
    apart(p, q, r, s) && apart(r, s, p, q)
}

/// Whether a point lies inside, by the crossings of a ray.
fn holds(outline: &[Point], at: Point) -> bool {
    let crossed = sides(outline)
        .filter(|(p, q)| (p.y > at.y) != (q.y > at.y) && at.x < p.x + (at.y - p.y) / (q.y - p.y) * (q.x - p.x));
    crossed.count() % 2 == 1
}
