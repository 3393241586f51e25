//! A short name for exactly this job with exactly these profiles.

use std::fmt;

use sha2::{Digest, Sha256};

use super::{Job, Stock};

/// The first 16 hex digits of SHA-256 over the resolved job and its profiles. Two jobs that resolve
/// to the same figures have the same fingerprint, however they were typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fingerprint(String);

impl Fingerprint {
    /// The fingerprint of a job.
    pub fn of(job: &Job) -> Self {
        counted!("fingerprint");
        let mut resolved = Job { reading: Vec::new(), ..job.clone() };
        resolved.around.built = None;
        resolved.around.places.clear();
        Self::of_text(&format!("{resolved:?}"))
    }

    /// A name for all that a job says, as it was read: what its documents tell beside the part (what
    /// was taken as usual, what was measured as built) is in it too.
    pub fn as_read(job: &Job) -> Self {
        Self::of_text(&format!("{job:?}"))
    }

    /// A name for what lies in a rack.
    pub fn of_stock(stock: &Stock) -> Self {
        Self::of_text(&format!("{stock:?}"))
    }

    /// The fingerprint of several jobs together, from that of each: of one, its own.
    pub fn of_all<'a>(each: impl Iterator<Item = &'a Self>) -> Self {
        let each: Vec<&Self> = each.collect();
        if let [one] = each[..] {
            return one.clone();
        }
        Self::of_text(&each.iter().map(|one| one.0.as_str()).collect::<Vec<_>>().join(" "))
    }

    fn of_text(text: &str) -> Self {
        let digest = Sha256::digest(text.as_bytes());
        Self(digest.iter().take(8).map(|byte| format!("{byte:02x}")).collect())
    }
}

impl fmt::Display for Fingerprint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}
