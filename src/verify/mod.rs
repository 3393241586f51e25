//! The proof: reads a program or a drawing back from its bytes and holds it against the part, whoever wrote it.
//!
//! Nothing here knows how programs and drawings are made: the readers, the boundary and the simulation are its own, so
//! that a mistake in the making cannot agree with itself.
//!
//! ```text
//! program: block -> motion -> sections -> stroke -> (router | laser, travel, clamps, passes)
//!          -> marks, pockets -> proof -> layout -> tabs, pins -> Verdict
//! drawing: dxf -> rings -> fit -> proof, or edge by edge -> Verdict
//! ```

mod arc;
mod block;
mod boundary;
mod boxes;
mod clamps;
mod codes;
mod crossing;
mod deviation;
mod drawing;
mod dxf;
mod expectation;
mod farthest;
mod faults;
mod findings;
mod fit;
mod hangs;
mod holding;
mod laser;
mod layout;
mod levels;
mod limits;
mod marks;
mod motion;
mod moves;
mod pair;
mod passes;
mod pins;
mod placing;
mod pocket_drawing;
mod pockets;
mod program;
mod proof;
mod returned;
mod rings;
mod router;
mod sections;
mod shape;
mod stroke;
mod tabs;
mod travel;
mod verdict;

#[cfg(test)]
mod drawing_tests;
#[cfg(test)]
mod sheet_tests;
#[cfg(test)]
mod testing;
#[cfg(test)]
mod tests;

pub use codes::CODES;
pub use drawing::verify_drawing;
pub use expectation::{DeclaredTab, Expectation, Hole, Marks, Piece, Placements, Pocket, StockBox, Tabs, Task};
pub use program::verify_program;
pub use verdict::{Component, FoundTab, Holding, PlacedAt, Recognised, Verdict};
