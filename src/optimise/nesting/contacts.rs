//! Places where a piece touches what lies already: corners of the no-fit polygons' rims and where rims cross.

use super::orientation::{Posture, Postures, Spot, corners};
use crate::geometry::{Bounds, Point, Vector, cross};

type Segment = (Point, Point);

/// The rims of every two postures of an order.
#[derive(Clone, Debug)]
pub(super) struct Rims {
    pairs: Vec<Rim>,
    kept_out: Vec<Vec<Rim>>,
    count: usize,
}

/// One rim, each segment with its box.
#[derive(Clone, Debug)]
struct Rim {
    segments: Vec<(Segment, Bounds)>,
    bounds: Bounds,
}

impl Rims {
    /// The rims of a table.
    pub fn of(table: &Postures) -> Rims {
        let count = table.all().len();
        let pairs = (0..count * count).map(|k| table.pair(k / count, k % count)).map(|n| Rim::new(n.rim(), n.reach()));
        let of_kept_out = |p: &Posture| p.kept_out().iter().map(|n| Rim::new(n.rim(), n.reach())).collect();
        Rims { pairs: pairs.collect(), kept_out: table.all().iter().map(of_kept_out).collect(), count }
    }

    /// Where `moving` may touch on an empty sheet: in the room's corners and beside what is kept out.
    pub fn first_places(&self, moving: usize, room: Bounds) -> Vec<Vector> {
        let mut places: Vec<Vector> = corners(room).iter().map(|p| p.coords).collect();
        let rims = &self.kept_out[moving];
        for (i, rim) in rims.iter().enumerate() {
            places.extend(rim.corners(Vector::zeros()));
            rim.meet_room(Vector::zeros(), room, &mut places);
            rims[..i].iter().for_each(|other| rim.meet(Vector::zeros(), other, Vector::zeros(), &mut places));
        }
        places
    }

    /// Where `moving` may touch `new` and, with it, the room's sides, what is kept out, or one of the others.
    pub fn places(&self, moving: usize, room: Bounds, new: Spot, others: &[Spot]) -> Vec<Vector> {
        let rim = self.pair(new.posture, moving);
        let mut places: Vec<Vector> = rim.corners(new.at).collect();
        rim.meet_room(new.at, room, &mut places);
        for other in &self.kept_out[moving] {
            rim.meet(new.at, other, Vector::zeros(), &mut places);
        }
        for other in others {
            rim.meet(new.at, self.pair(other.posture, moving), other.at, &mut places);
        }
        places
    }

    fn pair(&self, fixed: usize, moving: usize) -> &Rim {
        &self.pairs[fixed * self.count + moving]
    }
}

impl Rim {
    fn new(segments: Vec<Segment>, bounds: Bounds) -> Rim {
        let boxed = |(p, q): Segment| ((p, q), Bounds { min: p.inf(&q), max: p.sup(&q) });
        Rim { segments: segments.into_iter().map(boxed).collect(), bounds }
    }

    fn corners(&self, at: Vector) -> impl Iterator<Item = Vector> {
        self.segments.iter().map(move |((p, _), _)| p.coords + at)
    }

    fn meet_room(&self, at: Vector, room: Bounds, places: &mut Vec<Vector>) {
        let c = corners(room);
        for side in (0..4).map(|i| (c[i], c[(i + 1) % 4])) {
            let along = Bounds { min: side.0.inf(&side.1), max: side.0.sup(&side.1) };
            for ((p, q), b) in &self.segments {
                if moved(*b, at).touches(along) {
                    places.extend(meeting((p + at, q + at), side));
                }
            }
        }
    }

    fn meet(&self, at: Vector, other: &Rim, other_at: Vector, places: &mut Vec<Vector>) {
        let by = other_at - at;
        if !self.bounds.touches(moved(other.bounds, by)) {
            return;
        }
        let near: Vec<_> = self.segments.iter().filter(|(_, b)| b.touches(moved(other.bounds, by))).collect();
        for ((r, s), b) in &other.segments {
            let b = moved(*b, by);
            if b.touches(self.bounds) {
                for (segment, _) in near.iter().filter(|(_, c)| c.touches(b)) {
                    places.extend(meeting(*segment, (r + by, s + by)).map(|v| v + at));
                }
            }
        }
    }
}

fn moved(b: Bounds, by: Vector) -> Bounds {
    Bounds { min: b.min + by, max: b.max + by }
}

/// Where two segments cross; `None` for parallels, whose ends are corners anyway.
fn meeting(a: Segment, b: Segment) -> Option<Vector> {
    let (u, v) = (a.1 - a.0, b.1 - b.0);
    let across = cross(u, v);
    if across.abs() <= f64::EPSILON * u.norm() * v.norm() {
        return None;
    }
    let (s, t) = (cross(b.0 - a.0, v) / across, cross(b.0 - a.0, u) / across);
    let on = |share: f64| (-1e-9..=1.0 + 1e-9).contains(&share);
    (on(s) && on(t)).then(|| a.0.coords + u * s)
}
