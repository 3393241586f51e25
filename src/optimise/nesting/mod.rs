//! Where pieces lie on sheets: as few sheets as can be found, by constructions and a bounded search. It knows polygons, no
//! stairs and no tools.

mod angles;
pub mod beam_search;
mod blocks;
mod bound;
mod column;
mod contacts;
mod convex;
mod field;
mod layout;
mod layout_check;
mod left_fill;
mod methods;
mod no_fit_polygon;
mod no_fit_slice;
mod orientation;
pub mod overlap_removal;
mod pair_mesh;
mod problem;
mod rotated_rows;

#[cfg(test)]
mod search_tests;
#[cfg(test)]
mod tests;

pub use layout::{Capacity, Figures, Misfit, Nest, SheetLayout, capacity, nest};
pub use layout_check::{Fault, clear, distance};
pub use no_fit_polygon::NoFit;
pub use pair_mesh::{PairMesh, Teeth};
pub use problem::{Count, Effort, KeepOut, Lying, Piece, SheetSize, Turns};
