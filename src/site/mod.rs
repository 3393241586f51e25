//! The site as it is: ground that falls, floors out of level, where stringers stand.
mod explanations;
pub use explanations::EXPLANATIONS;
