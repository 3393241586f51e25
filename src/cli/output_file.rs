//! One file, all or nothing: written beside the target, then renamed into place.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

use super::io_words::why;
use super::output_set::{Existing, guarded, hidden_path, is_input, parent_of, sweep};
use crate::diagnostics::{Error, ErrorKind};

/// Writes a document of this program to `target`.
///
/// # Errors
/// If something is there that may not be replaced (a file it is made from, or one that `is_own`
/// does not know for a document of this program), or it cannot be written; nothing half-written is
/// left.
pub(super) fn write_whole(
    target: &Path,
    bytes: &[u8],
    existing: Existing,
    inputs: &[PathBuf],
    is_own: impl Fn(&[u8]) -> bool,
) -> Result<(), Error> {
    let name = target.display().to_string();
    let refusal = |what: &str| Error::new(ErrorKind::File, what).in_file(&name);
    if target.symlink_metadata().is_ok() {
        if inputs.iter().any(|input| is_input(target, input)) {
            return Err(refusal("is a file that this is made from; nothing was written")
                .hint("give another name to -o"));
        }
        if existing == Existing::Keep {
            return Err(refusal("exists; nothing was written")
                .hint("give another name to -o, or --force to replace it"));
        }
        if !fs::read(target).is_ok_and(|bytes| is_own(&bytes)) {
            return Err(refusal("is none of seatcut's, or was changed since; nothing was written")
                .hint("move it away, or give another name to -o"));
        }
    }
    let real = led_to(target)?;
    sweep(parent_of(&real), &real)?;
    put_in_place(target, bytes)
}

/// The most links that lead on to each other: as many as systems follow.
const MOST_LINKS: usize = 40;

/// Where a file lies that links lead to, there or not yet: a link stays one, and what it leads to
/// is replaced.
///
/// # Errors
/// If they lead round in a circle.
fn led_to(target: &Path) -> Result<PathBuf, Error> {
    let mut place = target.to_path_buf();
    for _ in 0..MOST_LINKS {
        let Ok(next) = fs::read_link(&place) else { return Ok(place) };
        place = parent_of(&place).join(next);
    }
    Err(Error::new(ErrorKind::File, "is a link that leads to itself; nothing was written")
        .in_file(&target.display().to_string())
        .hint("give another name"))
}

/// Writes a file beside its place and renames it into that; with the permissions of what it
/// replaces. Where links lead on from the place, at their end.
///
/// # Errors
/// If it cannot be written; what was there is then as it was.
pub(super) fn put_in_place(target: &Path, bytes: &[u8]) -> Result<(), Error> {
    let name = target.display().to_string();
    let target = &led_to(target)?;
    // Renaming would get round it.
    if fs::metadata(target).is_ok_and(|of| of.permissions().readonly()) {
        return Err(Error::new(ErrorKind::File, "it is write-protected")
            .in_file(&name)
            .hint("take the protection off, or give another name"));
    }
    let beside = hidden_path(parent_of(target));
    guarded(&beside, || {
        let written = fs::File::create(&beside)
            .and_then(|mut file| file.write_all(bytes).and_then(|()| file.sync_all()))
            .and_then(|()| match fs::metadata(target) {
                Ok(before) => fs::set_permissions(&beside, before.permissions()),
                Err(_) => Ok(()),
            })
            .and_then(|()| fs::rename(&beside, target));
        written.map_err(|e| {
            // What cannot be removed could not be made either; the error below tells of it.
            let _ = fs::remove_file(&beside);
            Error::new(
                ErrorKind::File,
                format!("cannot be written: {}; nothing was left half-written", why(&e)),
            )
            .in_file(&name)
            .hint("check the path, its permissions and the room on the disk")
        })
    })
}

#[cfg(all(test, unix))]
mod tests {
    use std::os::unix::fs::symlink;

    use super::*;

    #[test]
    fn links_are_followed_to_their_end_there_or_not_and_in_a_circle_to_none() {
        let home = tempfile::tempdir().unwrap();
        let at = |name: &str| home.path().join(name);
        fs::create_dir(at("far")).unwrap();
        symlink("far/file", at("link")).unwrap();
        symlink(at("link"), at("again")).unwrap();
        for words in ["one", "two"] {
            put_in_place(&at("again"), words.as_bytes()).unwrap();
            assert_eq!(fs::read_to_string(at("far/file")).unwrap(), words);
        }
        assert!(fs::read_link(at("again")).is_ok() && fs::read_link(at("link")).is_ok());
        assert_eq!(fs::read_dir(at("far")).unwrap().count(), 1);
        symlink("turn", at("round")).unwrap();
        symlink("round", at("turn")).unwrap();
        assert!(put_in_place(&at("turn"), b"lost").is_err());
        assert!(fs::read_link(at("turn")).is_ok() && fs::read_link(at("round")).is_ok());
    }
}
