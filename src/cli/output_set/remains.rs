//! The hidden places where sets are begun, and what runs that were killed have left of them.

use std::collections::HashSet;
use std::fs::{self, File, TryLockError};
use std::io;
use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

use super::folder::{folder_of, is_folder, without_empty};
use super::interrupt::is_ours;
use super::list::{Listed, SetKind, lists};
use super::swap::{ASIDE, JOURNAL, Journal, finish};
use crate::diagnostics::Error;

/// How the name of what is unfinished begins; the number of the process and a count within it
/// follow.
const UNFINISHED: &str = ".seatcut-unfinished-";

/// A path for what is unfinished, of its own for every process and every set in it: many sets may
/// be begun side by side.
pub(in crate::cli) fn hidden_path(home: &Path) -> PathBuf {
    static BEGUN: AtomicUsize = AtomicUsize::new(0);
    loop {
        let count = BEGUN.fetch_add(1, Ordering::Relaxed);
        let path = home.join(format!("{UNFINISHED}{}-{count}", std::process::id()));
        // Left by a process that had the same number, as it happens in containers.
        if path.symlink_metadata().is_err() {
            return path;
        }
    }
}

/// The process that a hidden name belongs to.
fn process_of(name: &str) -> Option<u32> {
    let (process, count) = name.strip_prefix(UNFINISHED)?.split_once('-')?;
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    (digits(process) && digits(count)).then(|| process.parse().ok())?
}

/// Whether a name is that of something unfinished.
pub(super) fn is_hidden_name(name: &str) -> bool {
    process_of(name).is_some()
}

/// Removes what killed runs left in a directory, once a process: a set that was being put in place
/// is finished, anything else of theirs is dropped. What a run at work holds stays, and so does
/// everything that no run of seatcut wrote.
///
/// # Errors
/// If the set that was being put into `target` cannot be finished.
pub(in crate::cli) fn sweep(dir: &Path, target: &Path) -> Result<(), Error> {
    static SWEPT: Mutex<Option<HashSet<PathBuf>>> = Mutex::new(None);
    let Ok(real) = dir.canonicalize() else { return Ok(()) };
    if let Ok(mut swept) = SWEPT.lock()
        && !swept.get_or_insert_default().insert(real.clone())
    {
        return Ok(());
    }
    let Ok(entries) = fs::read_dir(&real) else { return Ok(()) };
    let names = entries.filter_map(|entry| entry.ok()?.file_name().into_string().ok());
    for name in names {
        let Some(process) = process_of(&name) else { continue };
        let path = real.join(&name);
        let is_of_a_namesake = process == std::process::id() && !is_ours(&path);
        if is_running(process) && !is_of_a_namesake {
            continue;
        }
        let Some(_held) = held(&path) else { continue };
        if let Some(journal) = Journal::read(&path).filter(Journal::is_moving)
            && let Err(stuck) = finish(&path)
        {
            if journal.target(&path) == target {
                return Err(stuck);
            }
            continue;
        }
        // What cannot be removed holds something of somebody else, or is not ours to remove.
        let _ = remove(&path);
    }
    Ok(())
}

#[cfg(unix)]
fn is_running(process: u32) -> bool {
    use rustix::io::Errno;
    use rustix::process::{Pid, test_kill_process};
    let pid = i32::try_from(process).ok().and_then(Pid::from_raw);
    pid.is_some_and(|pid| test_kill_process(pid) != Err(Errno::SRCH))
}

#[cfg(not(unix))]
fn is_running(_: u32) -> bool {
    true
}

/// Holds a place so that no other run sweeps it too; none where a run holds it, perhaps one on
/// another machine. What cannot be locked is nobody's.
fn held(path: &Path) -> Option<Option<File>> {
    let Ok(file) = File::open(path) else { return Some(None) };
    match file.try_lock() {
        Err(TryLockError::WouldBlock) => None,
        _ => Some(Some(file)),
    }
}

/// Removes something unfinished: the files that this program wrote, and the directory if it is then
/// empty.
pub(super) fn remove(path: &Path) -> io::Result<()> {
    match path.symlink_metadata() {
        Err(e) if e.kind() == io::ErrorKind::NotFound => Ok(()),
        Err(e) => Err(e),
        Ok(about) if about.is_dir() => {
            let journal = Journal::read(path);
            let named = journal.iter().flat_map(|journal| journal.into.iter().chain(&journal.out));
            let names: HashSet<String> = named.map(|file: &Listed| file.name.clone()).collect();
            let aside = path.join(ASIDE);
            if aside.symlink_metadata().is_ok() {
                empty(&aside, &names)?;
            }
            empty(path, &names)
        }
        Ok(_) => fs::remove_file(path),
    }
}

/// Removes a directory with the files in it that are named, that a list in it names, or that have a
/// name of this program's own.
fn empty(dir: &Path, names: &HashSet<String>) -> io::Result<()> {
    let listed: HashSet<String> =
        lists(dir).0.into_iter().flat_map(|list| list.files).map(|file| file.name).collect();
    let all_named = names.iter().chain(&listed);
    let in_folders = all_named.filter_map(|name| name.split_once('/'));
    for (folder, file) in in_folders.filter(|(folder, _)| is_folder(&dir.join(folder))) {
        let path = dir.join(folder).join(file);
        if path.symlink_metadata().is_ok_and(|about| about.is_file()) {
            fs::remove_file(path)?;
        }
    }
    without_empty(dir, names.iter().chain(&listed).filter_map(|name| folder_of(name)));
    let ours = |name: &str| {
        names.contains(name) || listed.contains(name) || name.starts_with(JOURNAL) || is_usual(name)
    };
    let mut last = Vec::new();
    for entry in fs::read_dir(dir)? {
        let entry = entry?;
        let file_name = entry.file_name();
        let Some(name) = file_name.to_str().filter(|name| ours(name)) else { continue };
        if !entry.file_type()?.is_file() {
            continue;
        }
        // What says which names are ours goes last: a kill in between leaves it to the next run.
        let says =
            name.starts_with(JOURNAL) || SetKind::ALL.iter().any(|kind| kind.list_name() == name);
        if says { last.push(entry.path()) } else { fs::remove_file(entry.path())? }
    }
    last.into_iter().try_for_each(fs::remove_file)?;
    fs::remove_dir(dir)
}

/// The names that sets have had since before their runs kept a journal.
fn is_usual(name: &str) -> bool {
    let numbered = |begin: &str, end: &str| {
        let number = name.strip_prefix(begin).and_then(|rest| rest.strip_suffix(end));
        number
            .is_some_and(|number| !number.is_empty() && number.bytes().all(|b| b.is_ascii_digit()))
    };
    const USUAL: [&str; 16] = [
        "nominal.dxf",
        "compensated.dxf",
        "skirt.dxf",
        "drawing.svg",
        "drawing.pdf",
        "head-joint.svg",
        "bench.html",
        "bench.pdf",
        "report.json",
        "boards.txt",
        "boards.csv",
        "cut-from.toml",
        "order.txt",
        "order.csv",
        "order.pdf",
        "SHA256SUMS",
    ];
    USUAL.contains(&name) || is_program(name) || numbered("sheet-", ".svg")
}

/// Programs and frames, which end as their machine's control wants it.
fn is_program(name: &str) -> bool {
    let Some((stem, extension)) = name.split_once('.') else { return false };
    let number = ["program", "frame"].iter().find_map(|begin| stem.strip_prefix(begin));
    let is_number = |rest: &str| {
        let digits = rest.strip_prefix('-').unwrap_or("-");
        rest.is_empty() || !digits.is_empty() && digits.bytes().all(|b| b.is_ascii_digit())
    };
    number.is_some_and(is_number)
        && (1..=8).contains(&extension.len())
        && extension.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_names_of_our_own_pattern_belong_to_a_process() {
        assert_eq!(process_of(".seatcut-unfinished-123-0"), Some(123));
        for name in [
            ".seatcut-unfinished-",
            ".seatcut-unfinished-1",
            ".seatcut-unfinished-a-0",
            "x.seatcut-unfinished-1-0",
        ] {
            assert_eq!(process_of(name), None, "{name}");
        }
    }

    #[cfg(unix)]
    #[test]
    fn this_process_runs_and_one_that_was_reaped_does_not() {
        assert!(is_running(std::process::id()));
        let mut child = std::process::Command::new("true").spawn().unwrap();
        let id = child.id();
        child.wait().unwrap();
        assert!(!is_running(id));
    }
}
