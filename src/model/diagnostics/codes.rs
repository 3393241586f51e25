//! Every kind of finding by its name, from all parts of the table.

pub use super::table::as_built::*;
pub use super::table::boards::*;
pub use super::table::cleats::*;
pub use super::table::control::*;
pub use super::table::ends::*;
pub use super::table::holding::*;
pub use super::table::housed::*;
pub use super::table::landing::*;
pub use super::table::machine::*;
pub use super::table::offset::*;
pub use super::table::program::*;
pub use super::table::proof_drawing::*;
pub use super::table::proof_hold::*;
pub use super::table::proof_language::*;
pub use super::table::proof_motion::*;
pub use super::table::proof_part::*;
pub use super::table::proof_tool::*;
pub use super::table::rules::*;
pub use super::table::site::*;
pub use super::table::stair::*;
pub use super::table::steps::*;
pub use super::table::strength::*;
