//! One file, all or nothing: written beside the target, then renamed into place.

use std::fs;
use std::io::Write;
use std::path::Path;

use super::output_set::{Existing, hidden_name};
use crate::error::{Error, ErrorKind};

/// Writes `bytes` to `target`.
///
/// # Errors
/// If it exists and may not be replaced, or cannot be written; nothing half-written is left.
pub(super) fn write_whole(target: &Path, bytes: &[u8], existing: Existing) -> Result<(), Error> {
    let name = target.display().to_string();
    if existing == Existing::Keep && target.symlink_metadata().is_ok() {
        return Err(Error::new(ErrorKind::File, "exists; nothing was written")
            .in_file(&name)
            .hint("give another name to -o, or --force to replace it"));
    }
    let parent = target.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let beside = parent.join(hidden_name());
    let written = fs::File::create(&beside)
        .and_then(|mut file| file.write_all(bytes).and_then(|()| file.sync_all()))
        .and_then(|()| fs::rename(&beside, target));
    written.map_err(|e| {
        // What cannot be removed could not be made either; the error below tells of it.
        let _ = fs::remove_file(&beside);
        Error::new(ErrorKind::File, format!("cannot be written: {e}; nothing was left half-written"))
            .in_file(&name)
            .hint("check the path, its permissions and the room on the disk")
    })
}
