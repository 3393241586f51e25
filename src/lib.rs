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

#[macro_use]
mod counted;

pub mod diagnostics;
pub mod error;
pub mod geometry;
pub mod lettering;
pub mod profile;
pub mod units;
pub mod visible;

pub mod optimise;

pub mod measure;
pub mod solve;

pub mod asbuilt;
pub mod site;
pub mod strength;
pub mod timber;

pub mod outline;

pub mod check;

pub mod surround;

pub mod mark;

pub mod compensate;

pub mod numbers;
pub mod plan;
pub mod workup;

pub mod set;

pub mod diff;

pub mod export;

pub mod proof;
pub mod verify;

pub mod bundle;

pub mod cli;
