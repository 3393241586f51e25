//! Where pieces lie on sheets: as few sheets as can be found, by constructions and a bounded search. It knows polygons, no
//! stairs and no tools.

pub mod beam;
mod bound;
mod clear;
mod column;
mod convex;
mod corner;
pub mod ease;
mod layout;
mod mesh;
mod method;
mod nfp;
mod order;
mod posture;
mod rims;
mod shape;
mod slice;
mod spread;
mod stack;
mod tilted;
mod tilts;

#[cfg(test)]
mod pack_tests;
#[cfg(test)]
mod tests;

pub use clear::{Fault, clear, distance};
pub use layout::{Capacity, Figures, Misfit, Nest, SheetLayout, capacity, nest};
pub use mesh::{PairMesh, Teeth};
pub use nfp::NoFit;
pub use order::{Count, Effort, KeepOut, Lying, Piece, SheetSize, Turns};
pub use spread::spread;
