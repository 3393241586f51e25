//! A short name for exactly this job with exactly these profiles.

use std::fmt;

use sha2::{Digest, Sha256};

use super::Job;

/// The first 16 hex digits of SHA-256 over the resolved job and its profiles. Two jobs that resolve to the same
/// figures have the same fingerprint, however they were typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fingerprint(String);

impl Fingerprint {
    /// The fingerprint of a job.
    pub fn of(job: &Job) -> Fingerprint {
        let mut resolved = Job { reading: Vec::new(), ..job.clone() };
        resolved.around.built = None;
        resolved.around.places.clear();
        let digest = Sha256::digest(format!("{resolved:?}").as_bytes());
        Fingerprint(digest.iter().take(8).map(|byte| format!("{byte:02x}")).collect())
    }
}

impl fmt::Display for Fingerprint {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str(&self.0)
    }
}
