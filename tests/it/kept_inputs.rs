//! Every input that the fuzzer kept, and every one that once broke something, through the reader
//! that it is for.

#[path = "../fuzz/targets.rs"]
mod targets;

use std::fs;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

/// Far more than any of them takes, even without optimisation and beside other work.
const LONGEST: Duration = Duration::from_secs(20);

fn kept(reader: &str) -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fuzz/corpus").join(reader);
    let entries = fs::read_dir(&folder).unwrap_or_else(|e| panic!("{}: {e}", folder.display()));
    let mut files: Vec<PathBuf> = entries.map(|entry| entry.unwrap().path()).collect();
    files.sort();
    files
}

#[test]
fn every_reader_ends_on_every_input_that_was_kept() {
    for (reader, read) in targets::TARGETS {
        let files = kept(reader);
        assert!(files.len() >= 10, "{reader}: only {} inputs are kept", files.len());
        for file in files {
            let bytes = fs::read(&file).unwrap();
            let started = Instant::now();
            let ended = std::panic::catch_unwind(|| read(&bytes));
            assert!(ended.is_ok(), "{} breaks {reader}", file.display());
            assert!(
                started.elapsed() < LONGEST,
                "{} takes {:?}",
                file.display(),
                started.elapsed()
            );
        }
    }
}

#[test]
fn what_is_kept_stays_small() {
    let sizes = targets::TARGETS
        .iter()
        .flat_map(|(reader, _)| kept(reader))
        .map(|file| fs::metadata(file).unwrap().len());
    let whole: u64 = sizes.sum();
    assert!(whole < 300_000, "{whole} bytes are kept");
}
