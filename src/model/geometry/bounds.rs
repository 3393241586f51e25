//! The upright box around something.

use super::{Placement, Point};

/// The smallest upright box around a set of points, in millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// The lower left corner.
    pub min: Point,
    /// The upper right corner.
    pub max: Point,
}

impl Bounds {
    /// The box around points; `None` if there are none.
    pub fn around(points: impl IntoIterator<Item = Point>) -> Option<Self> {
        points.into_iter().map(|p| Self { min: p, max: p }).reduce(Self::joined)
    }

    /// The box around two boxes.
    pub fn joined(self, other: Self) -> Self {
        Self { min: self.min.inf(&other.min), max: self.max.sup(&other.max) }
    }

    /// The box grown by `margin` on every side.
    pub fn grown(self, margin: f64) -> Self {
        let by = super::Vector::new(margin, margin);
        Self { min: self.min - by, max: self.max + by }
    }

    /// Extent along x.
    pub fn width(self) -> f64 {
        self.max.x - self.min.x
    }

    /// Extent along y.
    pub fn height(self) -> f64 {
        self.max.y - self.min.y
    }

    /// Whether two boxes share a point.
    pub fn touches(self, other: Self) -> bool {
        self.min.x <= other.max.x
            && other.min.x <= self.max.x
            && self.min.y <= other.max.y
            && other.min.y <= self.max.y
    }

    /// Its corners, counter-clockwise from the lower left.
    pub fn corners(self) -> [Point; 4] {
        let (low, high) = (self.min, self.max);
        [low, Point::new(high.x, low.y), high, Point::new(low.x, high.y)]
    }

    /// The box around this one where it is placed elsewhere.
    pub fn placed(self, by: &Placement) -> Self {
        let [first, others @ ..] = self.corners().map(|corner| by * corner);
        let box_of = |p: Point| Self { min: p, max: p };
        others.into_iter().map(box_of).fold(box_of(first), Self::joined)
    }

    /// The distance from a point to the box, 0 inside.
    pub fn distance(self, p: Point) -> f64 {
        self.apart(Self { min: p, max: p })
    }

    /// How far from another, in mm; 0 where they touch.
    pub fn apart(self, other: Self) -> f64 {
        let dx = (self.min.x - other.max.x).max(other.min.x - self.max.x).max(0.0);
        let dy = (self.min.y - other.max.y).max(other.min.y - self.max.y).max(0.0);
        dx.hypot(dy)
    }
}
