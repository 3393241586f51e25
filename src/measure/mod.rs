//! Stage 1: the job file. Text in, a valid [`Job`] out; from here on nothing is ambiguous.

mod fingerprint;
mod job;
mod job_file;
mod resolve;
mod starter;

pub use fingerprint::Fingerprint;
pub use job::{
    Board, Corners, Cut, Follow, Head, Job, Long, Makes, Meets, Rise, RiserChoice, Tie, Tread, TreadBoards, Waiver,
};
pub use resolve::{ProfileLoader, read_job};
pub use starter::STARTER;
