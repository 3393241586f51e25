//! The clear height under the floor that a flight goes up through.

use crate::common::{seatcut, set_of};
use seatcut::diagnostics::Finding;
use seatcut::job::read_job;
use seatcut::pipeline::workup::Workup;
use seatcut::stair::Headroom;

const BASEMENT: &str = include_str!("../../output-samples/basement-opening/job.toml");

fn workup(text: &str) -> Workup {
    let job = read_job("job.toml", text, &|path| panic!("{path}"));
    Workup::of(&job.unwrap_or_else(|error| panic!("{error}")))
}

fn long(length: &str) -> Workup {
    workup(&BASEMENT.replace("126 in", length))
}

fn said(workup: &Workup, code: &str) -> Vec<Finding> {
    workup.findings.iter().filter(|finding| finding.code.name().eq(code)).cloned().collect()
}

#[test]
fn the_shortest_opening_that_is_told_is_one_that_would_do_and_a_hair_less_is_not() {
    let short = long("100 in");
    let low = said(&short, "headroom-low");
    assert!(low.len() == 1 && low[0].refuses(), "{low:?}");
    assert_eq!(said(&short, "opening-short").len(), 1);
    let headroom = Headroom::of(&short.job, &short.flight).unwrap();
    let least = headroom.least_length(seatcut::units::Length::inches(80.0)).unwrap().as_mm();
    let just = long(&format!("{:.9} mm", least + 1e-4));
    assert!(said(&just, "headroom-low").is_empty() && said(&just, "opening-short").is_empty());
    // A ceiling that ends lower than the nosings leaves no headroom at all.
    let none = said(&long("12 in"), "headroom-low");
    assert!(none.len() == 1 && none[0].sentence().contains("is 0 in"), "{none:?}");
    let hair_less = long(&format!("{:.9} mm", least - 1e-3));
    assert_eq!(said(&hair_less, "headroom-low").len(), 1);
    // Measured by hand and less than that, the measure counts.
    let stair = "[stair]\nwidth = \"36 in\"\nheadroom = \"79 in\"\n";
    let measured = workup(&format!("{BASEMENT}{stair}"));
    assert_eq!(said(&measured, "headroom-low").len(), 1);
}

#[test]
fn an_opening_longer_than_the_flight_and_one_off_the_head_are_told() {
    let beyond = said(&long("140 in"), "opening-beyond-flight");
    // From the last face 130 in back to the first, an inch of nosing before it.
    assert!(beyond.len() == 1 && beyond[0].sentence().contains("9 in"), "{beyond:?}");
    assert!(said(&long("130 in"), "opening-beyond-flight").is_empty());
    let off = workup(
        &BASEMENT.replace("length = \"126 in\"", "length = \"126 in\"\nfrom_head = \"6 in\""),
    );
    let found = said(&off, "opening-off-head");
    assert!(found.len() == 1 && found[0].refuses(), "{found:?}");
    let low = workup(&BASEMENT.replace("12 3/8 in", "30 in"));
    assert_eq!(said(&low, "ceiling-low").len(), 1);
}

/// A hanger board between stringer and rim shortens the stringer by just its thickness: nothing of
/// the flight stands elsewhere.
#[test]
fn a_spacer_at_the_head_does_not_move_the_flight_under_its_opening() {
    let clear = |text: &str| {
        let workup = workup(text);
        Headroom::of(&workup.job, &workup.flight).unwrap()
    };
    let plain = clear(BASEMENT);
    let hung = clear(&BASEMENT.replace("[head]\n", "[head]\nspacer = \"1 1/2 in\"\n"));
    let same = |a: seatcut::units::Length, b| a.is_within(seatcut::units::Length::mm(1e-9), b);
    assert!(same(plain.at, hung.at) && same(plain.clear, hung.clear));
}

#[test]
fn what_makes_no_opening_is_told_by_its_key() {
    let refused = |from: &str, to: &str| {
        let job = read_job("job.toml", &BASEMENT.replace(from, to), &|path| panic!("{path}"));
        job.err().unwrap_or_else(|| panic!("{to} is taken")).to_string()
    };
    assert!(refused("12 3/8 in", "110 in").contains("opening.depth"));
    assert!(refused("length = \"126 in\"", "length = 121").contains("opening.length"));
    assert!(refused("length = \"126 in\"\n", "").contains("length"));
    assert!(refused("length = \"126 in\"", "length = \"0 in\"").contains("opening.length"));
    assert!(refused("depth", "height").contains("height"));
    let error =
        refused("[opening]\nlength = \"126 in\"\ndepth = \"12 3/8 in\"", "opening = \"126 in\"");
    assert!(error.contains("opening"), "{error}");
}

#[test]
fn it_stands_in_solve_in_the_report_and_on_the_drawing() {
    let scratch = tempfile::tempdir().unwrap();
    let job = scratch.path().join("job.toml");
    std::fs::write(&job, BASEMENT).unwrap();
    let job = job.to_str().unwrap();
    let words = String::from_utf8_lossy(&seatcut(&["solve", job]).stdout).into_owned();
    for line in ["Headroom", "least clear height", "shortest opening that would do"] {
        assert!(words.contains(line), "{line} in {words}");
    }
    let report: serde_json::Value =
        serde_json::from_slice(&seatcut(&["solve", job, "--json"]).stdout).unwrap();
    assert!(report["opening"]["clear_mm"].as_f64().is_some_and(|clear| clear > 80.0 * 25.4));
    let set = set_of(read_job("job.toml", BASEMENT, &|path| panic!("{path}")).unwrap());
    let bundle = seatcut::bundle::Bundle::of(&set, seatcut::output::dxf::DxfVersion::R12).unwrap();
    let drawing = bundle.artifacts().iter().find(|file| file.name == "drawing.svg").unwrap();
    assert!(String::from_utf8_lossy(&drawing.bytes).contains("clear "));
}
