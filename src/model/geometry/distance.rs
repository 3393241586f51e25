//! The least distance from a point to a segment.

use super::{Point, Segment};

/// The least distance from `p` to any point of `segment`, exact on lines and arcs.
pub fn distance_to_segment(p: Point, segment: &Segment) -> f64 {
    let to_ends = (p - segment.from()).norm().min((p - segment.to()).norm());
    match *segment {
        Segment::Line { from, to } => {
            let along = to - from;
            let squared = along.norm_squared();
            if squared == 0.0 {
                return to_ends;
            }
            let share = ((p - from).dot(&along) / squared).clamp(0.0, 1.0);
            (p - (from + along * share)).norm()
        }
        Segment::Arc { center, .. } => {
            let out = p - center;
            if segment.covers(out) {
                to_ends.min((out.norm() - segment.radius()).abs())
            } else {
                to_ends
            }
        }
    }
}
