//! Where pieces lie on sheets: as few sheets as can be found, and how few any layout could need. It
//! knows polygons, no stairs and no tools.
//!
//! **The problem** is two-dimensional irregular cutting stock: copies of simple polygons on equal
//! rectangles, a spacing apart, at given rotations, off what is kept out (H. Dyckhoff, A typology
//! of cutting and packing problems, 1990; J. A. Bennell, J. F. Oliveira, The geometry of nesting
//! problems: a tutorial, 2008). All titles of this room are from memory.
//!
//! **The method**: of one kind, a sheet as full as is worth it, as often as it goes, and a rest; it
//! is laid by several methods in turn (`methods`), the cheapest first, until one reaches the bound.
//! Several kinds are laid by column generation over layouts (`mixed`), from the same blocks and
//! fillings:
//!
//! | method | files | finds |
//! | --- | --- | --- |
//! | blocks of columns of meshed pairs | `blocks`, `column` | most counts of stringers |
//! | columns of pairs of any two kinds | `mixed/pairs` | stringers of many stairs, nearly alike |
//! | rows of meshed pairs at one angle | `rotated_rows`, `column` | pieces longer than the sheet |
//! | left fill, again and again by chance | `left_fill` | what goes into the rest, mixed pieces |
//! | beam search on no-fit polygon vertices | `beam_search`, `contacts` | tight counts, from effort 1 on |
//! | overlap removal by guided local search | `overlap_removal` | one piece more, from effort 2 on |
//!
//! What lies under them: the no-fit polygon as a union of convex pieces (`no_fit_polygon`,
//! `convex`) for the searches, its slices along a line (`no_fit_slice`) for the constructions, each
//! two pieces' once (`meetings`); the inner-fit polygon is a rectangle. Upper bounds are by area
//! and by a linear programme over slices (`bound`, `slice_bound`), for several kinds by one over
//! fillings of sheets too (`mixed_bound`).
//!
//! **Invariant**: every layout that leaves this room passed [`check`], which measures the distances
//! of outlines and shares nothing with the methods. A method may be wrong; then its layout is lost,
//! not the sheet.
//!
//! **Cost** is bounded by counts of work, not by a clock; each file says its own. Who watches
//! (`watch`) may end a search; only then may the same effort give another answer. Work is done on
//! as many threads as there are, and no outcome hangs on their number. Each step of effort goes on
//! where the one below it ended and never finds less. Measured: DEVELOPERS.md, figures.

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
mod meetings;
mod methods;
mod mixed;
mod mixed_bound;
mod no_fit_polygon;
mod no_fit_slice;
mod orientation;
pub mod overlap_removal;
mod pair_mesh;
mod problem;
mod rotated_rows;
mod slice_bound;
mod spread;
mod watch;

#[cfg(test)]
mod mixed_tests;
#[cfg(test)]
mod near_alike_tests;
#[cfg(test)]
mod search_tests;
#[cfg(test)]
mod tests;

pub use super::effort::Effort;
pub use figures::{BoundBy, Figures};
pub use layout::{Capacity, Nesting, SheetLayout, capacity, nest, nest_watched};
pub use layout_check::{Fault, check, distance};
pub use no_fit_polygon::NoFitPolygon;
pub use pair_mesh::{PairMesh, Teeth};
pub use problem::{KeepOut, NestingError, Piece, Placed, Problem, Rotations, SheetSize};
pub use spread::spread;
pub use watch::{Progress, Watch};
