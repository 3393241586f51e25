//! Many segments with their box tree: nearest, near, and on which side of closed rings a point lies.

use super::boxes::BoxIndex;
use super::pair::in_cap;
use crate::geometry::{Bounds, Point, Segment, distance_to_segment};

/// Segments that are searched by place.
pub(super) struct Shape {
    pub segments: Vec<Segment>,
    bounds: Vec<Bounds>,
    index: BoxIndex,
}

impl Shape {
    pub fn new(segments: Vec<Segment>) -> Shape {
        let bounds: Vec<Bounds> = segments.iter().map(Segment::bounds).collect();
        let index = BoxIndex::new(&bounds);
        Shape { segments, bounds, index }
    }

    /// The box around everything; `None` if there is nothing.
    pub fn bounds(&self) -> Option<Bounds> {
        self.bounds.iter().copied().reduce(Bounds::joined)
    }

    /// The segments whose boxes touch `place`, in their own order.
    pub fn near(&self, place: Bounds, found: &mut Vec<usize>) {
        self.index.near(place, found);
        found.retain(|&i| self.bounds[i].touches(place));
        found.sort_unstable();
    }

    /// The segment nearest to `p` and how far it is.
    pub fn nearest(&self, p: Point) -> Option<(usize, f64)> {
        self.index.nearest(p, |i| distance_to_segment(p, &self.segments[i]))
    }

    /// Whether `p` lies inside the rings that the segments form, by counting crossings of a ray along x; an arc turns at
    /// most half way round. Points on a ring may come out either way.
    pub fn holds(&self, p: Point) -> bool {
        let Some(all) = self.bounds() else { return false };
        let ray = Bounds { min: p, max: Point::new(p.x.max(all.max.x), p.y) };
        let mut near = Vec::new();
        self.near(ray, &mut near);
        let crosses = |segment: &Segment| {
            let (a, b) = (segment.from(), segment.to());
            let chord = (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x);
            chord != in_cap(segment, p)
        };
        near.iter().filter(|&&i| crosses(&self.segments[i])).count() % 2 == 1
    }
}
