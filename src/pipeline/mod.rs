//! One job through every stage, several jobs together, what their files are held against, two jobs
//! side by side.

pub mod diff;
pub mod numbers;
pub mod proof;
pub mod set;
pub mod steps;
pub mod workup;
