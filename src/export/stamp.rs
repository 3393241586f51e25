//! What every file carries: title, tool version, fingerprint.

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

    /// Name and version of this program.
    pub fn tool() -> &'static str {
        concat!("seatcut ", env!("CARGO_PKG_VERSION"))
    }

    /// The title in ASCII, for files that hold nothing else: any other character becomes `?`.
    pub fn ascii_title(&self) -> String {
        ascii(&self.title)
    }
}

/// A text in printable ASCII: any other character becomes `?`.
pub(super) fn ascii(text: &str) -> String {
    text.chars().map(|c| if (' '..='~').contains(&c) { c } else { '?' }).collect()
}
