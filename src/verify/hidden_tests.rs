//! Programs that do what nobody looked at: in a shape, at a height, at a place or so often that it
//! was taken for granted.

use super::findings::Findings;
use super::laser::{check_marks, check_order, check_rounds};
use super::stroke::{Stroke, Work, repeated};
use super::testing::*;
use super::*;
use crate::diagnostics::Finding;
use crate::geometry::{Bounds, Placement, Point, Segment, Vector};
use crate::job::Corners;

fn codes(findings: &[Finding]) -> Vec<&'static str> {
    let mut codes: Vec<_> = findings.iter().map(|finding| finding.code.name()).collect();
    codes.dedup();
    codes
}

fn inches(p: Point) -> String {
    format!("X{:.4} Y{:.4}", p.x / 25.4, p.y / 25.4)
}

/// With lines put in before the tool is switched off.
fn with(text: &str, lines: &str) -> String {
    assert!(text.contains("M5\n"));
    text.replacen("M5\n", &format!("{lines}M5\n"), 1)
}

/// A hair above the bottom of quarter-inch material.
const FOIL: &str = "Z-0.2492";

#[test]
fn a_tab_that_is_cut_to_a_foil_by_a_stroke_of_any_shape_is_told() {
    let job = job();
    let e = tied(expectation(&job, Corners::Fillet));
    let text = router_program(&e);
    assert_eq!(verdict(&text, &e).findings, []);
    let (at, along) = (tabs(&e)[0].at, placed_path(&e)[0].direction_at(0.0));
    let out = Vector::new(along.y, -along.x);
    let (from, to) = (at - along * 9.0, at + along * 9.0);
    let start = format!("G0 {}\nG1 Z0.0000 F20.0\n", inches(from));
    let straight = format!("{start}G1 {} {FOIL}\n", inches(to));
    let beside = format!(
        "G0 {}\nG1 {FOIL} F20.0\nG1 {}\n",
        inches(from + out * 0.015),
        inches(to + out * 0.015)
    );
    // A flat arc, its centre far out on the other side.
    let radius = 2000.0;
    let center = at - out * (radius * radius - 81.0_f64).sqrt();
    let round = format!(
        "G0 {}\nG1 {FOIL} F20.0\nG3 {} I{:.4} J{:.4}\n",
        inches(from),
        inches(to),
        (center - from).x / 25.4,
        (center - from).y / 25.4
    );
    let pecks: String = (-8..=8)
        .map(|mm| {
            let p = inches(at + along * f64::from(mm));
            format!("G0 {p}\nG1 {FOIL} F20.0\nG0 Z0.5000\n")
        })
        .collect();
    for cut in [straight, beside, round, pecks] {
        let v = verdict(&with(&text, &format!("{cut}G0 Z0.5000\n")), &e);
        assert!(codes(&v.findings).contains(&"tab-differs"), "{cut}: {:?}", codes(&v.findings));
        assert!(!v.is_this_part(), "{cut}");
    }
}

#[test]
fn wood_that_is_a_foil_holds_nothing() {
    let job = job();
    let made = tied(expectation(&job, Corners::Fillet));
    let text = router_program(&made);
    let others = Expectation { tabs: Tabs::ByRule, ..made.clone() };
    let around = placed_path(&made).iter().map(|s| s.bounds()).reduce(Bounds::joined).unwrap();
    let groove = |off: f64, deepest: &str| {
        let b = around.grown(off);
        let corners = [b.min, Point::new(b.max.x, b.min.y), b.max, Point::new(b.min.x, b.max.y)];
        let mut cut = format!("G0 {}\nG1 Z-0.1000 F20.0\n", inches(corners[0]));
        for z in ["Z-0.1000", deepest] {
            let round = corners.iter().chain([&corners[0]]);
            round.for_each(|p| cut += &format!("G1 {} {z}\n", inches(*p)));
        }
        verdict(&with(&text, &format!("{cut}G0 Z0.5000\n")), &others)
    };
    // Far enough off the tabs, and so deep that what stands below it holds the frame.
    let holds = |v: &Verdict| v.holding.as_ref().is_some_and(|holding| holding.holds_all());
    assert!(holds(&groove(14.0, "Z-0.1500")));
    assert!(!holds(&groove(14.0, FOIL)) && !groove(14.0, FOIL).is_this_part());
    // Beside the tabs nothing that is lower than they are.
    assert!(!codes(&groove(9.0, "Z-0.1500").findings).contains(&"cut-beside-tab"));
    assert!(codes(&groove(9.0, FOIL).findings).contains(&"cut-beside-tab"));
    // Tabs that are a foil themselves are none.
    let low = text.replace("Z-0.1713", FOIL);
    assert_ne!(low, text, "{text}");
    let v = verdict(&low, &others);
    assert!(!codes(&v.findings).contains(&"tab-found") && !v.is_this_part());
}

#[test]
fn a_piece_whose_tabs_are_cut_is_not_made() {
    let job = job();
    let placements = vec![home(), Placement::translation(60.0, 460.0)];
    let mut e = expectation(&job, Corners::Fillet);
    e.pieces[0].placement = Placements::Given(placements);
    let e = tied(e);
    let text = sheet_program(&e);
    assert_eq!(verdict(&text, &e).findings, []);
    let at = tabs(&e)[0].at;
    let peck = format!("G0 {}\nG1 {FOIL} F20.0\nG0 Z0.5000\n", inches(at));
    let v = verdict(&with(&text, &peck), &e);
    let said = v.findings.iter().find(|f| f.code.name() == "not-all-pieces").unwrap().sentence();
    assert!(said.contains("1 of 2") && said.contains("part 2"), "{said}");
}

#[test]
fn a_spindle_comes_to_its_speed_and_way_round_before_it_cuts() {
    let job = job();
    let e = tied(expectation(&job, Corners::Fillet));
    let text = router_program(&e);
    let router = e.machine.tool.cutter().unwrap();
    let on = format!("M3 S{}\nG4 P{}\n", router.speed_rpm, router.spin_up_s);
    assert!(text.contains(&on), "{text}");
    let with_on = |lines: &str| codes(&verdict(&text.replacen(&on, lines, 1), &e).findings);
    let speed = router.speed_rpm;
    assert!(with_on(&format!("M3 S1\nG4 P60\nS{speed}\n")).contains(&"spin-up-short"));
    assert!(with_on(&format!("M4 S{speed}\nG4 P60\nM3\n")).contains(&"spin-up-short"));
    assert!(with_on("M3\nG4 P60\n").contains(&"speed-not-said"));
    let both = format!("M9 M3 S{speed}\nG4 P{}\n", router.spin_up_s);
    assert_eq!(with_on(&both), ["several-switches"]);
    let none: [&str; 0] = [];
    let again = format!("M3 S{speed}\nG4 P{}\nM3\nS{speed}\n", router.spin_up_s);
    assert_eq!(with_on(&again), none, "what it does already takes no time");
}

#[test]
fn every_axis_is_held_whatever_is_known_of_the_others() {
    let job = job();
    let e = tied(expectation(&job, Corners::Fillet));
    let text = router_program(&e);
    let first = |lines: &str| {
        codes(&verdict(&text.replacen("M3 ", &format!("{lines}M3 "), 1), &e).findings)
    };
    let none: [&str; 0] = [];
    assert_eq!(first("G0 X10.0000\n"), none);
    assert!(first("G0 X900.0000\n").contains(&"outside-travel"));
    assert_eq!(first("G0 X-50.0000\n"), ["far-off-the-work"]);
    assert_eq!(first("G0 X0.0000 Y-10.0000\n"), ["far-off-the-work"]);
}

#[test]
fn no_tool_comes_where_a_board_is_clamped_however_high() {
    let job = job();
    let mut e = tied(expectation(&job, Corners::Fillet));
    let text = with(&router_program(&e), "G0 X40.0000 Y20.0000\n");
    let zone = |x: f64| {
        Some(Bounds { min: Point::new(x, 19.0 * 25.4), max: Point::new(x + 25.4, 21.0 * 25.4) })
    };
    e.clamp_zone = zone(39.5 * 25.4);
    assert!(codes(&verdict(&text, &e).findings).contains(&"clamp-zone-hit"));
    e.clamp_zone = zone(45.0 * 25.4);
    assert_eq!(verdict(&begun(&text), &e).findings, []);
}

#[test]
fn dwells_in_one_place_are_one_stand() {
    let job = job();
    let e = tied(expectation(&job, Corners::Fillet));
    let text = router_program(&e);
    let path = placed_path(&e);
    let stand = format!("G0 {}\nG1 Z-0.0500 F20.0\n", inches(path[0].from()));
    let dwells = |count: usize| {
        let lines = format!("{stand}{}G0 Z0.5000\n", "G4 P0.5\n".repeat(count));
        codes(&verdict(&with(&text, &lines), &e).findings)
    };
    assert!(!dwells(2).contains(&"stands-in-material"));
    assert!(dwells(3).contains(&"stands-in-material"));
}

fn stroke(path: Segment, line: usize) -> Stroke {
    let work = Work::Cutting;
    Stroke { path, from_z: -6.0, to_z: -6.0, line, work, off_mm: 0.0, energy: 1.0 }
}

/// Along X from place to place, in moves of a length.
fn chopped(from: f64, to: f64, step: f64, line: usize) -> Vec<Stroke> {
    let count = ((to - from) / step).round() as usize;
    let at = |i: usize| Point::new(from + (to - from) * i as f64 / count as f64, 0.0);
    (0..count).map(|i| stroke(Segment::Line { from: at(i), to: at(i + 1) }, line + i)).collect()
}

fn total(strokes: &[Stroke]) -> f64 {
    strokes.iter().map(|stroke| stroke.path.length()).sum()
}

#[test]
fn many_short_moves_of_one_round_are_one_round() {
    for step in [0.01, 0.03, 0.5, 20.0] {
        let once = chopped(0.0, 20.0, step, 1);
        assert_eq!(total(&repeated(&once, 2).unwrap()), 0.0, "{step}");
        let twice = [once.clone(), chopped(0.0, 20.0, 7.0 / 6.0, 10_000)].concat();
        assert!((total(&repeated(&twice, 2).unwrap()) - 20.0).abs() < 1e-6, "{step}");
        // There and back is twice, but for its turn.
        let back = once.iter().rev().map(|s| Stroke { path: s.path.reversed(), ..*s });
        let there_and_back: Vec<Stroke> = once.iter().copied().chain(back).collect();
        let found = total(&repeated(&there_and_back, 2).unwrap());
        assert!((19.9..20.0).contains(&found), "{step}: {found}");
    }
}

#[test]
fn a_beam_that_goes_again_through_a_hole_a_way_in_or_in_dashes_is_told() {
    let job = job_on("laser");
    let laser = job.cut.machine.tool.beam().unwrap();
    let told = |along: &[Stroke], apart: &[Stroke]| {
        let mut findings = Findings::new("p.nc");
        check_rounds(laser, (along, apart), 2, &mut findings).unwrap();
        codes(&findings.finish())
    };
    let none: [&str; 0] = [];
    let edge = chopped(0.0, 266.0, 266.0, 1);
    let lead = chopped(300.0, 303.0, 3.0, 2);
    assert_eq!(told(&edge, &lead), none);
    // It goes on past its start a little.
    assert_eq!(told(&[edge.clone(), chopped(0.0, 1.5, 1.5, 3)].concat(), &lead), none);
    let dashes: Vec<Stroke> = (0..12)
        .flat_map(|round| (0..130).map(move |i| (round, f64::from(i) * 2.0)))
        .flat_map(|(round, x)| chopped(x, x + 1.5, 1.5, 10 + round))
        .collect();
    assert_eq!(told(&[edge.clone(), dashes].concat(), &lead), ["beam-again"]);
    let leads: Vec<Stroke> = (0..61).flat_map(|i| chopped(300.0, 303.0, 3.0, 2 + i)).collect();
    assert_eq!(told(&edge, &leads), ["beam-again"]);
}

#[test]
fn a_beam_goes_over_a_mark_once() {
    let told = |times: usize| {
        let marks: Vec<Stroke> = (0..times).flat_map(|i| chopped(0.0, 40.0, 8.0, 10 * i)).collect();
        let mut findings = Findings::new("p.nc");
        check_marks(&marks, &mut findings).unwrap();
        codes(&findings.finish())
    };
    assert_eq!((told(1), told(2), told(26)), (vec![], vec!["beam-again"], vec!["beam-again"]));
}

#[test]
fn a_piece_is_loose_from_where_its_outline_closes_whatever_touches_it_later() {
    let at = |x: f64, y: f64| Point::new(x, y);
    let corners = [at(0.0, 0.0), at(100.0, 0.0), at(100.0, 50.0), at(0.0, 50.0)];
    let ring: Vec<Segment> =
        (0..4).map(|i| Segment::Line { from: corners[i], to: corners[(i + 1) % 4] }).collect();
    let along: Vec<Stroke> =
        ring.iter().zip(10..).map(|(side, line)| stroke(*side, line)).collect();
    let mark =
        |line: usize| stroke(Segment::Line { from: at(40.0, 20.0), to: at(60.0, 20.0) }, line);
    let touch = stroke(ring[0].piece(0.0, 0.01), 90);
    let told = |along: &[Stroke], mark: Stroke| {
        let mut findings = Findings::new("p.nc");
        check_order(std::slice::from_ref(&ring), (along, 0.1), &[mark], &mut findings).unwrap();
        codes(&findings.finish())
    };
    let touched = [along.clone(), vec![touch]].concat();
    let none: [&str; 0] = [];
    assert_eq!(told(&touched, mark(9)), none);
    assert_eq!(told(&touched, mark(12)), none, "it still hangs");
    assert_eq!(told(&touched, mark(50)), ["loose-worked"]);
    assert_eq!(told(&along[..3], mark(50)), none, "one side is never cut");
}
