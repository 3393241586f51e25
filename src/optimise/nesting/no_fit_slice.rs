//! Where one shape may not slide past another: slices of the no-fit polygon along a line, exact.
//!
//! Constructions move a piece along one line at a time. They need not the whole no-fit polygon but
//! its slice at one height, and that follows from pairs of edges without cutting polygons up: for n
//! and m edges a slicer is made in O(n m), a slice O(n m) again, mostly a test of heights.

use crate::geometry::{Point, Vector, is_inside, sides};

/// All moves of `b` along X, at a given height, that bring it nearer to `a` than the spacing.
///
/// The moves that bring two edges nearer than `s` are their difference, a parallelogram, grown by
/// `s`: convex, so its slice is one interval, found from four corners and eight offset edges. The
/// union over all pairs of edges is the no-fit region but for what one shape would hold wholly
/// inside the other, which is asked separately.
pub(super) struct NoFitSlicer {
    a: Vec<Point>,
    b: Vec<Point>,
    cells: Vec<Cell>,
    spacing: f64,
}

/// The moves that bring an edge of b onto one of a, and between which heights they bring it nearer
/// than the spacing.
struct Cell {
    corners: [Point; 4],
    low: f64,
    high: f64,
}

/// Heights closer than this are one, in mm.
const SAME_HEIGHT_MM: f64 = 1e-6;

impl NoFitSlicer {
    /// Of `b` sliding along X past `a`, `spacing` mm apart.
    pub(super) fn along_x(a: &[Point], b: &[Point], spacing: f64) -> Self {
        let mut cells = Vec::with_capacity(a.len() * b.len());
        for (p, q) in sides(a) {
            for (r, s) in sides(b) {
                // In order around the parallelogram, whatever the two directions are.
                let corners = [p - r.coords, q - r.coords, q - s.coords, p - s.coords];
                let heights = corners.iter().map(|c| c.y);
                let low = heights.clone().fold(f64::INFINITY, f64::min) - spacing;
                let high = heights.fold(f64::NEG_INFINITY, f64::max) + spacing;
                cells.push(Cell { corners, low, high });
            }
        }
        Self { a: a.to_vec(), b: b.to_vec(), cells, spacing }
    }

    /// Of `b` sliding along Y past `a`: the slicer of the same shapes with X and Y exchanged.
    pub(super) fn along_y(a: &[Point], b: &[Point], spacing: f64) -> Self {
        Self::along_x(&exchanged(a), &exchanged(b), spacing)
    }

    fn chords(&self, y: f64) -> impl Iterator<Item = (f64, f64)> + '_ {
        // Heights first: of all pairs of edges few meet at one height.
        let near = self.cells.iter().filter(move |c| c.low < y && y < c.high);
        near.filter_map(move |c| chord(&c.corners, self.spacing, y))
    }

    /// The intervals of X that are not allowed at height `y`, in order and apart.
    pub(super) fn forbidden(&self, y: f64) -> Vec<(f64, f64)> {
        let mut chords: Vec<(f64, f64)> = self.chords(y).collect();
        chords.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut merged: Vec<(f64, f64)> = Vec::new();
        for (low, high) in chords {
            // A gap between chords of edges is free only if neither shape holds the other there: a
            // small piece inside a large one is near none of its edges. The chords bound such a gap
            // on both sides, so its middle speaks for all of it.
            let joins = merged
                .last()
                .is_some_and(|last| low <= last.1 || self.holds((low + last.1) / 2.0, y));
            match merged.last_mut() {
                Some(last) if joins => last.1 = last.1.max(high),
                _ => merged.push((low, high)),
            }
        }
        merged
    }

    fn holds(&self, x: f64, y: f64) -> bool {
        let by = Vector::new(x, y);
        is_inside(self.b[0] + by, sides(&self.a)) || is_inside(self.a[0] - by, sides(&self.b))
    }

    /// The least X from which on every move at height `y` is allowed; `None` if all are.
    pub(super) fn beyond(&self, y: f64) -> Option<f64> {
        self.chords(y).map(|c| c.1).reduce(f64::max)
    }

    /// The heights at which the shapes can meet.
    pub(super) fn heights(&self) -> (f64, f64) {
        let low = self.cells.iter().map(|c| c.low).fold(f64::INFINITY, f64::min);
        (low, self.cells.iter().map(|c| c.high).fold(f64::NEG_INFINITY, f64::max))
    }

    /// The heights where [`NoFitSlicer::beyond`] has a least value among its neighbours, each with
    /// that value: where `b` sits deepest in `a`. Found by samples finer than any two corners'
    /// distances, then narrowed.
    pub(super) fn seats(&self) -> Vec<(f64, f64)> {
        let ys = self.samples();
        let value = |y: f64| self.beyond(y).unwrap_or(f64::NEG_INFINITY);
        let values: Vec<f64> = ys.iter().map(|y| value(*y)).collect();
        let mut seats: Vec<(f64, f64)> = Vec::new();
        for i in 1..ys.len().saturating_sub(1) {
            if !is_seat(values[i - 1], values[i], values[i + 1]) {
                continue;
            }
            // Between two samples the value is made of arcs and lines that bend one way only, so
            // one least value lies there; two samples may find the same.
            let at = narrowed(ys[i - 1], ys[i + 1], &value);
            if seats.last().is_none_or(|s| (s.0 - at).abs() > SAME_HEIGHT_MM) {
                seats.push((at, value(at)));
            }
        }
        seats
    }

    /// The heights of all corners, where the value changes its slope, and others evenly between.
    fn samples(&self) -> Vec<f64> {
        let (low, high) = self.heights();
        let mut ys: Vec<f64> =
            self.cells.iter().flat_map(|c| c.corners.iter().map(|p| p.y)).collect();
        ys.extend((0..=SAMPLES).map(|i| low + (high - low) * i as f64 / SAMPLES as f64));
        ys.sort_by(f64::total_cmp);
        ys.dedup_by(|a, b| *a - *b < SAME_HEIGHT_MM);
        ys
    }
}

/// A ring with X and Y exchanged. That mirrors it, so it is walked backwards: it still runs
/// counter-clockwise.
pub(super) fn exchanged(ring: &[Point]) -> Vec<Point> {
    ring.iter().rev().map(|p| Point::new(p.y, p.x)).collect()
}

/// Whether a value is least among its neighbours and not inside a level stretch.
fn is_seat(before: f64, here: f64, after: f64) -> bool {
    let is_least = here <= before + LEVEL_MM && here <= after + LEVEL_MM && here.is_finite();
    is_least && (before > here + LEVEL_MM || after > here + LEVEL_MM)
}

/// A stretch that rises less than this is level: its ends are seats, its inside is not.
const LEVEL_MM: f64 = 1e-9;

/// Samples over the heights at which two shapes meet, besides those at corners: the round corners
/// of the spacing have least values between.
const SAMPLES: usize = 120;

/// Halvings of a stretch: 0.618^60 of a metre is below 1e-9 mm.
const NARROWINGS: usize = 60;

/// The place of the least value between two others, by golden section (J. Kiefer, Sequential
/// minimax search for a maximum, 1953, from memory).
fn narrowed(mut low: f64, mut high: f64, value: &dyn Fn(f64) -> f64) -> f64 {
    const GOLDEN: f64 = 0.618_033_988_749_894_9;
    let mut left = high - GOLDEN * (high - low);
    let mut right = low + GOLDEN * (high - low);
    let (mut at_left, mut at_right) = (value(left), value(right));
    for _ in 0..NARROWINGS {
        // The bracket shrinks by the golden share, so one of the two inner values is used again.
        if at_left < at_right {
            (high, right, at_right) = (right, left, at_left);
            left = high - GOLDEN * (high - low);
            at_left = value(left);
        } else {
            (low, left, at_left) = (left, right, at_right);
            right = low + GOLDEN * (high - low);
            at_right = value(right);
        }
    }
    if at_left < at_right { left } else { right }
}

/// The slice at height `y` of a parallelogram grown by `s`: from discs around its corners and from
/// its edges moved out by `s`. Edges moved inwards lie inside and do no harm.
fn chord(corners: &[Point; 4], s: f64, y: f64) -> Option<(f64, f64)> {
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    for i in 0..4 {
        let (p, q) = (corners[i], corners[(i + 1) % 4]);
        let up = y - p.y;
        if up.abs() < s {
            // The disc of the spacing around a corner.
            let half = (s * s - up * up).sqrt();
            (low, high) = (low.min(p.x - half), high.max(p.x + half));
        }
        let along = q - p;
        let length = along.norm();
        if length > 0.0 {
            let aside = Vector::new(-along.y, along.x) * (s / length);
            for shifted in [p + aside, p - aside] {
                let (y0, y1) = (shifted.y, shifted.y + along.y);
                // Half open, so that a height at a corner is crossed by one of its edges, not by
                // none or both; a level edge is covered by the discs at its ends.
                if (y0 < y) != (y1 < y) {
                    let x = shifted.x + (y - y0) / along.y * along.x;
                    (low, high) = (low.min(x), high.max(x));
                }
            }
        }
    }
    (low < high).then_some((low, high))
}
