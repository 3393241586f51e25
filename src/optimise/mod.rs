//! Three searches that know polygons, lengths and points, and no stairs.

pub mod cutting_stock;
pub mod nesting;
pub mod routing;
