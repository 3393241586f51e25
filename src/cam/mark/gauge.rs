//! Two check lengths: pairs of cross marks a whole number of inches apart, to be measured again
//! when the pattern has been used for long.

use super::apart::between_rings;
use super::shape::Shape;
use super::sheet::Sheet;
use crate::geometry::Vector;
use crate::units::{MM_PER_INCH, Tape, trimmed};

/// The shortest length worth checking, in inches.
const SHORTEST_IN: i64 = 2;
/// The letters' names and the directions of the two lengths.
const GAUGES: [(&str, Axis); 2] = [("A", Axis::Along), ("B", Axis::Across)];

/// Which way a check length runs.
#[derive(Clone, Copy)]
enum Axis {
    /// Along the board.
    Along,
    /// Across it.
    Across,
}

/// Both check lengths in letters of a height, each as two shapes; or the name of one that finds no
/// room.
pub(super) fn gauges(sheet: &mut Sheet, height: f64) -> Vec<Result<[Shape; 2], String>> {
    let mut placed = Vec::new();
    for (name, axis) in GAUGES {
        let found =
            Gauge { name, axis, height }.longest(sheet).ok_or_else(|| format!("CHECK {name}"));
        found.iter().flatten().for_each(|shape| sheet.take(shape));
        placed.push(found);
    }
    placed
}

struct Gauge {
    name: &'static str,
    axis: Axis,
    height: f64,
}

impl Gauge {
    /// The pair with the greatest length, whole inches apart.
    fn longest(&self, sheet: &Sheet) -> Option<[Shape; 2]> {
        let bounds = sheet.bounds();
        let (lanes, span) = match self.axis {
            Axis::Along => (bounds.height(), bounds.width()),
            Axis::Across => (bounds.width(), bounds.height()),
        };
        let most = (span / MM_PER_INCH).floor() as i64;
        let (widest, far) = (
            Shape::cross_before(&self.words(most), self.height),
            Shape::cross_after(self.name, self.height),
        );
        let mut best: Option<(i64, Vector)> = None;
        for lane in 0..(lanes / self.height) as usize {
            let across = lane as f64 * self.height;
            let at = |along: f64| bounds.min.coords + self.vector(along, across);
            let mut places = (0..(span / sheet.step) as usize).map(|i| i as f64 * sheet.step);
            let Some(start) = places.find(|along| sheet.fits_at(&widest, at(*along))) else {
                continue;
            };
            let least = best.map_or(SHORTEST_IN, |(inches, _)| inches + 1);
            let room = ((span - start) / MM_PER_INCH).floor() as i64;
            let apart = |inches: i64| {
                let other = far.moved(at(start + inches as f64 * MM_PER_INCH));
                sheet.fits(&other.hull)
                    && between_rings(&widest.moved(at(start)).hull, &other.hull) > self.height
            };
            best = (least..=room)
                .rev()
                .find(|inches| apart(*inches))
                .map(|inches| (inches, at(start)))
                .or(best);
        }
        let (inches, home) = best?;
        let there = home + self.vector(inches as f64 * MM_PER_INCH, 0.0);
        Some([Shape::cross_before(&self.words(inches), self.height).moved(home), far.moved(there)])
    }

    /// The length as the tape in hand reads it, exact in either unit.
    fn words(&self, inches: i64) -> String {
        match Tape::in_hand() {
            Tape::Inches => format!("{} {inches} IN", self.name),
            Tape::Metric => {
                format!("{} {} MM", self.name, trimmed(inches as f64 * MM_PER_INCH, 1))
            }
        }
    }

    fn vector(&self, along: f64, across: f64) -> Vector {
        match self.axis {
            Axis::Along => Vector::new(along, across),
            Axis::Across => Vector::new(across, along),
        }
    }
}
