//! A flight as it was built: which risers fail, and what shims or trims would bring them in; and a
//! pattern that has moved with the weather. Shims under treads and trimmed stringers carry people:
//! local code and licensed practice decide.

mod built;
mod grid;
mod limits;
mod programme;
mod remedy;
mod wear;
mod whole;

#[cfg(test)]
mod tests;

pub use built::BuiltFlight;
pub use grid::Grid;
pub use limits::{Bound, RiserLimits};
pub use remedy::{OnTape, OutOfReach, Remedy, Rounded, Schedule, remedy};
pub use wear::{CheckLength, PatternWear, Worn};
