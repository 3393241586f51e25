//! Which mistake is live, and which were reached.

use std::env;
use std::fs::OpenOptions;
use std::io::Write;
use std::sync::LazyLock;
use std::sync::atomic::{AtomicBool, Ordering};

const MOST: usize = 40_000;
static LIVE: LazyLock<usize> = LazyLock::new(|| env::var("MUTANT").ok().and_then(|n| n.parse().ok()).unwrap_or(0));
static TRACE: LazyLock<Option<String>> = LazyLock::new(|| env::var("MUTANT_TRACE").ok());
static REACHED: [AtomicBool; MOST] = [const { AtomicBool::new(false) }; MOST];

/// The number of the live one, if it is among these; they count as reached.
pub(crate) fn number(of: &[usize]) -> usize {
    if TRACE.is_some() {
        of.iter().for_each(|&n| reach(n));
    }
    *LIVE
}

/// Whether a mistake is the live one; it counts as reached.
pub(crate) fn is(n: usize) -> bool {
    if TRACE.is_some() {
        reach(n);
    }
    *LIVE == n
}

fn reach(n: usize) {
    if REACHED[n].swap(true, Ordering::Relaxed) {
        return;
    }
    if let Some(path) = TRACE.as_ref() {
        let file = OpenOptions::new().append(true).create(true).open(path);
        let _ = file.and_then(|mut file| file.write_all(format!("{n}\n").as_bytes()));
    }
}
