//! How far a program travels.

use super::program::{Program, Step};
use crate::geometry::{Bounds, Point, Vector};

/// The box of all motion.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Extents {
    /// On the machine, from X0 Y0 on, where the tool parks included.
    pub plane: Bounds,
    /// The same without the way home.
    pub work: Bounds,
    /// Lowest and highest, from the stock's top, in mm.
    pub z_mm: (f64, f64),
}

impl Program {
    /// The box of all its motion, every set-up counted; `None` if nothing moves across.
    pub fn extents(&self) -> Option<Extents> {
        let mut setups = self.setups.iter();
        let mut by = setups.next().copied().unwrap_or_else(Vector::zeros);
        let (mut plane, mut work): (Option<Bounds>, Option<Bounds>) = (None, None);
        let mut is_off = false;
        let mut z = (f64::INFINITY, f64::NEG_INFINITY);
        for step in &self.steps {
            let (place, height) = match step {
                Step::Stop(_) => {
                    by = setups.next().copied().unwrap_or(by);
                    (None, None)
                }
                Step::RapidXy(to) => (Some(Bounds { min: *to, max: *to }), None),
                Step::Cut { segment, to_z, .. } => (Some(segment.bounds()), Some(*to_z)),
                Step::RapidZ(z) | Step::FeedZ(z) => (None, Some(*z)),
                Step::ToolOn | Step::ToolOff => {
                    is_off = *step == Step::ToolOff;
                    (None, None)
                }
                _ => (None, None),
            };
            let moved = |at: Point| at + by;
            let place = place.map(|at| Bounds { min: moved(at.min), max: moved(at.max) });
            plane = joined(plane, place);
            work = joined(work, place.filter(|_| !is_off));
            z = height.map_or(z, |height| (z.0.min(height), z.1.max(height)));
        }
        plane.map(|plane| Extents { plane, work: work.unwrap_or(plane), z_mm: z })
    }

    /// Where it leaves the tool at the end, on the machine: over that place it is begun too.
    pub fn ends_at(&self) -> Option<Point> {
        let by = self.setups.last().copied().unwrap_or_else(Vector::zeros);
        self.steps.iter().rev().find_map(|step| match step {
            Step::RapidXy(to) => Some(to + by),
            _ => None,
        })
    }
}

fn joined(one: Option<Bounds>, other: Option<Bounds>) -> Option<Bounds> {
    match (one, other) {
        (Some(one), Some(other)) => Some(one.joined(other)),
        (one, other) => one.or(other),
    }
}
