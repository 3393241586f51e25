//! Every file under output-samples is made anew and compared byte for byte, by the command itself.
//!
//! `SEATCUT_WRITE_SAMPLES=1 cargo test --test samples` rewrites them.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

fn samples() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("output-samples")
}

fn make(job: &Path, dir: &Path) {
    let run = Command::new(env!("CARGO_BIN_EXE_seatcut"))
        .arg("make")
        .arg(job)
        .arg("-o")
        .arg(dir)
        .output()
        .unwrap();
    assert!(run.status.success(), "{}: {}", job.display(), String::from_utf8_lossy(&run.stderr));
}

fn files_in(dir: &Path) -> BTreeMap<String, Vec<u8>> {
    let entries = fs::read_dir(dir).unwrap().map(|e| e.unwrap());
    entries
        .map(|e| (e.file_name().into_string().unwrap(), fs::read(e.path()).unwrap()))
        .filter(|(name, _)| name != "job.toml")
        .collect()
}

#[test]
fn every_sample_is_made_anew_with_the_same_bytes() {
    let rewrite = std::env::var_os("SEATCUT_WRITE_SAMPLES").is_some();
    let scratch = tempfile::tempdir().unwrap();
    let mut count = 0;
    for entry in fs::read_dir(samples()).unwrap() {
        let dir = entry.unwrap().path();
        let made = scratch.path().join(dir.file_name().unwrap());
        make(&dir.join("job.toml"), &made);
        let files = files_in(&made);
        if rewrite {
            for name in files_in(&dir).keys() {
                fs::remove_file(dir.join(name)).unwrap();
            }
            for (name, bytes) in &files {
                fs::write(dir.join(name), bytes).unwrap();
            }
        }
        let kept = files_in(&dir);
        assert_eq!(
            kept.keys().collect::<Vec<_>>(),
            files.keys().collect::<Vec<_>>(),
            "{}",
            dir.display()
        );
        for (name, bytes) in files {
            assert!(
                kept[&name] == bytes,
                "{}/{name} differs: SEATCUT_WRITE_SAMPLES=1 cargo test --test samples rewrites",
                dir.display()
            );
        }
        count += 1;
    }
    assert!(count >= 4, "{count} samples");
}

#[test]
fn the_same_job_gives_the_same_bytes_from_another_directory_and_through_standard_input() {
    let scratch = tempfile::tempdir().unwrap();
    let job = samples().join("laser-pattern/job.toml");
    make(&job, &scratch.path().join("one"));
    let copy = scratch.path().join("copy of a job.toml");
    fs::copy(&job, &copy).unwrap();
    make(&copy, &scratch.path().join("deep/er/two"));
    assert_eq!(
        files_in(&scratch.path().join("one")),
        files_in(&scratch.path().join("deep/er/two"))
    );
}
