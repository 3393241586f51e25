//! The strip that a round tool sweeps along a straight way, cut into bands of equal height.

use super::{Point, Segment, Vector};

/// All points within `radius` of a straight way.
#[derive(Clone, Copy, Debug)]
pub(super) struct Capsule {
    low: Point,
    high: Point,
    radius: f64,
    /// How far it goes to the right on its way up.
    over: f64,
    /// Its sides, where it is not level and has none.
    sides: Option<[Side; 2]>,
}

/// The left or the right side of a strip, without its round ends.
#[derive(Clone, Copy, Debug)]
struct Side {
    low: Point,
    /// Its upper end's height.
    high_y: f64,
    /// How far it goes to the right for each millimetre up.
    slope: f64,
}

impl Side {
    /// Where it is at a height; `None` below and above it.
    fn at(&self, y: f64) -> Option<f64> {
        (self.low.y <= y && y <= self.high_y).then(|| self.low.x + self.slope * (y - self.low.y))
    }
}

/// How far a chord of an arc lies inside it at most, in mm: the capsule of a chord is as much
/// thicker.
const SAGITTA_MM: f64 = 0.02;
/// How much nearer a round end may come than its radius for the height of its tip, as a share: what
/// rounding makes.
const TIP: f64 = 1.0 + 1e-12;

/// A way that rises by less than this share of its length is level: rounding would decide where its
/// sides are.
const LEVEL: f64 = 1e-9;

impl Capsule {
    fn new(a: Point, b: Point, radius: f64) -> Self {
        let (low, high) = if a.y <= b.y { (a, b) } else { (b, a) };
        let along = high - low;
        let length = along.norm();
        let sides = (along.y > LEVEL * length).then(|| {
            let out = Vector::new(along.y / length * radius, -along.x / length * radius);
            let side = |out: Vector| Side {
                low: low + out,
                high_y: high.y + out.y,
                slope: along.x / along.y,
            };
            [side(-out), side(out)]
        });
        Self { low, high, radius, over: along.x, sides }
    }

    /// What covers all that a tool of a radius sweeps along segments: of lines exactly that, of
    /// arcs at most twice [`SAGITTA_MM`] more.
    pub(super) fn covering(ways: &[Segment], radius: f64) -> Vec<Self> {
        let mut all = Vec::with_capacity(ways.len());
        for way in ways {
            match way {
                Segment::Line { from, to } => all.push(Self::new(*from, *to, radius)),
                Segment::Arc { from: start, center, .. } => {
                    let sweep = way.sweep();
                    let half = (1.0 - SAGITTA_MM / way.radius().max(SAGITTA_MM)).acos();
                    let count = (sweep.abs() / (2.0 * half)).ceil().clamp(1.0, 4096.0);
                    let at = |share: f64| {
                        center + nalgebra::Rotation2::new(sweep * share) * (start - center)
                    };
                    let mut from = at(0.0);
                    for i in 1..=count as usize {
                        let to = at(i as f64 / count);
                        all.push(Self::new(from, to, radius + SAGITTA_MM));
                        from = to;
                    }
                }
            }
        }
        all
    }

    /// The lowest and the highest y of the strip.
    pub(super) fn reach(&self) -> (f64, f64) {
        (self.low.y - self.radius, self.high.y + self.radius)
    }

    /// The least and the greatest x of the strip anywhere between two heights; `None` where it does
    /// not come.
    ///
    /// The strip is convex, so that each side is farthest out where a height lies nearest to its
    /// outermost point.
    pub(super) fn within(&self, bottom: f64, top: f64) -> Option<(f64, f64)> {
        let (low, high) = self.reach();
        if !(bottom <= high && low <= top) {
            return None;
        }
        // Numbers all of them, the lesser one first: `clamp` would ask.
        let between = |y: f64, low: f64, high: f64| match y {
            y if y < low => low,
            y if y > high => high,
            y => y,
        };
        let nearest = |y: f64| {
            between(y, if bottom > low { bottom } else { low }, if top < high { top } else { high })
        };
        let (left_peak, right_peak) = match self.over {
            x if x > 0.0 => (self.low.y, self.high.y),
            x if x < 0.0 => (self.high.y, self.low.y),
            _ => {
                (between(bottom, self.low.y, self.high.y), between(bottom, self.low.y, self.high.y))
            }
        };
        Some((self.left_at(nearest(left_peak)), self.right_at(nearest(right_peak))))
    }

    /// The right side at a height.
    fn right_at(&self, y: f64) -> f64 {
        let side = self.sides.and_then(|[_, right]| right.at(y));
        side.unwrap_or_else(|| self.ends_at(y, |x, half| x + half, f64::max))
    }

    /// The left side at a height.
    fn left_at(&self, y: f64) -> f64 {
        let side = self.sides.and_then(|[left, _]| left.at(y));
        side.unwrap_or_else(|| self.ends_at(y, |x, half| x - half, f64::min))
    }

    /// The outer one of what both round ends come to at a height.
    fn ends_at(
        &self,
        y: f64,
        side: impl Fn(f64, f64) -> f64,
        outer: impl Fn(f64, f64) -> f64,
    ) -> f64 {
        let round = |p: Point| {
            let off = y - p.y;
            let half = || (self.radius * self.radius - off * off).max(0.0).sqrt();
            (off.abs() <= self.radius * TIP).then(|| side(p.x, half()))
        };
        match (round(self.low), round(self.high)) {
            (Some(a), Some(b)) => outer(a, b),
            (Some(x), None) | (None, Some(x)) => x,
            // A tip that rounding put beside its end.
            (None, None) if y < self.low.y => self.low.x,
            (None, None) => self.high.x,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_tip_of_a_strip_far_out_is_a_point_of_it() {
        for i in 0..2000 {
            let (x, y) = (0.1 * f64::from(i), 20_000.0 + 0.37 * f64::from(i));
            for high in [Point::new(x, y), Point::new(x + 5.0, y + 1.0)] {
                let strip = Capsule::new(Point::new(x, y), high, 0.1);
                let (low, top) = strip.reach();
                for tip in [low, top] {
                    let (from, to) = strip.within(tip, tip).unwrap();
                    assert!(from <= to && from >= x - 0.1 && to <= high.x + 0.1, "{from} {to}");
                }
            }
        }
    }

    #[test]
    fn a_strip_is_as_wide_in_a_band_as_its_points_there() {
        for (a, b) in [
            ((0.0, 0.0), (30.0, 20.0)),
            ((5.0, 5.0), (-20.0, 5.0)),
            ((1.0, 2.0), (1.0, 40.0)),
            ((3.0, 3.0), (3.0, 3.0)),
        ] {
            let (a, b) = (Point::new(a.0, a.1), Point::new(b.0, b.1));
            let strip = Capsule::new(a, b, 3.0);
            let way = Segment::Line { from: a, to: b };
            for step in 0..40 {
                let (bottom, top) = (-4.0 + f64::from(step), -3.5 + f64::from(step));
                let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
                for i in 0..=1000 {
                    for y in [bottom, f64::midpoint(bottom, top), top] {
                        let p = Point::new(-30.0 + 0.07 * f64::from(i), y);
                        if crate::geometry::distance_to_segment(p, &way) <= 3.0 {
                            (least, most) = (least.min(p.x), most.max(p.x));
                        }
                    }
                }
                match strip.within(bottom, top) {
                    Some((from, to)) if most > f64::NEG_INFINITY => {
                        assert!(from <= least + 1e-9 && least <= from + 0.2, "{from} {least}");
                        assert!(to >= most - 1e-9 && most >= to - 0.2, "{to} {most}");
                    }
                    Some(_) => {}
                    None => assert!(most == f64::NEG_INFINITY, "{bottom}"),
                }
            }
        }
    }
}
