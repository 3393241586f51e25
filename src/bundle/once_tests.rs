//! What is dear is worked out once in a run, from the text of a job to the last proven file.

use std::collections::BTreeMap;

use super::Bundle;
use crate::job::{Job, read_job};
use crate::output::dxf::DxfVersion;
use crate::pipeline::set::{Entry, Set};
use crate::pipeline::workup::Workup;
use seatcut_model::counted;

const HILLSIDE: &str = include_str!("../../output-samples/hillside-steps/job.toml");
const BOARD: &str = include_str!("../../output-samples/board-stringer/job.toml");

fn read(text: &str) -> Job {
    read_job("job.toml", text, &|path| panic!("{path}: the samples use the embedded profiles"))
        .unwrap()
}

/// Every file of a job, each proven, and what was done for it: on one thread, for notes of what is
/// done are kept by the thread that does it.
fn making(text: &'static str) -> BTreeMap<String, usize> {
    let pool = rayon::ThreadPoolBuilder::new().num_threads(1).build().unwrap();
    pool.install(|| counted::during(|| made(text)).1)
}

/// Every file of a job, each proven.
fn made(text: &str) {
    let set = Set::of(vec![Entry { job: read(text), times: 1 }], 0).unwrap();
    let bundle = Bundle::of(&set, DxfVersion::R2000).unwrap();
    let programs = bundle.proven(|artifact| Ok(artifact.bytes.clone())).unwrap();
    assert!(!programs.is_empty());
    bundle.report(programs);
}

fn times(done: &BTreeMap<String, usize>, what: &str) -> usize {
    done.get(what).copied().unwrap_or(0)
}

#[test]
fn reading_a_job_only_reads() {
    // The table of timber names is read once for all jobs, by whoever asks first.
    read(HILLSIDE);
    for text in [HILLSIDE, BOARD] {
        let (_, done) = counted::during(|| read(text));
        assert_eq!(done, BTreeMap::new());
    }
}

#[test]
fn a_run_from_the_text_to_the_last_proven_file_works_everything_out_once() {
    for (text, on_site) in [(HILLSIDE, 1), (BOARD, 0)] {
        let done = making(text);
        assert!(done.keys().any(|what| what.starts_with("flight of ")));
        for (what, times) in &done {
            assert_eq!(*times, 1, "{what}: {done:?}");
        }
        for what in ["landing", "beam check"] {
            assert_eq!(times(&done, what), on_site, "{what}: {done:?}");
        }
        assert_eq!(times(&done, "fingerprint"), 1);
        assert!(done.keys().any(|what| what.starts_with("text of program")), "{done:?}");
    }
}

#[test]
fn the_chosen_count_is_worked_out_once_and_so_is_every_other_of_the_table() {
    for text in [HILLSIDE, BOARD] {
        let job = read(text);
        let (workup, done) = counted::during(|| Workup::of(&job));
        for choice in &workup.choices {
            for what in [
                format!("flight of {}", choice.flight.risers),
                format!("check of {} risers", choice.flight.risers),
            ] {
                assert_eq!(times(&done, &what), 1, "{what}: {done:?}");
            }
        }
        let flights = done.iter().filter(|(what, _)| what.starts_with("flight of "));
        assert_eq!(flights.count(), workup.choices.len());
    }
}

#[test]
fn the_table_of_timber_is_read_once_for_all_jobs() {
    made(HILLSIDE);
    let done = making(HILLSIDE);
    assert_eq!(times(&done, "timber table us-softwoods"), 0);
}
