//! Where one shape may not slide past another: slices of the no-fit region along a line, exact for polygons.

use crate::geometry::{Point, Vector, is_inside, sides};

/// All moves of `b` along X, at a given height, that bring it nearer to `a` than the spacing.
///
/// The moves that bring two edges nearer than `s` are their difference, a parallelogram, grown by `s`: convex, so its
/// slice is one interval, found from four corners and eight offset edges. The union over all pairs of edges is the
/// no-fit region but for what one shape would hold wholly inside the other, which is asked separately.
pub(super) struct Slicer {
    a: Vec<Point>,
    b: Vec<Point>,
    cells: Vec<Cell>,
    spacing: f64,
}

struct Cell {
    corners: [Point; 4],
    low: f64,
    high: f64,
}

impl Slicer {
    pub fn new(a: &[Point], b: &[Point], spacing: f64) -> Slicer {
        let mut cells = Vec::with_capacity(a.len() * b.len());
        for (p, q) in sides(a) {
            for (r, s) in sides(b) {
                let corners = [p - r.coords, q - r.coords, q - s.coords, p - s.coords];
                let heights = corners.iter().map(|c| c.y);
                let low = heights.clone().fold(f64::INFINITY, f64::min) - spacing;
                cells.push(Cell { corners, low, high: heights.fold(f64::NEG_INFINITY, f64::max) + spacing });
            }
        }
        Slicer { a: a.to_vec(), b: b.to_vec(), cells, spacing }
    }

    /// The slicer of the same shapes with X and Y exchanged: it slides along Y.
    pub fn across(a: &[Point], b: &[Point], spacing: f64) -> Slicer {
        let exchanged = |ring: &[Point]| ring.iter().rev().map(|p| Point::new(p.y, p.x)).collect::<Vec<_>>();
        Slicer::new(&exchanged(a), &exchanged(b), spacing)
    }

    fn chords(&self, y: f64) -> impl Iterator<Item = (f64, f64)> + '_ {
        let near = self.cells.iter().filter(move |c| c.low < y && y < c.high);
        near.filter_map(move |c| chord(&c.corners, self.spacing, y))
    }

    /// The intervals of X that are not allowed at height `y`, in order and apart.
    pub fn forbidden(&self, y: f64) -> Vec<(f64, f64)> {
        let mut chords: Vec<(f64, f64)> = self.chords(y).collect();
        chords.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut merged: Vec<(f64, f64)> = Vec::new();
        for (low, high) in chords {
            let joins = merged.last().is_some_and(|last| low <= last.1 || self.holds((low + last.1) / 2.0, y));
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
    pub fn beyond(&self, y: f64) -> Option<f64> {
        self.chords(y).map(|c| c.1).reduce(f64::max)
    }

    /// The heights at which the shapes can meet.
    pub fn heights(&self) -> (f64, f64) {
        let low = self.cells.iter().map(|c| c.low).fold(f64::INFINITY, f64::min);
        (low, self.cells.iter().map(|c| c.high).fold(f64::NEG_INFINITY, f64::max))
    }

    /// The heights where [`Slicer::beyond`] has a least value among its neighbours, each with that value: where `b`
    /// sits deepest in `a`. Found by samples finer than any two corners' distances, then narrowed.
    pub fn seats(&self) -> Vec<(f64, f64)> {
        let (low, high) = self.heights();
        let mut ys: Vec<f64> = self.cells.iter().flat_map(|c| c.corners.iter().map(|p| p.y)).collect();
        ys.extend((0..=SAMPLES).map(|i| low + (high - low) * i as f64 / SAMPLES as f64));
        ys.sort_by(f64::total_cmp);
        ys.dedup_by(|a, b| *a - *b < 1e-6);
        let value = |y: f64| self.beyond(y).unwrap_or(f64::NEG_INFINITY);
        let values: Vec<f64> = ys.iter().map(|y| value(*y)).collect();
        let mut seats: Vec<(f64, f64)> = Vec::new();
        for i in 1..ys.len().saturating_sub(1) {
            let (before, here, after) = (values[i - 1], values[i], values[i + 1]);
            let least = here <= before + LEVEL_MM && here <= after + LEVEL_MM && here.is_finite();
            if least && (before > here + LEVEL_MM || after > here + LEVEL_MM) {
                let at = narrowed(ys[i - 1], ys[i + 1], &value);
                if seats.last().is_none_or(|s| (s.0 - at).abs() > 1e-6) {
                    seats.push((at, value(at)));
                }
            }
        }
        seats
    }
}

/// A stretch that rises less than this is level: its ends are seats, its inside is not.
const LEVEL_MM: f64 = 1e-9;

/// Samples over the heights at which two shapes meet.
const SAMPLES: usize = 120;

/// The place of the least value between two others, by golden section.
fn narrowed(mut low: f64, mut high: f64, value: &dyn Fn(f64) -> f64) -> f64 {
    const GOLDEN: f64 = 0.618_033_988_749_894_9;
    let mut left = high - GOLDEN * (high - low);
    let mut right = low + GOLDEN * (high - low);
    let (mut at_left, mut at_right) = (value(left), value(right));
    for _ in 0..60 {
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

/// The slice at height `y` of a parallelogram grown by `s`.
fn chord(corners: &[Point; 4], s: f64, y: f64) -> Option<(f64, f64)> {
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    let mut meet = |from: f64, to: f64| {
        low = low.min(from);
        high = high.max(to);
    };
    for i in 0..4 {
        let (p, q) = (corners[i], corners[(i + 1) % 4]);
        let up = y - p.y;
        if up.abs() < s {
            let half = (s * s - up * up).sqrt();
            meet(p.x - half, p.x + half);
        }
        let along = q - p;
        let length = along.norm();
        if length > 0.0 {
            let aside = Vector::new(-along.y, along.x) * (s / length);
            for shifted in [p + aside, p - aside] {
                let (y0, y1) = (shifted.y, shifted.y + along.y);
                if (y0 < y) != (y1 < y) {
                    let x = shifted.x + (y - y0) / along.y * along.x;
                    meet(x, x);
                }
            }
        }
    }
    (low < high).then_some((low, high))
}
