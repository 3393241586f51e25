//! Rows of meshed pairs, all tilted at one angle.

use super::column::{Couple, ROUNDING_MM};
use super::problem::{Lying, Turns};
use super::field::{Field, Shape};
use crate::geometry::{Bounds, Placement, Point, Vector};
use std::f64::consts::{FRAC_PI_2, PI};

/// Half a degree first, then a tenth.
const COARSE_RAD: f64 = PI / 360.0;
const FINE_STEPS: i32 = 5;
const COARSE_STARTS: usize = 24;
const FINE_STARTS: usize = 96;
/// Tilts refined, and layouts handed on.
const REFINED: usize = 10;
const KEPT: usize = 3;

/// Pairs side by side in line, in the frame of the piece: partner at `seat`, the next pair `pitch` on.
struct Row {
    seat: Vector,
    pitch: f64,
    height: f64,
}

/// Rows of pairs of one kind of piece.
pub(super) struct Tilted<'a> {
    couple: &'a Couple,
    rows: Vec<Row>,
}

/// Rows at an angle, the first one `start` up from the lowest place that holds a piece.
#[derive(Clone, Copy, Debug)]
struct Tilt {
    angle: f64,
    start: f64,
    count: usize,
}

impl<'a> Tilted<'a> {
    /// The rows of a couple.
    pub fn new(couple: &'a Couple, spacing: f64) -> Tilted<'a> {
        let rows = couple.level_seats().into_iter().map(|seat| {
            let at = [Vector::zeros(), seat];
            let mut pitch: f64 = 0.0;
            for (i, j) in [(0, 0), (0, 1), (1, 0), (1, 1)] {
                let between = at[j] - at[i];
                pitch = couple.reach(i, j, between.y).map_or(pitch, |d| pitch.max(d - between.x));
            }
            let (a, b) = (couple.shapes[0].bounds, couple.shapes[1].bounds);
            let height = a.max.y.max(b.max.y + seat.y) - a.min.y.min(b.min.y + seat.y) + spacing;
            Row { seat, pitch, height }
        });
        Tilted { couple, rows: rows.filter(|r| r.pitch > ROUNDING_MM).collect() }
    }

    /// The fullest layouts found on a field, each with its angle.
    pub fn layouts(&self, outline: &[Point], turns: Turns, field: &Field) -> Vec<(f64, Vec<Lying>)> {
        let angles: Vec<f64> = match turns {
            Turns::Half => vec![0.0],
            Turns::Quarter => vec![0.0, FRAC_PI_2],
            Turns::Any => (0..360).map(|i| f64::from(i) * COARSE_RAD).collect(),
        };
        let mut tilts = self.tried(&angles, COARSE_STARTS, outline, field);
        if turns == Turns::Any {
            tilts.truncate(REFINED);
            let step = COARSE_RAD / f64::from(FINE_STEPS);
            let near = |t: &Tilt| (-FINE_STEPS..=FINE_STEPS).map(|i| t.angle + f64::from(i) * step).collect::<Vec<_>>();
            let fine: Vec<f64> = tilts.iter().flat_map(near).collect();
            tilts.extend(self.tried(&fine, FINE_STARTS, outline, field));
            tilts.sort_by_key(|t| std::cmp::Reverse(t.count));
        }
        tilts.truncate(KEPT);
        tilts.iter().map(|t| (t.angle, self.lying(t, outline, field))).collect()
    }

    /// The best start at each angle, the fullest first.
    fn tried(&self, angles: &[f64], starts: usize, outline: &[Point], field: &Field) -> Vec<Tilt> {
        let best = |angle: &f64| {
            let view = View::new(self, *angle, outline, field)?;
            view.starts(starts).into_iter().map(|s| view.tilt(s)).max_by_key(|t| t.count)
        };
        let mut tilts: Vec<Tilt> = angles.iter().filter_map(best).filter(|t| t.count > 0).collect();
        tilts.sort_by_key(|t| std::cmp::Reverse(t.count));
        tilts
    }

    fn lying(&self, tilt: &Tilt, outline: &[Point], field: &Field) -> Vec<Lying> {
        let Some(view) = View::new(self, tilt.angle, outline, field) else { return Vec::new() };
        let place = Placement::new(Vector::zeros(), tilt.angle);
        let mut lying = Vec::new();
        for (up, filled) in view.filled(tilt.start) {
            let row = &self.rows[filled.row];
            for (which, by) in [(0, Vector::zeros()), (1, row.seat)] {
                let Some((low, high)) = view.along(which, up, row) else { continue };
                let (first, last) = steps(low, high, filled.at, row.pitch);
                for k in first..=last {
                    let at = Vector::new(filled.at + k as f64 * row.pitch, up) + by;
                    lying.push(self.couple.shapes[which].lying(at));
                }
            }
        }
        lying.into_iter().map(|l| Lying { piece: l.piece, placement: place * l.placement }).collect()
    }
}

/// The field as rows at one angle see it.
struct View<'a> {
    tilted: &'a Tilted<'a>,
    angle: f64,
    rooms: [Option<Bounds>; 2],
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
    fn new(tilted: &'a Tilted, angle: f64, outline: &[Point], field: &Field) -> Option<View<'a>> {
        let room = |which: usize| {
            Shape::new(0, outline, tilted.couple.shapes[which].angle + angle).and_then(|s| s.room(field.usable))
        };
        let row = tilted.rows.first()?;
        let mut view = View { tilted, angle, rooms: [room(0), room(1)], low: 0.0, high: 0.0, period: row.height };
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
        let ups = super::layout_check::corners_of(room).map(|c| cos * c.y - sin * c.x - by);
        Some((ups.iter().copied().fold(f64::INFINITY, f64::min), ups.iter().copied().fold(f64::NEG_INFINITY, f64::max)))
    }

    /// Starts evenly over one period, and those at which a row just comes onto the field.
    fn starts(&self, samples: usize) -> Vec<f64> {
        let mut starts: Vec<f64> = (0..samples).map(|i| self.period * i as f64 / samples as f64).collect();
        for which in 0..2 {
            if let Some((low, high)) = self.ends(which, &self.tilted.rows[0]) {
                starts.extend([low, high].map(|up| (up - self.low).rem_euclid(self.period)));
            }
        }
        starts
    }

    /// The stretch along a row at height `up` where a piece or its partner may lie, in steps of the piece itself.
    fn along(&self, which: usize, up: f64, row: &Row) -> Option<(f64, f64)> {
        let room = self.rooms[which]?;
        let (sin, cos) = self.angle.sin_cos();
        let by = if which == 1 { row.seat } else { Vector::zeros() };
        let origin = Vector::new(-sin * (up + by.y), cos * (up + by.y));
        let (mut low, mut high) = (f64::NEG_INFINITY, f64::INFINITY);
        for (step, from, min, max) in [(cos, origin.x, room.min.x, room.max.x), (sin, origin.y, room.min.y, room.max.y)]
        {
            if step.abs() < 1e-12 {
                if from < min - ROUNDING_MM || from > max + ROUNDING_MM {
                    return None;
                }
                continue;
            }
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
        for (number, row) in self.tilted.rows.iter().enumerate() {
            let spans = [self.along(0, up, row), self.along(1, up, row)];
            for at in spans.iter().flatten().map(|s| s.0) {
                let held = |s: &(f64, f64)| {
                    let (first, last) = steps(s.0, s.1, at, row.pitch);
                    (last - first + 1).max(0)
                };
                let count = spans.iter().flatten().map(held).sum();
                if best.is_none_or(|b| count > b.count) {
                    best = Some(Filled { row: number, at, count });
                }
            }
        }
        best
    }

    fn tilt(&self, start: f64) -> Tilt {
        let count: i64 = self.filled(start).iter().map(|(_, f)| f.count).sum();
        Tilt { angle: self.angle, start, count: usize::try_from(count).unwrap_or(0) }
    }
}

/// Rows looked at on one field at most.
const MOST_ROWS: usize = 1000;

/// The first and last whole number of steps from `at` that lie in a stretch.
fn steps(low: f64, high: f64, at: f64, step: f64) -> (i64, i64) {
    let first = ((low - at - ROUNDING_MM) / step).ceil();
    let last = ((high - at + ROUNDING_MM) / step).floor();
    (first as i64, last as i64)
}
