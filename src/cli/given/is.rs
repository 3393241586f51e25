//! What something is that was given to a command as a file.

use std::fs;
use std::path::{Path, PathBuf};

use crate::cli::input::{LARGEST_TEXT, read_bytes};
use crate::profile::{
    FileKind, TextKind, embedded, embedded_names, kind_of_bytes, nearest, profile_kind,
};

/// What was given.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Is {
    /// A file that can be read.
    File(FileKind),
    /// A profile in a file, of a kind.
    Profile(String),
    /// The name of a profile in the binary, of a kind.
    Named(&'static str),
    /// A folder.
    Folder,
    /// Nothing, and beside it lies a file that may be meant.
    Near(PathBuf),
    /// What cannot be told: standard input, what is not there, what cannot be read.
    Unread,
}

impl Is {
    /// What it is called.
    pub(super) fn called(&self) -> String {
        match self {
            Self::File(kind) => kind.called().to_string(),
            Self::Profile(kind) => profile_of(kind),
            Self::Named(kind) => format!("the name of {}", profile_of(kind)),
            Self::Folder => "a folder".to_string(),
            Self::Near(_) | Self::Unread => "no file".to_string(),
        }
    }
}

/// A profile of a kind as people call it.
pub(super) fn profile_of(kind: &str) -> String {
    match kind {
        "machine" | "material" => format!("a {kind} profile"),
        "timber" => "a timber table".to_string(),
        "rules" => "a rule set".to_string(),
        _ => "a profile".to_string(),
    }
}

/// The most files of a folder that are looked at.
const MOST_LOOKED_AT: usize = 200;

/// What is told of a path.
pub(super) fn what_is(path: &Path) -> Is {
    if path == Path::new("-") {
        return Is::Unread;
    }
    if path.is_dir() {
        return Is::Folder;
    }
    if path.is_file() {
        return of_file(path);
    }
    if path.symlink_metadata().is_ok() {
        return Is::Unread;
    }
    let name = path.to_string_lossy();
    let named =
        embedded_names().find(|(kind, of)| *of == name && embedded(Some(kind), of).is_some());
    match named {
        Some((kind, _)) => Is::Named(kind),
        None => near(path).map_or(Is::Unread, Is::Near),
    }
}

fn of_file(path: &Path) -> Is {
    let Ok(bytes) = read_bytes(path, LARGEST_TEXT) else { return Is::Unread };
    match kind_of_bytes(&bytes) {
        FileKind::Typed(TextKind::Profile) => {
            let text = String::from_utf8_lossy(&bytes);
            profile_kind(&text).map_or(Is::File(FileKind::Typed(TextKind::Profile)), Is::Profile)
        }
        kind => Is::File(kind),
    }
}

/// The file that a name was meant for: the same without its ending, or with a slip of the pen.
fn near(path: &Path) -> Option<PathBuf> {
    let name = path.file_name()?.to_str()?;
    let folder = path.parent().unwrap_or(Path::new(""));
    let files = files_in(folder);
    let names: Vec<&str> = files.iter().filter_map(|of| of.file_name()?.to_str()).collect();
    let typed = format!("{name}.toml");
    let is_whole = |of: &&str| *of == typed;
    let meant = names.iter().copied().find(is_whole).or_else(|| nearest(name, &names))?;
    Some(folder.join(meant))
}

/// The files of a folder, by their names; none of one that cannot be read.
pub(super) fn files_in(folder: &Path) -> Vec<PathBuf> {
    let real = if folder == Path::new("") { Path::new(".") } else { folder };
    let Ok(entries) = fs::read_dir(real) else { return Vec::new() };
    let is_shown =
        |of: &PathBuf| of.file_name().is_some_and(|n| !n.as_encoded_bytes().starts_with(b"."));
    let entries = entries.filter_map(|entry| Some(folder.join(entry.ok()?.file_name())));
    let mut files: Vec<PathBuf> =
        entries.filter(is_shown).filter(|of| of.is_file()).take(MOST_LOOKED_AT).collect();
    files.sort();
    files
}

/// The files of a folder that are of a kind.
pub(super) fn of_kind_in(folder: &Path, wanted: impl Fn(FileKind) -> bool) -> Vec<PathBuf> {
    let is_wanted = |of: &PathBuf| matches!(what_is(of), Is::File(kind) if wanted(kind));
    files_in(folder).into_iter().filter(is_wanted).collect()
}

/// The jobs that lie in a folder.
pub(super) fn jobs_in(folder: &Path) -> Vec<PathBuf> {
    of_kind_in(folder, |kind| kind == FileKind::Typed(TextKind::Job))
}

/// The one job that a file may be made from and that is not given: beside it, or a folder up. None
/// where there are several, or none.
pub(super) fn job_beside(file: &Path, given: &[&Path]) -> Option<PathBuf> {
    let folder = if file.is_dir() { file } else { file.parent().unwrap_or(Path::new("")) };
    let above = folder.parent().map_or_else(|| folder.join(".."), Path::to_path_buf);
    for place in [folder.to_path_buf(), above] {
        let mut jobs = jobs_in(&place);
        jobs.retain(|job| !given.contains(&job.as_path()));
        match &jobs[..] {
            [] => {}
            [only] => return Some(only.clone()),
            _ => return None,
        }
    }
    None
}
