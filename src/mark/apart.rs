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

/// The gap between two boxes, 0 where they overlap.
pub(super) fn between_boxes(a: Bounds, b: Bounds) -> f64 {
    let dx = (a.min.x - b.max.x).max(b.min.x - a.max.x).max(0.0);
    let dy = (a.min.y - b.max.y).max(b.min.y - a.max.y).max(0.0);
    dx.hypot(dy)
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
