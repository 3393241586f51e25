//! The no-fit polygon: where a polygon may not lie beside another, exact, as a union of convex
//! pieces.
//!
//! The translations of b that make it overlap a are the Minkowski sum of a with b mirrored (R. C.
//! Art, An approach to the two dimensional irregular cutting stock problem, 1966; J. A. Bennell, J.
//! F. Oliveira, The geometry of nesting problems: a tutorial, 2008). Both polygons are cut into
//! convex parts; the sum of two convex parts is the hull of the sums of their corners, and the
//! no-fit polygon is the union of all those (P. K. Agarwal, E. Flato, D. Halperin, Polygon
//! decomposition for efficient construction of Minkowski sums, 2002). From memory.
//!
//! The union is never built: what is asked is whether, and how deep, a point lies in it, and that
//! is a maximum over its pieces. So there is no boolean operation on polygons, with its special
//! cases, and growing by the spacing is a distance. **Cost**: for p and q convex parts of c
//! corners, p q pieces made in O(c^2 log c) each; a question O(p q) box tests and O(c) for the few
//! pieces near.

use super::convex::{Convex, Side, convex_parts};
use crate::geometry::{Bounds, Point, Vector, tolerance::COINCIDENT_MM};

/// The least spacing that is kept, in mm: with none at all, the seams between convex pieces would
/// count as free.
const LEAST_SPACING_MM: f64 = 1e-6;

/// A round corner is stepped around in turns of at most this, in radians (15 degrees): the steps'
/// corners lie off it by less than a hundredth of the spacing, outwards.
const CORNER_STEP_RAD: f64 = std::f64::consts::PI / 12.0;

/// A point this deep in another piece, in mm, is no longer on the boundary; a tenth of what
/// [`NoFitPolygon::allows`] forgives, so that every point of the boundary is allowed.
const BOUNDARY_DEPTH_MM: f64 = 1e-10;

/// The translations of a polygon b that bring it nearer to a fixed polygon a than a spacing. The
/// set is the union of the Minkowski sums of a's convex parts with b's mirrored ones, each grown by
/// the spacing with round corners: it is kept as the sums that are not grown, and asked by
/// distance.
#[derive(Clone, Debug)]
pub struct NoFitPolygon {
    sums: Vec<Convex>,
    spacing: f64,
    reach: Bounds,
}

impl NoFitPolygon {
    /// Of two simple polygons and a spacing in mm. A polygon without area takes no room: nothing is
    /// refused beside it.
    pub fn of(a: &[Point], b: &[Point], spacing: f64) -> Self {
        // Sums of neighbouring convex parts share sides, which are inside the no-fit polygon.
        let spacing = spacing.max(LEAST_SPACING_MM);
        let sums = convex_sums(a, b);
        let around = sums.iter().map(Convex::bounds).reduce(Bounds::joined);
        let nowhere =
            Bounds { min: Point::new(f64::MAX, f64::MAX), max: Point::new(f64::MIN, f64::MIN) };
        Self { sums, spacing, reach: around.map_or(nowhere, |b| b.grown(spacing)) }
    }

    /// Whether b moved by `v` keeps its distance, to a millionth of a micrometre.
    pub fn allows(&self, v: Vector) -> bool {
        self.overlap_above(v, COINCIDENT_MM) <= COINCIDENT_MM
    }

    /// How deep b moved by `v` lies in the forbidden set, in mm: the greatest depth in any one of
    /// its convex pieces; 0 where it is allowed.
    pub fn overlap(&self, v: Vector) -> f64 {
        self.overlap_above(v, f64::MAX)
    }

    /// The box around the forbidden translations.
    pub fn reach(&self) -> Bounds {
        self.reach
    }

    /// The edge of the forbidden set as segments, its round corners stepped around outside. Every
    /// point of it is allowed.
    pub fn boundary(&self) -> Vec<(Point, Point)> {
        let grown: Vec<Convex> =
            self.sums.iter().filter_map(|s| stepped_around(s, self.spacing)).collect();
        // A side of one piece is boundary where no other piece covers it. O(n^2) pieces against
        // sides: paid once a pair of orientations.
        let mut boundary = Vec::new();
        for (i, piece) in grown.iter().enumerate() {
            let corners = piece.corners();
            for k in 0..corners.len() {
                let edge = (corners[k], corners[(k + 1) % corners.len()]);
                let others =
                    grown.iter().enumerate().filter(|(j, _)| *j != i).map(|(_, other)| other);
                boundary.extend(outside(edge, others));
            }
        }
        boundary
    }

    /// Translations where b touches a in two places or at a corner: the ends of the boundary's
    /// segments, each once.
    pub fn contacts(&self) -> Vec<Vector> {
        let mut ends: Vec<Vector> =
            self.boundary().into_iter().flat_map(|(p, q)| [p.coords, q.coords]).collect();
        ends.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
        // Neighbours in x may differ in y: some doubles stay, which cost a question each, no more.
        ends.dedup_by(|a, b| (*a - *b).norm() <= COINCIDENT_MM);
        ends.retain(|v| self.allows(*v));
        ends
    }

    fn overlap_above(&self, v: Vector, enough: f64) -> f64 {
        let p = Point::from(v);
        let mut deepest: f64 = 0.0;
        // Pieces far apart, which most are, end here.
        if !holds(self.reach, p, 0.0) {
            return deepest;
        }
        for sum in &self.sums {
            if holds(sum.bounds(), p, self.spacing) {
                deepest = deepest.max(sum.shortfall(p, self.spacing));
                // Pieces overlap, so each alone says at least how deep: one deep enough will do.
                if deepest > enough {
                    break;
                }
            }
        }
        deepest
    }
}

fn holds(b: Bounds, p: Point, margin: f64) -> bool {
    p.x > b.min.x - margin
        && p.x < b.max.x + margin
        && p.y > b.min.y - margin
        && p.y < b.max.y + margin
}

/// The convex pieces whose union is the translations of b that make it overlap a.
pub(super) fn convex_sums(a: &[Point], b: &[Point]) -> Vec<Convex> {
    let (fixed, moving) = (convex_parts(a), convex_parts(b));
    let sums = fixed.iter().flat_map(|p| moving.iter().filter_map(|q| sum(p, q))).collect();
    without_covered(sums)
}

/// The translations of convex q that make it overlap convex p: the hull of all differences of
/// corners. Merging sides by angle would be O(c), but the hull also takes care of sides in line.
fn sum(p: &[Point], q: &[Point]) -> Option<Convex> {
    Convex::hull(p.iter().flat_map(|a| q.iter().map(move |b| Point::from(a - b))).collect())
}

/// The pieces that no other single piece covers; of equal ones the first.
fn without_covered(sums: Vec<Convex>) -> Vec<Convex> {
    // Each piece left costs a test at every question; parts of one tooth often lie wholly in the
    // sum of two larger parts.
    let mut kept: Vec<Convex> = Vec::new();
    for sum in sums {
        if !kept.iter().any(|k| k.covers(&sum)) {
            kept.retain(|k| !sum.covers(k));
            kept.push(sum);
        }
    }
    kept
}

/// A convex shape grown by a spacing, its round corners replaced by tangents.
fn stepped_around(shape: &Convex, spacing: f64) -> Option<Convex> {
    let (corners, sides) = (shape.corners(), shape.sides());
    let mut points = Vec::new();
    for (i, corner) in corners.iter().enumerate() {
        // The corner is turned around from the normal of the side into it to that of the side out.
        let (into, out) = (sides[(i + sides.len() - 1) % sides.len()].normal, sides[i].normal);
        let turn = (into.x * out.y - into.y * out.x).atan2(into.dot(&out));
        // Tangents touch the round corner in their middles: their corners lie outside it, by
        // 1 / cos(half) of the spacing.
        let steps = (turn / CORNER_STEP_RAD).ceil().max(1.0);
        let half = turn / steps / 2.0;
        let start = into.y.atan2(into.x) + half;
        for k in 0..steps as usize {
            let angle = start + 2.0 * half * k as f64;
            points.push(corner + Vector::new(angle.cos(), angle.sin()) * (spacing / half.cos()));
        }
    }
    Convex::hull(points)
}

/// What of a segment lies in no shape's inside.
fn outside<'a>(
    edge: (Point, Point),
    shapes: impl Iterator<Item = &'a Convex>,
) -> Vec<(Point, Point)> {
    let mut hidden: Vec<(f64, f64)> = shapes.filter_map(|s| inside(edge, s.sides())).collect();
    hidden.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (from, along) = (edge.0, edge.1 - edge.0);
    let mut shown = Vec::new();
    let mut at = 0.0;
    for (start, end) in hidden.into_iter().chain([(1.0, 1.0)]) {
        // Slivers between two hidden stretches are rounding, not boundary.
        if (start - at) * along.norm() > COINCIDENT_MM {
            shown.push((from + along * at, from + along * start));
        }
        at = f64::max(at, end);
    }
    shown
}

/// The shares of a segment between which it lies inside all sides: clipping by half planes (M.
/// Cyrus, J. Beck, Generalized two- and three-dimensional clipping, 1978, from memory).
fn inside(edge: (Point, Point), sides: &[Side]) -> Option<(f64, f64)> {
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    for side in sides {
        let (from, to) =
            (side.beyond(edge.0) + BOUNDARY_DEPTH_MM, side.beyond(edge.1) + BOUNDARY_DEPTH_MM);
        if from >= 0.0 && to >= 0.0 {
            return None;
        }
        if from < 0.0 && to < 0.0 {
            continue;
        }
        // One end is inside this half plane, the other not: they differ, so this is a number.
        let crossing = from / (from - to);
        // Inwards the segment enters here, outwards it leaves.
        if to < from { enter = enter.max(crossing) } else { leave = leave.min(crossing) }
    }
    (enter < leave).then_some((enter, leave))
}
