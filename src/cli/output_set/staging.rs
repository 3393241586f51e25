//! A set while it is written: out of sight, beside the place it goes to or in it.

use std::fs::{self, DirEntry, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use rayon::prelude::*;

use super::super::io_words::why;
use super::folder::{all_synced, folders, is_folder, path_into};
use super::interrupt::{begin, end, unbroken};
use super::list::Listed;
use super::remains::{hidden_path, remove, sweep};
use super::standing::Standing;
use super::swap::{JOURNAL, Journal, Moved, exchange, moved, replace, synced};
use super::{Goal, failed, parent_of};
use crate::bundle::Artifact;
use crate::diagnostics::{Error, ErrorKind};

/// How many files are open at a time: a system may allow a few hundred.
const OPEN_AT_ONCE: usize = 64;

/// A directory being filled, out of sight until it is published; gone again if it is not.
pub(in crate::cli) struct Staging<'a> {
    goal: Goal<'a>,
    /// Where the set goes, links followed.
    target: PathBuf,
    place: PathBuf,
    files: Vec<Listed>,
    /// Held open and locked, so that no other run takes the place for left behind.
    lock: Option<File>,
    /// Whether the hidden place is left as it is: it holds what could not be moved back.
    keep: bool,
}

impl<'a> Staging<'a> {
    /// Begins a set.
    ///
    /// # Errors
    /// If something lies in its place that it may not replace, or nothing can be written there.
    pub(crate) fn begin(goal: Goal<'a>) -> Result<Self, Error> {
        let exists = goal.target.symlink_metadata().is_ok();
        let target = if exists { real(goal.target)? } else { goal.target.to_path_buf() };
        let parent = parent_of(&target);
        if !exists {
            fs::create_dir_all(parent).map_err(|e| failed(parent, "cannot be made", &e))?;
        }
        sweep(parent, &target)?;
        if exists {
            sweep(&target, &target)?;
            Standing::of(&target, goal.target)?.making_room(&goal, &[goal.kind.list_name()])?;
        }
        let alone = !exists || can_change_places(&target, &goal);
        let homes =
            if alone { [Some(parent), exists.then_some(&*target)] } else { [Some(&*target), None] };
        let (place, lock) = begun(homes.into_iter().flatten())?;
        Ok(Staging { goal, target, place, files: Vec::new(), lock, keep: false })
    }

    /// Writes files into the set.
    pub(crate) fn write(&mut self, files: &[Artifact<'_>]) -> Result<(), Error> {
        self.files.extend(files.iter().map(|file| Listed::of(&file.name, &file.bytes)));
        self.making_room()?;
        let journal = Journal::writing(self.files.clone()).write(&self.place);
        journal.map_err(|e| failed(&self.target, "cannot be written", &e))?;
        files.chunks(OPEN_AT_ONCE).try_for_each(|some| self.made_to_last(some))
    }

    /// Writes some files that stay open, then makes all of them last: a disk does for many at once
    /// what it does for one.
    fn made_to_last(&self, some: &[Artifact<'_>]) -> Result<(), Error> {
        let failed =
            |name: &str, e: &io::Error| failed(&self.target.join(name), "cannot be written", e);
        let mut open: Vec<(&str, File)> = Vec::with_capacity(some.len());
        for Artifact { name, bytes, .. } in some {
            let file = path_into(&self.place, name).and_then(File::create);
            let file = file.and_then(|mut file| file.write_all(bytes).map(|()| file));
            open.push((name, file.map_err(|e| failed(name, &e))?));
        }
        open.par_iter().try_for_each(|(name, file)| file.sync_all().map_err(|e| failed(name, &e)))
    }

    /// Reads a file of the set back from disk.
    ///
    /// # Errors
    /// If it cannot be read, or differs from what was written.
    pub(crate) fn read_back(&self, written: &Artifact<'_>) -> Result<Vec<u8>, Error> {
        let read = fs::read(self.place.join(&written.name));
        let bytes =
            read.map_err(|e| failed(&self.target.join(&written.name), "cannot be read back", &e))?;
        if bytes != written.bytes {
            return Err(Error::new(
                ErrorKind::File,
                "the file read back differs from what was written",
            )
            .in_file(&written.name));
        }
        Ok(bytes)
    }

    /// Puts the set in its place. Where the very same files lie there already nothing is touched.
    pub(crate) fn publish(mut self) -> Result<(), Error> {
        if self.target.symlink_metadata().is_err() {
            return unbroken(|| {
                self.appear().map_err(|e| failed(&self.target, "cannot be put in place", &e))
            });
        }
        // Two runs into one place take turns; the later one looks again at what lies there then.
        let turn = turn(&self.target);
        let standing = Standing::of(&self.target, self.goal.target)?;
        let out = self.making_room()?;
        if standing.holds(self.goal.kind, &self.files) {
            return Ok(());
        }
        let all_own = standing.is_all_own(self.goal.kind);
        let Staging { target, place, files, keep, .. } = &mut self;
        let done = unbroken(|| {
            let is_beside = parent_of(place) != target;
            if all_own && is_beside && changed_places(place, target, files).is_ok() {
                given_back(place, target, &out);
                return Ok(());
            }
            let name = target.file_name().and_then(|name| name.to_str()).filter(|_| is_beside);
            match replace(place, name.map(str::to_string), out, files.clone()) {
                Moved::All => Ok(()),
                Moved::Back(e) => Err(failed(target, "cannot be put in place", &e)),
                Moved::Broken(e) => {
                    *keep = true;
                    Err(broken(target, place, &e))
                }
            }
        });
        drop(turn);
        done
    }

    /// The files that go, if the set as it is known so far may go where it goes.
    fn making_room(&self) -> Result<Vec<Listed>, Error> {
        if self.target.symlink_metadata().is_err() {
            return Ok(Vec::new());
        }
        let names: Vec<&str> = self.files.iter().map(|file| &*file.name).collect();
        Standing::of(&self.target, self.goal.target)?.making_room(&self.goal, &names)
    }

    /// Becomes the place itself, where there was none.
    fn appear(&self) -> io::Result<()> {
        fs::remove_file(self.place.join(JOURNAL))?;
        all_synced(&self.place, &self.files)?;
        fs::rename(&self.place, &self.target)?;
        synced(parent_of(&self.target))
    }
}

impl Drop for Staging<'_> {
    fn drop(&mut self) {
        if !self.keep {
            // What cannot be removed is swept by the next run.
            let _ = remove(&self.place);
        }
        end(&self.place);
        self.lock = None;
    }
}

/// Changes places with the old set, its permissions taken over.
fn changed_places(place: &Path, target: &Path, files: &[Listed]) -> io::Result<()> {
    fs::set_permissions(place, fs::metadata(target)?.permissions())?;
    for folder in folders(files).into_iter().filter(|folder| is_folder(&target.join(folder))) {
        let permissions = fs::metadata(target.join(folder))?.permissions();
        fs::set_permissions(place.join(folder), permissions)?;
    }
    // Without its journal the place is the set and nothing else.
    let journal = fs::read(place.join(JOURNAL))?;
    fs::remove_file(place.join(JOURNAL))?;
    all_synced(place, files)?;
    exchange(place, target).inspect_err(|_| {
        // It goes on file by file, and writes a journal of its own first.
        let _ = fs::write(place.join(JOURNAL), journal);
    })
}

/// What somebody put into the old directory at the last moment goes on lying in the new one.
fn given_back(old: &Path, target: &Path, out: &[Listed]) {
    let folders = folders(out);
    let is_own = |name: &str| {
        let is_folder = || folders.contains(name) && is_folder(&old.join(name));
        out.iter().any(|file| file.name == name) || is_folder()
    };
    strange(old, is_own).for_each(|entry| give_back(&entry, target));
    for folder in folders.iter().filter(|folder| is_folder(&old.join(folder))) {
        let is_own = |name: &str| out.iter().any(|file| file.name == format!("{folder}/{name}"));
        for entry in strange(&old.join(folder), is_own) {
            if path_into(target, &format!("{folder}/")).is_ok() {
                give_back(&entry, &target.join(folder));
            }
        }
    }
}

/// What lies in a directory and is not our own.
fn strange(dir: &Path, is_own: impl Fn(&str) -> bool) -> impl Iterator<Item = DirEntry> {
    let entries = fs::read_dir(dir).into_iter().flatten().flatten();
    entries.filter(move |entry| !entry.file_name().to_str().is_some_and(&is_own))
}

/// Where its name is taken it stays where it is: nothing of somebody else is removed.
fn give_back(entry: &DirEntry, to: &Path) {
    let _ = moved(&entry.path(), &to.join(entry.file_name()));
}

fn broken(target: &Path, place: &Path, error: &io::Error) -> Error {
    Error::new(ErrorKind::File, format!("cannot be put in place: {}", why(error)))
        .in_file(&target.display().to_string())
        .found(format!("what could not be moved back is in {}", place.display()))
        .hint("run it again when the cause is gone: it finishes what was begun")
}

/// A path with its links followed.
fn real(target: &Path) -> Result<PathBuf, Error> {
    target.canonicalize().map_err(|e| failed(target, "cannot be used", &e))
}

/// A hidden directory in the first home that takes one.
fn begun<'h>(homes: impl Iterator<Item = &'h Path>) -> Result<(PathBuf, Option<File>), Error> {
    let mut first = None;
    for home in homes {
        let place = hidden_path(home);
        let made = begin(&place, || {
            fs::create_dir(&place).map_err(|e| failed(home, "cannot be written to", &e))
        });
        match made {
            Ok(()) => {
                let lock = File::open(&place).ok().filter(|file| file.try_lock().is_ok());
                return Ok((place, lock));
            }
            Err(error) => first = first.or(Some(error)),
        }
    }
    Err(first.unwrap_or_else(|| Error::new(ErrorKind::Internal, "no place to write a set to")))
}

/// Whether a whole directory may change places: it holds nothing but the set, nobody stands in it
/// that is known of, and the directory that takes its place is owned like it.
fn can_change_places(target: &Path, goal: &Goal<'_>) -> bool {
    let here = std::env::current_dir().and_then(|dir| dir.canonicalize());
    let stands_in_it = here.is_ok_and(|here| here.starts_with(target));
    let all_own =
        Standing::of(target, goal.target).is_ok_and(|standing| standing.is_all_own(goal.kind));
    // The journal that would be needed if it cannot be done after all names it.
    let nameable = target.file_name().is_some_and(|name| name.to_str().is_some());
    all_own && !stands_in_it && nameable && is_owned_like_its_home(target)
}

/// The mode of a directory that its owner may list, change and enter.
#[cfg(unix)]
const OWNERS_ALL: u32 = 0o700;

#[cfg(unix)]
fn is_owned_like_its_home(target: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    let (Ok(own), Ok(home)) = (fs::metadata(target), fs::metadata(parent_of(target))) else {
        return false;
    };
    if own.mode() & OWNERS_ALL != OWNERS_ALL {
        return false;
    }
    let process = rustix::process::geteuid().as_raw();
    let group =
        if home.mode() & 0o2000 != 0 { home.gid() } else { rustix::process::getegid().as_raw() };
    own.dev() == home.dev() && own.uid() == process && own.gid() == group
}

#[cfg(not(unix))]
fn is_owned_like_its_home(_: &Path) -> bool {
    false
}

/// The directory locked for this run, where the system can lock one: waits for another run to have
/// done.
fn turn(target: &Path) -> Option<File> {
    loop {
        let dir = File::open(target).ok()?;
        dir.lock().ok()?;
        // The one before may have put another directory here.
        if is_at(&dir, target) {
            return Some(dir);
        }
    }
}

#[cfg(unix)]
fn is_at(dir: &File, path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    let (Ok(held), Ok(there)) = (dir.metadata(), fs::metadata(path)) else { return true };
    (held.dev(), held.ino()) == (there.dev(), there.ino())
}

#[cfg(not(unix))]
fn is_at(_: &File, _: &Path) -> bool {
    true
}
