//! Where one shape may not slide past another: slices of the no-fit polygon along a line, exact.
//!
//! Constructions move a piece along one line at a time. They need not the boundary of the no-fit
//! polygon but its slice at one height, and that is the union of the slices of the convex pieces it
//! is made of: for p and q convex parts of c corners a slice is made in O(p q c), mostly a test of
//! heights.

use super::convex::Convex;
use super::no_fit_polygon::convex_sums;
use crate::geometry::Point;

/// All moves of `b` along X, at a given height, that bring it nearer to `a` than the spacing.
///
/// The moves that bring two convex parts nearer than `s` are their Minkowski sum grown by `s`:
/// convex, so its slice is one interval, found from its corners and its sides moved out.
pub(super) struct NoFitSlicer {
    cells: Vec<Cell>,
}

/// The moves that bring a part of b nearer to one of a than the spacing: a convex shape with round
/// corners, as its two flanks, each from the bottom up.
struct Cell {
    left: Vec<Flank>,
    right: Vec<Flank>,
    /// The heights of its corners, those of the sum that is not grown.
    corners: Vec<f64>,
    low: f64,
    high: f64,
    /// As far left and as far right as it goes.
    start: f64,
    end: f64,
}

/// A stretch of a flank up to a height: a line, or an arc about a corner.
#[derive(Clone, Copy)]
struct Flank {
    up_to: f64,
    /// Where a line is at height 0 and how it leans, or the corner and what it is grown by.
    shape: FlankShape,
}

#[derive(Clone, Copy)]
enum FlankShape {
    Line { at_zero: f64, lean: f64 },
    Arc { x: f64, y: f64, radius: f64 },
}

impl Cell {
    fn new(sum: &Convex, s: f64) -> Self {
        let bounds = sum.bounds();
        Self {
            left: flank(sum, s, -1.0),
            right: flank(sum, s, 1.0),
            corners: sum.corners().iter().map(|p| p.y).collect(),
            low: bounds.min.y - s,
            high: bounds.max.y + s,
            start: bounds.min.x - s,
            end: bounds.max.x + s,
        }
    }

    /// Its right end at a height between its lowest and its highest.
    fn right_end(&self, y: f64) -> f64 {
        at(&self.right, y, 1.0)
    }

    /// Its slice at a height between its lowest and its highest.
    fn chord(&self, y: f64) -> (f64, f64) {
        (at(&self.left, y, -1.0), at(&self.right, y, 1.0))
    }
}

/// One flank of a convex polygon grown by `s`: the right one for a `hand` of 1, the left for -1.
fn flank(sum: &Convex, s: f64, hand: f64) -> Vec<Flank> {
    let (corners, sides) = (sum.corners(), sum.sides());
    let n = corners.len();
    let mut flank = Vec::with_capacity(n + 1);
    // Counter-clockwise the right flank runs up, and clockwise the left one.
    let lowest = (0..n).min_by(|a, b| corners[*a].y.total_cmp(&corners[*b].y)).unwrap_or(0);
    for k in 0..n {
        let (at, before, next) = match hand > 0.0 {
            true => ((lowest + k) % n, (lowest + k + n - 1) % n, (lowest + k) % n),
            false => {
                ((lowest + n - k % n) % n, (lowest + n - k % n) % n, (lowest + 2 * n - k - 1) % n)
            }
        };
        let (p, into, out) = (corners[at], sides[before].normal, sides[next].normal);
        let (is_in, is_on) = (into.x * hand > 0.0, out.x * hand > 0.0);
        if is_in || is_on {
            let up_to = p.y + s * if is_on { out.y } else { 1.0 };
            flank.push(Flank { up_to, shape: FlankShape::Arc { x: p.x, y: p.y, radius: s } });
        }
        if is_on {
            let q = corners[if hand > 0.0 { (at + 1) % n } else { (at + n - 1) % n }];
            let (from, along) = (p + out * s, q - p);
            // A side on this flank is never level: its normal leans to the hand.
            let lean = along.x / along.y;
            let shape = FlankShape::Line { at_zero: from.x - from.y * lean, lean };
            flank.push(Flank { up_to: from.y + along.y, shape });
        }
    }
    flank
}

/// Where a flank is at a height.
fn at(flank: &[Flank], y: f64, hand: f64) -> f64 {
    // Stretches join but for rounding; what is a hair above the last is on the last.
    let on = flank.iter().find(|stretch| y <= stretch.up_to).or(flank.last());
    match on.expect("a convex polygon has two flanks").shape {
        FlankShape::Line { at_zero, lean } => at_zero + lean * y,
        FlankShape::Arc { x, y: middle, radius } => {
            let up = y - middle;
            x + hand * (radius * radius - up * up).max(0.0).sqrt()
        }
    }
}

/// Heights closer than this are one, in mm.
const SAME_HEIGHT_MM: f64 = 1e-6;

impl NoFitSlicer {
    /// Of `b` sliding along X past `a`, `spacing` mm apart.
    pub(super) fn along_x(a: &[Point], b: &[Point], spacing: f64) -> Self {
        let mut cells: Vec<Cell> =
            convex_sums(a, b).iter().map(|sum| Cell::new(sum, spacing)).collect();
        // The farthest first: the question for the farthest end is soon settled.
        cells.sort_by(|a, b| b.end.total_cmp(&a.end));
        Self { cells }
    }

    /// Of `b` sliding along Y past `a`: the slicer of the same shapes with X and Y exchanged.
    pub(super) fn along_y(a: &[Point], b: &[Point], spacing: f64) -> Self {
        Self::along_x(&exchanged(a), &exchanged(b), spacing)
    }

    /// The intervals of X that are not allowed at height `y`, in any order; they may overlap.
    pub(super) fn forbidden(&self, y: f64) -> impl Iterator<Item = (f64, f64)> + '_ {
        // Heights first: of all pairs of parts few meet at one height.
        self.cells.iter().filter(move |c| c.low < y && y < c.high).map(move |c| c.chord(y))
    }

    /// The least X from which on every move at height `y` is allowed; `None` if all are.
    pub(super) fn beyond(&self, y: f64) -> Option<f64> {
        let mut beyond: Option<f64> = None;
        for cell in &self.cells {
            if beyond.is_some_and(|far| cell.end <= far) {
                break;
            }
            if cell.low < y && y < cell.high {
                let end = cell.right_end(y);
                beyond = Some(beyond.map_or(end, |far| far.max(end)));
            }
        }
        beyond
    }

    /// The heights at which the shapes can meet.
    pub(super) fn heights(&self) -> (f64, f64) {
        let low = self.cells.iter().map(|c| c.low).fold(f64::INFINITY, f64::min);
        (low, self.cells.iter().map(|c| c.high).fold(f64::NEG_INFINITY, f64::max))
    }

    /// The moves along X outside of which nothing is forbidden at any height.
    pub(super) fn reach(&self) -> (f64, f64) {
        let start = self.cells.iter().map(|c| c.start).fold(f64::INFINITY, f64::min);
        (start, self.cells.iter().map(|c| c.end).fold(f64::NEG_INFINITY, f64::max))
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
        let mut ys: Vec<f64> = self.cells.iter().flat_map(|c| c.corners.iter().copied()).collect();
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
