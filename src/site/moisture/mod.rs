//! Wood that moves: how width changes with moisture, and what that does to a cut stringer.
//!
//! Wood shrinks and swells across the grain and, next to that, not along it (Wood Handbook, chapter
//! 4). The grain of a stringer runs along its board, so every cut line at an angle to the grain
//! turns a little as the board dries.

mod change;
mod sawtooth;
#[cfg(test)]
mod tests;

pub use change::{Change, Method, width_change};
pub use sawtooth::{Moved, Sawtooth, moved, of_job};
