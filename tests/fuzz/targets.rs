//! Every reader of the library as a function of bytes: whatever they are, it ends with a value or
//! an error, soon, without a panic. The fuzzer calls these, and `cargo test` with every input that
//! was worth keeping.

use seatcut::diagnostics::{Error, ErrorKind};
use seatcut::job::{Job, order_of, read_built, read_job};
use seatcut::output::report::Report;
use seatcut::pipeline::proof;
use seatcut::pipeline::workup::Workup;
use seatcut::profile::{Machine, Material, Rules, Source, TimberTable};
use seatcut::site::answers::{OnSite, fit};
use seatcut::units::{Bare, read_length};
use seatcut::verify::{Verdict, verify_drawing, verify_program};
use std::sync::LazyLock;

/// One reader; the bytes are the file.
pub(super) type Target = fn(&[u8]);

/// The readers by name, which is also the folder of what is kept of each under `corpus/`.
pub(super) const TARGETS: &[(&str, Target)] = &[
    ("length", length),
    ("job", job),
    ("stair", stair),
    ("order", order),
    ("built", built),
    ("profile", profile),
    ("drawing", drawing),
    ("program", program),
    ("beam", beam),
];

fn text(bytes: &[u8]) -> Option<&str> {
    std::str::from_utf8(bytes).ok()
}

/// A measurement as typed, under each reading of a bare number.
fn length(bytes: &[u8]) {
    let Some(text) = text(bytes) else { return };
    for bare in [Bare::Refused, Bare::Inches, Bare::Millimetres] {
        if let Ok(reading) = read_length(text, bare) {
            assert!(reading.length.as_mm().is_finite(), "{text:?} is read as no finite length");
        }
    }
}

fn job_of(text: &str) -> Option<Job> {
    let nowhere = |path: &str| -> Result<Source, Error> { Err(Error::new(ErrorKind::File, path)) };
    read_job("job.toml", text, &nowhere).ok()
}

/// A job file, its profiles those in the binary.
fn job(bytes: &[u8]) {
    text(bytes).and_then(job_of);
}

/// A job file, and where it is a job, the stair solved, checked and planned, and its report.
fn stair(bytes: &[u8]) {
    let Some(job) = text(bytes).and_then(job_of) else { return };
    let Ok(workup) = Workup::designed(&job) else { return };
    let report = Report::of(&workup).to_json();
    assert!(!report.contains("NaN"), "a figure of the report is no number");
}

/// An order file.
fn order(bytes: &[u8]) {
    text(bytes).map(|text| order_of("order.toml", text));
}

/// As-built measurements, and where they are, what the flight of a good job makes of them.
fn built(bytes: &[u8]) {
    if let Some(built) = text(bytes).and_then(|text| read_built("fit.toml", text).ok()) {
        let _ = fit(&OnSite::level(&ROUTER.job), &built);
    }
}

/// A profile of the kind that it says it is, or of any kind where it says none.
fn profile(bytes: &[u8]) {
    let Some(text) = text(bytes) else { return };
    let kind = text
        .lines()
        .find_map(|line| line.strip_prefix("kind = \""))
        .unwrap_or_default()
        .trim_end_matches('"');
    let is =
        |name: &str| kind == name || !["machine", "material", "rules", "timber"].contains(&kind);
    let _ = is("machine").then(|| Machine::read("own", "own.toml", text));
    let _ = is("material").then(|| Material::read("own", "own.toml", text));
    let _ = is("rules").then(|| Rules::read("own", "own.toml", text));
    let _ = is("timber").then(|| TimberTable::read("own", "own.toml", text));
}

/// A drawing held against a part, wherever it lies.
fn drawing(bytes: &[u8]) {
    let outline = ROUTER.workup.outline.as_ref().expect("the good job has a part");
    judged(verify_drawing(bytes, "file.dxf", &proof::anybodys(&ROUTER.job, outline)));
}

/// A router's program, as one that was planned here and as one of anybody's.
fn program(bytes: &[u8]) {
    held(&ROUTER, bytes);
}

/// A laser's program.
fn beam(bytes: &[u8]) {
    held(&LASER, bytes);
}

fn held(good: &Good, bytes: &[u8]) {
    let outline = good.workup.outline.as_ref().expect("the good job has a part");
    let program = &good.workup.planned.as_ref().expect("the good job is planned").program;
    for expectation in
        [proof::planned(&good.job, outline, program), proof::anybodys(&good.job, outline)]
    {
        let Some(verdict) = judged(verify_program(bytes, "file.nc", &expectation)) else {
            continue;
        };
        let worst = verdict.gouge_mm.max(verdict.left_mm);
        assert!(!verdict.is_this_part() || worst < TAKEN_MM, "taken, although {worst} mm off");
    }
}

/// The most that a program is off which is taken, in mm: half a thousandth of an inch and the last
/// digit of its figures.
const TAKEN_MM: f64 = 0.02;

/// Every figure of a verdict is a number.
fn judged(verdict: Result<Verdict, Error>) -> Option<Verdict> {
    let verdict = verdict.ok()?;
    let figures = [verdict.gouge_mm, verdict.left_mm, verdict.boundary_uncut_mm];
    assert!(figures.iter().all(|figure| figure.is_finite()), "{figures:?}");
    Some(verdict)
}

/// A good job to hold files against.
struct Good {
    job: Job,
    workup: Workup,
}

static ROUTER: LazyLock<Good> = LazyLock::new(|| good(include_str!("jobs/small-router.toml")));
static LASER: LazyLock<Good> = LazyLock::new(|| good(include_str!("jobs/small-laser.toml")));

fn good(text: &str) -> Good {
    let job = job_of(text).expect("the jobs beside this file are good ones");
    let workup = Workup::of(&job);
    Good { job, workup }
}
