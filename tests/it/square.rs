//! The test square: every file proven, a changed program refused, its measured figures read.

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
            let tabs = if square.machine.tool.pushes() { 6 } else { 0 };
            assert_eq!(square.program.tabs.len(), tabs, "{name}");
        }
    }
}

#[test]
fn a_square_whose_hole_or_tabs_are_otherwise_is_refused() {
    let square = square(&machine("router-table", &[]), &material("hardboard-6"));
    let good = text(&square);
    // The path round the hole: its right side a hundredth of an inch farther out.
    let wide = good.replace("X3.8474", "X3.8574");
    assert_ne!(wide, good);
    assert!(found(&square, &wide).contains(&"gouge"), "{:?}", found(&square, &wide));
    let narrow = good.replace("X3.8474", "X3.8374");
    assert!(found(&square, &narrow).contains(&"uncut"), "{:?}", found(&square, &narrow));
    // A tab of the hole cut away: nothing is lifted there.
    let untied = good.replace("G1 Z-0.1250", "G1 Z-0.2700");
    assert!(found(&square, &untied).contains(&"tab-missing"), "{:?}", found(&square, &untied));
    // Without the hole.
    let (from, to) = (good.find("(HOLE)").unwrap(), good.find("(OUTSIDE)").unwrap());
    let solid = format!("{}{}", &good[..from], &good[to..]);
    assert!(found(&square, &solid).contains(&"uncut"), "{:?}", found(&square, &solid));
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
    let make = ["square", "laser", "hardboard-3", "--stock", "8 in x 7 in", "-o", &out];
    let (ended, text) = said(&make);
    assert_eq!(ended, 0, "{text}");
    for words in ["PROVEN", "frame.nc first", "--outside", "kerf goes into kerf", "100 mm"] {
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
    let read = |outside: &str, inside: &str| {
        said(&["square", "router-table", "--outside", outside, "--inside", inside])
    };
    // A cutter 0.246 in wide on axes that are true.
    let (ended, text) = read("4.004 in x 4.004 in", "1.996 in x 1.996 in");
    assert!(ended == 0 && text.contains("cutter = \"0.246 in\""), "{text}");
    assert!(text.contains("both axes are true"), "{text}");
    // The same, X half a percent too long.
    let (_, text) = read("4.02525 in x 4.004 in", "2.00475 in x 1.996 in");
    assert!(text.contains("cutter = \"0.246 in\"") && text.contains("X by 0.99502"), "{text}");
    // Tilted: wider across X.
    let (ended, text) = read("3.996 in x 4.004 in", "2.004 in x 1.996 in");
    assert!(ended == 0 && text.contains("no one figure") && text.contains("plumb"), "{text}");
    assert!(!text.contains("cutter = \""), "{text}");
    let diagonals = [
        "square",
        "router-table",
        "--outside",
        "4 in x 4 in",
        "--inside",
        "2 in x 2 in",
        "--diagonals",
        "5.70 in x 5.61 in",
        "--json",
    ];
    let (ended, json) = said(&diagonals);
    assert!(ended == 0 && json.contains("\"lean_deg\": 0.9"), "{json}");
    for (outside, inside, words) in [
        ("2 in x 4 in", "4 in x 2 in", "as large as the square round it"),
        ("101.6 in x 4 in", "2 in x 2 in", "other unit"),
        ("4 x 4", "2 in x 2 in", "no length with a unit"),
        ("4 in", "2 in x 2 in", "two figures"),
        ("4.5 in x 4 in", "2.2 in x 2 in", "95 to 105 %"),
        ("4.3 in x 4 in", "1.7 in x 2 in", "taken nothing away"),
    ] {
        let (ended, text) = read(outside, inside);
        assert!([2, 3].contains(&ended) && text.contains(words), "{words}: {ended} {text}");
    }
    let (ended, text) = said(&["square", "router-table", "--outside", "4 in x 4 in"]);
    assert!(ended == 2 && text.contains("--inside"), "{text}");
    let (ended, text) = said(&["square", "router-tabel", "hardboard-6", "-o", "nowhere"]);
    assert!(ended == 2 && text.contains("router-table"), "{text}");
}
