//! What is marked on a pattern: all of it there, readable, clear of the cut line and of each other,
//! right on the machine.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use crate::common::{Stair, profile_with, tread};
use seatcut::cam::mark::{Marks, clearance};
use seatcut::cam::plan::{Program, Step, Task};
use seatcut::diagnostics::{Finding, Severity};
use seatcut::geometry::{Point, Segment, distance_to_segment, inset_sharp};
use seatcut::job::{Job, Makes, read_job};
use seatcut::output::Stamp;
use seatcut::output::dxf::{DxfVersion, Entity, Layer, nominal};
use seatcut::output::gcode::gcode;
use seatcut::pipeline::workup::Workup;
use seatcut::profile::{Source, Tool};
use seatcut::units::Length;

const NO_LIMITS: &str = "kind = \"rules\"\nabout = \"no limits, invented\"\naim = \"7 in\"\n";

fn pattern(machine: &str, material: &str, follow: &str) -> String {
    format!("makes = \"pattern\"\nmachine = \"{machine}\"\nmaterial = \"{material}\"\n{follow}")
}

/// A stair of an invented rule set without limits, on a table and a sheet without end.
fn free(rise: &str, follow: &str) -> Stair {
    Stair {
        rules: "own-rules.toml".into(),
        rise: rise.into(),
        cut: pattern("own-machine.toml", "own-sheet.toml", follow),
        files: vec![
            ("own-rules.toml".into(), NO_LIMITS.into()),
            (
                "own-machine.toml".into(),
                profile_with("machine", "router-table", &[("x = \"96 in\"", "x = \"999 in\"")]),
            ),
            (
                "own-sheet.toml".into(),
                profile_with("material", "hardboard-6", &[("\"2440 mm\"", "\"9000 mm\"")]),
            ),
        ],
        ..Stair::default()
    }
}

fn laser(rise: &str) -> Stair {
    Stair { rise: rise.into(), cut: pattern("laser", "hardboard-3", ""), ..Stair::default() }
}

fn tie(stair: Stair, set_back: &str) -> Stair {
    let plate = format!("width = \"3 1/2 in\"\nheight = \"1 1/2 in\"\nset_back = \"{set_back}\"");
    Stair { tie_plate: plate, ..stair }
}

const ONE: &str = "total = \"14 in\"\nrisers = 2";
const TWO: &str = "total = \"22 in\"\nrisers = 3";
const SEVEN: &str = "total = \"51 3/8 in\"\nrisers = 7";
const FIFTEEN: &str = "total = \"107 in\"\nrisers = 15";

/// Short and long flights, cutter and beam, every way of following, with and without a plate.
fn cases() -> Vec<Stair> {
    let bushing = "follow = { with = \"bushing\", outside = \"3/4 in\", bit = \"1/2 in\" }";
    let pencil = "follow = { with = \"pencil\", lead = \"1/32 in\" }";
    vec![
        free(ONE, pencil),
        free(TWO, ""),
        tie(free(SEVEN, bushing), "0 in"),
        tie(free(SEVEN, "corners = \"riser\""), "2 in"),
        free(FIFTEEN, bushing),
        laser(ONE),
        tie(laser("total = \"29 in\"\nrisers = 4"), "0 in"),
        Stair {
            head: "meets = \"flush\"\nfinish = \"1 in\"\ntop_tread = \"9 in\"".into(),
            ..free(ONE, "")
        },
    ]
}

/// The cases worked up, once for all tests.
fn worked() -> &'static [(Job, Workup, Marks)] {
    static WORKED: LazyLock<Vec<(Job, Workup, Marks)>> = LazyLock::new(|| {
        let worked = |stair: Stair| {
            let job = stair.job();
            let (workup, marks) = marked(&job);
            (job, workup, marks)
        };
        cases().into_iter().map(worked).collect()
    });
    &WORKED
}

fn marked(job: &Job) -> (Workup, Marks) {
    let workup = Workup::of(job);
    let planned = workup.planned.as_ref().unwrap_or_else(|| panic!("{:?}", workup.findings));
    let marks = planned.marks.clone().expect("a pattern is marked");
    (workup, marks)
}

fn lines_of(points: &[Point]) -> Vec<Segment> {
    points.windows(2).map(|pair| Segment::Line { from: pair[0], to: pair[1] }).collect()
}

/// The least distance from densely sampled points of one stroke to another.
fn apart(a: &[Point], b: &[Point]) -> f64 {
    let to_b = |p: Point| {
        lines_of(b).iter().map(|s| distance_to_segment(p, s)).fold(f64::INFINITY, f64::min)
    };
    let samples = |s: Segment| (0..=40).map(move |i| s.point_at(f64::from(i) / 40.0));
    lines_of(a).into_iter().flat_map(samples).map(to_b).fold(f64::INFINITY, f64::min)
}

#[test]
fn every_point_of_a_stroke_keeps_the_tool_a_stroke_and_three_millimetres_from_the_cut_and_from_the_hole()
 {
    for (job, workup, marks) in worked() {
        let part = workup.outline.as_ref().unwrap().in_board_frame();
        let Makes::Pattern(follow) = job.cut.makes else { panic!("a pattern") };
        let piece = if follow.inset() > Length::ZERO {
            inset_sharp(&part, follow.inset().as_mm()).unwrap()
        } else {
            part
        };
        let needed = job.cut.machine.tool_radius().as_mm() + marks.stroke_width.as_mm() + 3.0;
        assert!(
            (clearance(job.cut.machine.tool_radius(), marks.stroke_width) - needed).abs() < 1e-12
        );
        let hole = marks.hole.expect("a hole");
        for stroke in &marks.strokes {
            assert!(stroke.points.len() >= 2);
            for segment in lines_of(&stroke.points) {
                for p in (0..=20).map(|i| segment.point_at(f64::from(i) / 20.0)) {
                    let edges = piece.edges().iter().map(|e| distance_to_segment(p, &e.segment));
                    let nearest = edges.fold(f64::INFINITY, f64::min);
                    assert!(nearest >= needed - 1e-9, "{}: {nearest} of {needed}", stroke.part_of);
                    assert!(
                        (p - hole.center).norm() >= hole.radius.as_mm() + needed - 1e-9,
                        "{}",
                        stroke.part_of
                    );
                    // Left of every crossing of a ray to the right an odd number of edges is
                    // passed.
                    let crossed = piece.edges().iter().filter(|e| {
                        let (a, b) = (e.segment.from(), e.segment.to());
                        (a.y > p.y) != (b.y > p.y)
                            && p.x < a.x + (p.y - a.y) * (b.x - a.x) / (b.y - a.y)
                    });
                    assert_eq!(crossed.count() % 2, 1, "{} lies outside", stroke.part_of);
                }
            }
        }
    }
}

#[test]
fn strokes_of_different_marks_do_not_touch_and_letters_are_five_strokes_high() {
    for (_, _, marks) in worked() {
        let mut of: BTreeMap<&str, Vec<&Vec<Point>>> = BTreeMap::new();
        for stroke in &marks.strokes {
            of.entry(&stroke.part_of).or_default().push(&stroke.points);
        }
        let width = marks.stroke_width.as_mm();
        let names: Vec<&&str> = of.keys().collect();
        for (i, a) in names.iter().enumerate() {
            for b in &names[i + 1..] {
                for (sa, sb) in of[**a].iter().flat_map(|sa| of[**b].iter().map(move |sb| (sa, sb)))
                {
                    let (first, other) = (sa[0], sb[0]);
                    // Far apart by their first points and greatest extents: nothing to measure.
                    let reach =
                        |s: &[Point]| s.iter().map(|p| (p - s[0]).norm()).fold(0.0, f64::max);
                    if (first - other).norm() > reach(sa) + reach(sb) + 3.0 * width {
                        continue;
                    }
                    assert!(apart(sa, sb) >= 2.0 * width - 1e-9, "{a} and {b}");
                }
            }
        }
        for name in ["TOE", "HEAD", "T1", "R1", "LEVEL"] {
            let ys = of[name].iter().flat_map(|s| s.iter().map(|p| p.y));
            let (low, high) =
                ys.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), y| (l.min(y), h.max(y)));
            assert!(
                high - low >= 5.0 * width - 1e-9 && high - low >= 3.0 - 1e-9,
                "{name}: {}",
                high - low
            );
        }
    }
}

fn texts(marks: &Marks) -> String {
    let mut names: Vec<&str> = marks.strokes.iter().map(|s| s.part_of.as_str()).collect();
    names.dedup();
    format!("{} / ", names.join(" / "))
}

#[test]
fn everything_that_belongs_on_a_pattern_is_on_it() {
    for (job, workup, marks) in worked() {
        let text = texts(marks);
        let fingerprint = workup.fingerprint.to_string().to_uppercase();
        let fingerprint = &fingerprint[..8];
        let mut wanted: Vec<String> = [
            "INVENTED TEST STAIR",
            &format!("JOB {fingerprint}"),
            "TOE",
            "HEAD",
            "LEVEL",
            "LEVEL LINE",
            "CROWN UP",
        ]
        .map(String::from)
        .to_vec();
        for k in 1..=workup.flight.treads {
            wanted.extend([format!("R{k}"), format!("T{k}")]);
        }
        if job.plate().is_some() {
            wanted.extend(["PLATE".into(), "PLATE LINE".into()]);
        }
        wanted.push("DROP TAKEN 1 IN".into());
        wanted.push("RUN 10 1/4 IN".to_string());
        for word in wanted {
            assert!(text.contains(&format!("{word} / ")), "{word} is not on it: {text}");
        }
        let sized = text.contains("FULL SIZE") || text.contains("SMALLER ");
        assert!(text.contains("RISE ") && sized, "{text}");
        let missed = ["mark-left-out", "mark-title-cut", "hole-left-out"];
        assert!(
            !workup.findings.iter().any(|f| missed.contains(&f.code.name())),
            "{:?}",
            workup.findings
        );
    }
}

#[test]
fn a_rise_that_is_no_sixteenth_and_what_follows_are_said_exactly() {
    let text = texts(
        &marked(
            &free(SEVEN, "follow = { with = \"bushing\", outside = \"3/4 in\", bit = \"1/2 in\" }")
                .job(),
        )
        .1,
    );
    // 51 3/8 in over 7: 7.3393 in, a little more than 7 5/16 in; bushing: half of 3/4 less 1/2.
    assert!(text.contains("RISE 7 5/16+ IN / "), "{text}");
    assert!(text.contains("BUSHING 3/4 IN BIT 1/2 IN / SMALLER 0.125 IN / "), "{text}");
    let bearing = texts(&marked(&free(SEVEN, "follow = { with = \"bearing-bit\" }").job()).1);
    assert!(bearing.contains("BEARING BIT / FULL SIZE"), "{bearing}");
}

/// Middles of the crosses: of two strokes that halve each other at right angles.
fn crosses(marks: &Marks, name: &str) -> Vec<Point> {
    let of: Vec<&Vec<Point>> =
        marks.strokes.iter().filter(|s| s.part_of == name).map(|s| &s.points).collect();
    let middle = |s: &[Point]| s[0] + (s[1] - s[0]) / 2.0;
    let pairs = of.iter().flat_map(|a| of.iter().map(move |b| (a, b)));
    pairs
        .filter(|(a, b)| a.len() == 2 && b.len() == 2)
        .filter(|(a, b)| {
            (middle(a) - middle(b)).norm() < 1e-9
                && (a[1] - a[0]).y.abs() < 1e-9
                && (b[1] - b[0]).x.abs() < 1e-9
        })
        .map(|(a, _)| middle(a))
        .collect()
}

#[test]
fn the_crosses_of_a_check_length_are_as_far_apart_as_is_printed_beside_them() {
    for (_, _, marks) in worked() {
        for name in ["A", "B"] {
            let printed = marks
                .strokes
                .iter()
                .map(|s| s.part_of.as_str())
                .find(|n| n.starts_with(&format!("{name} ")));
            let printed = printed.unwrap_or_else(|| panic!("check {name}"));
            let words: Vec<&str> = printed.split(' ').collect();
            let (inches, mm): (f64, f64) = match words[2] {
                "IN" => (words[1].parse().unwrap(), words[1].parse::<f64>().unwrap() * 25.4),
                _ => (words[1].parse::<f64>().unwrap() / 25.4, words[1].parse().unwrap()),
            };
            assert!((inches.round() - inches).abs() < 1e-9 && inches >= 2.0);
            let (near, far) = (crosses(marks, printed), crosses(marks, name));
            assert_eq!((near.len(), far.len()), (1, 1), "{printed}");
            assert!(((far[0] - near[0]).norm() - mm).abs() < 1e-9, "{printed}");
        }
    }
}

#[test]
fn the_level_line_is_level_in_the_stair_and_nothing_is_mirrored() {
    for (_, workup, marks) in worked() {
        let outline = workup.outline.as_ref().unwrap();
        let line = marks.strokes.iter().find(|s| s.part_of == "LEVEL LINE").unwrap();
        let ends = [line.points[0], line.points[1]].map(|p| outline.to_board().inverse() * p);
        assert!((ends[1].y - ends[0].y).abs() < 1e-9 && (ends[1] - ends[0]).norm() >= 40.0);
        // The L of LEVEL: down, then to the right.
        let letter = &marks.strokes.iter().find(|s| s.part_of == "LEVEL").unwrap().points;
        assert!(letter[1].y < letter[0].y && letter[2].x > letter[1].x);
        // The arrow points toward the teeth: up in the board frame.
        let tip = marks.strokes.iter().filter(|s| s.part_of == "CROWN UP").map(|s| &s.points);
        assert!(tip.clone().any(|s| s.len() == 3
            && s[1].y > s[0].y
            && s[1].y > s[2].y
            && s[1].x < letter_left(marks)));
    }
}

/// The left of the C of CROWN UP.
fn letter_left(marks: &Marks) -> f64 {
    let first = marks.strokes.iter().find(|s| s.part_of == "CROWN UP").unwrap();
    first.points.iter().map(|p| p.x).fold(f64::INFINITY, f64::min)
}

#[test]
fn the_hole_is_at_the_balance_point() {
    // Two equal halves would balance anywhere on their middle; a rectangle's centroid is checked by
    // adding trapezoids.
    let (workup, marks) = marked(&free(SEVEN, "").job());
    let part = workup.outline.as_ref().unwrap().in_board_frame();
    let (mut area, mut moment) = (0.0, (0.0, 0.0));
    for edge in part.edges() {
        let (a, b) = (edge.segment.from(), edge.segment.to());
        let strip = (a.x - b.x) * (a.y + b.y) / 2.0;
        area += strip;
        moment.0 += (a.x - b.x) * (a.x * (2.0 * a.y + b.y) + b.x * (a.y + 2.0 * b.y)) / 6.0;
        moment.1 += (a.x - b.x) * (a.y * a.y + a.y * b.y + b.y * b.y) / 6.0;
    }
    assert!((area - part.area()).abs() < 1e-6);
    let hole = marks.hole.unwrap();
    assert!((hole.center - Point::new(moment.0 / area, moment.1 / area)).norm() < 1e-6);
    assert!((hole.radius.as_mm() - 6.35).abs() < 1e-9);
}

fn program_text(job: &Job, workup: &Workup, program: &Program) -> String {
    gcode(
        &Stamp::of(workup),
        &job.cut.machine,
        workup.planned.as_ref().unwrap().path.ledger(),
        program,
    )
}

/// Walks a program: every cut with its height and whether the steps since the last dark one said to
/// score.
fn cuts(program: &Program) -> Vec<(Segment, f64)> {
    let cut = |step: &Step| match step {
        Step::Cut { segment, to_z, .. } => Some((*segment, *to_z)),
        _ => None,
    };
    program.steps.iter().filter_map(cut).collect()
}

#[test]
fn a_pointed_cutter_marks_in_a_program_of_its_own_at_its_depth_and_rapids_only_above() {
    let job = tie(free(SEVEN, ""), "0 in").job();
    let (workup, marks) = marked(&job);
    let planned = workup.planned.as_ref().unwrap();
    let program = planned.mark_program.as_ref().expect("a program of its own");
    let Tool::Router(router) = &job.cut.machine.tool else { panic!("a router") };
    let depth = router.mark.unwrap().depth.as_mm();
    assert!(program.task == Task::Mark && program.holes.is_empty() && program.tabs.is_empty());
    let total: f64 =
        marks.strokes.iter().flat_map(|s| lines_of(&s.points)).map(|s| s.length()).sum();
    let made: f64 = cuts(program).iter().map(|(s, _)| s.length()).sum();
    assert!((total - made).abs() < 1e-6, "{total} {made}");
    let (mut z, safe) = (0.0, job.cut.machine.safe_height.as_mm());
    for step in &program.steps {
        match step {
            Step::RapidZ(to) => {
                assert!((to - safe).abs() < 1e-12 || (to - 1.0).abs() < 1e-12);
                z = *to;
            }
            Step::FeedZ(to) => {
                assert!((to + depth).abs() < 1e-12);
                z = *to;
            }
            Step::RapidXy(_) => assert!(z >= 1.0),
            Step::Cut { to_z, .. } => {
                assert!((to_z + depth).abs() < 1e-12 && (z + depth).abs() < 1e-12);
            }
            _ => {}
        }
    }
    let text = program_text(&job, &workup, program);
    assert!(
        text.contains("POINTED CUTTER, STROKE 0.0313 IN, 0.794 MM WIDE")
            && text.contains("nothing is compensated"),
        "{text}"
    );
    assert!(planned.program.marking.is_none() && !planned.program.holes.is_empty());
    // Nearest comes first: far less way than in the order of the marks.
    let unordered: f64 = marks
        .strokes
        .windows(2)
        .map(|w| (w[1].points[0] - w[0].points[w[0].points.len() - 1]).norm())
        .sum();
    let lifts = 2.0 * (safe + depth) * marks.strokes.len() as f64;
    assert!(
        program.rapid_length_mm - lifts < unordered,
        "{} {unordered}",
        program.rapid_length_mm - lifts
    );
}

#[test]
fn a_beam_scores_first_at_score_power_then_cuts_the_hole_then_the_outline() {
    let job = laser("total = \"29 in\"\nrisers = 4").job();
    let (workup, marks) = marked(&job);
    let planned = workup.planned.as_ref().unwrap();
    assert!(planned.mark_program.is_none());
    let program = &planned.program;
    let marking = program.marking.as_ref().unwrap();
    assert_eq!(marking.strokes.len(), marks.strokes.len());
    let (mut lit, mut order) = ("dark", Vec::new());
    for step in &program.steps {
        match step {
            Step::BeamOn => lit = "cut",
            Step::BeamScore => lit = "score",
            Step::BeamDark => lit = "dark",
            Step::RapidXy(_) => assert_eq!(lit, "dark"),
            Step::Cut { segment, .. } => {
                assert_ne!(lit, "dark");
                let in_hole = (segment.from() - program.holes[0].center).norm()
                    < program.holes[0].radius.as_mm();
                order.push(if lit == "score" {
                    "score"
                } else if in_hole {
                    "hole"
                } else {
                    "outline"
                });
            }
            _ => {}
        }
    }
    order.dedup();
    assert_eq!(order, ["score", "hole", "outline"]);
    let text = program_text(&job, &workup, program);
    let powers: Vec<&str> = text
        .lines()
        .filter(|l| l.starts_with("G1") || l.starts_with("G3"))
        .filter_map(|l| l.split(" S").nth(1))
        .collect();
    assert_eq!(powers.iter().filter(|p| **p == "150").count(), marks.strokes.len());
    assert_eq!(powers.iter().filter(|p| **p == "1000").count(), 2);
}

#[test]
fn a_cutter_cuts_the_hole_before_the_outline_and_inside_it() {
    let job = free(SEVEN, "").job();
    let (workup, _) = marked(&job);
    let program = &workup.planned.as_ref().unwrap().program;
    let (hole, cutter) = (program.holes[0], job.cut.machine.tool_radius().as_mm());
    let out = |s: &Segment| (s.from() - hole.center).norm().max((s.to() - hole.center).norm());
    let order: Vec<bool> =
        cuts(program).iter().map(|(s, _)| out(s) <= hole.radius.as_mm() - cutter + 1e-9).collect();
    let holes = order.iter().take_while(|inside| **inside).count();
    assert!(holes > 10 && order[holes..].iter().all(|inside| !inside));
}

#[test]
fn a_drawing_has_the_strokes_on_layer_mark_and_one_closed_line_on_layer_cut() {
    let job = free(SEVEN, "").job();
    let (workup, marks) = marked(&job);
    let outline = workup.outline.as_ref().unwrap();
    let drawing = nominal(&Stamp::of(&Workup::of(&job)), outline, job.cut.machine.units)
        .with_marks(&marks, Length::ZERO);
    let on = |layer: Layer| drawing.entities.iter().filter(move |e| e.layer() == layer);
    assert_eq!(on(Layer::Cut).count(), 1);
    assert_eq!(
        on(Layer::Mark).filter(|e| matches!(e, Entity::Open(..))).count(),
        marks.strokes.len()
    );
    assert_eq!(
        on(Layer::Mark).filter(|e| matches!(e, Entity::Closed(_, arcs) if arcs.len() == 2)).count(),
        1
    );
    for version in [DxfVersion::R12, DxfVersion::R2000] {
        let text = drawing.write(version);
        assert!(text.contains("its circle is the hanging hole"));
    }
}

#[test]
fn stringers_are_not_marked_and_have_no_hole() {
    let stair = Stair {
        cut: "makes = \"stringers\"\nmachine = \"router-table\"\nmaterial = \"plywood-18\"".into(),
        board: "width = \"11 1/4 in\"\nthickness = \"18 mm\"".into(),
        ..Stair::default()
    };
    let workup = Workup::of(&stair.job());
    let planned = workup.planned.as_ref().unwrap();
    assert!(planned.marks.is_none() && planned.mark_program.is_none());
    assert!(planned.program.marking.is_none() && planned.program.holes.is_empty());
}

fn titled(stair: &Stair, title: &str) -> Job {
    let text = stair.toml().replace("Invented test stair", title);
    read_job("job.toml", &text, &|path| {
        let (file, text) =
            stair.files.iter().find(|(name, _)| name == path).expect("a file of the stair");
        Ok(Source { file: file.clone(), text: text.clone() })
    })
    .unwrap()
}

fn finding(job: &Job, code: &str) -> Option<Finding> {
    Workup::of(job).findings.into_iter().find(|f| f.code.name() == code)
}

fn provokes(job: &Job, code: &str, severity: Severity) -> Finding {
    let found =
        finding(job, code).unwrap_or_else(|| panic!("{code}: {:?}", Workup::of(job).findings));
    assert_eq!(found.severity, severity);
    assert_eq!(finding(&free(SEVEN, "").job(), code), None, "{code} is there without provocation");
    found
}

#[test]
fn a_character_that_cannot_be_marked_is_refused_by_name_and_only_on_a_pattern() {
    let job = titled(&free(SEVEN, ""), "Stair of 3 \u{20ac}");
    let found = provokes(&job, "mark-unknown-character", Severity::Refusal);
    assert!(found.sentence().contains('\u{20ac}') && found.place.to_string() == "title");
    assert!(Workup::of(&job).planned.is_none());
    let stringers = Stair {
        cut: "makes = \"stringers\"\nmachine = \"router-table\"\nmaterial = \"plywood-18\"".into(),
        ..Stair::default()
    };
    assert_eq!(finding(&titled(&stringers, "3 \u{20ac}"), "mark-unknown-character"), None);
}

/// A part of a few inches.
fn tiny() -> Stair {
    Stair {
        tread: tread("4 in", "1/4 in", "1/4 in", "1/4 in"),
        board: "width = \"4 in\"\nthickness = \"1 1/2 in\"".into(),
        ..free("total = \"7 in\"\nrisers = 2", "")
    }
}

#[test]
fn a_title_too_long_for_the_pattern_is_cut_and_the_rest_stays() {
    let job = titled(&tiny(), "AVERYLONGTITLEOFONEWORDTHATNOBODYCANBREAKANYWHEREATALLATALL");
    let found = provokes(&job, "mark-title-cut", Severity::Warning);
    assert!(found.sentence().contains("AVERYL"), "{found}");
}

#[test]
fn what_finds_no_room_on_a_small_pattern_is_named() {
    let found = provokes(&tiny().job(), "mark-left-out", Severity::Warning);
    assert!(!found.place.to_string().is_empty());
}

#[test]
fn a_balance_point_too_near_the_edge_moves_the_hole_or_leaves_it_out() {
    let board = |width: &str| Stair {
        board: format!("width = \"{width}\"\nthickness = \"1 1/2 in\""),
        ..free(SEVEN, "")
    };
    provokes(&board("8 1/2 in").job(), "hole-moved", Severity::Advice);
    provokes(&board("7 in").job(), "hole-left-out", Severity::Warning);
}

#[test]
fn a_machine_without_a_pointed_cutter_draws_the_marks_and_says_so() {
    let mut stair = free(SEVEN, "");
    stair.files[1].1 = stair.files[1].1.replace("\nmark = ", "\n# mark = ");
    let job = stair.job();
    provokes(&job, "mark-no-tool", Severity::Advice);
    let workup = Workup::of(&job);
    let planned = workup.planned.as_ref().unwrap();
    assert!(
        planned.mark_program.is_none()
            && planned.marks.as_ref().is_some_and(|m| !m.strokes.is_empty())
    );
}

#[test]
fn marks_deeper_than_half_the_material_are_refused() {
    let mut stair = free(SEVEN, "");
    assert!(stair.files[1].1.contains("depth = \"0.02 in\""));
    stair.files[1].1 = stair.files[1].1.replace("depth = \"0.02 in\"", "depth = \"1/4 in\"");
    provokes(&stair.job(), "mark-too-deep", Severity::Refusal);
}
