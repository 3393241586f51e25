//! Housed stringers: their outline and pockets by formulas of this test's own, their programs
//! proven, spoilt ones caught.

use crate::common::{Stair, tread};
use seatcut::diagnostics::{Finding, Value, codes};
use seatcut::geometry::{Placement, Vector};
use seatcut::job::Job;
use seatcut::output::Stamp;
use seatcut::output::content::{TableRows, Topic, bench_sheet};
use seatcut::output::dxf::{DxfVersion, Entity, Layer, compensated, nominal};
use seatcut::output::gcode::gcode;
use seatcut::pipeline::numbers::Value as Shown;
use seatcut::pipeline::proof;
use seatcut::pipeline::workup::Workup;
use seatcut::units::Length;
use seatcut::verify::{Verdict, verify_drawing, verify_program};

/// An invented stair of four risers, housed, cut out of a thick sheet by a router that takes it.
pub(crate) fn stair() -> Stair {
    let material = crate::common::profile_with(
        "material",
        "plywood-18",
        &[("thickness = \"18 mm\"", "thickness = \"1 1/4 in\""), ("lengthwise", "lengthwise")],
    );
    Stair {
        rise: "total = \"30 in\"\nrisers = 4".into(),
        tread: tread("10 1/4 in", "1 in", "1 in", "3/4 in"),
        board:
            "width = \"14 in\"\nthickness = \"1 1/4 in\"\n[housed]\nhand = \"left\"\ndepth = \"1/2 \
            in\"\nwedge = \"3/8 in\""
                .into(),
        cut: "makes = \"stringers\"\nmachine = \"router-table\"\nmaterial = \"./thick.toml\""
            .into(),
        files: vec![("./thick.toml".into(), material)],
        ..Stair::default()
    }
}

fn with(stair: &Stair, replacements: &[(&str, &str)]) -> Stair {
    let mut stair = stair.clone();
    for (from, to) in replacements {
        let parts = [&mut stair.board, &mut stair.cut, &mut stair.tread, &mut stair.rise];
        let part =
            parts.into_iter().find(|part| part.contains(from)).unwrap_or_else(|| panic!("{from}"));
        *part = part.replace(from, to);
    }
    stair
}

struct Case {
    job: Job,
    workup: Workup,
    text: String,
}

fn case(stair: &Stair) -> Case {
    let job = stair.job();
    let workup = Workup::of(&job);
    let planned = workup.planned.as_ref().unwrap_or_else(|| panic!("{:?}", workup.findings));
    let text =
        gcode(&Stamp::of(&workup), &job.cut.machine, planned.path.ledger(), &planned.program);
    Case { job, workup, text }
}

impl Case {
    fn held(&self, text: &str) -> Result<Verdict, seatcut::diagnostics::Error> {
        let (outline, planned) =
            (self.workup.outline.as_ref().unwrap(), self.workup.planned.as_ref().unwrap());
        verify_program(
            text.as_bytes(),
            "program.nc",
            &proof::planned(&self.job, outline, &planned.program),
        )
    }

    fn codes(&self, text: &str) -> Vec<&'static str> {
        match self.held(text) {
            Ok(verdict) => {
                verdict.findings.iter().filter(|f| f.refuses()).map(|f| f.code.name()).collect()
            }
            Err(_) => vec!["unreadable"],
        }
    }
}

fn proven(stair: &Stair) -> Case {
    let case = case(stair);
    let verdict = case.held(&case.text).unwrap();
    let refusals: Vec<&Finding> = verdict.findings.iter().filter(|f| f.refuses()).collect();
    assert!(refusals.is_empty(), "{refusals:#?}");
    assert_eq!(verdict.pockets, case.workup.outline.as_ref().unwrap().pockets().len());
    assert!(
        verdict.gouge_mm <= 0.0127 && verdict.left_mm <= 0.0127,
        "{} {}",
        verdict.gouge_mm,
        verdict.left_mm
    );
    case
}

#[test]
fn a_housed_stringer_is_made_and_proven_with_every_corner_hand_and_wedge() {
    for corners in ["fillet", "bisector", "riser", "tread"] {
        for (hand, wedge) in [("left", "3/8 in"), ("right", "0 in"), ("right", "1/4 in")] {
            let corner = format!("material = \"./thick.toml\"\ncorners = \"{corners}\"");
            let hand = format!("hand = \"{hand}\"");
            let wedge = format!("wedge = \"{wedge}\"\nclearance = \"1/64 in\"");
            proven(&with(
                &stair(),
                &[
                    ("material = \"./thick.toml\"", &corner),
                    ("hand = \"left\"", &hand),
                    ("wedge = \"3/8 in\"", &wedge),
                ],
            ));
        }
    }
}

#[test]
fn open_risers_no_overhang_a_flush_head_and_another_machine_are_proven_too() {
    let open = with(&stair(), &[("riser_board = \"3/4 in\"", "riser_board = \"0 in\"")]);
    let open = Stair { rules: "us-osha".into(), ..open };
    assert_eq!(proven(&open).workup.outline.unwrap().pockets().len(), 3);
    proven(&Stair {
        rules: "us-osha".into(),
        ..with(&stair(), &[("overhang = \"1 in\"", "overhang = \"0 in\"")])
    });
    proven(&Stair { head: "meets = \"flush\"\nfinish = \"1 in\"".into(), ..stair() });
    let mut chords =
        with(&stair(), &[("machine = \"router-table\"", "machine = \"./chords.toml\"")]);
    let no_arcs = ("# chord_tolerance = \"0.002 in\"", "chord_tolerance = \"0.002 in\"");
    chords.files.push((
        "./chords.toml".into(),
        crate::common::profile_with("machine", "router-table", &[no_arcs]),
    ));
    let text = proven(&chords).text;
    assert!(!text.contains("G2 ") && !text.contains("G3 "));
}

/// Where the stock is cut, from the program's text alone: every move as a capsule of the cutter,
/// its deepest end.
fn moves(text: &str) -> Vec<([f64; 3], [f64; 3])> {
    let (mut at, mut found) = ([0.0, 0.0, 12.7], Vec::new());
    for line in text.lines().filter(|line| line.starts_with('G') && line.contains(['X', 'Y', 'Z']))
    {
        let mut to = at;
        for word in line.split_whitespace() {
            let axis = match &word[..1] {
                "X" => 0,
                "Y" => 1,
                "Z" => 2,
                _ => continue,
            };
            to[axis] = word[1..].parse::<f64>().unwrap() * 25.4;
        }
        found.push((at, to));
        at = to;
    }
    found
}

/// How deep the material is cut at a point; arcs count as their chords, so ask away from the sides.
fn depth_at(moves: &[([f64; 3], [f64; 3])], p: [f64; 2], radius: f64) -> f64 {
    let mut deepest = 0.0_f64;
    for (a, b) in moves {
        let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
        let length = dx * dx + dy * dy;
        let share = if length > 0.0 {
            (((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / length).clamp(0.0, 1.0)
        } else {
            0.0
        };
        let off = (p[0] - a[0] - share * dx).hypot(p[1] - a[1] - share * dy);
        if off <= radius {
            deepest = deepest.max(-(a[2] + share * (b[2] - a[2])));
        }
    }
    deepest
}

#[test]
fn the_boards_go_where_the_flight_says_and_nothing_else_of_the_face_is_touched() {
    for hand in ["left", "right"] {
        let case = proven(&with(&stair(), &[("hand = \"left\"", &format!("hand = \"{hand}\""))]));
        let (outline, planned) =
            (case.workup.outline.as_ref().unwrap(), case.workup.planned.as_ref().unwrap());
        let to_stock = planned.program.placement() * outline.to_board();
        let sign = if hand == "left" { 1.0 } else { -1.0 };
        let moves = moves(&case.text);
        let depth = |x: f64, y: f64| {
            let p = to_stock * seatcut::geometry::Point::new(sign * x * 25.4, y * 25.4);
            depth_at(&moves, [p.x, p.y], 3.175)
        };
        // In inches, by hand: risers of 7.5, treads 1 thick with their tops at 7.5 k; riser boards
        // of 3/4 behind the face at 10.25 (k - 1) - 0.75; nosings 1 before that.
        let mut inside = 0;
        for k in 1..=3 {
            let (top, face) = (7.5 * f64::from(k), 10.25 * f64::from(k - 1) - 0.75);
            for i in 0..40 {
                let along = -0.9 + 10.8 * f64::from(i) / 39.0;
                for below in [0.05, 0.3, 0.5, 0.7, 0.95] {
                    assert!(
                        (depth(face + along, top - below) - 12.7).abs() < 0.01,
                        "{hand} tread {k} at {along} {below}"
                    );
                    inside += 1;
                }
                // Over the tread, in front of the next riser, the face is whole.
                if along < 9.2 {
                    assert!(
                        depth(face + along, top + 0.1) < 1e-9,
                        "{hand} over tread {k} at {along}"
                    );
                }
            }
            for i in 0..30 {
                let down = 1.05 + 5.0 * f64::from(i) / 29.0;
                for across in [0.05, 0.25, 0.4, 0.6, 0.7] {
                    assert!(
                        (depth(face + across, top - down) - 12.7).abs() < 0.01,
                        "{hand} riser {k} at {across} {down}"
                    );
                }
                assert!(depth(face - 0.1, top - down.max(1.2)) < 1e-9, "{hand} before riser {k}");
            }
            assert!(depth(face - 1.2, top - 0.5) < 1e-9 && depth(face + 3.0, top - 2.0) < 1e-9);
        }
        assert_eq!(inside, 600);
    }
}

#[test]
fn a_housed_board_has_a_bench_sheet_of_its_own_with_its_wedges() {
    let workup = Workup::of(&stair().job());
    let sheet = bench_sheet(&workup);
    let all = format!("{sheet:?}");
    for notched in ["\"first riser cut\"", "\"throat", "\"top tread cut\"", "cleat", "\"drop"] {
        assert!(!all.contains(notched), "{notched}");
    }
    let section = |topic| format!("{:?}", sheet.section(topic).unwrap());
    for (topic, words) in [
        (Topic::Numbers, "first tread's pocket"),
        (Topic::Poles, "Every mark is measured from the beginning"),
        (Topic::FitCard, "upper side of tread pocket 3 above the seat"),
        (Topic::Marks, "nosing 3"),
        (Topic::Machine, "depth"),
        (Topic::Cautions, "Advice only"),
    ] {
        assert!(section(topic).contains(words), "{words}");
    }
    // Three treads: two alike and the last; three riser boards: the lowest, one more, and that
    // under the last tread, whose pocket is shorter and slopes more. Both stringers.
    let list = sheet.section(Topic::CutList).unwrap();
    let pieces = list.tables.iter().find_map(|table| match &table.rows {
        TableRows::Pieces(pieces) => Some(pieces),
        _ => None,
    });
    let wedges = pieces.unwrap().iter().filter(|piece| piece.what.starts_with("wedges"));
    let counts: Vec<Shown> = wedges.clone().map(|piece| piece.count.clone()).collect();
    assert_eq!(counts, [4, 2, 2, 2, 2].map(Shown::Count));
    assert!(wedges.into_iter().all(|piece| piece.width == Shown::Length(Length::inches(0.5))));
}

#[test]
fn the_two_hands_are_two_parts_and_neither_passes_for_the_other() {
    let left = proven(&stair());
    let right = proven(&with(&stair(), &[("hand = \"left\"", "hand = \"right\"")]));
    assert!(!right.codes(&left.text).is_empty() && !left.codes(&right.text).is_empty());
    let area = |case: &Case| case.workup.outline.as_ref().unwrap().pockets()[0].contour.area();
    assert!((area(&left) - area(&right)).abs() < 1e-6);
}

/// The lines of the part of a program after a comment.
fn section(text: &str, comment: &str) -> (usize, usize) {
    // The lines at the top that say where to go on name the comments too.
    let begins = format!("({comment}");
    let from = text.lines().position(|line| line.starts_with(&begins));
    let from = from.unwrap_or_else(|| panic!("{comment}"));
    let next = text.lines().skip(from + 1).position(|line| line.starts_with('(')).unwrap();
    (from + 1, from + 1 + next)
}

fn spoilt(text: &str, spoil: impl Fn(usize, &str) -> Option<String>) -> String {
    text.lines()
        .enumerate()
        .filter_map(|(i, line)| spoil(i, line))
        .map(|line| line + "\n")
        .collect()
}

#[test]
fn a_pocket_cut_too_deep_or_too_shallow_is_caught() {
    let case = proven(&stair());
    let deeper = case.codes(&case.text.replace("Z-0.5000", "Z-0.5100"));
    // No wood of the part is said to be cut through for it.
    let told = ["pocket-deep", "pass-too-deep"];
    assert!(deeper.contains(&told[0]) && deeper.iter().all(|of| told.contains(of)), "{deeper:?}");
    let downs: Vec<usize> = (0..)
        .zip(case.text.lines())
        .filter(|(_, l)| l.contains("Z-0.5000"))
        .map(|(i, _)| i)
        .collect();
    assert!(downs.len() >= 7, "{downs:?}");
    for at in downs {
        let one = |i: usize, line: &str| {
            Some(if i == at { line.replace("Z-0.5", "Z-0.502") } else { line.to_string() })
        };
        assert!(case.codes(&spoilt(&case.text, one)).contains(&"pocket-deep"), "line {at}");
    }
    let shallower = case.codes(&case.text.replace("Z-0.5000", "Z-0.4900"));
    assert!(shallower.contains(&"pocket-uncut"), "{shallower:?}");
}

#[test]
fn a_missing_row_a_missing_pass_and_missing_sides_are_caught() {
    let case = proven(&stair());
    let (from, to) = section(&case.text, "TREAD POCKET 2");
    let rows: Vec<usize> =
        (from..to).filter(|i| case.text.lines().nth(*i).unwrap().starts_with("G1 X")).collect();
    // Three rows and what joins them in the middle of the last level go: the tool then runs aslant
    // past what stays.
    let gone = rows[rows.len() - 7]..rows[rows.len() - 1];
    let codes =
        case.codes(&spoilt(&case.text, |i, line| (!gone.contains(&i)).then(|| line.to_string())));
    assert!(codes.contains(&"pocket-floor"), "{codes:?}");
    let whole = case
        .codes(&spoilt(&case.text, |i, line| (!(from..to).contains(&i)).then(|| line.to_string())));
    assert!(whole.contains(&"pocket-floor"), "{whole:?}");
    let (from, to) = section(&case.text, "SIDES OF POCKET");
    let sides = case
        .codes(&spoilt(&case.text, |i, line| (!(from..to).contains(&i)).then(|| line.to_string())));
    assert!(sides.contains(&"pocket-uncut"), "{sides:?}");
    // The first level gone: the second takes all of the depth at once.
    let lift =
        (from + 2..to).find(|i| case.text.lines().nth(*i).unwrap().starts_with("G0 Z")).unwrap();
    let pass = case.codes(&spoilt(&case.text, |i, line| {
        (!(from..lift).contains(&i)).then(|| line.to_string())
    }));
    assert!(!pass.is_empty(), "a level is missing");
}

#[test]
fn one_coordinate_of_a_pocket_moved_by_a_millimetre_is_caught() {
    let case = proven(&stair());
    let (from, to) = section(&case.text, "SIDES OF POCKET");
    let lines: Vec<&str> = case.text.lines().collect();
    let (mut tried, mut missed) = (0, Vec::new());
    for at in (from..to).filter(|i| lines[*i].starts_with("G1 X")).step_by(5) {
        let spoil = |i: usize, line: &str| {
            let words = line.split_whitespace().map(|word| match word.strip_prefix('Y') {
                Some(y) if i == at => format!("Y{:.4}", y.parse::<f64>().unwrap() + 0.04),
                _ => word.to_string(),
            });
            Some(if i == at { words.collect::<Vec<_>>().join(" ") } else { line.to_string() })
        };
        tried += 1;
        if case.codes(&spoilt(&case.text, spoil)).is_empty() {
            missed.push(at);
        }
    }
    assert!(tried >= 8 && missed.is_empty(), "{tried} {missed:?}");
}

fn found(stair: &Stair) -> Vec<Finding> {
    Workup::of(&stair.job()).findings
}

#[test]
fn what_does_not_fit_or_is_not_made_is_refused_with_its_figures() {
    let cases: [(&str, &[(&str, &str)]); 14] = [
        ("housed-too-deep", &[("depth = \"1/2 in\"", "depth = \"3/4 in\"")]),
        ("housed-shallow", &[("depth = \"1/2 in\"", "depth = \"1/8 in\"")]),
        ("housed-no-wedge", &[("wedge = \"3/8 in\"", "wedge = \"0 in\"")]),
        ("housed-ends", &[]),
        ("housed-narrow", &[("width = \"14 in\"", "width = \"10 in\"")]),
        ("housed-thin", &[("wedge = \"3/8 in\"", "wedge = \"3/8 in\"\nedge_above = \"1/8 in\"")]),
        ("housed-no-pocket", &[("depth = \"1/2 in\"", "depth = \"1/2 in\"\nland = \"7 in\"")]),
        ("housed-laser", &[("machine = \"router-table\"", "machine = \"laser\"")]),
        ("housed-pattern", &[("makes = \"stringers\"", "makes = \"pattern\"")]),
        ("housed-board", &[("material = \"./thick.toml\"", "material = \"board-2x12\"")]),
        ("housed-several", &[("makes = \"stringers\"", "makes = \"stringers\"\nquantity = 2")]),
        (
            "housed-several",
            &[("makes = \"stringers\"", "makes = \"stringers\"\nspacing = \"2 in\"")],
        ),
        ("housed-several", &[("makes = \"stringers\"", "makes = \"stringers\"\nlong = \"index\"")]),
        ("pocket-narrow", &[("riser_board\" = ", "")]),
    ];
    for (code, replacements) in cases {
        let stair = match code {
            "pocket-narrow" => {
                with(&stair(), &[("riser_board = \"3/4 in\"", "riser_board = \"1/8 in\"")])
            }
            _ => with(&stair(), replacements),
        };
        let findings = found(&stair);
        assert!(findings.iter().any(|f| f.code.name() == code), "{code}: {findings:?}");
    }
    let plate =
        Stair { tie_plate: "width = \"3 1/2 in\"\nheight = \"1 1/2 in\"".into(), ..stair() };
    assert!(found(&plate).iter().any(|f| f.is::<codes::HousedPlate>()));
}

#[test]
fn a_board_too_narrow_for_its_pockets_is_told_the_width_that_would_do() {
    let on = |width: f64| {
        let findings =
            found(&with(&stair(), &[("width = \"14 in\"", &format!("width = \"{width} in\""))]));
        findings.into_iter().find(|f| f.is::<codes::HousedNarrow>())
    };
    let told = on(10.0).unwrap();
    let mm = |name: &str| told.value(name).and_then(Value::measured).unwrap().0;
    assert!(mm("measured") < mm("limit") && mm("wider") > 254.0, "{told}");
    assert!((mm("wider") - 254.0 - (mm("limit") - mm("measured"))).abs() < 1e-9, "{told}");
    assert!(on(mm("wider") / 25.4).is_none());
    assert!(on(mm("wider") / 25.4 - 0.01).is_some());
}

#[test]
fn the_pockets_of_both_drawings_are_proven_and_a_moved_or_missing_one_is_caught() {
    for (corners, version) in [("fillet", DxfVersion::R2000), ("riser", DxfVersion::R12)] {
        let corner = format!("material = \"./thick.toml\"\ncorners = \"{corners}\"");
        let case = proven(&with(&stair(), &[("material = \"./thick.toml\"", &corner)]));
        let (outline, planned) =
            (case.workup.outline.as_ref().unwrap(), case.workup.planned.as_ref().unwrap());
        let (stamp, units) = (Stamp::of(&case.workup), case.job.cut.machine.units);
        let expectation = proof::planned(&case.job, outline, &planned.program);
        let held = |text: &str| verify_drawing(text.as_bytes(), "a.dxf", &expectation).unwrap();
        let drawings = [
            nominal(&stamp, outline, units),
            compensated(&stamp, &planned.path, &planned.program, units),
        ];
        for mut drawing in drawings {
            let written = drawing.write(version);
            let right = held(&written);
            assert!(right.is_this_part() && right.pockets == 1, "{corners}: {:?}", right.findings);
            // What the lines do not say: how deep.
            for (from, to) in [
                ("12.7000 mm deep", "31.7000 mm deep"),
                ("this face", "the other face"),
                ("POCKET: ", "CUT: "),
            ] {
                assert!(written.contains(from));
                let other = held(&written.replace(from, to));
                let told = other.findings.iter().any(|f| f.is::<codes::PocketDepthWords>());
                assert!(told && !other.is_this_part(), "{from}: {:?}", other.findings);
            }
            let bare = held(&drawing.clone().without_reference().write(version));
            assert!(bare.is_this_part(), "{corners}: {:?}", bare.findings);
            let at = drawing.entities.iter().position(|e| e.layer() == Layer::Pocket).unwrap();
            let Entity::Closed(layer, segments) = drawing.entities[at].clone() else {
                panic!("a pocket is closed")
            };
            let moved = Placement::new(Vector::new(0.05, 0.0), 0.0);
            drawing.entities[at] =
                Entity::Closed(layer, segments.iter().map(|s| s.placed(&moved)).collect());
            let off = held(&drawing.write(version));
            assert!(
                off.findings.iter().any(|f| f.code.name() == "pocket-drawn-off"),
                "{corners}: {:?}",
                off.findings
            );
            drawing.entities.remove(at);
            assert!(!held(&drawing.write(version)).is_this_part());
        }
    }
}
