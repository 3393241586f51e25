//! seatcut takes the measurements of a stair, solves and checks its cut stringer, and makes it: drawings exchange
//! files for a fabrication shop, plain G-code for a router table or a laser, a drawing for the bench. Each program is
//! proven by simulation to cut that part and nothing else.
//!
//! The pipeline is the architecture, one module a stage; imports point to the left only:
//!
//! ```text
//! measure -> solve -> outline -> check, mark -> compensate -> plan -> export ... verify
//! ```
//!
//! `verify` reads files back with readers of its own and imports nothing of compensate, plan or export.
//!
//! People can be hurt by stairs and by machines. The limits are advice: local code and licensed practice decide.

#[macro_use(counted)]
extern crate seatcut_model;

pub use seatcut_model::{diagnostics, geometry, job, profile, stair, units};
pub use seatcut_optimise as optimise;
pub use seatcut_verify as verify;

pub mod site;

pub mod check;

pub mod cam;

pub mod pipeline;

pub mod output;

pub mod bundle;

pub mod cli;
