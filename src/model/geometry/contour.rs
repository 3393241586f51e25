//! A closed contour: counter-clockwise and without gaps by construction, every edge with a role of
//! its owner's.

use super::tolerance::COINCIDENT_MM;
use super::{Bounds, Placement, Point, Segment, cross, is_inside};

/// One segment of a contour and what it is for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Edge<R> {
    /// The line or arc.
    pub segment: Segment,
    /// What the edge is to the contour's owner.
    pub role: R,
}

/// Why segments make no contour.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ContourProblem {
    /// Fewer than three edges.
    #[error("fewer than three edges")]
    TooFewEdges,
    /// A coordinate is not finite.
    #[error("a coordinate is not finite")]
    NotFinite,
    /// An edge does not start where the one before it ends, or has no length.
    #[error("an edge does not start where the one before it ends, or has no length")]
    Gap,
    /// The contour runs clockwise or encloses nothing.
    #[error("the contour runs clockwise or encloses nothing")]
    NotCounterClockwise,
}

/// A closed, gapless, counter-clockwise ring of segments. It may touch itself: a relief is walked
/// out and back.
#[derive(Clone, Debug, PartialEq)]
pub struct Contour<R> {
    edges: Vec<Edge<R>>,
}

impl<R: Copy> Contour<R> {
    /// A contour of edges in order.
    ///
    /// # Errors
    /// If the edges are fewer than three, not finite, leave a gap, or do not run counter-clockwise.
    pub fn new(edges: Vec<Edge<R>>) -> Result<Self, ContourProblem> {
        if edges.len() < 3 {
            return Err(ContourProblem::TooFewEdges);
        }
        let finite = |p: Point| p.x.is_finite() && p.y.is_finite();
        if !edges.iter().all(|e| finite(e.segment.from()) && finite(e.segment.to())) {
            return Err(ContourProblem::NotFinite);
        }
        let contour = Self { edges };
        if contour.gaps() {
            return Err(ContourProblem::Gap);
        }
        if contour.area() <= 0.0 {
            return Err(ContourProblem::NotCounterClockwise);
        }
        Ok(contour)
    }

    /// The contour of straight lines through `vertices`, each with the role of the edge that leaves
    /// it.
    ///
    /// # Errors
    /// As [`Contour::new`].
    pub fn polygon(vertices: &[(Point, R)]) -> Result<Self, ContourProblem> {
        let next = vertices.iter().cycle().skip(1);
        let edges = vertices
            .iter()
            .zip(next)
            .map(|(&(from, role), &(to, _))| Edge { segment: Segment::Line { from, to }, role })
            .collect();
        Self::new(edges)
    }

    fn gaps(&self) -> bool {
        self.neighbours().any(|(a, b)| (a.segment.to() - b.segment.from()).norm() > COINCIDENT_MM)
            || self.edges.iter().any(|e| e.segment.length() <= COINCIDENT_MM)
    }

    /// Every edge with the one that follows it.
    pub fn neighbours(&self) -> impl Iterator<Item = (&Edge<R>, &Edge<R>)> {
        self.edges.iter().zip(self.edges.iter().cycle().skip(1))
    }

    /// The edges in counter-clockwise order.
    pub fn edges(&self) -> &[Edge<R>] {
        &self.edges
    }

    /// The start of every edge.
    pub fn vertices(&self) -> Vec<Point> {
        self.edges.iter().map(|e| e.segment.from()).collect()
    }

    /// The enclosed area in square millimetres.
    pub fn area(&self) -> f64 {
        // About the first vertex: far from the origin the doubled areas would cancel badly.
        let home = Placement::translation(
            -self.edges[0].segment.from().x,
            -self.edges[0].segment.from().y,
        );
        self.edges.iter().map(|e| e.segment.placed(&home).doubled_area()).sum::<f64>() / 2.0
    }

    /// The length round the contour in millimetres.
    pub fn perimeter(&self) -> f64 {
        self.edges.iter().map(|e| e.segment.length()).sum()
    }

    /// The upright box around the contour.
    pub fn bounds(&self) -> Bounds {
        let first = self.edges[0].segment.bounds();
        self.edges.iter().fold(first, |all, e| all.joined(e.segment.bounds()))
    }

    /// Whether a point lies inside; arcs count as their chords.
    pub fn holds(&self, p: Point) -> bool {
        is_inside(p, self.edges.iter().map(|edge| (edge.segment.from(), edge.segment.to())))
    }

    /// The contour turned and moved.
    pub fn placed(&self, placement: &Placement) -> Self {
        let edges =
            self.edges.iter().map(|e| Edge { segment: e.segment.placed(placement), role: e.role });
        Self { edges: edges.collect() }
    }

    /// Whether no two edges cross or touch but where they follow each other. For straight edges;
    /// quadratic in their number.
    pub fn is_simple_polygon(&self) -> bool {
        let count = self.edges.len();
        (0..count).all(|i| {
            (i + 2..count).all(|j| {
                (i == 0 && j == count - 1)
                    || !lines_touch(&self.edges[i].segment, &self.edges[j].segment)
            })
        })
    }
}

fn lines_touch(a: &Segment, b: &Segment) -> bool {
    if !a.bounds().touches(b.bounds()) {
        return false;
    }
    let side = |s: &Segment, p: Point| cross(s.to() - s.from(), p - s.from());
    side(a, b.from()) * side(a, b.to()) <= 0.0 && side(b, a.from()) * side(b, a.to()) <= 0.0
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square() -> Contour<u8> {
        let corners = [(0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0)];
        Contour::polygon(&corners.map(|(x, y)| (Point::new(x, y), 0))).unwrap()
    }

    #[test]
    fn a_square_has_its_area_length_and_box() {
        let moved = square().placed(&Placement::new(super::super::Vector::new(1e4, -1e4), 0.5));
        assert!((moved.area() - 4.0).abs() < 1e-9);
        assert!((moved.perimeter() - 8.0).abs() < 1e-9);
        assert!((square().bounds().width() - 2.0).abs() < 1e-12);
    }

    #[test]
    fn a_clockwise_or_open_ring_is_no_contour() {
        let clockwise = [(0.0, 0.0), (0.0, 2.0), (2.0, 2.0)].map(|(x, y)| (Point::new(x, y), 0));
        assert_eq!(Contour::polygon(&clockwise).unwrap_err(), ContourProblem::NotCounterClockwise);
        let mut edges = square().edges().to_vec();
        edges.remove(1);
        assert_eq!(Contour::new(edges).unwrap_err(), ContourProblem::Gap);
        let nan = [(0.0, 0.0), (f64::NAN, 0.0), (2.0, 2.0)].map(|(x, y)| (Point::new(x, y), 0));
        assert_eq!(Contour::polygon(&nan).unwrap_err(), ContourProblem::NotFinite);
    }

    #[test]
    fn a_bow_tie_is_not_simple() {
        let tie =
            [(0.0, 0.0), (3.0, 0.0), (0.0, 2.0), (1.0, 2.0)].map(|(x, y)| (Point::new(x, y), 0));
        assert!(square().is_simple_polygon());
        assert!(!Contour::polygon(&tie).map(|c| c.is_simple_polygon()).unwrap_or(false));
    }
}
