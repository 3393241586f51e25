//! A straight line or a circular arc from one point to another.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use super::{Bounds, Placement, Point, Vector, cross, left_of};

/// Which way an arc turns, seen from above.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turn {
    /// Counter-clockwise.
    Left,
    /// Clockwise.
    Right,
}

impl Turn {
    /// The other way.
    pub fn reversed(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Right => Self::Left,
        }
    }

    /// +1 for left, -1 for right.
    pub fn sign(self) -> f64 {
        match self {
            Self::Left => 1.0,
            Self::Right => -1.0,
        }
    }
}

/// A directed piece of a path.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Segment {
    /// The straight line between two points.
    Line {
        /// Where it starts.
        from: Point,
        /// Where it ends.
        to: Point,
    },
    /// A circular arc of less than a full turn.
    Arc {
        /// Where it starts.
        from: Point,
        /// Where it ends.
        to: Point,
        /// The middle of its circle.
        center: Point,
        /// Which way it turns.
        turn: Turn,
    },
}

impl Segment {
    /// Where it starts.
    pub fn from(&self) -> Point {
        match *self {
            Self::Line { from, .. } | Self::Arc { from, .. } => from,
        }
    }

    /// Where it ends.
    pub fn to(&self) -> Point {
        match *self {
            Self::Line { to, .. } | Self::Arc { to, .. } => to,
        }
    }

    /// The radius of an arc's start; infinite for a line.
    pub fn radius(&self) -> f64 {
        match *self {
            Self::Line { .. } => f64::INFINITY,
            Self::Arc { from, center, .. } => (from - center).norm(),
        }
    }

    /// The angle an arc turns through in radians, positive to the left, within one full turn; 0 for
    /// a line.
    pub fn sweep(&self) -> f64 {
        let Self::Arc { from, to, center, turn } = *self else { return 0.0 };
        let (a, b) = (from - center, to - center);
        let angle = cross(a, b).atan2(a.dot(&b)) * turn.sign();
        let positive = if angle <= 0.0 { angle + TAU } else { angle };
        positive * turn.sign()
    }

    /// Length along the segment.
    pub fn length(&self) -> f64 {
        match *self {
            Self::Line { from, to } => (to - from).norm(),
            Self::Arc { .. } => self.radius() * self.sweep().abs(),
        }
    }

    /// The point at `share` of the length, 0 at the start and 1 at the end.
    pub fn point_at(&self, share: f64) -> Point {
        match *self {
            Self::Line { from, to } => from + (to - from) * share,
            Self::Arc { from, center, .. } => {
                center + nalgebra::Rotation2::new(self.sweep() * share) * (from - center)
            }
        }
    }

    /// The unit direction of travel at `share` of the length.
    pub fn direction_at(&self, share: f64) -> Vector {
        match *self {
            Self::Line { from, to } => (to - from).normalize(),
            Self::Arc { center, turn, .. } => {
                left_of(self.point_at(share) - center).normalize() * turn.sign()
            }
        }
    }

    /// The piece between two shares of the length.
    pub fn piece(&self, start: f64, end: f64) -> Self {
        let (from, to) = (self.point_at(start), self.point_at(end));
        match *self {
            Self::Line { .. } => Self::Line { from, to },
            Self::Arc { center, turn, .. } => Self::Arc { from, to, center, turn },
        }
    }

    /// The same segment travelled the other way.
    pub fn reversed(&self) -> Self {
        match *self {
            Self::Line { from, to } => Self::Line { from: to, to: from },
            Self::Arc { from, to, center, turn } => {
                Self::Arc { from: to, to: from, center, turn: turn.reversed() }
            }
        }
    }

    /// The segment turned and moved.
    pub fn placed(&self, placement: &Placement) -> Self {
        match *self {
            Self::Line { from, to } => Self::Line { from: placement * from, to: placement * to },
            Self::Arc { from, to, center, turn } => Self::Arc {
                from: placement * from,
                to: placement * to,
                center: placement * center,
                turn,
            },
        }
    }

    /// Twice the signed area between the segment and the origin; summed round a contour it gives
    /// twice the area.
    pub fn doubled_area(&self) -> f64 {
        let chord = cross(self.from().coords, self.to().coords);
        let (radius, sweep) = (self.radius(), self.sweep());
        if sweep == 0.0 { chord } else { chord + radius * radius * (sweep - sweep.sin()) }
    }

    /// The upright box around the segment, an arc's bulge included.
    pub fn bounds(&self) -> Bounds {
        let (from, to) = (self.from(), self.to());
        let mut bounds = Bounds { min: from.inf(&to), max: from.sup(&to) };
        if let Self::Arc { center, .. } = *self {
            let radius = self.radius();
            for axis in [Vector::x(), Vector::y(), -Vector::x(), -Vector::y()] {
                if self.covers(axis) {
                    let p = center + axis * radius;
                    bounds = bounds.joined(Bounds { min: p, max: p });
                }
            }
        }
        bounds
    }

    /// Whether an arc passes through a direction from its centre, by the signs of cross products
    /// alone; never for a line. An arc that ends where it starts is a whole circle.
    pub fn covers(&self, direction: Vector) -> bool {
        let Self::Arc { from, to, center, turn } = *self else { return false };
        let (a, b) = match turn {
            Turn::Left => (from - center, to - center),
            Turn::Right => (to - center, from - center),
        };
        let turned = cross(a, b);
        let at_most_half = turned > 0.0 || (turned == 0.0 && a.dot(&b) < 0.0);
        match at_most_half {
            true => cross(a, direction) >= 0.0 && cross(direction, b) >= 0.0,
            // What it leaves out turns less than half the way from its end to its start.
            false => !(cross(b, direction) > 0.0 && cross(direction, a) > 0.0),
        }
    }

    /// The bulge of a drawing exchange polyline: the tangent of a quarter of the swept angle, 0 for
    /// a line.
    pub fn bulge(&self) -> f64 {
        (self.sweep() / 4.0).tan()
    }

    /// The arc or line of a bulge, the inverse of [`Segment::bulge`].
    pub fn from_bulge(from: Point, to: Point, bulge: f64) -> Self {
        if bulge == 0.0 {
            return Self::Line { from, to };
        }
        let half = (to - from) / 2.0;
        let center = from + half + left_of(half) * ((1.0 - bulge * bulge) / (2.0 * bulge));
        Self::Arc { from, to, center, turn: if bulge > 0.0 { Turn::Left } else { Turn::Right } }
    }

    /// The pieces of an arc, none turning more than a quarter; a line is itself.
    pub fn quartered(&self) -> Vec<Self> {
        let count = (self.sweep().abs() / FRAC_PI_2 - 1e-9).ceil().max(1.0);
        let share = |i: f64| i / count;
        (0..count as usize).map(|i| self.piece(share(i as f64), share(i as f64 + 1.0))).collect()
    }
}

/// The interior angle of a turn from one direction to another, in radians from -pi to pi, positive
/// to the left.
pub(super) fn turn_angle(arriving: Vector, leaving: Vector) -> f64 {
    let angle = cross(arriving, leaving).atan2(arriving.dot(&leaving));
    if angle == -PI { PI } else { angle }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn quarter() -> Segment {
        Segment::Arc {
            from: Point::new(2.0, 0.0),
            to: Point::new(0.0, 2.0),
            center: Point::origin(),
            turn: Turn::Left,
        }
    }

    #[test]
    fn an_arc_has_the_length_and_area_of_its_circle() {
        assert!((quarter().length() - PI).abs() < 1e-12);
        assert!((quarter().reversed().sweep() + FRAC_PI_2).abs() < 1e-12);
        assert!((quarter().doubled_area() - TAU).abs() < 1e-12);
    }

    #[test]
    fn a_bulge_survives_there_and_back() {
        let Segment::Arc { center, turn, .. } =
            Segment::from_bulge(quarter().from(), quarter().to(), quarter().bulge())
        else {
            panic!("an arc stays an arc");
        };
        assert!(center.coords.norm() < 1e-12 && turn == Turn::Left);
    }

    #[test]
    fn an_arc_covers_the_directions_that_its_angle_tells() {
        let on = |degrees: f64| {
            let (y, x) = degrees.to_radians().sin_cos();
            Point::new(3.0 + 2.0 * x, -1.0 + 2.0 * y)
        };
        let center = Point::new(3.0, -1.0);
        for start in (0_i32..360).step_by(20) {
            for sweep in (5_i32..360).step_by(25) {
                let (from, to) = (on(f64::from(start)), on(f64::from(start + sweep)));
                let left = Segment::Arc { from, to, center, turn: Turn::Left };
                for angle in (0_i32..360).step_by(7) {
                    let inside = (angle - start).rem_euclid(360) < sweep;
                    let at_an_end = [0, sweep].contains(&(angle - start).rem_euclid(360));
                    let direction = on(f64::from(angle)) - center;
                    for arc in [left, left.reversed()] {
                        let covers = arc.covers(direction);
                        assert!(at_an_end || covers == inside, "{start} {sweep} {angle}");
                    }
                }
            }
        }
        let round = Segment::Arc { from: on(30.0), to: on(30.0), center, turn: Turn::Right };
        assert!(round.covers(Vector::x()) && round.covers(-Vector::y()));
        assert!(!Segment::Line { from: on(0.0), to: on(90.0) }.covers(Vector::x()));
    }

    #[test]
    fn the_box_of_an_arc_holds_its_bulge() {
        let half = Segment::Arc {
            from: Point::new(1.0, 0.0),
            to: Point::new(-1.0, 0.0),
            center: Point::origin(),
            turn: Turn::Right,
        };
        assert!((half.bounds().min.y + 1.0).abs() < 1e-12);
        assert_eq!(half.quartered().len(), 2);
    }
}
