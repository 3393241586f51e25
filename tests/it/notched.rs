//! A seat along the ground and a notched head as they are cut: corners by hand, and programs that
//! prove it.

use std::fs;
use std::process::{Command, Output};

use crate::common::{Stair, profile_with};
use seatcut::diagnostics::{Finding, Severity};
use seatcut::geometry::Point;
use seatcut::pipeline::workup::Workup;
use seatcut::stair::outline::Role;

const IN: f64 = 25.4;
const PRACTICED: f64 = 1e-9;

fn stair(rise: &str, head: &str, plate: &str) -> Stair {
    Stair {
        rise: rise.into(),
        head: format!("meets = \"one-down\"\nfinish = \"1 in\"\nrim_depth = \"14 in\"\n{head}"),
        tie_plate: plate.into(),
        ..Stair::default()
    }
}

const FALLING: &str =
    "risers = 7\n[ground]\nat_head = \"46 in\"\nslope = \"1 in 10\"\nseat = \"follow\"";
const LEVEL: &str = "total = \"51 3/8 in\"\nrisers = 7";
const LEDGER: &str =
    "joint = { with = \"ledger-notch\", width = \"1 1/2 in\", height = \"3 1/2 in\" }";
const OVER: &str = "joint = { with = \"top-over\", below = \"11 in\", bearing = \"3 1/2 in\" }";
const PLATE: &str = "width = \"3 1/2 in\"\nheight = \"1 1/2 in\"\nclearance = \"1/16 in\"";

fn worked(stair: &Stair) -> Workup {
    Workup::of(&stair.job())
}

fn found<'a>(workup: &'a Workup, code: &str) -> Option<&'a Finding> {
    workup.findings.iter().find(|finding| finding.code.name() == code)
}

/// The ends of the edges of a role, from and to, in inches.
fn edges(workup: &Workup, role: Role) -> Vec<(Point, Point)> {
    let contour = workup.outline.as_ref().expect("a part").contour();
    let of = contour.edges().iter().filter(|edge| edge.role == role);
    of.map(|edge| (edge.segment.from() / IN, edge.segment.to() / IN)).collect()
}

fn close(a: Point, b: (f64, f64)) {
    assert!((a - Point::new(b.0, b.1)).norm() < PRACTICED, "{a} for {b:?}");
}

/// The lower edge of the default board of 11 1/4 in under a run of 10 1/4 in, at x.
fn lower_edge(workup: &Workup, x: f64) -> f64 {
    let rise = workup.flight.unit_rise.as_inches();
    rise - 1.0 - 11.25 * rise.hypot(10.25) / 10.25 + rise / 10.25 * x
}

#[test]
fn a_seat_along_the_ground_is_cut_along_it() {
    let workup = worked(&stair(FALLING, "", ""));
    let seat = edges(&workup, Role::SeatCut);
    let [(toe, heel)] = seat[..] else { panic!("one seat cut: {seat:?}") };
    // The ground lies level with the foot at the face of the first riser, 3/4 in before its cut.
    close(toe, (0.0, 0.075));
    assert!((heel.y - (heel.x + 0.75) / 10.0).abs() < PRACTICED);
    assert!((heel.y - lower_edge(&workup, heel.x)).abs() < PRACTICED);
    let outline = workup.outline.as_ref().unwrap();
    assert!((outline.seat_length().as_inches() - (heel - toe).norm()).abs() < PRACTICED);
    let ground = workup.around.ground.as_ref().unwrap();
    assert!((ground.seat.length.as_inches() - heel.x).abs() < PRACTICED);
    assert!((ground.seat.along().as_inches() - (heel - toe).norm()).abs() < PRACTICED);
    let said = found(&workup, "seat-follows-ground").unwrap();
    assert_eq!(said.severity, Severity::Advice);
    assert!(said.sentence().contains("5.71 deg"), "{said}");
    // Nothing else of the part moves.
    let level = worked(&stair(&FALLING.replace("follow", "level"), "", ""));
    assert_eq!(edges(&workup, Role::Tread(1)), edges(&level, Role::Tread(1)));
    assert_eq!(edges(&workup, Role::HeadCut), edges(&level, Role::HeadCut));
    assert!(found(&level, "seat-follows-ground").is_none());
}

#[test]
fn a_plate_is_let_into_a_seat_along_the_ground_square_to_it() {
    for (plate, corners) in [(PLATE.to_string(), 2), (format!("{PLATE}\nset_back = \"2 in\""), 3)] {
        let workup = worked(&stair(FALLING, "", &plate));
        let notch = edges(&workup, Role::PlateNotch);
        assert_eq!(notch.len(), corners);
        let (slope, long) = (0.1, 0.1_f64.hypot(1.0));
        let over_seat = |p: Point| (p.y - 0.075 - slope * p.x) / long;
        // Its top lies plate and clearance over the seat, all along.
        let (from, to) = notch[corners - 2];
        assert!((over_seat(from) - 1.5625).abs() < PRACTICED, "{from}");
        assert!((over_seat(to) - 1.5625).abs() < PRACTICED, "{to}");
        let (top, foot) = notch[corners - 1];
        assert!(((foot - top).dot(&(to - from))).abs() < PRACTICED, "square");
        let along = |p: Point| (p.x + slope * (p.y - 0.075)) / long;
        let back = if corners == 3 { 2.0 } else { 0.0 };
        assert!((along(foot) - back - 3.5625).abs() < PRACTICED, "{foot}");
        assert!(!workup.refused());
    }
}

#[test]
fn ground_that_is_too_steep_for_a_seat_along_it_is_refused() {
    // By hand: at 1 in 2 the rise is 14 + 62.25 / 2 in, the first tread cut 5.446 in up, and the
    // ground 5.5 in up under its back. At 66 % the flight rises 0.657 in an inch.
    for (head, slope, code) in
        [("14 in", "50 %", "seat-reaches-tread"), ("6 in", "66 %", "seat-never-ends")]
    {
        let rise = FALLING.replace("1 in 10", slope).replace("46 in", head);
        let workup = worked(&stair(&rise, "", ""));
        assert!(workup.outline.is_none() && workup.refused());
        let codes: Vec<_> = workup.findings.iter().map(|found| found.code.name()).collect();
        assert!(codes.contains(&code), "{codes:?}");
    }
}

#[test]
fn a_ledger_is_let_into_the_lower_end_of_the_head() {
    let workup = worked(&stair(LEVEL, LEDGER, ""));
    let head_x = 6.0 * 10.25;
    let low = lower_edge(&workup, head_x);
    let notch = edges(&workup, Role::HeadNotch);
    let [(start, corner), (level, end)] = notch[..] else { panic!("{notch:?}") };
    close(start, (head_x - 1.5, lower_edge(&workup, head_x - 1.5)));
    close(corner, (head_x - 1.5, low + 3.5));
    close(level, (head_x - 1.5, low + 3.5));
    close(end, (head_x, low + 3.5));
    let top = workup.flight.tread_cut_y(6).as_inches();
    let outline = workup.outline.as_ref().unwrap();
    assert!((outline.head_cut_length().as_inches() - (top - low - 3.5)).abs() < PRACTICED);
    let notch = outline.head_notch().unwrap();
    assert!(!notch.over && (notch.length.as_inches() - 1.5).abs() < PRACTICED);
    assert!((notch.wood_above.as_inches() - (top - low - 3.5)).abs() < PRACTICED);
    assert!(found(&workup, "head-notched").is_some());
    // 2.97 in are left, and the rule set wants a throat of 5 in.
    let thin = found(&workup, "head-notch-thin").unwrap();
    assert!(thin.sentence().contains("5 in"), "{thin}");
    // The limit of these stringers, held at foot and head, not that of others, held along a wall.
    assert!(thin.source.contains("held at foot and head"), "{thin}");
    // It rests on its ledger: nobody says that it bears on nothing.
    assert!(found(&workup, "head-contact-small").is_none());
}

#[test]
fn a_head_over_the_framing_reaches_on_by_its_bearing() {
    let workup = worked(&stair(LEVEL, OVER, ""));
    let head_x = 6.0 * 10.25;
    let header = workup.flight.framing_top_y().as_inches() - 11.0;
    let notch = edges(&workup, Role::HeadNotch);
    let [(low, corner), (_, end)] = notch[..] else { panic!("{notch:?}") };
    close(low, (head_x, lower_edge(&workup, head_x)));
    close(corner, (head_x, header));
    close(end, (head_x + 3.5, header));
    let top = workup.flight.tread_cut_y(6).as_inches();
    let [(foot, head)] = edges(&workup, Role::HeadCut)[..] else { panic!("one head cut") };
    close(foot, (head_x + 3.5, header));
    close(head, (head_x + 3.5, top));
    let [(back, nose)] = edges(&workup, Role::Tread(6))[..] else { panic!("one top tread") };
    close(back, (head_x + 3.5, top));
    close(nose, (5.0 * 10.25, top));
    let notch = workup.outline.as_ref().unwrap().head_notch().unwrap();
    assert!(notch.over && (notch.length.as_inches() - 3.5).abs() < PRACTICED);
    let usual = worked(&stair(LEVEL, "", ""));
    let longer = workup.outline.unwrap().blank_length() - usual.outline.unwrap().blank_length();
    assert!(longer.as_inches() > 2.5, "the blank is longer by it: {longer}");
}

#[test]
fn a_head_that_cannot_be_notched_so_is_refused_and_why_is_said() {
    let ledger = |width: &str, height: &str| {
        format!("joint = {{ with = \"ledger-notch\", width = \"{width}\", height = \"{height}\" }}")
    };
    let over = |below: &str| {
        format!("joint = {{ with = \"top-over\", below = \"{below}\", bearing = \"3 in\" }}")
    };
    let short = "total = \"14 in\"\nrisers = 2";
    for (rise, joint, says) in [
        (LEVEL, ledger("1 1/2 in", "7 in"), "takes all the wood"),
        (LEVEL, ledger("60 in", "3 in"), "reaches the seat"),
        (short, ledger("1 1/2 in", "3 in"), "reaches the seat"),
        (LEVEL, over("0 in"), "takes all the wood"),
        (LEVEL, over("40 in"), "passes above the framing"),
        // The lower edge comes up by 2.15 in over the bearing of 3 in, and the notch is 1 in high.
        (LEVEL, over("12 3/4 in"), "below the lower edge of its board"),
    ] {
        let workup = worked(&stair(rise, &joint, ""));
        assert!(workup.refused() && workup.outline.is_none(), "{joint}");
        let said = found(&workup, "head-notch-impossible").unwrap_or_else(|| panic!("{joint}"));
        assert!(said.sentence().contains(says), "{said}");
    }
}

#[test]
fn the_joint_says_what_stands_between_stringer_and_rim() {
    let hanger = "joint = { with = \"hanger-board\", thickness = \"1 1/2 in\", depth = \"9 in\" }";
    let workup = worked(&stair(LEVEL, hanger, ""));
    // The riser board stands on the hanger board as on a rim: no run is short, the rim is farther.
    assert!((workup.flight.head_cut_x.as_inches() - 6.0 * 10.25).abs() < PRACTICED);
    assert!((workup.job.head.spacer.as_inches() - 1.5).abs() < PRACTICED);
    assert!(
        workup.flight.finished_runs.iter().all(|run| (run.as_inches() - 10.25).abs() < PRACTICED)
    );
    let same = worked(&stair(LEVEL, &format!("{hanger}\nspacer = \"38.1 mm\""), ""));
    assert!((same.flight.head_cut_x.as_inches() - 6.0 * 10.25).abs() < PRACTICED);
    for (joint, spacer) in [(hanger, "3/4 in"), (LEDGER, "3/4 in"), (OVER, "1 1/2 in")] {
        let stair = stair(LEVEL, &format!("{joint}\nspacer = \"{spacer}\""), "");
        let said = stair.try_job().unwrap_err().to_string();
        assert!(
            said.contains("contradict each other") && said.contains("job.toml, line "),
            "{said}"
        );
    }
}

fn make(stair: &Stair) -> (Output, tempfile::TempDir) {
    let dir = tempfile::tempdir().unwrap();
    for (name, text) in &stair.files {
        fs::write(dir.path().join(name), text).unwrap();
    }
    let job = dir.path().join("job.toml");
    fs::write(&job, stair.toml()).unwrap();
    let out = dir.path().join("out");
    let run = Command::new(env!("CARGO_BIN_EXE_seatcut"))
        .args(["make", job.to_str().unwrap(), "-o", out.to_str().unwrap()])
        .output()
        .unwrap();
    (run, dir)
}

/// Each part is made and proven from disk: patterns and stringers, out of sheets and boards, every
/// inside corner, with a beam.
#[test]
fn notched_heads_and_seats_along_the_ground_are_proven_however_they_are_cut() {
    let long = profile_with("material", "board-2x12", &[]);
    let ways = [
        "makes = \"pattern\"\nmachine = \"router-table\"\nmaterial = \"hardboard-6\"\ncorners \
            = \"riser\"",
        "makes = \"pattern\"\nmachine = \"router-table\"\nmaterial = \"hardboard-6\"\ncorners \
            = \"bisector\"\n\
         follow = { with = \"bushing\", outside = \"3/4 in\", bit = \"1/2 in\" }",
        "makes = \"stringers\"\nmachine = \"router-table-large\"\nmaterial \
            = \"board.toml\"\ncorners \
        = \"tread\"",
        "makes = \"stringers\"\nmachine = \"router-table\"\nmaterial = \"plywood-18\"\nquantity = \
        2\nlayers = 2\ncorners = \"fillet\"",
    ];
    let shapes = [
        stair(FALLING, "", &format!("{PLATE}\nset_back = \"2 in\"")),
        stair(FALLING, LEDGER, PLATE),
        stair(LEVEL, LEDGER, PLATE),
        stair(LEVEL, OVER, ""),
    ];
    for shape in &shapes {
        for way in ways {
            // On a board's own edges the two offcuts of such a head have no room for their tabs.
            if shape.head.contains("top-over") && way.contains("board.toml") {
                continue;
            }
            let stair = Stair {
                cut: way.into(),
                files: vec![("board.toml".into(), long.clone())],
                ..shape.clone()
            };
            let (run, dir) = make(&stair);
            let said = String::from_utf8_lossy(&run.stderr).into_owned();
            assert_eq!(run.status.code(), Some(0), "{}\n{said}", stair.toml());
            let report = fs::read_to_string(dir.path().join("out/report.json")).unwrap();
            let report: serde_json::Value = serde_json::from_str(&report).unwrap();
            for program in report["programs"].as_array().unwrap() {
                for figure in ["gouge_mm", "left_mm"] {
                    let off = program["verified"][figure].as_f64().unwrap();
                    assert!(off <= 0.0127, "{figure} {off}");
                }
            }
        }
    }
}

fn across(tables: &str, plate: &str) -> Stair {
    let stair = stair(FALLING, "", plate);
    Stair {
        rise: "risers = 7\n[ground]\nat_head = \"46 in\"\nslope = \"1 in 10\"".into(),
        waive: format!("[stair]\nwidth = \"36 in\"\nmost_spacing = \"18 in\"\n{tables}"),
        ..stair
    }
}

fn reading(offset: &str, total: &str) -> String {
    format!("[[across]]\noffset = \"{offset}\"\ntotal = \"{total}\"\n")
}

#[test]
fn a_trim_lets_the_plate_in_deeper_by_as_much() {
    let tables = reading("0 in", "46 in") + &reading("36 in", "45 3/4 in");
    let workup = worked(&across(&tables, PLATE));
    let fit = workup.around.across.as_ref().expect("solved with the ground");
    // The ground lies lower by its fall over six runs and a riser board, for every reading.
    let lower = (6.0 * 10.25 + 0.75) / 10.0;
    assert!((fit.lower_by.as_inches() - lower).abs() < PRACTICED);
    assert!((fit.greatest.as_inches() - 46.0 - lower).abs() < PRACTICED);
    // Centres 3/4, 18 and 35 1/4 in from the left: a quarter inch over 36 in.
    for (trim, centre) in fit.trims.iter().zip([0.75, 18.0, 35.25]) {
        let off = 0.25 * centre / 36.0;
        assert!((trim.trim.as_inches() - off).abs() < PRACTICED);
        assert!((trim.notch_top.unwrap().as_inches() - 1.5625 - off).abs() < PRACTICED);
    }
    assert!(found(&workup, "trim-deepens-notch").is_some());
    let bare = worked(&across(&tables, ""));
    assert!(bare.around.across.as_ref().unwrap().trims.iter().all(|trim| trim.notch_top.is_none()));
    assert!(found(&bare, "trim-deepens-notch").is_none());
}

/// A trim is plumb, and what lies square to a seat that falls 1 in 10 is longer plumb by the square
/// root of 1.01.
#[test]
fn a_plate_on_a_seat_along_the_ground_is_let_in_again_by_a_plumb_figure() {
    let tables = reading("0 in", "46 in") + &reading("36 in", "44 in");
    let mut stair = across(&tables, PLATE);
    stair.rise += "\nseat = \"follow\"";
    let workup = worked(&stair);
    let fit = workup.around.across.as_ref().expect("solved with the ground");
    for (trim, centre) in fit.trims.iter().zip([0.75, 18.0, 35.25]) {
        let off = 2.0 * centre / 36.0;
        assert!((trim.trim.as_inches() - off).abs() < PRACTICED);
        let top = 1.5625 * 1.01_f64.sqrt() + off;
        assert!((trim.notch_top.unwrap().as_inches() - top).abs() < PRACTICED);
    }
    // 1.96 in off the last one: more than the 1.57 in of its notch.
    assert!(found(&workup, "trim-takes-notch").is_some());
}

/// A flight of one tread whose seat runs along the ground to the head: its plumb cut ends there.
#[test]
fn the_joint_of_a_short_flight_ends_on_the_seat_that_is_cut() {
    let ground = FALLING.replace("risers = 7", "risers = 2").replace("46 in", "14 in");
    let workup = worked(&stair(&ground, "joint = { with = \"against-rim\" }", ""));
    let cut = workup.outline.as_ref().expect("a part").head_cut_length();
    let joint = &workup.around.head.as_ref().expect("asked").rows[0].joint;
    // One run and a riser board out, the ground stands 1.1 in over the toe of the first riser.
    let run = 10.25;
    let foot = workup.flight.tread_cut_y(1).as_inches() - cut.as_inches();
    assert!((foot - (run + 0.75) / 10.0).abs() < PRACTICED, "{foot}");
    assert!((joint.wood_above - cut).as_inches().abs() < PRACTICED);
    assert_eq!(joint.contact.map(|c| c.as_inches() <= cut.as_inches()), Some(true));
}

/// A rule set without a word on the spread lets through what the geometry has to stop.
#[test]
fn a_trim_that_takes_the_notch_the_wood_above_it_or_the_riser_is_said() {
    let rules = "kind = \"rules\"\nabout = \"invented\"\naim = \"7 in\"\n";
    let with = |less: &str, plate: &str| {
        let tables = reading("0 in", "46 in") + &reading("36 in", less);
        worked(&Stair {
            rules: "own.toml".into(),
            files: vec![("own.toml".into(), rules.into())],
            ..across(&tables, plate)
        })
    };
    let said = |workup: &Workup, code: &str| found(workup, code).map(Finding::sentence);
    // The plate's notch is 1 9/16 in high, the first riser cut 6.459 in.
    let gone = with("44 in", PLATE);
    assert!(said(&gone, "trim-takes-notch").unwrap().contains("mark it anew"));
    assert!(!gone.refused());
    assert!(said(&with("41 3/4 in", PLATE), "trim-thins-notch").is_some());
    let reached = with("40 3/4 in", PLATE);
    assert!(reached.refused() && said(&reached, "trim-reaches-tread").is_some());
    let taken = with("39 in", "");
    assert!(taken.refused() && said(&taken, "trim-takes-riser").is_some());
}

#[test]
fn the_rise_at_the_head_is_the_greatest_reading_there() {
    let tables = reading("0 in", "46 in") + &reading("36 in", "46 1/8 in");
    let error = Workup::designed(&across(&tables, "").job()).unwrap_err().to_string();
    assert!(error.contains("ground.at_head is not the greatest"), "{error}");
    assert!(error.contains("at_head = \"46.125 in\""), "{error}");
    // A rough rise is told as it was typed: 1 in of upper finish is in the readings.
    let rough = Stair { rise: "rough = \"45 in\"\nrisers = 7".into(), ..across(&tables, "") };
    let error = Workup::designed(&rough.job()).unwrap_err().to_string();
    assert!(error.contains("rise.rough is not the greatest"), "{error}");
    assert!(error.contains("rough = \"45.125 in\""), "{error}");
}
