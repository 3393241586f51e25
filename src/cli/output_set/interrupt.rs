//! What is unfinished, remembered so that a run that is told to stop leaves nothing behind.

use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Mutex, MutexGuard, PoisonError};

use crate::diagnostics::{Error, ErrorKind};

/// What this process has begun and not finished.
struct Unfinished {
    paths: Vec<PathBuf>,
    /// Set once the process is told to stop: nothing is begun any more.
    stopping: bool,
}

static UNFINISHED: Mutex<Unfinished> =
    Mutex::new(Unfinished { paths: Vec::new(), stopping: false });

fn unfinished() -> MutexGuard<'static, Unfinished> {
    // A list of paths is whole at every moment, whichever thread ended badly.
    UNFINISHED.lock().unwrap_or_else(PoisonError::into_inner)
}

fn stopping() -> Error {
    Error::new(ErrorKind::File, "told to stop; nothing was left half-written")
}

/// A search is on that Ctrl-C ends, and whether it was told to end.
static SEARCHING: AtomicBool = AtomicBool::new(false);
static SEARCH_ENDED: AtomicBool = AtomicBool::new(false);

/// While it lives the first Ctrl-C ends a search and not the command; the second ends that.
pub(in crate::cli) struct Ctrl(());

impl Ctrl {
    /// From now on.
    pub(in crate::cli) fn ends_a_search() -> Self {
        SEARCH_ENDED.store(false, Ordering::SeqCst);
        SEARCHING.store(true, Ordering::SeqCst);
        Self(())
    }

    /// Whether Ctrl-C was pressed since.
    pub(in crate::cli) fn is_pressed(&self) -> bool {
        SEARCH_ENDED.load(Ordering::SeqCst)
    }
}

impl Drop for Ctrl {
    fn drop(&mut self) {
        SEARCHING.store(false, Ordering::SeqCst);
    }
}

/// Makes something unfinished at `path` and remembers it.
pub(in crate::cli) fn begin<T>(
    path: &Path,
    make: impl FnOnce() -> Result<T, Error>,
) -> Result<T, Error> {
    let mut unfinished = unfinished();
    if unfinished.stopping {
        return Err(stopping());
    }
    let made = make()?;
    unfinished.paths.push(path.to_path_buf());
    Ok(made)
}

/// Does what must not be broken off by a signal.
pub(super) fn unbroken<T>(work: impl FnOnce() -> Result<T, Error>) -> Result<T, Error> {
    let unfinished = unfinished();
    if unfinished.stopping { Err(stopping()) } else { work() }
}

/// Waits for the signal where one told the process to stop: what fails meanwhile fails because its
/// files were taken away, and how the process ended is the signal's to say.
pub(in crate::cli) fn leave_to_the_signal() {
    if unfinished().stopping {
        std::thread::sleep(std::time::Duration::from_secs(2));
    }
}

/// Forgets what is finished or gone.
pub(in crate::cli) fn end(path: &Path) {
    unfinished().paths.retain(|begun| begun != path);
}

/// Whether this process is at work there.
pub(super) fn is_ours(path: &Path) -> bool {
    unfinished().paths.iter().any(|begun| begun == path)
}

/// Writes one file that is moved into place by `work`: out of sight, and gone again where the
/// process is told to stop.
pub(in crate::cli) fn guarded<T>(
    beside: &Path,
    work: impl FnOnce() -> Result<T, Error>,
) -> Result<T, Error> {
    begin(beside, || Ok(()))?;
    let done = work();
    end(beside);
    done
}

#[cfg(unix)]
mod signals {
    use std::sync::Arc;
    use std::sync::atomic::{AtomicBool, Ordering};
    use std::thread;
    use std::time::Duration;

    use signal_hook::consts::{SIGHUP, SIGINT, SIGTERM, SIGXFSZ};
    use signal_hook::iterator::Signals;
    use signal_hook::low_level::emulate_default_handler;

    use super::{SEARCH_ENDED, SEARCHING};

    /// How often what is unfinished is removed again while other threads may still be writing into
    /// it, and how long between.
    const TRIES: usize = 100;
    const BETWEEN: Duration = Duration::from_millis(5);

    pub(super) fn watch() {
        // A file that grows too large is then an error like a full disk, and no end without a word.
        let _ = signal_hook::flag::register(SIGXFSZ, Arc::new(AtomicBool::new(false)));
        let told = [SIGINT, SIGTERM, SIGHUP].into_iter().filter(|signal| !is_ignored(*signal));
        // Without the handlers what is left is swept by the next run.
        let Ok(mut signals) = Signals::new(told) else { return };
        thread::spawn(move || {
            let mut all = signals.forever();
            if let Some(signal) = all.find(|signal| *signal != SIGINT || !ends_a_search()) {
                remove_all();
                let _ = emulate_default_handler(signal);
            }
        });
    }

    /// Whether this Ctrl-C is one that only ends a search.
    fn ends_a_search() -> bool {
        SEARCHING.load(Ordering::SeqCst) && !SEARCH_ENDED.swap(true, Ordering::SeqCst)
    }

    /// Whether the process was started with a signal ignored, as by `nohup`: then it stays ignored.
    fn is_ignored(signal: i32) -> bool {
        let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
        let mask = status.lines().find_map(|line| line.strip_prefix("SigIgn:"));
        let mask = mask.and_then(|mask| u64::from_str_radix(mask.trim(), 16).ok()).unwrap_or(0);
        mask >> (signal - 1) & 1 == 1
    }

    fn remove_all() {
        let mut unfinished = super::unfinished();
        unfinished.stopping = true;
        for path in &unfinished.paths {
            for _ in 0..TRIES {
                if super::super::remains::remove(path).is_ok() {
                    break;
                }
                thread::sleep(BETWEEN);
            }
        }
    }
}

/// From now on SIGINT, SIGTERM and SIGHUP remove what is unfinished before they end the process.
pub(in crate::cli) fn clean_up_when_interrupted() {
    #[cfg(unix)]
    signals::watch();
}
