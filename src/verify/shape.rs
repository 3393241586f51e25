//! Many segments with their box tree: nearest, near, and on which side of closed rings a point
//! lies.

use super::boxes::BoxIndex;
use super::pair::in_cap;
use super::stroke::Stroke;
use crate::geometry::{Bounds, Point, Segment, distance_to_segment};

/// Segments that are searched by place.
pub(super) struct Shape {
    pub segments: Vec<Segment>,
    /// How far the tool may run beside each, in mm; empty where it runs on all of them.
    off_mm: Vec<f64>,
    bounds: Vec<Bounds>,
    index: BoxIndex,
}

impl Shape {
    pub(crate) fn new(segments: Vec<Segment>) -> Self {
        let bounds: Vec<Bounds> = segments.iter().map(Segment::bounds).collect();
        let index = BoxIndex::new(&bounds);
        Self { segments, off_mm: Vec::new(), bounds, index }
    }

    /// The ways of strokes, each with how far the tool may run beside it.
    pub(crate) fn of_strokes(strokes: &[Stroke]) -> Self {
        let shape = Self::new(strokes.iter().map(|stroke| stroke.path).collect());
        let exact = strokes.iter().all(|stroke| stroke.off_mm <= 0.0);
        let off_mm =
            if exact { Vec::new() } else { strokes.iter().map(|stroke| stroke.off_mm).collect() };
        Self { off_mm, ..shape }
    }

    /// How far the tool may run beside a segment, in mm.
    pub(crate) fn off(&self, segment: usize) -> f64 {
        self.off_mm.get(segment).copied().unwrap_or(0.0)
    }

    /// The most of all.
    pub(crate) fn most_off(&self) -> f64 {
        self.off_mm.iter().copied().fold(0.0, f64::max)
    }

    /// The box around everything; `None` if there is nothing.
    pub(crate) fn bounds(&self) -> Option<Bounds> {
        self.index.bounds()
    }

    /// The segments whose boxes touch `place`, in their own order.
    pub(crate) fn near(&self, place: Bounds, found: &mut Vec<usize>) {
        self.index.near(place, found);
        found.retain(|&i| self.bounds[i].touches(place));
        found.sort_unstable();
    }

    /// The segment nearest to `p` and how far it is.
    pub(crate) fn nearest(&self, p: Point) -> Option<(usize, f64)> {
        self.index.nearest(p, |i| distance_to_segment(p, &self.segments[i]))
    }

    /// Whether `p` lies inside the rings that the segments form, by counting crossings of a ray
    /// along x; an arc turns at most half way round. Points on a ring may come out either way.
    pub(crate) fn holds(&self, p: Point) -> bool {
        let Some(all) = self.bounds() else { return false };
        let ray = Bounds { min: p, max: Point::new(p.x.max(all.max.x), p.y) };
        let mut near = Vec::new();
        self.near(ray, &mut near);
        let crosses = |segment: &Segment| {
            let (a, b) = (segment.from(), segment.to());
            let chord =
                (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x);
            chord != in_cap(segment, p)
        };
        near.iter().filter(|&&i| crosses(&self.segments[i])).count() % 2 == 1
    }
}
