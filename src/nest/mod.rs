//! Where pieces lie on sheets: as few sheets as can be found, by constructions and a bounded search. It knows polygons, no
//! stairs and no tools.

mod order;

pub use order::{Count, Effort, KeepOut, Lying, Piece, SheetSize, Turns};
