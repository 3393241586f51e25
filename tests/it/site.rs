//! The stair where it stands, by job file and command: falling ground, a floor out of level, head
//! joints, stringers, moisture. All stairs are invented.

use crate::common::{Stair, code, seatcut};
use seatcut::diagnostics::{Finding, Severity};
use seatcut::job::{Fingerprint, Job, RiserChoice};
use seatcut::output::content::Topic;
use seatcut::pipeline::workup::Workup;
use seatcut::site::answers::{OnSite, Surroundings};
use seatcut::units::Length;
use std::fs;
use std::process::Output;

fn out(run: &Output) -> String {
    String::from_utf8_lossy(&run.stdout).into_owned()
}

fn err(run: &Output) -> String {
    String::from_utf8_lossy(&run.stderr).into_owned()
}

/// A job file in a folder of its own.
struct Desk(tempfile::TempDir);

impl Desk {
    fn with(stair: &Stair) -> Self {
        let desk = Self(tempfile::tempdir().unwrap());
        fs::write(desk.0.path().join("job.toml"), stair.toml()).unwrap();
        desk
    }

    fn text(&self, name: &str) -> String {
        self.0.path().join(name).display().to_string()
    }

    fn solve(&self, more: &[&str]) -> Output {
        seatcut(&[&["solve", &self.text("job.toml")], more].concat())
    }

    fn json(&self) -> serde_json::Value {
        serde_json::from_str(&out(&self.solve(&["--json"]))).unwrap()
    }
}

const GROUND: &str = "[ground]\nat_head = \"48 in\"\nslope = \"1 in 10\"\n";
const WIDTH: &str = "[stair]\nwidth = \"36 in\"\nmost_spacing = \"16 in\"\n";

/// A deck over a garden that falls one in ten; the count nearest to 7 in.
fn hillside(tables: &str) -> Stair {
    Stair { rise: "aim = \"7 in\"".into(), waive: format!("{GROUND}{tables}"), ..Stair::default() }
}

fn with(tables: &str) -> Stair {
    Stair { waive: tables.into(), ..Stair::default() }
}

fn across(left: &str, right: &str) -> String {
    format!(
        "{WIDTH}[[across]]\noffset = \"0 in\"\ntotal = \"{left}\"\n[[across]]\noffset = \"36 \
        in\"\ntotal = \"{right}\"\n"
    )
}

fn worked(stair: &Stair) -> (Job, Workup) {
    let workup = Workup::designed(&stair.job()).unwrap_or_else(|e| panic!("{e}"));
    (workup.job.clone(), workup)
}

fn found<'a>(findings: &'a [Finding], code: &str) -> &'a Finding {
    findings
        .iter()
        .find(|f| f.code.name() == code)
        .unwrap_or_else(|| panic!("no {code} in {findings:#?}"))
}

/// The message of a job that cannot be read or means nothing.
fn refusal(stair: &Stair) -> String {
    stair
        .try_job()
        .and_then(|job| Workup::designed(&job))
        .err()
        .unwrap_or_else(|| panic!("read:\n{}", stair.toml()))
        .to_string()
}

#[test]
fn a_job_on_falling_ground_is_solved_for_where_it_lands() {
    let (job, workup) = worked(&hillside(""));
    // Seven treads of 10 1/4 in to the plumb cut and a riser board: 72.5 in out, 7.25 in lower.
    assert_eq!((workup.flight.risers, job.rise.risers), (8, RiserChoice::Forced(8)));
    assert!((job.rise.total.as_inches() - 55.25).abs() < 1e-9, "{}", job.rise.total);
    let sum: Length = workup.flight.finished_risers().into_iter().sum();
    assert!(sum.is_within(Length::mm(1e-9), Length::inches(55.25)));
    let reading = found(&workup.findings, "landing-reading");
    assert!(
        reading.sentence().contains("72 1/2 in") && reading.sentence().contains("55 1/4 in"),
        "{reading}"
    );
}

#[test]
fn a_landed_job_lands_where_it_is() {
    let once = OnSite::of(&hillside("").job()).unwrap().job;
    let twice = OnSite::of(&once).unwrap().job;
    assert_eq!(Fingerprint::of(&once), Fingerprint::of(&twice));
}

#[test]
fn every_count_on_falling_ground_has_a_rise_of_its_own() {
    let (_, workup) = worked(&hillside(""));
    let rise = |risers: usize| {
        let choice = workup.choices.iter().find(|choice| choice.flight.risers == risers).unwrap();
        choice.flight.total_rise.as_inches()
    };
    assert!((rise(9) - rise(8) - 1.025).abs() < 1e-9);
    assert!((rise(8) - rise(7) - 1.025).abs() < 1e-9);
    assert_eq!(workup.choices.iter().filter(|choice| choice.reason.is_some()).count(), 1);
}

#[test]
fn the_slope_may_be_given_as_a_drop_over_a_length() {
    let given = |slope: &str| {
        let tables = format!("[ground]\nat_head = \"48 in\"\n{slope}\n");
        OnSite::of(&Stair { rise: String::new(), waive: tables, ..Stair::default() }.job())
            .unwrap()
            .job
            .rise
            .total
    };
    let ratio = given("slope = \"1 in 10\"");
    for form in [
        "slope = \"10 %\"",
        "slope = \"5.710593137499643 deg\"",
        "drop = \"6 in\"\nover = \"60 in\"",
    ] {
        assert!(given(form).is_within(Length::mm(1e-6), ratio), "{form}");
    }
}

#[test]
fn solve_prints_where_the_flight_lands_and_json_says_the_same() {
    let desk = Desk::with(&hillside(""));
    let run = desk.solve(&[]);
    assert_eq!(code(&run), 0, "{}", err(&run));
    let text = out(&run);
    for line in [
        "The ground goes down 10 percent away from the head",
        "lands, out from the head   72 1/2 in",
        "    8       72 1/2 in",
    ] {
        assert!(text.contains(line), "no {line} in:\n{text}");
    }
    let ground = &desk.json()["ground"];
    assert!((ground["landing"]["out_from_head_mm"].as_f64().unwrap() - 72.5 * 25.4).abs() < 1e-6);
    assert!((ground["landing"]["total_rise_mm"].as_f64().unwrap() - 55.25 * 25.4).abs() < 1e-6);
    assert_eq!(ground["seat"]["lies"], "level");
    assert!(ground["counts"].as_array().unwrap().len() > 3);
}

#[test]
fn make_on_falling_ground_cuts_for_the_solved_rise() {
    let desk = Desk::with(&hillside(""));
    let dir = desk.text("out");
    let run = seatcut(&["make", &desk.text("job.toml"), "-o", &dir]);
    assert_eq!(code(&run), 0, "{}", err(&run));
    let report = fs::read_to_string(format!("{dir}/report.json")).unwrap();
    let report: serde_json::Value = serde_json::from_str(&report).unwrap();
    assert!((report["flight"]["total_rise_mm"].as_f64().unwrap() - 55.25 * 25.4).abs() < 1e-6);
    let page = fs::read_to_string(format!("{dir}/bench.html")).unwrap();
    assert!(page.contains("Ground that falls") && page.contains("rise to measure there"));
    for file in ["nominal.dxf", "compensated.dxf", "program-2.nc"] {
        let run = seatcut(&["verify", &desk.text("job.toml"), &format!("{dir}/{file}")]);
        assert_eq!(code(&run), 0, "{file}: {}", err(&run));
    }
}

#[test]
fn ground_that_rises_away_is_read_and_said() {
    let tables = "[ground]\nat_head = \"48 in\"\nslope = \"up 1 in 20\"\n";
    let (job, workup) =
        worked(&Stair { rise: String::new(), waive: tables.into(), ..Stair::default() });
    assert!(job.rise.total < Length::inches(48.0));
    found(&workup.findings, "ground-rises");
}

#[test]
fn ground_as_steep_as_the_stair_is_refused_with_its_line_and_exit_4() {
    let stair = Stair {
        rise: "aim = \"7 in\"".into(),
        waive: GROUND.replace("1 in 10", "80 %"),
        ..Stair::default()
    };
    let desk = Desk::with(&stair);
    let run = desk.solve(&[]);
    assert_eq!(code(&run), 4);
    let said = err(&run);
    assert!(said.contains("no landing point") && said.contains("job.toml, line "), "{said}");
    assert!(said.contains("less than the stair's 68.29 percent"), "{said}");
}

#[test]
fn ground_that_means_nothing_is_refused_with_what_to_type() {
    let cases = [
        ("slope = \"steep\"", "ground.slope is no slope of ground"),
        ("slope = \"1 in 1\"", "less than 1 in 1"),
        ("drop = \"6 in\"\nover = \"0 in\"", "ground.over"),
        ("drop = \"9 in\"\nover = \"8 in\"", "ground.drop"),
        ("drop = \"6 in\"", "slope alone, or drop and over together"),
        (
            "slope = \"1 in 10\"\ndrop = \"6 in\"\nover = \"60 in\"",
            "slope alone, or drop and over together",
        ),
        ("slope = \"1 in 10\"\nslpoe = 3", "unknown key"),
    ];
    for (keys, expected) in cases {
        let tables = format!("[ground]\nat_head = \"48 in\"\n{keys}\n");
        let said = refusal(&Stair { rise: String::new(), waive: tables, ..Stair::default() });
        assert!(
            said.contains(expected) && said.contains("job.toml, line ") && said.contains("to do:"),
            "{keys}: {said}"
        );
    }
}

#[test]
fn the_total_rise_is_given_once() {
    let said = refusal(&with(GROUND));
    assert!(said.contains("rise.total and [ground] both set the total rise"), "{said}");
    let said = refusal(&Stair { rise: "risers = 7".into(), ..Stair::default() });
    assert!(said.contains("no `total`") && said.contains("[ground]"), "{said}");
}

#[test]
fn a_floor_out_of_level_trims_each_stringer_where_it_stands() {
    let desk = Desk::with(&with(&across("51 3/8 in", "51 1/8 in")));
    let report = desk.json();
    let trims = report["across"]["trims"].as_array().unwrap();
    assert_eq!(trims.len(), 4, "{trims:?}");
    for (trim, position) in trims.iter().zip([0.75, 12.25, 23.75, 35.25]) {
        // A quarter inch over 36 in of width.
        assert!((trim["position_mm"].as_f64().unwrap() - position * 25.4).abs() < 1e-6);
        assert!((trim["trim_mm"].as_f64().unwrap() - position / 36.0 * 0.25 * 25.4).abs() < 1e-6);
    }
    let text = out(&desk.solve(&[]));
    assert!(
        text.contains("One pattern, made for the greatest rise") && text.contains("right side"),
        "{text}"
    );
}

#[test]
fn a_floor_further_out_of_level_than_the_spread_is_refused_and_may_be_waived() {
    let tables = across("51 3/8 in", "50 3/4 in");
    let desk = Desk::with(&with(&tables));
    let run = desk.solve(&[]);
    assert_eq!(code(&run), 4);
    let said = out(&run);
    assert!(
        said.contains("REFUSED  right side: ") && said.contains("(bottom-riser-spread;"),
        "{said}"
    );
    let waived = format!(
        "{tables}[[waive]]\nrule = \"bottom-riser-spread\"\nreason = \"the landing will be \
        levelled\"\n"
    );
    let (_, workup) = worked(&with(&waived));
    assert!(found(&workup.findings, "bottom-riser-spread").waived.is_some() && !workup.refused());
}

#[test]
fn readings_across_that_mean_nothing_are_refused() {
    let three = |middle: &str| {
        across("51 3/8 in", "51 1/4 in").replacen(
            "[[across]]\noffset = \"36 in\"",
            &format!(
                "[[across]]\noffset = \"18 in\"\ntotal = \"{middle}\"\n[[across]]\noffset = \"36 \
                in\""
            ),
            1,
        )
    };
    let cases = [
        (across("51 3/8 in", "51 3/4 in"), "rise.total is not the greatest rise across the stair"),
        (
            across("51 3/8 in", "51 1/4 in").replace(WIDTH, ""),
            "[[across]] needs the width of the stair",
        ),
        (
            across("51 3/8 in", "51 1/4 in").replace("width = \"36 in\"", "width = \"0 in\""),
            "stair.width",
        ),
        (
            across("51 3/8 in", "51 1/4 in").replace("offset = \"36 in\"", "offset = \"37 in\""),
            "across.offset",
        ),
        (
            across("51 3/8 in", "51 1/4 in").replace("offset = \"36 in\"", "offset = \"0 in\""),
            "from left to right",
        ),
        (
            format!("{WIDTH}[[across]]\noffset = \"0 in\"\ntotal = \"51 3/8 in\"\n"),
            "two or three readings",
        ),
        (three("49 in"), "contradict each other"),
    ];
    for (tables, expected) in cases {
        let said = refusal(&with(&tables));
        assert!(said.contains(expected) && said.contains("job.toml, line "), "{tables}\n{said}");
    }
}

#[test]
fn a_reading_short_of_the_sides_runs_on_and_says_so() {
    let tables =
        across("51 3/8 in", "51 3/8 in").replace("offset = \"36 in\"", "offset = \"30 in\"");
    found(&worked(&with(&tables)).1.findings, "reading-beyond");
}

#[test]
fn the_stringers_stand_on_cumulative_marks_in_solve_and_on_the_bench() {
    let desk = Desk::with(&with(&WIDTH.replace("16 in", "12 in")));
    let report = desk.json();
    assert_eq!(report["stringers"]["count"], 4);
    let edges: Vec<f64> = report["stringers"]["left_edges_mm"]
        .as_array()
        .unwrap()
        .iter()
        .map(|x| x.as_f64().unwrap() / 25.4)
        .collect();
    for (edge, expected) in edges.iter().zip([0.0, 11.5, 23.0, 34.5]) {
        assert!((edge - expected).abs() < 1e-9, "{edges:?}");
    }
    let dir = desk.text("out");
    assert_eq!(code(&seatcut(&["make", &desk.text("job.toml"), "-o", &dir])), 0);
    let page = fs::read_to_string(format!("{dir}/bench.html")).unwrap();
    assert!(
        page.contains("stringer 3, its left edge") && page.contains("by width and spacing"),
        "positions"
    );
    assert!(!page.contains("The job says nothing of the stair's width"));
}

#[test]
fn a_job_that_cuts_another_number_of_stringers_is_told_so() {
    let cut = "makes = \"stringers\"\nquantity = 3\nmachine = \"router-table\"\nmaterial \
        = \"plywood-18\"";
    let (_, workup) = worked(&Stair { cut: cut.into(), ..with(WIDTH) });
    assert!(found(&workup.findings, "stringer-count").sentence().contains('4'));
    let (_, workup) = worked(&Stair { cut: cut.replace('3', "4"), ..with(WIDTH) });
    assert!(workup.findings.iter().all(|f| f.code.name() != "stringer-count"));
    // Where nobody said how wide the stair is, one alone is told, and two are nobody's business.
    let told = |quantity: &str| {
        let (_, workup) = worked(&Stair { cut: cut.replace('3', quantity), ..Stair::default() });
        workup.findings.iter().any(|f| f.code.name() == "one-stringer")
    };
    assert_eq!((told("1"), told("2")), (true, false));
}

fn headed(joint: &str) -> Stair {
    let head = format!(
        "meets = \"one-down\"\nfinish = \"1 in\"\nrim_depth = \"11 1/4 in\"\njoint = {joint}"
    );
    Stair { head, ..Stair::default() }
}

const LEDGER: &str = "{ with = \"ledger-notch\", width = \"1 1/2 in\", height = \"3 1/2 in\" }";

#[test]
fn a_head_joint_is_compared_with_the_others_and_drawn() {
    let desk = Desk::with(&headed(LEDGER));
    let joints = desk.json()["head_joints"].clone();
    let joints = joints.as_array().unwrap();
    assert_eq!(joints.len(), 5);
    assert_eq!((&joints[0]["kind"], &joints[0]["chosen"]), (&"ledger let in".into(), &true.into()));
    assert!((joints[0]["height_lost_mm"].as_f64().unwrap() - 88.9).abs() < 1e-9);
    assert!(joints[1..].iter().all(|joint| joint["chosen"] == false));
    let dir = desk.text("out");
    let made = seatcut(&["make", &desk.text("job.toml"), "-o", &dir]);
    assert_eq!(code(&made), 0, "{}", err(&made));
    let drawing = fs::read_to_string(format!("{dir}/head-joint.svg")).unwrap();
    assert!(fs::read(format!("{dir}/head-joint.pdf")).unwrap().starts_with(b"%PDF"));
    for words in ["head joint, ledger let in", "bearing 1 1/2 in", "over the framing"] {
        assert!(drawing.contains(words), "no {words}");
    }
    let plain = fs::write(desk.text("job.toml"), Stair::default().toml());
    assert!(plain.is_ok());
    assert_eq!(code(&seatcut(&["make", &desk.text("job.toml"), "-o", &dir, "--force"])), 0);
    assert!(
        !fs::exists(format!("{dir}/head-joint.svg")).unwrap(),
        "a joint that is no longer asked for is gone"
    );
}

#[test]
fn each_joint_has_its_own_keys() {
    let good = [
        "{ with = \"against-rim\" }",
        "{ with = \"hanger-board\", thickness = \"1 1/2 in\", depth = \"9 1/4 in\" }",
        "{ with = \"dropped-header\", below = \"0 in\", depth = \"9 1/4 in\" }",
        "{ with = \"top-over\", below = \"10 in\", bearing = \"3 1/2 in\" }",
    ];
    for joint in good {
        assert!(worked(&headed(joint)).1.around.head.is_some(), "{joint}");
    }
    let bad = [
        ("{ with = \"ledger-notch\" }", "keys that do not go together"),
        ("{ with = \"against-rim\", depth = \"9 in\" }", "keys that do not go together"),
        ("{ with = \"ledger-notch\", width = \"0 in\", height = \"3 in\" }", "head.joint.width"),
        ("{ with = \"glue\" }", "unknown word"),
    ];
    for (joint, expected) in bad {
        let said = refusal(&headed(joint));
        assert!(said.contains(expected) && said.contains("job.toml, line "), "{joint}: {said}");
    }
}

#[test]
fn a_ledger_lower_than_the_rim_is_told() {
    let stair = headed(LEDGER);
    let shallow = Stair { head: stair.head.replace("11 1/4 in", "9 1/4 in"), ..stair };
    assert!(
        found(&worked(&shallow).1.findings, "ledger-below-rim")
            .sentence()
            .contains("below the rim")
    );
}

#[test]
fn a_flush_head_asks_for_a_handrail_out_to_the_top_nosing() {
    let head =
        "meets = \"flush\"\nfinish = \"1 in\"\njoint = { with = \"against-rim\" }".to_string();
    let (_, workup) = worked(&Stair { head, ..Stair::default() });
    found(&workup.findings, "flush-handrail");
}

#[test]
fn moisture_moves_the_board_and_the_first_riser() {
    let stair = Stair {
        board: "width = \"11 1/4 in\"\nthickness = \"1 1/2 in\"\nspecies = \"douglas-fir-larch\""
            .into(),
        ..with("[moisture]\nnow = 14\nservice = 8\n")
    };
    let desk = Desk::with(&stair);
    let moisture = &desk.json()["moisture"];
    assert!(moisture["change_percent"].as_f64().unwrap() < 0.0);
    assert!(moisture["width_mm"].as_f64().unwrap() < 11.25 * 25.4);
    assert!(out(&desk.solve(&[])).contains("risers then differ by"));
    let quarter = with("[moisture]\nnow = 14\nservice = 8\nsawn = \"quarter\"\n");
    let quarter = Desk::with(&Stair { board: stair.board.clone(), ..quarter });
    let less = quarter.json()["moisture"]["change_percent"].as_f64().unwrap();
    assert!(
        less > moisture["change_percent"].as_f64().unwrap(),
        "a board on the quarter moves less"
    );
}

#[test]
fn moisture_without_meaning_or_without_a_species_is_refused() {
    let species = "width = \"11 1/4 in\"\nthickness = \"1 1/2 in\"\nspecies = \"balsa\"";
    let tables = "[moisture]\nnow = 14\nservice = 8\n";
    let said = refusal(&Stair { board: species.into(), ..with(tables) });
    assert!(
        said.contains("board.species")
            && said.contains("southern-pine")
            && said.contains("job.toml, line "),
        "{said}"
    );
    let said = refusal(&with(tables));
    assert!(
        said.contains("board.species is not given") && said.contains("job.toml, line "),
        "{said}"
    );
    let said = refusal(&with(&tables.replace("14", "400")));
    assert!(said.contains("moisture.now") && said.contains("job.toml, line "), "{said}");
}

#[test]
fn what_means_nothing_past_the_reading_is_a_refusal_that_no_waiver_reaches() {
    // A job built by hand: its readings contradict each other.
    let waive = "[[waive]]\nrule = \"not-worked-out\"\nreason = \"in a hurry\"\n";
    let mut job = with(&format!("{}{waive}", across("51 3/8 in", "51 1/8 in"))).job();
    job.around.across[1].total = Length::inches(60.0);
    let workup = Workup::of(&job);
    assert!(workup.refused() && workup.planned.is_none());
    assert_eq!(found(&workup.findings, "not-worked-out").severity, Severity::Refusal);
}

#[test]
fn a_job_that_asks_for_nothing_gets_no_section_and_no_key() {
    let desk = Desk::with(&Stair::default());
    let report = desk.json();
    for key in ["ground", "across", "head_joints", "stringers", "strength", "moisture"] {
        assert!(report.get(key).is_none(), "{key}");
    }
    let text = out(&desk.solve(&[]));
    for topic in [
        Topic::Ground,
        Topic::Across,
        Topic::HeadJoints,
        Topic::Positions,
        Topic::Strength,
        Topic::Moisture,
    ] {
        assert!(!text.contains(topic.heading()), "{topic:?}");
    }
    let (_, workup) = worked(&Stair::default());
    let (site, outline) = (OnSite::level(&workup.job), workup.outline.as_ref());
    let around = Surroundings::of(&site, &workup.flight, outline, workup.behind_relief).unwrap();
    assert!(around.findings.is_empty());
}

#[test]
fn a_landing_steeper_than_the_rule_set_allows_is_told_and_a_gentle_one_is_not() {
    let steep = |slope: &str| {
        let stair = Stair {
            rise: "aim = \"7 in\"".into(),
            waive: format!("[ground]\nat_head = \"48 in\"\nslope = \"{slope}\"\n"),
            ..Stair::default()
        };
        Workup::of(&stair.job())
            .findings
            .iter()
            .any(|finding| finding.code.name() == "landing-steep")
    };
    assert!(steep("1 in 10") && !steep("1 in 60"));
}

#[test]
fn stringers_cut_from_a_sheet_get_no_beam_figures_of_sawn_boards() {
    let stair = Stair {
        rules: "us-osha".into(),
        board: "width = \"11 1/4 in\"\nthickness = \"18 mm\"\nspecies = \"southern-pine\"\ngrade \
            = \"no2\""
            .into(),
        cut: "makes = \"stringers\"\nmachine = \"router-table\"\nmaterial = \"plywood-18\"".into(),
        waive: format!("{WIDTH}[load]\nlive = \"40 psf\"\n"),
        ..Stair::default()
    };
    let workup = Workup::of(&stair.job());
    assert!(workup.around.beam.is_none());
    assert!(workup.findings.iter().any(|finding| finding.code.name() == "beam-not-sawn"));
}
