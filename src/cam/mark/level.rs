//! The level line and the line at the plate: marks that follow a direction of the stair.

use super::apart::inside;
use super::shape::Shape;
use super::sheet::Sheet;
use crate::geometry::{Contour, Edge, Point, Vector, cross, left_of};
use crate::stair::outline::Role;

/// The longest level line worth scoring, in mm.
const LONGEST_MM: f64 = 300.0;
/// The longest as a share of the piece's length.
const LONGEST_SHARE: f64 = 0.5;
/// The shortest that a level can be laid on.
const SHORTEST_MM: f64 = 40.0;
/// A post's line, long enough to hold a square to; the shortest that can be seen.
const LONGEST_PLUMB_MM: f64 = 50.0;
const SHORTEST_PLUMB_MM: f64 = 12.0;
/// From one tried length to the next.
const SHORTER: f64 = 0.8;
/// An edge that is as good as plumb has no under.
const LEAST_NEARER: f64 = 1e-3;

/// A line level in the elevation, as long as it fits near `anchor`.
pub(super) fn level_line(sheet: &Sheet, level: Vector, anchor: Point, reach: f64) -> Option<Shape> {
    let mut length = LONGEST_MM.min(sheet.bounds().width() * LONGEST_SHARE);
    while length >= SHORTEST_MM {
        let line = Shape::line("LEVEL LINE", level * (length / 2.0));
        if let Some(placed) = sheet.nearest(&line, anchor, reach) {
            return Some(placed);
        }
        length *= SHORTER;
    }
    None
}

/// A line along the top of the plate notch, just inside the marks' reach.
pub(super) fn plate_line(sheet: &Sheet, top: &Edge<Role>, clear: f64) -> Option<Shape> {
    let (from, to) = (top.segment.from(), top.segment.to());
    let along = to - from;
    let mut share = 1.0;
    while share > 0.2 {
        let line = Shape::line("PLATE LINE", along * (share / 2.0));
        let middle = from + along / 2.0 + left_of(along.normalize()) * (clear * 1.05);
        if sheet.fits_at(&line, middle.coords) {
            return Some(line.moved(middle.coords));
        }
        share -= 0.1;
    }
    None
}

/// A plumb line through a point, as long as it fits, from under an edge down.
pub(super) fn plumb_line(
    sheet: &Sheet,
    level: Vector,
    edge: &Edge<Role>,
    through: Point,
    clear: f64,
) -> Option<Shape> {
    let up = left_of(level);
    let along = edge.segment.direction_at(0.0);
    // How much nearer to the edge it comes for each length that it goes up.
    let nearer = cross(up, along);
    if nearer.abs() < LEAST_NEARER {
        return None;
    }
    let to_edge = cross(edge.segment.from() - through, along) / nearer;
    let under = through + up * (to_edge - clear * 1.05 / nearer.abs());
    let mut length = LONGEST_PLUMB_MM;
    while length >= SHORTEST_PLUMB_MM {
        let line = Shape::line("POST LINE", up * (length / 2.0));
        let middle = (under - up * (length / 2.0)).coords;
        if sheet.fits_at(&line, middle) {
            return Some(line.moved(middle));
        }
        length *= SHORTER;
    }
    None
}

/// The top of the plate notch: its edge along the level.
pub(super) fn notch_top(piece: &Contour<Role>, level: Vector) -> Option<Edge<Role>> {
    let along = |edge: &&Edge<Role>| edge.segment.direction_at(0.0).dot(&level).abs() > 0.9;
    piece.edges().iter().filter(|edge| edge.role == Role::PlateNotch).find(along).copied()
}

/// A point `depth` inside the piece from the middle of an edge.
pub(super) fn behind(edge: &Edge<Role>, depth: f64) -> Point {
    edge.segment.point_at(0.5) + left_of(edge.segment.direction_at(0.5)) * depth
}

/// The middle height of the piece at `x`: the middle of the lowest stretch of wood there, from the
/// teeth's side.
pub(super) fn middle_at(piece: &Contour<Role>, x: f64) -> Point {
    let (ring, bounds) = (piece.vertices(), piece.bounds());
    let rows = 200;
    let at = |i: i32| {
        Point::new(x, bounds.min.y + bounds.height() * (f64::from(i) + 0.5) / f64::from(rows))
    };
    let wood: Vec<Point> = (0..rows).map(at).filter(|p| inside(*p, &ring)).collect();
    match (wood.first(), wood.last()) {
        (Some(low), Some(high)) => low + (high - low) / 2.0,
        _ => Point::new(x, bounds.min.y + bounds.height() / 2.0),
    }
}
