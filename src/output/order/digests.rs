//! The digests of a set of files, in the form that `sha256sum -c` reads, and the seal of an order.

use crate::output::file_report;
use crate::output::report::UNSEALED;

/// One line a file: its SHA-256 in hex, two spaces, its name.
pub fn sha256sums<'f>(files: impl Iterator<Item = (&'f str, &'f [u8])>) -> String {
    files.map(|(name, bytes)| format!("{}  {name}\n", file_report(name, bytes).sha256)).collect()
}

/// What stands before the seal, at the end of the order sheet: a list of digests has no place for
/// it that `sha256sum -c` passes over.
const BEFORE_SEAL: &str = "\nSEAL OF THIS SHEET AND OF THE DIGESTS OF ALL OTHER FILES\n  ";

/// The order sheet sealed together with the digests of all other files.
pub fn sealed(sheet: &str, others: &str) -> String {
    format!("{sheet}{BEFORE_SEAL}{}\n", seal(sheet, others))
}

/// Whether a sheet and the digests of all other files are as they were sealed.
pub fn order_seal_holds(text: &str, others: &str) -> bool {
    text.rsplit_once(BEFORE_SEAL)
        .is_some_and(|(sheet, said)| said.strip_suffix('\n') == Some(&seal(sheet, others)))
}

fn seal(sheet: &str, others: &str) -> String {
    let whole = format!("{sheet}{BEFORE_SEAL}{UNSEALED}\n{others}");
    file_report("", whole.as_bytes()).sha256
}
