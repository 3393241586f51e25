//! The digests of a set of files, in the form that `sha256sum -c` reads.

use crate::output::file_report;

/// One line a file: its SHA-256 in hex, two spaces, its name.
pub fn sha256sums<'f>(files: impl Iterator<Item = (&'f str, &'f [u8])>) -> String {
    files.map(|(name, bytes)| format!("{}  {name}\n", file_report(name, bytes).sha256)).collect()
}
