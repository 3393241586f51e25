//! What every file carries: title, tool version, fingerprint.

use super::spelling;
use crate::measure::{Fingerprint, Job};

/// The identity of a set of files.
#[derive(Clone, Debug)]
pub struct Stamp {
    /// The job's title.
    pub title: String,
    /// The job's fingerprint.
    pub fingerprint: Fingerprint,
}

impl Stamp {
    /// The stamp of a job.
    pub fn of(job: &Job) -> Stamp {
        Stamp { title: job.title.clone(), fingerprint: Fingerprint::of(job) }
    }

    /// The stamp of jobs that are cut together: their titles in a row, as far as a title goes.
    pub fn of_all(jobs: &[&Job]) -> Stamp {
        let titles: Vec<&str> = jobs.iter().map(|job| job.title.as_str()).collect();
        let title = titles.join(" + ").chars().take(LONGEST_TITLE).collect();
        Stamp { title, fingerprint: Fingerprint::of_all(jobs.iter().copied()) }
    }

    /// Name and version of this program.
    pub fn tool() -> &'static str {
        concat!("seatcut ", env!("CARGO_PKG_VERSION"))
    }

    /// The title in ASCII, for files that hold nothing else: accents are spelled plainly.
    pub fn ascii_title(&self) -> String {
        spelling::ascii(&self.title)
    }
}

/// As long as a job's title may be.
const LONGEST_TITLE: usize = 60;
