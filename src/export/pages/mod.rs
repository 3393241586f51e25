//! The part at full size on pages to be pasted together, and a pitch block of one step.

mod block;
mod grid;
mod words;

pub use grid::{Paper, PaperProblem, full_size_pages};
