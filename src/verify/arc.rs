//! Arcs as files give them, cut into pieces that the rest takes.

use super::limits::GAP_MM;
use crate::geometry::{Point, Segment, Turn};

/// An arc in one piece, or in two where it turns more than half way round; the same end as start is a full circle.
/// The centre is moved to where both radii are equal: by less than their difference.
pub(super) fn halves(from: Point, to: Point, center: Point, turn: Turn) -> Vec<Segment> {
    let chord = to - from;
    let center = if chord.norm() > GAP_MM {
        let along = chord.normalize();
        center - along * along.dot(&(center - (from + chord / 2.0)))
    } else {
        center
    };
    if chord.norm() <= GAP_MM {
        let across = center + (center - from);
        let first = Segment::Arc { from, to: across, center, turn };
        return vec![first, Segment::Arc { from: across, to, center, turn }];
    }
    let arc = Segment::Arc { from, to, center, turn };
    if arc.sweep().abs() <= std::f64::consts::PI {
        return vec![arc];
    }
    let middle = arc.point_at(0.5);
    vec![Segment::Arc { from, to: middle, center, turn }, Segment::Arc { from: middle, to, center, turn }]
}
