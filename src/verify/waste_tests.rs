//! What is cut beside the pieces, and what then hangs together: strokes laid by hand.

use super::boundary::Boundary;
use super::crossing::crossings;
use super::deviation::deviation;
use super::expectation::{Clamp, Expectation, Hole, Laid, Pin, Waste};
use super::findings::Findings;
use super::hangs::{Cuts, check};
use super::levels::Levels;
use super::proof::Target;
use super::sections::Sections;
use super::shape::Shape;
use super::stroke::{Stroke, Work};
use super::testing::{expectation, home, job, placed_path};
use super::waste::{Accounts, off_by};
use crate::diagnostics::codes::EdgeSide;
use crate::diagnostics::{Finding, Value};
use crate::geometry::{Bounds, Point, Segment, Turn, Vector};
use crate::job::Corners;
use crate::profile::{Arcs, Finish, Form, Tool};
use crate::stair::outline::Role;
use crate::units::Length;

/// From here to there.
type Ends = ((f64, f64), (f64, f64));

fn line(from: (f64, f64), to: (f64, f64)) -> Segment {
    Segment::Line { from: Point::new(from.0, from.1), to: Point::new(to.0, to.1) }
}

fn stroke(path: Segment) -> Stroke {
    let (from_z, to_z, line, work) = (-7.0, -7.0, 1, Work::Cutting);
    Stroke { path, from_z, to_z, line, work, off_mm: 0.0, energy: 1.0 }
}

/// How many strokes are along the piece, and the lengths of what lies elsewhere.
fn sorted(e: &Expectation<'_>, strokes: &[Stroke]) -> (usize, Vec<f64>) {
    let boundaries = [Boundary::new(&e.wanted(&e.pieces[0])).unwrap()];
    let laid = [Laid { piece: 0, placement: home() }];
    let (levels, radius) = (Levels::new(e), e.machine.tool_radius().as_mm());
    let accounts = Accounts { e, boundaries: &boundaries, laid: &laid, levels: &levels, radius };
    let found = accounts.sort(strokes).unwrap();
    let length = |s: &Stroke| (s.path.length() * 1e3).round() / 1e3;
    (found.along.len(), found.elsewhere.iter().map(length).collect())
}

#[test]
fn a_stroke_is_along_the_piece_on_a_way_in_or_elsewhere() {
    let job = job();
    let slack = off_by(&job.cut.machine);
    assert!((slack - 0.01778).abs() < 1e-9);
    let mut chords = job.cut.machine.clone();
    chords.arcs = Arcs::Chords(Length::mm(0.03));
    assert!((off_by(&chords) - 0.04778).abs() < 1e-9);
    let way = line((1500.0, 600.0), (1600.0, 600.0));
    let e = Expectation { waste: Waste::Planned(vec![way]), ..expectation(&job, Corners::Fillet) };
    // The lower edge is the longest one of the piece.
    let edge = placed_path(&e)[0];
    let along = edge.direction_at(0.0);
    let out = Vector::new(along.y, -along.x);
    let beside = |off: f64| {
        let at = |share: f64| edge.point_at(share) + out * off;
        stroke(Segment::Line { from: at(0.2), to: at(0.8) })
    };
    let length = (edge.length() * 600.0).round() / 1e3;
    assert_eq!(sorted(&e, &[beside(0.0), beside(0.9 * slack)]), (2, vec![]));
    assert_eq!(sorted(&e, &[beside(1.1 * slack)]), (0, vec![length]));
    let loose = Stroke { off_mm: 0.01, ..beside(1.1 * slack) };
    assert_eq!(sorted(&e, &[loose]), (1, vec![]));
    let mut finished = job.cut.machine.clone();
    let Tool::Router(router) = &mut finished.tool else { panic!("a router") };
    router.finish = Some(Finish { allowance: Length::mm(0.8), feed_mm_min: 2000.0 });
    let finished = Expectation { machine: &finished, ..e.clone() };
    let far = |share: f64| sorted(&finished, &[beside(0.8 + share * slack)]);
    assert_eq!((far(0.9), far(1.1)), ((1, vec![]), (0, vec![length])));
    let on = |y: f64, from: f64, to: f64| stroke(line((from, y), (to, y)));
    assert_eq!(sorted(&e, &[on(600.0, 1510.0, 1590.0)]), (0, vec![]));
    assert_eq!(sorted(&e, &[on(600.0 + 0.9 * slack, 1510.0, 1590.0)]), (0, vec![]));
    assert_eq!(sorted(&e, &[on(600.0 + 1.1 * slack, 1510.0, 1590.0)]), (0, vec![80.0]));
    assert_eq!(sorted(&e, &[on(600.0, 1560.0, 1640.0)]), (0, vec![39.982]));
    let down = |x: f64| stroke(line((x, 600.0), (x, 600.0)));
    assert_eq!(sorted(&e, &[down(1550.0), down(1600.01)]), (0, vec![]));
    assert_eq!(sorted(&e, &[down(1600.02), down(1800.0)]), (0, vec![0.0, 0.0]));
}

#[test]
fn in_a_hole_lies_only_what_sweeps_nothing_beside_it() {
    let job = job();
    let mut e =
        Expectation { waste: Waste::Planned(Vec::new()), ..expectation(&job, Corners::Fillet) };
    e.pieces[0].holes = vec![Hole { center: Point::new(1000.0, 500.0), radius_mm: 10.0 }];
    let hole = Hole { center: Point::new(1500.0, 900.0), radius_mm: 10.0 };
    e.pins = vec![Pin { hole, setup: 0 }];
    let (slack, reach) = (off_by(e.machine), 10.0 - e.machine.tool_radius().as_mm());
    for at in [home() * Point::new(1000.0, 500.0), Point::new(1500.0, 900.0)] {
        let to = |x: f64, y: f64| at + Vector::new(x, y);
        let bow = |from: (f64, f64), by: (f64, f64), center: (f64, f64), turn| {
            let (from, to) = (to(from.0, from.1), to(by.0, by.1));
            stroke(Segment::Arc { from, to, center: at + Vector::new(center.0, center.1), turn })
        };
        let inside = |strokes: Stroke| sorted(&e, &[strokes]).1.is_empty();
        let straight =
            |x: f64| inside(stroke(Segment::Line { from: to(0.0, 0.0), to: to(x, 0.0) }));
        assert!(straight(reach) && straight(reach + 0.9 * slack) && !straight(reach + 1.1 * slack));
        assert!(inside(bow((reach, 0.0), (-reach, 0.0), (0.0, 0.0), Turn::Left)));
        let wide = reach + 1.1 * slack;
        assert!(!inside(bow((wide, 0.0), (-wide, 0.0), (0.0, 0.0), Turn::Left)));
        // Its ends lie inside; it bulges out of the hole, or through its middle.
        assert!(!inside(bow((5.0, 4.0), (-5.0, 4.0), (0.0, 4.0), Turn::Left)));
        assert!(inside(bow((5.0, 4.0), (-5.0, 4.0), (0.0, 4.0), Turn::Right)));
        assert!(!inside(stroke(line((1800.0, 300.0), (1801.0, 300.0)))));
    }
}

/// A square of 60 mm, cut round on these lines.
fn island(x: f64, y: f64) -> Vec<Stroke> {
    let corners = [(x, y), (x + 60.0, y), (x + 60.0, y + 60.0), (x, y + 60.0)];
    (0..4).map(|i| Stroke { line: 5, ..stroke(line(corners[i], corners[(i + 1) % 4])) }).collect()
}

#[test]
fn with_clamps_the_end_of_every_set_up_is_looked_at() {
    let job = job();
    let mut e = expectation(&job, Corners::Fillet);
    let boundaries = [Boundary::new(&e.wanted(&e.pieces[0])).unwrap()];
    let laid = [Laid { piece: 0, placement: home() }];
    let target = Target::new(vec![boundaries[0].placed(&home())], vec![String::new()]);
    let through = island(1500.0, 600.0);
    let sections = Sections::of([("a.nc", 10), ("b.nc", 10)].into_iter());
    let held = |e: &Expectation<'_>| {
        let (through, sections) = (through.as_slice(), &sections);
        let mut findings = Findings::new("p.nc");
        let cuts = Cuts { parting: through, sections, first: None };
        let holding = check(e, &boundaries, &laid, &target, &cuts, &mut findings).unwrap();
        let told = findings.finish();
        let told: Vec<_> = told.iter().map(|f| (f.code.name(), f.place.to_string())).collect();
        (holding.setup, holding.held_by, told)
    };
    e.setups = vec![Vector::zeros(), Vector::new(-1000.0, 0.0)];
    // At the end of the first the square lies loose; in the second it comes under a clamp.
    let clamp = |x: f64, y: f64| {
        let place = Bounds { min: Point::new(x, y), max: Point::new(x + 40.0, y + 40.0) };
        Clamp { place, pad: place, height_mm: Some(10.0) }
    };
    e.clamps = vec![clamp(510.0, 610.0), clamp(200.0, 1000.0)];
    let (setup, by, told) = held(&e);
    assert_eq!((setup, by, told.len()), (Some(1), "the clamped wood", 1), "{told:?}");
    assert!(told[0].0 == "waste-cut-free" && told[0].1.contains('1'), "{told:?}");
    // Under a clamp in both of them, it holds.
    e.clamps.push(clamp(1510.0, 610.0));
    let (setup, _, told) = held(&e);
    assert_eq!((setup, told), (Some(2), vec![]));
    // Shifted alone: only what comes under one, no wood before it.
    let shifted = Expectation {
        setups: vec![Vector::new(-1000.0, 0.0)],
        clamps: e.clamps[..2].to_vec(),
        ..e.clone()
    };
    let holds = |at: f64| {
        let (through, sections) = (island(at, 600.0), &sections);
        let (cuts, mut findings) =
            (Cuts { parting: &through, sections, first: None }, Findings::new("p.nc"));
        check(&shifted, &boundaries, &laid, &target, &cuts, &mut findings).unwrap();
        !findings.finish().iter().any(|found| found.code.name() == "waste-cut-free")
    };
    assert!(holds(1500.0) && !holds(1300.0) && !holds(1700.0));
    // What the rim holds it holds in all.
    e.clamps.clear();
    let (setup, by, told) = held(&e);
    assert_eq!((setup, by, told.len()), (Some(2), "the stock's rim", 1), "{told:?}");
}

#[test]
fn a_piece_on_a_board_is_held_by_itself_only_where_it_comes_to_an_edge() {
    let job = job();
    let mut e = expectation(&job, Corners::Fillet);
    e.form = Form::Board;
    let boundaries = [Boundary::new(&e.wanted(&e.pieces[0])).unwrap()];
    let part = e.pieces[0].part.bounds();
    let held_by = |e: &Expectation<'_>, y: f64| {
        let placement = crate::geometry::Placement::translation(60.0, y - part.min.y);
        let laid = [Laid { piece: 0, placement }];
        let target = Target::new(vec![boundaries[0].placed(&placement)], vec![String::new()]);
        let sections = Sections::of([("a.nc", 10)].into_iter());
        let cuts = Cuts { parting: &[], sections: &sections, first: None };
        let mut findings = Findings::new("p.nc");
        check(e, &boundaries, &laid, &target, &cuts, &mut findings).unwrap().held_by
    };
    assert_eq!((held_by(&e, 0.0), held_by(&e, 0.9)), ("the clamped board", "the clamped board"));
    assert_eq!(held_by(&e, 1.1), "the stock's rim");
    e.form = Form::Sheet;
    assert_eq!(held_by(&e, 0.0), "the stock's rim");
}

#[test]
fn a_ring_crosses_itself_where_two_of_its_lines_do_and_not_where_they_meet() {
    let at = |ways: &[Ends]| {
        let shape = Shape::new(ways.iter().map(|&(from, to)| line(from, to)).collect());
        crossings(&shape)
    };
    let found = at(&[((0.0, 0.0), (10.0, 0.0)), ((4.0, -3.0), (4.0, 9.0))]);
    assert!(found.len() == 1 && found[0].0 == 0);
    assert!((found[0].1 - Point::new(4.0, 0.0)).norm() < 1e-9, "{found:?}");
    let found = at(&[((0.0, 9.0), (1.0, 9.0)), ((2.0, 1.0), (8.0, 4.0)), ((8.0, 1.0), (2.0, 4.0))]);
    assert!(found.len() == 1 && found[0].0 == 1);
    assert!((found[0].1 - Point::new(5.0, 2.5)).norm() < 1e-9, "{found:?}");
    let base = ((0.0, 0.0), (10.0, 0.0));
    for (what, other) in [
        ("touches", ((4.0, 0.0), (4.0, 9.0))),
        ("touches from below", ((4.0, -9.0), (4.0, 0.01))),
        ("meets an end", ((10.0, -3.0), (10.0, 3.0))),
        ("meets the other", ((0.01, -3.0), (0.01, 3.0))),
        ("runs along", ((2.0, 0.0), (14.0, 0.0))),
        ("would if it were longer", ((4.0, 1.0), (4.0, 9.0))),
        ("beside", ((12.0, -3.0), (12.0, 3.0))),
    ] {
        assert_eq!(at(&[base, other]), [], "{what}");
    }
    assert_eq!(at(&[base, ((0.05, -3.0), (0.05, 3.0))]).len(), 1);
    // A comb of many: no more than a few are looked for.
    let teeth = (0..150).map(|i| ((f64::from(i), -1.0), (f64::from(i), 1.0)));
    let comb: Vec<_> = std::iter::once(((-5.0, 0.0), (200.0, 0.0))).chain(teeth).collect();
    assert_eq!(at(&comb).len(), 100);
}

#[test]
fn an_edge_that_is_tilted_is_off_by_its_worse_end() {
    let off = |a: f64, b: f64| deviation(Role::Tread(1), Some([a, b]));
    let said = |a, b| off(a, b).map(|off| (off.measured.0, off.side == EdgeSide::High));
    assert_eq!((said(0.012, -0.012), said(0.0, 0.0127)), (None, None));
    assert_eq!((said(0.3, -0.5), said(-0.5, 0.3)), (Some((0.5, false)), Some((0.5, false))));
    assert_eq!((said(0.5, 0.3), said(-0.3, 0.5)), (Some((0.5, true)), Some((0.5, true))));
    let even = said(0.30, 0.31).unwrap();
    assert!((even.0 - 0.305).abs() < 1e-9 && even.1);
    assert_eq!(said(0.30, 0.32), Some((0.32, true)));
}

#[test]
fn what_is_unplanned_is_told_with_where_how_long_and_how_deep() {
    let job = job();
    let e = Expectation { waste: Waste::Planned(Vec::new()), ..expectation(&job, Corners::Fillet) };
    let boundaries = [Boundary::new(&e.wanted(&e.pieces[0])).unwrap()];
    let laid = [Laid { piece: 0, placement: home() }];
    let levels = Levels { top: 6.35, ..Levels::new(&e) };
    let (boundaries, laid, radius) = (&boundaries, &laid, e.machine.tool_radius().as_mm());
    let accounts = Accounts { e: &e, boundaries, laid, levels: &levels, radius };
    let cut = Stroke { from_z: 6.0, to_z: 4.35, ..stroke(line((1500.0, 600.0), (1530.0, 600.0))) };
    let mut findings = Findings::new("p.nc");
    accounts.tell(&accounts.sort(&[cut]).unwrap(), &[], &mut findings);
    let told: Vec<Finding> = findings.finish();
    let of = |name: &'static str| told[0].value(name).and_then(Value::measured).unwrap().0;
    assert_eq!((told.len(), told[0].code.name()), (1, "cut-unplanned"));
    assert!((of("measured") - 30.0).abs() < 1e-6 && (of("deep") - 2.0).abs() < 1e-9);
    assert!((of("x") - 1500.0).abs() < 1e-6 && (of("y") - 600.0).abs() < 1e-6);
}
