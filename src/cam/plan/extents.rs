//! How far a program travels.

use super::program::{Program, Step};
use crate::geometry::{Bounds, Point, Vector};

/// The box of all motion.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Extents {
    /// On the machine, from X0 Y0 on, where every program begins and ends.
    pub plane: Bounds,
    /// Lowest and highest, from the stock's top, in mm.
    pub z_mm: (f64, f64),
}

impl Program {
    /// The box of all its motion, every set-up counted; `None` if nothing moves across.
    pub fn extents(&self) -> Option<Extents> {
        let mut setups = self.setups.iter();
        let mut by = setups.next().copied().unwrap_or_else(Vector::zeros);
        let mut plane: Option<Bounds> = None;
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
                _ => (None, None),
            };
            let moved = |at: Point| at + by;
            let place = place.map(|at| Bounds { min: moved(at.min), max: moved(at.max) });
            plane = match (plane, place) {
                (Some(one), Some(other)) => Some(one.joined(other)),
                (one, other) => one.or(other),
            };
            z = height.map_or(z, |height| (z.0.min(height), z.1.max(height)));
        }
        plane.map(|plane| Extents { plane, z_mm: z })
    }
}
