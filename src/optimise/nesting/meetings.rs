//! How every two pieces meet at every two angles, found once and shared by all fillings of a
//! search.
//!
//! What one piece forbids another depends on both angles, but turning both half round only mirrors
//! it about the origin, and so does changing which of the two is moved: of k kinds at two angles
//! each k (k + 1) meetings are made instead of 4 k^2. A meeting does not depend on who asks first,
//! so threads share them and change no outcome.

use super::field::{Field, RotatedPiece};
use super::no_fit_slice::{NoFitSlicer, Seen};
use super::orientation::corners;
use super::problem::{KEPT_OFF_MM, Piece};
use crate::geometry::{Point, tolerance::COINCIDENT_MM};
use std::collections::BTreeMap;
use std::f64::consts::FRAC_PI_2;
use std::sync::{Arc, PoisonError, RwLock};

/// Two shapes and their angles as bits: no two angles that differ share a meeting.
type Key = (usize, u64, usize, u64);

/// The outlines of a search and the meetings known so far. What is kept out is numbered behind the
/// kinds of pieces.
pub(super) struct Meetings {
    outlines: Vec<Vec<Point>>,
    /// How many of the outlines are pieces.
    pieces: usize,
    spacing: f64,
    // A tree, not a hash table: nothing may hang on its order, and so nothing can.
    known: RwLock<BTreeMap<Key, Arc<Meeting>>>,
}

/// How one shape meets another.
struct Meeting {
    slicer: NoFitSlicer,
    heights: (f64, f64),
    /// The moves along X that can be forbidden at all.
    reach: (f64, f64),
    /// The heights at which the second sits in the first.
    seats: Vec<f64>,
}

/// A meeting as two shapes see it, or mirrored about the origin.
#[derive(Clone)]
pub(super) struct Met {
    meeting: Arc<Meeting>,
    sign: f64,
}

impl Meetings {
    /// Of the pieces of a problem and what its field keeps free.
    pub(super) fn new(pieces: &[Piece], field: &Field) -> Self {
        let mut outlines: Vec<Vec<Point>> = pieces.iter().map(|p| p.outline.clone()).collect();
        outlines.extend(field.keep_out.iter().map(|kept| corners(*kept).to_vec()));
        let known = RwLock::new(BTreeMap::new());
        Self { outlines, pieces: pieces.len(), spacing: field.spacing, known }
    }

    /// The shape of this number at an angle; `None` if it has no corners.
    pub(super) fn shape(&self, number: usize, angle: f64) -> Option<RotatedPiece> {
        RotatedPiece::new(number, self.outlines.get(number)?, angle)
    }

    /// The numbers of what is kept out.
    pub(super) fn kept_out(&self) -> std::ops::Range<usize> {
        self.pieces..self.outlines.len()
    }

    /// How a shape that slides meets one that lies.
    pub(super) fn met(&self, fixed: &RotatedPiece, moved: &RotatedPiece) -> Met {
        let (key, sign) = canonical((fixed.piece, fixed.angle), (moved.piece, moved.angle));
        // A table of finished meetings is whole at every moment, whichever thread ended badly.
        let known = self.known.read().unwrap_or_else(PoisonError::into_inner);
        if let Some(meeting) = known.get(&key) {
            return Met { meeting: Arc::clone(meeting), sign };
        }
        drop(known);
        let meeting = Arc::new(self.made(key));
        let mut known = self.known.write().unwrap_or_else(PoisonError::into_inner);
        Met { meeting: Arc::clone(known.entry(key).or_insert(meeting)), sign }
    }

    fn made(&self, (fixed, fixed_at, moved, moved_at): Key) -> Meeting {
        let shape = |number, angle| {
            self.shape(number, f64::from_bits(angle)).expect("a shape that lies has corners")
        };
        let (a, b) = (shape(fixed, fixed_at), shape(moved, moved_at));
        // Of what is kept out only next to nothing is kept.
        let is_kept = self.kept_out().contains(&fixed) || self.kept_out().contains(&moved);
        let spacing = if is_kept { KEPT_OFF_MM } else { self.spacing };
        Meeting::new(&a.points, &b.points, spacing)
    }
}

/// The meeting that stands for this one, and -1 if it is that one mirrored.
fn canonical(fixed: (usize, f64), moved: (usize, f64)) -> (Key, f64) {
    let key = |a: (usize, f64), b: (usize, f64)| (a.0, a.1.to_bits(), b.0, b.1.to_bits());
    let (Some(i), Some(j)) = (quarters(fixed.1), quarters(moved.1)) else {
        return (key(fixed, moved), 1.0);
    };
    let angle = |quarters: u8| f64::from(quarters) * FRAC_PI_2;
    let mut sign = 1.0;
    let (mut i, mut j) = (i, j);
    if i >= 2 {
        (i, j, sign) = (i - 2, (j + 2) % 4, -1.0);
    }
    let turned = (j + 4 - i) % 4;
    let (mut a, mut b) = (fixed.0, moved.0);
    if a > b && turned.is_multiple_of(2) {
        (a, b) = (b, a);
        // Moved and fixed exchanged mirror it; where they lie half round to each other the half
        // turn of both mirrors it back.
        if turned == 0 {
            sign = -sign;
        }
    }
    (key((a, angle(i)), (b, angle(j))), sign)
}

/// How many quarters an angle is, whole turns left out, if it is just that.
fn quarters(angle: f64) -> Option<u8> {
    let is_it = |k: &u8| angle.to_bits() == (f64::from(*k) * FRAC_PI_2).to_bits();
    (0..8_u8).find(is_it).map(|k| k % 4)
}

impl Meeting {
    fn new(a: &[Point], b: &[Point], spacing: f64) -> Self {
        // A hair less than the spacing, so that what touches at the spacing is not taken to be in
        // the way.
        let hair_less = (spacing - COINCIDENT_MM / 2.0).max(COINCIDENT_MM / 4.0);
        let slicer = NoFitSlicer::along_x(a, b, hair_less);
        // Seats from all four sides: b slid in from the right and the left, from above and below.
        let seats_x = |a, b| NoFitSlicer::along_x(a, b, spacing).seats();
        let seats_y = |a, b| NoFitSlicer::along_y(a, b, spacing).seats();
        let mut seats: Vec<f64> = seats_x(a, b).iter().map(|s| s.0).collect();
        seats.extend(seats_x(b, a).iter().map(|s| -s.0));
        seats.extend(seats_y(a, b).iter().map(|s| s.1));
        seats.extend(seats_y(b, a).iter().map(|s| -s.1));
        seats.sort_by(f64::total_cmp);
        seats.dedup_by(|a, b| *a - *b < SAME_SEAT_MM);
        Self { heights: slicer.heights(), reach: slicer.reach(), slicer, seats }
    }
}

/// Seats whose heights differ by less are one, in mm.
const SAME_SEAT_MM: f64 = 1e-6;

impl Met {
    /// The heights at which the second sits in the first, in any order.
    pub(super) fn seats(&self) -> impl Iterator<Item = f64> + '_ {
        self.meeting.seats.iter().map(|y| self.sign * y)
    }

    /// Whether the two can meet at a height at all.
    pub(super) fn is_near(&self, up: f64) -> bool {
        let (low, high) = self.meeting.heights;
        let up = self.sign * up;
        low < up && up < high
    }

    /// The moves along X outside of which nothing is taken at any height.
    pub(super) fn reach(&self) -> (f64, f64) {
        let (low, high) = self.meeting.reach;
        if self.sign > 0.0 { (low, high) } else { (-high, -low) }
    }

    /// The least X from `x` on that is free at a height, all moved by `by`.
    pub(super) fn first_free(&self, up: f64, by: f64, x: f64) -> f64 {
        self.meeting.slicer.first_free(self.sign * up, Seen { by, sign: self.sign }, x)
    }
}
