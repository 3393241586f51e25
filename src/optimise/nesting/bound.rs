//! Upper bounds: no layout of one kind of piece on one sheet holds more. All are for the piece
//! grown by half the spacing on a field grown by as much, where grown pieces do not overlap.
//!
//! By area, and by slices where pieces lie at quarters only; and, as the count to beat and no
//! bound, by bounding boxes.

use super::field::{Field, area};
use super::problem::{Rotations, box_area};
use super::slice_bound::{SLACK, by_slices};
use crate::geometry::{Bounds, Contour, Point, Segment, offset_outside};

/// Lines laid over the field, coarsely and finely. The cost grows faster than their square.
const LINES: [usize; 2] = [100, 320];
/// Fine lines are laid where the coarse ones left the bound this near (by trial).
const HOPE: usize = 1;
/// An arc is cut into chords of at most this, in radians: it leaves off no more than 2 % of
/// what the piece is grown by, at round corners.
const CHORD_RAD: f64 = 0.4;
/// Boxes that are too long together by this much still fit, in mm.
const BOX_SLACK_MM: f64 = 1e-9;

/// How many pieces of one outline a field holds at most; not asked further once the answer is down
/// to `reached`.
pub(super) fn per_sheet(
    outline: &[Point],
    rotations: Rotations,
    field: &Field,
    reached: usize,
) -> Option<usize> {
    let grown = grown(outline, field.spacing / 2.0);
    let extent = field.usable.grown(field.spacing / 2.0);
    let mut bound = (box_area(extent) / area(&grown) + SLACK).floor() as usize;
    // At any angle a piece has any slice, and slices say nothing.
    if rotations == Rotations::Any {
        return Some(bound);
    }
    for lines in LINES {
        let is_fine = lines > LINES[0];
        // What was found reaches the bound, or fine lines have no hope to bring it down that far.
        if bound <= reached || is_fine && bound > reached + HOPE {
            break;
        }
        bound = by_slices(&grown, rotations, extent, lines).map_or(bound, |b| b.min(bound));
    }
    Some(bound)
}

/// The area in mm^2 that a piece takes at least: that of the piece grown by half the spacing.
pub(super) fn taken_area(outline: &[Point], spacing: f64) -> f64 {
    area(&grown(outline, spacing / 2.0))
}

/// How many bounding boxes lie in rows on a field: a grid, and where quarter turns are allowed a
/// second one of turned boxes beside it.
pub(super) fn by_boxes(outline: &[Point], rotations: Rotations, field: &Field) -> usize {
    let Some(own) = Bounds::around(outline.iter().copied()) else { return 0 };
    let s = field.spacing;
    let (length, width) = (field.usable.width(), field.usable.height());
    let fit = |room: f64, size: f64| ((room + s + BOX_SLACK_MM) / (size + s)).floor().max(0.0);
    let grid = |x: f64, y: f64, w: f64, h: f64| fit(x, w) * fit(y, h);
    let (w, h) = (own.width(), own.height());
    if rotations == Rotations::Half {
        return grid(length, width, w, h) as usize;
    }
    // One cut through the sheet, rows of boxes on one side of it and turned boxes on the other.
    let mut best: f64 = 0.0;
    for (w, h) in [(w, h), (h, w)] {
        for k in 0..=fit(length, w) as usize {
            let rest = length - k as f64 * (w + s);
            best = best.max(k as f64 * fit(width, h) + grid(rest, width, h, w));
        }
        for k in 0..=fit(width, h) as usize {
            let rest = width - k as f64 * (h + s);
            best = best.max(k as f64 * fit(length, w) + grid(length, rest, h, w));
        }
    }
    best as usize
}

/// A polygon inside the outline grown by `by` mm, its arcs cut short; the outline itself where it
/// cannot be grown. Whatever lies inside the true grown piece gives a bound, only a looser one.
pub(super) fn grown(outline: &[Point], by: f64) -> Vec<Point> {
    let grown = if by > 0.0 { grown_polygon(outline, by) } else { None };
    grown.unwrap_or_else(|| outline.to_vec())
}

fn grown_polygon(outline: &[Point], by: f64) -> Option<Vec<Point>> {
    let contour = offset_outside(&polygon(outline)?, by).ok()?;
    let points: Vec<Point> = contour.edges().iter().flat_map(|e| flattened(&e.segment)).collect();
    polygon(&points)?.is_simple_polygon().then_some(points)
}

fn polygon(points: &[Point]) -> Option<Contour<()>> {
    let vertices: Vec<(Point, ())> = points.iter().map(|p| (*p, ())).collect();
    Contour::polygon(&vertices).ok()
}

/// Points on a segment from its start on, its end left out.
fn flattened(segment: &Segment) -> Vec<Point> {
    let parts = match segment {
        Segment::Line { .. } => 1,
        Segment::Arc { .. } => 1 + (segment.sweep().abs() / CHORD_RAD) as usize,
    };
    (0..parts).map(|i| segment.point_at(i as f64 / parts as f64)).collect()
}
