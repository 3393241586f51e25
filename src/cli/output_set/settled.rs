//! Whether a file that is read is of a set that is still on its way: killed between two moves, a
//! run leaves part of one.

use std::collections::{HashMap, HashSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use super::parent_of;
use super::remains::is_hidden_name;
use super::swap::Journal;
use crate::diagnostics::{Error, ErrorKind};

/// Refuses a file that lies, or should lie, in a set that a run has begun to put in place and not
/// finished.
///
/// # Errors
/// If it is such a file, there or not: what is beside it is no whole set.
pub(in crate::cli) fn settled(file: &Path) -> Result<(), Error> {
    // A link stands for what it leads to; what is away for the moment is still named by its
    // directory.
    let real = file.canonicalize().or_else(|_| {
        Ok(parent_of(file).canonicalize()?.join(file.file_name().unwrap_or_default()))
    });
    let Ok::<PathBuf, std::io::Error>(real) = real else { return Ok(()) };
    let Some(name) = real.file_name().and_then(|name| name.to_str()) else { return Ok(()) };
    let folder = parent_of(&real);
    let in_folder =
        folder.file_name().and_then(|folder| Some(format!("{}/{name}", folder.to_str()?)));
    let is_in_folder = in_folder.is_some_and(|name| is_moving(parent_of(folder), &name));
    if !is_in_folder && !is_moving(folder, name) {
        return Ok(());
    }
    Err(Error::new(
        ErrorKind::File,
        "is of a set that is not whole: the run that puts it there was broken off, or is at work",
    )
    .in_file(&file.display().to_string())
    .hint(
        "run the `make` or `order` that writes to that directory again: it finishes what was begun",
    ))
}

/// Whether a journal says that a file of a name is being moved into a directory or out of it.
fn is_moving(dir: &Path, name: &str) -> bool {
    // Many files may be read out of one directory: it is looked through once.
    static SEEN: Mutex<Option<HashMap<PathBuf, HashSet<String>>>> = Mutex::new(None);
    let mut seen = SEEN.lock().unwrap_or_else(PoisonError::into_inner);
    let names =
        seen.get_or_insert_default().entry(dir.to_path_buf()).or_insert_with(|| moving(dir));
    names.contains(name)
}

/// The files of every set that is being moved into a directory, from within it or from beside it.
fn moving(dir: &Path) -> HashSet<String> {
    let places = [dir, parent_of(dir)].into_iter().flat_map(hidden_places);
    let journals = places
        .filter_map(|place| Journal::read(&place).filter(|journal| journal.target(&place) == dir));
    let files = journals
        .filter(Journal::is_moving)
        .flat_map(|journal| journal.out.into_iter().chain(journal.into));
    files.map(|file| file.name).collect()
}

fn hidden_places(home: &Path) -> impl Iterator<Item = PathBuf> {
    let entries = fs::read_dir(home).into_iter().flatten().flatten();
    entries
        .filter(|entry| entry.file_name().to_str().is_some_and(is_hidden_name))
        .map(|entry| entry.path())
}
