//! What lies where a set is to go, and whether the set may go there.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use super::super::io_words::why;
use super::folder::{folder_of, folders, is_folder, lies, path_of};
use super::list::{Broken, Listed, SetKind, SetList, lists};
use super::remains::is_hidden_name;
use super::swap::is_still;
use super::{Existing, Goal};
use crate::diagnostics::{Error, ErrorKind};

/// The most names that an error lists.
const MOST_NAMED: usize = 12;

/// What lies in a directory.
pub(super) struct Standing {
    dir: PathBuf,
    /// The directory as the user named it.
    named: String,
    lists: Vec<SetList>,
    broken: Vec<Broken>,
    names: Vec<String>,
    /// Whether there is a name that is no text.
    unnameable: bool,
}

impl Standing {
    /// Looks into a directory that the user named in some way.
    ///
    /// # Errors
    /// If it is none that can be read.
    pub(super) fn of(dir: &Path, named: &Path) -> Result<Self, Error> {
        let named = named.display().to_string();
        let entries = fs::read_dir(dir).map_err(|e| {
            Error::new(
                ErrorKind::File,
                format!("exists and is no directory that can be read: {}", why(&e)),
            )
            .in_file(&named)
            .hint("give another directory to -o")
        })?;
        let (mut names, mut unnameable) = (Vec::new(), false);
        for entry in entries.flatten() {
            match entry.file_name().into_string() {
                Ok(name) if is_hidden_name(&name) => {}
                Ok(name) => names.push(name),
                Err(_) => unnameable = true,
            }
        }
        let (lists, broken) = lists(dir);
        let own: BTreeSet<&str> = folders(lists.iter().flat_map(|list| &list.files));
        for folder in own.into_iter().filter(|folder| is_folder(&dir.join(folder))) {
            // In place of a folder of a set stands what is in it.
            names.retain(|name| name != folder);
            for entry in fs::read_dir(dir.join(folder)).into_iter().flatten().flatten() {
                match entry.file_name().into_string() {
                    Ok(name) => names.push(format!("{folder}/{name}")),
                    Err(_) => unnameable = true,
                }
            }
        }
        Ok(Self { dir: dir.to_path_buf(), named, lists, broken, names, unnameable })
    }

    /// The files of the sets of a kind that are still there.
    fn own(&self, kind: SetKind) -> Vec<&Listed> {
        let of_kind = self.lists.iter().filter(|list| list.kind == kind);
        of_kind
            .flat_map(|list| &list.files)
            .filter(|file| self.names.contains(&file.name))
            .collect()
    }

    /// Whether nothing lies there but a set of a kind.
    pub(super) fn is_all_own(&self, kind: SetKind) -> bool {
        let own = self.own(kind);
        !self.unnameable && self.names.iter().all(|name| own.iter().any(|file| file.name == *name))
    }

    /// Whether just these files lie there as a set, byte for byte.
    pub(super) fn holds(&self, kind: SetKind, files: &[Listed]) -> bool {
        let own = self.own(kind);
        own.len() == files.len() && files.iter().all(|file| own.contains(&file))
    }

    /// The files that have to go for a set with these names.
    ///
    /// # Errors
    /// If something lies there that the set may not replace: names what it is; nothing has been
    /// touched.
    pub(super) fn making_room(
        &self,
        goal: &Goal<'_>,
        names: &[&str],
    ) -> Result<Vec<Listed>, Error> {
        self.another_kind(goal.kind)?;
        self.broken()?;
        let own = self.own(goal.kind);
        let is_own = |name: &str| own.iter().any(|file| file.name == name);
        let changed = own.iter().filter(|file| !is_still(&self.dir, file)).map(|file| &*file.name);
        self.none_of(changed, "what seatcut wrote here was changed since; nothing was written")?;
        let unknown = names.iter().copied().filter(|name| self.lies_here(name) && !is_own(name));
        let unknown = unknown.chain(self.in_the_way(names));
        self.none_of(
            unknown,
            "files of these names lie here that are none of a set of seatcut's; nothing was \
            written",
        )?;
        let is_source =
            |name: &&str| goal.inputs.iter().any(|input| is_input(&self.dir.join(name), input));
        let sources =
            own.iter().map(|file| &*file.name).chain(names.iter().copied()).filter(is_source);
        self.none_of(sources, "the set would replace what it is made from; nothing was written")?;
        if goal.existing == Existing::Keep {
            self.of_the_same_job(goal, !own.is_empty())?;
        }
        Ok(own.into_iter().cloned().collect())
    }

    fn lies_here(&self, name: &str) -> bool {
        lies(&self.dir, name)
    }

    /// What lies where a folder of the set is to be, and is none.
    fn in_the_way<'n>(&self, names: &[&'n str]) -> impl Iterator<Item = &'n str> {
        let folders = names.iter().filter_map(|name| folder_of(name));
        folders.filter(|folder| path_of(&self.dir, &format!("{folder}/")).is_none())
    }

    /// A set of another kind is never replaced, whoever asks.
    fn another_kind(&self, kind: SetKind) -> Result<(), Error> {
        let kinds = self.lists.iter().map(|list| list.kind);
        let mut kinds = kinds.chain(self.broken.iter().map(|list| list.kind));
        let Some(other) = kinds.find(|of| *of != kind) else { return Ok(()) };
        let what =
            format!("holds {}, and this is {}; nothing was written", other.words(), kind.words());
        Err(self.refusal(&what).hint("give another directory to -o, or remove that set yourself"))
    }

    /// A list that its seal does not hold says nothing: what is of its set and what is somebody
    /// else's is not known any more.
    fn broken(&self) -> Result<(), Error> {
        let Some(list) = self.broken.first() else { return Ok(()) };
        let what = "the list of the set here was changed since seatcut wrote it, or is of a \
            version that did not seal it; nothing was written";
        Err(self
            .refusal(what)
            .found(format!("{} without the seal that it was written with", list.name))
            .allowed("a set as it was written, or an empty directory")
            .hint("move the whole folder to another place, or give another directory to -o"))
    }

    fn of_the_same_job(&self, goal: &Goal<'_>, has_set: bool) -> Result<(), Error> {
        let lists = || self.lists.iter().filter(|list| list.kind == goal.kind);
        if has_set && lists().all(|list| list.revisions == goal.revisions) {
            return Ok(());
        }
        if has_set {
            let found: Vec<String> = lists().map(|list| list.revisions.join(", ")).collect();
            if lists().all(|list| sorted(&list.revisions) == sorted(&goal.revisions)) {
                return Err(self
                    .stop(ErrorKind::Taken, IN_ANOTHER_SEQUENCE)
                    .hint("name the jobs as before, or --force to replace the set in it"));
            }
            return Err(self
                .stop(
                    ErrorKind::Taken,
                    "holds the set of another job, or of this one before it was changed; nothing \
                    was written",
                )
                .found(format!("job {}", found.join("; ")))
                .allowed(format!("job {}, or an empty directory", goal.revisions.join(", ")))
                .hint("give another directory, or --force to replace the set in it"));
        }
        // The tables of a batch stand beside its sets.
        if goal.kind == SetKind::Batch || (self.names.is_empty() && !self.unnameable) {
            return Ok(());
        }
        Err(self
            .stop(ErrorKind::Taken, "exists and is not empty; nothing was written")
            .hint("give another directory, or --force to put the set beside what lies in it"))
    }

    fn none_of<'n>(&self, names: impl Iterator<Item = &'n str>, what: &str) -> Result<(), Error> {
        let mut names: Vec<&str> = names.collect();
        names.sort_unstable();
        names.dedup();
        if names.is_empty() {
            return Ok(());
        }
        let more = names.len().saturating_sub(MOST_NAMED);
        let mut found = names.iter().take(MOST_NAMED).copied().collect::<Vec<_>>().join(", ");
        if more > 0 {
            found.push_str(&format!(" and {more} more"));
        }
        let hint =
            "move them to another place if you want to keep them, or give another directory to -o";
        Err(self.refusal(what).found(found).hint(hint))
    }

    fn refusal(&self, what: &str) -> Error {
        self.stop(ErrorKind::Foreign, what)
    }

    fn stop(&self, kind: ErrorKind, what: &str) -> Error {
        Error::new(kind, what).in_file(&self.named)
    }
}

/// The same jobs, named otherwise.
const IN_ANOTHER_SEQUENCE: &str = "holds the set of the same jobs named in another sequence, in \
    which they are numbered otherwise; nothing was written";

/// Fingerprints whatever their sequence.
fn sorted(of: &[String]) -> Vec<&String> {
    let mut all: Vec<&String> = of.iter().collect();
    all.sort_unstable();
    all
}

/// Whether a path is one of the files that were read, by whatever name or link.
pub(in crate::cli) fn is_input(path: &Path, input: &Path) -> bool {
    #[cfg(unix)]
    {
        use std::os::unix::fs::MetadataExt;
        let identity =
            |path: &Path| fs::metadata(path).ok().map(|about| (about.dev(), about.ino()));
        identity(path).is_some_and(|of| identity(input) == Some(of))
    }
    #[cfg(not(unix))]
    {
        path.canonicalize().is_ok_and(|path| input.canonicalize().is_ok_and(|input| input == path))
    }
}
