//! From the part to the program: the tool's path, what is marked, the plan of the cut; the test
//! square.

pub mod compensate;
pub mod mark;
pub mod plan;
pub mod square;
