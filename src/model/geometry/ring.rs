//! Whether a point lies inside a closed ring of straight sides.

use super::Point;

/// Whether `p` lies inside the ring of these sides: the number of sides to its right is odd. On a
/// side either answer may come.
pub fn is_inside(p: Point, sides: impl Iterator<Item = (Point, Point)>) -> bool {
    let crosses = |(a, b): &(Point, Point)| {
        (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x)
    };
    sides.filter(crosses).count() % 2 == 1
}

/// The sides of a ring of corners, the last one back to the first.
pub fn sides(ring: &[Point]) -> impl Iterator<Item = (Point, Point)> + '_ {
    ring.iter().zip(ring.iter().cycle().skip(1)).map(|(a, b)| (*a, *b))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_notch_is_outside_and_what_is_round_it_inside() {
        let corners = [
            (0.0, 0.0),
            (4.0, 0.0),
            (4.0, 4.0),
            (3.0, 4.0),
            (3.0, 2.0),
            (1.0, 2.0),
            (1.0, 4.0),
            (0.0, 4.0),
        ];
        let ring: Vec<Point> = corners.into_iter().map(|(x, y)| Point::new(x, y)).collect();
        let inside = |x, y| is_inside(Point::new(x, y), sides(&ring));
        assert!(inside(2.0, 1.0) && inside(0.5, 3.0) && inside(3.5, 3.9));
        assert!(!inside(2.0, 3.0) && !inside(-1.0, 1.0) && !inside(5.0, 3.0) && !inside(2.0, 4.5));
    }
}
