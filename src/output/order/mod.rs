//! The order: what a fabrication shop needs beside the drawings, as text and as a table, and the
//! digests of all of it.

mod csv;
mod digests;
mod sheet;
mod text;
mod weight;

pub use digests::{order_seal_holds, sealed, sha256sums};
pub use sheet::{OrderDrawing, OrderLine, OrderShape, OrderSheet, OrderedPart, OrderedPiece};
