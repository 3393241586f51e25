//! A set of files, all or nothing: written out of sight, proven there, then put in its place in one
//! step.
//!
//! What lies in the place is touched only where seatcut wrote it and nobody changed it since: every
//! set says itself what it consists of ([`list`]). Where all that lies there is such a set, the two
//! directories change places; where files of somebody else lie beside it, the files of the set are
//! moved one by one under a journal ([`swap`]), and the next run finishes what was broken off
//! ([`remains`]); until then none of those files is read as if its set were whole ([`settled`]).

mod folder;
mod interrupt;
mod list;
mod remains;
mod settled;
mod staging;
mod standing;
mod swap;

use std::path::{Path, PathBuf};

use super::io_words::why;
use crate::diagnostics::{Error, ErrorKind};

pub(super) use interrupt::{
    Ctrl, begin, clean_up_when_interrupted, end, guarded, leave_to_the_signal,
};
pub(super) use list::{SetKind, standing_list};
pub(super) use remains::{hidden_path, sweep};
pub(super) use settled::settled;
pub(super) use staging::Staging;
pub(super) use standing::is_input;

/// What to do about an existing set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Existing {
    /// It stays and the work is refused; a set of the same job is made anew.
    Keep,
    /// It is replaced once the new one is complete.
    Replace,
}

/// A set that is to be written.
#[derive(Clone, Debug)]
pub(super) struct Goal<'a> {
    pub target: &'a Path,
    pub existing: Existing,
    pub kind: SetKind,
    /// The fingerprints of its jobs.
    pub revisions: Vec<String>,
    /// The files that it is made from: never replaced.
    pub inputs: &'a [PathBuf],
}

/// The directory that a path lies in.
pub(super) fn parent_of(path: &Path) -> &Path {
    path.parent().filter(|parent| !parent.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

fn failed(path: &Path, what: &str, error: &std::io::Error) -> Error {
    Error::new(ErrorKind::File, format!("{what}: {}; nothing was left half-written", why(error)))
        .in_file(&path.display().to_string())
        .hint("check the path, its permissions and the room on the disk")
}
