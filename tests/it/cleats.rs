//! Solid stringers with cleats: the board and every cleat by plane geometry of this test's own,
//! from the measurements alone; programs and drawings proven, spoilt ones caught.

use crate::common::{Made, Stair, code, proven_text, seatcut, set_of, tread};
use seatcut::diagnostics::{Finding, Value, codes};
use seatcut::geometry::Point;
use seatcut::job::Job;
use seatcut::output::content::{TableRows, Topic, bench_sheet};
use seatcut::pipeline::numbers;
use seatcut::pipeline::set::{Entry, Set};
use seatcut::pipeline::workup::Workup;
use seatcut::site::beam::check as beam_check;
use seatcut::stair::outline::{Cleat, Met, Outline, Role};
use seatcut::stair::{Post, RailLine};
use seatcut::units::Length;

/// What holds a tread in most of these tests.
const WOOD: &str = "thickness = \"1 1/2 in\"\nheight = \"1 1/2 in\"";
const BOARDS: &str = "makes = \"stringers\"\nmachine = \"router-table\"\nmaterial = \"board-2x12\"";

/// An invented cellar stair of six risers with open treads on cleats.
fn stair(cleat: &str) -> Stair {
    Stair {
        rules: "us-osha".into(),
        rise: "total = \"45 in\"\nrisers = 6".into(),
        tread: tread("10 in", "1 in", "1 1/2 in", "0 in"),
        head: "meets = \"one-down\"\nfinish = \"3/4 in\"\nrim_depth = \"9 1/4 in\"".into(),
        board: format!("width = \"11 1/4 in\"\nthickness = \"1 1/2 in\"\n[cleat]\n{cleat}"),
        cut: BOARDS.into(),
        ..Stair::default()
    }
}

fn with_cut(cleat: &str, cut: &str) -> Stair {
    let mut stair = stair(cleat);
    // Stringers out of a sheet are as thick as it is.
    let sheets = [("18 mm", "plywood-18"), ("6 mm", "hardboard-6")];
    let is_of = |sheet: &str| cut.contains("\"stringers\"") && cut.contains(sheet);
    for (thick, _) in sheets.into_iter().filter(|(_, sheet)| is_of(sheet)) {
        let own = format!("thickness = \"{thick}\"\n[cleat]");
        stair.board = stair.board.replace("thickness = \"1 1/2 in\"\n[cleat]", &own);
    }
    if cut.contains("laser") {
        // As many steps as lie on its table.
        stair.rise = "total = \"22 1/2 in\"\nrisers = 3".into();
    }
    Stair { cut: cut.into(), ..stair }
}

fn worked(stair: &Stair) -> Workup {
    Workup::of(&stair.job())
}

fn findings(stair: &Stair) -> Vec<Finding> {
    worked(stair).findings
}

/// The measurements of a stair, in inches, and what follows from them by hand.
struct ByHand {
    rise: f64,
    risers: usize,
    run: f64,
    nosing: f64,
    riser: f64,
    tread: f64,
    come: f64,
    stands_on: f64,
    /// The head: how thick the finish is, its riser board, a spacer, the top tread of a flush one.
    finish: f64,
    head_riser: f64,
    spacer: f64,
    top_tread: Option<f64>,
    width: f64,
    above: f64,
    set_back: f64,
    length: Option<f64>,
    height: f64,
    leg: f64,
    count: usize,
    end: f64,
}

impl ByHand {
    /// What the job of [`stair`] says with [`WOOD`].
    fn usual() -> Self {
        Self {
            rise: 45.0,
            risers: 6,
            run: 10.0,
            nosing: 1.0,
            riser: 0.0,
            tread: 1.5,
            come: 0.0,
            stands_on: 0.0,
            finish: 0.75,
            head_riser: 0.0,
            spacer: 0.0,
            top_tread: None,
            width: 11.25,
            above: 0.0,
            set_back: 0.5,
            length: None,
            height: 1.5,
            leg: 0.0,
            count: 3,
            end: 1.5,
        }
    }

    fn stair(&self, rules: &str, hand: &str, angle: bool) -> Stair {
        let inches = |key: &str, value: f64| format!("{key} = \"{value} in\"\n");
        let head = match self.top_tread {
            Some(top) => format!("meets = \"flush\"\n{}", inches("top_tread", top)),
            None => "meets = \"one-down\"\n".to_string(),
        };
        let kind = if angle {
            format!("with = \"angle\"\nleg = \"1 1/4 in\"\n{}", inches("thickness", self.leg))
        } else {
            inches("thickness", 1.0)
        };
        let length = self.length.map_or(String::new(), |length| inches("length", length));
        let foot = if self.stands_on > 0.0 {
            format!(
                "[foot]\nstands_on = {{ what = \"plate\", height = \"{} in\" }}\n",
                self.stands_on
            )
        } else {
            String::new()
        };
        Stair {
            rules: rules.into(),
            rise: format!(
                "{}risers = {}\n{}",
                inches("total", self.rise),
                self.risers,
                inches("finish_to_come", self.come)
            ),
            tread: [
                inches("cut", self.run),
                inches("overhang", self.nosing),
                inches("thickness", self.tread),
                inches("riser_board", self.riser),
            ]
            .concat(),
            head: [
                head,
                inches("finish", self.finish),
                inches("riser_board", self.head_riser),
                inches("spacer", self.spacer),
            ]
            .concat(),
            board: [
                inches("width", self.width),
                "thickness = \"1 1/2 in\"\n".to_string(),
                foot,
                format!("[cleat]\n{kind}hand = \"{hand}\"\ncount = {}\n", self.count),
                inches("height", self.height),
                inches("set_back", self.set_back),
                inches("edge_above", self.above),
                inches("end", self.end),
                length,
            ]
            .concat(),
            cut: BOARDS.into(),
            ..Stair::default()
        }
    }

    fn step(&self) -> f64 {
        self.rise / self.risers as f64
    }

    fn treads(&self) -> usize {
        if self.top_tread.is_some() { self.risers } else { self.risers - 1 }
    }

    /// The stringer's plumb cut at the head, from the back of the first riser board.
    fn head_x(&self) -> f64 {
        let before = self.run * (self.treads() as f64 - 1.0);
        match self.top_tread {
            Some(top) => before + top - self.spacer,
            None => before + self.run - self.riser + self.head_riser - self.spacer,
        }
    }

    /// Finished surface `k`, over what the stringer stands on.
    fn surface(&self, k: usize) -> f64 {
        self.step() * k as f64 + self.come - self.stands_on
    }

    fn front(&self, k: usize) -> f64 {
        self.run * (k as f64 - 1.0) - self.riser - self.nosing
    }

    /// The board as what six half-planes share: behind the first nosing, over the floor, before the
    /// head, under the upper finish, under the upper edge, over the lower edge.
    fn board(&self) -> Vec<[f64; 2]> {
        let pitch = self.step().atan2(self.run);
        let (sin, cos) = pitch.sin_cos();
        let level = match self.top_tread {
            Some(_) => self.surface(self.risers),
            None => self.surface(self.risers) - self.finish,
        };
        // Square to the pitch, over the line through the nosings.
        let over = |p: [f64; 2]| {
            let (dx, dy) = (p[0] - self.front(1), p[1] - self.surface(1));
            dy * cos - dx * sin
        };
        let (foot, head) = (self.front(1), self.head_x());
        let sides: [Box<dyn Fn([f64; 2]) -> f64>; 6] = [
            Box::new(move |p| p[0] - foot),
            Box::new(|p| p[1]),
            Box::new(move |p| head - p[0]),
            Box::new(move |p| level - p[1]),
            Box::new(|p| self.above - over(p)),
            Box::new(|p| over(p) - self.above + self.width),
        ];
        let far = 1e4;
        let mut ring = vec![[-far, -far], [far, -far], [far, far], [-far, far]];
        for side in &sides {
            let mut kept: Vec<[f64; 2]> = Vec::new();
            for (i, p) in ring.iter().enumerate() {
                let q = ring[(i + 1) % ring.len()];
                let (a, b) = (side(*p), side(q));
                if a >= 0.0 {
                    kept.push(*p);
                }
                if (a > 0.0 && b < 0.0) || (a < 0.0 && b > 0.0) {
                    let t = a / (a - b);
                    kept.push([p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1])]);
                }
            }
            ring = kept;
        }
        ring.dedup_by(|p, q| same(p[0], q[0]) && same(p[1], q[1]));
        ring
    }

    /// Front, back, underside and top of cleat `k`, and its holes.
    fn cleat(&self, k: usize) -> ([f64; 4], Vec<[f64; 2]>) {
        let front = self.front(k) + self.set_back;
        let whole = if self.top_tread.is_some() && k == self.treads() {
            self.head_x()
        } else {
            (self.front(k) + self.run + self.nosing).min(self.head_x())
        };
        let back = self.length.map_or(whole, |length| front + length);
        let top = self.surface(k) - self.tread;
        let bottom = top - self.height;
        let y = bottom + (self.height - self.leg) / 2.0;
        let apart = (back - front - 2.0 * self.end) / (self.count as f64 - 1.0);
        let holes = (0..self.count).map(|i| [front + self.end + apart * i as f64, y]);
        ([front, back, bottom, top], holes.collect())
    }
}

fn same(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-6
}

/// Every corner of the one among the corners of the other, and as many.
fn same_ring(found: &[Point], wanted: &[[f64; 2]], sign: f64) -> bool {
    let near = |p: &Point, w: &[f64; 2]| same(p.x / 25.4, sign * w[0]) && same(p.y / 25.4, w[1]);
    found.len() == wanted.len() && wanted.iter().all(|w| found.iter().any(|p| near(p, w)))
}

fn at(p: &Point, sign: f64) -> [f64; 2] {
    [sign * p.x / 25.4, p.y / 25.4]
}

fn held(hand: &ByHand, outline: &Outline, sign: f64) {
    let found = outline.contour().vertices();
    assert!(same_ring(&found, &hand.board(), sign), "{found:?} for {:?}", hand.board());
    let cleats = outline.cleats();
    assert_eq!(cleats.len(), hand.treads());
    for (k, cleat) in (1..).zip(cleats) {
        let ([front, back, bottom, top], holes) = hand.cleat(k);
        let corners = [[front, bottom], [back, bottom], [back, top], [front, top]];
        let found = cleat.corners.map(|p| at(&p, sign));
        for (found, wanted) in found
            .iter()
            .zip(&corners)
            .chain(cleat.holes.iter().map(|p| at(p, sign)).collect::<Vec<_>>().iter().zip(&holes))
        {
            assert!(
                same(found[0], wanted[0]) && same(found[1], wanted[1]),
                "cleat {k}: {found:?} for {wanted:?}"
            );
        }
        assert_eq!(cleat.holes.len(), holes.len(), "cleat {k}");
    }
}

/// Stairs of every kind: closed and open, one-down and flush, on a plate, over a finish to come, a
/// spacer at the head, board over the nosings, cleats of a length, angles.
fn kinds() -> Vec<(ByHand, &'static str, bool)> {
    let usual = ByHand::usual;
    vec![
        (usual(), "us-osha", false),
        (ByHand { come: 0.75, ..usual() }, "us-osha", false),
        (ByHand { stands_on: 1.5, length: Some(8.0), count: 2, ..usual() }, "us-osha", false),
        (ByHand { riser: 0.75, set_back: 1.75, head_riser: 0.5, ..usual() }, "us-irc-2021", false),
        (ByHand { spacer: 1.5, above: 0.5, width: 13.25, ..usual() }, "us-osha", false),
        (ByHand { top_tread: Some(9.5), finish: 1.5, ..usual() }, "us-osha", false),
        (ByHand { leg: 0.1875, count: 4, end: 1.0, ..usual() }, "us-osha", true),
        (ByHand { rise: 7.5, risers: 1, top_tread: Some(10.0), ..usual() }, "us-osha", false),
        (ByHand { rise: 15.0, risers: 2, ..usual() }, "us-osha", false),
    ]
}

#[test]
fn the_board_and_every_cleat_lie_where_the_measurements_put_them() {
    for (hand, rules, angle) in kinds() {
        for (side, sign) in [("left", 1.0), ("right", -1.0)] {
            let workup = worked(&hand.stair(rules, side, angle));
            let outline =
                workup.outline.as_ref().unwrap_or_else(|| panic!("{:?}", workup.findings));
            held(&hand, outline, sign);
        }
    }
}

#[test]
fn treads_come_out_at_equal_finished_rises_with_the_drop_off_the_foot_once() {
    for (hand, rules, angle) in kinds() {
        let workup = worked(&hand.stair(rules, "left", angle));
        let cleats = workup.outline.as_ref().unwrap().cleats();
        // What is walked on: the floor as finished, a tread on each cleat, the upper finish.
        let mut walked = vec![hand.come - hand.stands_on];
        walked.extend(cleats.iter().map(|of| of.corners[2].y / 25.4 + hand.tread));
        if hand.top_tread.is_none() {
            walked.push(hand.rise + hand.come - hand.stands_on);
        }
        let rises: Vec<f64> = walked.windows(2).map(|two| two[1] - two[0]).collect();
        assert_eq!(rises.len(), hand.risers);
        assert!(rises.iter().all(|rise| same(*rise, hand.step())), "{rises:?}");
        let drop = hand.tread - hand.come + hand.stands_on;
        assert!(same(workup.flight.drop().as_inches(), drop));
        assert!(same(cleats[0].corners[2].y / 25.4, hand.step() - drop));
    }
}

#[test]
fn marks_along_the_upper_edge_are_where_the_lines_of_the_cleats_meet_it() {
    for (hand, rules, angle) in kinds() {
        let workup = worked(&hand.stair(rules, "left", angle));
        let marks = seatcut::stair::outline::cleat_marks(&workup.job, &workup.flight);
        let pitch = hand.step().atan2(hand.run);
        let along = |p: [f64; 2]| p[0] * pitch.cos() + p[1] * pitch.sin();
        let across = |p: [f64; 2]| p[1] * pitch.cos() - p[0] * pitch.sin();
        // The toe end of the blank is its corner on the floor.
        let toe = along([hand.front(1), 0.0]);
        let edge = across([hand.front(1), hand.surface(1)]) + hand.above;
        for (k, mark) in (1..).zip(&marks) {
            let ([front, _, _, top], _) = hand.cleat(k);
            // Back along the level line from the cleat's front to the edge.
            let met = [(top * pitch.cos() - edge) / pitch.sin(), top];
            assert!(same(across(met), edge));
            assert!(same(mark.along.as_inches(), along(met) - toe), "{k}");
            assert!(same(mark.front.as_inches(), front - met[0]), "{k}");
            assert!(same(mark.top.as_inches(), top));
        }
        for two in marks.windows(2) {
            let step = (two[1].along - two[0].along).as_inches();
            assert!(same(step, hand.step().hypot(hand.run)));
        }
    }
}

fn set(stair: &Stair) -> Set {
    Set::of(vec![Entry { job: stair.job(), times: 1 }], 0).unwrap()
}

/// Everything that is made of a stair is proven from its bytes; the text of its last program.
fn program(stair: &Stair) -> (Set, String) {
    let set = set_of(stair.job());
    let text = proven_text(&set, "program");
    (set, text)
}

/// The middles of the holes that a program says, in its own units, by their words: each begins with
/// a comment and a rapid across.
fn places(text: &str, comment: &str) -> usize {
    text.lines().filter(|line| line.trim_matches(|c| "(); ".contains(c)) == comment).count()
}

#[test]
fn boards_sheets_patterns_and_beams_are_made_with_every_hole_and_proven() {
    let sheet = |machine: &str, more: &str| {
        format!("makes = \"stringers\"\nmachine = \"{machine}\"\nmaterial = \"plywood-18\"\n{more}")
    };
    let (_, text) = program(&stair(WOOD));
    assert_eq!(places(&text, "CLEAT HOLE"), 5 * 3);
    let (_, text) = program(&with_cut(&format!("{WOOD}\nhole = \"3/8 in\"\ncount = 1"), BOARDS));
    assert_eq!(places(&text, "CLEAT HOLE"), 5);
    let wide = format!("{WOOD}\nhand = \"right\"");
    let (set, text) = program(&with_cut(&wide, &sheet("router-table", "quantity = 2")));
    let each: usize = set.sheets.iter().map(|run| run.programs.cut.holes.len()).sum();
    let pieces: usize = set.sheets.iter().map(|run| run.programs.cut.pieces.len()).sum();
    assert!(each == 15 * pieces && places(&text, "HOLE") > 0, "{each} {pieces}");
    let (set, text) = program(&with_cut(WOOD, &sheet("router-table", "")));
    assert_eq!((set.sheets.len(), places(&text, "CLEAT HOLE")), (0, 15));
    let beam =
        "makes = \"stringers\"\nmachine = \"laser\"\nmaterial = \"hardboard-6\"\nquantity = 2";
    program(&with_cut(WOOD, beam));
    let pattern = |more: &str| {
        format!(
            "makes = \"pattern\"\nmachine = \"router-table\"\nmaterial = \"hardboard-6\"\n{more}"
        )
    };
    let (set, text) = program(&with_cut(WOOD, &pattern("")));
    let planned = set.members[0].workup.planned.as_ref().unwrap();
    assert_eq!((planned.program.holes.len(), places(&text, "CLEAT HOLE")), (16, 15));
    let smaller =
        pattern("follow = { with = \"bushing\", outside = \"5/8 in\", bit = \"1/2 in\" }");
    program(&with_cut(WOOD, &smaller));
    let angle = "with = \"angle\"\nthickness = \"1/8 in\"\nheight = \"1 1/2 in\"\nleg = \"1 1/2 \
        in\"\nlength = \"8 in\"";
    let (_, text) = program(&stair(angle));
    assert_eq!(places(&text, "CLEAT HOLE"), 5 * 2);
}

#[test]
fn the_pattern_carries_the_line_of_every_cleat_and_crosses_where_holes_are_marked() {
    let cut = "makes = \"pattern\"\nmachine = \"router-table\"\nmaterial = \"hardboard-6\"";
    for (more, crosses) in [("", 0), ("\nholes = \"marked\"", 15), ("\nholes = \"none\"", 0)] {
        let stair = with_cut(&format!("{WOOD}{more}"), cut);
        let workup = worked(&stair);
        let (outline, planned) =
            (workup.outline.as_ref().unwrap(), workup.planned.as_ref().unwrap());
        let marks = planned.marks.as_ref().unwrap();
        for cleat in outline.cleats_in_board_frame() {
            let [_, _, back, front] = cleat.corners;
            let name = format!("CLEAT {}", cleat.number);
            let own: Vec<_> = marks.strokes.iter().filter(|of| of.part_of == name).collect();
            // The whole line, or a piece of it where its ends are too near to the edge.
            let [a, b] = [own[0].points[0], own[0].points[1]];
            let off = |p: Point| {
                let along = (back - front).normalize();
                (p - front - along * (p - front).dot(&along)).norm()
            };
            assert!(own.len() == 1 && off(a) < 1e-6 && off(b) < 1e-6);
            assert!((a - b).norm() > 0.3 * (back - front).norm());
        }
        let hole = |of: &&seatcut::cam::mark::MarkStroke| of.part_of.ends_with("HOLE");
        assert_eq!(marks.strokes.iter().filter(hole).count(), 2 * crosses, "{more}");
        proven_text(&set_of(stair.job()), "program");
    }
}

#[test]
fn holes_that_are_marked_on_the_stringers_are_scored_or_engraved_and_none_is_cut() {
    let cleat = format!("{WOOD}\nholes = \"marked\"");
    let beam =
        "makes = \"stringers\"\nmachine = \"laser\"\nmaterial = \"hardboard-6\"\nquantity = 2";
    for cut in [BOARDS, beam] {
        let set = set_of(with_cut(&cleat, cut).job());
        let text = proven_text(&set, "program");
        if cut == BOARDS {
            // What the cutter says at its top after the marks is no name of what comes next.
            assert!(text.contains("0 done, next PASS 1 OF 7"), "{text}");
            assert!(text.contains("6 done, next PASS 7 OF 7"), "{text}");
        }
        let tooling = set.members[0].tooling.as_ref().unwrap();
        let marks = tooling.marks.as_ref().unwrap();
        let holes = marks.strokes.iter().filter(|of| of.part_of.ends_with("HOLE")).count();
        // Two strokes a hole, three holes a cleat.
        let treads = if cut == beam { 2 } else { 5 };
        assert_eq!((holes, marks.hole), (2 * 3 * treads, None));
        let drilled: usize = set.sheets.iter().map(|run| run.programs.cut.holes.len()).sum();
        let alone = set.members[0].workup.planned.iter().map(|of| of.program.holes.len());
        assert_eq!(drilled + alone.sum::<usize>(), 0);
    }
}

/// The lines of a program after a comment, up to the next.
fn sections(text: &str, comment: &str) -> Vec<std::ops::Range<usize>> {
    let lines: Vec<&str> = text.lines().collect();
    let says = |line: &str| line.trim_matches(|c| "(); ".contains(c)) == comment;
    let starts = (0..lines.len()).filter(|i| says(lines[*i]));
    starts
        .map(|start| {
            let next = (start + 1..lines.len()).find(|i| lines[*i].starts_with('('));
            start + 1..next.unwrap()
        })
        .collect()
}

#[test]
fn a_hole_that_is_missing_moved_or_one_too_many_is_caught() {
    let made = Made::of(&stair(WOOD));
    let text = made.program("program.nc");
    assert_eq!(made.verify(&text).0, 0);
    let own = sections(&text, "CLEAT HOLE");
    let kept = |gone: &std::ops::Range<usize>| {
        let lines = text.lines().enumerate().filter(|(i, _)| !gone.contains(i));
        lines.map(|(_, line)| format!("{line}\n")).collect::<String>()
    };
    for gone in own.iter().step_by(4) {
        let (code, said) = made.verify(&kept(gone));
        assert!(code == 6 && said.contains("hole"), "{code} {said}");
    }
    // Moved along the board by five thousandths of an inch.
    let moved = |line: &str| {
        let word = |word: &str| match word.strip_prefix('X') {
            Some(x) => format!("X{:.4}", x.parse::<f64>().unwrap() + 0.005),
            None => word.to_string(),
        };
        line.split(' ').map(word).collect::<Vec<_>>().join(" ")
    };
    let off = |at: &std::ops::Range<usize>| {
        let lines = text.lines().enumerate();
        let line = |(i, line): (usize, &str)| {
            format!("{}\n", if at.contains(&i) { moved(line) } else { line.to_string() })
        };
        lines.map(line).collect::<String>()
    };
    for at in own.iter().step_by(4) {
        let (code, said) = made.verify(&off(at));
        assert!(code == 6, "{code} {said}");
    }
    // A hole again, an inch away.
    let again: Vec<String> = text.lines().map(str::to_string).collect();
    let far = |line: &String| {
        let word = |word: &str| match word.strip_prefix('X') {
            Some(x) => format!("X{:.4}", x.parse::<f64>().unwrap() + 1.0),
            None => word.to_string(),
        };
        line.split(' ').map(word).collect::<Vec<_>>().join(" ")
    };
    let second: Vec<String> = again[own[0].clone()].iter().map(far).collect();
    let at = own[0].end;
    let more = [&again[..at], &second[..], &again[at..]].concat().join("\n") + "\n";
    let (code, said) = made.verify(&more);
    assert!(code == 6 && said.contains("gouge"), "{code} {said}");
    // The drawings of the set are held against the same holes.
    let drawing = std::fs::read_to_string(made.path("out/nominal.dxf")).unwrap();
    assert_eq!(drawing.matches("\nDRILL\n").count() - 1, 15, "{drawing}");
}

#[test]
fn a_drawing_without_one_of_the_holes_is_not_the_part() {
    let made = Made::of(&stair(WOOD));
    let text = std::fs::read_to_string(made.path("out/nominal.dxf")).unwrap();
    let verify = |text: &str| {
        std::fs::write(made.path("d.dxf"), text).unwrap();
        made.run(&["verify", &made.path("job.toml"), &made.path("d.dxf")])
    };
    assert_eq!(verify(&text).0, 0);
    let at = text.find("\nCIRCLE\n").unwrap();
    let end = text[at + 1..].find("\n  0\n").or_else(|| text[at + 1..].find("\n0\n")).unwrap();
    let gone = format!("{}{}", &text[..at], &text[at + 1 + end..]).replacen("0\n0\n", "0\n", 1);
    let (code, said) = verify(&gone);
    assert!(code == 6 && said.contains("hole"), "{code} {said}");
}

fn codes_of(stair: &Stair) -> Vec<&'static str> {
    findings(stair).iter().map(|found| found.code.name()).collect()
}

#[test]
fn what_finds_no_room_is_refused_with_the_key_that_would_help() {
    let of = |more: &str| stair(&format!("{WOOD}\n{more}"));
    let high = |inches: &str| stair(&format!("thickness = \"1 1/2 in\"\nheight = \"{inches} in\""));
    let narrow = |width: &str| {
        let mut stair = stair(WOOD);
        stair.board = stair.board.replace("11 1/4", width);
        stair
    };
    let closed =
        Stair { tread: tread("10 in", "1 in", "1 1/2 in", "3/4 in"), ..of("set_back = \"1 in\"") };
    let flush = Stair {
        head: "meets = \"flush\"\nfinish = \"3/4 in\"\ntop_tread = \"10 in\"".into(),
        ..of("length = \"11 in\"")
    };
    let angle = |more: &str| stair(&format!("with = \"angle\"\nleg = \"1 in\"\n{more}"));
    let cases = [
        ("cleat-taken", of("")),
        ("cleat-tall", high("6 1/4")),
        ("cleats-meet", high("8")),
        ("cleat-long", of("length = \"11 in\"")),
        ("cleat-no-length", of("set_back = \"11 in\"")),
        ("cleat-at-riser", closed),
        ("cleat-off", flush),
        ("cleat-narrow", narrow("8")),
        ("cleat-tread-past", narrow("7")),
        ("cleat-hole-at-edge", of("edge_above = \"2 in\"\nend = \"1/8 in\"\nedge = \"3/4 in\"")),
        ("cleat-short", of("length = \"3 in\"")),
        ("cleat-low", of("edge = \"1 in\"")),
        ("cleat-low", angle("thickness = \"1/4 in\"\nheight = \"7/8 in\"")),
        ("cleat-leg", angle("thickness = \"1 in\"\nheight = \"3 in\"")),
        ("cleat-hole-small", of("hole = \"3/16 in\"")),
        ("cleat-hole-small", of("hole = \"17/64 in\"")),
        ("cleated-not", with_cut(WOOD, &format!("{BOARDS}\nlong = \"index\""))),
        (
            "cleated-not",
            Stair { tie_plate: "width = \"3 1/2 in\"\nheight = \"1 1/2 in\"".into(), ..of("") },
        ),
    ];
    for (code, stair) in &cases {
        let found = findings(stair);
        let own = found.iter().find(|of| of.code.name() == *code);
        assert!(own.is_some(), "{code}: {found:?}");
    }
    let quiet = codes_of(&of("hole = \"1/4 in\""));
    for (code, _) in cases.iter().filter(|(code, _)| *code != "cleat-taken") {
        assert!(!quiet.contains(code), "{code}");
    }
}

#[test]
fn the_codes_of_cleats_are_told_by_their_types() {
    let all = findings(&stair("thickness = \"1 in\"\nheight = \"9 in\"\nset_back = \"10 in\""));
    assert!(all.iter().any(|of| of.is::<codes::CleatTall>()), "{all:?}");
    assert!(all.iter().any(|of| of.is::<codes::CleatTaken>()));
    let also = findings(&stair(&format!("{WOOD}\nlength = \"30 in\"\nhole = \"1/8 in\"")));
    assert!(also.iter().any(|of| of.is::<codes::CleatLong>()));
    assert!(also.iter().any(|of| of.is::<codes::CleatOff>()));
    assert!(also.iter().any(|of| of.is::<codes::CleatNarrow>()));
    assert!(also.iter().any(|of| of.is::<codes::CleatHoleSmall>()));
    // The fasteners are looked at on site, whatever else is found.
    let asked = |of: &Finding| of.is::<codes::CleatFasteners>() && of.site_item().is_some();
    assert!(all.iter().any(asked) && also.iter().any(asked));
}

#[test]
fn a_board_too_narrow_is_told_the_width_that_would_do() {
    let on = |width: f64| {
        let mut stair = stair(WOOD);
        stair.board = stair.board.replace("11 1/4 in", &format!("{width} in"));
        findings(&stair).into_iter().find(|of| of.is::<codes::CleatNarrow>())
    };
    let told = on(8.0).unwrap();
    let mm = |name: &str| told.value(name).and_then(Value::measured).unwrap().0;
    // By hand: the back lower corner lies 11 in behind the nosing and 3 in below it, square to the
    // pitch of 7.5 in 10.
    let needs = 11.0 * 0.6 + 3.0 * 0.8;
    assert!((mm("wider") / 25.4 - needs).abs() < 1e-6, "{told}");
    assert!((mm("measured") / 25.4 - (needs - 8.0)).abs() < 1e-6);
    assert!(on(needs + 1e-6).is_none() && on(needs - 0.01).is_some());
}

#[test]
fn bad_keys_are_refused_with_what_to_type_and_nothing_is_written() {
    let tables = [
        ("thickness = \"1 in\"", "cleat.height"),
        ("height = \"1 in\"", "cleat.thickness"),
        ("thickness = \"1 in\"\nheight = \"0 in\"", "cleat.height"),
        ("thickness = \"-1 in\"\nheight = \"1 in\"", "1 in"),
        ("thickness = \"1 in\"\nheight = \"1 in\"\nwith = \"angle\"", "cleat.leg"),
        ("thickness = \"1 in\"\nheight = \"1 in\"\nleg = \"2 in\"", "cleat.leg"),
        ("thickness = \"1 in\"\nheight = \"1 in\"\nwith = \"brick\"", "angle"),
        ("thickness = \"1 in\"\nheight = \"1 in\"\nholes = \"some\"", "drilled"),
        ("thickness = \"1 in\"\nheight = \"1 in\"\ncount = 0", "cleat.count"),
        ("thickness = \"1 in\"\nheight = \"1 in\"\ncount = 9999999", "cleat.count"),
        ("thickness = \"1 in\"\nheight = \"1 in\"\nhole = \"9 ft\"", "cleat.hole"),
        ("thickness = \"1 in\"\nheight = \"1 in\"\nhigh = \"1 in\"", "high"),
        ("thickness = \"1 in\"\nheight = \"1 in\"\nset_back = 1", "set_back"),
        (
            "thickness = \"1 in\"\nheight = \"1 in\"\n[housed]\nhand = \"left\"\ndepth = \"1/2 \
            in\"",
            "[housed]",
        ),
    ];
    for (table, word) in tables {
        let dir = tempfile::tempdir().unwrap();
        let path = |name: &str| dir.path().join(name).display().to_string();
        std::fs::write(path("job.toml"), stair(table).toml()).unwrap();
        let run = seatcut(&["make", &path("job.toml"), "-o", &path("out")]);
        let said = String::from_utf8_lossy(&run.stderr).into_owned();
        assert!(code(&run) == 3 && said.contains(word), "{table}: {} {said}", code(&run));
        assert!(!dir.path().join("out").exists());
    }
}

#[test]
fn tables_beside_it_work_or_are_refused_by_their_names() {
    let table = |table: &str| {
        let stair = stair(WOOD);
        Stair { waive: format!("[stair]\nwidth = \"36 in\"\n{table}"), ..stair }
    };
    for (text, word) in [
        ("[steps]\npast_sides = \"1 in\"", "steps.past_sides"),
        ("[skirts]\nleft = \"open\"\nthickness = \"3/4 in\"\nwidth = \"11 1/4 in\"", "[skirts]"),
    ] {
        let error = table(text).try_job().unwrap_err().to_string();
        assert!(error.contains("[cleat]") && error.contains(word), "{error}");
        // It says why, and what to do instead.
        let why = ["covers the ends", "cleat.edge_above"].iter().all(|of| error.contains(of));
        assert_eq!(why, word == "[skirts]", "{error}");
    }
    // Treads end between the stringers: 36 in less two boards of 1 1/2 in.
    let workup = worked(&table("[steps]"));
    let pieces = &workup.beside.pieces;
    assert!(!pieces.is_empty(), "{:?}", workup.findings);
    assert!(pieces.iter().all(|of| same(of.length.unwrap().as_inches(), 33.0)), "{pieces:?}");
}

/// Where a post is marked on the upper edge.
fn on_edge(post: &Post) -> Option<Length> {
    match post.mark {
        Some(Met::Edge(along)) => Some(along),
        _ => None,
    }
}

/// An invented rail of posts on the outer face, 36 in over the nosings.
fn railed(cleat: &str, post: &str, more: &str) -> Stair {
    let rail = format!("[rail]\nheight = \"36 in\"\npost = \"{post}\"\n{more}");
    Stair { waive: rail, ..stair(cleat) }
}

#[test]
fn posts_on_a_solid_stringer_stand_between_the_fasteners_of_the_cleats() {
    let line = |stair: &Stair| {
        let workup = worked(stair);
        let line = RailLine::of(&workup.job, &workup.flight).unwrap();
        let on = workup.findings.iter().filter(|of| of.is::<codes::PostOnFasteners>()).count();
        (line, on)
    };
    // Three holes in a cleat of 10 1/2 in stand 3 3/4 in apart, their heads are 1/2 in wide: a post
    // of 2 1/2 in goes between the second and the third, as near to the middle of the tread as it
    // can.
    for hand in ["left", "right"] {
        let cleat = format!("{WOOD}\nhand = \"{hand}\"");
        let (found, on) = line(&railed(&cleat, "2 1/2 in", "most_apart = \"30 in\""));
        assert_eq!(on, 0);
        assert_eq!(found.posts.iter().map(|of| of.tread).collect::<Vec<_>>(), [1, 3, 5]);
        for post in &found.posts {
            let before = 10.0 * (post.tread as f64 - 1.0);
            assert!(same(post.at.as_inches(), 6.25 + before), "{post:?}");
            // 7 1/4 in behind the nosing the line has risen 5 7/16 in over the tread.
            assert!(same(post.over_tread.as_inches(), 36.0 + 5.4375), "{post:?}");
            // The upper edge is that line: along it 0.8 for each inch level, 0.6 for each plumb.
            let (x, y) = (6.25 + before, 7.5 + 0.75 * (7.25 + before));
            let along = (x + 1.0) * 0.8 + y * 0.6;
            assert!(same(on_edge(post).unwrap().as_inches(), along), "{post:?} {along}");
        }
        // Down to the floor at the first, then the board's depth plumb: 11 1/4 in over the cosine.
        let over: Vec<f64> = found.posts.iter().map(|of| of.over_lower_edge.as_inches()).collect();
        assert!(same(over[0], 36.0 + 12.9375) && same(over[1], 36.0 + 11.25 * 1.25), "{over:?}");
        assert!(same(found.off_holes.unwrap().as_inches(), 0.25), "{:?}", found.off_holes);
        assert_eq!(found.off_corner, None);
    }
    // One of 3 1/2 in finds no place between three, and does between two.
    let (found, on) = line(&railed(WOOD, "3 1/2 in", ""));
    assert_eq!((on, found.posts.len()), (1, 2));
    assert!(found.posts.iter().all(|of| same(of.at.as_inches() % 10.0, 5.0)));
    for cleat in ["count = 2", "holes = \"none\""] {
        let (found, on) = line(&railed(&format!("{WOOD}\n{cleat}"), "3 1/2 in", ""));
        assert_eq!(on, 0, "{cleat}");
        assert!(found.posts.iter().all(|of| same(of.at.as_inches() % 10.0, 5.0)), "{cleat}");
    }
}

#[test]
fn a_post_over_the_level_cut_is_marked_along_it_from_the_end_of_the_upper_edge() {
    let head = "meets = \"flush\"\nfinish = \"3/4 in\"\ntop_tread = \"10 in\"";
    for above in ["0 in", "2 in"] {
        let cleat = format!("{WOOD}\nedge_above = \"{above}\"");
        let stair = Stair { head: head.into(), ..railed(&cleat, "2 1/2 in", "") };
        let workup = worked(&stair);
        let line = RailLine::of(&workup.job, &workup.flight).unwrap();
        let part = workup.outline.as_ref().unwrap().contour().edges();
        let level = part.iter().find(|of| of.role == Role::HeadLevel).expect("a level cut");
        let ends = [level.segment.from().x, level.segment.to().x];
        let begin = ends[0].min(ends[1]);
        let (mut on_level, riser) = (0, workup.job.tread.riser_board.as_mm());
        for post in &line.posts {
            let x = post.at.as_mm() - riser;
            match post.mark {
                Some(Met::LevelCut(along)) => {
                    on_level += 1;
                    assert!((along.as_mm() - (x - begin)).abs() < 1e-6, "{post:?} {begin}");
                }
                Some(Met::Edge(_)) => assert!(x < begin, "{post:?} {begin}"),
                None => panic!("{post:?}"),
            }
        }
        assert_eq!(on_level, 1, "{above}: the last of them");
        let sheet = format!("{:?}", bench_sheet(&workup).section(Topic::Rail).unwrap());
        assert!(sheet.contains("level cut, "), "{sheet}");
    }
}

#[test]
fn posts_that_give_way_to_fasteners_stand_no_farther_apart_than_asked_where_any_do() {
    // Two runs apart are 20 in; one cleat is longer than the others, so that posts give way unlike.
    let mut more = 0;
    for hole in ["\"1/4 in\"", "\"3/8 in\"", "\"1/2 in\"\ncount = 2"] {
        for head in ["10 in", "8 3/4 in", "7 1/2 in"] {
            for apart in [10.0, 19.5, 20.0, 20.5, 30.0, 41.0] {
                let cleat = format!("{WOOD}\nhole = {hole}");
                let asked = format!("most_apart = \"{apart} in\"");
                let head =
                    format!("meets = \"flush\"\nfinish = \"3/4 in\"\ntop_tread = \"{head}\"");
                let workup = worked(&Stair { head, ..railed(&cleat, "2 1/2 in", &asked) });
                let line = RailLine::of(&workup.job, &workup.flight).unwrap();
                let is_told = workup.findings.iter().any(|of| of.is::<codes::PostsApart>());
                let real = line.posts.windows(2).map(|of| (of[1].at - of[0].at).as_inches());
                let real = real.fold(0.0, f64::max);
                assert_eq!(is_told, real > apart + 1e-6, "{hole} {apart}: {real}");
                assert!(same(line.most_apart().as_inches(), real));
                // The fewest by their treads alone.
                let steps = workup.flight.treads as f64 - 1.0;
                let fewest = (steps / (apart / 10.0 + 1e-9).floor().max(1.0)).ceil() as usize + 1;
                more += usize::from(line.posts.len() > fewest);
                if is_told {
                    assert_eq!(line.posts.len(), fewest, "{hole} {apart}: none helps");
                }
                let sheet = bench_sheet(&workup);
                let told = format!("{:?}", sheet.section(Topic::Rail).unwrap());
                assert!(told.contains("posts stand apart, middle to middle"), "{told}");
                assert!(told.contains("asked for: ") && told.contains(" at most"), "{told}");
            }
        }
    }
    assert!(more > 0, "some take a post more");
}

#[test]
fn a_post_that_gives_way_to_fasteners_stays_on_its_board() {
    let mut moved = 0;
    for (hole, post) in
        [("1/4 in", 2.5), ("3/8 in", 2.5), ("3/8 in", 2.0), ("1/4 in", 3.5), ("3/8 in", 3.5)]
    {
        let cleat = format!("{WOOD}\nhole = \"{hole}\"");
        let workup = worked(&railed(&cleat, &format!("{post} in"), "most_apart = \"30 in\""));
        let (job, flight) = (&workup.job, &workup.flight);
        for of in &RailLine::of(job, flight).unwrap().posts {
            let cut =
                if of.tread == flight.treads { flight.top_tread_cut } else { flight.unit_run };
            let from = flight.nose_x(of.tread) + job.tread.riser_board;
            let (low, high) = ((of.at - from).as_inches(), (from + cut - of.at).as_inches());
            let half = post / 2.0 - 1e-6;
            assert!(low >= half && high >= half, "{hole} {post}: tread {}: {low} {high}", of.tread);
            moved += usize::from((low - high).abs() > 1e-6);
        }
    }
    assert!(moved > 0, "some of them give way");
}

#[test]
fn the_posts_of_a_solid_stringer_stand_on_drawing_bench_sheet_report_and_pattern() {
    let stair = railed(WOOD, "2 1/2 in", "baluster = \"1 1/2 in\"");
    let made = Made::of(&stair);
    let read = |name: &str| std::fs::read_to_string(made.path(&format!("out/{name}"))).unwrap();
    let drawing = crate::common::on_one_line(&read("drawing.svg"));
    assert!(drawing.contains("Posts of the rail on the outer face"), "{drawing}");
    assert!(read("bench.html").contains("Marked on its edge"));
    let report: serde_json::Value = serde_json::from_str(&made.program("report.json")).unwrap();
    let posts = report["rail"]["posts"].as_array().unwrap();
    assert!(posts.iter().all(|of| of["along_edge_mm"].is_number()), "{posts:?}");
    assert!(report["rail"]["off_corner_mm"].is_null());
    // Plumb under the upper edge of the pattern, of either hand.
    for hand in ["left", "right"] {
        let cleat = format!("{WOOD}\nhand = \"{hand}\"");
        let pattern = "makes = \"pattern\"\nmachine = \"router-table\"\nmaterial = \"hardboard-6\"";
        let stair = Stair { cut: pattern.into(), ..railed(&cleat, "2 1/2 in", "") };
        let workup = worked(&stair);
        let line = RailLine::of(&workup.job, &workup.flight).unwrap();
        let marks = workup.planned.as_ref().unwrap().marks.as_ref().unwrap();
        let own: Vec<_> = marks.strokes.iter().filter(|of| of.part_of == "POST LINE").collect();
        assert_eq!(own.len(), line.posts.len());
        let part = workup.outline.as_ref().unwrap().in_board_frame();
        let (min, max) = (part.bounds().min.x, part.bounds().max.x);
        for (stroke, post) in own.iter().zip(&line.posts) {
            let [a, b] = stroke.points[..] else { panic!("{stroke:?}") };
            // Plumb is 0.6 along the board for 0.8 across it, uphill.
            let way = if hand == "left" { 1.0 } else { -1.0 };
            let lean = (b.x - a.x) / (b.y - a.y);
            assert!((lean - way * 0.75).abs() < 1e-6, "{hand} {lean}");
            // Through the mark on the upper edge.
            let edge = part.bounds().max.y;
            let met = a.x + lean * (edge - a.y);
            let along = if hand == "left" { met - min } else { max - met };
            assert!((along - on_edge(post).unwrap().as_mm()).abs() < 1e-6, "{hand} {along}");
        }
    }
}

#[test]
fn a_middle_stringer_parts_treads_and_has_cleats_on_both_faces() {
    let wide = |cut: &str, table: &str| {
        let cut = format!("{BOARDS}\n{cut}");
        Stair { cut, waive: format!("[stair]\nwidth = \"60 in\"\n{table}[steps]"), ..stair(WOOD) }
    };
    let pieces = |workup: &Workup| {
        let sheet = bench_sheet(workup);
        let tables = &sheet.section(Topic::CutList).unwrap().tables;
        let rows = tables.iter().find_map(|of| match &of.rows {
            TableRows::Pieces(pieces) => Some(pieces.clone()),
            _ => None,
        });
        rows.unwrap()
    };
    let count = |workup: &Workup, name: &str| {
        let all = pieces(workup);
        all.iter().filter(|of| of.what == name).filter_map(|of| of.count.number()).sum::<f64>()
    };
    let two = worked(&wide("quantity = 2", ""));
    let three = worked(&wide("quantity = 3", ""));
    for (workup, bays) in [(&two, 1), (&three, 2)] {
        let steps = &workup.beside.pieces;
        let clear = (60.0 - 1.5 * (bays as f64 + 1.0)) / bays as f64;
        assert!(steps.iter().all(|of| same(of.length.unwrap().as_inches(), clear)), "{steps:?}");
        assert_eq!(count(workup, "treads"), 5.0 * bays as f64);
        assert_eq!(count(workup, "cleats"), 10.0 * bays as f64);
        assert_eq!(count(workup, "fasteners of the stringers"), 15.0 * (bays as f64 + 1.0));
        assert_eq!(count(workup, "stringers"), bays as f64 + 1.0);
        let bought: usize = workup.beside.boards[0].pieces.iter().map(|of| of.1).sum();
        assert_eq!(bought, 5 * bays);
        let told = workup.findings.iter().filter(|of| of.is::<codes::CleatMiddle>());
        let told: Vec<String> = told.map(Finding::sentence).collect();
        assert_eq!(told.len(), bays - 1, "{told:?}");
        assert!(told.iter().all(|of| of.contains("27 3/4 in")), "{told:?}");
    }
    // Of a pattern the width says how many: 58 1/2 in, no more than 30 in apart.
    let spaced = wide("", "most_spacing = \"30 in\"\n");
    let pattern = "makes = \"pattern\"\nmachine = \"router-table\"\nmaterial = \"hardboard-6\"";
    let by_width = worked(&Stair { cut: pattern.into(), ..spaced });
    assert_eq!((count(&by_width, "treads"), count(&by_width, "stringers")), (10.0, 3.0));
    // One cut at a time is no stair of one: its width says how many, whatever is cut.
    let one_at_a_time = worked(&wide("", "most_spacing = \"30 in\"\n"));
    assert_eq!(count(&one_at_a_time, "treads"), 10.0);
    // The face of a middle one that is not drawn is told beside the one that is.
    let drawn = |workup: &Workup| {
        let set = set_of(workup.job.clone());
        crate::common::on_one_line(&proven_text(&set, "drawing.svg"))
    };
    let second = "A middle stringer has cleats on both faces";
    assert!(!drawn(&two).contains(second) && drawn(&three).contains(second));
    // The clear width that a rule set asks for is that of one side.
    let narrow = |quantity: u32| {
        let wide = wide(&format!("quantity = {quantity}"), "");
        let rules = Stair { rules: "us-irc-2021".into(), ..wide };
        worked(&rules).findings.iter().any(|of| of.is::<codes::ClearWidthLow>())
    };
    assert_eq!((narrow(2), narrow(3)), (false, true));
}

#[test]
fn a_solid_stringer_is_told_no_limit_of_cut_ones_and_no_throat() {
    let loaded = |cleat: &str, stringers: usize| {
        let mut stair = stair(cleat);
        stair.board = stair.board.replace(
            "[cleat]",
            "species = \"southern-pine\"\ngrade = \"no2\"\nwet = false\nincised = false\n[cleat]",
        );
        if cleat.is_empty() {
            stair.board = stair.board.replace("[cleat]", "");
        }
        let most = 34.5 / (stringers as f64 - 1.0);
        stair.waive = format!(
            "[stair]\nwidth = \"36 in\"\nmost_spacing = \"{most} in\"\n[load]\nlive = \"40 psf\""
        );
        stair.cut = format!("{BOARDS}\nquantity = {stringers}");
        worked(&stair)
    };
    let about = |workup: &Workup| {
        let beam = workup.around.beam.as_ref().unwrap();
        beam.strength.published.iter().map(|of| of.what).collect::<Vec<_>>()
    };
    let (solid, cut) = (loaded(WOOD, 2), loaded("", 2));
    assert_eq!(about(&solid), ["horizontal span of a solid 2x12"]);
    assert!(about(&cut).contains(&"throat") && about(&cut).contains(&"spacing of cut stringers"));
    let from_guide = |workup: &Workup| {
        workup.findings.iter().filter(|of| of.source.contains("AWC DCA 6")).count()
    };
    // 34 1/2 in apart is far for cut stringers.
    assert!(from_guide(&cut) > 0 && from_guide(&solid) == 0, "{:?}", solid.findings);
    // A middle one bears half a bay from each side: treads end at both its faces.
    let width = |stringers| loaded(WOOD, stringers).around.beam.unwrap().strength.load_width_in;
    assert!(same(width(3), 34.5 / 2.0), "{}", width(3));
    // A solid 2x12 may run 13 ft 3 in.
    let long = |risers: usize| {
        let rise = format!("total = \"{} in\"\nrisers = {risers}", 7.5 * risers as f64);
        let workup = worked(&Stair { rise, ..stair(WOOD) });
        workup.findings.iter().any(|of| of.is::<codes::StringerSpanHigh>())
    };
    assert_eq!((long(15), long(17)), (false, true));
    // A crown takes no throat where there is none.
    let crowned = |crown: &str| {
        let measured =
            format!("[boards]\nmeasured = [{{ width = \"11 1/4 in\", crown = \"{crown}\" }}]\n");
        let found = worked(&Stair { waive: measured, ..stair(WOOD) }).findings;
        let name = |of: &Finding| of.code.name();
        found
            .iter()
            .map(name)
            .filter(|of| of.ends_with("crown") || of.starts_with("crown"))
            .collect()
    };
    let none: Vec<&str> = crowned("1/4 in");
    assert!(none.is_empty(), "{none:?}");
    assert_eq!(crowned("3/8 in"), ["solid-crown"]);
}

/// The figures of a job by their keys.
fn figure(workup: &Workup, key: &str) -> Option<f64> {
    let found = workup.numbers().into_iter().find(|of| of.key == key);
    found.and_then(|of| of.value).and_then(|of| of.number())
}

#[test]
fn numbers_bench_sheet_cut_list_and_report_tell_of_the_cleats() {
    let workup = worked(&stair(WOOD));
    let hand = ByHand::usual();
    assert!(same(figure(&workup, "first_cleat_top_mm").unwrap() / 25.4, 6.0));
    assert!(same(figure(&workup, "cleat_step_mm").unwrap() / 25.4, 12.5));
    assert!(same(figure(&workup, "cleat_length_mm").unwrap() / 25.4, 10.5));
    assert_eq!(figure(&workup, "throat_mm").map(|_| ()), Some(()));
    let sheet = bench_sheet(&workup);
    let rows = |topic: Topic| sheet.section(topic).unwrap().tables.iter().map(|of| &of.rows);
    let lines: Vec<f64> = rows(Topic::Marks)
        .filter_map(|of| if let TableRows::Marks(marks) = of { Some(marks) } else { None })
        .flatten()
        .filter(|mark| mark.label.starts_with("line of cleat"))
        .map(|mark| mark.at.as_inches())
        .collect();
    assert_eq!(lines.len(), hand.treads());
    assert!(lines.windows(2).all(|two| same(two[1] - two[0], 12.5)));
    let pieces: Vec<_> = rows(Topic::CutList)
        .filter_map(|of| if let TableRows::Pieces(pieces) = of { Some(pieces) } else { None })
        .flatten()
        .collect();
    let count = |name: &str| {
        let own = pieces.iter().filter(|of| of.what.contains(name));
        own.filter_map(|of| of.count.number()).sum::<f64>()
    };
    assert_eq!((count("cleats"), count("fasteners")), (10.0, 30.0));
    assert_eq!(count("skirts"), 0.0);
    let made = Made::of(&stair(WOOD));
    let report = made.program("report.json");
    let report: serde_json::Value = serde_json::from_str(&report).unwrap();
    let cleats = report["outline"]["cleated"]["cleats"].as_array().unwrap();
    assert_eq!(cleats.len(), 5);
    for (k, cleat) in (1..).zip(cleats) {
        let ([front, _, bottom, _], holes) = hand.cleat(k);
        let figure = |of: &serde_json::Value| of.as_f64().unwrap() / 25.4;
        assert!(same(figure(&cleat["corners_mm"][0][0]), front));
        assert!(same(figure(&cleat["corners_mm"][0][1]), bottom));
        assert_eq!(cleat["holes_mm"].as_array().unwrap().len(), holes.len());
    }
    let text = std::fs::read_to_string(made.path("out/drawing.svg")).unwrap();
    assert!(text.contains("INNER FACE, LEFT HAND") && text.contains("CLEAT MARKS"));
    let page = std::fs::read_to_string(made.path("out/bench.html")).unwrap();
    assert!(page.contains("line of cleat 5"));
}

#[test]
fn the_cut_list_of_solid_boards_speaks_of_no_tread_cut() {
    let steps = "[stair]\nwidth = \"36 in\"\n[steps]";
    let closed = tread("10 in", "1 in", "1 1/2 in", "3/4 in");
    let flush = "meets = \"flush\"\nfinish = \"3/4 in\"\ntop_tread = \"10 in\"".to_string();
    let one_down = stair(WOOD).head;
    let told = |stair: &Stair| {
        let workup = worked(stair);
        format!("{:?}", bench_sheet(&workup).section(Topic::CutList).unwrap())
    };
    for head in [one_down, flush] {
        let solid = Stair { waive: steps.into(), tread: closed.clone(), head, ..stair(WOOD) };
        let cut =
            Stair { board: solid.board.split("[cleat]").next().unwrap().into(), ..solid.clone() };
        let (solid, cut) = (told(&solid), told(&cut));
        assert!(solid.contains("riser board") && !solid.contains("tread cut"), "{solid}");
        assert!(cut.contains("stands on the tread cut behind the tread"), "{cut}");
    }
}

#[test]
fn a_cleated_stringer_is_ordered_with_its_holes_and_not_drawn_on_pages() {
    let dir = tempfile::tempdir().unwrap();
    let path = |name: &str| dir.path().join(name).display().to_string();
    std::fs::write(path("job.toml"), stair(WOOD).toml()).unwrap();
    let run = seatcut(&["order", &path("job.toml"), "-o", &path("out")]);
    assert_eq!(code(&run), 0, "{}", String::from_utf8_lossy(&run.stderr));
    let order = std::fs::read_to_string(path("out/order.txt")).unwrap();
    let order = crate::common::on_one_line(&order);
    assert!(order.contains("15 holes for the fasteners of the cleats"), "{order}");
    assert!(order.contains("are not in this order") && !order.contains("skirt"), "{order}");
    let pages = seatcut(&["pages", &path("job.toml"), "-o", &path("pages.pdf")]);
    let said = String::from_utf8_lossy(&pages.stderr).into_owned();
    assert!(code(&pages) == 4 && said.contains("[cleat]"), "{} {said}", code(&pages));
    assert!(!dir.path().join("pages.pdf").exists());
}

#[test]
fn the_beam_check_takes_a_solid_board_less_a_hole() {
    let board =
        "species = \"southern-pine\"\ngrade = \"no2\"\nwet = false\nincised = false\n[cleat]";
    let mut solid = stair(WOOD);
    solid.board = solid.board.replace("[cleat]", board);
    solid.waive =
        "[stair]\nwidth = \"36 in\"\nmost_spacing = \"36 in\"\n[load]\nlive = \"40 psf\"".into();
    let depth = |stair: &Stair| {
        let workup = worked(stair);
        let beam = workup.around.beam.unwrap_or_else(|| panic!("{:?}", workup.findings));
        assert_eq!(beam.input.board_width.as_inches(), 11.25);
        assert!(beam_check(&beam.input).is_ok());
        beam.input.throat.as_inches()
    };
    assert!(same(depth(&solid), 11.25 - 0.25));
    let mut bare = solid.clone();
    bare.board = bare.board.replace(WOOD, &format!("{WOOD}\nholes = \"none\""));
    assert!(same(depth(&bare), 11.25));
}

#[test]
fn by_hand_in_millimetres_with_a_landing_it_is_made_too() {
    let text = "title = \"Cellar\"\nrules = \"de-general\"\n[rise]\ntotal = \"1080 mm\"\nrisers = \
        6\n[tread]\ncut = \"270 mm\"\n\
        overhang = \"30 mm\"\nthickness = \"40 mm\"\nriser_board = \"18 mm\"\n[head]\nmeets \
        = \"one-down\"\nfinish = \"20 mm\"\n\
        rim_depth = \"240 mm\"\n[board]\nwidth = \"300 mm\"\nthickness = \"45 \
        mm\"\n[cleat]\nthickness = \"40 mm\"\nheight = \"40 mm\"\n";
    let dir = tempfile::tempdir().unwrap();
    let path = |name: &str| dir.path().join(name).display().to_string();
    std::fs::write(path("job.toml"), text).unwrap();
    let run = seatcut(&["make", &path("job.toml"), "-o", &path("out")]);
    assert_eq!(code(&run), 0, "{}", String::from_utf8_lossy(&run.stderr));
    let drawing = std::fs::read_to_string(path("out/nominal.dxf")).unwrap();
    assert!(drawing.contains("DRILL: 15 holes for the fasteners of the cleats"));
    let job: Job = seatcut::job::read_job("job.toml", text, &|_| unreachable!()).unwrap();
    let workup = Workup::of(&job);
    let cleat: &Cleat = &workup.outline.as_ref().unwrap().cleats()[0];
    assert!((cleat.corners[3].y - 140.0).abs() < 1e-9 && cleat.corners[3].x.abs() < 1e-9);
    assert!(numbers::numbers(&job, &workup.flight, None, workup.behind_relief).len() > 20);
    let landed = text
        .replace("total = \"1080 mm\"\nrisers = 6", "total = \"2160 mm\"\nrisers = 12")
        + "[stair]\nwidth = \"900 mm\"\n[[landing]]\nafter = 6\ndepth = \"900 mm\"\nfinish = \"20 \
            mm\"\nturn = \"straight\"\n";
    std::fs::write(path("job.toml"), landed).unwrap();
    let run = seatcut(&["make", &path("job.toml"), "-o", &path("two")]);
    assert_eq!(code(&run), 0, "{}", String::from_utf8_lossy(&run.stderr));
}

#[test]
fn cleated_jobs_are_cut_together_with_others() {
    let cut = "makes = \"stringers\"\nmachine = \"router-table\"\nmaterial = \"plywood-18\"";
    let first = with_cut(WOOD, cut).job();
    let mut second = Stair {
        cut: cut.into(),
        board: "width = \"11 1/4 in\"\nthickness = \"18 mm\"".into(),
        ..stair(WOOD)
    }
    .job();
    second.title = "Another".into();
    let jobs = [first, second].map(|job| Entry { job, times: 1 }).into();
    let both = Set::of(jobs, 0).unwrap();
    assert!(!both.refused(), "{:?}", both.all_findings().collect::<Vec<_>>());
    proven_text(&both, "program");
    assert!(set(&with_cut(WOOD, &format!("{cut}\nlayers = 2"))).refused());
}

#[test]
fn a_number_of_a_cut_that_a_cleated_stringer_has_not_is_told_to_programs_only() {
    let names = |stair: &Stair| -> Vec<&'static str> {
        let numbers = worked(stair).numbers();
        numbers::always(&numbers).map(|(number, _)| number.key).collect()
    };
    let mut sawn = stair(WOOD);
    sawn.board = "width = \"11 1/4 in\"\nthickness = \"1 1/2 in\"".into();
    let (cleated, sawn) = (names(&stair(WOOD)), names(&sawn));
    for cut in ["top_tread_cut_mm", "hang_line_mm"] {
        assert!(!cleated.contains(&cut) && sawn.contains(&cut), "{cut}");
    }
    // The foot loses a tread's thickness all the same.
    assert!(["drop_mm", "first_riser_cut_mm"].iter().all(|of| cleated.contains(of)));
}
