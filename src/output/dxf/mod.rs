//! Drawing exchange files: R2000 (AC1015) by default, R12 (AC1009) on request, the same geometry in
//! both.
//!
//! Written here and not by a library: the one tried loses polylines in R12, leaves out blocks and
//! owners later, and writes clocks and random ids.

mod document;
mod model;
mod pairs;
mod r12;
mod r2000;

pub use document::{HolesOf, compensated, nominal, nominal_piece, nominal_skirt};
pub use model::{Drawing, DxfVersion, Entity, Layer};
