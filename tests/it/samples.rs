//! Every file under output-samples is made anew and compared byte for byte, by the command itself.
//!
//! `SEATCUT_WRITE_SAMPLES=1 cargo test --test samples` rewrites them.

use seatcut::diagnostics::{Error, ErrorKind};
use seatcut::job::read_job;
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
    let mut files = BTreeMap::new();
    for entry in fs::read_dir(dir).unwrap().map(|entry| entry.unwrap()) {
        let name = entry.file_name().into_string().unwrap();
        if entry.path().is_dir() {
            let within = files_in(&entry.path()).into_iter();
            files.extend(within.map(|(file, bytes)| (format!("{name}/{file}"), bytes)));
        } else if name != "job.toml" {
            files.insert(name, fs::read(entry.path()).unwrap());
        }
    }
    files
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
                fs::create_dir_all(dir.join(name).parent().unwrap()).unwrap();
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
fn nothing_that_is_solved_is_wider_than_a_terminal() {
    for entry in fs::read_dir(samples()).unwrap() {
        let job = entry.unwrap().path().join("job.toml");
        let run =
            Command::new(env!("CARGO_BIN_EXE_seatcut")).arg("solve").arg(&job).output().unwrap();
        let said = String::from_utf8_lossy(&run.stdout).into_owned();
        assert!(said.contains("FOUND"), "{}: {said}", job.display());
        let wide: Vec<&str> = said.lines().filter(|line| line.chars().count() > 80).collect();
        assert!(wide.is_empty(), "{}: {wide:#?}", job.display());
    }
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

/// A way down in the wood, in the file's unit: how far along, how far down, at what feed.
struct Descent {
    run: f64,
    down: f64,
    feed: f64,
}

/// Every way down below the top of the wood that a program of a cutter goes.
fn descents(program: &str) -> Vec<Descent> {
    let stock = program.lines().find(|line| line.contains("Stock X ")).unwrap_or("");
    let thick = stock.split(" Z ").nth(1).and_then(|z| z.split(' ').next()?.parse::<f64>().ok());
    let top = if program.contains("Z0 on the bed") { thick.unwrap() } else { 0.0 };
    let (mut at, mut feed, mut motion) = ([0.0; 3], 0.0, 0.0);
    let mut found = Vec::new();
    for line in program.lines().filter(|line| !line.starts_with(['(', ';'])) {
        let (mut to, mut arc) = (at, [0.0; 2]);
        for word in line.split(' ').filter(|word| word.len() > 1) {
            let Ok(value) = word[1..].parse::<f64>() else { continue };
            match &word[..1] {
                "G" if value < 4.0 => motion = value,
                "X" => to[0] = value,
                "Y" => to[1] = value,
                "Z" => to[2] = value,
                "I" => arc[0] = value,
                "J" => arc[1] = value,
                "F" => feed = value,
                _ => {}
            }
        }
        let chord = (to[0] - at[0]).hypot(to[1] - at[1]);
        let radius = f64::hypot(arc[0], arc[1]);
        let run = if motion < 2.0 { chord } else { 2.0 * radius * (chord / 2.0 / radius).asin() };
        if motion > 0.0 && to[2] < at[2] && to[2] < top {
            found.push(Descent { run, down: at[2] - to[2], feed });
        }
        at = to;
    }
    found
}

#[test]
fn no_way_down_in_the_wood_of_a_sample_is_steeper_than_the_ramp_but_at_the_feed_straight_down() {
    let (mut on_ramps, mut plunged) = (0, 0);
    for dir in fs::read_dir(samples()).unwrap().map(|entry| entry.unwrap().path()) {
        let job = fs::read_to_string(dir.join("job.toml")).unwrap();
        let no_file = |path: &str| Err(Error::new(ErrorKind::File, path.to_string()));
        let job = read_job("job.toml", &job, &no_file).unwrap();
        let Some(cutter) = job.cut.machine.tool.cutter() else { continue };
        let unit = job.cut.machine.units.in_mm();
        let digit = 10_f64.powi(-i32::try_from(job.cut.machine.decimals).unwrap());
        for (name, bytes) in files_in(&dir) {
            if !name.starts_with("program") {
                continue;
            }
            for Descent { run, down, feed } in descents(&String::from_utf8(bytes).unwrap()) {
                // Half a digit at either end, in Z and along.
                let is_ramp = down <= run * cutter.ramp_deg.to_radians().tan() + 1.5 * digit;
                let plunge = cutter.plunge_feed_mm_min / unit + 0.06;
                assert!(is_ramp || feed <= plunge, "{name} of {}: {down} at {feed}", dir.display());
                let count = if is_ramp { &mut on_ramps } else { &mut plunged };
                *count += 1;
            }
        }
    }
    assert!(on_ramps > 100 && plunged > 10, "{on_ramps} on ramps, {plunged} plunged");
}
