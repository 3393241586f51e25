//! The strip that a round tool sweeps along a straight way, cut into bands of equal height.

use super::{Point, Segment};

/// All points within `radius` of a straight way.
#[derive(Clone, Copy, Debug)]
pub(super) struct Capsule {
    low: Point,
    high: Point,
    radius: f64,
}

/// How far a chord of an arc lies inside it at most, in mm: the capsule of a chord is as much thicker.
const SAGITTA_MM: f64 = 0.02;

impl Capsule {
    fn new(a: Point, b: Point, radius: f64) -> Capsule {
        let (low, high) = if a.y <= b.y { (a, b) } else { (b, a) };
        Capsule { low, high, radius }
    }

    /// What covers all that a tool of a radius sweeps along segments: of lines exactly that, of arcs at most twice
    /// [`SAGITTA_MM`] more.
    pub fn covering(ways: &[Segment], radius: f64) -> Vec<Capsule> {
        let mut all = Vec::with_capacity(ways.len());
        for way in ways {
            match way {
                Segment::Line { from, to } => all.push(Capsule::new(*from, *to, radius)),
                Segment::Arc { .. } => {
                    let half = (1.0 - SAGITTA_MM / way.radius().max(SAGITTA_MM)).acos();
                    let count = (way.sweep().abs() / (2.0 * half)).ceil().clamp(1.0, 4096.0);
                    let at = |i: f64| way.point_at(i / count);
                    let chord = |i: usize| Capsule::new(at(i as f64), at(i as f64 + 1.0), radius + SAGITTA_MM);
                    all.extend((0..count as usize).map(chord));
                }
            }
        }
        all
    }

    /// The lowest and the highest y of the strip.
    pub fn reach(&self) -> (f64, f64) {
        (self.low.y - self.radius, self.high.y + self.radius)
    }

    /// The least and the greatest x of the strip anywhere between two heights; `None` where it does not come.
    pub fn within(&self, bottom: f64, top: f64) -> Option<(f64, f64)> {
        let (low, high) = self.reach();
        let (bottom, top) = (bottom.max(low), top.min(high));
        (bottom <= top).then(|| (-self.mirrored().rightmost(bottom, top), self.rightmost(bottom, top)))
    }

    fn mirrored(&self) -> Capsule {
        let across = |p: Point| Point::new(-p.x, p.y);
        Capsule { low: across(self.low), high: across(self.high), radius: self.radius }
    }

    /// The greatest x between two heights: the strip is convex, so its right side is highest where a height lies nearest
    /// to its rightmost point.
    fn rightmost(&self, bottom: f64, top: f64) -> f64 {
        let peak = match (self.high.x - self.low.x).total_cmp(&0.0) {
            std::cmp::Ordering::Greater => self.high.y,
            std::cmp::Ordering::Less => self.low.y,
            std::cmp::Ordering::Equal => bottom.clamp(self.low.y, self.high.y),
        };
        self.right_at(peak.clamp(bottom, top))
    }

    /// The right side at a height.
    fn right_at(&self, y: f64) -> f64 {
        let along = self.high - self.low;
        let length = along.norm();
        if along.y > 0.0 {
            let (out_x, out_y) = (along.y / length * self.radius, -along.x / length * self.radius);
            let share = (y - self.low.y - out_y) / along.y;
            if (0.0..=1.0).contains(&share) {
                return self.low.x + along.x * share + out_x;
            }
        }
        let round = |p: Point| {
            let off = y - p.y;
            (off.abs() <= self.radius * (1.0 + 1e-12))
                .then(|| p.x + (self.radius * self.radius - off * off).max(0.0).sqrt())
        };
        [round(self.low), round(self.high)].into_iter().flatten().fold(f64::NEG_INFINITY, f64::max)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

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
