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

/// A stair on ground that falls or rises away, on a post and under an opening longer than itself.
fn on_ground(slope: &str) -> Workup {
    workup(&format!(
        "title = \"Invented slope\"\nrules = \"us-irc-2021\"\n[rise]\naim = \"7 1/4 in\"\n[tread]\ncut = \
        \"10 1/2 in\"\noverhang = \"1 in\"\nthickness = \"1 in\"\nriser_board = \"3/4 in\"\n[head]\nmeets = \
        \"one-down\"\nfinish = \"1 in\"\nrim_depth = \"11 1/4 in\"\n[board]\nwidth = \"11 1/4 \
        in\"\nthickness = \"1 1/2 in\"\n[ground]\nat_head = \"110 in\"\nslope = \"{slope}\"\nseat = \
        \"follow\"\n[stair]\nwidth = \"42 in\"\n[rail]\nheight = \"36 in\"\npost = \"3 1/2 in\"\n[opening]\n\
        length = \"190 in\"\ndepth = \"12 in\"\n"
    ))
}

#[test]
fn before_the_first_nosing_and_at_a_post_the_ground_is_as_high_as_it_lies_there() {
    use seatcut::stair::RailLine;
    // By how much the ground is higher toward the head, per length.
    for (slope, higher) in [("0 %", 0.0), ("1 in 10", 0.1), ("up 1 in 10", -0.1)] {
        let workup = on_ground(slope);
        let headroom = Headroom::of(&workup.job, &workup.flight).unwrap();
        let at = headroom.at.as_inches();
        assert!(at < -2.0, "{slope}: the opening ends at {at}");
        assert!((headroom.under.as_inches() - at * higher).abs() < 1e-9, "{slope}: {headroom:?}");
        let clear = headroom.ceiling.as_inches() - at * higher;
        assert!((headroom.clear.as_inches() - clear).abs() < 1e-9, "{slope}: {headroom:?}");
        let first = &RailLine::of(&workup.job, &workup.flight).unwrap().posts[0];
        let top = first.over_tread + workup.flight.unit_rise * first.tread as f64;
        let ground = (top - first.over_lower_edge).as_inches();
        assert!((ground - first.at.as_inches() * higher).abs() < 1e-9, "{slope}: {ground}");
    }
}
