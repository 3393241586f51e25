//! Chords in place of arcs, for a controller that takes none.

use crate::geometry::{Edge, Point, Segment, Turn, Vector};
use crate::profile::Arcs;

/// The chords round the outside of an arc, each touching it, none further from it than `tolerance`:
/// the tool keeps its distance from the piece everywhere. A line is itself.
pub(super) fn chords_outside<R: Copy>(edge: &Edge<R>, tolerance: f64) -> Vec<Edge<R>> {
    let Segment::Arc { from, to, .. } = edge.segment else { return vec![*edge] };
    let radius = edge.segment.radius();
    // A vertex of the circumscribed polygon lies at radius / cos(half a step).
    let half_step = (radius / (radius + tolerance)).acos();
    let corners = vertices(&edge.segment, half_step, |half| radius / half.cos());
    through(from, &corners, to)
        .into_iter()
        .map(|segment| Edge { segment, role: edge.role })
        .collect()
}

/// A way through the waste as the tool follows it: the chords inside an arc where the machine takes
/// none.
pub(super) fn followed(way: &Segment, arcs: Arcs) -> Vec<Segment> {
    match arcs {
        Arcs::Taken => vec![*way],
        Arcs::Chords(tolerance) => chords_inside(way, tolerance.as_mm()),
    }
}

/// The chords inside an arc, none further from it than `tolerance`.
pub(super) fn chords_inside(segment: &Segment, tolerance: f64) -> Vec<Segment> {
    let Segment::Arc { from, to, .. } = *segment else { return vec![*segment] };
    let half_step = (1.0 - tolerance / segment.radius()).clamp(-1.0, 1.0).acos();
    let count = step_count(segment, half_step);
    let corners: Vec<Point> =
        (1..count).map(|i| segment.point_at(f64::from(i) / f64::from(count))).collect();
    through(from, &corners, to)
}

fn step_count(segment: &Segment, half_step: f64) -> u32 {
    (segment.sweep().abs() / (2.0 * half_step)).ceil().clamp(1.0, 10_000.0) as u32
}

fn vertices(arc: &Segment, half_step: f64, distance: impl Fn(f64) -> f64) -> Vec<Point> {
    let Segment::Arc { from, center, turn, .. } = *arc else { return Vec::new() };
    let count = step_count(arc, half_step);
    let step = arc.sweep().abs() / f64::from(count);
    let sign = if turn == Turn::Left { 1.0 } else { -1.0 };
    let start = (from - center).y.atan2((from - center).x);
    let out = distance(step / 2.0);
    (0..count)
        .map(|i| start + sign * step * (f64::from(i) + 0.5))
        .map(|angle| center + Vector::new(angle.cos(), angle.sin()) * out)
        .collect()
}

fn through(from: Point, corners: &[Point], to: Point) -> Vec<Segment> {
    let points: Vec<Point> = [&[from], corners, &[to]].concat();
    points.windows(2).map(|pair| Segment::Line { from: pair[0], to: pair[1] }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::distance_to_segment;

    #[test]
    fn chords_outside_touch_the_arc_and_stay_within_the_tolerance() {
        let (from, to) = (Point::new(3.0, 0.0), Point::new(0.0, 3.0));
        let arc = Segment::Arc { from, to, center: Point::origin(), turn: Turn::Left };
        let chords = chords_outside(&Edge { segment: arc, role: () }, 0.01);
        for chord in &chords {
            assert!((distance_to_segment(Point::origin(), &chord.segment) - 3.0).abs() < 1e-9);
            assert!((chord.segment.to() - Point::origin()).norm() <= 3.01 + 1e-9);
        }
        assert!(
            chords_inside(&arc, 0.01)
                .iter()
                .all(|c| distance_to_segment(Point::origin(), c) >= 2.99 - 1e-9)
        );
    }
}
