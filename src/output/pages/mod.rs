//! The part at full size on pages to be pasted together, and a pitch block of one step.

mod block;
mod grid;
mod marks;

pub use grid::{PaperProblem, full_size_pages};
