//! Stage 2: from the job to the flight: riser count, unit rise and run, drop, head, hang line.

mod choice;
mod evenness;
mod flight;
pub mod outline;

pub use choice::{Counts, MOST_RISE_MM, NoCount, Reason, candidate_counts, chosen_count};
pub use evenness::{largest_and_smallest, largest_step, spread};
pub use flight::Flight;
