//! How a beam cuts each thickness: the table of its profile, the row that is chosen, several times
//! round the same line.

use crate::common::{Made, Stair, profile_with, tread};
use seatcut::pipeline::workup::Workup;
use seatcut::profile::Machine;

const FEED: &str = "feed = \"15 mm/s\"\nmax_thickness = \"6.5 mm\"\n";

/// A laser with these rows instead of one feed.
fn laser(rows: &str) -> String {
    let text = profile_with("machine", "laser", &[("\nfeed = \"15 mm/s\"\n", "\n")]);
    let text = text.replace("max_thickness = \"6.5 mm\"\n", "");
    format!("{text}{rows}")
}

fn row(thickness: &str, feed: &str, power: &str, more: &str) -> String {
    format!(
        "[[laser.cut]]\nthickness = \"{thickness}\"\nfeed = \"{feed}\"\npower = {power}\n{more}\n"
    )
}

fn table() -> String {
    row("3.2 mm", "20 mm/s", "0.6", "") + &row("6.5 mm", "10 mm/s", "0.9", "passes = 2")
}

fn pattern(machine: String, thickness: &str) -> Stair {
    let material = profile_with("material", "hardboard-6", &[("6.35 mm", thickness)]);
    Stair {
        rules: "us-osha".into(),
        rise: "total = \"21 in\"\nrisers = 3".into(),
        tread: tread("10 1/2 in", "1 in", "1 in", "3/4 in"),
        cut: "makes = \"pattern\"\nmachine = \"./own.toml\"\nmaterial = \"./sheet.toml\"\ncorners \
            = \"bisector\""
            .into(),
        files: vec![("./own.toml".into(), machine), ("./sheet.toml".into(), material)],
        ..Stair::default()
    }
}

fn misread(rows: &str) -> String {
    Machine::read("own", "own.toml", &laser(rows)).expect_err(rows).to_string()
}

#[test]
fn the_row_of_the_materials_thickness_is_cut_by() {
    for (thickness, feed, power, round) in [
        ("3 mm", "F1200.0", "S600", "once round"),
        ("3.2 mm", "F1200.0", "S600", "once round"),
        ("3.3 mm", "F600.0", "S900", "2 times round"),
        ("6.5 mm", "F600.0", "S900", "2 times round"),
    ] {
        let made = Made::of(&pattern(laser(&table()), thickness));
        let text = made.program("program.nc");
        for words in [feed, power, round] {
            assert!(text.contains(words), "{thickness}: no {words} in\n{}", &text[..900]);
        }
        assert_eq!(text.contains("PASS 2 OF 2"), round.starts_with('2'), "{thickness}");
        assert_eq!(made.verify(&text).0, 0, "{thickness}: {}", made.verify(&text).1);
    }
}

#[test]
fn thicker_material_than_the_last_row_is_refused_by_name() {
    let findings = Workup::of(&pattern(laser(&table()), "6.6 mm").job()).findings;
    let refused: Vec<_> = findings.iter().filter(|found| found.refuses()).collect();
    assert!(refused.iter().any(|found| found.code.name() == "laser-too-thick"), "{refused:?}");
}

#[test]
fn a_line_that_is_cut_once_fewer_is_not_cut_through() {
    let made = Made::of(&pattern(laser(&table()), "6 mm"));
    let good = made.program("program.nc");
    let lines: Vec<&str> = good.lines().collect();
    let second: Vec<usize> =
        (0..lines.len()).filter(|&i| lines[i].contains("PASS 2 OF 2")).collect();
    // All of the second time round the outline, and one line of it.
    let all = second[second.len() - 1];
    let without = |from: usize, count: usize| {
        let mut left = lines.clone();
        left.drain(from..from + count);
        left.join("\n") + "\n"
    };
    let end = (all..lines.len()).find(|&i| lines[i] == "S0").unwrap();
    let (code, said) = made.verify(&without(all, end - all));
    assert!(code == 6 && said.contains("uncut"), "{said}");
    // One end of a line moved out into the waste: there the line was cut once.
    let at = (all..end).find(|&i| lines[i].starts_with("G1 X")).unwrap() + 2;
    let (code, said) = made.verify(&without(at, 1));
    assert!(code == 6, "{said}");
}

#[test]
fn slips_of_the_table_are_told_by_their_key() {
    let good = row("3.2 mm", "20 mm/s", "0.6", "");
    for (rows, words) in [
        (String::new(), vec!["laser.feed", "missing"]),
        (row("3.2 mm", "20 mm/s", "0.6", "passes = 0"), vec!["laser.cut.passes"]),
        (row("3.2 mm", "20 mm/s", "0.6", "passes = 21"), vec!["laser.cut.passes"]),
        (row("3.2 mm", "20 mm/s", "1.1", ""), vec!["laser.cut.power"]),
        (row("3.2 mm", "20 mm/s", "0.6", "passes = \"two\""), vec!["passes"]),
        (row("0 mm", "20 mm/s", "0.6", ""), vec!["laser.cut.thickness"]),
        (row("3.2 mm", "0.1 mm/s", "0.6", ""), vec!["laser.cut.feed"]),
        (row("3.2 mm", "3 mm/s", "0.6", ""), vec!["laser.pierce_feed"]),
        (row("3.2 mm", "20 mm/s", "0.2", ""), vec!["laser.mark_power", "0.1"]),
        (good.clone() + &good, vec!["laser.cut.thickness", "row above"]),
        ("[[laser.cut]]\nfeed = \"20 mm/s\"\npower = 0.6\n".into(), vec!["thickness"]),
        (row("3.2 mm", "20 mm/s", "0.6", "speed = 3"), vec!["speed"]),
    ] {
        let said = misread(&rows);
        assert!(words.iter().all(|word| said.contains(word)), "{rows}: {said}");
    }
    let both = profile_with("machine", "laser", &[]) + &good;
    assert!(both.contains(&FEED[..10]));
    let said = Machine::read("own", "own.toml", &both).unwrap_err().to_string();
    assert!(said.contains("laser.cut") && said.contains("laser.feed"), "{said}");
}
