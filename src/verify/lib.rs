//! The proof: reads a program or a drawing back from its bytes and holds it against the part,
//! whoever wrote it.
//!
//! Nothing here knows how programs and drawings are made: the readers, the boundary and the
//! simulation are its own, so that a mistake in compensating, planning or writing cannot agree with
//! itself. Shared with the making are the job, its profiles, the outline of the finished part and
//! the plain geometry of points, lines and arcs: a mistake there is in both.
//!
//! Everything that a program does is accounted for: each stroke in material is a mark, in a pocket,
//! along an edge, in a hole, or on a declared way in or out; in a file of others it may be in the
//! waste.
//!
//! ```text
//! program: block -> motion -> sections (set-ups) -> stroke -> (router | laser, travel, clamps, passes)
//!          -> marks, pockets -> proof -> layout -> tabs, balance, pins, waste, hangs -> Verdict
//! drawing: skeleton -> entity (oddity) -> dxf (unit, spaces, layers, words) -> rings -> fit -> proof, or edge by edge -> layers -> Verdict
//! ```

use seatcut_model::{diagnostics, geometry, job, profile, stair, units};

mod arc;
mod balance;
mod block;
mod boundary;
mod boxes;
mod check_bar;
mod clamps;
mod closing;
mod comment;
mod contents;
mod crossing;
mod depth_words;
mod deviation;
mod drawing;
mod drilled;
mod dxf;
mod entity;
mod expectation;
mod farthest;
mod faults;
mod findings;
mod finishing;
mod fit;
mod for_people;
mod form;
mod frame;
mod hangs;
mod holding;
mod laser;
mod layer_table;
mod layers;
mod layout;
mod levels;
mod limits;
mod marks;
mod modal;
mod motion;
mod moves;
mod oddity;
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
mod roughing;
mod router;
mod runs;
mod said;
mod said_of_lines;
mod sections;
mod shape;
mod skeleton;
mod spaces;
mod stroke;
mod switched;
mod tab_wood;
mod tabs;
mod together;
mod travel;
mod travels;
mod unit_said;
mod verdict;
mod waste;

#[cfg(test)]
mod balance_tests;
#[cfg(test)]
mod begun_tests;
#[cfg(test)]
mod drawing_tests;
#[cfg(test)]
mod drilled_tests;
#[cfg(test)]
mod finishing_tests;
#[cfg(test)]
mod for_people_tests;
#[cfg(test)]
mod frame_tests;
#[cfg(test)]
mod heights_tests;
#[cfg(test)]
mod hidden_tests;
#[cfg(test)]
mod layers_tests;
#[cfg(test)]
mod leak_tests;
#[cfg(test)]
mod motion_tests;
#[cfg(test)]
mod passed_over_tests;
#[cfg(test)]
mod pockets_tests;
#[cfg(test)]
mod sheet_tests;
#[cfg(test)]
mod sliver_tests;
#[cfg(test)]
mod spaces_tests;
#[cfg(test)]
mod stroke_tests;
#[cfg(test)]
mod tabs_tests;
#[cfg(test)]
mod testing;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod travel_tests;
#[cfg(test)]
mod waste_tests;

pub use drawing::{DrawnWords, drawing_words, verify_drawing};
pub use expectation::{
    Clamp, DeclaredTab, Drawn, Expectation, Hole, Marks, Piece, Pin, Placements, Pocket, StockBox,
    Tabs, Task, Waste,
};
pub use frame::{FrameTask, verify_frame};
pub use roughing::Roughed;
pub use together::{verify_after_roughing, verify_program, verify_set_ups};
pub use verdict::{Component, FoundTab, Holding, Judged, PlacedAt, Recognised, Verdict};
