//! A part longer than the machine's travel, cut in several set-ups: every set-up within the travel,
//! all of the path cut and nothing else.

use crate::common::{Stair, profile_with, tread};
use proptest::prelude::*;
use seatcut::bundle::Bundle;
use seatcut::cam::compensate::{Ledger, ToolPath, compensate};
use seatcut::cam::mark::Hole;
use seatcut::cam::plan::{Down, FeedKind, Program, Step, Tab, Task, plan};
use seatcut::diagnostics::{Finding, Outcome, Value, Warned};
use seatcut::geometry::{Contour, Point, Segment, Vector, distance_to_segment};
use seatcut::job::Job;
use seatcut::output::Stamp;
use seatcut::output::dxf::DxfVersion;
use seatcut::output::gcode::gcode;
use seatcut::pipeline::set::{Entry, Set};
use seatcut::pipeline::workup::Workup;
use seatcut::profile::{Machine, Router, Tool};
use seatcut::stair::outline::{Outline, Role};
use seatcut::stair::{Flight, chosen_count};

/// A sheet of plywood as long as any part.
fn sheet(width: &str) -> (String, String) {
    let changes = [("\"2440 mm\"", "\"6000 mm\""), ("\"1220 mm\"", width)];
    ("./long.toml".into(), profile_with("material", "plywood-12", &changes))
}

/// Fourteen risers of an invented stair, cut on a machine.
fn stair(makes: &str, machine: &str, width: &str) -> Stair {
    Stair {
        rise: "total = \"102 3/4 in\"\nrisers = 14".into(),
        board: "width = \"11 1/4 in\"\nthickness = \"12 mm\"".into(),
        cut: format!(
            "makes = \"{makes}\"\nmachine = \"{machine}\"\nmaterial = \"./long.toml\"\nlong \
                = \"index\""
        ),
        files: vec![sheet(width)],
        ..Stair::default()
    }
}

type Planned = Outcome<Program>;

/// No point of any cut is nearer to the part than the cutter's radius; inside corners left round.
fn keeps_off(cuts: &[Cut], program: &Program, part: &Contour<Role>, radius: f64) {
    let part: Vec<Segment> =
        part.placed(&program.placement()).edges().iter().map(|edge| edge.segment).collect();
    for cut in cuts {
        for p in samples(&cut.segment) {
            assert!(nearest(p, part.iter()) >= radius - 1e-6, "{p} cuts the part");
            let turns: f64 = part.iter().map(|edge| angle(edge.from() - p, edge.to() - p)).sum();
            assert!(turns.abs() < 1.0, "{p} lies in the part");
        }
    }
}

/// The angle from one direction to another, in radians.
fn angle(a: Vector, b: Vector) -> f64 {
    (a.x * b.y - a.y * b.x).atan2(a.dot(&b))
}

fn part(job: &Job) -> Contour<Role> {
    let flight = Flight::new(job, chosen_count(job).0);
    Outline::new(&flight, job.plate()).expect("a stringer").in_board_frame()
}

fn planned(job: &Job) -> Option<(ToolPath, Planned)> {
    let flight = Flight::new(job, chosen_count(job).0);
    let outline = Outline::new(&flight, job.plate()).ok()?;
    let path = compensate(job, &outline).ok()?.value;
    let planned = plan(job, &outline, &path).map(|planned| planned.map(|of| of.cut));
    Some((path, planned))
}

fn router(machine: &Machine) -> &Router {
    let Tool::Router(router) = &machine.tool else { panic!("a router") };
    router
}

/// A cut with the heights at its ends and its set-up; stock frame.
#[derive(Clone, Copy)]
struct Cut {
    segment: Segment,
    from_z: f64,
    to_z: f64,
    setup: usize,
    feed: FeedKind,
}

/// Runs the steps as the machine does and checks what holds at every one of them; the cuts in
/// order.
fn run_steps(program: &Program, machine: &Machine) -> Vec<Cut> {
    let (mut setup, mut at, mut z, mut on) =
        (0, Point::origin(), machine.safe_height.as_mm(), false);
    let mut cuts: Vec<Cut> = Vec::new();
    let reach = |p: Point, setup: usize| {
        let p = p + program.setups[setup];
        for i in 0..2 {
            assert!(
                p[i] >= -1e-6 && p[i] <= machine.travel[i].as_mm() + 1e-6,
                "{p} in set-up {setup}"
            );
        }
    };
    for step in &program.steps {
        match step {
            Step::Say(_) => {}
            Step::ToolOn => on = true,
            Step::ToolOff => on = false,
            Step::Stop(lines) => {
                assert!(!on && z >= machine.safe_height.as_mm() && lines.len() > 3);
                // The tool stands still, the stock moves.
                at += program.setups[setup] - program.setups[setup + 1];
                setup += 1;
            }
            Step::RapidZ(to) => z = *to,
            Step::RapidXy(to) => {
                assert!(z >= machine.safe_height.as_mm() - 1e-9, "a rapid in the material");
                (at, _) = (*to, reach(*to, setup));
            }
            Step::FeedZ(to) => {
                // Straight down only to the surface or into what has been cut there already.
                let cut_before = |c: &&Cut| {
                    distance_to_segment(at, &c.segment) < 1e-6 && c.from_z.max(c.to_z) <= *to + 1e-6
                };
                assert!(
                    on && (*to >= -1e-9 || cuts.iter().any(|c| cut_before(&c))),
                    "a plunge to {to}"
                );
                z = *to;
            }
            Step::Cut { segment, to_z, feed } => {
                assert!(
                    on && (segment.from() - at).norm() < 1e-6,
                    "a jump of {}",
                    (segment.from() - at).norm()
                );
                let bounds = segment.bounds();
                reach(bounds.min, setup);
                reach(bounds.max, setup);
                cuts.push(Cut { segment: *segment, from_z: z, to_z: *to_z, setup, feed: *feed });
                (at, z) = (segment.to(), *to_z);
            }
            other => panic!("no step of a router: {other:?}"),
        }
    }
    assert_eq!(setup + 1, program.setups.len());
    cuts
}

fn samples(segment: &Segment) -> Vec<Point> {
    let count = (segment.length() / 25.0).ceil().max(2.0) as usize;
    (0..=count).map(|i| segment.point_at(i as f64 / count as f64)).collect()
}

fn nearest<'a>(p: Point, segments: impl Iterator<Item = &'a Segment>) -> f64 {
    segments.map(|segment| distance_to_segment(p, segment)).fold(f64::INFINITY, f64::min)
}

fn in_a_pin_hole(cut: &Cut, pins: &[Hole]) -> bool {
    let inside = |pin: &Hole| {
        samples(&cut.segment).iter().all(|p| (p - pin.center).norm() <= pin.radius.as_mm() + 1e-9)
    };
    pins.iter().any(inside)
}

/// Everything that a program in several set-ups promises.
fn proven(program: &Program, path: &ToolPath, machine: &Machine, thickness: f64) {
    let cuts = run_steps(program, machine);
    let (holes, outline): (Vec<Cut>, Vec<Cut>) =
        cuts.into_iter().partition(|cut| in_a_pin_hole(cut, &program.pins));
    let whole: Vec<Segment> = path
        .contour()
        .placed(&program.placement())
        .edges()
        .iter()
        .map(|edge| edge.segment)
        .collect();
    let floor = -(thickness + router(machine).cut_through.as_mm());
    // Nothing but the path is cut.
    for cut in &outline {
        for p in samples(&cut.segment) {
            assert!(nearest(p, whole.iter()) < 1e-6, "{p} is off the path");
        }
        // Down no steeper than the profile says and as slowly as on the way in; from a tab that has
        // no room for that by one in two, as slowly as straight down.
        let slope = (cut.from_z - cut.to_z) / cut.segment.length();
        let steep = |tab: &&Tab| tab.down == Down::Plunge;
        let beside = |tab: &Tab| {
            let half = tab.length_mm / 2.0 + 2.0 * router(machine).cut_through.as_mm();
            [cut.segment.from(), cut.segment.to()]
                .iter()
                .all(|p| (p - tab.at).norm() <= half + 1e-6)
        };
        let ramp = router(machine).ramp_deg.to_radians().tan();
        let is_steep = program.tabs.iter().filter(steep).any(beside);
        let (steepest, feed) = match cut.feed == FeedKind::Plunge && is_steep {
            true => (0.5, FeedKind::Plunge),
            false => (ramp, FeedKind::Entry),
        };
        assert!(slope <= steepest + 1e-9, "{slope}");
        assert!(slope <= 1e-9 || cut.feed == feed, "down at {:?}", cut.feed);
        assert!(cut.to_z >= floor - 1e-9);
    }
    // All of it is cut, at full depth but over the tabs.
    let deep: Vec<Segment> = outline
        .iter()
        .filter(|c| c.from_z.max(c.to_z) <= floor + 1e-9)
        .map(|c| c.segment)
        .collect();
    let any: Vec<Segment> = outline.iter().map(|cut| cut.segment).collect();
    for p in whole.iter().flat_map(samples) {
        assert!(nearest(p, any.iter()) < 1e-6, "{p} of the path is not passed");
        let at_tab = program.tabs.iter().any(|tab| (tab.at - p).norm() <= tab.length_mm);
        assert!(at_tab || nearest(p, deep.iter()) < 1e-6, "{p} of the path is not cut through");
    }
    // Where a set-up ends, the next has begun a cutter before.
    let cutter = 2.0 * path.radius().as_mm();
    for k in 1..program.setups.len() {
        let of = |setup: usize| deep_of(&outline, setup, floor);
        let (before, after) = (of(k - 1), of(k));
        assert!(
            shortest_shared(&before, &after) >= cutter - 1.0,
            "the overlap is shorter than a cutter"
        );
    }
    // The pins: two a shift, cut whole in the set-up before it, in the waste, where both set-ups
    // reach.
    assert_eq!(program.pins.len(), 2 * (program.setups.len() - 1));
    for (i, pin) in program.pins.iter().enumerate() {
        let k = i / 2;
        assert!(
            nearest(pin.center, whole.iter()) >= path.radius().as_mm() + pin.radius.as_mm() * 2.0
        );
        let of_pin = holes.iter().filter(|cut| in_a_pin_hole(cut, &[*pin]));
        assert!(of_pin.clone().count() > 4 && of_pin.clone().all(|cut| cut.setup == k));
        assert!(of_pin.map(|cut| cut.to_z).fold(0.0, f64::min) <= floor + 1e-9);
        for setup in [k, k + 1] {
            let p = pin.center + program.setups[setup];
            assert!((0..2).all(|i| p[i] >= pin.radius.as_mm()
                && p[i] <= machine.travel[i].as_mm() - pin.radius.as_mm()));
        }
    }
    for tab in &program.tabs {
        assert!(nearest(tab.at, whole.iter()) < 1e-6);
    }
}

fn deep_of(cuts: &[Cut], setup: usize, floor: f64) -> Vec<Segment> {
    cuts.iter()
        .filter(|c| c.setup == setup && c.from_z.max(c.to_z) <= floor + 1e-9)
        .map(|c| c.segment)
        .collect()
}

/// At every place that two set-ups both cut through, how far what they share goes there; the
/// shortest of them.
fn shortest_shared(before: &[Segment], after: &[Segment]) -> f64 {
    let every_mm = |s: &Segment| {
        let count = s.length().ceil().max(1.0) as usize;
        (0..=count).map(|i| s.point_at(i as f64 / count as f64)).collect::<Vec<Point>>()
    };
    let ends =
        |s: &&Segment| nearest(s.from(), after.iter()).min(nearest(s.to(), after.iter())) < 60.0;
    let shared: Vec<Point> = before
        .iter()
        .filter(ends)
        .flat_map(every_mm)
        .filter(|p| nearest(*p, after.iter()) < 1e-6)
        .collect();
    let here = |p: &Point| {
        shared.iter().map(|q| (q - p).norm()).filter(|d| *d < 100.0).fold(0.0, f64::max)
    };
    assert!(!shared.is_empty());
    shared.iter().map(here).fold(f64::INFINITY, f64::min)
}

fn refusals(stair: &Stair) -> Vec<&'static str> {
    match planned(&stair.job()).expect("a path").1 {
        Ok(planned) => panic!("planned in {} set-ups", planned.value.setups.len()),
        Err(refusals) => codes(refusals.findings()),
    }
}

fn codes(findings: &[Finding]) -> Vec<&'static str> {
    findings.iter().map(|finding| finding.code.name()).collect()
}

#[test]
fn every_set_up_lies_in_the_travel_and_together_they_cut_the_whole_path_and_nothing_else() {
    for machine in ["router-table-small", "router-table", "router-metric"] {
        let job = stair("stringers", machine, "\"1200 mm\"").job();
        let (path, planned) = planned(&job).unwrap();
        let Warned { value: program, findings } =
            planned.unwrap_or_else(|refusals| panic!("{machine}: {refusals:?}"));
        proven(&program, &path, &job.cut.machine, job.cut.material.thickness.as_mm());
        keeps_off(
            &run_steps(&program, &job.cut.machine),
            &program,
            &part(&job),
            path.radius().as_mm(),
        );
        assert!(program.setups.len() > 1 && program.setups[0] == Vector::zeros());
        for code in ["indexed-shifts", "shift-turn"] {
            assert!(codes(&findings).contains(&code), "{code}");
        }
        // The table's pins are the same for every shift: each hole comes to lie where the last did.
        let on_table = |i: usize| program.pins[i].center + program.setups[i / 2 + 1];
        for i in 2..program.pins.len() {
            assert!((on_table(i) - on_table(i % 2)).norm() < 1e-9);
        }
        assert!(program.tabs.len() >= 3 && !codes(&findings).contains(&"tabs-few"));
    }
}

#[test]
fn the_turn_of_a_shift_is_twice_the_clearance_over_the_pins_distance() {
    let job = stair("stringers", "router-table-small", "\"1200 mm\"").job();
    let (_, planned) = planned(&job).unwrap();
    let Warned { value: program, findings } = planned.unwrap();
    let apart = (program.pins[1].center - program.pins[0].center).norm();
    let turn = 2.0 * 0.002 * 25.4 / apart;
    let said =
        &findings.iter().find(|finding| finding.code.name() == "shift-turn").unwrap().sentence();
    let sum = turn * (program.setups.len() - 1) as f64;
    assert!(said.contains(&format!("{:.6}", turn).trim_end_matches('0').to_string()), "{said}");
    assert!(said.contains(&format!("{:.6}", sum).trim_end_matches('0').to_string()), "{said}");
}

#[test]
fn every_set_up_has_a_program_that_starts_and_ends_by_itself_and_says_what_to_do_before() {
    let job = stair("stringers", "router-table-small", "\"1200 mm\"").job();
    let workup = Workup::of(&job);
    let planned = workup.planned.as_ref().unwrap();
    let set_ups = planned.set_ups.as_ref().unwrap();
    let count = planned.program.setups.len();
    assert_eq!((set_ups.cuts.len(), planned.programs().count()), (count, count + 1));
    let number = |line: &str, word: char| {
        let of = |w: &&str| w.starts_with(word);
        line.split(' ').find(of).and_then(|w| w[1..].parse::<f64>().ok())
    };
    for (k, program) in planned.programs().enumerate() {
        let machine = planned.machine_of(program, &job);
        let text = gcode(&Stamp::of(&workup), machine, &Ledger::of(&job), program);
        let is_move =
            |line: &&str| ["G0 ", "G1 ", "G2 ", "G3 "].iter().any(|g| line.starts_with(g));
        let moves: Vec<&str> = text.lines().filter(is_move).collect();
        for line in &moves {
            assert!(number(line, 'X').is_none_or(|x| (0.0..=48.0).contains(&x)), "{line}");
            assert!(number(line, 'Y').is_none_or(|y| (0.0..=24.0).contains(&y)), "{line}");
        }
        assert!(text.lines().all(|line| line.len() <= 70 && line != "M0"));
        let up = moves.iter().take_while(|line| line.starts_with("G0 Z")).count();
        assert!(up >= 1 && moves[up].starts_with("G0 X"), "{moves:?}");
        assert_eq!(moves.last(), Some(&"G0 X0.0000 Y0.0000"));
        let by = -planned.program.setups[1].x / 25.4;
        assert_eq!(text.contains(&format!("MOVE IT BY EXACTLY {by} IN")), k > 1, "{text}");
        assert_eq!(text.contains(&format!("Set-up {k} of {count}")), k > 0, "{text}");
        assert_eq!(text.contains("IT BORES THE TABLE"), k == 0);
        // The box of its own motion, which is not that of another.
        let [x, to_x] = [f64::min, f64::max].map(|of: fn(f64, f64) -> f64| {
            moves.iter().filter_map(|line| number(line, 'X')).reduce(of).unwrap()
        });
        let plane = program.extents().unwrap().plane;
        let reach = [plane.min.x / 25.4 - x, to_x - plane.max.x / 25.4];
        assert!(reach.iter().all(|by| (-0.13..1e-3).contains(by)), "{k}: {reach:?}");
    }
    // Every pin of every shift finds its hole in the table, at its own width.
    for (i, pin) in planned.program.pins.iter().enumerate() {
        let at = pin.center + planned.program.setups[i / 2 + 1];
        let bored = set_ups.table.pins.iter().find(|hole| (hole.center - at).norm() < 1e-6);
        let play = (pin.radius - bored.unwrap().radius) * 2.0;
        assert!((play.as_inches() - 0.002).abs() < 1e-9);
    }
}

#[test]
fn of_all_numbers_of_set_ups_the_one_with_the_least_error_at_the_head_is_taken_and_said() {
    let mut loose = stair("stringers", "./loose.toml", "\"1200 mm\"");
    let said = |stair: &Stair| {
        let (_, planned) = planned(&stair.job()).unwrap();
        let Warned { value, findings } = planned.unwrap();
        let turn = findings.iter().find(|f| f.code.name() == "shift-turn").unwrap();
        let Some(Value::Fine(error)) = turn.value("measured") else { panic!("{turn:?}") };
        (value, error.0.as_mm(), turn.sentence())
    };
    let small = |play: &str| {
        let safe = "safe_height = \"1/2 in\"";
        profile_with("machine", "router-table-small", &[(safe, &format!("{play}\n{safe}"))])
    };
    loose.files.push(("./loose.toml".into(), small("pin_play = \"0.004 in\"")));
    let (twice, twice_mm, sentence) = said(&loose);
    assert!(sentence.contains("pin_play of the machine profile"), "{sentence}");
    let (usual, usual_mm, sentence) =
        said(&stair("stringers", "router-table-small", "\"1200 mm\""));
    assert!(sentence.contains("taken as usual, no source"), "{sentence}");
    // The table is bored as deep as the profile says.
    let deep = |depth: &str| {
        let mut stair = stair("stringers", "./own.toml", "\"1200 mm\"");
        stair.files.push(("./own.toml".into(), small(&format!("pin_depth = \"{depth}\""))));
        let planned = Workup::of(&stair.job()).planned.expect("a plan");
        let table = planned.set_ups.expect("several set-ups").table;
        table.steps.iter().fold(0.0_f64, |deepest, step| match step {
            Step::FeedZ(z) | Step::Cut { to_z: z, .. } => deepest.min(*z),
            _ => deepest,
        })
    };
    assert!((deep("3/8 in") + 9.525).abs() < 1e-9 && (deep("3/4 in") + 19.05).abs() < 1e-9);
    // The play is in every term.
    assert_eq!(twice.setups, usual.setups);
    assert!((twice_mm / usual_mm - 2.0).abs() < 0.01, "{twice_mm} {usual_mm}");
    // By its formula, from the plan alone: each shift by its play, and by its turn to the head.
    let head = {
        let job = stair("stringers", "router-table-small", "\"1200 mm\"").job();
        let (path, _) = planned(&job).unwrap();
        path.contour().placed(&usual.placement()).bounds().max
    };
    let play = 0.002 * 25.4;
    let by_hand: f64 = usual
        .pins
        .chunks(2)
        .map(|pair| {
            let (a, b) = (pair[0].center, pair[1].center);
            let middle = a + (b - a) / 2.0;
            play + 2.0 * play / (b - a).norm() * (head - middle).norm()
        })
        .sum();
    assert!((by_hand - usual_mm).abs() < 1e-6, "{by_hand} {usual_mm}");
}

#[test]
fn a_long_part_is_refused_without_the_key_and_the_explanation_names_it() {
    let mut stair = stair("stringers", "router-table-small", "\"1200 mm\"");
    stair.cut = stair.cut.replace("\nlong = \"index\"", "");
    let (_, planned) = planned(&stair.job()).unwrap();
    assert!(codes(planned.unwrap_err().findings()).contains(&"beyond-travel"));
    let explained = |code: &str| seatcut::diagnostics::table::named(code).unwrap().row().remedy;
    assert!(explained("beyond-travel").contains("cut.long = \"index\""));
    assert!(explained("beyond-stock").contains("cut.long = \"split\""));
}

#[test]
fn a_part_that_fits_is_cut_in_one_set_up_whatever_the_key_says() {
    let mut stair = stair("stringers", "router-table", "\"1200 mm\"");
    stair.rise = "total = \"51 3/8 in\"\nrisers = 7".into();
    let (_, planned) = planned(&stair.job()).unwrap();
    let program = planned.unwrap().value;
    assert!(program.setups == vec![Vector::zeros()] && program.pins.is_empty());
    assert!(!program.steps.iter().any(|step| matches!(step, Step::Stop(_))));
}

#[test]
fn a_beam_and_a_board_are_not_shifted() {
    let mut beam = stair("stringers", "laser", "\"800 mm\"");
    let thin = profile_with("material", "hardboard-3", &[("\"2440 mm\"", "\"6000 mm\"")]);
    beam.files = vec![("./long.toml".into(), thin)];
    beam.board = beam.board.replace("12 mm", "3.2 mm");
    assert_eq!(refusals(&beam), ["index-router-only"]);
    let mut board = stair("stringers", "router-table", "\"1200 mm\"");
    board.cut = board.cut.replace("./long.toml", "board-2x12");
    board.board = board.board.replace("12 mm", "1 1/2 in");
    assert_eq!(refusals(&board), ["index-router-only"]);
}

#[test]
fn a_sheet_without_room_for_pins_and_a_machine_without_room_for_a_break_are_refused() {
    // Notches so flat that no pin stands in them, and no waste beside them.
    let mut narrow = stair("stringers", "./thick.toml", "\"176 mm\"");
    narrow.rise = "total = \"350 mm\"\nrisers = 14".into();
    narrow.tread = tread("200 mm", "25 mm", "5 mm", "0 mm");
    narrow.board = "width = \"100 mm\"\nthickness = \"12 mm\"".into();
    let text = profile_with(
        "machine",
        "router-table-small",
        &[("cutter = \"1/4 in\"", "cutter = \"1/2 in\"")],
    );
    narrow.files.push(("./thick.toml".into(), text));
    assert_eq!(refusals(&narrow), ["index-no-pins"]);
    let mut short = stair("stringers", "./short.toml", "\"1200 mm\"");
    let text = profile_with("machine", "router-table-small", &[("x = \"48 in\"", "x = \"9 in\"")]);
    short.files.push(("./short.toml".into(), text));
    assert_eq!(refusals(&short), ["index-no-break"]);
}

#[test]
fn a_pattern_in_several_set_ups_keeps_its_hanging_hole_and_its_marks_each_before_the_cut_there() {
    let job = stair("pattern", "router-table-small", "\"1200 mm\"").job();
    let set = Set::of(vec![Entry { job: job.clone(), times: 1 }], 0).unwrap();
    let workup = &set.members[0].workup;
    let planned = workup.planned.as_ref().unwrap_or_else(|| panic!("{:?}", workup.findings));
    let hole = planned.program.holes[0];
    let in_hole = |cut: &&Cut| {
        samples(&cut.segment).iter().all(|p| (p - hole.center).norm() <= hole.radius.as_mm())
    };
    assert!(run_steps(&planned.program, &job.cut.machine).iter().filter(in_hole).count() > 4);
    // Every stroke that is declared is in one of the programs, or is said to be in none.
    let all = planned.marks.as_ref().unwrap().strokes.iter().filter(|s| s.points.len() > 1).count();
    let made = planned.mark_program.as_ref().unwrap().marking.as_ref().unwrap().strokes.len();
    let left = workup.findings.iter().find(|f| f.code.name() == "mark-shifted");
    assert_eq!(left.is_some(), made < all, "told just where some are left out");
    let left = left.and_then(|f| f.value("strokes")).map_or(0, |count| match count {
        Value::Count(count) => count.0 as usize,
        other => panic!("{other:?}"),
    });
    assert!(made > 100 && made + left == all && left * 10 < all, "{made} + {left} of {all}");
    let tasks: Vec<(usize, bool)> = planned
        .programs()
        .map(|program| (program.set_up.as_ref().unwrap().number, program.task == Task::Mark))
        .collect();
    assert!(tasks.is_sorted_by_key(|(number, marks)| (*number, !marks)), "{tasks:?}");
    assert!(tasks.iter().filter(|(_, marks)| *marks).count() > 1, "{tasks:?}");
    let bundle = Bundle::of(&set, DxfVersion::R2000).unwrap();
    let reports = bundle.proven(|artifact| Ok(artifact.bytes.clone())).unwrap();
    let marked: Vec<usize> = reports.iter().map(|report| report.verified.marks).collect();
    assert!(marked.contains(&made), "{marked:?}");
    // One stroke left out is missed, though it is one of several programs.
    let broken = bundle.proven(|artifact| {
        // Of a PDF nothing is changed.
        let text = String::from_utf8(artifact.bytes.clone());
        let Ok(text) = text else { return Ok(artifact.bytes.clone()) };
        let (marks, line) =
            ("MARKS ONLY, BEFORE THE CUT", text.lines().rfind(|l| l.starts_with("G1 X")));
        Ok(match line.filter(|_| text.contains(marks)) {
            Some(line) => text.replacen(&format!("{line}\n"), "", 1).into_bytes(),
            None => text.into_bytes(),
        })
    });
    assert!(broken.is_err());
}

proptest! {
    #![proptest_config(ProptestConfig {
        failure_persistence: None,
        // A case is a whole program sampled: a few of them each time, many in the long run.
        cases: (ProptestConfig::default().cases / 32).max(1),
        ..ProptestConfig::default()
    })]

    #[test]
    fn any_long_part_is_cut_whole_in_its_set_ups_or_refused(
        rise in 1000.0..3500.0_f64,
        riser in 150.0..210.0_f64,
        run in 200.0..330.0_f64,
        travel in 500.0..2600.0_f64,
        corners in prop::sample::select(vec!["fillet", "bisector", "riser", "tread"]),
        machine in prop::sample::select(vec!["router-table-small", "router-table", "router-metric"]),
        arcs in any::<bool>(),
    ) {
        let risers = (rise / riser).ceil() as usize;
        let x = match machine { "router-table-small" => "x = \"48 in\"", "router-table" => "x = \"96 in\"", _ => "y = \"2500 mm\"" };
        let axis = &x[..1];
        let mut text = profile_with("machine", machine, &[(x, &format!("{axis} = \"{travel:.2} \
            mm\""))]);
        if !arcs {
            text = text.replace("decimals =", "chord_tolerance = \"0.002 in\"\ndecimals =");
        }
        let mut stair = stair("stringers", "./machine.toml", "\"1200 mm\"");
        stair.rise = format!("total = \"{rise:.3} mm\"\nrisers = {risers}");
        stair.tread = tread(&format!("{run:.3} mm"), "25 mm", "25 mm", "19 mm");
        stair.cut.push_str(&format!("\ncorners = \"{corners}\""));
        stair.files.push(("./machine.toml".into(), text));
        let job = stair.job();
        let Some((path, planned)) = planned(&job) else { return Ok(()) };
        match planned {
            Err(refusals) => prop_assert!(refusals.findings().iter().any(Finding::refuses)),
            Ok(Warned { value: program, .. }) if program.setups.len() == 1 => {}
            // Chords leave the path by their tolerance, but never toward the part.
            Ok(Warned { value: program, .. }) if !arcs => {
                let cuts = run_steps(&program, &job.cut.machine);
                if corners == "fillet" {
                    keeps_off(&cuts, &program, &part(&job), path.radius().as_mm());
                }
            }
            Ok(Warned { value: program, .. }) => proven(&program, &path, &job.cut.machine, job.cut.material.thickness.as_mm()),
        }
    }
}
