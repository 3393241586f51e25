//! The folders of a set: each job of several has one for its own documents, one deep. What lies
//! where such a folder should be and is none, a link above all, is somebody else's: nothing is
//! looked for, moved or removed through it.

use std::collections::BTreeSet;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use super::list::Listed;
use super::swap::synced;

/// The folder that a file of a set lies in; none of one that lies beside the set's list.
pub(super) fn folder_of(name: &str) -> Option<&str> {
    name.split_once('/').map(|(folder, _)| folder)
}

/// The folders of some files, each once.
pub(super) fn folders<'l>(files: impl IntoIterator<Item = &'l Listed>) -> BTreeSet<&'l str> {
    files.into_iter().filter_map(|file| folder_of(&file.name)).collect()
}

/// Where a file of a set lies in a directory; none where something else than a folder is in its
/// way.
pub(super) fn path_of(dir: &Path, name: &str) -> Option<PathBuf> {
    let in_the_way = folder_of(name).map(|folder| dir.join(folder));
    let is_free = |folder: PathBuf| match folder.symlink_metadata() {
        Ok(about) => about.is_dir(),
        Err(_) => true,
    };
    in_the_way.is_none_or(is_free).then(|| dir.join(name))
}

/// The same where the file is to come: its folder is made where there is none.
///
/// # Errors
/// If it cannot be made, or something else than a folder lies there.
pub(super) fn path_into(dir: &Path, name: &str) -> io::Result<PathBuf> {
    let path = path_of(dir, name).ok_or(io::ErrorKind::NotADirectory)?;
    let Some(folder) = folder_of(name).map(|folder| dir.join(folder)) else { return Ok(path) };
    match fs::create_dir(&folder) {
        Err(e) if e.kind() == io::ErrorKind::AlreadyExists => {}
        made => made.and_then(|()| synced(dir))?,
    }
    Ok(path)
}

/// Whether a file of a set, or anything in its place, lies in a directory.
pub(super) fn lies(dir: &Path, name: &str) -> bool {
    path_of(dir, name).is_some_and(|path| path.symlink_metadata().is_ok())
}

/// Makes the folders of a set last, where the system can.
pub(super) fn all_synced(dir: &Path, files: &[Listed]) -> io::Result<()> {
    let mut there = folders(files).into_iter().map(|folder| dir.join(folder));
    there.try_for_each(|folder| if is_folder(&folder) { synced(&folder) } else { Ok(()) })?;
    synced(dir)
}

/// Removes those folders that nothing is left in; the others stay, for what is in them is
/// somebody's.
pub(super) fn without_empty<'f>(dir: &Path, folders: impl IntoIterator<Item = &'f str>) {
    for folder in folders.into_iter().map(|folder| dir.join(folder)).filter(|path| is_folder(path))
    {
        let _ = fs::remove_dir(folder);
    }
}

/// Whether a path is a folder itself, and no link to one.
pub(super) fn is_folder(path: &Path) -> bool {
    path.symlink_metadata().is_ok_and(|about| about.is_dir())
}
