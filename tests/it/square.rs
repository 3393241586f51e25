//! The test squares: every file proven, a changed program refused, their measured figures read.

use std::fs;

use crate::common::{code, on_one_line, profile_with, seatcut};
use seatcut::bundle::SquareSet;
use seatcut::cam::plan::{SquareProgram, plan_square};
use seatcut::output::page::Size;
use seatcut::pipeline::proof;
use seatcut::profile::{Machine, Material, embedded, names_of};

fn material(name: &str) -> Material {
    let source = embedded(Some("material"), name).unwrap();
    Material::read(name, &source.file, &source.text).unwrap()
}

fn machine(name: &str, changes: &[(&str, &str)]) -> Machine {
    Machine::read(name, "own.toml", &profile_with("machine", name, changes)).unwrap()
}

fn square(machine: &Machine, material: &Material) -> SquareProgram {
    plan_square(machine, material).unwrap_or_else(|refused| panic!("{refused:?}")).value
}

fn text(square: &SquareProgram) -> String {
    let set = SquareSet::of(square, Size::LETTER, "any").unwrap();
    set.proven(|artifact| Ok(artifact.bytes.clone())).unwrap();
    String::from_utf8(set.artifacts()[0].bytes.clone()).unwrap()
}

/// The codes of what is found in a program against its square.
fn found(square: &SquareProgram, text: &str) -> Vec<&'static str> {
    let verdict = proof::hold(text.as_bytes(), "program.nc", &proof::square(square)).unwrap();
    assert_eq!(verdict.is_this_part(), !verdict.findings.iter().any(|found| found.refuses()));
    verdict.findings.iter().map(|finding| finding.code.name()).collect()
}

#[test]
fn every_shipped_machine_cuts_a_proven_square() {
    for name in names_of("machine") {
        for stuff in ["hardboard-3", "hardboard-6"] {
            let square = square(&machine(name, &[]), &material(stuff));
            let text = text(&square);
            assert_eq!(found(&square, &text), Vec::<&str>::new(), "{name}");
            assert!(text.contains("Test square"), "{name}: {text}");
            let tabs = if square.machine.tool.pushes() { 10 } else { 0 };
            assert_eq!(square.program.tabs.len(), tabs, "{name}");
        }
    }
}

#[test]
fn a_square_whose_hole_or_tabs_are_otherwise_is_refused() {
    let square = square(&machine("router-table", &[]), &material("hardboard-6"));
    let good = text(&square);
    // The path round the hole, and that round the small square: its right side a hundredth of an
    // inch farther to the right, and to the left.
    let (sizes, pieces) = (&square.sizes, &square.program.pieces);
    let radius = square.machine.tool_radius();
    let hole = sizes.web() + sizes.inside - radius;
    for (piece, at, right, left) in
        [(0, hole, "gouge", "uncut"), (1, sizes.small + radius, "uncut", "gouge")]
    {
        let x = pieces[piece].placement.translation.vector.x / 25.4 + at.as_inches();
        let moved = |by: f64| {
            let changed = good.replace(&format!("X{x:.4}"), &format!("X{:.4}", x + by));
            assert_ne!(changed, good);
            found(&square, &changed)
        };
        assert!(moved(0.01).contains(&right), "{:?}", moved(0.01));
        assert!(moved(-0.01).contains(&left), "{:?}", moved(-0.01));
    }
    // A tab of the hole cut away: nothing is lifted there.
    let untied = good.replace("G1 Z-0.1250", "G1 Z-0.2700");
    assert!(found(&square, &untied).contains(&"tab-missing"), "{:?}", found(&square, &untied));
    // Without the hole, and without the small square.
    let at = |words: &str| good.find(words).unwrap();
    for (from, to) in [("(HOLE)", "(SMALL SQUARE)"), ("(SMALL SQUARE)", "(OUTSIDE)")] {
        let solid = format!("{}{}", &good[..at(from)], &good[at(to)..]);
        assert!(found(&square, &solid).contains(&"uncut"), "{:?}", found(&square, &solid));
    }
    // A beam that stays dark round the hole.
    let beam = square_of_a_beam();
    let good = text(&beam);
    let (top, hole) = good.split_at(good.rfind("HOLE").unwrap());
    let lit = hole.lines().find(|line| line.starts_with("G1") || line.starts_with("G3")).unwrap();
    let power = lit.find(" S").expect("the first cut lights the beam");
    let dark = top.to_string() + &hole.replacen(&lit[power..], " S0", 1);
    assert_ne!(dark, good);
    assert!(!found(&beam, &dark).is_empty());
}

fn square_of_a_beam() -> SquareProgram {
    square(&machine("laser", &[]), &material("hardboard-3"))
}

#[test]
fn a_cutter_that_does_not_fit_is_refused_by_its_width() {
    let wide = machine("router-table", &[("cutter = \"1/4 in\"", "cutter = \"3/4 in\"")]);
    let refused = plan_square(&wide, &material("plywood-18")).unwrap_err();
    let codes: Vec<&str> =
        refused.into_findings().iter().map(|finding| finding.code.name()).collect();
    assert_eq!(codes, ["square-cutter-wide"]);
    let widest = machine("router-table", &[("cutter = \"1/4 in\"", "cutter = \"5/8 in\"")]);
    text(&square(&widest, &material("plywood-18")));
    let thin = machine("router-table", &[("cutter = \"1/4 in\"", "cutter = \"1/16 in\"")]);
    text(&square(&thin, &material("plywood-18")));
}

fn said(arguments: &[&str]) -> (i32, String) {
    let run = seatcut(arguments);
    let both = [&run.stdout, &run.stderr].map(|text| String::from_utf8_lossy(text).into_owned());
    (code(&run), on_one_line(&both.concat()))
}

#[test]
fn the_command_writes_a_set_once_and_says_where_the_calipers_go() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("square").display().to_string();
    let make = ["square", "laser", "hardboard-3", "--stock", "10 in x 7 in", "-o", &out];
    let (ended, text) = said(&make);
    assert_eq!(ended, 0, "{text}");
    for words in [
        "PROVEN",
        "frame.nc first",
        "--small \"50 mm x 50 mm\"",
        "kerf goes into kerf",
        "125 mm",
        "scale: X (1 - 5) / 75 mm, Y (2 - 6) / 75 mm",
        "play: X (scale x 175 mm - (1 + 3)) / 2",
    ] {
        assert!(text.contains(words), "{words}: {text}");
    }
    let files: Vec<String> = fs::read_dir(&out)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    for name in ["program.nc", "frame.nc", "square.pdf", "report.json"] {
        assert!(files.iter().any(|file| file == name), "{files:?}");
    }
    assert_eq!(said(&make).0, 0, "the same square again");
    let (ended, text) = said(&["square", "router-table", "hardboard-6", "-o", &out]);
    assert!(ended == 7 && text.contains("--force"), "{text}");
    fs::write(format!("{out}/square.pdf"), "mine").unwrap();
    assert_eq!(said(&make).0, 7, "what somebody changed is left alone");
    let (ended, text) = said(&["square", "laser", "plywood-18", "-o", &out]);
    assert!(ended == 4 && text.contains("laser-too-thick"), "{text}");
}

#[test]
fn measured_figures_say_what_to_type_or_what_to_look_for() {
    let read = |outside: &str, inside: &str, small: &str| {
        said(&[
            "square",
            "router-table",
            "--outside",
            outside,
            "--inside",
            inside,
            "--small",
            small,
        ])
    };
    // A cutter 0.246 in wide on axes that are true.
    let (ended, text) = read("5.004 in x 5.004 in", "1.996 in x 1.996 in", "2.004 in x 2.004 in");
    assert!(ended == 0 && text.contains("cutter = \"0.246 in\""), "{text}");
    assert!(text.contains("both axes are true") && text.contains("Play: none"), "{text}");
    // The same, X half a percent too long.
    let (_, text) = read("5.03025 in x 5.004 in", "2.00475 in x 1.996 in", "2.01525 in x 2.004 in");
    assert!(text.contains("cutter = \"0.246 in\"") && text.contains("X by 0.99502"), "{text}");
    assert!(text.contains("Play: none"), "{text}");
    // The same, Y with a hundredth of play: no scale, and no other cutter.
    let (_, text) = read("5.004 in x 4.994 in", "1.996 in x 1.986 in", "2.004 in x 1.994 in");
    assert!(text.contains("cutter = \"0.246 in\""), "{text}");
    assert!(
        text.contains("Y has 0.01 in of play") && text.contains("both axes are true"),
        "{text}"
    );
    assert!(!text.contains("X has"), "{text}");
    // A control that makes up for more than there is.
    let (_, text) = read("5.014 in x 5.004 in", "2.006 in x 1.996 in", "2.014 in x 2.004 in");
    assert!(text.contains("X has less than no play"), "{text}");
    // Tilted: wider across X.
    let (ended, text) = read("4.996 in x 5.004 in", "2.004 in x 1.996 in", "1.996 in x 2.004 in");
    assert!(ended == 0 && text.contains("no one figure") && text.contains("plumb"), "{text}");
    assert!(!text.contains("cutter = \""), "{text}");
    let diagonals = [
        "square",
        "router-table",
        "--outside",
        "5 in x 5 in",
        "--inside",
        "2 in x 2 in",
        "--small",
        "2 in x 2 in",
        "--diagonals",
        "7.14 in x 7.00 in",
        "--json",
    ];
    let (ended, json) = said(&diagonals);
    assert!(ended == 0 && json.contains("\"lean_deg\": 1.1"), "{json}");
    let two = "2 in x 2 in";
    for (outside, inside, small, words) in [
        ("2 in x 5 in", "5 in x 2 in", two, "as large as the square round it"),
        ("127 in x 5 in", two, two, "other unit"),
        ("5 in x 5 in", two, "2 in x 50.8 in", "other unit"),
        ("5 x 5", two, two, "no length with a unit"),
        ("5 in", two, two, "two figures"),
        ("5.5 in x 5 in", two, two, "95 to 105 %"),
        ("4.8 in x 5 in", two, "1.8 in x 2 in", "for any play"),
        ("5.3 in x 5 in", "1.7 in x 2 in", "2.3 in x 2 in", "taken nothing away"),
    ] {
        let (ended, text) = read(outside, inside, small);
        assert!([2, 3].contains(&ended) && text.contains(words), "{words}: {ended} {text}");
    }
    let (ended, text) =
        said(&["square", "router-table", "--outside", "5 in x 5 in", "--inside", two]);
    assert!(ended == 2 && text.contains("--small"), "{text}");
    let (ended, text) = said(&["square", "router-tabel", "hardboard-6", "-o", "nowhere"]);
    assert!(ended == 2 && text.contains("router-table"), "{text}");
}
