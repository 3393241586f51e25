//! Places where a piece touches what lies already: corners of no-fit polygons, and where the
//! boundaries of two of them, or of one and the inner-fit rectangle, cross.
//!
//! A piece that touches in one place can still slide; one that touches in two, or at a corner, can
//! not. Those finitely many places are the vertices of the free region, all that a bottom-left
//! placement needs to look at. A new piece beside k others of s boundary segments each: O(k s^2) at
//! worst, less where boxes part them.

use super::no_fit_polygon::NoFitPolygon;
use super::orientation::{Orientation, Orientations, Position, corners};
use crate::geometry::{Bounds, Point, Vector, cross};

type Segment = (Point, Point);

/// A crossing this far beyond the end of a segment, as a share of it, is at its end.
const END_SHARE: f64 = 1e-9;

/// The boundaries of the no-fit polygons of every two orientations of a problem.
#[derive(Clone, Debug)]
pub(super) struct Contacts {
    pairs: Vec<Boundary>,
    kept_out: Vec<Vec<Boundary>>,
    count: usize,
}

/// One boundary, each segment with its box.
#[derive(Clone, Debug)]
struct Boundary {
    segments: Vec<(Segment, Bounds)>,
    bounds: Bounds,
}

impl Contacts {
    /// The boundaries of a table.
    pub(super) fn of(table: &Orientations) -> Self {
        let count = table.all().len();
        let pairs = (0..count * count).map(|k| Boundary::of(table.pair(k / count, k % count)));
        let kept_out = |o: &Orientation| o.kept_out().iter().map(Boundary::of).collect();
        let (pairs, kept_out) = (pairs.collect(), table.all().iter().map(kept_out).collect());
        Self { pairs, kept_out, count }
    }

    /// Where `moving` may touch on an empty sheet: in the corners of its inner-fit rectangle and
    /// beside what is kept out.
    pub(super) fn first_places(&self, moving: usize, inner_fit: Bounds) -> Vec<Vector> {
        let mut places: Vec<Vector> = corners(inner_fit).iter().map(|p| p.coords).collect();
        let origin = Vector::zeros();
        let kept_out = &self.kept_out[moving];
        for (i, boundary) in kept_out.iter().enumerate() {
            places.extend(boundary.corners(origin));
            boundary.cross_inner_fit(origin, inner_fit, &mut places);
            for other in &kept_out[..i] {
                boundary.cross(origin, other, origin, &mut places);
            }
        }
        places
    }

    /// Where `moving` may touch `new` and, with it, the sheet's margin, what is kept out, or one of
    /// the others.
    pub(super) fn places(
        &self,
        moving: usize,
        inner_fit: Bounds,
        new: Position,
        others: &[Position],
    ) -> Vec<Vector> {
        let boundary = self.pair(new.orientation, moving);
        let mut places: Vec<Vector> = boundary.corners(new.at).collect();
        boundary.cross_inner_fit(new.at, inner_fit, &mut places);
        for other in &self.kept_out[moving] {
            boundary.cross(new.at, other, Vector::zeros(), &mut places);
        }
        for other in others {
            boundary.cross(new.at, self.pair(other.orientation, moving), other.at, &mut places);
        }
        places
    }

    fn pair(&self, fixed: usize, moving: usize) -> &Boundary {
        &self.pairs[fixed * self.count + moving]
    }
}

impl Boundary {
    fn of(no_fit: &NoFitPolygon) -> Self {
        let boxed = |(p, q): Segment| ((p, q), Bounds { min: p.inf(&q), max: p.sup(&q) });
        let segments = no_fit.boundary().into_iter().map(boxed).collect();
        Self { segments, bounds: no_fit.reach() }
    }

    fn corners(&self, at: Vector) -> impl Iterator<Item = Vector> {
        self.segments.iter().map(move |((p, _), _)| p.coords + at)
    }

    fn cross_inner_fit(&self, at: Vector, inner_fit: Bounds, places: &mut Vec<Vector>) {
        let c = corners(inner_fit);
        for side in (0..4).map(|i| (c[i], c[(i + 1) % 4])) {
            let along = Bounds { min: side.0.inf(&side.1), max: side.0.sup(&side.1) };
            for ((p, q), b) in &self.segments {
                if moved(*b, at).touches(along) {
                    places.extend(crossing((p + at, q + at), side));
                }
            }
        }
    }

    fn cross(&self, at: Vector, other: &Self, other_at: Vector, places: &mut Vec<Vector>) {
        // In the frame of the first boundary only one of the two has to be moved.
        let by = other_at - at;
        let reach = moved(other.bounds, by);
        if !self.bounds.touches(reach) {
            return;
        }
        // Boxes part most pairs of segments before any crossing is reckoned.
        let near: Vec<_> = self.segments.iter().filter(|(_, b)| b.touches(reach)).collect();
        for ((r, s), b) in &other.segments {
            let b = moved(*b, by);
            if b.touches(self.bounds) {
                for (segment, _) in near.iter().filter(|(_, c)| c.touches(b)) {
                    places.extend(crossing(*segment, (r + by, s + by)).map(|v| v + at));
                }
            }
        }
    }
}

fn moved(b: Bounds, by: Vector) -> Bounds {
    Bounds { min: b.min + by, max: b.max + by }
}

/// Where two segments cross; `None` for parallels, whose ends are corners anyway.
fn crossing(a: Segment, b: Segment) -> Option<Vector> {
    let (u, v) = (a.1 - a.0, b.1 - b.0);
    let across = cross(u, v);
    if across.abs() <= f64::EPSILON * u.norm() * v.norm() {
        return None;
    }
    let (s, t) = (cross(b.0 - a.0, v) / across, cross(b.0 - a.0, u) / across);
    // A crossing just off an end is kept: whether the piece may lie there is asked exactly
    // afterwards, a place left out is lost.
    let on = |share: f64| (-END_SHARE..=1.0 + END_SHARE).contains(&share);
    (on(s) && on(t)).then(|| a.0.coords + u * s)
}
