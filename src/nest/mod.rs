//! Where pieces lie on sheets: as few sheets as can be found, by constructions and a bounded search. It knows polygons, no
//! stairs and no tools.

mod apart;
pub mod beam;
mod convex;
pub mod ease;
mod nfp;
mod order;
mod posture;
mod rims;
mod tilts;

#[cfg(test)]
mod pack_tests;

pub use nfp::NoFit;
pub use order::{Count, Effort, KeepOut, Lying, Piece, SheetSize, Turns};
