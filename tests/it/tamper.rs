//! Every word of a good program changed in every way: caught by the proof, or harmless by the same
//! tolerance.
//!
//! What is harmless is judged here by a simulation and a distance of this test's own, by brute
//! force.

use crate::common::Stair;
use seatcut::diagnostics::Finding;
use seatcut::geometry::{Contour, Point, distance_to_segment};
use seatcut::job::Job;
use seatcut::output::Stamp;
use seatcut::output::gcode::gcode;
use seatcut::pipeline::workup::Workup;
use seatcut::profile::{Tool, ZZero};
use seatcut::stair::outline::Outline;
use seatcut::verify::{Expectation, verify_program};

/// The proof's tolerance, and what printing coordinates may add to it, in mm.
const TAU_MM: f64 = 0.0127;
const PRINTED_MM: f64 = 0.004;

struct Case {
    job: Job,
    outline: Outline,
    workup: Workup,
    text: String,
}

fn case(stair: &Stair) -> Case {
    let job = stair.job();
    let workup = Workup::of(&job);
    let planned = workup.planned.as_ref().unwrap_or_else(|| panic!("{:?}", workup.findings));
    let text =
        gcode(&Stamp::of(&workup), &job.cut.machine, planned.path.ledger(), &planned.program);
    let outline = workup.outline.clone().unwrap();
    Case { job, outline, workup, text }
}

fn accepted(text: &str, expectation: &Expectation<'_>) -> bool {
    verify_program(text.as_bytes(), "program.nc", expectation)
        .is_ok_and(|v| !v.findings.iter().any(Finding::refuses))
}

/// One straight piece of a simulated program.
#[derive(Clone, Copy, Debug)]
struct Piece {
    from: [f64; 3],
    to: [f64; 3],
    cutting: bool,
}

/// Words of a line with their comments taken out: letter and number.
fn words(line: &str) -> Vec<(char, String)> {
    let code = line.split(['(', ';']).next().unwrap_or("");
    let mut words: Vec<(char, String)> = Vec::new();
    for c in code.chars().filter(|c| !c.is_whitespace()) {
        if c.is_ascii_alphabetic() {
            words.push((c, String::new()));
        } else if let Some(last) = words.last_mut() {
            last.1.push(c);
        }
    }
    words
}

/// A plain simulation: arcs in chords of a degree; `None` for anything it does not understand.
fn simulate(text: &str) -> Option<Vec<Piece>> {
    let (mut at, mut motion, mut scale) = ([0.0, 0.0, 1e3], 0, 1.0);
    let (mut on, mut power, mut pieces) = (false, 0.0, Vec::new());
    for line in text.lines() {
        let (mut to, mut centre, mut moves) = (at, [0.0, 0.0], false);
        for (letter, number) in words(line) {
            let value: f64 = number.parse().ok()?;
            match (letter, value as i64) {
                ('G', 20) => scale = 25.4,
                ('G', 21) => scale = 1.0,
                ('G', m @ 0..=3) => motion = m,
                ('M', 3 | 4) => on = true,
                ('M', 5) => on = false,
                ('S', _) => power = value,
                ('X', _) => (to[0], moves) = (value * scale, true),
                ('Y', _) => (to[1], moves) = (value * scale, true),
                ('Z', _) => (to[2], moves) = (value * scale, true),
                ('I', _) => centre[0] = value * scale,
                ('J', _) => centre[1] = value * scale,
                _ => {}
            }
        }
        if moves {
            let cutting = on && power > 0.0 && motion > 0;
            for end in way(at, to, centre, motion) {
                pieces.push(Piece { from: at, to: end, cutting });
                at = end;
            }
        }
    }
    Some(pieces)
}

fn way(at: [f64; 3], to: [f64; 3], centre: [f64; 2], motion: i64) -> Vec<[f64; 3]> {
    if motion < 2 {
        return vec![to];
    }
    let c = [at[0] + centre[0], at[1] + centre[1]];
    let angle = |p: [f64; 3]| (p[1] - c[1]).atan2(p[0] - c[0]);
    let turn = if motion == 3 { 1.0 } else { -1.0 };
    let sweep = ((angle(to) - angle(at)) * turn).rem_euclid(std::f64::consts::TAU);
    let radius = (at[0] - c[0]).hypot(at[1] - c[1]);
    let count = (sweep.to_degrees().ceil() as usize).clamp(1, 360);
    let mid = |i: usize| {
        let a = angle(at) + turn * sweep * i as f64 / count as f64;
        [
            c[0] + radius * a.cos(),
            c[1] + radius * a.sin(),
            at[2] + (to[2] - at[2]) * i as f64 / count as f64,
        ]
    };
    (1..count).map(mid).chain([to]).collect()
}

/// What a program does to the part: how deep it goes in, how much it leaves, judged on points along
/// the boundary.
struct Effect {
    gouge: f64,
    left: f64,
}

/// The stretch of a way at most as high as a level.
fn under(piece: &Piece, level: f64) -> Option<seatcut::geometry::Segment> {
    let (from, to) = (piece.from[2] - level, piece.to[2] - level);
    let (start, end) = match (from <= 0.0, to <= 0.0) {
        (true, true) => (0.0, 1.0),
        (true, false) => (0.0, from / (from - to)),
        (false, true) => (from / (from - to), 1.0),
        (false, false) => return None,
    };
    let at = |share: f64| {
        let along = |axis: usize| piece.from[axis] + (piece.to[axis] - piece.from[axis]) * share;
        Point::new(along(0), along(1))
    };
    Some(seatcut::geometry::Segment::Line { from: at(start), to: at(end) })
}

fn effect(case: &Case, pieces: &[Piece]) -> Effect {
    let planned = case.workup.planned.as_ref().unwrap();
    let (radius, placement) = (planned.path.radius().as_mm(), planned.program.placement());
    let part: Contour<_> = case.outline.in_board_frame().placed(&placement);
    let laser = matches!(case.job.cut.machine.tool, Tool::Laser(_));
    let thickness = case.job.cut.material.thickness.as_mm();
    let top = if case.job.cut.machine.z_zero == ZZero::Bed { thickness } else { 0.0 };
    let segment = |p: &Piece| seatcut::geometry::Segment::Line {
        from: Point::new(p.from[0], p.from[1]),
        to: Point::new(p.to[0], p.to[1]),
    };
    let cutting = |p: &&Piece| p.cutting && (laser || p.from[2].min(p.to[2]) < top - 0.02);
    let level = if laser { f64::INFINITY } else { top - thickness + 0.02 };
    let any: Vec<_> = pieces.iter().filter(cutting).map(segment).collect();
    let deep: Vec<_> =
        pieces.iter().filter(|p| p.cutting).filter_map(|p| under(p, level)).collect();
    let nearest = |p: Point, of: &[seatcut::geometry::Segment]| {
        of.iter().map(|s| distance_to_segment(p, s)).fold(f64::INFINITY, f64::min)
    };
    let mut worst = Effect { gouge: 0.0, left: 0.0 };
    for edge in part.edges() {
        let count = (edge.segment.length() / 1.7).ceil();
        for i in 0..=count as usize {
            let p = edge.segment.point_at(i as f64 / count);
            worst.gouge = worst.gouge.max(radius - nearest(p, &any));
            let near_corner =
                (p - edge.segment.from()).norm().min((p - edge.segment.to()).norm()) < 2.2 * radius;
            let in_tab = planned
                .program
                .tabs
                .iter()
                .any(|t| (p - t.at).norm() < t.length_mm / 2.0 + radius + 0.2);
            if !near_corner && !in_tab {
                worst.left = worst.left.max(nearest(p, &deep) - radius);
            }
        }
    }
    worst
}

/// A line of the program with one word changed.
fn mutations(letter: char, number: &str) -> Vec<String> {
    let mut changed = vec![String::new(), format!("{letter}{number} {letter}{number}")];
    let Ok(value) = number.parse::<f64>() else { return changed };
    let places = number.split('.').nth(1).map_or(0, str::len);
    let put = |v: f64| format!("{letter}{v:.places$}");
    let step = 10_f64.powi(-(places as i32));
    for other in [
        value + step,
        value - step,
        value + 8.0 * step,
        value - 30.0 * step,
        -value,
        value * 10.0,
        value / 10.0,
        0.0,
        value + 0.1,
        value - 1.0,
        value * 25.4,
        99999.0,
    ] {
        changed.push(put(other));
    }
    if matches!(letter, 'G' | 'M') {
        changed.extend(
            (0..=5)
                .chain([
                    17, 18, 20, 21, 28, 30, 40, 41, 43, 49, 54, 55, 80, 81, 90, 91, 92, 93, 94, 95,
                ])
                .map(|n| format!("{letter}{n}")),
        );
    }
    changed.extend("XYZIJFSPGMRKNT".chars().map(|other| format!("{other}{number}")));
    changed.push(format!("{letter}{number}.5"));
    changed.push(format!("{letter}"));
    changed.push(format!("{letter}1e3"));
    changed.retain(|c| *c != format!("{letter}{number}"));
    changed
}

/// Words that would change what the rest of the program means, in a way the simulation of this test
/// does not see.
const HARMFUL: [&str; 11] =
    ["G18", "G28", "G30", "G41", "G43", "G55", "G81", "G91", "G92", "G93", "G95"];

/// Without optimisation the two simulations are slow: then only one mutation in 211 is tried, and
/// the release run that DEVELOPERS.md names tries them all.
const EVERY: usize = if cfg!(debug_assertions) { 211 } else { 1 };

/// Tries every mutation of a program; returns how many were tried, caught, harmless.
fn tamper(case: &Case, every: usize) -> (usize, usize, usize) {
    let planned = case.workup.planned.as_ref().unwrap();
    let expectation = seatcut::pipeline::proof::planned(&case.job, &case.outline, &planned.program);
    assert!(accepted(&case.text, &expectation), "the good program is not accepted");
    let good = effect(case, &simulate(&case.text).unwrap());
    assert!(
        good.gouge < TAU_MM && good.left < TAU_MM,
        "the judge of this test: {} {}",
        good.gouge,
        good.left
    );
    let lines: Vec<&str> = case.text.lines().collect();
    let (mut tried, mut caught, mut harmless, mut turn) = (0, 0, 0, 0);
    for (at, line) in lines.iter().enumerate() {
        let all = words(line);
        for (index, (letter, number)) in all.iter().enumerate() {
            for changed in mutations(*letter, number) {
                turn += 1;
                if turn % every != 0 {
                    continue;
                }
                tried += 1;
                let text = with_word(&lines, at, &all, index, &changed);
                if !accepted(&text, &expectation) {
                    caught += 1;
                    continue;
                }
                judge_harmless(case, &text, (*letter, number), &changed, line);
                harmless += 1;
            }
        }
    }
    (tried, caught, harmless)
}

fn with_word(
    lines: &[&str],
    at: usize,
    all: &[(char, String)],
    index: usize,
    changed: &str,
) -> String {
    let line: Vec<String> = all
        .iter()
        .enumerate()
        .map(|(i, (l, n))| if i == index { changed.to_string() } else { format!("{l}{n}") })
        .filter(|word| !word.is_empty())
        .collect();
    let mut text = String::new();
    for (i, other) in lines.iter().enumerate() {
        text.push_str(if i == at { "" } else { other });
        if i == at {
            text.push_str(&line.join(" "));
        }
        text.push('\n');
    }
    text
}

/// An accepted program must do to the part what the good one does, and drive the machine within its
/// means.
fn judge_harmless(case: &Case, text: &str, word: (char, &str), changed: &str, line: &str) {
    let told = format!("`{line}`: {}{} became `{changed}` and was accepted", word.0, word.1);
    let pieces = simulate(text).unwrap_or_else(|| panic!("{told}, but means nothing"));
    let effect = effect(case, &pieces);
    assert!(effect.gouge <= TAU_MM + PRINTED_MM, "{told}: gouges {} mm", effect.gouge);
    assert!(effect.left <= TAU_MM + PRINTED_MM, "{told}: leaves {} mm", effect.left);
    let value: f64 = changed.trim_start_matches(|c: char| c.is_alphabetic()).parse().unwrap_or(0.0);
    let machine = &case.job.cut.machine;
    match word.0 {
        'F' if changed.starts_with('F') => {
            assert!(
                value > 0.0 && value * machine.units.in_mm() <= machine.max_feed_mm_min,
                "{told}"
            );
        }
        'S' if changed.starts_with('S') => {
            let most = match &machine.tool {
                Tool::Router(router) => router.max_speed_rpm,
                Tool::Laser(laser) => laser.full_power,
            };
            assert!((0.0..=most).contains(&value), "{told}");
        }
        'X' | 'Y' | 'Z' | 'I' | 'J' | 'P' => {}
        'G' | 'M' => {
            let harmful = HARMFUL.contains(&changed) && changed != format!("{}{}", word.0, word.1);
            assert!(!harmful, "{told}");
        }
        _ => {}
    }
}

#[test]
fn a_router_program_with_any_word_changed_is_caught_or_harmless() {
    let stair = Stair {
        rise: "total = \"22 in\"\nrisers = 3".into(),
        cut: "makes = \"stringers\"\nmachine = \"router-table\"\nmaterial \
            = \"hardboard-6\"\ncorners \
            = \"fillet\""
            .into(),
        board: "width = \"11 1/4 in\"\nthickness = \"6.35 mm\"".into(),
        ..Stair::default()
    };
    let (tried, caught, harmless) = tamper(&case(&stair), EVERY);
    println!("router: {tried} tried, {caught} caught, {harmless} harmless");
    assert!(
        tried >= 5000 / EVERY && caught > tried / 2,
        "{tried} tried, {caught} caught, {harmless} harmless"
    );
}

#[test]
fn a_laser_program_with_any_word_changed_is_caught_or_harmless() {
    let stair = Stair {
        rise: "total = \"22 in\"\nrisers = 3".into(),
        cut: "makes = \"stringers\"\nmachine = \"laser\"\nmaterial = \"hardboard-3\"".into(),
        board: "width = \"11 1/4 in\"\nthickness = \"3.2 mm\"".into(),
        ..Stair::default()
    };
    let (tried, caught, harmless) = tamper(&case(&stair), EVERY);
    println!("laser: {tried} tried, {caught} caught, {harmless} harmless");
    assert!(
        tried >= 2000 / EVERY && caught > tried / 2,
        "{tried} tried, {caught} caught, {harmless} harmless"
    );
}
