//! How far risers or runs of one flight differ.

use crate::units::Length;

/// Largest less smallest; 0 where there are none, as of the runs of a single tread at a floor.
pub fn spread(lengths: &[Length]) -> Length {
    let [largest, smallest] = largest_and_smallest(lengths);
    largest - smallest
}

/// The largest and the smallest; both 0 where there are none.
pub fn largest_and_smallest(lengths: &[Length]) -> [Length; 2] {
    [Length::max, Length::min].map(|of: fn(Length, Length) -> Length| {
        lengths.iter().copied().reduce(of).unwrap_or(Length::ZERO)
    })
}

/// The largest difference of two neighbours; 0 where there are none.
pub fn largest_step(lengths: &[Length]) -> Length {
    let steps = lengths.windows(2).map(|pair| (pair[1] - pair[0]).max(pair[0] - pair[1]));
    steps.fold(Length::ZERO, Length::max)
}
