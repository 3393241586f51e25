//! Down into the material on a stroke, back and forth.

use super::program::{FeedKind, Step};
use crate::geometry::Segment;

/// Back and forth on a stroke, no steeper than the tangent of the ramp's angle, ending where it
/// began.
pub(super) fn ramp(stroke: &Segment, from: f64, floor: f64, steepest_tan: f64) -> Vec<Step> {
    let pairs = ((from - floor) / (2.0 * stroke.length() * steepest_tan) - 1e-9).ceil().max(1.0);
    let down = |segment, to_z| Step::Cut { segment, to_z, feed: FeedKind::Entry };
    let ways = [*stroke, stroke.reversed()];
    let heights = evenly(from, floor, 2 * pairs as usize);
    heights.zip(ways.into_iter().cycle()).map(|(to_z, way)| down(way, to_z)).collect()
}

/// Heights in even steps from one to another, in mm: the last is that one to the last bit, for a
/// bit may be a printed digit, and what follows at that height would go up or down by it.
pub(super) fn evenly(from: f64, to: f64, count: usize) -> impl Iterator<Item = f64> {
    let share = move |i: usize| i as f64 / count as f64;
    (1..=count).map(move |i| if i == count { to } else { from + (to - from) * share(i) })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_height_is_the_end_to_the_last_bit() {
        for count in 1..500 {
            for (from, to) in [(0.0, -6.3775), (0.3, -0.1), (12.0, 5.6225)] {
                let heights: Vec<f64> = evenly(from, to, count).collect();
                assert_eq!((heights.len(), heights.last()), (count, Some(&to)));
                assert!(heights.is_sorted_by(|a, b| a > b));
            }
        }
    }
}
