//! How high a program goes far and where it leaves the tool: as the machine's profile says, proven,
//! and refused where that cannot be.

use crate::common::{Stair, profile_with};
use seatcut::bundle::Bundle;
use seatcut::diagnostics::Finding;
use seatcut::job::Job;
use seatcut::output::dxf::DxfVersion;
use seatcut::pipeline::proof;
use seatcut::pipeline::set::{Entry, Set};
use seatcut::profile::Machine;

const SAFE: &str = "safe_height = \"1/2 in\"";

/// A pattern on a router table with these keys beside its safe height.
fn job(keys: &str, cut: &str) -> Job {
    let text = profile_with("machine", "router-table", &[(SAFE, &format!("{keys}\n{SAFE}"))]);
    let rise = "total = \"29 in\"\nrisers = 4".to_string();
    let cut = format!(
        "makes = \"pattern\"\nmachine = \"./own.toml\"\nmaterial = \"hardboard-6\"\ncorners \
            = \"bisector\"\n{cut}"
    );
    Stair { rise, cut, files: vec![("./own.toml".into(), text)], ..Stair::default() }.job()
}

/// The files of a set, all proven, or the codes that refuse it.
fn made(job: &Job) -> Result<Vec<(String, String)>, Vec<&'static str>> {
    let set = Set::of(vec![Entry { job: job.clone(), times: 1 }], 0).unwrap();
    if set.refused() {
        let refusals = set.all_findings().filter(|finding| finding.refuses());
        return Err(refusals.map(|finding| finding.code.name()).collect());
    }
    let bundle = Bundle::of(&set, DxfVersion::R2000).unwrap();
    let mut texts = Vec::new();
    bundle
        .proven(|artifact| {
            if artifact.name.ends_with(".nc") {
                let text = String::from_utf8(artifact.bytes.clone()).unwrap();
                texts.push((artifact.name.clone(), text));
            }
            Ok(artifact.bytes.clone())
        })
        .unwrap();
    Ok(texts)
}

/// The motions of a text as it is written.
fn motions(text: &str) -> Vec<&str> {
    let moves = |line: &&str| line.starts_with("G0 ") || line.starts_with("G1 ");
    text.lines().filter(moves).collect()
}

/// Place and height behind every motion, in inches.
fn places(text: &str) -> Vec<(bool, [f64; 3])> {
    let mut at = [f64::NAN; 3];
    let carried = |line: &str| {
        for word in line.split(' ') {
            let axis = ["X", "Y", "Z"].iter().position(|letter| word.starts_with(letter));
            if let Some(axis) = axis {
                at[axis] = word[1..].parse().unwrap();
            }
        }
        (line.starts_with("G0"), at)
    };
    motions(text).into_iter().map(carried).collect()
}

#[test]
fn the_first_the_last_and_all_long_rapids_go_at_the_clear_height_and_the_tool_is_parked() {
    let keys = "clear_height = \"2 in\"\npark = { x = \"1 in\", y = \"20 in\", z = \"4 in\" }";
    let texts = made(&job(keys, "")).unwrap();
    assert_eq!(texts.len(), 3);
    for (name, text) in &texts {
        let moves = motions(text);
        assert_eq!(moves[0], "G0 Z2.0000", "{name}");
        // A place to go on from says the height again.
        let across = moves.iter().find(|line| **line != moves[0]).unwrap();
        assert!(across.starts_with("G0 X"), "{name}");
        assert_eq!(moves[moves.len() - 2..], ["G0 X1.0000 Y20.0000", "G0 Z4.0000"], "{name}");
        let places = places(text);
        for pair in places.windows(2) {
            let ([x, y, z], [to_x, to_y, to_z]) = (pair[0].1, pair[1].1);
            let far = (to_x - x).hypot(to_y - y);
            assert!(!pair[1].0 || far <= 6.0 || z.min(to_z) >= 2.0, "{name}: {far} at {z}");
        }
        // Between strokes and passes that lie near to each other it stays low.
        assert!(name.starts_with("frame") || moves.contains(&"G0 Z0.5000"), "{name}");
        let says = name.starts_with("frame")
            || text.contains("Parks at X 1 Y 20 in, 4 in over the stock")
                && text.contains("Starts, travels far and ends 2 in over the stock");
        assert!(says, "{text}");
    }
}

/// What the proof says of the last program once it is changed.
fn judged(job: &Job, change: impl Fn(&str) -> String) -> Vec<String> {
    let text = made(job).unwrap().into_iter().rfind(|(name, _)| name.starts_with("program"));
    let set = Set::of(vec![Entry { job: job.clone(), times: 1 }], 0).unwrap();
    let workup = &set.members[0].workup;
    let planned = workup.planned.as_ref().unwrap();
    let expected = proof::planned(&workup.job, workup.outline.as_ref().unwrap(), &planned.program);
    let (written, changed) = text.map(|(_, text)| (text.clone(), change(&text))).unwrap();
    assert_ne!(written, changed);
    let verdict = proof::hold(changed.as_bytes(), "program", &expected).unwrap();
    verdict.findings.iter().filter(|f| f.refuses()).map(Finding::to_string).collect()
}

#[test]
fn a_program_that_travels_low_or_ends_elsewhere_is_not_taken() {
    let keys = "clear_height = \"2 in\"\npark = { x = \"1 in\", y = \"20 in\", z = \"4 in\" }";
    let job = job(keys, "");
    let holds = |found: &[String], code: &str| {
        assert!(found.iter().any(|finding| finding.contains(code)), "{code}: {found:?}");
    };
    holds(&judged(&job, |text| text.replace("G0 Z2.0000", "G0 Z0.5000")), "travel-low");
    holds(&judged(&job, |text| text.replace("G0 X1.0000 Y20.0000\n", "")), "not-parked");
    holds(&judged(&job, |text| text.replace("G0 Z4.0000\n", "")), "not-parked");
    holds(
        &judged(&job, |text| text.replace("G0 X1.0000 Y20.0000", "G0 X1.0000 Y19.0000")),
        "not-parked",
    );
    let last = |text: &str| {
        let (before, after) = text.rsplit_once("G0 Z2.0000\n").unwrap();
        format!("{before}{after}")
    };
    holds(&judged(&job, last), "travel-low");
    // Without the keys nothing of the kind is asked.
    let plain = self::job("", "");
    assert!(
        judged(&plain, |text| text.replace("G0 X0.0000 Y0.0000", "G0 X1.0000 Y0.0000")).is_empty()
    );
}

#[test]
fn a_beam_is_parked_at_its_height_and_has_no_clear_height() {
    let with = |keys: &str| {
        let safe = "safe_height = \"5 mm\"";
        profile_with("machine", "laser", &[(safe, &format!("{keys}\n{safe}"))])
    };
    let error = |keys: &str| Machine::read("own", "own.toml", &with(keys)).unwrap_err().to_string();
    let idle = error("clear_height = \"20 mm\"");
    assert!(idle.contains("clear_height") && idle.contains("[laser]"), "{idle}");
    let idle = error("park = { x = \"0 mm\", y = \"0 mm\", z = \"20 mm\" }");
    assert!(idle.contains("park.z") && idle.contains("[laser]"), "{idle}");
    let text = with("park = { x = \"10 mm\", y = \"880 mm\" }");
    let cut = "makes = \"pattern\"\nmachine = \"./own.toml\"\nmaterial = \"hardboard-3\"\n";
    let rise = "total = \"21 in\"\nrisers = 3".to_string();
    let stair = Stair { rules: "us-osha".into(), rise, cut: cut.into(), ..Stair::default() };
    let job = Stair { files: vec![("./own.toml".into(), text)], ..stair }.job();
    for (name, text) in made(&job).unwrap() {
        assert!(motions(&text).last().unwrap().starts_with("G0 X10.000 Y880.000"), "{name}");
    }
}

#[test]
fn a_place_to_park_at_is_refused_low_over_the_stock_on_a_clamp_or_too_far() {
    let low = "clear_height = \"2 in\"\npark = { x = \"1 in\", y = \"20 in\", z = \"1 in\" }";
    assert_eq!(made(&job(low, "")).unwrap_err(), ["park-low"]);
    let clamp = |height: &str| {
        format!(
            "clamps = [{{ x = \"0 in\", y = \"44 in\", length = \"3 in\", width = \"3 in\"{height} \
            }}]\n"
        )
    };
    let over = "clear_height = \"2 in\"\npark = { x = \"1 in\", y = \"45 in\" }";
    let on = made(&job(over, &clamp("")));
    assert!(on.unwrap_err().contains(&"park-on-clamp"));
    assert!(made(&job(over, &clamp(", height = \"1 in\""))).is_ok());
    assert!(
        made(&job(over, &clamp(", height = \"3 in\""))).unwrap_err().contains(&"clear-height-low")
    );
    // A board is cut an eighth beyond its edges: from there to the far end it is more than the
    // travel.
    let far = "park = { x = \"96 in\", y = \"48 in\" }";
    let mut board = job(far, "");
    board.cut.machine.travel[1] = seatcut::units::Length::inches(48.0);
    assert!(made(&board).is_ok());
    let text = profile_with("machine", "router-table", &[(SAFE, &format!("{far}\n{SAFE}"))]);
    let cut =
        "makes = \"stringers\"\nmachine = \"./own.toml\"\nmaterial = \"board-2x12\"\n".to_string();
    let board = Stair { cut, files: vec![("./own.toml".into(), text)], ..Stair::default() }.job();
    assert_eq!(made(&board).unwrap_err(), ["park-beyond-travel"]);
}

#[test]
fn a_clear_height_passes_over_low_clamps_and_still_goes_round_one_of_no_height() {
    let clamps = "clamps = [{ x = \"20 in\", y = \"0 in\", length = \"3 in\", width = \"3 in\", \
        height = \"1 1/4 in\" }]\n";
    let text = &made(&job("clear_height = \"2 in\"", clamps)).unwrap().pop().unwrap().1;
    // The first move may come from anywhere: it is above them all.
    assert!(!text.contains("BEFORE IT STARTS"), "{text}");
    let unknown = clamps.replace(", height = \"1 1/4 in\"", "");
    let text = &made(&job("clear_height = \"2 in\"", &unknown)).unwrap().pop().unwrap().1;
    assert!(text.contains("BEFORE IT STARTS"), "{text}");
}

#[test]
fn heights_and_places_that_the_machine_does_not_have_are_told_by_their_key() {
    let error = |keys: &str| {
        let text = profile_with("machine", "router-table", &[(SAFE, &format!("{keys}\n{SAFE}"))]);
        Machine::read("own", "own.toml", &text).expect_err(keys).to_string()
    };
    for (keys, key) in [
        ("clear_height = \"1/4 in\"", "clear_height is out"),
        ("clear_height = \"6 1/8 in\"", "clear_height is out"),
        ("clear_height = \"2\"", "clear_height"),
        ("clear_height = 2", "clear_height"),
        ("park = { x = \"97 in\", y = \"0 in\" }", "park.x is out"),
        ("park = { x = \"0 in\", y = \"48 1/8 in\" }", "park.y is out"),
        ("park = { x = \"-1 in\", y = \"0 in\" }", "park.x"),
        ("park = { x = \"0 in\", y = \"0 in\", z = \"1/4 in\" }", "park.z is out"),
        ("park = { x = \"0 in\", y = \"0 in\", z = \"7 in\" }", "park.z is out"),
        ("park = { x = \"0 in\" }", "y"),
        ("park = { x = \"0 in\", y = \"0 in\", up = \"1 in\" }", "up"),
    ] {
        let error = error(keys);
        assert!(error.contains(key), "{keys}: {error}");
    }
    let top = profile_with(
        "machine",
        "router-changer",
        &[("y = \"2400 mm\" }", "y = \"2400 mm\", z = \"100 mm\" }")],
    );
    let error = Machine::read("own", "own.toml", &top).unwrap_err().to_string();
    assert!(error.contains("park.z") && error.contains("machine_top"), "{error}");
}

#[test]
fn a_tool_call_without_its_number_is_told_by_the_key() {
    let tools = "tools = { cutter = 1, pointed = 2, length = true }";
    let error = |with: &str| {
        let text = profile_with("machine", "router-changer", &[(tools, with)]);
        Machine::read("own", "own.toml", &text).expect_err(with).to_string()
    };
    for (with, key) in [
        ("tools = { pointed = 2, length = true }", "cutter"),
        ("tools = { cutter = 1, length = true }", "pointed"),
        ("tools = { cutter = 0, pointed = 2 }", "program.tools.cutter"),
        ("tools = { cutter = 1, pointed = 1 }", "program.tools.pointed"),
        ("tools = { cutter = \"T1\", pointed = 2 }", "cutter"),
        ("tools = true", "tools"),
    ] {
        assert!(error(with).contains(key), "{}", error(with));
    }
}
