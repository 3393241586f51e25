//! Rows of meshed pairs, all tilted at one angle.
//!
//! Where a sheet is a little too short or too narrow for a block, the same lattice of pairs tilted
//! by some degrees often holds a piece more. Everything is worked out in the frame of the row, with
//! the field tilted instead: a row is then level, and a piece on it may lie along one stretch of
//! it. For a angles, s starts and r rows: O(a s r), each row in O(seats).

use super::column::{PiecePair, ROUNDING_MM};
use super::field::{Field, RotatedPiece};
use super::orientation::corners;
use super::problem::{Piece, Placed, Rotations};
use crate::geometry::{Bounds, Placement, Vector};
use std::f64::consts::{FRAC_PI_2, PI};

/// Half a degree first, then a tenth: a tilt of 0.1 degree moves the end of an 8 ft piece by 4 mm.
const COARSE_RAD: f64 = PI / 360.0;
const FINE_STEPS: i32 = 5;
/// Heights tried for the first row, coarsely and finely, over the height of one row.
const COARSE_STARTS: usize = 24;
const FINE_STARTS: usize = 96;
/// Tilts refined, and layouts handed on.
const REFINED: usize = 10;
const KEPT: usize = 3;
/// Rows looked at on one field at most.
const MOST_ROWS: usize = 1000;
/// Below this a direction is taken to have no part along an axis: far below a tenth of a degree.
const LEVEL: f64 = 1e-12;

/// Pairs side by side in line, in the frame of the piece: partner at `seat`, the next pair `pitch`
/// on, the next row `height` up.
struct Row {
    seat: Vector,
    pitch: f64,
    height: f64,
}

impl Row {
    /// A row of pairs whose partner sits at a seat.
    fn new(pair: &PiecePair, seat: Vector, spacing: f64) -> Self {
        let at = [Vector::zeros(), seat];
        let mut pitch: f64 = 0.0;
        // Piece and partner each clear the next pair's piece and partner.
        for (i, j) in [(0, 0), (0, 1), (1, 0), (1, 1)] {
            let between = at[j] - at[i];
            pitch = pair.reach(i, j, between.y).map_or(pitch, |d| pitch.max(d - between.x));
        }
        let (a, b) = (pair.shapes[0].bounds, pair.shapes[1].bounds);
        let height = a.max.y.max(b.max.y + seat.y) - a.min.y.min(b.min.y + seat.y) + spacing;
        Self { seat, pitch, height }
    }

    /// Where the piece, or its partner, lies against the pair.
    fn offset(&self, which: usize) -> Vector {
        if which == 1 { self.seat } else { Vector::zeros() }
    }
}

/// Rows of pairs of one kind of piece.
pub(super) struct RotatedRows<'a> {
    pair: &'a PiecePair,
    rows: Vec<Row>,
}

/// A layout whose rows run at an angle, in radians.
pub(super) struct Rotated {
    pub angle: f64,
    pub placed: Vec<Placed>,
}

/// Rows at an angle, the first one `start` up from the lowest place that holds a piece.
#[derive(Clone, Copy, Debug)]
struct Tilt {
    angle: f64,
    start: f64,
    count: usize,
}

impl<'a> RotatedRows<'a> {
    /// The rows of a pair.
    pub(super) fn new(pair: &'a PiecePair, spacing: f64) -> Self {
        let rows = pair.level_seats().into_iter().map(|seat| Row::new(pair, seat, spacing));
        RotatedRows { pair, rows: rows.filter(|r| r.pitch > ROUNDING_MM).collect() }
    }

    /// The fullest layouts found on a field.
    pub(super) fn layouts(&self, piece: &Piece, field: &Field) -> Vec<Rotated> {
        // Half a circle is enough: a pair turned half round is the pair again.
        let angles: Vec<f64> = match piece.rotations {
            Rotations::Half => vec![0.0],
            Rotations::Quarter => vec![0.0, FRAC_PI_2],
            Rotations::Any => (0..360).map(|i| f64::from(i) * COARSE_RAD).collect(),
        };
        // Coarsely at all angles, then finely around the best: all angles finely would take five
        // times as long, and four times more starts besides.
        let mut tilts = self.tried(&angles, COARSE_STARTS, piece, field);
        if piece.rotations == Rotations::Any {
            tilts.truncate(REFINED);
            let fine: Vec<f64> = tilts.iter().flat_map(|t| angles_near(t.angle)).collect();
            tilts.extend(self.tried(&fine, FINE_STARTS, piece, field));
            tilts.sort_by_key(|t| std::cmp::Reverse(t.count));
        }
        tilts.truncate(KEPT);
        tilts.iter().map(|t| self.laid(t, piece, field)).collect()
    }

    /// The best start at each angle, the fullest first.
    fn tried(&self, angles: &[f64], starts: usize, piece: &Piece, field: &Field) -> Vec<Tilt> {
        let best = angles.iter().filter_map(|angle| {
            let view = View::new(self, *angle, piece, field)?;
            view.starts(starts).into_iter().map(|s| view.tilt(s)).max_by_key(|t| t.count)
        });
        let mut tilts: Vec<Tilt> = best.filter(|t| t.count > 0).collect();
        tilts.sort_by_key(|t| std::cmp::Reverse(t.count));
        tilts
    }

    fn laid(&self, tilt: &Tilt, piece: &Piece, field: &Field) -> Rotated {
        let placed = self.placed(tilt, piece, field);
        Rotated { angle: tilt.angle, placed }
    }

    fn placed(&self, tilt: &Tilt, piece: &Piece, field: &Field) -> Vec<Placed> {
        let Some(view) = View::new(self, tilt.angle, piece, field) else { return Vec::new() };
        // Rows are laid level, then turned into the frame of the field.
        let place = Placement::new(Vector::zeros(), tilt.angle);
        let mut placed = Vec::new();
        for (up, filled) in view.filled(tilt.start) {
            let row = &self.rows[filled.row];
            for which in 0..2 {
                let Some((low, high)) = view.along(which, up, row) else { continue };
                let (first, last) = steps(low, high, filled.at, row.pitch);
                for k in first..=last {
                    let pair_at = Vector::new(filled.at + k as f64 * row.pitch, up);
                    let one = self.pair.shapes[which].placed(pair_at + row.offset(which));
                    placed.push(Placed { piece: one.piece, placement: place * one.placement });
                }
            }
        }
        placed
    }
}

/// The fine angles around a coarse one.
fn angles_near(angle: f64) -> Vec<f64> {
    let step = COARSE_RAD / f64::from(FINE_STEPS);
    (-FINE_STEPS..=FINE_STEPS).map(|i| angle + f64::from(i) * step).collect()
}

/// The field as rows at one angle see it.
struct View<'a> {
    rows: &'a [Row],
    angle: f64,
    /// Where the piece and its partner may lie, in the frame of the field.
    rooms: [Option<Bounds>; 2],
    /// The lowest and highest that rows may lie, in their own frame.
    low: f64,
    high: f64,
    period: f64,
}

/// A row as filled: which one, and where along it the first pair lies.
#[derive(Clone, Copy)]
struct Filled {
    row: usize,
    at: f64,
    count: i64,
}

impl<'a> View<'a> {
    fn new(rotated: &'a RotatedRows<'_>, angle: f64, piece: &Piece, field: &Field) -> Option<Self> {
        let rows = &rotated.rows;
        let row = rows.first()?;
        let rooms = [0, 1].map(|which| {
            let at = rotated.pair.shapes[which].angle + angle;
            RotatedPiece::new(0, &piece.outline, at)?.inner_fit(field.usable)
        });
        let mut view = View { rows, angle, rooms, low: 0.0, high: 0.0, period: row.height };
        let ends: Vec<(f64, f64)> = (0..2).filter_map(|w| view.ends(w, row)).collect();
        view.low = ends.iter().map(|e| e.0).reduce(f64::min)?;
        view.high = ends.iter().map(|e| e.1).reduce(f64::max)?;
        Some(view)
    }

    /// How far up rows may lie, for a piece or its partner to be on the field.
    fn ends(&self, which: usize, row: &Row) -> Option<(f64, f64)> {
        let room = self.rooms[which]?;
        let (sin, cos) = self.angle.sin_cos();
        let by = if which == 1 { row.seat.y } else { 0.0 };
        let ups = corners(room).map(|c| cos * c.y - sin * c.x - by);
        let low = ups.iter().copied().fold(f64::INFINITY, f64::min);
        Some((low, ups.iter().copied().fold(f64::NEG_INFINITY, f64::max)))
    }

    /// Starts evenly over one period, and those at which a row just comes onto the field.
    fn starts(&self, samples: usize) -> Vec<f64> {
        let mut starts: Vec<f64> =
            (0..samples).map(|i| self.period * i as f64 / samples as f64).collect();
        for which in 0..2 {
            if let Some((low, high)) = self.ends(which, &self.rows[0]) {
                starts.extend([low, high].map(|up| (up - self.low).rem_euclid(self.period)));
            }
        }
        starts
    }

    /// The stretch along a row at height `up` where a piece or its partner may lie, in steps of the
    /// piece itself.
    fn along(&self, which: usize, up: f64, row: &Row) -> Option<(f64, f64)> {
        let room = self.rooms[which]?;
        let (sin, cos) = self.angle.sin_cos();
        let by = row.offset(which);
        let origin = Vector::new(-sin * (up + by.y), cos * (up + by.y));
        let (mut low, mut high) = (f64::NEG_INFINITY, f64::INFINITY);
        // The row is a line through the field's frame; the room cuts a stretch out of it, an axis
        // at a time (the slab method).
        let slabs =
            [(cos, origin.x, room.min.x, room.max.x), (sin, origin.y, room.min.y, room.max.y)];
        for (step, from, min, max) in slabs {
            if step.abs() < LEVEL {
                if from < min - ROUNDING_MM || from > max + ROUNDING_MM {
                    return None;
                }
                continue;
            }
            // A direction may run down the axis: the ends come out exchanged.
            let (a, b) = ((min - from) / step, (max - from) / step);
            (low, high) = (low.max(a.min(b)), high.min(a.max(b)));
        }
        (high >= low - ROUNDING_MM).then_some((low - by.x, high.max(low) - by.x))
    }

    /// The rows from a start on, each of the seat and place along it that hold most.
    fn filled(&self, start: f64) -> Vec<(f64, Filled)> {
        let mut rows = Vec::new();
        let mut up = self.low + start;
        while up <= self.high + ROUNDING_MM && rows.len() < MOST_ROWS {
            if let Some(best) = self.fullest(up) {
                rows.push((up, best));
            }
            up += self.period;
        }
        rows
    }

    fn fullest(&self, up: f64) -> Option<Filled> {
        let mut best: Option<Filled> = None;
        for (number, row) in self.rows.iter().enumerate() {
            let spans = [self.along(0, up, row), self.along(1, up, row)];
            // The fullest row has a piece or a partner hard against its end: two places to try.
            for at in spans.iter().flatten().map(|s| s.0) {
                let count = spans.iter().flatten().map(|s| held(*s, at, row.pitch)).sum();
                if best.is_none_or(|b| count > b.count) {
                    best = Some(Filled { row: number, at, count });
                }
            }
        }
        best
    }

    fn tilt(&self, start: f64) -> Tilt {
        let count: i64 = self.filled(start).iter().map(|(_, f)| f.count).sum();
        Tilt {
            angle: self.angle,
            start,
            count: usize::try_from(count).expect("no row holds fewer than no pieces"),
        }
    }
}

/// How many whole steps from `at` lie in a stretch.
fn held((low, high): (f64, f64), at: f64, step: f64) -> i64 {
    let (first, last) = steps(low, high, at, step);
    (last - first + 1).max(0)
}

/// The first and last whole number of steps from `at` that lie in a stretch.
fn steps(low: f64, high: f64, at: f64, step: f64) -> (i64, i64) {
    let first = ((low - at - ROUNDING_MM) / step).ceil();
    let last = ((high - at + ROUNDING_MM) / step).floor();
    (first as i64, last as i64)
}
