//! How a set comes into a place where another one lies.
//!
//! Alone in its directory it changes places with it as a whole ([`exchange`]): one step of the file
//! system. Beside files of somebody else the files are moved one by one ([`replace`]): the old ones
//! out, then the new ones in, so that old and new never lie side by side, and the list of a set
//! first and last, so that it never stands for half a set. A journal is written before; the next
//! run moves what a killed one left ([`finish`]).

use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use super::folder::{all_synced, folders, lies, path_into, path_of, without_empty};
use super::list::{Listed, SetKind};
use super::parent_of;
use crate::diagnostics::{Error, ErrorKind};
use crate::output::file_report;

/// The journal of a place where a set is begun.
pub(super) const JOURNAL: &str = ".journal";
/// Where the old files go while the new ones come.
pub(super) const ASIDE: &str = ".old";

/// How far a set is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
enum Stage {
    /// Files are being written; dropped if that is broken off.
    Writing,
    /// Files are being moved; finished if that is broken off.
    Moving,
}

/// What is done in a place where a set is begun.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub(super) struct Journal {
    stage: Stage,
    /// The name of the directory beside this one that the set goes to; none where it goes to the
    /// one around it.
    beside: Option<String>,
    /// The files that go.
    pub out: Vec<Listed>,
    /// The files that come.
    pub into: Vec<Listed>,
}

impl Journal {
    /// The journal while files are being written.
    pub(super) fn writing(into: Vec<Listed>) -> Self {
        Self { stage: Stage::Writing, beside: None, out: Vec::new(), into }
    }

    /// The journal while files are being moved, in the order they are.
    fn moving(beside: Option<String>, mut out: Vec<Listed>, mut into: Vec<Listed>) -> Self {
        out.sort_by_key(|file| !is_list(file));
        into.sort_by_key(is_list);
        Self { stage: Stage::Moving, beside, out, into }
    }

    /// The journal once all are moved: what went is to be removed, by its name.
    fn done(&self) -> Self {
        Self { stage: Stage::Writing, beside: None, out: self.out.clone(), into: Vec::new() }
    }

    /// The journal of the place, if there is a whole one.
    pub(super) fn read(place: &Path) -> Option<Self> {
        serde_json::from_slice(&fs::read(place.join(JOURNAL)).ok()?).ok()
    }

    /// Whether files may have been moved already.
    pub(super) fn is_moving(&self) -> bool {
        self.stage == Stage::Moving
    }

    /// Writes it to the disk, the one before it replaced as a whole.
    pub(super) fn write(&self, place: &Path) -> io::Result<()> {
        let next = place.join(format!("{JOURNAL}-next"));
        let mut file = File::create(&next)?;
        file.write_all(&serde_json::to_vec(self)?)?;
        file.sync_all()?;
        fs::rename(next, place.join(JOURNAL))?;
        synced(place)
    }

    /// The directory that the files of a place go to.
    pub(super) fn target(&self, place: &Path) -> PathBuf {
        let home = parent_of(place);
        self.beside.as_ref().map_or(home.to_path_buf(), |name| home.join(name))
    }
}

/// Makes what was renamed in a directory last through a loss of power, where the system can.
pub(super) fn synced(dir: &Path) -> io::Result<()> {
    if cfg!(unix) { File::open(dir)?.sync_all() } else { Ok(()) }
}

/// Two directories beside each other change places, all at once.
///
/// # Errors
/// If this file system or this system cannot do that, or it is not allowed; then nothing has
/// changed.
#[cfg(any(target_os = "linux", target_os = "android", target_vendor = "apple"))]
pub(super) fn exchange(one: &Path, other: &Path) -> io::Result<()> {
    use rustix::fs::{CWD, RenameFlags, renameat_with};
    renameat_with(CWD, one, CWD, other, RenameFlags::EXCHANGE)?;
    synced(parent_of(other))
}

#[cfg(not(any(target_os = "linux", target_os = "android", target_vendor = "apple")))]
pub(super) fn exchange(_: &Path, _: &Path) -> io::Result<()> {
    Err(io::ErrorKind::Unsupported.into())
}

/// Renames a file to a name that is free.
pub(super) fn moved(from: &Path, to: &Path) -> io::Result<()> {
    #[cfg(any(target_os = "linux", target_os = "android", target_vendor = "apple"))]
    {
        use rustix::fs::{CWD, RenameFlags, renameat_with};
        use rustix::io::Errno;
        match renameat_with(CWD, from, CWD, to, RenameFlags::NOREPLACE) {
            Err(Errno::INVAL | Errno::NOSYS | Errno::NOTSUP) => {}
            done => return Ok(done?),
        }
    }
    if to.symlink_metadata().is_ok() {
        return Err(io::ErrorKind::AlreadyExists.into());
    }
    fs::rename(from, to)
}

/// What became of moving files one by one.
pub(super) enum Moved {
    All,
    /// Nothing is changed.
    Back(io::Error),
    /// Some could not be moved back: they stay where they are.
    Broken(io::Error),
}

/// Moves the files of the place into its target, those that go out of it first; back again if
/// anything fails.
pub(super) fn replace(
    place: &Path,
    beside: Option<String>,
    out: Vec<Listed>,
    into: Vec<Listed>,
) -> Moved {
    let journal = Journal::moving(beside, out, into);
    let target = journal.target(place);
    let aside = place.join(ASIDE);
    if let Err(e) = fs::create_dir(&aside).and_then(|()| journal.write(place)) {
        return Moved::Back(e);
    }
    let mut undo: Vec<(&Path, &Path, &str)> = Vec::new();
    let mut step = |(from, to, name)| {
        carried(from, to, name)?;
        undo.push((to, from, name));
        Ok(())
    };
    let out = journal.out.iter().map(|file| (&*target, &*aside, &*file.name));
    let into = journal.into.iter().map(|file| (place, &*target, &*file.name));
    let done = out.chain(into).try_for_each(&mut step);
    let done = done.and_then(|()| all_synced(&target, &journal.into));
    let Err(e) = done else {
        journal.leave_no_empty_folder(place, &target);
        return match journal.done().write(place) {
            Ok(()) => Moved::All,
            Err(e) => Moved::Broken(e),
        };
    };
    let back = undo.into_iter().rev().try_for_each(|(from, to, name)| carried(from, to, name));
    without_empty(&target, folders(&journal.into));
    without_empty(&aside, folders(&journal.out));
    match back.and_then(|()| Journal::writing(journal.into).write(place)) {
        Ok(()) => Moved::Back(e),
        Err(_) => Moved::Broken(e),
    }
}

/// Moves a file of a set from one directory to another, by its name in both; its folder is made
/// there.
fn carried(from: &Path, to: &Path, name: &str) -> io::Result<()> {
    let from = path_of(from, name).ok_or(io::ErrorKind::NotADirectory)?;
    moved(&from, &path_into(to, name)?)
}

fn is_list(file: &Listed) -> bool {
    SetKind::ALL.iter().any(|kind| kind.list_name() == file.name)
}

/// Finishes what [`replace`] began in a run that was killed.
///
/// # Errors
/// If a file is in the way that is neither the old one nor the new one; nothing is lost then.
pub(super) fn finish(place: &Path) -> Result<(), Error> {
    let Some(journal) = Journal::read(place) else { return Ok(()) };
    let target = journal.target(place);
    let aside = place.join(ASIDE);
    let stuck = |name: &str, why: String| {
        Error::new(ErrorKind::File, "a run that was broken off here cannot be finished")
            .in_file(&target.display().to_string())
            .found(format!("{name}: {why}"))
            .hint(format!(
                "the new files are in {}, the old ones in {ASIDE} there: move them by hand",
                place.display()
            ))
    };
    // Where a new file of the name came already, what lies there is that.
    let came = |file: &Listed| journal.comes(&file.name) && !lies(place, &file.name);
    let is_left =
        |file: &&Listed| !lies(&aside, &file.name) && lies(&target, &file.name) && !came(file);
    let left: Vec<&Listed> = journal.out.iter().filter(is_left).collect();
    if let Some(changed) = left.iter().find(|file| !is_still(&target, file)) {
        return Err(stuck(&changed.name, "was changed since".to_string()));
    }
    for Listed { name, .. } in left {
        carried(&target, &aside, name).map_err(|e| stuck(name, e.to_string()))?;
    }
    for Listed { name, .. } in journal.into.iter().filter(|file| lies(place, &file.name)) {
        carried(place, &target, name).map_err(|e| stuck(name, e.to_string()))?;
    }
    journal.leave_no_empty_folder(place, &target);
    let done = all_synced(&target, &journal.into).and_then(|()| journal.done().write(place));
    done.map_err(|e| stuck(JOURNAL, e.to_string()))
}

impl Journal {
    /// Once all are moved: where the old files were, and where the new ones came from. Before the
    /// journal says that all is done, for from then on it names the old ones only.
    fn leave_no_empty_folder(&self, place: &Path, target: &Path) {
        without_empty(target, folders(&self.out));
        without_empty(place, folders(&self.into));
    }

    fn comes(&self, name: &str) -> bool {
        self.into.iter().any(|file| file.name == name)
    }
}

/// Whether a file of a set lies in its directory as it is listed.
pub(super) fn is_still(dir: &Path, listed: &Listed) -> bool {
    let Some(path) = path_of(dir, &listed.name) else { return false };
    let is_file = path.symlink_metadata().is_ok_and(|about| about.is_file());
    is_file && fs::read(path).is_ok_and(|bytes| file_report("", &bytes).sha256 == listed.sha256)
}

#[cfg(test)]
mod tests {
    use super::super::remains::remove;
    use super::*;
    use std::collections::BTreeMap;

    /// A directory with an old set (a, b, d/x, e/y) beside files of somebody else (mine, d/mine),
    /// and a place in it with a new set (a, c, d/x, f/z).
    struct Scene {
        dir: tempfile::TempDir,
        place: PathBuf,
        out: Vec<Listed>,
        into: Vec<Listed>,
    }

    const OLD: [(&str, &str); 4] =
        [("a", "old a"), ("b", "old b"), ("d/x", "old x"), ("e/y", "old y")];
    const NEW: [(&str, &str); 4] =
        [("a", "new a"), ("c", "new c"), ("d/x", "new x"), ("f/z", "new z")];

    impl Scene {
        fn new() -> Self {
            let dir = tempfile::tempdir().unwrap();
            let place = dir.path().join(".seatcut-unfinished-1-0");
            fs::create_dir(&place).unwrap();
            let written = |home: &Path, name: &str, text: &str| {
                fs::write(path_into(home, name).unwrap(), text).unwrap();
                Listed::of(name, text.as_bytes())
            };
            let all = |home: &Path, files: [(&str, &str); 4]| {
                files.into_iter().map(|(name, text)| written(home, name, text)).collect()
            };
            let (out, into) = (all(dir.path(), OLD), all(&place, NEW));
            written(dir.path(), "mine", "mine");
            written(dir.path(), "d/mine", "mine");
            Self { dir, place, out, into }
        }

        fn seen(&self) -> BTreeMap<String, String> {
            let mut seen = BTreeMap::new();
            let homes = ["", "d/", "e/", "f/"];
            for home in homes {
                for entry in fs::read_dir(self.dir.path().join(home)).into_iter().flatten() {
                    let entry = entry.unwrap();
                    let name = format!("{home}{}", entry.file_name().into_string().unwrap());
                    if let Ok(text) = fs::read_to_string(entry.path()) {
                        seen.insert(name, text);
                    }
                }
            }
            seen
        }

        fn holds(&self, files: &[(&str, &str)]) {
            let wanted = files
                .iter()
                .chain(&[("mine", "mine"), ("d/mine", "mine")])
                .map(|(n, t)| (n.to_string(), t.to_string()));
            assert_eq!(self.seen(), wanted.collect());
        }

        /// As [`replace`] would leave it if it were killed after so many moves.
        fn broken_off_after(&self, moves: usize) {
            let journal = Journal::moving(None, self.out.clone(), self.into.clone());
            fs::create_dir(self.place.join(ASIDE)).unwrap();
            journal.write(&self.place).unwrap();
            let (home, aside) = (self.dir.path(), &*self.place.join(ASIDE));
            let out = self.out.iter().map(|file| (home, aside, &*file.name));
            let into = self.into.iter().map(|file| (&*self.place, home, &*file.name));
            let some = out.chain(into).take(moves);
            some.for_each(|(from, to, name)| carried(from, to, name).unwrap());
        }
    }

    #[test]
    fn a_run_that_was_killed_at_any_move_is_finished() {
        for moves in 0..=8 {
            let scene = Scene::new();
            scene.broken_off_after(moves);
            let sides =
                |side: &str| scene.seen().values().filter(|text| text.starts_with(side)).count();
            assert!(
                sides("old") == 0 || sides("new") == 0,
                "old and new lie side by side after {moves} moves"
            );
            finish(&scene.place).unwrap();
            scene.holds(&NEW);
            assert!(!scene.dir.path().join("e").exists(), "a folder is left with nothing in it");
            remove(&scene.place).unwrap();
            assert!(!scene.place.exists());
        }
    }

    #[test]
    fn the_list_of_a_set_goes_first_and_comes_last() {
        let name = |name: &str| Listed { name: name.to_string(), sha256: String::new() };
        for kind in SetKind::ALL {
            let files = || vec![name("x"), name(kind.list_name()), name("y")];
            let journal = Journal::moving(None, files(), files());
            assert!(is_list(&journal.out[0]) && is_list(&journal.into[2]));
        }
    }

    #[test]
    fn what_was_changed_in_between_is_not_lost() {
        let scene = Scene::new();
        scene.broken_off_after(0);
        fs::write(scene.dir.path().join("b"), "my b").unwrap();
        let stuck = finish(&scene.place).unwrap_err().to_string();
        assert!(stuck.contains("b: was changed since") && stuck.contains(".old"), "{stuck}");
        scene.holds(&[("a", "old a"), ("b", "my b"), ("d/x", "old x"), ("e/y", "old y")]);
        assert_eq!(fs::read_to_string(scene.place.join("c")).unwrap(), "new c");
    }

    #[test]
    fn a_set_is_moved_in_or_everything_is_as_before() {
        let scene = Scene::new();
        assert!(matches!(
            replace(&scene.place, None, scene.out.clone(), scene.into.clone()),
            Moved::All
        ));
        scene.holds(&NEW);
        assert!(!scene.dir.path().join("e").exists(), "a folder is left with nothing in it");
        remove(&scene.place).unwrap();
        assert!(!scene.place.exists());
        let scene = Scene::new();
        fs::write(scene.dir.path().join("c"), "somebody else's").unwrap();
        assert!(matches!(
            replace(&scene.place, None, scene.out.clone(), scene.into.clone()),
            Moved::Back(_)
        ));
        let as_before = [OLD[0], OLD[1], ("c", "somebody else's"), OLD[2], OLD[3]];
        scene.holds(&as_before);
        assert!(!scene.dir.path().join("f").exists(), "a folder is left of what did not come");
        remove(&scene.place).unwrap();
        assert!(!scene.place.exists());
        scene.holds(&as_before);
    }

    #[cfg(unix)]
    #[test]
    fn no_link_is_followed_to_a_file_of_a_set() {
        let scene = Scene::new();
        let (elsewhere, home) = (tempfile::tempdir().unwrap(), scene.dir.path());
        // Somebody moved a folder of the set away and left a link: what it holds is theirs.
        fs::rename(home.join("e"), elsewhere.path().join("e")).unwrap();
        std::os::unix::fs::symlink(elsewhere.path().join("e"), home.join("e")).unwrap();
        std::os::unix::fs::symlink(elsewhere.path(), home.join("f")).unwrap();
        let done = replace(&scene.place, None, scene.out.clone(), scene.into.clone());
        assert!(matches!(done, Moved::Back(_)));
        assert_eq!(fs::read_to_string(elsewhere.path().join("e/y")).unwrap(), "old y");
        assert!(home.join("e").is_symlink() && home.join("f").is_symlink());
        // Nor by the run that finishes what another began.
        Journal::moving(None, scene.out.clone(), scene.into.clone()).write(&scene.place).unwrap();
        let stuck = finish(&scene.place).unwrap_err().to_string();
        assert!(stuck.contains("f/z"), "{stuck}");
        assert_eq!(fs::read_to_string(elsewhere.path().join("e/y")).unwrap(), "old y");
        assert!(!elsewhere.path().join("z").exists() && scene.place.join("f/z").exists());
    }

    #[cfg(target_os = "linux")]
    #[test]
    fn directories_change_places_with_everything_in_them() {
        let scene = Scene::new();
        let other = scene.dir.path().join("other");
        fs::create_dir(&other).unwrap();
        exchange(&scene.place, &other).unwrap();
        assert!(other.join("c").exists() && fs::read_dir(&scene.place).unwrap().next().is_none());
    }
}
