//! Three searches that know polygons, lengths and points, and no stairs: where pieces lie on sheets
//! ([`nesting`]), which boards to buy and how to saw them ([`cutting_stock`]), in which sequence to
//! visit places ([`routing`]).
//!
//! All three have the same shape: a `Problem` that is checked when it is made, a search that is
//! bounded by counts of work and never by a clock, a result that says by a proven bound how much
//! better any other could be. The same problem and effort give the same result on every machine.

use seatcut_model::{geometry, units};

pub mod cutting_stock;
mod effort;
pub mod nesting;
pub mod routing;
