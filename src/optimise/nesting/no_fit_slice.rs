//! Where one shape may not slide past another: slices of the no-fit polygon along a line, exact.
//!
//! Constructions move a piece along one line at a time. They need not the boundary of the no-fit
//! polygon but its slice at one height, and that is the union of the slices of the convex pieces it
//! is made of: for p and q convex parts of c corners a slice is made in O(p q c), mostly a test of
//! heights.

use super::convex::Convex;
use super::no_fit_polygon::convex_sums;
use crate::geometry::Point;
use std::ops::{Range, RangeInclusive};

/// All moves of `b` along X, at a given height, that bring it nearer to `a` than the spacing.
///
/// The moves that bring two convex parts nearer than `s` are their Minkowski sum grown by `s`:
/// convex, so its slice is one interval, found from its corners and its sides moved out.
pub(super) struct NoFitSlicer {
    cells: Vec<Cell>,
    /// The flanks of all cells: one list for all, for a search makes thousands of slicers.
    flanks: Vec<Flank>,
    /// The heights of all cells' corners, those of the sums that are not grown.
    corners: Vec<f64>,
    low: f64,
    high: f64,
    /// The numbers of the cells that reach into each of equal bands of heights, rising, band after
    /// band, and where each band ends: of all pairs of parts few meet at one height, and only those
    /// of its band are asked.
    bands: Vec<u32>,
    band_ends: [u32; BANDS],
}

/// Bands of heights: about as many as a stringer has corners, so that a band holds hardly more
/// cells than a line through it.
const BANDS: usize = 48;

/// The moves that bring a part of b nearer to one of a than the spacing: a convex shape with round
/// corners, as its two flanks, each from the bottom up.
struct Cell {
    left: Range<usize>,
    right: Range<usize>,
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
    /// A sum grown by `s`, its flanks put behind those that are there.
    fn new(sum: &Convex, s: f64, flanks: &mut Vec<Flank>) -> Self {
        let bounds = sum.bounds();
        let from = flanks.len();
        flank(sum, s, -1.0, flanks);
        let between = flanks.len();
        flank(sum, s, 1.0, flanks);
        Self {
            left: from..between,
            right: between..flanks.len(),
            low: bounds.min.y - s,
            high: bounds.max.y + s,
            start: bounds.min.x - s,
            end: bounds.max.x + s,
        }
    }
}

/// How slices are read: moved by `by` along X, as they are or, for a `sign` of -1, mirrored about 0
/// before.
#[derive(Clone, Copy)]
pub(super) struct Seen {
    pub by: f64,
    pub sign: f64,
}

impl Seen {
    /// A stretch, or the ends between which it can lie.
    fn stretch(self, low: f64, high: f64) -> (f64, f64) {
        if self.sign > 0.0 {
            (low + self.by, high + self.by)
        } else {
            (self.by - high, self.by - low)
        }
    }
}

/// Adds one flank of a convex polygon grown by `s`: the right one for a `hand` of 1, the left for
/// -1.
fn flank(sum: &Convex, s: f64, hand: f64, flank: &mut Vec<Flank>) {
    let (corners, sides) = (sum.corners(), sum.sides());
    let n = corners.len();
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
        Self::of_sums(&convex_sums(a, b), spacing)
    }

    /// Of a no-fit polygon, as the convex pieces it is the union of, grown by `spacing` mm.
    fn of_sums(sums: &[Convex], spacing: f64) -> Self {
        let mut flanks = Vec::new();
        let mut cells: Vec<Cell> =
            sums.iter().map(|sum| Cell::new(sum, spacing, &mut flanks)).collect();
        // The farthest first: the question for the farthest end is soon settled.
        cells.sort_by(|a, b| b.end.total_cmp(&a.end));
        let corners = sums.iter().flat_map(|sum| sum.corners().iter().map(|p| p.y)).collect();
        let low = cells.iter().map(|c| c.low).fold(f64::INFINITY, f64::min);
        let high = cells.iter().map(|c| c.high).fold(f64::NEG_INFINITY, f64::max);
        let (bands, band_ends) = (Vec::new(), [0; BANDS]);
        let mut slicer = Self { cells, flanks, corners, low, high, bands, band_ends };
        slicer.sort_into_bands();
        slicer
    }

    fn sort_into_bands(&mut self) {
        let reached = |cell: &Cell| self.band(cell.low)..=self.band(cell.high);
        let reached: Vec<RangeInclusive<usize>> = self.cells.iter().map(reached).collect();
        for band in 0..BANDS {
            let of_band = reached.iter().enumerate().filter(|(_, bands)| bands.contains(&band));
            self.bands.extend(of_band.map(|(number, _)| number as u32));
            self.band_ends[band] = self.bands.len() as u32;
        }
    }

    /// The band of a height; what is off all of them is in the first or the last.
    fn band(&self, y: f64) -> usize {
        // The same sum for every height, and it never falls as the height rises: a cell is in every
        // band that a height between its ends falls in.
        let share = (y - self.low) / (self.high - self.low) * BANDS as f64;
        (share.max(0.0) as usize).min(BANDS - 1)
    }

    /// The cells that a height may pass through, the one that reaches farthest first.
    fn near(&self, y: f64) -> impl Iterator<Item = &Cell> + '_ {
        let band = self.band(y);
        let from = if band > 0 { self.band_ends[band - 1] } else { 0 };
        let numbers = &self.bands[from as usize..self.band_ends[band] as usize];
        numbers.iter().map(|number| &self.cells[*number as usize])
    }

    /// Of `b` sliding along Y past `a`: the slicer of the same shapes with X and Y exchanged.
    pub(super) fn along_y(a: &[Point], b: &[Point], spacing: f64) -> Self {
        Self::along_x(&exchanged(a), &exchanged(b), spacing)
    }

    /// The least X from `x` on that is allowed at height `y`, which is of the slicer's own frame.
    pub(super) fn first_free(&self, y: f64, seen: Seen, mut x: f64) -> f64 {
        loop {
            let from = x;
            for cell in self.near(y).filter(|c| c.low < y && y < c.high) {
                // The ends of all its slices first, then of this one the far end: most cells are
                // done with before the second flank is asked.
                let (start, end) = seen.stretch(cell.start, cell.end);
                if start < x && x < end {
                    x = self.pushed(cell, y, seen, x);
                }
            }
            // One cell may have moved it into one that was asked before.
            if x == from {
                return x;
            }
        }
    }

    /// The far end of a cell at a height, if `x` lies in it; else `x`.
    fn pushed(&self, cell: &Cell, y: f64, seen: Seen, x: f64) -> f64 {
        let (low, high) = if seen.sign > 0.0 {
            let high = self.right_end(cell, y) + seen.by;
            if high <= x {
                return x;
            }
            (self.left_end(cell, y) + seen.by, high)
        } else {
            let high = seen.by - self.left_end(cell, y);
            if high <= x {
                return x;
            }
            (seen.by - self.right_end(cell, y), high)
        };
        if low < x { high } else { x }
    }

    /// The right end of a cell at a height between its lowest and its highest.
    fn right_end(&self, cell: &Cell, y: f64) -> f64 {
        at(&self.flanks[cell.right.clone()], y, 1.0)
    }

    /// The left end of a cell at a height between its lowest and its highest.
    fn left_end(&self, cell: &Cell, y: f64) -> f64 {
        at(&self.flanks[cell.left.clone()], y, -1.0)
    }

    /// The least X from which on every move at height `y` is allowed; `None` if all are.
    pub(super) fn beyond(&self, y: f64) -> Option<f64> {
        let mut beyond: Option<f64> = None;
        for cell in self.near(y) {
            if beyond.is_some_and(|far| cell.end <= far) {
                break;
            }
            if cell.low < y && y < cell.high {
                let end = self.right_end(cell, y);
                beyond = Some(beyond.map_or(end, |far| far.max(end)));
            }
        }
        beyond
    }

    /// The heights at which the shapes can meet.
    pub(super) fn heights(&self) -> (f64, f64) {
        (self.low, self.high)
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
        let mut ys = self.corners.clone();
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
