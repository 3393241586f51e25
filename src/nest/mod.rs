//! Where pieces lie on sheets: as few sheets as can be found, by constructions and a bounded search. It knows polygons, no
//! stairs and no tools.

mod bound;
mod clear;
mod column;
mod corner;
mod layout;
mod mesh;
mod method;
mod order;
mod shape;
mod slice;
mod stack;
#[cfg(test)]
mod tests;
mod tilted;

pub use clear::{Fault, clear, distance};
pub use layout::{Capacity, Figures, Misfit, Nest, SheetLayout, capacity, nest};
pub use mesh::{PairMesh, Teeth};
pub use order::{Count, Effort, KeepOut, Lying, Piece, SheetSize, Turns};
