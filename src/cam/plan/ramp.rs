//! Down into the material on a stroke, back and forth.

use super::program::{FeedKind, Step};
use crate::geometry::Segment;

/// Back and forth on a stroke, no steeper than the tangent of the ramp's angle, ending where it
/// began.
pub(super) fn ramp(stroke: &Segment, from: f64, floor: f64, steepest_tan: f64) -> Vec<Step> {
    let pairs = ((from - floor) / (2.0 * stroke.length() * steepest_tan) - 1e-9).ceil().max(1.0);
    let each = (floor - from) / (2.0 * pairs);
    let down = |segment, to_z| Step::Cut { segment, to_z, feed: FeedKind::Entry };
    let pair = |i: usize| {
        let z = from + each * (2 * i) as f64;
        [down(*stroke, z + each), down(stroke.reversed(), z + 2.0 * each)]
    };
    (0..pairs as usize).flat_map(pair).collect()
}
