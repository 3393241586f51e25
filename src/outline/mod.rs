//! Stage 3: the finished part as a contour. It knows nothing of tools.

mod board_frame;
mod construct;
mod role;
mod skirt;

pub use construct::{NotchProblem, Outline, OutlineProblem};
pub use role::Role;
pub use skirt::Skirt;
