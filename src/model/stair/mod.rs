//! Stage 2: from the job to the flight: riser count, unit rise and run, drop, head, hang line.

mod choice;
mod evenness;
mod flight;
mod head_face;
mod headroom;
pub mod outline;
mod rail;
mod steps;
mod whole;

pub use choice::{Counts, MOST_RISE_MM, NoCount, Reason, candidate_counts, chosen_count};
pub use evenness::{largest_and_smallest, largest_step, spread};
pub use flight::Flight;
pub use head_face::{HeadBearsOn, HeadFace};
pub use headroom::Headroom;
pub use rail::{Bay, Post, RailLine};
pub use steps::{StepPiece, StepWhat, bays, between_stringers, spans, step_pieces};
pub use whole::{LandingPlace, LandingTooHigh, OneFlight, PlanFrame, WholeStair};
