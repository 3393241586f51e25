//! Parallel curves of a straight-edged contour: outside with true arcs, inside with sharp corners.

use super::segment::turn_angle;
use super::tolerance::STRAIGHT_RAD;
use super::{Contour, Edge, Point, Segment, Turn, Vector, left_of};

/// A corner of a contour, between the edge that arrives and the one that leaves.
#[derive(Clone, Copy, Debug)]
pub struct Corner<R> {
    /// Where it is.
    pub at: Point,
    /// How far the direction turns there, in radians: positive at a corner of the solid, negative
    /// at an inside corner.
    pub turn_rad: f64,
    /// Unit normal out of the solid, of the arriving edge.
    pub normal_before: Vector,
    /// Unit normal out of the solid, of the leaving edge.
    pub normal_after: Vector,
    /// Role of the arriving edge.
    pub before: R,
    /// Role of the leaving edge.
    pub after: R,
}

impl<R> Corner<R> {
    /// Whether the solid has a notch here.
    pub fn is_inside(&self) -> bool {
        self.turn_rad < -STRAIGHT_RAD
    }

    /// The unit direction from the corner into the waste, halfway between the two edges.
    pub fn bisector(&self) -> Vector {
        (self.normal_before + self.normal_after).normalize()
    }

    /// The point at `distance` from both edges' lines, outside for a positive distance.
    pub fn mitre(&self, distance: f64) -> Point {
        self.at + self.bisector() * (distance / (self.turn_rad / 2.0).cos())
    }
}

/// Every corner of a straight-edged contour; corner `i` is where edge `i` starts.
pub fn corners<R: Copy>(contour: &Contour<R>) -> Vec<Corner<R>> {
    let edges = contour.edges();
    let outward = |e: &Edge<R>| -left_of(e.segment.direction_at(0.0));
    (0..edges.len())
        .map(|i| {
            let (before, after) = (&edges[(i + edges.len() - 1) % edges.len()], &edges[i]);
            Corner {
                at: after.segment.from(),
                turn_rad: turn_angle(
                    before.segment.direction_at(1.0),
                    after.segment.direction_at(0.0),
                ),
                normal_before: outward(before),
                normal_after: outward(after),
                before: before.role,
                after: after.role,
            }
        })
        .collect()
}

/// What a piece of a parallel curve follows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Follows<R> {
    /// It runs along an edge.
    Along(R),
    /// It rolls round the corner between two edges.
    Around(R, R),
    /// It walks out into an inside corner between two edges, or back.
    Into(R, R),
}

/// Why a parallel curve does not exist.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum OffsetProblem<R> {
    /// The edge of this role is too short: its parallel has no length left.
    #[error("{0} is too short: its parallel has no length left")]
    EdgeVanishes(R),
    /// The result is no contour.
    #[error("the parallel is no contour")]
    NoContour,
}

/// The path of a disc's centre that rolls round the outside of a straight-edged contour: lines at
/// `distance`, arcs round the solid's corners, sharp at its inside corners. Far parts of the
/// contour are not looked at: whether the disc runs into them is for the caller to check.
///
/// # Errors
/// If an edge between inside corners is too short for the disc.
pub fn offset_outside<R: Copy>(
    contour: &Contour<R>,
    distance: f64,
) -> Result<Contour<Follows<R>>, OffsetProblem<R>> {
    let corners = corners(contour);
    let mut edges = Vec::with_capacity(2 * corners.len());
    for (i, corner) in corners.iter().enumerate() {
        let next = &corners[(i + 1) % corners.len()];
        let start = if corner.is_inside() {
            corner.mitre(distance)
        } else {
            let (from, to) = (
                corner.at + corner.normal_before * distance,
                corner.at + corner.normal_after * distance,
            );
            let arc = Segment::Arc { from, to, center: corner.at, turn: Turn::Left };
            if corner.turn_rad > STRAIGHT_RAD {
                edges.push(Edge {
                    segment: arc,
                    role: Follows::Around(corner.before, corner.after),
                });
            }
            to
        };
        let end = if next.is_inside() {
            next.mitre(distance)
        } else {
            next.at + next.normal_before * distance
        };
        if (end - start).dot(&(next.at - corner.at)) <= 0.0 {
            return Err(OffsetProblem::EdgeVanishes(corner.after));
        }
        edges.push(Edge {
            segment: Segment::Line { from: start, to: end },
            role: Follows::Along(corner.after),
        });
    }
    Contour::new(edges).map_err(|_| OffsetProblem::NoContour)
}

/// The contour with every edge moved `distance` into the solid, corners kept sharp.
///
/// # Errors
/// If an edge vanishes.
pub fn inset_sharp<R: Copy>(
    contour: &Contour<R>,
    distance: f64,
) -> Result<Contour<R>, OffsetProblem<R>> {
    let corners = corners(contour);
    let moved: Vec<(Point, R)> = corners.iter().map(|c| (c.mitre(-distance), c.after)).collect();
    for (i, corner) in corners.iter().enumerate() {
        let next = (i + 1) % corners.len();
        if (moved[next].0 - moved[i].0).dot(&(corners[next].at - corner.at)) <= 0.0 {
            return Err(OffsetProblem::EdgeVanishes(corner.after));
        }
    }
    Contour::polygon(&moved).map_err(|_| OffsetProblem::NoContour)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::FRAC_PI_2;

    /// An L: one inside corner, five outside corners.
    fn ell() -> Contour<usize> {
        let points = [(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (2.0, 4.0), (2.0, 2.0), (0.0, 2.0)];
        let vertices: Vec<_> =
            points.iter().enumerate().map(|(i, &(x, y))| (Point::new(x, y), i)).collect();
        Contour::polygon(&vertices).unwrap()
    }

    #[test]
    fn the_outside_offset_has_the_area_of_steiners_formula() {
        let (r, ell) = (0.25, ell());
        let offset = offset_outside(&ell, r).unwrap();
        // Steiner: A + P r + sum over corners of theta r^2 / 2, an inside corner taking tan(theta /
        // 2) r^2 away.
        let expected = ell.area() + ell.perimeter() * r + 5.0 * FRAC_PI_2 / 2.0 * r * r - r * r;
        assert!((offset.area() - expected).abs() < 1e-12);
        assert!(
            (offset.perimeter() - (ell.perimeter() + 5.0 * FRAC_PI_2 * r - 2.0 * r)).abs() < 1e-12
        );
    }

    #[test]
    fn a_disc_too_large_for_an_edge_is_an_error_that_names_it() {
        assert_eq!(offset_outside(&ell(), 2.5), Err(OffsetProblem::EdgeVanishes(3)));
    }

    #[test]
    fn a_sharp_inset_moves_every_edge_by_the_distance() {
        let inset = inset_sharp(&ell(), 0.5).unwrap();
        assert!((inset.area() - (3.0 * 3.0 - 4.0)).abs() < 1e-12);
        assert!(inset_sharp(&ell(), 1.5).is_err());
    }
}
