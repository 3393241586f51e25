//! The face of the pattern while it is being filled: what fits where, and what is taken.

use std::cell::Cell;

use super::apart::{Edge, Extent, between_rings, inside};
use super::shape::Shape;
use crate::geometry::{Bounds, Contour, Point, Vector};
use crate::stair::outline::Role;

/// A region that is taken and the distance others keep from it.
struct Taken {
    hull: Vec<Point>,
    extent: Extent,
    margin: f64,
}

/// The face of the piece.
pub(super) struct Sheet {
    ring: Vec<Point>,
    edges: Vec<Edge>,
    bounds: Bounds,
    extent: Extent,
    /// What every stroke keeps from the edge.
    clear: f64,
    /// What strokes of two things keep from each other.
    gap: f64,
    /// From one tried place to the next.
    pub step: f64,
    taken: Vec<Taken>,
    /// The edge that was in the way last: the next place that is tried is beside the one before,
    /// and most often the same edge is in its way.
    in_the_way: Cell<usize>,
}

impl Sheet {
    /// An empty face of a straight-edged piece.
    pub(super) fn new(piece: &Contour<Role>, clear: f64, gap: f64, step: f64) -> Self {
        let edges = piece.edges().iter().map(|edge| Edge::new(&edge.segment)).collect();
        let (ring, bounds) = (piece.vertices(), piece.bounds());
        Self {
            ring,
            edges,
            bounds,
            extent: Extent::of_bounds(bounds),
            clear,
            gap,
            step,
            taken: Vec::new(),
            in_the_way: Cell::new(0),
        }
    }

    /// The box round the piece.
    pub(super) fn bounds(&self) -> Bounds {
        self.bounds
    }

    /// Whether a convex outline lies on the face, clear of its edge and of everything taken.
    pub(super) fn fits(&self, hull: &[Point]) -> bool {
        let extent = Extent::of(hull);
        let is_off = |edge: &Edge| edge.is_clear_of(hull, &extent, self.clear);
        if self.edges.get(self.in_the_way.get()).is_some_and(|edge| !is_off(edge)) {
            return false;
        }
        let off_all_edges = || {
            let in_the_way = self.edges.iter().position(|edge| !is_off(edge));
            in_the_way.map(|edge| self.in_the_way.set(edge)).is_none()
        };
        let clear_of_taken = |taken: &Taken| {
            extent.is_clear_of(&taken.extent, taken.margin)
                || between_rings(hull, &taken.hull) >= taken.margin
        };
        extent.is_within(&self.extent, self.clear)
            && self.taken.iter().all(clear_of_taken)
            && off_all_edges()
            && hull.first().is_some_and(|p| inside(*p, &self.ring))
    }

    /// Takes the place of a shape.
    pub(super) fn take(&mut self, shape: &Shape) {
        self.keep_off(shape.hull.clone(), self.gap);
    }

    /// Keeps everything a margin away from an outline.
    pub(super) fn keep_off(&mut self, hull: Vec<Point>, margin: f64) {
        self.taken.push(Taken { extent: Extent::of(&hull), hull, margin });
    }

    /// The shape with its middle near `anchor`, in the first square ring of places round it that
    /// has one where it fits, within `reach` of it.
    pub(super) fn nearest(&self, shape: &Shape, anchor: Point, reach: f64) -> Option<Shape> {
        let home = anchor - shape.middle();
        let rings = (reach / self.step).floor() as i64;
        // The whole column at a ring's left and right, its two ends in between.
        let ring = |r: i64| {
            let rows = move |i: i64| {
                if i.abs() == r { (-r..=r).step_by(1) } else { (-r..=r).step_by(2 * r as usize) }
            };
            (-r..=r).flat_map(move |i| rows(i).map(move |j| (i, j)))
        };
        let at = |(i, j): (i64, i64)| home + Vector::new(i as f64, j as f64) * self.step;
        let mut places = (0..=rings).flat_map(ring).map(at);
        places.find(|by| self.fits_at(shape, *by)).map(|by| shape.moved(by))
    }

    /// The shape as far to the left as it fits, and there as high as it fits.
    pub(super) fn leftmost(&self, shape: &Shape) -> Option<Shape> {
        let extent = Bounds::around(shape.hull.iter().copied())?;
        let columns =
            ((self.bounds.width() - extent.width()) / self.step).floor().max(0.0) as usize;
        let rows = ((self.bounds.height() - extent.height()) / self.step).floor().max(0.0) as usize;
        let corner =
            Vector::new(self.bounds.min.x - extent.min.x, self.bounds.max.y - extent.max.y);
        let at = |(i, j): (usize, usize)| corner + Vector::new(i as f64, -(j as f64)) * self.step;
        let mut places = (0..=columns).flat_map(|i| (0..=rows).map(move |j| (i, j))).map(at);
        places.find(|by| self.fits_at(shape, *by)).map(|by| shape.moved(by))
    }

    /// Whether the shape fits when it is moved.
    pub(super) fn fits_at(&self, shape: &Shape, by: Vector) -> bool {
        let hull: Vec<Point> = shape.hull.iter().map(|p| p + by).collect();
        self.fits(&hull)
    }
}
