//! Where pieces lie on sheets: as few sheets as can be found, and how few any layout could need. It
//! knows polygons, no stairs and no tools.
//!
//! **The problem** is two-dimensional irregular cutting stock: copies of simple polygons on equal
//! rectangles, a spacing apart, at given rotations, off what is kept out (H. Dyckhoff, A typology
//! of cutting and packing problems, 1990; J. A. Bennell, J. F. Oliveira, The geometry of nesting
//! problems: a tutorial, 2008). All titles of this room are from memory.
//!
//! **The method**: sheet after sheet ([`nest`]), each laid by several methods in turn (`methods`),
//! the cheapest first, until one reaches the bound:
//!
//! | method | files | finds |
//! | --- | --- | --- |
//! | blocks of columns of meshed pairs | `blocks`, `column` | most counts of stringers |
//! | rows of meshed pairs at one angle | `rotated_rows`, `column` | pieces longer than the sheet |
//! | left fill, again and again by chance | `left_fill` | what goes into the rest, mixed pieces |
//! | beam search on no-fit polygon vertices | `beam_search`, `contacts` | tight counts, from effort 1 on |
//! | overlap removal by guided local search | `overlap_removal` | one piece more, from effort 2 on |
//!
//! What lies under them: the no-fit polygon as a union of convex pieces (`no_fit_polygon`,
//! `convex`) for the searches, its slices along a line (`no_fit_slice`) for the constructions; the
//! inner-fit polygon is a rectangle. Upper bounds are by area and by a linear programme over slices
//! (`bound`, `slice_bound`).
//!
//! **Invariant**: every layout that leaves this room passed [`check`], which measures the distances
//! of outlines and shares nothing with the methods. A method may be wrong; then its layout is lost,
//! not the sheet.
//!
//! **Cost** is bounded by counts of work, not by a clock; each file says its own. Measured over 42
//! tasks of 2 to 19 stringers: 0.01 to 3 s a sheet at effort 1 (DEVELOPERS.md, figures).

mod angles;
pub mod beam_search;
mod blocks;
mod bound;
mod column;
mod contacts;
mod convex;
mod field;
mod figures;
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
mod slice_bound;
mod spread;

#[cfg(test)]
mod search_tests;
#[cfg(test)]
mod tests;

pub use super::effort::Effort;
pub use figures::Figures;
pub use layout::{Capacity, Nesting, SheetLayout, capacity, nest};
pub use layout_check::{Fault, check, distance};
pub use no_fit_polygon::NoFitPolygon;
pub use pair_mesh::{PairMesh, Teeth};
pub use problem::{KeepOut, NestingError, Piece, Placed, Problem, Rotations, SheetSize};
pub use spread::spread;
