//! Columns of one kind of piece: each seated on the one before, every other turned half round.
//!
//! A piece and its half turn mesh best where they touch in two places: a double lattice (G.
//! Kuperberg, W. Kuperberg, Double-lattice packings of convex bodies in the plane, 1990, from
//! memory), here found by sliding for polygons of any shape. A column of k pieces costs O(k) slices
//! of no-fit polygons to seat and O(k^2) to find its pitch.

use super::field::RotatedPiece;
use super::no_fit_slice::NoFitSlicer;
use super::problem::Placed;
use crate::geometry::{Bounds, Point, Vector};
use std::f64::consts::PI;

/// A piece and its partner, and how near each comes to each, along Y (`above`) and along X
/// (`beside`): of shape i fixed and shape j sliding.
pub(super) struct PiecePair {
    pub shapes: [RotatedPiece; 2],
    above: [[NoFitSlicer; 2]; 2],
    beside: [[NoFitSlicer; 2]; 2],
}

impl PiecePair {
    /// The piece at angle 0 and at `partner`, in radians.
    pub(super) fn new(piece: usize, outline: &[Point], partner: f64, spacing: f64) -> Option<Self> {
        let shapes =
            [RotatedPiece::new(piece, outline, 0.0)?, RotatedPiece::new(piece, outline, partner)?];
        let points = |i: usize| &shapes[i].points;
        let above = |i, j| NoFitSlicer::along_y(points(i), points(j), spacing);
        let beside = |i, j| NoFitSlicer::along_x(points(i), points(j), spacing);
        let above = [[above(0, 0), above(0, 1)], [above(1, 0), above(1, 1)]];
        let beside = [[beside(0, 0), beside(0, 1)], [beside(1, 0), beside(1, 1)]];
        Some(Self { shapes, above, beside })
    }

    /// Piece and half-turned piece.
    pub(super) fn half_turned(piece: usize, outline: &[Point], spacing: f64) -> Option<Self> {
        Self::new(piece, outline, PI, spacing)
    }

    /// How far up `over` must be for a given move aside, to clear `under`.
    pub(super) fn rise(&self, under: usize, over: usize, aside: f64) -> Option<f64> {
        self.above[under][over].beyond(aside)
    }

    /// How far right `right` must be for a given move up, to clear `left`.
    pub(super) fn reach(&self, left: usize, right: usize, up: f64) -> Option<f64> {
        self.beside[left][right].beyond(up)
    }

    /// The moves that seat the partner deepest in the piece: first all those of the least rise
    /// among those aside by at most half the length, then the other seats there by rise.
    pub(super) fn seats(&self) -> Vec<Vector> {
        // A toothed piece has a seat at every tooth. Beyond half its length the overlap is so short
        // that a seat there saves height but wastes length.
        let half = self.shapes[0].bounds.width() / 2.0;
        let centred = self.shapes[0].bounds.min.x - self.shapes[1].bounds.min.x;
        let aside = |v: &Vector| (v.x - centred).abs();
        let mut near: Vec<Vector> = self.all_seats().filter(|v| aside(v) <= half).collect();
        // Rises are compared rounded: seats of one depth come out of a numeric search, and which of
        // them is deepest by 1e-12 mm must not decide.
        near.sort_by(|a, b| {
            rounded(a.y).total_cmp(&rounded(b.y)).then(aside(a).total_cmp(&aside(b)))
        });
        near
    }

    /// The seats of the same rise as the deepest one, however far aside.
    pub(super) fn level_seats(&self) -> Vec<Vector> {
        let Some(deepest) = self.seats().first().copied() else { return Vec::new() };
        self.all_seats().filter(|v| (v.y - deepest.y).abs() < SAME_RISE_MM).collect()
    }

    fn all_seats(&self) -> impl Iterator<Item = Vector> {
        self.above[0][1].seats().into_iter().map(|(x, y)| Vector::new(x, y))
    }
}

/// Two seats whose rises differ by less are equally deep: far above what the search for a seat is
/// off by, far below what a layout would notice.
const SAME_RISE_MM: f64 = 1e-6;

fn rounded(rise: f64) -> f64 {
    (rise / SAME_RISE_MM).round()
}

/// Pieces seated one above the other, the lowest first; what holds for the first `k` of them stands
/// at `k - 1`.
pub(super) struct Column {
    /// Which of the pair, and where.
    members: Vec<(usize, Vector)>,
    boxes: Vec<Bounds>,
    /// From column to column beside it.
    pitches: Vec<f64>,
}

/// Members further down than this are not asked for contact: a piece would have to reach through
/// three pairs. Where one does, the check drops the layout.
const DEEP: usize = 6;

impl Column {
    /// A column up to `height` mm whose every other member is aside by `slip` mm, starting with
    /// shape `first`.
    pub(super) fn new(pair: &PiecePair, slip: f64, first: usize, height: f64, most: usize) -> Self {
        let mut column = Self { members: Vec::new(), boxes: Vec::new(), pitches: Vec::new() };
        while column.members.len() < most {
            let which = (first + column.members.len()) % 2;
            let x = if which == 1 { slip } else { 0.0 };
            let below = column.members.iter().rev().take(DEEP);
            // The piece rests on whichever of those below it meets first.
            let rises =
                below.filter_map(|(under, at)| Some(at.y + pair.rise(*under, which, x - at.x)?));
            let y = rises.reduce(f64::max).unwrap_or(0.0);
            column.push(pair, which, Vector::new(x, y));
            if column.boxes.last().is_none_or(|b| b.height() > height) {
                break;
            }
        }
        column
    }

    fn push(&mut self, pair: &PiecePair, which: usize, at: Vector) {
        let own = pair.shapes[which].bounds;
        let own = Bounds { min: own.min + at, max: own.max + at };
        self.boxes.push(self.boxes.last().map_or(own, |b| b.joined(own)));
        self.members.push((which, at));
        // The next column must clear every member from every member, in both directions: a pitch
        // is the move that clears the new one to the right of each and each to the right of it.
        let mut pitch = self.pitches.last().copied().unwrap_or(0.0);
        for (other, there) in &self.members {
            let right = pair.reach(*other, which, at.y - there.y).map(|d| d + there.x - at.x);
            let left = pair.reach(which, *other, there.y - at.y).map(|d| d + at.x - there.x);
            pitch = right.into_iter().chain(left).fold(pitch, f64::max);
        }
        self.pitches.push(pitch);
    }

    /// The box of the first `k`.
    pub(super) fn bounds(&self, k: usize) -> Bounds {
        self.boxes[k - 1]
    }

    /// How many of the first members stand within a height.
    pub(super) fn fitting(&self, height: f64) -> usize {
        self.boxes.iter().take_while(|b| b.height() <= height + ROUNDING_MM).count()
    }

    /// How many columns of `k` stand side by side within a length.
    pub(super) fn beside(&self, k: usize, length: f64) -> usize {
        if k == 0 || self.bounds(k).width() > length + ROUNDING_MM {
            return 0;
        }
        let rest = length + ROUNDING_MM - self.bounds(k).width();
        1 + (rest / self.pitches[k - 1].max(ROUNDING_MM)).floor() as usize
    }

    /// The length of `m` columns of `k`.
    pub(super) fn length(&self, k: usize, m: usize) -> f64 {
        self.bounds(k).width() + self.pitches[k - 1] * (m - 1) as f64
    }

    /// The pieces of `m` columns of `k`, lower left corner at 0,0.
    pub(super) fn placed(&self, pair: &PiecePair, k: usize, m: usize) -> Vec<Placed> {
        // Columns are built from their first piece's frame; blocks want a corner at 0,0.
        let corner = self.bounds(k).min.coords;
        let mut placed = Vec::with_capacity(k * m);
        for i in 0..m {
            let by = Vector::new(self.pitches[k - 1] * i as f64, 0.0) - corner;
            let members = self.members[..k].iter();
            placed.extend(members.map(|(which, at)| pair.shapes[*which].placed(at + by)));
        }
        placed
    }
}

/// A length that is too long by less fits: far below what a layout may be wrong by.
pub(super) const ROUNDING_MM: f64 = 2e-10;
