//! How far convex outlines lie from each other and from the piece's edge.

use crate::geometry::{Bounds, Point, Segment};

/// A straight line between two points as plain numbers: placing measures many thousands of them.
#[derive(Clone, Copy)]
struct Line {
    x: f64,
    y: f64,
    dx: f64,
    dy: f64,
}

impl Line {
    fn new(from: Point, to: Point) -> Self {
        let (x, y) = (from.x, from.y);
        Self { x, y, dx: to.x - x, dy: to.y - y }
    }

    /// Positive where a point lies to its left.
    fn side(&self, (x, y): (f64, f64)) -> f64 {
        self.dx * (y - self.y) - self.dy * (x - self.x)
    }

    fn from(&self) -> (f64, f64) {
        (self.x, self.y)
    }

    fn to(&self) -> (f64, f64) {
        (self.x + self.dx, self.y + self.dy)
    }

    fn distance(&self, (x, y): (f64, f64)) -> f64 {
        let squared = self.dx * self.dx + self.dy * self.dy;
        let along = (x - self.x) * self.dx + (y - self.y) * self.dy;
        let share = if squared > 0.0 { (along / squared).clamp(0.0, 1.0) } else { 0.0 };
        (x - self.x - share * self.dx).hypot(y - self.y - share * self.dy)
    }

    /// The least distance to another; 0 where they cross.
    fn to_line(self, other: &Self) -> f64 {
        let crossing = self.side(other.from()) * self.side(other.to()) < 0.0
            && other.side(self.from()) * other.side(self.to()) < 0.0;
        if crossing {
            return 0.0;
        }
        let to_other = other.distance(self.from()).min(other.distance(self.to()));
        to_other.min(self.distance(other.from())).min(self.distance(other.to()))
    }
}

/// The sides of a closed ring of points; of two points the line between them, of one that point.
fn sides(ring: &[Point]) -> impl Iterator<Item = Line> + '_ {
    ring.iter().zip(ring.iter().cycle().skip(1)).map(|(from, to)| Line::new(*from, *to))
}

/// Whether a point lies inside a closed ring, by counting the sides to its right.
pub(super) fn inside(p: Point, ring: &[Point]) -> bool {
    let (x, y) = (p.x, p.y);
    let crosses = |s: &Line| (s.y > y) != (s.to().1 > y) && x < s.x + (y - s.y) / s.dy * s.dx;
    sides(ring).filter(crosses).count() % 2 == 1
}

/// An upright box as plain numbers: most places are refused or passed by it, so it must be quick.
#[derive(Clone, Copy)]
pub(super) struct Extent {
    left: f64,
    right: f64,
    low: f64,
    high: f64,
}

impl Extent {
    /// The extent of points.
    pub(super) fn of(points: &[Point]) -> Self {
        let none = Self {
            left: f64::INFINITY,
            right: f64::NEG_INFINITY,
            low: f64::INFINITY,
            high: f64::NEG_INFINITY,
        };
        points.iter().fold(none, |all, p| {
            let (x, y) = (p.x, p.y);
            Self {
                left: all.left.min(x),
                right: all.right.max(x),
                low: all.low.min(y),
                high: all.high.max(y),
            }
        })
    }

    /// The extent of a box.
    pub(super) fn of_bounds(bounds: Bounds) -> Self {
        Self::of(&[bounds.min, bounds.max])
    }

    /// Whether the gap to another is `margin` or more.
    pub(super) fn is_clear_of(&self, other: &Self, margin: f64) -> bool {
        let dx = (self.left - other.right).max(other.left - self.right).max(0.0);
        let dy = (self.low - other.high).max(other.low - self.high).max(0.0);
        dx * dx + dy * dy >= margin * margin
    }

    /// Whether it lies within another, `margin` from its sides.
    pub(super) fn is_within(&self, other: &Self, margin: f64) -> bool {
        self.left >= other.left + margin
            && self.right <= other.right - margin
            && self.low >= other.low + margin
            && self.high <= other.high - margin
    }
}

/// A straight edge with its extent at hand.
pub(super) struct Edge {
    line: Line,
    length: f64,
    extent: Extent,
}

impl Edge {
    /// Of a straight segment of some length.
    pub(super) fn new(segment: &Segment) -> Self {
        let (from, to) = (segment.from(), segment.to());
        Self {
            line: Line::new(from, to),
            length: segment.length(),
            extent: Extent::of(&[from, to]),
        }
    }

    /// Whether a convex ring of this extent is `margin` away or more: by its box, else by the side
    /// of the edge's line it lies on, else by measuring.
    pub(super) fn is_clear_of(&self, ring: &[Point], extent: &Extent, margin: f64) -> bool {
        if extent.is_clear_of(&self.extent, margin) {
            return true;
        }
        let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
        for p in ring {
            let off = self.line.side((p.x, p.y)) / self.length;
            (least, most) = (least.min(off), most.max(off));
        }
        least >= margin
            || most <= -margin
            || sides(ring).all(|side| side.to_line(&self.line) >= margin)
    }
}

/// The least distance between two closed rings and what they enclose.
pub(super) fn between_rings(a: &[Point], b: &[Point]) -> f64 {
    if a.iter().any(|p| inside(*p, b)) || b.iter().any(|p| inside(*p, a)) {
        return 0.0;
    }
    let to_b =
        |side: Line| sides(b).map(|other| side.to_line(&other)).fold(f64::INFINITY, f64::min);
    sides(a).map(to_b).fold(f64::INFINITY, f64::min)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(at: f64) -> Vec<Point> {
        [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]
            .map(|(x, y)| Point::new(x + at, y))
            .to_vec()
    }

    #[test]
    fn rings_are_apart_by_their_gap_and_by_nothing_where_one_holds_the_other() {
        assert!((between_rings(&square(0.0), &square(3.0)) - 2.0).abs() < 1e-12);
        assert!((between_rings(&square(0.0), &[Point::new(0.5, 4.0)]) - 3.0).abs() < 1e-12);
        assert!(between_rings(&square(0.0), &[Point::new(0.5, 0.5)]) == 0.0);
        assert!(between_rings(&square(0.0), &[Point::new(-1.0, 0.5), Point::new(2.0, 0.6)]) == 0.0);
    }
}
