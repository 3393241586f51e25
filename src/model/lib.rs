//! What every part of seatcut speaks of: lengths, the plane, profiles, the job, the flight and its
//! part, and what can be found about them. It makes no file and no program.

#[macro_use]
pub mod counted;
pub mod diagnostics;
pub mod geometry;
pub mod job;
pub mod profile;
pub mod stair;
pub mod units;
