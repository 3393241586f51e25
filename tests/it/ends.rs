//! The ends of a flight against sums of their own: how far the upper finish reaches, a rise
//! measured rough, what the foot stands on.

use std::fs;
use std::process::{Command, Output};

use crate::common::{Stair, tread};
use seatcut::diagnostics::{Finding, Severity};
use seatcut::pipeline::workup::Workup;
use seatcut::stair::outline::Skirt;
use seatcut::units::Length;

fn inches(value: f64) -> Length {
    Length::inches(value)
}

fn close(a: Length, b: f64) {
    assert!((a.as_inches() - b).abs() < 1e-9, "{} for {b}", a.as_inches());
}

fn worked(stair: &Stair) -> Workup {
    Workup::of(&stair.job())
}

fn found<'a>(workup: &'a Workup, code: &str) -> Option<&'a Finding> {
    workup.findings.iter().find(|finding| finding.code.name() == code)
}

fn headed(more: &str) -> Stair {
    Stair { head: format!("meets = \"one-down\"\nfinish = \"1 in\"\n{more}"), ..Stair::default() }
}

fn risen(rise: &str) -> Stair {
    Stair { rise: rise.into(), ..Stair::default() }
}

/// The foot's keys stand in the table [foot], which the plate's table follows.
fn standing(rise: &str, foot: &str) -> Stair {
    let mut stair = risen(rise);
    stair.head += &format!("\n[foot]\n{foot}");
    stair
}

const PLATE: &str = "stands_on = { what = \"sole plate\", height = \"1 1/2 in\" }";

/// Decking that ends flush with the riser board at the head takes the last run an overhang longer.
#[test]
fn the_last_run_reaches_to_the_edge_of_the_upper_finish() {
    for (overhang, last) in [("1 in", 10.25), ("0 in", 11.25), ("1 1/2 in", 9.75)] {
        let workup = worked(&headed(&format!("overhang = \"{overhang}\"")));
        let runs = &workup.flight.finished_runs;
        assert!(runs[..5].iter().all(|run| (run.as_inches() - 10.25).abs() < 1e-9));
        close(runs[5], last);
        assert!(found(&workup, "head-overhang-assumed").is_none());
        // The part itself is the same: only the upper finish moves.
        close(workup.flight.head_cut_x, 6.0 * 10.25);
    }
    let flush_with_the_rim = worked(&headed("overhang = \"0 in\""));
    let spread = found(&flush_with_the_rim, "run-spread-high").expect("1 in is more than 3/8 in");
    assert_eq!(spread.severity, Severity::Refusal);
    let said = worked(&headed(""));
    assert!(found(&said, "run-spread-high").is_none());
    let assumed = found(&said, "head-overhang-assumed").unwrap();
    assert_eq!(assumed.severity, Severity::Advice);
    assert!(assumed.sentence().contains("1 in (25.4 mm)"), "{assumed}");
}

#[test]
fn a_flush_head_has_no_nosing_of_the_upper_finish() {
    let flush = "meets = \"flush\"\nfinish = \"1 in\"";
    let workup = worked(&Stair { head: flush.into(), ..Stair::default() });
    assert!(found(&workup, "head-overhang-assumed").is_none());
    let error = Stair { head: format!("{flush}\noverhang = \"1 in\""), ..Stair::default() };
    let said = error.try_job().unwrap_err().to_string();
    assert!(said.contains("one-down head only") && said.contains("job.toml, line "), "{said}");
    let said = headed("overhang = \"7 in\"").try_job().unwrap_err().to_string();
    assert!(said.contains("head.overhang"), "{said}");
}

/// From the bare floor to the framing, 1/2 in of floor still to come below, 1 in of finish above.
#[test]
fn a_rise_measured_rough_gives_the_stair_of_its_finished_rise() {
    let rough = worked(&risen("rough = \"50 7/8 in\"\nrisers = 7\nfinish_to_come = \"1/2 in\""));
    let total = worked(&risen("total = \"51 3/8 in\"\nrisers = 7\nfinish_to_come = \"1/2 in\""));
    close(rough.flight.total_rise, 51.375);
    let vertices = |workup: &Workup| workup.outline.as_ref().unwrap().contour().vertices();
    for (a, b) in vertices(&rough).iter().zip(vertices(&total)) {
        assert!((a - b).norm() < 1e-9);
    }
    // What was measured is in the part again: the framing stands rough over the seat.
    close(rough.flight.framing_top_y(), 50.875);
    let said = found(&rough, "rise-from-rough").unwrap().sentence();
    assert!(said.contains("total rise 51 3/8 in") && said.contains("50 7/8 in"), "{said}");
    assert!(found(&total, "rise-from-rough").is_none());
}

#[test]
fn a_rough_rise_that_contradicts_or_is_eaten_by_a_finish_is_refused_with_its_place() {
    let eaten = Stair { head: "meets = \"one-down\"\nfinish = \"0 in\"".into(), ..risen("") };
    let eaten =
        Stair { rise: "rough = \"4 in\"\nrisers = 2\nfinish_to_come = \"4 in\"".into(), ..eaten };
    let on_ground = "rough = \"50 in\"\n[ground]\nat_head = \"48 in\"\nslope = \"1 in 12\"";
    for (stair, says) in [
        (eaten, "leaves no rise that can be built"),
        (risen("rough = \"50 in\"\ntotal = \"51 in\""), "rise.rough and rise.total both"),
        (risen(on_ground), "rise.rough and ground.at_head both"),
        (risen("rough = \"0 in\""), "rise.rough"),
        (risen("risers = 7"), "`rough`"),
    ] {
        let said = stair.try_job().unwrap_err().to_string();
        assert!(said.contains(says) && said.contains("job.toml, line "), "{said}");
    }
}

#[test]
fn what_the_seat_stands_on_comes_off_the_foot_and_moves_no_tread() {
    let bare = worked(&Stair::default());
    let stood = worked(&standing(&Stair::default().rise, PLATE));
    close(stood.flight.drop(), 2.5);
    close(stood.flight.first_riser_cut(), bare.flight.first_riser_cut().as_inches() - 1.5);
    close(stood.flight.hang_line, bare.flight.hang_line.as_inches());
    close(stood.flight.behind_notches(), bare.flight.behind_notches().as_inches());
    for risers in stood.flight.finished_risers() {
        close(risers, 51.375 / 7.0);
    }
    // On its plate every cut lies as high as without one.
    for k in 1..=6 {
        close(stood.flight.tread_cut_y(k) + inches(1.5), bare.flight.tread_cut_y(k).as_inches());
    }
    // The seat is longer: higher up on the same lower edge.
    let seat = |workup: &Workup| workup.outline.as_ref().unwrap().seat_length().as_inches();
    let closer = 1.5 * 10.25 / (51.375 / 7.0);
    assert!((seat(&stood) - seat(&bare) - closer).abs() < 1e-9);
    // The skirt goes down to the lower surface.
    let skirt = Skirt::of(&stood.job, &stood.flight).unwrap();
    let low = skirt.contour().vertices().iter().map(|p| p.y).fold(f64::MAX, f64::min);
    assert!((low + 1.5 * 25.4).abs() < 1e-9);
}

#[test]
fn a_rough_rise_stands_on_what_the_stringer_will_stand_on() {
    // 48 7/8 in from the plate to the framing, 1 1/2 in of plate, 1 in of finish.
    let workup = worked(&standing("rough = \"48 7/8 in\"\nrisers = 7", PLATE));
    close(workup.flight.total_rise, 51.375);
    close(workup.flight.framing_top_y(), 48.875);
    let said = found(&workup, "rise-from-rough").unwrap().sentence();
    assert!(said.contains("1 1/2 in (38.1 mm) under the seat"), "{said}");
}

#[test]
fn a_sole_plate_as_high_as_the_riser_is_refused_and_one_nearly_so_is_warned_of() {
    let on = |height: &str| {
        let foot = format!("stands_on = {{ what = \"sole plate\", height = \"{height}\" }}");
        worked(&standing(&Stair::default().rise, &foot))
    };
    // The first riser cut is 6.34 in.
    let over = on("6 3/8 in");
    assert!(over.refused() && over.outline.is_none());
    let said = found(&over, "stands-on-takes-riser").unwrap().sentence();
    assert!(said.contains("6 3/8 in"), "{said}");
    assert!(found(&on("5 1/2 in"), "first-riser-thin").is_some());
    let usual = on("1 1/2 in");
    assert!(found(&usual, "first-riser-thin").is_none() && !usual.refused());
    for (foot, says) in [
        ("stands_on = { what = \"\", height = \"1 in\" }", "foot.stands_on.what"),
        ("stands_on = { what = \"plate\", height = \"0 in\" }", "foot.stands_on.height"),
        ("stands_on = { what = \"plate\", height = \"2 ft\" }", "foot.stands_on.height"),
        ("stands_on = { height = \"1 in\" }", "what"),
    ] {
        let said = standing(&Stair::default().rise, foot).try_job().unwrap_err().to_string();
        assert!(said.contains(says) && said.contains("job.toml, line "), "{said}");
    }
}

fn solve(text: &str) -> Output {
    let dir = tempfile::tempdir().unwrap();
    let job = dir.path().join("job.toml");
    fs::write(&job, text).unwrap();
    let command = Command::new(env!("CARGO_BIN_EXE_seatcut"))
        .args(["solve", job.to_str().unwrap(), "--json"])
        .output();
    command.unwrap()
}

#[test]
fn what_is_refused_past_the_reading_has_its_report_all_the_same() {
    let at = |offset: &str, total: &str| {
        format!("[[across]]\noffset = \"{offset}\"\ntotal = \"{total}\"\n")
    };
    let hump = [at("0 in", "51 3/8 in"), at("18 in", "49 in"), at("36 in", "51 3/8 in")].concat();
    let run = solve(&format!("{}[stair]\nwidth = \"36 in\"\n{hump}", Stair::default().toml()));
    assert_eq!(run.status.code(), Some(4));
    let report: serde_json::Value = serde_json::from_slice(&run.stdout).unwrap();
    let findings = report["findings"].as_array().unwrap();
    let refusal = findings.iter().find(|f| f["code"] == "not-worked-out").expect("it says why");
    assert!(refusal["say"].as_str().unwrap().contains("contradict each other"), "{refusal}");
    assert!(refusal["say"].as_str().unwrap().contains("49 in"), "{refusal}");
    assert!(report["across"].is_null());
    let said = String::from_utf8_lossy(&run.stderr).into_owned();
    assert!(said.contains("job.toml, line ") && said.contains("measure again"), "{said}");
    // What is no job has no report.
    let run = solve(&format!("{}[stair]\nwidth = \"0 in\"\n", Stair::default().toml()));
    assert_eq!((run.status.code(), run.stdout.len()), (Some(3), 0));
}

#[test]
fn the_landing_is_told_from_the_rim_and_from_the_plumb_line() {
    let ground =
        "risers = 7\n[ground]\nat_head = \"46 in\"\nslope = \"1 in 12\"\nedge_out = \"1 in\"";
    let stair = Stair { tread: tread("10 1/4 in", "1 in", "1 in", "3/4 in"), ..risen(ground) };
    let run = solve(&stair.toml());
    let report: serde_json::Value = serde_json::from_slice(&run.stdout).unwrap();
    let landing = &report["ground"]["landing"];
    let inches = |key: &str| landing[key].as_f64().unwrap() / 25.4;
    // Six runs, the riser board; and an inch less from the line.
    assert!((inches("out_from_head_mm") - 62.25).abs() < 1e-9);
    assert!((inches("out_from_line_mm") - 61.25).abs() < 1e-9);
    assert!((inches("total_rise_mm") - (46.0 + 61.25 / 12.0)).abs() < 1e-9);
    let dir = tempfile::tempdir().unwrap();
    let job = dir.path().join("job.toml");
    fs::write(&job, stair.toml()).unwrap();
    let command = Command::new(env!("CARGO_BIN_EXE_seatcut"))
        .args(["solve", job.to_str().unwrap()])
        .output()
        .unwrap();
    let text = String::from_utf8(command.stdout).unwrap();
    let line = |label: &str| text.lines().find(|line| line.contains(label)).unwrap_or("");
    assert!(line("lands, out from the head").contains("62 1/4 in"), "{text}");
    assert!(line("the same from the plumb line").contains("61 1/4 in"), "{text}");
}
