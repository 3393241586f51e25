//! Clamps in every kind of program: nothing is cut where one stands, no rapid comes too low over
//! one, none is forgotten in silence. The sweep reads the programs' text with a reader of its own
//! that knows lines, arcs and heights and no more.

use crate::common::{Stair, profile_with, tread};
use seatcut::bundle::Bundle;
use seatcut::cam::plan::{Program, SetUps, Step};
use seatcut::diagnostics::{Count, Finding, Numbered, Place, Value};
use seatcut::job::Job;
use seatcut::output::Stamp;
use seatcut::output::dxf::DxfVersion;
use seatcut::output::gcode::gcode;
use seatcut::pipeline::proof;
use seatcut::pipeline::set::{Entry, Set, is_laid_out};
use seatcut::pipeline::workup::Workup;
use seatcut::profile::{Machine, ZZero};
use seatcut::verify::{Expectation, verify_set_ups};

/// A clamp as a test states it, in mm: left, lower, length, width; how high.
#[derive(Clone, Copy, Debug)]
struct Stands {
    at: [f64; 4],
    height: Option<f64>,
}

fn stands(at: [f64; 4], height: Option<f64>) -> Stands {
    Stands { at, height }
}

/// The key as a job states it.
fn key(clamps: &[Stands]) -> String {
    let one = |c: &Stands| {
        let [x, y, length, width] = c.at.map(|mm| format!("{mm:.3} mm"));
        let height = c.height.map_or(String::new(), |mm| format!(", height = \"{mm:.3} mm\""));
        format!(
            "{{ x = \"{x}\", y = \"{y}\", length = \"{length}\", width = \"{width}\"{height} }}"
        )
    };
    format!("clamps = [{}]", clamps.iter().map(one).collect::<Vec<_>>().join(", "))
}

fn clamped(stair: &Stair, clamps: &[Stands]) -> Job {
    Stair { cut: format!("{}\n{}", stair.cut, key(clamps)), ..stair.clone() }.job()
}

/// The programs of a job as text, each proven, or what refuses it.
fn made(job: &Job) -> Result<Vec<String>, Vec<Finding>> {
    if is_laid_out(job) || job.cut.pieces() > 1 {
        return made_set(job);
    }
    let workup = Workup::of(job);
    let Some(planned) = &workup.planned else { return Err(refusals(&workup.findings)) };
    if planned.set_ups.is_some() {
        return Ok(in_set_ups(job));
    }
    let outline = workup.outline.as_ref().unwrap();
    let programs = planned.mark_program.iter().chain([&planned.program]);
    let ledger = planned.path.ledger();
    Ok(programs
        .map(|program| {
            let text = gcode(&Stamp::of(&workup), &job.cut.machine, ledger, program);
            proven(&text, &proof::planned(job, outline, program));
            text
        })
        .collect())
}

/// The programs of each set-up, all of them proven; without the one that bores the table.
fn in_set_ups(job: &Job) -> Vec<String> {
    let set = Set::of(vec![Entry { job: job.clone(), times: 1 }], 0).unwrap();
    let bundle = Bundle::of(&set, DxfVersion::R2000).unwrap();
    let mut texts = Vec::new();
    bundle
        .proven(|artifact| {
            if artifact.name.starts_with("program") && artifact.name != "program-1.nc" {
                texts.push(String::from_utf8(artifact.bytes.clone()).unwrap());
            }
            Ok(artifact.bytes.clone())
        })
        .unwrap();
    texts
}

fn made_set(job: &Job) -> Result<Vec<String>, Vec<Finding>> {
    let set = Set::of(vec![Entry { job: job.clone(), times: 1 }], 0).unwrap();
    if set.refused() {
        return Err(refusals(&set.all_findings().cloned().collect::<Vec<_>>()));
    }
    let mut texts = Vec::new();
    for run in &set.sheets {
        let ledger = set.members[0].tooling.as_ref().unwrap().path.ledger();
        for program in run.programs.marks.iter().chain([&run.programs.cut]) {
            let text = gcode(&Stamp::of(&set.members[0].workup), &job.cut.machine, ledger, program);
            proven(&text, &proof::laid_out(&set, run, program));
            texts.push(text);
        }
    }
    let of_board = set.members[0].workup.planned.iter().filter(|_| set.sheets.is_empty());
    for planned in of_board {
        let text = gcode(
            &Stamp::of(&set.members[0].workup),
            &job.cut.machine,
            planned.path.ledger(),
            &planned.program,
        );
        let outline = set.members[0].workup.outline.as_ref().unwrap();
        proven(&text, &proof::planned(job, outline, &planned.program));
        texts.push(text);
    }
    Ok(texts)
}

fn refusals(findings: &[Finding]) -> Vec<Finding> {
    findings.iter().filter(|finding| finding.refuses()).cloned().collect()
}

fn proven(text: &str, expectation: &Expectation<'_>) {
    let verdict = proof::hold(text.as_bytes(), "program.nc", expectation).unwrap();
    let faults: Vec<_> =
        verdict.findings.iter().filter(|f| f.refuses() && f.code.name() != "loose-part").collect();
    assert!(faults.is_empty(), "{faults:#?}");
}

/// One place of the tool: X, Y and Z in mm, Z over the stock's top; `None` while the program has
/// not said it.
type At = [Option<f64>; 3];

/// Every straight bit of way of a program, arcs as chords, from where to where and on which line.
fn ways(text: &str, machine: &Machine, thickness: f64) -> Vec<(At, At, usize)> {
    let (mut at, mut ways, mut word): (At, _, u32) = ([None; 3], Vec::new(), 0);
    let mut unit = f64::NAN;
    for (i, line) in text.lines().enumerate() {
        let code = line.split(['(', ';']).next().unwrap();
        let words: Vec<(char, f64)> = code
            .split_whitespace()
            .filter_map(|w| Some((w.chars().next()?, w[1..].parse().ok()?)))
            .collect();
        let of = |letter: char| words.iter().find(|(l, _)| *l == letter).map(|(_, value)| *value);
        for (_, g) in words.iter().filter(|(letter, _)| *letter == 'G') {
            match *g as u32 {
                20 => unit = 25.4,
                21 => unit = 1.0,
                g @ 0..=3 => word = g,
                _ => {}
            }
        }
        let mut to = at;
        let below = if machine.z_zero == ZZero::Bed { thickness } else { 0.0 };
        for (axis, letter) in ['X', 'Y', 'Z'].into_iter().enumerate() {
            if let Some(value) = of(letter) {
                to[axis] = Some(value * unit - if axis == 2 { below } else { 0.0 });
            }
        }
        if words.iter().all(|(letter, _)| !matches!(letter, 'X' | 'Y' | 'Z')) {
            continue;
        }
        match (word, at[0], at[1], of('I'), of('J')) {
            (2 | 3, Some(x), Some(y), Some(a), Some(b)) => {
                let (cx, cy) = (x + a * unit, y + b * unit);
                let (from, end) =
                    ((y - cy).atan2(x - cx), (to[1].unwrap() - cy).atan2(to[0].unwrap() - cx));
                let turn = if word == 3 { 1.0 } else { -1.0 };
                let mut sweep = turn * (end - from);
                while sweep <= 0.0 {
                    sweep += std::f64::consts::TAU;
                }
                let radius = (x - cx).hypot(y - cy);
                let chord = |share: f64| {
                    let angle = from + turn * sweep * share;
                    [Some(cx + radius * angle.cos()), Some(cy + radius * angle.sin()), to[2]]
                };
                let points: Vec<At> = (0..=48).map(|k| chord(f64::from(k) / 48.0)).collect();
                ways.extend(points.windows(2).map(|pair| (pair[0], pair[1], i + 1)));
            }
            _ => ways.push((at, to, i + 1)),
        }
        at = to;
    }
    ways
}

/// The lines that a rapid is on; the word is modal.
fn rapid_lines(text: &str) -> Vec<usize> {
    let mut word = 0;
    let mut lines = Vec::new();
    for (i, line) in text.lines().enumerate() {
        for said in line.split(['(', ';']).next().unwrap().split_whitespace() {
            if let Some(g @ 0..=3) = said.strip_prefix('G').and_then(|g| g.parse::<u32>().ok()) {
                word = g;
            }
        }
        if word == 0 {
            lines.push(i + 1);
        }
    }
    lines
}

/// The first line at which the tool of a radius comes into a clamp, or over it by less than 6 mm.
fn hit(text: &str, job: &Job, clamps: &[Stands]) -> Option<(usize, usize)> {
    let radius = job.cut.machine.tool_radius().as_mm();
    let ways = ways(text, &job.cut.machine, job.cut.material.thickness.as_mm());
    let rapids: Vec<usize> = rapid_lines(text);
    for (from, to, line) in ways {
        let ([Some(x), Some(y), z], [Some(to_x), Some(to_y), to_z]) = (from, to) else { continue };
        let (z, to_z) = (z.unwrap_or(f64::NEG_INFINITY), to_z.unwrap_or(f64::NEG_INFINITY));
        let steps = ((to_x - x).hypot(to_y - y) / 0.5).ceil().max(1.0) as usize;
        for k in 0..=steps {
            let share = k as f64 / steps as f64;
            let (px, py) = (x + (to_x - x) * share, y + (to_y - y) * share);
            let low = if z == to_z { z } else { z.min(to_z) };
            // A rapid comes anywhere between its ends, each axis at a speed of its own.
            let is_rapid = rapids.contains(&line);
            let span = |from: f64, to: f64, at: f64| match is_rapid {
                true => (from.min(to), from.max(to)),
                false => (at, at),
            };
            let ((from_x, end_x), (from_y, end_y)) = (span(x, to_x, px), span(y, to_y, py));
            for (i, Stands { at: [left, lower, length, width], height }) in
                clamps.iter().enumerate()
            {
                let dx = (left - end_x).max(from_x - left - length).max(0.0);
                let dy = (lower - end_y).max(from_y - lower - width).max(0.0);
                let passes = height.is_some_and(|height| low >= height + 6.0);
                if dx.hypot(dy) < radius && !passes {
                    return Some((line, i + 1));
                }
            }
        }
    }
    None
}

/// Short steps cut from a sheet.
fn steps(cut: &str) -> Stair {
    Stair {
        rules: "us-osha".into(),
        rise: "total = \"28 in\"\nrisers = 4".into(),
        tread: tread("10 1/2 in", "1 in", "1 in", "3/4 in"),
        board: "width = \"11 1/4 in\"\nthickness = \"18 mm\"".into(),
        cut: format!(
            "makes = \"stringers\"\nmachine = \"router-table\"\nmaterial = \"plywood-18\"\n{cut}"
        ),
        ..Stair::default()
    }
}

fn on_board(cut: &str) -> Stair {
    Stair {
        rise: "total = \"44 1/2 in\"".into(),
        cut: format!(
            "makes = \"stringers\"\nmachine = \"router-table\"\nmaterial = \"board-2x12\"\n{cut}"
        ),
        ..Stair::default()
    }
}

fn housed() -> Stair {
    let thick = [("thickness = \"18 mm\"", "thickness = \"1 1/4 in\"")];
    Stair {
        rise: "total = \"30 in\"\nrisers = 4".into(),
        board:
            "width = \"14 in\"\nthickness = \"1 1/4 in\"\n[housed]\nhand = \"left\"\ndepth = \"1/2 \
            in\"\nwedge = \"3/8 in\""
                .into(),
        cut: "makes = \"stringers\"\nmachine = \"router-table\"\nmaterial = \"./thick.toml\""
            .into(),
        files: vec![("./thick.toml".into(), profile_with("material", "plywood-18", &thick))],
        ..Stair::default()
    }
}

fn in_shifts() -> Stair {
    let long = [("\"2440 mm\"", "\"6000 mm\"")];
    Stair {
        rise: "total = \"102 3/4 in\"\nrisers = 14".into(),
        cut: "makes = \"pattern\"\nmachine = \"router-table\"\nmaterial = \"./long.toml\"\nlong \
            = \"index\""
            .into(),
        files: vec![("./long.toml".into(), profile_with("material", "plywood-12", &long))],
        ..Stair::default()
    }
}

fn pattern(machine: &str, more: &str) -> Stair {
    Stair {
        rules: "us-osha".into(),
        rise: "total = \"28 in\"\nrisers = 4".into(),
        cut: format!(
            "makes = \"pattern\"\nmachine = \"{machine}\"\nmaterial = \"plywood-12\"\n{more}"
        ),
        ..Stair::default()
    }
}

fn burnt() -> Stair {
    let mut stair = steps("quantity = 2");
    stair.rise = "total = \"21 in\"\nrisers = 3".into();
    stair.board = stair.board.replace("18 mm", "3.2 mm");
    stair.cut = stair.cut.replace("router-table", "laser").replace("plywood-18", "hardboard-3");
    stair
}

fn layered() -> Stair {
    let mut stair = steps("quantity = 1\nlayers = 2");
    stair.board = stair.board.replace("18 mm", "36 mm");
    stair
}

fn split() -> Stair {
    let mut stair = in_shifts();
    stair.cut = stair.cut.replace("\"index\"", "\"split\"").replace("./long.toml", "plywood-12");
    stair
}

/// Every kind of program, with the size of what lies on the machine in mm.
fn kinds() -> Vec<(&'static str, Stair, [f64; 2])> {
    vec![
        ("sheet", steps("quantity = 3"), [2438.0, 1219.0]),
        ("board", on_board("quantity = 2"), [1620.0, 285.0]),
        ("pattern with marks", pattern("router-table", ""), [2438.0, 1219.0]),
        ("housed", housed(), [2438.0, 1219.0]),
        ("shifts", in_shifts(), [2438.0, 1219.0]),
        (
            "marks over the bed",
            pattern("router-metric", "thickness = \"11.5 mm\""),
            [1219.0, 2438.0],
        ),
        ("beam", burnt(), [1219.0, 899.0]),
        ("layers", layered(), [2438.0, 1219.0]),
        ("one board", on_board(""), [1620.0, 285.0]),
        ("fits without shifts", pattern("router-table", "long = \"index\""), [2438.0, 1219.0]),
        ("split", split(), [2438.0, 1219.0]),
    ]
}

/// Small numbers that look random and are the same on every run.
struct Dice(u64);

impl Dice {
    fn roll(&mut self) -> f64 {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as f64 / (1_u64 << 31) as f64
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.roll()
    }

    fn one_of<T: Copy>(&mut self, choice: &[T]) -> T {
        choice[(self.roll() * choice.len() as f64) as usize % choice.len()]
    }

    /// One to four clamps, most of them at an edge.
    fn clamps(&mut self, [length, width]: [f64; 2]) -> Vec<Stands> {
        let count = 1 + (self.roll() * 4.0) as usize;
        let clamp = |dice: &mut Self| {
            let size = [dice.between(20.0, 110.0), dice.between(20.0, 110.0)];
            let (x, y) = (dice.between(0.0, length - size[0]), dice.between(0.0, width - size[1]));
            let (x, y) = match (dice.roll() * 10.0) as usize {
                0 | 1 => (0.0, y),
                2 | 3 => (x, 0.0),
                4 | 5 => (length - size[0], y),
                6 | 7 => (x, width - size[1]),
                8 => (0.0, 0.0),
                _ => (x, y),
            };
            let height = dice.one_of(&[None, None, Some(4.0), Some(25.0), Some(60.0)]);
            stands([x, y, size[0], size[1]], height)
        };
        (0..count).map(|_| clamp(self)).collect()
    }
}

/// Random clamps for every kind of program: what is made keeps off them, what is not made says
/// which clamp it is. Gives how many were made and how many refused for each kind.
fn swept(rounds: usize, seed: u64) -> Vec<(&'static str, usize, usize)> {
    let mut dice = Dice(seed);
    let mut counts = Vec::new();
    for (kind, stair, size) in kinds() {
        let (mut were_made, mut were_refused) = (0, 0);
        for _ in 0..if kind == "split" { rounds.div_ceil(3) } else { rounds } {
            let clamps = dice.clamps(size);
            let job = clamped(&stair, &clamps);
            match made(&job) {
                Ok(texts) => {
                    were_made += 1;
                    assert!(!texts.is_empty());
                    for text in &texts {
                        assert_eq!(hit(text, &job, &clamps), None, "{kind}: {clamps:?}");
                        let lists = text.contains("CLAMP 1, X ") || text.contains("Clamp 1 at X ");
                        assert!(lists, "{kind} does not list its clamps");
                    }
                }
                Err(refusals) => {
                    were_refused += 1;
                    let names = |f: &Finding| {
                        format!("{} {}", f.place, f.sentence()).contains("cut.clamps")
                    };
                    assert!(refusals.iter().all(names), "{kind}: {clamps:?} {refusals:#?}");
                }
            }
        }
        counts.push((kind, were_made, were_refused));
    }
    counts
}

#[test]
fn no_program_of_any_kind_cuts_or_crosses_a_clamp() {
    let counts = swept(3, 7);
    println!("{counts:?}");
    assert!(counts.iter().map(|(_, made, _)| made).sum::<usize>() >= 15, "{counts:?}");
}

#[test]
#[ignore = "the long run: minutes"]
fn no_program_of_hundreds_cuts_or_crosses_a_clamp() {
    let counts = swept(30, 2026);
    println!("{counts:?}");
    for (kind, made, refused) in counts {
        assert!(made > 0, "{kind}: none of {} made", made + refused);
    }
}

fn codes(refusals: &[Finding]) -> Vec<&'static str> {
    refusals.iter().map(|finding| finding.code.name()).collect()
}

#[test]
fn the_sweep_sees_a_cut_and_a_rapid_over_a_clamp() {
    let stair = steps("quantity = 3");
    let job = stair.job();
    let text = &made(&job).unwrap()[0];
    // A long cut in the middle of the sheet, and the way home.
    assert!(hit(text, &job, &[stands([300.0, 20.0, 40.0, 400.0], Some(60.0))]).is_some());
    let home = stands([0.0, 0.0, 10.0, 10.0], Some(8.0));
    let (line, _) = hit(text, &job, &[home]).unwrap();
    assert!(text.lines().nth(line - 1).unwrap().starts_with("G0 X"), "{line}");
    assert_eq!(hit(text, &job, &[Stands { height: Some(6.0), ..home }]), None);
}

#[test]
fn a_clamp_on_a_board_in_the_cutters_way_is_refused_by_name_and_one_in_the_throat_band_is_not() {
    for cut in ["quantity = 3", ""] {
        let on_teeth = stands([508.0, 152.0, 152.0, 127.0], None);
        let all = stands([0.0, 0.0, 1600.0, 279.0], None);
        for (clamp, other) in [(on_teeth, None), (all, Some(on_teeth))] {
            let clamps: Vec<Stands> = [clamp].into_iter().chain(other).collect();
            let refused = made(&clamped(&on_board(cut), &clamps)).unwrap_err();
            assert!(codes(&refused).iter().all(|code| *code == "clamp-in-cut"), "{refused:?}");
            assert_eq!(refused.len(), clamps.len());
            assert_eq!(
                refused[0].place,
                Place::NthNamed(Numbered::Clamp, 1, "cut.clamps".to_string())
            );
            assert!(
                refused[0].sentence().contains("on the piece from X"),
                "{}",
                refused[0].sentence()
            );
        }
        let in_throat = stands([508.0, 0.0, 152.0, 60.0], None);
        let job = clamped(&on_board(cut), &[in_throat]);
        for text in made(&job).unwrap() {
            assert_eq!(hit(&text, &job, &[in_throat]), None);
        }
        let off =
            made(&clamped(&on_board(cut), &[stands([2000.0, 0.0, 50.0, 50.0], None)])).unwrap_err();
        assert!(
            codes(&off).contains(&"clamp-off-sheet")
                && off[0].place.to_string().contains("cut.clamps"),
            "{off:?}"
        );
    }
}

fn board_program(stair: &Stair) -> (Job, Program, String) {
    let job = stair.job();
    let workup = Workup::of(&job);
    let planned = workup.planned.as_ref().unwrap();
    let text =
        gcode(&Stamp::of(&workup), &job.cut.machine, planned.path.ledger(), &planned.program);
    (job, planned.program.clone(), text)
}

#[test]
fn a_clamp_that_fills_the_zone_of_a_board_is_never_touched_said_or_not() {
    for risers in 3..=7 {
        let mut stair = on_board("");
        stair.rise = format!("total = \"{} in\"\nrisers = {risers}", 7.25 * f64::from(risers));
        let (job, program, text) = board_program(&stair);
        let zone = program.clamp_zone.expect("a throat band");
        let fills = stands([zone.min.x, zone.min.y, zone.width(), zone.height()], None);
        // Its holder stands in front of the board.
        let holder = stands([zone.min.x, -100.0, zone.width(), 100.0 + zone.height()], None);
        assert_eq!(hit(&text, &job, &[fills, holder]), None, "{risers}");
        let job = clamped(&stair, &[fills]);
        assert!(made(&job).is_ok(), "{risers}: {zone:?}");
        // Twice as high it is in the way.
        let higher = stands([zone.min.x, zone.min.y, zone.width(), 2.0 * zone.height()], None);
        assert_eq!(codes(&made(&clamped(&stair, &[higher])).unwrap_err()), ["clamp-in-cut"]);
    }
}

#[test]
fn the_header_and_the_bench_sheet_of_a_board_say_blank_zone_and_what_is_cut_beyond_it() {
    let (job, program, text) = board_program(&on_board(""));
    let blank = program.stock.length.as_inches();
    assert!(blank > 55.0 && blank < 70.0, "{blank} in of a board of 192");
    assert!((program.stock.width.as_inches() - 11.25).abs() < 1e-9);
    for says in [
        "(Beyond the edge at Y 0 it goes as far as Y -0.368 and Z -1.52)",
        "(there at X 8.425 to 9.051, X 59.318 to 59.808)",
        "(Clamp on the piece only, X ",
        "is the blank, sawn",
    ] {
        assert!(text.contains(says), "{says}\n{}", &text[..1500]);
    }
    assert!(text.contains("No fence, stop or clamp"));
    let workup = Workup::of(&job);
    let sheet = format!("{:?}", seatcut::output::content::bench_sheet(&workup));
    assert!(sheet.contains("in its throat band") && sheet.contains("beyond the edge at Y0"));
    assert!(!sheet.contains("Clamp outside the piece"));
    let saws = Set::of(vec![Entry { job: on_board("quantity = 3").job(), times: 1 }], 0).unwrap();
    let sawn = saws.boards[0].blanks[0].length.as_mm();
    assert!((sawn - program.stock.length.as_mm()).abs() < 1e-9, "{sawn}");
}

#[test]
fn the_usual_corner_clamp_is_parked_beside_and_said() {
    let corner = stands([0.0, 0.0, 50.8, 50.8], None);
    // A board's corner is the offcut below the foot, which holds the piece by one tab.
    assert_eq!(codes(&made(&clamped(&on_board(""), &[corner])).unwrap_err()), ["piece-loose"]);
    let in_throat = stands([508.0, 0.0, 152.0, 60.0], None);
    let alone = [steps("quantity = 6"), burnt(), pattern("router-table", "")]
        .map(|stair| (stair, vec![corner]));
    for (stair, clamps) in alone.into_iter().chain([(on_board(""), vec![corner, in_throat])]) {
        let job = clamped(&stair, &clamps);
        for text in made(&job).unwrap() {
            assert!(text.contains("CLEAR OF THE CLAMPS, BEFORE IT STARTS"), "{}", &text[..1200]);
            assert_eq!(hit(&text, &job, &clamps), None);
            let home = text.lines().rfind(|line| line.starts_with("G0 X")).unwrap();
            assert!(
                !home.starts_with("G0 X0.0000 Y0.0000") && !home.starts_with("G0 X0.000 Y0.000"),
                "{home}"
            );
        }
    }
}

#[test]
fn rapids_pass_over_low_clamps_go_round_high_ones_and_are_lifted_where_there_is_no_way_round() {
    let stair = steps("quantity = 6");
    let row = |height| -> Vec<Stands> {
        // A wall of clamps across the whole table: the last one reaches over the sheet's edge.
        (0..12).map(|i| stands([1205.0, f64::from(i) * 102.0, 40.0, 105.0], height)).collect()
    };
    let highest = |height| {
        let job = clamped(&stair, &row(height));
        let texts = made(&job)?;
        let all = texts.iter().flat_map(|text| ways(text, &job.cut.machine, 18.0));
        let heights = all.filter_map(|(_, to, _)| to[2]);
        assert!(texts.iter().all(|text| hit(text, &job, &row(height)).is_none()));
        Ok::<f64, Vec<Finding>>(heights.fold(0.0, f64::max))
    };
    assert!((highest(Some(6.0)).unwrap() - 12.7).abs() < 1e-6, "passed over at the safe height");
    let lifted = highest(Some(40.0)).unwrap();
    assert!((lifted - 46.35).abs() < 0.01, "lifted to {lifted}");
    let refused = highest(None).unwrap_err();
    assert_eq!(codes(&refused), ["clamp-in-the-way"]);
    assert!(
        refused[0].place == "cut.clamps".into() && refused[0].value("clamps").is_some(),
        "{refused:?}"
    );
    assert_eq!(
        codes(&highest(Some(150.0)).unwrap_err()),
        ["clamp-in-the-way"],
        "higher than the machine lifts"
    );
}

#[test]
fn a_clamp_that_reaches_up_beside_the_nut_says_how_far_the_cutter_has_to_stick_out() {
    let flutes = steps("").job().cut.machine.tool.cutter().unwrap().flute_length.as_mm();
    let said = |height: f64| {
        let at = stands([1000.0, 0.0, 80.0, 40.0], Some(height));
        let programs = made(&clamped(&steps("quantity = 3"), &[at])).unwrap();
        let line = |text: &String| {
            let line = text.lines().find(|line| line.contains("LET THE CUTTER STICK OUT"));
            line.map(str::to_string)
        };
        programs.iter().find_map(line)
    };
    assert_eq!(said(flutes - 22.0), None, "the flutes stick out in any case");
    // The deepest cut goes through 18 mm and 0.5 mm beyond.
    let told = said(60.0).unwrap();
    let figure: f64 = told.split_whitespace().find_map(|word| word.parse().ok()).unwrap();
    assert!((figure * 25.4 - 78.5).abs() < 0.5, "{told}");
}

#[test]
fn clamps_of_a_part_in_shifts_stand_on_the_table_in_every_set_up() {
    let far = stands([1000.0, 900.0, 80.0, 60.0], None);
    let job = clamped(&in_shifts(), &[far]);
    let texts = made(&job).unwrap();
    assert!(texts.iter().any(|text| text.contains("IN THE SAME PLACES IN EVERY SET-UP")));
    assert!(texts.iter().any(|text| text.contains("CLAMPS GO BACK TO THEIR PLACES ON THE TABLE")));
    for text in &texts {
        assert_eq!(hit(text, &job, &[far]), None);
        assert!(!text.lines().any(|line| line.ends_with("M0")), "{text}");
    }
    // Seen from the stock this clamp stands clear in the first set-up; on the table the second
    // one's cuts reach it.
    let plain = in_shifts().job();
    let texts = made(&plain).unwrap();
    let cuts = |text: &str| {
        let all = ways(text, &plain.cut.machine, 12.0).into_iter();
        all.filter(|(from, to, _)| {
            from[2].is_some_and(|z| z < 0.0) && to[2].is_some_and(|z| z < 0.0)
        })
        .collect::<Vec<_>>()
    };
    let second = cuts(texts.last().unwrap());
    let ([Some(x), Some(y), _], ..) = second[second.len() / 2] else { panic!("a place") };
    let in_way = stands([x - 5.0, y - 5.0, 10.0, 10.0], None);
    let refused = made(&clamped(&in_shifts(), &[in_way])).unwrap_err();
    assert_eq!(codes(&refused), ["clamp-in-cut"]);
}

/// The job's plan, made as if its clamps were none.
fn without_clamps(stair: &Stair) -> (Workup, Program) {
    let workup = Workup::of(&stair.job());
    let program = workup.planned.as_ref().unwrap().program.clone();
    (workup, program)
}

#[test]
fn what_hangs_in_the_first_set_up_and_not_in_the_second_is_refused_by_the_plan_and_by_the_proof() {
    let (workup, program) = without_clamps(&in_shifts());
    let [first, second] = program.setups[..] else { panic!("{:?}", program.setups) };
    let stock = program.stock.length.as_mm();
    // It presses on the stock's far end; after the shift the end has gone from under it.
    let at_end = stands([stock - 150.0, 900.0, 100.0, 60.0], None);
    assert!(stock + second.x < at_end.at[0] && first.norm() == 0.0);
    let refused = made(&clamped(&in_shifts(), &[at_end])).unwrap_err();
    assert!(
        codes(&refused).iter().all(|code| *code == "piece-loose" || *code == "offcut-loose"),
        "{refused:?}"
    );
    let is_second = |f: &Finding| matches!(f.place, Place::NthNamed(Numbered::SetUp, 2, _));
    let is_told = |f: &Finding| is_second(f) && f.sentence().contains("cut.clamps");
    assert!(refused.iter().all(is_told), "{refused:?}");
    // With another that stays over the stock it holds all along.
    let near = stands([1000.0, 900.0, 80.0, 60.0], None);
    assert!(made(&clamped(&in_shifts(), &[at_end, near])).is_ok());

    let set_ups = SetUps::of(&workup.job, &program, None).unwrap().unwrap();
    let ledger = workup.planned.as_ref().unwrap().path.ledger();
    let stamp = Stamp::of(&workup);
    let texts: Vec<String> = set_ups
        .cuts
        .iter()
        .map(|cut| gcode(&stamp, &workup.job.cut.machine, ledger, cut))
        .collect();
    let files: Vec<(&str, &[u8])> = texts.iter().map(|text| ("program", text.as_bytes())).collect();
    let of_planned = |clamp: Stands| {
        let job = clamped(&in_shifts(), &[clamp]);
        let workup = Workup::of(&in_shifts().job());
        let lies = program.stock;
        let clamps = seatcut::cam::plan::ClampBox::all(&job.cut.sharing.clamps);
        let of = |clamp: &seatcut::cam::plan::ClampBox| seatcut::verify::Clamp {
            place: clamp.standing(&lies),
            pad: clamp.place,
            height_mm: None,
        };
        let outline = workup.outline.as_ref().unwrap();
        let expectation = Expectation {
            clamps: clamps.iter().map(of).collect(),
            ..proof::planned(&job, outline, &program)
        };
        verify_set_ups(&files, "program", &expectation).unwrap()
    };
    // It was planned without clamps, so that it says nowhere where the tool comes from.
    assert_eq!(codes(&of_planned(near).findings), ["first-way-unsaid"; 2], "in either set-up");
    let told = of_planned(at_end);
    assert!(!told.is_this_part());
    let free = told.findings.iter().find(|f| f.code.name() == "part-cut-free").unwrap();
    assert!(is_second(free), "{free:?}");
    let holding = told.holding.unwrap();
    assert_eq!((holding.setup, holding.pieces.len()), (Some(2), 1));
    assert!(!holding.holds_all());
}

#[test]
fn a_housed_stringer_lies_aside_of_its_clamp_or_names_it() {
    let corner = stands([0.0, 100.0, 80.0, 80.0], None);
    let plain = Workup::of(&housed().job()).planned.unwrap().program;
    let aside = Workup::of(&clamped(&housed(), &[corner])).planned.unwrap().program;
    assert!(aside.placement().translation.x > plain.placement().translation.x + 50.0);
    assert!(made(&clamped(&housed(), &[corner])).is_ok());
    let over = stands([100.0, 20.0, 2200.0, 1100.0], Some(10.0));
    let refused = made(&clamped(&housed(), &[over])).unwrap_err();
    assert_eq!(codes(&refused), ["clamp-in-cut"]);
    assert!(refused[0].place.to_string().contains("cut.clamps"));
}

#[test]
fn a_foreign_program_is_held_against_the_clamps_too() {
    let (_, _, text) = board_program(&on_board(""));
    let told = |clamp: Stands| {
        let job = clamped(&on_board(""), &[clamp]);
        let workup = Workup::of(&on_board("").job());
        let anybodys = proof::anybodys(&job, workup.outline.as_ref().unwrap());
        let verdict = proof::hold(text.as_bytes(), "theirs.nc", &anybodys).unwrap();
        verdict
            .findings
            .iter()
            .filter(|f| f.code.name() == "clamp-hit")
            .cloned()
            .collect::<Vec<Finding>>()
    };
    let hits = told(stands([508.0, 152.0, 152.0, 127.0], Some(30.0)));
    assert!(
        !hits.is_empty() && hits[0].value("clamp") == Some(&Value::Count(Count(1))),
        "{hits:?}"
    );
    assert_eq!(told(stands([508.0, 0.0, 152.0, 60.0], Some(30.0))), []);
}

fn deepest(program: &Program) -> f64 {
    let heights = program.steps.iter().filter_map(|step| match step {
        Step::Cut { to_z, .. } => Some(-to_z),
        _ => None,
    });
    heights.fold(0.0, f64::max)
}

#[test]
fn stringers_are_cut_as_deep_as_their_board_was_measured() {
    for (thickness, mm) in [("18.6 mm", 18.6), ("19 mm", 19.0), ("17.2 mm", 17.2)] {
        let mut stair = steps("");
        stair.board = stair.board.replace("18 mm", thickness);
        let job = stair.job();
        let program = Workup::of(&job).planned.unwrap().program;
        assert!(
            (deepest(&program) - mm - 0.508).abs() < 1e-9,
            "{thickness}: {}",
            deepest(&program)
        );
        assert!((program.stock.thickness.as_mm() - mm).abs() < 1e-9);
        assert!(made(&job).is_ok());
    }
    let mut thick = on_board("");
    thick.board = thick.board.replace("1 1/2 in", "1.55 in");
    let (_, program, _) = board_program(&thick);
    assert!((deepest(&program) - 1.57 * 25.4).abs() < 1e-9);
    let mut layers = layered();
    layers.board = layers.board.replace("36 mm", "37 mm");
    assert!((layers.job().cut.material.thickness.as_mm() - 18.5).abs() < 1e-12);
}

#[test]
fn what_is_thicker_than_the_cutter_or_the_beam_cuts_is_refused_with_what_was_measured() {
    let mut stair = on_board("");
    stair.board = stair.board.replace("1 1/2 in", "1 3/4 in");
    assert!(codes(&made(&stair.job()).unwrap_err()).contains(&"cutter-too-short"));
    let mut beam = burnt();
    beam.cut.push_str("\nthickness = \"7 mm\"");
    let refused = codes(&made(&beam.job()).unwrap_err());
    assert!(
        refused.contains(&"laser-too-thick") && refused.contains(&"thickness-far"),
        "{refused:?}"
    );
}

#[test]
fn marks_over_the_bed_count_on_the_sheet_as_measured() {
    let lowest = |more: &str| {
        let job = pattern("router-metric", more).job();
        let text = made(&job).unwrap().remove(0);
        let zs = ways(&text, &job.cut.machine, 0.0).into_iter().filter_map(|(_, to, _)| to[2]);
        (zs.fold(f64::INFINITY, f64::min), text)
    };
    let (z, text) = lowest("thickness = \"11.5 mm\"");
    assert!((z - 11.0).abs() < 1e-9, "{z}");
    assert!(text.contains("Marks count on stock of 11.5 mm over the bed"));
    // Nobody measured it: refused.
    let refused = codes(&made(&pattern("router-metric", "").job()).unwrap_err());
    assert!(refused.contains(&"mark-unmeasured"), "{refused:?}");
}

#[test]
fn jobs_on_sheets_of_two_measured_thicknesses_do_not_share_one() {
    let titled = |title: &str, thickness: &str| {
        let mut stair = steps("quantity = 2");
        stair.board = stair.board.replace("18 mm", thickness);
        let job = Job { title: title.to_string(), ..stair.job() };
        Entry { job, times: 1 }
    };
    let set = Set::of(vec![titled("A", "18 mm"), titled("B", "18.6 mm")], 0).unwrap();
    assert!(!set.refused());
    let thick: Vec<f64> =
        set.sheets.iter().map(|run| run.programs.cut.stock.thickness.as_mm()).collect();
    assert_eq!(thick, [18.0, 18.6]);
}
