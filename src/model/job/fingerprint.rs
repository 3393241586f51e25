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
        // How heavy the material is changes nothing that is cut.
        resolved.cut.material.density = None;
        Self::of_text(&format!("{resolved:?}"))
    }

    /// A name for all that a job says, as it was read: what its documents tell beside the part
    /// (what was taken as usual, what was measured as built) is in it too.
    pub fn as_read(job: &Job) -> Self {
        let mut read = job.clone();
        // The file's name, as it was typed, stands there.
        read.around.places.clear();
        Self::of_text(&format!("{read:?}"))
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

    /// Whether a file says this number: some controls write all letters as capitals.
    pub fn is_in(&self, bytes: &[u8]) -> bool {
        let own = self.0.as_bytes();
        bytes.windows(own.len()).any(|there| there.eq_ignore_ascii_case(own))
    }

    /// The same of what is cut for no stair, from all of its figures.
    pub fn of_figures(figures: &impl fmt::Debug) -> Self {
        Self::of_text(&format!("{figures:?}"))
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::{STARTER, read_job};

    #[test]
    fn a_job_has_one_name_wherever_it_was_read_from() {
        let text = format!("{STARTER}\n[stair]\nwidth = \"36 in\"\n");
        let read = |file: &str| read_job(file, &text, &|path| panic!("{path}")).unwrap();
        let (here, there) = (read("job.toml"), read("/shop/stairs/job.toml"));
        assert_ne!(here.around.places, there.around.places);
        assert_eq!(Fingerprint::as_read(&here), Fingerprint::as_read(&there));
    }
}
