//! The job that is drafted: its text, every step back, and the file that it is saved to. What is
//! typed lies beside the job in a hidden file at once, so that a crash loses nothing.

use std::ffi::OsString;
use std::fs::{self, File, OpenOptions, TryLockError};
use std::io;
use std::path::{Path, PathBuf};

use crate::cli::input::{LARGEST_TEXT, read_text};
use crate::cli::io_words::why;
use crate::cli::output_file::put_in_place;
use crate::cli::output_set::{begin, end};
use crate::diagnostics::{Error, ErrorKind};
use crate::job::begun;
use crate::units::Tape;

/// The most steps back that are remembered.
const MOST_STEPS: usize = 500;

/// A job on the bench.
#[derive(Debug)]
pub(super) struct Document {
    folder: PathBuf,
    name: String,
    text: String,
    /// The file as it was last read or written; none where there is none yet.
    saved: Option<String>,
    /// The file as somebody else left it since, while there is something here that is not saved.
    outside: Option<String>,
    back: Vec<String>,
    forth: Vec<String>,
    /// What is being typed into: all of it is one step back.
    typing: Option<String>,
    /// Counts changes, so that a page knows whether it shows the last.
    pub revision: u64,
    /// What the page should say once.
    pub notice: String,
    /// Held as long as the job is on the bench: no second draft takes it up.
    _lock: File,
}

impl Document {
    /// Takes a job up: its file, what was typed of it before and not saved, or a new one.
    ///
    /// # Errors
    /// If another draft has it, or it cannot be read.
    pub(super) fn open(folder: &Path, name: &str) -> Result<Self, Error> {
        let path = folder.join(name);
        let lock = locked(folder, name)?;
        let saved = text_of(&path)?;
        let typed = text_of(&hidden(folder, name, "draft"))?;
        let stem = name.strip_suffix(".toml").unwrap_or(name);
        let start = saved.clone().unwrap_or_else(|| begun(stem, Tape::Inches));
        let mut document = Self {
            folder: folder.to_path_buf(),
            name: name.to_string(),
            text: start,
            saved,
            outside: None,
            back: Vec::new(),
            forth: Vec::new(),
            typing: None,
            revision: 1,
            notice: String::new(),
            _lock: lock,
        };
        if let Some(typed) = typed.filter(|typed| *typed != document.text) {
            document.back.push(std::mem::replace(&mut document.text, typed));
            // Somebody went on in the file since: the page asks which of both is meant.
            if is_later(&path, &hidden(folder, name, "draft")) {
                document.outside = document.saved.take();
            }
            document.notice =
                "What was typed last time and not saved is here again; undo goes back to the file."
                    .to_string();
        }
        Ok(document)
    }

    /// The name of its file.
    pub(super) fn name(&self) -> &str {
        &self.name
    }

    /// The folder it lies in.
    pub(super) fn folder(&self) -> &Path {
        &self.folder
    }

    /// Its file.
    pub(super) fn path(&self) -> PathBuf {
        self.folder.join(&self.name)
    }

    /// Its text.
    pub(super) fn text(&self) -> &str {
        &self.text
    }

    /// Whether there is something that the file has not.
    pub(super) fn is_unsaved(&self) -> bool {
        self.saved.as_deref() != Some(&self.text)
    }

    /// Whether the file was changed by somebody else since.
    pub(super) fn is_changed_outside(&self) -> bool {
        self.outside.is_some()
    }

    /// Whether there is a step back, and one forth.
    pub(super) fn steps(&self) -> (bool, bool) {
        (!self.back.is_empty(), !self.forth.is_empty())
    }

    /// Puts another text in its place; while somebody types on into the same place, it is one step.
    pub(super) fn change(&mut self, text: String, place: Option<&str>) -> Result<(), Error> {
        if text == self.text || text.len() as u64 > LARGEST_TEXT {
            return Ok(());
        }
        let types_on = place.is_some() && self.typing.as_deref() == place;
        self.typing = place.map(str::to_string);
        let before = std::mem::replace(&mut self.text, text);
        if !types_on {
            self.back.push(before);
        }
        if self.back.len() > MOST_STEPS {
            self.back.remove(0);
        }
        self.forth.clear();
        self.changed()
    }

    /// What is typed next is a step of its own.
    pub(super) fn rest(&mut self) {
        self.typing = None;
    }

    /// A step back.
    pub(super) fn undo(&mut self) -> Result<(), Error> {
        self.rest();
        let Some(before) = self.back.pop() else { return Ok(()) };
        self.forth.push(std::mem::replace(&mut self.text, before));
        self.changed()
    }

    /// A step forth again.
    pub(super) fn redo(&mut self) -> Result<(), Error> {
        self.rest();
        let Some(after) = self.forth.pop() else { return Ok(()) };
        self.back.push(std::mem::replace(&mut self.text, after));
        self.changed()
    }

    fn changed(&mut self) -> Result<(), Error> {
        self.revision += 1;
        self.notice.clear();
        let typed = hidden(&self.folder, &self.name, "draft");
        if self.is_unsaved() {
            return put_in_place(&typed, self.text.as_bytes());
        }
        forget(&typed);
        Ok(())
    }

    /// Looks whether somebody else changed the file: with nothing unsaved here it is taken up.
    pub(super) fn look(&mut self) -> Result<(), Error> {
        let there = text_of(&self.path())?;
        let known = self.outside.as_ref().or(self.saved.as_ref());
        if there.is_none() {
            // Taken away: what is here is all there is of it, and is kept as what was typed is.
            let was_there = self.outside.take().is_some();
            if self.saved.take().is_some() || was_there {
                self.changed()?;
                self.notice = format!("{} is gone; save writes it again.", self.name);
            }
            return Ok(());
        }
        if there.as_ref() == known {
            return Ok(());
        }
        if !self.is_unsaved() {
            self.take_up(there)?;
            self.notice = "The file was changed elsewhere and is shown as it is now.".to_string();
            return Ok(());
        }
        self.outside = there.filter(|there| Some(there) != self.saved.as_ref());
        self.revision += 1;
        Ok(())
    }

    fn take_up(&mut self, there: Option<String>) -> Result<(), Error> {
        self.outside = None;
        self.saved.clone_from(&there);
        if let Some(there) = there {
            self.change(there, None)?;
        }
        self.changed()
    }

    /// Takes the file as it is there; what was typed here is a step back.
    pub(super) fn take_theirs(&mut self) -> Result<(), Error> {
        let there = text_of(&self.path())?;
        self.take_up(there)
    }

    /// Keeps what is here; the file's own text is what the next save replaces.
    pub(super) fn keep_ours(&mut self) -> Result<(), Error> {
        self.saved = text_of(&self.path())?;
        self.outside = None;
        self.changed()
    }

    /// Writes the file, whole or not at all.
    ///
    /// # Errors
    /// If somebody else changed it since, or it cannot be written.
    pub(super) fn save(&mut self) -> Result<(), Error> {
        self.look()?;
        if self.is_changed_outside() {
            return Err(Error::new(
                ErrorKind::File,
                "the file was changed elsewhere; nothing was written",
            )
            .hint("take the file as it is now, or keep what is here"));
        }
        if self.is_unsaved() {
            put_in_place(&self.path(), self.text.as_bytes())?;
            self.saved = Some(self.text.clone());
        }
        forget(&hidden(&self.folder, &self.name, "draft"));
        self.revision += 1;
        self.notice = format!("Saved to {}.", self.name);
        Ok(())
    }

    /// Where the lock lies that a draft ends with.
    pub(super) fn lock_path(&self) -> PathBuf {
        hidden(&self.folder, &self.name, "draft-lock")
    }
}

impl Drop for Document {
    fn drop(&mut self) {
        let lock = self.lock_path();
        forget(&lock);
        end(&lock);
    }
}

/// A hidden file beside a job.
fn hidden(folder: &Path, name: &str, ending: &str) -> PathBuf {
    let mut file = OsString::from(".");
    file.push(name);
    file.push(".");
    file.push(ending);
    folder.join(file)
}

/// Whether a file was written after another.
fn is_later(path: &Path, than: &Path) -> bool {
    let written = |of: &Path| fs::metadata(of).and_then(|of| of.modified()).ok();
    written(path) > written(than)
}

/// What cannot be removed is written over the next time.
fn forget(path: &Path) {
    let _ = fs::remove_file(path);
}

fn locked(folder: &Path, name: &str) -> Result<File, Error> {
    let path = hidden(folder, name, "draft-lock");
    let file = OpenOptions::new().create(true).truncate(false).write(true).open(&path);
    let file = file.map_err(|e| {
        Error::new(ErrorKind::File, format!("the job's folder cannot be written to: {}", why(&e)))
            .in_file(&path.display().to_string())
            .hint("check the path, its permissions and the room on the disk")
    })?;
    // Where the disk has no locks nobody can be kept out.
    if let Err(TryLockError::WouldBlock) = file.try_lock() {
        return Err(Error::new(ErrorKind::File, "this job is open in another draft")
            .in_file(&folder.join(name).display().to_string())
            .hint("go on there, or end it first"));
    }
    // Ended by a signal, the draft takes it away too.
    begin(&path, || Ok(file))
}

/// The text of a file; none where there is no such file.
pub(super) fn text_of(path: &Path) -> Result<Option<String>, Error> {
    match read_text(path) {
        Err(_) if path.symlink_metadata().is_err_and(|e| e.kind() == io::ErrorKind::NotFound) => {
            Ok(None)
        }
        read => read.map(Some),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(folder: &Path) -> Vec<String> {
        let there = fs::read_dir(folder).unwrap();
        let mut names: Vec<String> =
            there.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }

    #[test]
    fn what_is_typed_outlives_a_crash_and_saving_leaves_the_job_alone() {
        let folder = tempfile::tempdir().unwrap();
        let mut first = Document::open(folder.path(), "a.toml").unwrap();
        first.change("typed = \n".into(), Some("typed")).unwrap();
        first.change("typed = 1\n".into(), Some("typed")).unwrap();
        assert_eq!(first.back.len(), 1, "one step");
        assert!(Document::open(folder.path(), "a.toml").is_err(), "two drafts do not meet");
        drop(first);
        assert_eq!(names(folder.path()), [".a.toml.draft"]);
        let mut again = Document::open(folder.path(), "a.toml").unwrap();
        assert_eq!(again.text(), "typed = 1\n");
        assert!(again.is_unsaved() && !again.notice.is_empty());
        again.save().unwrap();
        drop(again);
        assert_eq!(names(folder.path()), ["a.toml"]);
    }

    #[test]
    fn a_job_that_was_taken_away_is_kept_and_saved_again() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.toml");
        fs::write(&path, "one = 1\n").unwrap();
        let mut of = Document::open(folder.path(), "a.toml").unwrap();
        fs::remove_file(&path).unwrap();
        of.look().unwrap();
        assert!(of.is_unsaved() && of.notice.contains("gone"));
        assert_eq!(fs::read_to_string(folder.path().join(".a.toml.draft")).unwrap(), "one = 1\n");
        of.save().unwrap();
        assert_eq!(fs::read_to_string(&path).unwrap(), "one = 1\n");
    }

    #[test]
    fn a_file_that_somebody_went_on_in_since_a_crash_is_asked_about() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.toml");
        fs::write(folder.path().join(".a.toml.draft"), "typed = 1\n").unwrap();
        let later = std::time::SystemTime::now() + std::time::Duration::from_secs(60);
        fs::write(&path, "later = 2\n").unwrap();
        File::options().append(true).open(&path).unwrap().set_modified(later).unwrap();
        let mut of = Document::open(folder.path(), "a.toml").unwrap();
        assert_eq!(of.text(), "typed = 1\n");
        assert!(of.save().is_err() && of.is_changed_outside());
        assert_eq!(fs::read_to_string(&path).unwrap(), "later = 2\n");
        of.keep_ours().unwrap();
        of.save().unwrap();
        assert_eq!(fs::read_to_string(&path).unwrap(), "typed = 1\n");
    }

    #[test]
    fn what_somebody_else_writes_is_taken_up_or_asked_about() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.toml");
        fs::write(&path, "one = 1\n").unwrap();
        let mut of = Document::open(folder.path(), "a.toml").unwrap();
        fs::write(&path, "two = 2\n").unwrap();
        of.look().unwrap();
        assert_eq!((of.text(), of.is_unsaved()), ("two = 2\n", false));
        of.change("mine = 3\n".into(), None).unwrap();
        fs::write(&path, "theirs = 4\n").unwrap();
        assert!(of.save().is_err() && of.is_changed_outside());
        assert_eq!(fs::read_to_string(&path).unwrap(), "theirs = 4\n");
        of.take_theirs().unwrap();
        assert_eq!(of.text(), "theirs = 4\n");
        of.undo().unwrap();
        assert_eq!(of.text(), "mine = 3\n");
        fs::write(&path, "again = 5\n").unwrap();
        of.look().unwrap();
        of.keep_ours().unwrap();
        of.save().unwrap();
        assert_eq!(fs::read_to_string(&path).unwrap(), "mine = 3\n");
        for before in ["two = 2\n", "one = 1\n"] {
            of.undo().unwrap();
            assert_eq!(of.text(), before);
        }
    }
}
