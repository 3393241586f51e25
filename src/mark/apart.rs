//! How far convex outlines lie from each other and from the piece's edge.

use crate::geometry::{Bounds, Point, Segment, cross, distance_to_segment};

/// The sides of a closed ring of points; of two points the line between them, of one that point.
pub(super) fn sides(ring: &[Point]) -> impl Iterator<Item = Segment> + '_ {
    ring.iter().zip(ring.iter().cycle().skip(1)).map(|(from, to)| Segment::Line { from: *from, to: *to })
}

/// The least distance between two straight segments; 0 where they cross.
pub(super) fn between_lines(a: &Segment, b: &Segment) -> f64 {
    let side = |s: &Segment, p: Point| cross(s.to() - s.from(), p - s.from());
    let crossing = side(a, b.from()) * side(a, b.to()) < 0.0 && side(b, a.from()) * side(b, a.to()) < 0.0;
    if crossing {
        return 0.0;
    }
    let ends = [(b.from(), a), (b.to(), a), (a.from(), b), (a.to(), b)];
    ends.into_iter().map(|(p, segment)| distance_to_segment(p, segment)).fold(f64::INFINITY, f64::min)
}

/// Whether a point lies inside a closed ring, by counting the sides to its right.
pub(super) fn inside(p: Point, ring: &[Point]) -> bool {
    let crosses = |s: &Segment| {
        let (a, b) = (s.from(), s.to());
        (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x)
    };
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
    pub fn of(points: &[Point]) -> Extent {
        let none = Extent {
            left: f64::INFINITY,
            right: f64::NEG_INFINITY,
            low: f64::INFINITY,
            high: f64::NEG_INFINITY,
        };
        points.iter().fold(none, |all, p| {
            let (x, y) = (p.x, p.y);
            Extent { left: all.left.min(x), right: all.right.max(x), low: all.low.min(y), high: all.high.max(y) }
        })
    }

    /// The extent of a box.
    pub fn of_bounds(bounds: Bounds) -> Extent {
        Extent::of(&[bounds.min, bounds.max])
    }

    /// Whether the gap to another is `margin` or more.
    pub fn is_clear_of(&self, other: &Extent, margin: f64) -> bool {
        let dx = (self.left - other.right).max(other.left - self.right).max(0.0);
        let dy = (self.low - other.high).max(other.low - self.high).max(0.0);
        dx * dx + dy * dy >= margin * margin
    }

    /// Whether it lies within another, `margin` from its sides.
    pub fn is_within(&self, other: &Extent, margin: f64) -> bool {
        self.left >= other.left + margin
            && self.right <= other.right - margin
            && self.low >= other.low + margin
            && self.high <= other.high - margin
    }
}

/// A straight edge with its line and extent at hand.
pub(super) struct Edge {
    segment: Segment,
    extent: Extent,
    from: (f64, f64),
    normal: (f64, f64),
}

impl Edge {
    /// Of a straight segment of some length.
    pub fn new(segment: Segment) -> Edge {
        let (from, to) = (segment.from(), segment.to());
        let (dx, dy) = (to.x - from.x, to.y - from.y);
        let length = dx.hypot(dy);
        let normal = (-dy / length, dx / length);
        Edge { segment, extent: Extent::of(&[from, to]), from: (from.x, from.y), normal }
    }

    /// Whether a convex ring of this extent is `margin` away or more: by its box, else by the side of the edge's line it
    /// lies on, else by measuring.
    pub fn is_clear_of(&self, ring: &[Point], extent: &Extent, margin: f64) -> bool {
        if extent.is_clear_of(&self.extent, margin) {
            return true;
        }
        let off = |p: &Point| (p.x - self.from.0) * self.normal.0 + (p.y - self.from.1) * self.normal.1;
        let (least, most) = ring.iter().map(off).fold((f64::INFINITY, f64::NEG_INFINITY), |(l, m), d| (l.min(d), m.max(d)));
        least >= margin || most <= -margin || sides(ring).all(|side| between_lines(&side, &self.segment) >= margin)
    }
}

/// The least distance between two closed rings and what they enclose.
pub(super) fn between_rings(a: &[Point], b: &[Point]) -> f64 {
    if a.iter().any(|p| inside(*p, b)) || b.iter().any(|p| inside(*p, a)) {
        return 0.0;
    }
    let to_b = |side: Segment| sides(b).map(|other| between_lines(&side, &other)).fold(f64::INFINITY, f64::min);
    sides(a).map(to_b).fold(f64::INFINITY, f64::min)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(at: f64) -> Vec<Point> {
        [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)].map(|(x, y)| Point::new(x + at, y)).to_vec()
    }

    #[test]
    fn rings_are_apart_by_their_gap_and_by_nothing_where_one_holds_the_other() {
        assert!((between_rings(&square(0.0), &square(3.0)) - 2.0).abs() < 1e-12);
        assert!((between_rings(&square(0.0), &[Point::new(0.5, 4.0)]) - 3.0).abs() < 1e-12);
        assert!(between_rings(&square(0.0), &[Point::new(0.5, 0.5)]) == 0.0);
        assert!(between_rings(&square(0.0), &[Point::new(-1.0, 0.5), Point::new(2.0, 0.6)]) == 0.0);
    }
}
