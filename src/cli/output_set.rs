//! A set of files, all or nothing: written beside the target, then renamed into place.

use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};

use crate::error::{Error, ErrorKind};

/// A file of the set by name.
pub(super) type NamedFile = (String, Vec<u8>);

/// What to do about an existing set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Existing {
    /// It stays and the work is refused.
    Keep,
    /// It is replaced once the new one is complete.
    Replace,
}

/// A name for what is unfinished, of its own for every process and every set in it: many sets may be begun side by side.
pub(super) fn hidden_name() -> String {
    static BEGUN: AtomicUsize = AtomicUsize::new(0);
    format!(".seatcut-unfinished-{}-{}", std::process::id(), BEGUN.fetch_add(1, Ordering::Relaxed))
}

/// A directory being filled, out of sight until it is published; gone again if it is not.
pub(super) struct Staging {
    target: PathBuf,
    staging: PathBuf,
    existed: bool,
    /// Whether the hidden folder is left where it is: it became the target, or holds what could not be moved back.
    keep: bool,
}

impl Staging {
    /// Begins a set for `target`.
    ///
    /// # Errors
    /// If the target exists and may not be replaced, or nothing can be written beside it.
    pub fn begin(target: &Path, existing: Existing) -> Result<Staging, Error> {
        let existed = target.symlink_metadata().is_ok();
        if existed {
            refuse_existing(target, existing)?;
        }
        let hidden = hidden_name();
        let home = if existed {
            target.to_path_buf()
        } else {
            let parent = target.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
            fs::create_dir_all(parent).map_err(|e| failed(parent, "cannot be made", &e))?;
            parent.to_path_buf()
        };
        let staging = home.join(hidden);
        fs::create_dir(&staging).map_err(|e| failed(&home, "cannot be written to", &e))?;
        Ok(Staging { target: target.to_path_buf(), staging, existed, keep: false })
    }

    /// Writes files into the set.
    pub fn write(&self, files: &[NamedFile]) -> Result<(), Error> {
        for (name, bytes) in files {
            let path = self.staging.join(name);
            let written = fs::File::create(&path).and_then(|mut file| {
                file.write_all(bytes)?;
                file.sync_all()
            });
            written.map_err(|e| failed(&self.target.join(name), "cannot be written", &e))?;
        }
        Ok(())
    }

    /// Reads a file of the set back from disk.
    ///
    /// # Errors
    /// If it cannot be read, or differs from what was written.
    pub fn read_back(&self, name: &str, written: &[u8]) -> Result<Vec<u8>, Error> {
        let read = fs::read(self.staging.join(name));
        let bytes = read.map_err(|e| failed(&self.target.join(name), "cannot be read back", &e))?;
        if bytes != written {
            return Err(Error::new(ErrorKind::File, "the file read back differs from what was written").in_file(name));
        }
        Ok(bytes)
    }

    /// Puts the set in its place.
    pub fn publish(mut self, names: &[String]) -> Result<(), Error> {
        let moved = if self.existed { self.exchange(names) } else { fs::rename(&self.staging, &self.target) };
        moved.map_err(|e| failed(&self.target, "cannot be put in place", &e))?;
        self.keep |= !self.existed;
        Ok(())
    }

    /// Moves the old set aside and the new one in; back again if anything fails.
    fn exchange(&mut self, names: &[String]) -> io::Result<()> {
        let aside = self.staging.join("old");
        fs::create_dir(&aside)?;
        let mut undo: Vec<(PathBuf, PathBuf)> = Vec::new();
        let (target, staging) = (self.target.clone(), self.staging.clone());
        let mut step = |from: PathBuf, to: PathBuf| {
            fs::rename(&from, &to)?;
            undo.push((to, from));
            Ok(())
        };
        let result = old_set(&target).and_then(|old| {
            old.iter().try_for_each(|name| step(target.join(name), aside.join(name)))?;
            names.iter().try_for_each(|name| step(staging.join(name), target.join(name)))
        });
        if result.is_err() {
            for (from, to) in undo.into_iter().rev() {
                // What cannot be moved back stays in the hidden folder: better than lost.
                self.keep |= fs::rename(from, to).is_err();
            }
        }
        result
    }
}

impl Drop for Staging {
    fn drop(&mut self) {
        if !self.keep {
            let _ = fs::remove_dir_all(&self.staging);
        }
    }
}

/// The names of a set that lie in a directory.
fn old_set(dir: &Path) -> io::Result<Vec<String>> {
    let names = fs::read_dir(dir)?.filter_map(|entry| entry.ok()?.file_name().into_string().ok());
    Ok(names.filter(|name| belongs(name)).collect())
}

fn belongs(name: &str) -> bool {
    let numbered_as =
        |rest: &str, ending: &str| rest.strip_suffix(ending).is_some_and(|n| n.bytes().all(|b| b.is_ascii_digit()));
    let numbered = |rest: &str| numbered_as(rest, ".nc");
    let made = matches!(
        name,
        "nominal.dxf"
            | "compensated.dxf"
            | "program.nc"
            | "drawing.svg"
            | "head-joint.svg"
            | "bench.html"
            | "bench.pdf"
            | "report.json"
    );
    let ordered = matches!(name, "skirt.dxf" | "order.txt" | "order.csv" | "order.pdf" | "SHA256SUMS");
    let listed = name == "boards.txt" || name.strip_prefix("sheet-").is_some_and(|rest| numbered_as(rest, ".svg"));
    let of_one_job = [".nominal.dxf", ".compensated.dxf", ".drawing.svg", ".head-joint.svg", ".bench.pdf"];
    let listed = listed || of_one_job.iter().any(|ending| name.ends_with(ending));
    made || ordered || listed || name.strip_prefix("program-").is_some_and(numbered)
}

fn refuse_existing(target: &Path, existing: Existing) -> Result<(), Error> {
    let name = target.display().to_string();
    let refusal = |what: &str, hint: &str| Error::new(ErrorKind::File, what).in_file(&name).hint(hint);
    let mut entries = fs::read_dir(target).map_err(|e| {
        refusal(&format!("exists and is no directory that can be read: {e}"), "give another directory to -o")
    })?;
    if existing == Existing::Keep && entries.next().is_some() {
        return Err(refusal(
            "exists and is not empty; nothing was written",
            "give another directory, or --force to replace the set in it",
        ));
    }
    Ok(())
}

fn failed(path: &Path, what: &str, error: &io::Error) -> Error {
    Error::new(ErrorKind::File, format!("{what}: {error}; nothing was left half-written"))
        .in_file(&path.display().to_string())
        .hint("check the path, its permissions and the room on the disk")
}
