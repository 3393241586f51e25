//! A flight as it was built, held against its job by file and command. The stair and its
//! measurements are invented.

use crate::common::{Stair, code};
use seatcut::diagnostics::Severity;
use seatcut::job::{AsBuilt, Fingerprint, read_built};
use seatcut::site::answers::{Fit, OnSite, Verdict, fit};
use seatcut::units::Length;
use std::fs;
use std::process::{Command, Output};

/// Seven risers over 51 3/8 in; each at most 3/8 in off the others.
const GOOD: &str = "heights = [\"7 1/4 in\", \"14 3/4 in\", \"22 in\", \"29 3/8 in\", \"36 9/16 \
    in\", \"44 in\"]\n";
/// The third tread stands 5/8 in too high.
const HIGH: &str = "heights = [\"7 1/4 in\", \"14 3/4 in\", \"22 5/8 in\", \"29 3/8 in\", \"36 \
    9/16 in\", \"44 in\"]\n";
const SHIMS: &str = "shim_most = \"1/2 in\"\n";

struct Desk(tempfile::TempDir);

impl Desk {
    /// A job with these keys in its `[built]`, if any.
    fn new(built: &str) -> Self {
        let desk = Self(tempfile::tempdir().unwrap());
        let table = if built.is_empty() { String::new() } else { format!("[built]\n{built}") };
        desk.write("job.toml", &Stair { waive: table, ..Stair::default() }.toml());
        desk
    }

    fn write(&self, name: &str, text: &str) {
        fs::write(self.0.path().join(name), text).unwrap();
    }

    fn text(&self, name: &str) -> String {
        self.0.path().join(name).display().to_string()
    }

    fn fit(&self, more: &[&str]) -> Output {
        let job = self.text("job.toml");
        let arguments = [&["fit", job.as_str()], more].concat();
        Command::new(env!("CARGO_BIN_EXE_seatcut")).args(arguments).output().unwrap()
    }
}

fn out(run: &Output) -> String {
    String::from_utf8_lossy(&run.stdout).into_owned()
}

fn err(run: &Output) -> String {
    String::from_utf8_lossy(&run.stderr).into_owned()
}

fn built(keys: &str) -> AsBuilt {
    read_built("fit.toml", &format!("[built]\n{keys}")).unwrap_or_else(|e| panic!("{e}"))
}

fn held(keys: &str) -> Fit {
    fit(&OnSite::of(&Stair::default().job()).unwrap(), &built(keys))
        .unwrap_or_else(|e| panic!("{e}"))
}

fn json(run: &Output) -> serde_json::Value {
    serde_json::from_str(&out(run)).unwrap()
}

/// Largest less smallest riser of a list in mm.
fn spread(risers: &serde_json::Value) -> f64 {
    let risers: Vec<f64> = risers.as_array().unwrap().iter().map(|r| r.as_f64().unwrap()).collect();
    risers.iter().copied().fold(f64::MIN, f64::max)
        - risers.iter().copied().fold(f64::MAX, f64::min)
}

#[test]
fn a_flight_within_its_limits_keeps_them() {
    let run = Desk::new(GOOD).fit(&[]);
    assert_eq!(code(&run), 0, "{}", err(&run));
    assert!(out(&run).contains("every riser keeps the rule set's limits"), "{}", out(&run));
    assert!(!out(&run).contains("Schedule:"));
}

#[test]
fn a_riser_that_fails_gets_a_schedule_that_keeps_every_limit() {
    let run = Desk::new(&format!("{HIGH}{SHIMS}")).fit(&["--json"]);
    assert_eq!(code(&run), 0, "{}", err(&run));
    let report = json(&run);
    assert_eq!(
        (&report["schema"], &report["verdict"]),
        (&"seatcut.fit/1".into(), &"schedule".into())
    );
    assert!(spread(&report["risers_mm"]) > 0.375 * 25.4);
    let schedule = &report["schedule"];
    assert!(spread(&schedule["risers_mm"]) <= 0.375 * 25.4 + 1e-6);
    let moves: Vec<f64> =
        schedule["moves_mm"].as_array().unwrap().iter().map(|m| m.as_f64().unwrap()).collect();
    assert!(moves.iter().all(|by| (-1e-9..=12.7 + 1e-9).contains(by)), "{moves:?}");
    // Both floors stay: the risers still sum to the rise.
    let sum: f64 =
        schedule["risers_mm"].as_array().unwrap().iter().map(|r| r.as_f64().unwrap()).sum();
    assert!((sum - 51.375 * 25.4).abs() < 1e-6);
    assert!(out(&Desk::new(&format!("{HIGH}{SHIMS}")).fit(&[])).contains("shim "));
}

#[test]
fn a_schedule_on_the_tape_keeps_every_limit_too_where_one_exists() {
    let report = json(&Desk::new(&format!("{HIGH}{SHIMS}")).fit(&["--json"]));
    let rounded = &report["schedule"]["rounded"];
    assert!(spread(&rounded["risers_mm"]) <= 0.375 * 25.4 + 1e-6, "{rounded}");
    assert_eq!(rounded["parts_of_an_inch"], 16);
    let sixteenths: Vec<f64> = rounded["moves_mm"]
        .as_array()
        .unwrap()
        .iter()
        .map(|by| by.as_f64().unwrap() / 25.4 * 16.0)
        .collect();
    assert!(sixteenths.iter().all(|by| (by - by.round()).abs() < 1e-9), "{sixteenths:?}");
    let total = rounded["total_mm"].as_f64().unwrap() / 25.4;
    assert!((total - least_by_trying_all()).abs() < 1e-9, "{total}");
}

/// The least total in sixteenths for [`HIGH`] with [`SHIMS`], by trying every way.
fn least_by_trying_all() -> f64 {
    let tops = [116, 236, 362, 470, 585, 704];
    let upper = 822;
    let mut least = i32::MAX;
    let mut moves = [0; 6];
    try_all(&tops, upper, 0, &mut moves, &mut least);
    f64::from(least) / 16.0
}

fn try_all(tops: &[i32; 6], upper: i32, k: usize, moves: &mut [i32; 6], least: &mut i32) {
    let surfaces = |moves: &[i32; 6]| -> Vec<i32> {
        std::iter::once(0)
            .chain((0..k).map(|i| tops[i] + moves[i]))
            .chain((k == 6).then_some(upper))
            .collect()
    };
    let risers: Vec<i32> = surfaces(moves).windows(2).map(|pair| pair[1] - pair[0]).collect();
    let (low, high) =
        (risers.iter().min().copied().unwrap_or(0), risers.iter().max().copied().unwrap_or(0));
    // Sixteenths: 3/8 in of spread, 7 3/4 in at most.
    if high - low > 6 || high > 124 {
        return;
    }
    if k == 6 {
        *least = (*least).min(moves.iter().sum());
        return;
    }
    for by in 0..=8 {
        moves[k] = by;
        try_all(tops, upper, k + 1, moves, least);
    }
}

#[test]
fn a_schedule_makes_of_a_refusal_a_warning() {
    let found = held(&format!("{HIGH}{SHIMS}"));
    assert_eq!(found.verdict, Verdict::Schedule);
    let spread = found.findings.iter().find(|f| f.code.name() == "built-spread").unwrap();
    assert_eq!(spread.severity, Severity::Warning);
    let run = Desk::new(&format!("{HIGH}{SHIMS}")).fit(&["--deny-warnings"]);
    assert_eq!(code(&run), 5);
}

#[test]
fn where_no_schedule_does_the_least_spread_is_said_and_the_exit_is_4() {
    let run = Desk::new(HIGH).fit(&[]);
    assert_eq!(code(&run), 4);
    assert!(
        out(&run).contains("None does.") && out(&run).contains("least spread"),
        "{}",
        out(&run)
    );
    let report = json(&Desk::new(HIGH).fit(&["--json"]));
    assert_eq!(report["verdict"], "none-does");
    // Without room nothing moves: 7 7/8 less 6 3/4.
    assert!(
        (report["out_of_reach"]["least_spread_mm"].as_f64().unwrap() - 1.125 * 25.4).abs() < 1e-6
    );
}

#[test]
fn one_tread_may_have_a_room_of_its_own() {
    let nothing_under_four = format!("{HIGH}{SHIMS}room = [{{ tread = 4, shim = \"0 in\" }}]\n");
    assert_eq!(held(&nothing_under_four).verdict, Verdict::NoneDoes);
    let trimmed = format!("{HIGH}room = [{{ tread = 3, trim = \"5/8 in\" }}]\n");
    assert_eq!(held(&trimmed).verdict, Verdict::Schedule);
}

/// Five risers over 37 in whose second tread stands too high.
fn trimmed(board: &str, second: &str, shims: &str) -> Fit {
    let stair = Stair {
        rise: "total = \"37 in\"\nrisers = 5".into(),
        board: format!("width = \"{board}\"\nthickness = \"1 1/2 in\""),
        ..Stair::default()
    };
    let heights = format!(
        "heights = [\"7.4 in\", \"{second}\", \"22.2 in\", \"29.6 in\"]\ntrim_most = \"1 in\"\n"
    );
    fit(&OnSite::of(&stair.job()).unwrap(), &built(&format!("{heights}{shims}"))).unwrap()
}

#[test]
fn a_trim_is_held_against_the_throat_that_it_leaves() {
    let weight = |fit: &Fit, code: &str| {
        fit.findings.iter().find(|f| f.code.name() == code).map(|f| f.severity)
    };
    let thin = trimmed("11 1/8 in", "15.6 in", "");
    assert_eq!(weight(&thin, "trim-throat"), Some(Severity::Refusal));
    let left = thin.findings.iter().find(|f| f.code.name() == "trim-throat").unwrap();
    let (left, _) = left.value("measured").unwrap().measured().unwrap();
    // The tread cut goes down by the trim, so the throat by the trim's share across the pitch.
    let (job, flight) = (Stair::default().job(), 37.0 / 5.0);
    let run = job.tread.cut.as_inches();
    let cos = run / run.hypot(flight);
    let throat = 11.125 - flight * cos;
    assert!(left / 25.4 < throat - 0.6 * cos && left / 25.4 > throat - 0.66 * cos, "{left}");
    let deep = trimmed("14 in", "15.6 in", "");
    assert_eq!(weight(&deep, "trim-throat"), None);
    assert_eq!(weight(&deep, "trim-throat-kept"), Some(Severity::Advice));
}

#[test]
fn where_shims_keep_the_throat_no_tread_is_trimmed_below_it() {
    let alone = trimmed("11 1/8 in", "15.2 in", "");
    assert!(alone.findings.iter().any(|f| f.code.name() == "trim-throat"), "{:?}", alone.findings);
    let fit = trimmed("11 1/8 in", "15.2 in", "shim_most = \"1 in\"\n");
    assert_eq!(fit.verdict, Verdict::Schedule);
    assert!(!fit.findings.iter().any(|f| f.code.name() == "trim-throat"), "{:?}", fit.findings);
}

#[test]
fn a_trim_under_the_first_tread_is_held_against_the_wood_over_the_plate() {
    let told = |height: &str| {
        let stair = Stair {
            rise: "total = \"37 in\"\nrisers = 5".into(),
            tie_plate: format!("width = \"3 1/2 in\"\nheight = \"{height}\""),
            ..Stair::default()
        };
        let keys =
            "heights = [\"8.2 in\", \"14.8 in\", \"22.2 in\", \"29.6 in\"]\ntrim_most = \"1 in\"\n";
        let fit = fit(&OnSite::of(&stair.job()).unwrap(), &built(keys)).unwrap();
        fit.findings.iter().any(|f| f.code.name() == "trim-at-notch")
    };
    // The first riser cut is 6.4 in, and 5/8 in comes off.
    assert!(told("5 in") && !told("4 1/2 in"));
}

/// The same on ground that falls 1 in 4: the heel of the notch stands higher under the tread.
#[test]
fn a_trim_over_a_plate_on_a_seat_along_the_ground_is_held_against_its_highest_corner() {
    let told = |seat: &str| {
        let stair = Stair {
            rise: format!(
                "risers = 5\n[ground]\nat_head = \"26.5625 in\"\nslope = \"1 in 4\"\nseat \
                    = \"{seat}\""
            ),
            tie_plate: "width = \"3 1/2 in\"\nheight = \"4 in\"".into(),
            ..Stair::default()
        };
        let keys =
            "heights = [\"8.2 in\", \"14.8 in\", \"22.2 in\", \"29.6 in\"]\ntrim_most = \"1 in\"\n";
        let fit = fit(&OnSite::of(&stair.job()).unwrap(), &built(keys)).unwrap();
        fit.findings.iter().any(|f| f.code.name() == "trim-at-notch")
    };
    // Level 6.4 - 4 - 5/8 in are left; the corner 3 1/2 in along the ground lies over 0.7 in
    // higher.
    assert!(told("follow") && !told("level"));
}

#[test]
fn neighbours_are_held_against_each_other_where_that_is_asked() {
    assert_eq!(held(GOOD).verdict, Verdict::Keeps);
    let found = held(&format!("{GOOD}neighbours_most = \"3/16 in\"\n{SHIMS}"));
    assert!(found.findings.iter().any(|f| f.code.name() == "built-step"));
}

#[test]
fn rule_sets_that_ask_for_uniform_risers_say_so_of_a_flight_as_built() {
    let of = |rules: &str, total: &str, heights: &str| {
        let rise = format!("total = \"{total}\"\nrisers = 5");
        let stair = Stair { rules: rules.into(), rise, ..Stair::default() };
        let found = fit(&OnSite::of(&stair.job()).unwrap(), &built(heights)).unwrap();
        let codes: Vec<&str> = found.findings.iter().map(|f| f.code.name()).collect();
        (found.verdict, codes.contains(&"built-spread"), codes.contains(&"built-step"))
    };
    // Risers of 4 1/4, 7, 7, 6 3/4 and 5 in.
    let uneven = "heights = [\"4 1/4 in\", \"11 1/4 in\", \"18 1/4 in\", \"25 in\"]\n";
    for rules in ["us-ibc", "us-ibc-dwelling", "us-osha", "us-osha-site", "us-irc-2018"] {
        assert_eq!(of(rules, "30 in", uneven), (Verdict::NoneDoes, true, false), "{rules}");
    }
    assert_eq!(of("us-access", "30 in", uneven), (Verdict::NoneDoes, true, true));
    for rules in ["uk-private", "ie-private", "nz-private"] {
        assert_eq!(of(rules, "30 in", uneven), (Verdict::NoneDoes, true, false), "{rules}");
    }
    // 175, 184, 175, 184 and 182 mm: inside 10 mm in all, and 9 mm between neighbours.
    let steps = "heights = [\"175 mm\", \"359 mm\", \"534 mm\", \"718 mm\"]\n";
    for rules in ["ca-private", "ca-on-private", "au-private", "de-private"] {
        assert_eq!(of(rules, "900 mm", steps), (Verdict::NoneDoes, false, true), "{rules}");
    }
}

#[test]
fn what_is_asked_of_neighbours_only_ever_tightens_what_the_rule_set_asks() {
    let rise = "total = \"900 mm\"\nrisers = 5".to_string();
    let stair = Stair { rules: "ca-private".into(), rise, ..Stair::default() };
    let site = OnSite::of(&stair.job()).unwrap();
    let limit = |most: &str| {
        let keys = format!(
            "heights = [\"175 mm\", \"359 mm\", \"534 mm\", \"718 mm\"]\nneighbours_most \
                = \"{most}\"\n"
        );
        let found = fit(&site, &built(&keys)).unwrap().findings;
        let step = found.into_iter().find(|f| f.code.name() == "built-step").unwrap();
        step.value("limit").and_then(seatcut::diagnostics::Value::measured).unwrap().0
    };
    assert!((limit("20 mm") - 5.0).abs() < 1e-9);
    assert!((limit("3 mm") - 3.0).abs() < 1e-9);
}

#[test]
fn finish_to_come_moves_the_floors_not_the_treads() {
    let found = held(&format!("{GOOD}finish_to_come = \"1/4 in\"\n"));
    assert!(found.risers[0].is_within(Length::mm(1e-9), Length::inches(7.0)));
    assert!(found.risers[1].is_within(Length::mm(1e-9), Length::inches(7.5)));
}

#[test]
fn measurements_may_stand_in_a_file_of_their_own() {
    let desk = Desk::new("");
    let run = desk.fit(&[]);
    assert_eq!(code(&run), 3);
    assert!(err(&run).contains("no table [built]"), "{}", err(&run));
    desk.write("fit.toml", &format!("[built]\n{HIGH}{SHIMS}"));
    let run = desk.fit(&[&desk.text("fit.toml")]);
    assert_eq!(code(&run), 0, "{}", err(&run));
    desk.write("bare.toml", "units = \"mm\"\n[built]\nheights = [184, 375, 559, 746, 929, 1118]\n");
    assert_eq!(code(&desk.fit(&[&desk.text("bare.toml")])), 0);
}

#[test]
fn a_worn_pattern_says_what_it_would_make_the_part_off_by() {
    let pattern = "[built.pattern]\nalong = { marked = \"60 in\", measured = \"59 31/32 in\" }\n\
                   across = { marked = \"8 in\", measured = \"8 in\" }\n";
    let run = Desk::new(pattern).fit(&["--json"]);
    assert_eq!(code(&run), 0, "{}", err(&run));
    let report = json(&run);
    assert_eq!(report["verdict"], "not-measured");
    let worn = &report["pattern"];
    let share = -(1.0 / 32.0) / 60.0;
    assert!((worn["along_permille"].as_f64().unwrap() - share * 1000.0).abs() < 1e-9);
    assert!(
        (worn["unit_rise_off_mm"].as_f64().unwrap() - share * 51.375 / 7.0 * 25.4).abs() < 1e-9
    );
    assert!(worn["throat_off_mm"].as_f64().unwrap().abs() < 1e-12);
    assert_eq!(report["findings"][0]["code"], "pattern-wear");
}

#[test]
fn as_built_measurements_do_not_change_the_fingerprint() {
    let plain = Stair::default().job();
    let with = Stair { waive: format!("[built]\n{GOOD}"), ..Stair::default() }.job();
    assert!(with.around.built.is_some());
    assert_eq!(Fingerprint::of(&plain), Fingerprint::of(&with));
}

#[test]
fn measurements_that_mean_nothing_are_refused_with_exit_3() {
    let cases = [
        ("heights = [\"7 1/4 in\", \"7 in\"]\n", "built.heights"),
        ("heights = [\"7 1/4 in\", \"14 1/2 in\"]\n", "2 heights"),
        ("shim_most = \"1/2 in\"\n", "nothing was measured"),
        ("heights = [\"7 1/4 in\"]\nroom = [{ tread = 2 }]\n", "built.room.tread"),
        (
            "[built.pattern]\nalong = { marked = \"60 in\", measured = \"50 in\" }\nacross = { \
            marked = \"8 in\", measured = \"8 in\" }\n",
            "a check length does not measure like itself",
        ),
        ("heigths = []\n", "heights = []"),
    ];
    for (keys, expected) in cases {
        let run = Desk::new(keys).fit(&[]);
        assert_eq!(code(&run), 3, "{keys}");
        let said = err(&run);
        assert!(
            said.contains(expected) && said.contains("job.toml") && said.contains("to do:"),
            "{keys}: {said}"
        );
    }
    let low = GOOD.replace("\"44 in\"", "\"52 in\"");
    let run = Desk::new(&low).fit(&[]);
    assert_eq!(code(&run), 3);
    assert!(err(&run).contains("the upper floor is not above tread 6"), "{}", err(&run));
}

#[test]
fn the_upper_floor_stands_higher_by_what_is_to_come_below_and_lower_by_what_is_to_come_above() {
    let heights = "heights = [\"7 in\", \"14 in\", \"21 in\", \"28 in\", \"35 in\", \"42 in\"]\n";
    // The rise is 51 3/8 in from finish to finish: of seven risers the last is what is left.
    let last = |more: &str| held(&format!("{heights}{more}")).risers[6].as_inches();
    let first = |more: &str| held(&format!("{heights}{more}")).risers[0].as_inches();
    let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-9, "{a} {b}");
    near(last(""), 9.375);
    let below = "finish_to_come = \"1/2 in\"\n";
    near(last(below), 9.875);
    near(first(below), 6.5);
    near(last("upper_finish_to_come = \"3/4 in\"\n"), 9.375);
    // As measured it is what was measured.
    near(last(&format!("{below}upper = \"51 3/8 in\"\n")), 9.375);
}

#[test]
fn a_floor_that_the_job_has_to_come_is_asked_for_and_a_housed_flight_has_no_shims() {
    let with = |stair: Stair, keys: &str| {
        fit(&OnSite::of(&stair.job()).unwrap(), &built(keys)).unwrap_or_else(|e| panic!("{e}"))
    };
    let told = |found: &Fit, code: &str| found.findings.iter().any(|f| f.code.name() == code);
    let rise = "total = \"51 3/8 in\"\nfinish_to_come = \"1/2 in\"";
    let to_come = || Stair { rise: rise.into(), ..Stair::default() };
    assert!(told(&with(to_come(), GOOD), "built-floor-taken"));
    let said = with(to_come(), &format!("{GOOD}finish_to_come = \"1/2 in\"\n"));
    assert!(!told(&said, "built-floor-taken"));
    let housed = || Stair {
        board: "width = \"14 in\"\nthickness = \"1 1/4 in\"\n[housed]\nhand = \"left\"\ndepth = \
            \"1/2 in\"\nwedge = \"3/8 in\""
            .into(),
        cut: "makes = \"stringers\"\nmachine = \"router-table\"\nmaterial = \"plywood-18\"".into(),
        ..Stair::default()
    };
    let out = with(housed(), &format!("{HIGH}{SHIMS}"));
    assert!(out.remedy.is_none() && told(&out, "built-housed"), "{:?}", out.findings);
    assert_eq!(out.verdict, Verdict::NoneDoes);
    let kept = with(housed(), GOOD);
    assert!(kept.verdict == Verdict::Keeps && !told(&kept, "built-housed"));
}
