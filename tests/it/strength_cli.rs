//! The stringer as a beam, by job file and command. All stairs are invented.

use crate::common::{Stair, seatcut};
use seatcut::diagnostics::Severity;
use seatcut::job::{Fingerprint, Job};
use seatcut::pipeline::workup::Workup;
use seatcut::site::beam::{CAUTION, LoadCase, Quantity};
use std::fs;
use std::process::Output;

fn out(run: &Output) -> String {
    String::from_utf8_lossy(&run.stdout).into_owned()
}

const BOARD: &str = "width = \"11 1/4 in\"\nthickness = \"1 1/2 in\"";
const WIDTH: &str = "[stair]\nwidth = \"36 in\"\nmost_spacing = \"16 in\"\n";

fn loaded(wood: &str, tables: &str) -> Stair {
    Stair {
        board: format!("{BOARD}\n{wood}"),
        waive: format!("{WIDTH}{tables}"),
        ..Stair::default()
    }
}

fn pine(tables: &str) -> Stair {
    loaded("species = \"southern-pine\"\ngrade = \"no2\"", tables)
}

fn job(stair: &Stair) -> Job {
    stair.job()
}

fn utilisation(stair: &Stair) -> f64 {
    Workup::of(&job(stair)).around.beam.expect("a beam").strength.utilisation()
}

fn refusal(stair: &Stair) -> String {
    stair
        .try_job()
        .and_then(|job| Workup::designed(&job))
        .err()
        .unwrap_or_else(|| panic!("read:\n{}", stair.toml()))
        .to_string()
}

fn json(stair: &Stair) -> serde_json::Value {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("job.toml");
    fs::write(&path, stair.toml()).unwrap();
    serde_json::from_str(&out(&seatcut(&["solve", &path.display().to_string(), "--json"]))).unwrap()
}

#[test]
fn the_beam_check_takes_the_rule_sets_live_load_and_says_so() {
    let strength = &json(&pine("[load]\n"))["strength"];
    assert_eq!(strength["live_psf"], 40.0);
    assert!(strength["live_source"].as_str().unwrap().contains("R301.5"), "{strength}");
    assert_eq!(strength["dead_psf"], 10.0);
    assert!(strength["dead_source"].as_str().unwrap().contains("no source"));
    assert_eq!(strength["caution"], CAUTION);
}

#[test]
fn the_bending_stress_in_the_report_is_that_of_a_beam_of_throat_depth() {
    let stair = pine("[load]\n");
    let report = json(&stair);
    let strength = &report["strength"];
    let inch = |value: &serde_json::Value| value.as_f64().unwrap() / 25.4;
    let (depth, breadth) =
        (inch(&strength["section_depth_mm"]), inch(&strength["section_breadth_mm"]));
    assert!((depth - inch(&report["flight"]["throat_cut_mm"])).abs() < 1e-9);
    let (span, width) = (inch(&strength["bay_mm"]), inch(&strength["load_width_mm"]));
    // w L^2 / 8 over b d^2 / 6 with 50 psf: textbook statics, computed here anew.
    let stress = 50.0 / 144.0 * width * span * span / 8.0 / (breadth * depth * depth / 6.0);
    let checks = strength["checks"].as_array().unwrap();
    let bending = checks
        .iter()
        .find(|check| check["quantity"] == "bending" && check["under"] == "the spread load")
        .unwrap();
    assert!((bending["demand"].as_f64().unwrap() / stress - 1.0).abs() < 1e-9, "{bending}");
    let share = bending["demand"].as_f64().unwrap() / bending["capacity"].as_f64().unwrap();
    assert!((bending["utilisation"].as_f64().unwrap() - share).abs() < 1e-12);
}

#[test]
fn every_design_value_is_its_reference_times_its_factors() {
    let report = json(&pine("[load]\n"));
    let values = report["strength"]["design_values"].as_array().unwrap();
    assert_eq!(values.len(), 4);
    for value in values {
        let factors = value["factors"].as_array().unwrap();
        let product: f64 = factors.iter().map(|factor| factor["value"].as_f64().unwrap()).product();
        let expected = value["reference_psi"].as_f64().unwrap() * product;
        assert!((value["value_psi"].as_f64().unwrap() - expected).abs() < 1e-9, "{value}");
        assert!(factors.iter().all(|factor| !factor["source"].as_str().unwrap().is_empty()));
    }
}

#[test]
fn solve_prints_checks_factors_limits_remedies_and_the_caution() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("job.toml");
    fs::write(&path, pine("[load]\n").toml()).unwrap();
    // Columns are as wide as they must be: what counts is what stands beside each other.
    let text = out(&seatcut(&["solve", &path.display().to_string()]));
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "Strength, a first look",
        "southern-pine no2",
        "bending",
        "CD 1 load duration",
        "Cr ",
        "AWC DCA 6",
        "a support under the middle",
        "Sources",
        CAUTION,
    ] {
        assert!(text.contains(words), "no {words} in:\n{text}");
    }
}

#[test]
fn a_heavier_load_a_wet_place_and_a_support_move_the_utilisation_as_they_must() {
    let usual = utilisation(&pine("[load]\n"));
    let heavy = utilisation(&pine("[load]\nlive = \"400 psf\"\n"));
    assert!(heavy > usual);
    assert!(utilisation(&pine("[load]\nmid_support = true\n")) < usual);
    assert!(utilisation(&pine("[load]\nclear_span = \"48 in\"\n")) < usual);
    let incised = "species = \"southern-pine\"\ngrade = \"no2\"\nwet = true\nincised = true";
    assert!(utilisation(&loaded(incised, "[load]\n")) > usual);
    // 1 psf is 47.88025898 Pa: pound-force and foot by their definitions.
    let metric = utilisation(&pine("[load]\nlive = \"19.152103592 kPa\"\n"));
    assert!((metric / heavy - 1.0).abs() < 1e-8);
}

#[test]
fn doubled_outsides_carry_with_two_plies() {
    let doubled = pine("outsides = \"doubled\"\n[load]\n");
    let beam = Workup::of(&job(&doubled)).around.beam.unwrap();
    let layout = Workup::of(&job(&doubled)).around.stringers.unwrap();
    assert_eq!(beam.input.stringers.outer_plies, 2);
    assert_eq!(beam.input.stringers.count + 2, layout.count());
}

#[test]
fn beyond_its_figures_is_a_warning_and_beyond_one_and_a_half_times_a_refusal_that_can_be_waived() {
    let at = |span: &str, waive: &str| {
        let tables = format!("[load]\nlive = \"100 psf\"\nclear_span = \"{span}\"\n{waive}");
        Workup::of(&job(&pine(&tables)))
    };
    let weight = |workup: &Workup, code: &str| {
        let of = |f: &&seatcut::diagnostics::Finding| f.code.name() == code;
        let found = workup.findings.iter().filter(of).map(|f| f.severity).max();
        found.unwrap_or_else(|| panic!("no {code}: {:?}", workup.findings))
    };
    let far = at("14 ft", "");
    for code in ["stringer-overstressed", "stringer-deflects"] {
        assert_eq!(weight(&far, code), Severity::Refusal);
    }
    assert!(far.refused() && far.planned.is_none(), "nothing is made of it");
    let waive = "[[waive]]\nrule = \"CODE\"\nreason = \"invented\"\n";
    let both =
        ["stringer-overstressed", "stringer-deflects"].map(|code| waive.replace("CODE", code));
    assert!(!at("14 ft", &both.concat()).refused());
    let near = at("6 ft 6 in", "");
    assert_eq!(weight(&near, "stringer-overstressed"), Severity::Warning);
    assert!(!near.refused());
    let strength = near.around.beam.unwrap().strength;
    assert!(strength.utilisation() > 1.0 && strength.utilisation() <= 1.5);
}

#[test]
fn treated_or_outdoor_wood_is_never_figured_dry_in_silence() {
    let of = |stair: &Stair| {
        let workup = Workup::of(&job(stair));
        let told = workup.findings.iter().any(|f| f.code.name() == "service-not-said");
        let factor = workup.around.beam.unwrap().strength.design.shear.product();
        (told, factor)
    };
    let cut = Stair::default().cut;
    let treated = |wood: &str| Stair {
        cut: "makes = \"stringers\"\nmachine = \"router-table-large\"\n\
              material = \"board-2x12-treated\"\ncorners = \"fillet\""
            .into(),
        ..loaded(&format!("species = \"hem-fir\"\ngrade = \"no2\"\n{wood}"), "[load]\n")
    };
    assert_eq!(of(&treated("")), (true, 0.97 * 0.8));
    assert_eq!(of(&treated("wet = false\nincised = false")), (false, 1.0));
    assert_eq!(of(&treated("incised = false")), (true, 0.97));
    let outdoors = |wood: &str| Stair {
        cut: cut.clone(),
        rise: "aim = \"7 1/4 in\"".into(),
        ..loaded(
            &format!("species = \"hem-fir\"\ngrade = \"no2\"\n{wood}"),
            "[load]\n[ground]\nat_head = \"39 in\"\nslope = \"1 in 14\"\n",
        )
    };
    assert_eq!(of(&outdoors("")), (true, 0.97 * 0.8));
    assert_eq!(of(&outdoors("wet = true\nincised = false")), (false, 0.97));
    assert_eq!(of(&pine("[load]\n")), (false, 1.0));
}

#[test]
fn a_stringer_held_along_its_length_has_no_span_and_no_figures() {
    let of = |held: &str| {
        let tables =
            format!("held = \"{held}\"\n[load]\nlive = \"400 psf\"\nclear_span = \"14 ft\"\n");
        let workup = Workup::of(&job(&pine(&tables)));
        let told = workup.findings.iter().any(|f| f.code.name() == "beam-held-along");
        (told, workup.around.beam.is_some())
    };
    assert_eq!(of("along"), (true, false));
    assert_eq!(of("at-ends"), (false, true));
}

#[test]
fn a_plate_let_in_at_the_toe_does_not_warn_and_one_behind_wood_that_bears_does() {
    let told = |set_back: &str| {
        let tie = "width = \"3 1/2 in\"\nheight = \"1 1/2 in\"\nclearance = \"1/16 in\"\n";
        let stair = Stair { tie_plate: format!("{tie}{set_back}"), ..pine("[load]\n") };
        let found = Workup::of(&job(&stair)).findings;
        found.iter().filter(|f| f.code.name().starts_with("foot-notch")).count()
    };
    assert_eq!(told(""), 0);
    assert!(told("set_back = \"2 in\"") > 0);
}

#[test]
fn a_ledger_at_the_head_is_held_against_the_shear_there() {
    let of = |joint: &str| {
        let head =
            format!("meets = \"one-down\"\nfinish = \"1 in\"\nrim_depth = \"14 in\"\n{joint}");
        let strength = Workup::of(&job(&Stair { head, ..pine("[load]\n") })).around.beam.unwrap();
        let head = strength.input.head.unwrap();
        let found = strength.strength.checks.iter().find(|c| c.quantity == Quantity::HeadShear);
        (head, found.unwrap().utilisation())
    };
    let (plain, unnotched) = of("");
    let (ledger, notched) =
        of("joint = { with = \"ledger-notch\", width = \"1 1/2 in\", height = \"3 1/2 in\" }");
    let inch = |length: seatcut::units::Length| length.as_inches();
    assert!((inch(plain.depth) - inch(ledger.depth)).abs() < 1e-9);
    assert!((inch(ledger.depth) - inch(ledger.held) - 3.5).abs() < 1e-9);
    let ratio = (inch(ledger.held) / inch(ledger.depth)).powi(3)
        / (inch(plain.held) / inch(plain.depth)).powi(3);
    assert!((unnotched / notched - ratio).abs() < 1e-9, "{unnotched} {notched}");
}

#[test]
fn a_workplace_stair_bears_five_times_its_load_and_a_thousand_pounds_at_any_point() {
    let stair = |live: &str| Stair { rules: "us-osha".into(), ..pine(&format!("[load]\n{live}")) };
    let beam = Workup::of(&job(&stair("live = \"20 psf\"\n"))).around.beam.unwrap();
    assert!((beam.input.loads.times - 5.0).abs() < 1e-12);
    assert_eq!(beam.input.loads.point_on_stringer(), Some(1000.0));
    assert!(beam.input.loads.source.contains("1910.25(b)(6)"));
    assert_eq!(beam.strength.governing().unwrap().case, LoadCase::Point);
    assert!(refusal(&stair("")).contains("names no live load"));
}

#[test]
fn the_bench_sheet_carries_the_summary_and_the_caution() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("job.toml");
    fs::write(&path, pine("[load]\n").toml()).unwrap();
    let made = dir.path().join("out").display().to_string();
    let run = seatcut(&["make", &path.display().to_string(), "-o", &made]);
    assert_eq!(run.status.code(), Some(0), "{}", String::from_utf8_lossy(&run.stderr));
    let page = fs::read_to_string(format!("{made}/bench.html")).unwrap();
    assert!(page.contains("Strength, a first look") && page.contains("Advice, not an approval"));
    assert!(page.contains("bending, the spread load"));
}

#[test]
fn what_the_beam_check_needs_is_asked_for_with_its_place() {
    let no_width = Stair { waive: "[load]\n".into(), ..pine("") };
    let no_live = Stair { rules: "us-osha".into(), ..pine("[load]\n") };
    let thin = Stair { board: pine("").board.replace("1 1/2 in", "3/4 in"), ..pine("[load]\n") };
    let cases = [
        (no_width, "[load] needs to know how the stringers stand"),
        (
            Stair { waive: format!("{}[load]\n", WIDTH.replace("16 in", "0 in")), ..pine("") },
            "stair.most_spacing",
        ),
        (loaded("grade = \"no2\"", "[load]\n"), "board.species is not given"),
        (loaded("species = \"southern-pine\"", "[load]\n"), "board.grade is not given"),
        (
            loaded("species = \"southern-pin\"\ngrade = \"no2\"", "[load]\n"),
            "species = \"southern-pine\"",
        ),
        (
            loaded("species = \"southern-pine\"\ngrade = \"best\"", "[load]\n"),
            "board.grade: no design values",
        ),
        (pine("[load]\nlive = \"heavy\"\n"), "load.live is no load"),
        (pine("[load]\nclear_span = \"0 in\"\n"), "load.clear_span"),
        (no_live, "names no live load"),
        (thin, "the stringer's thickness"),
    ];
    for (stair, expected) in cases {
        let said = refusal(&stair);
        assert!(said.contains(expected), "{expected}: {said}");
        assert!(said.contains("job.toml, line ") && said.contains("to do:"), "{said}");
    }
}

#[test]
fn loads_are_part_of_the_fingerprint() {
    let of = |tables: &str| Fingerprint::of(&job(&pine(tables)));
    assert_ne!(of("[load]\n"), of("[load]\nlive = \"60 psf\"\n"));
    assert_eq!(of("[load]\n"), of("# a remark moves every line\n[load]\n"));
}
