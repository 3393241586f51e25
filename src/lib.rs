//! seatcut takes the measurements of a stair, solves and checks its cut stringer, and makes it: a
//! drawing for a fabrication shop, plain G-code for a router table or a laser, sheets for the
//! bench. Each program is proven by simulation to cut that part and nothing else.
//!
//! A set of files is a value ([`bundle::Bundle`]); it is made and proven without a disk:
//!
//! ```
//! use seatcut::bundle::Bundle;
//! use seatcut::job::{STARTER, read_job};
//! use seatcut::output::dxf::DxfVersion;
//! use seatcut::pipeline::set::{Entry, Set};
//!
//! # fn main() -> Result<(), seatcut::diagnostics::Error> {
//! let job = read_job("job.toml", STARTER, &|path| unreachable!("the starter names no profile by path: {path}"))?;
//! let set = Set::of(vec![Entry { job, times: 1 }], 1)?;
//! assert!(!set.refused());
//! let bundle = Bundle::of(&set, DxfVersion::R2000)?;
//! let programs = bundle.proven(|artifact| Ok(artifact.bytes.clone()))?;
//! assert!(programs.iter().all(|program| program.verified.gouge_mm < 0.0127));
//! let report = bundle.report(programs);
//! assert_eq!(report.name, "report.json");
//! # Ok(())
//! # }
//! ```
//!
//! A shop's program or drawing is held against a job by [`pipeline::proof`]:
//!
//! ```
//! # use seatcut::job::{STARTER, read_job};
//! use seatcut::output::Stamp;
//! use seatcut::output::dxf::{DxfVersion, nominal};
//! use seatcut::pipeline::proof;
//! use seatcut::pipeline::workup::Workup;
//!
//! # let job = read_job("job.toml", STARTER, &|path| unreachable!("{path}")).unwrap();
//! let workup = Workup::of(&job);
//! let outline = workup.outline.as_ref().expect("the starter has a part");
//! let drawing = nominal(&Stamp::of(&workup), outline, job.cut.machine.units).write(DxfVersion::R12);
//! let verdict = proof::hold(drawing.as_bytes(), "shop.dxf", &proof::anybodys(&job, outline)).unwrap();
//! assert!(verdict.is_this_part());
//! ```
//!
//! `model`, `optimise` and `verify` are crates of their own: the judge sees nothing of what writes
//! the files.
//!
//! People can be hurt by stairs and by machines. The limits are advice: local code and licensed
//! practice decide.

#[macro_use(counted)]
extern crate seatcut_model;

pub use seatcut_model::{diagnostics, geometry, job, profile, stair, units};
pub use seatcut_optimise as optimise;
pub use seatcut_verify as verify;

/// A job for tests that replace its lines.
#[cfg(test)]
const GARDEN_STEPS: &str = include_str!("../tests/it/common/garden_steps.toml");

pub mod site;

pub mod check;

pub mod cam;

pub mod pipeline;

pub mod output;

pub mod bundle;

pub mod cli;
