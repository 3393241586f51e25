//! A finishing pass held against strokes laid by hand along one part: what it may take, where, and
//! how fast.

use super::boundary::Boundary;
use super::expectation::{Expectation, Laid, Piece, Placements};
use super::findings::Findings;
use super::finishing::{Cut, check};
use super::levels::{Levels, last_digit_mm};
use super::moves::{Drive, Move, Spindle, Tooling};
use super::proof::Target;
use super::stroke::{Stroke, Work};
use super::testing::{expectation, job};
use super::waste::off_by;
use crate::diagnostics::{Finding, Value};
use crate::geometry::{Contour, Placement, Point, Segment};
use crate::job::Corners;
use crate::profile::{Finish, Machine, Tool};
use crate::stair::outline::Role;
use crate::units::Length;

/// What stays off the line, and how fast the pass on it goes, in mm and mm/min.
const ALLOWANCE: f64 = 0.8;
const FEED: f64 = 2000.0;
const DEEP: f64 = 3.0;

fn machine() -> Machine {
    let mut machine = job().cut.machine;
    let Tool::Router(router) = &mut machine.tool else { panic!("a router") };
    router.finish = Some(Finish { allowance: Length::mm(ALLOWANCE), feed_mm_min: FEED });
    machine
}

fn radius() -> f64 {
    machine().tool_radius().as_mm()
}

/// A part with one inside corner, at 100, 60, between sides of these roles.
fn part(sides: (Role, Role)) -> Contour<Role> {
    let at = |x, y, role| (Point::new(x, y), role);
    let vertices = [
        at(0.0, 0.0, Role::LowerEdge),
        at(200.0, 0.0, Role::HeadCut),
        at(200.0, 60.0, sides.0),
        at(100.0, 60.0, sides.1),
        at(100.0, 120.0, Role::UpperEdge),
        at(0.0, 120.0, Role::SeatCut),
    ];
    Contour::polygon(&vertices).unwrap()
}

const STEP: (Role, Role) = (Role::Tread(1), Role::Riser(1));

fn line(from: (f64, f64), to: (f64, f64)) -> Segment {
    Segment::Line { from: Point::new(from.0, from.1), to: Point::new(to.0, to.1) }
}

/// A stroke along the lower edge, so far off it outside, between two places along it.
fn along(off: f64, from: f64, to: f64, deep: f64) -> Stroke {
    let y = -radius() - off;
    stroke(line((from, y), (to, y)), (deep, deep))
}

fn stroke(path: Segment, deep: (f64, f64)) -> Stroke {
    let (from_z, to_z) = (-deep.0, -deep.1);
    Stroke { path, from_z, to_z, line: 0, work: Work::Cutting, off_mm: 0.0, energy: 1.0 }
}

/// What is told of strokes, each on a line of its own from 1 on, at these feeds.
fn told_at(
    (corners, sides): (Corners, (Role, Role)),
    strokes: &[Stroke],
    feed: impl Fn(usize) -> f64,
) -> Vec<Finding> {
    let (job, machine) = (job(), machine());
    let plain = expectation(&job, corners);
    let placement = Placements::Given(vec![Placement::identity()]);
    let e = Expectation {
        pieces: vec![Piece::new("part", part(sides), corners, placement)],
        machine: &machine,
        ..plain
    };
    let boundary = Boundary::new(&e.wanted(&e.pieces[0])).unwrap();
    let target = Target::single(boundary.placed(&Placement::identity()));
    let numbered = strokes.iter().enumerate().map(|(i, s)| Stroke { line: i + 1, ..*s });
    let strokes: Vec<Stroke> = numbered.collect();
    let tool = Tooling { spindle: Spindle::Clockwise, speed: 16_000.0, stood_s: 3.0 };
    let moved = |s: &Stroke| Move {
        line: s.line,
        drive: Drive::Feed,
        path: Some(s.path),
        from_z: Some(s.from_z),
        to_z: Some(s.to_z),
        feed: Some(feed(s.line)),
        tool,
        sideways: true,
        told: false,
        off_mm: 0.0,
    };
    let moves: Vec<Move> = strokes.iter().map(moved).collect();
    let laid = [Laid { piece: 0, placement: Placement::identity() }];
    let mut findings = Findings::new("p.nc");
    let cut = Cut { strokes: &strokes, moves: &moves };
    check(&e, (&laid, &target), &cut, &Levels::new(&e), &mut findings).unwrap();
    findings.finish()
}

fn said(found: &[Finding]) -> Vec<(&'static str, Option<usize>)> {
    found.iter().map(|finding| (finding.code.name(), finding.place.line())).collect()
}

/// Code and line of what is told of strokes at the feed of the pass.
fn told(strokes: &[Stroke]) -> Vec<(&'static str, Option<usize>)> {
    said(&told_at((Corners::Fillet, STEP), strokes, |_| FEED))
}

const MISSED: &str = "allowance-missed";

#[test]
fn a_pass_on_the_line_takes_what_an_earlier_one_as_deep_left() {
    let on_it = along(0.0, 20.0, 120.0, DEEP);
    let before = |off: f64, deep: f64| along(off, 20.0, 120.0, deep);
    assert_eq!(told(&[before(ALLOWANCE, DEEP), on_it]), []);
    for (what, strokes, at) in [
        ("nothing before it", vec![on_it], 1),
        ("less deep before it", vec![before(ALLOWANCE, DEEP - 0.02), on_it], 2),
        ("farther off", vec![before(2.5 * ALLOWANCE, DEEP), on_it], 2),
        ("after it", vec![on_it, before(ALLOWANCE, DEEP)], 1),
        ("dragged", vec![Stroke { work: Work::Dragging, ..before(ALLOWANCE, DEEP) }, on_it], 2),
        ("the same twice", vec![before(ALLOWANCE, DEEP), along(0.0, 20.0, 130.0, DEEP)], 2),
    ] {
        assert_eq!(told(&strokes), [(MISSED, Some(at))], "{what}");
    }
    // Heights closer than the last digits are one height.
    assert_eq!(told(&[before(ALLOWANCE, DEEP - 0.009), on_it]), []);
    let found = told_at((Corners::Fillet, STEP), &[on_it], |_| FEED);
    let figure = |of: &'static str| found[0].value(of).and_then(Value::measured).unwrap().0;
    assert!(figure("measured").abs() < 1e-9 && (figure("limit") - ALLOWANCE).abs() < 1e-9);
    // Near the line is what lies on this side of the allowance.
    let found = told_at((Corners::Fillet, STEP), &[along(0.5, 20.0, 120.0, DEEP)], |_| FEED);
    assert!((found[0].value("measured").and_then(Value::measured).unwrap().0 - 0.5).abs() < 1e-6);
    let slack = off_by(&machine());
    assert_eq!(told(&[along(ALLOWANCE - 0.9 * slack, 20.0, 120.0, DEEP)]), []);
    let near = along(ALLOWANCE - 1.1 * slack, 20.0, 120.0, DEEP);
    assert_eq!(told(&[near]), [(MISSED, Some(1))]);
    // What the tool may run beside its way is no coming near.
    assert_eq!(told(&[Stroke { off_mm: 0.2 * slack, ..near }]), []);
}

#[test]
fn in_a_corner_the_two_passes_part_by_little_and_not_for_long() {
    // Beside the last stretch of a pass the one before it runs 1.5 mm off.
    let parted = |stretch: f64, off: f64| {
        let (first, on_it) =
            (along(ALLOWANCE, 20.0, 120.0 - stretch, DEEP), along(0.0, 20.0, 120.0, DEEP));
        told(&[first, along(off, 100.0, 130.0, DEEP), on_it])
    };
    let slack = off_by(&machine());
    // The end of the first one reaches a little farther than it is.
    let more = ((ALLOWANCE + slack).powi(2) - ALLOWANCE.powi(2)).sqrt();
    for (stretch, is_short) in [
        (1.5, true),
        (2.0 * ALLOWANCE + more, true),
        (2.0 * ALLOWANCE + more + 0.9 * slack, true),
        (2.0 * ALLOWANCE + more + 1.1 * slack, false),
        (3.0, false),
        (80.0, false),
    ] {
        let told = parted(stretch, 1.5);
        assert_eq!(told.is_empty(), is_short, "{stretch}: {told:?}");
    }
    // By twice the allowance, no more.
    assert_eq!(parted(1.5, 2.0 * ALLOWANCE + 0.9 * slack), []);
    assert_eq!(parted(1.5, 2.0 * ALLOWANCE + 0.2), [(MISSED, Some(3))]);
}

#[test]
fn straight_down_on_the_line_it_goes_no_deeper_than_what_was_cut_beside_it() {
    let down = |to: f64| {
        let y = -radius();
        stroke(line((70.0, y), (70.0, y)), (0.0, to))
    };
    let beside = |off: f64, to: f64| told(&[along(off, 20.0, 120.0, DEEP), down(to)]);
    let slack = off_by(&machine());
    let widest = 2.0 * ALLOWANCE + slack;
    for (off, to, is_told) in [
        (ALLOWANCE, DEEP - 1.0, false),
        (ALLOWANCE, DEEP, false),
        (ALLOWANCE, DEEP + 0.009, false),
        (ALLOWANCE, DEEP + 0.02, true),
        (ALLOWANCE, DEEP + 1.0, true),
        (widest - 0.001, DEEP, false),
        (widest + 0.001, DEEP, true),
    ] {
        let told = beside(off, to);
        assert_eq!(told.contains(&(MISSED, Some(2))), is_told, "{off} {to}: {told:?}");
    }
    assert_eq!(told(&[down(1.0)]), [(MISSED, Some(1))]);
}

#[test]
fn on_the_line_it_goes_at_its_feed_but_where_it_goes_down() {
    let y = -radius();
    let with = |path: Segment, deep: (f64, f64), feed: f64| {
        let strokes = [along(ALLOWANCE, 0.0, 190.0, 5.0), stroke(path, deep)];
        let found =
            told_at((Corners::Fillet, STEP), &strokes, |at| if at == 2 { feed } else { FEED });
        found.iter().any(|finding| finding.code.name() == "feed-fast")
    };
    let level = |feed: f64| with(line((20.0, y), (120.0, y)), (DEEP, DEEP), feed);
    assert!(!level(FEED) && !level(FEED * 1.099) && level(FEED * 1.101) && level(FEED * 2.0));
    // Half of the profile's three degrees is a way down; up it goes as fast as along.
    let ramp = |down: f64| with(line((20.0, y), (120.0, y)), (1.0, 1.0 + down), FEED * 1.5);
    let half = 100.0 * 3.0_f64.to_radians().tan() / 2.0;
    let digit = last_digit_mm(&machine());
    assert!(ramp(half + 1.4 * digit) && !ramp(half + 1.6 * digit));
    assert!(ramp(half - 0.01) && !ramp(half + 0.01) && ramp(0.0) && ramp(-0.5));
    let upright = |deep: (f64, f64)| with(line((70.0, y), (70.0, y)), deep, FEED * 1.5);
    assert!(!upright((0.0, DEEP)) && !upright((DEEP, 0.0)));
}

#[test]
fn what_stayed_off_the_line_is_taken_as_deep() {
    const LEFT: (&str, Option<usize>) = ("allowance-left", Some(1));
    let off = along(ALLOWANCE, 20.0, 120.0, DEEP);
    let over = |stretch: f64, deep: f64| {
        let (from, to) = (70.0, 70.0 + stretch);
        let on_it = [(20.0, from, DEEP), (from, to, deep), (to, 120.0, DEEP)];
        let on_it = on_it.map(|(from, to, deep)| along(0.0, from, to, deep));
        told(&[&[off][..], &on_it].concat())
    };
    assert_eq!((over(20.0, DEEP), over(20.0, DEEP - 0.009)), (vec![], vec![]));
    assert_eq!(over(20.0, DEEP - 0.02), [LEFT]);
    assert_eq!(over(20.0, 1.0), [LEFT]);
    // The round ends of what is as deep take some of it.
    let slack = off_by(&machine());
    let more = 2.0 * ((ALLOWANCE + slack).powi(2) - ALLOWANCE.powi(2)).sqrt();
    let longest = 2.0 * ALLOWANCE + more;
    assert_eq!((over(longest, 1.0), over(longest + 0.9 * slack, 1.0)), (vec![], vec![]));
    assert_eq!(over(longest + 1.1 * slack, 1.0), [LEFT]);
    // Where none runs the edge is uncut, which is told as that; so is what lies far off it.
    assert_eq!(told(&[off]), []);
    let far = along(ALLOWANCE + 1.1 * slack, 20.0, 120.0, DEEP);
    let near = along(ALLOWANCE + 0.9 * slack, 20.0, 120.0, DEEP);
    let shallow = along(0.0, 20.0, 120.0, 1.0);
    assert!(!told(&[far, shallow]).contains(&LEFT) && told(&[near, shallow]).contains(&LEFT));
    assert!(!told(&[Stroke { work: Work::Dragging, ..off }, shallow]).contains(&LEFT));
}

#[test]
fn only_round_a_corner_that_is_cleared_do_all_passes_come_to_the_line() {
    let r = radius();
    let into = |corners: Corners, sides: (Role, Role), from: f64| {
        let strokes = [stroke(line((from, 60.0 + r), (100.0 + r, 60.0 + r)), (DEEP, DEEP))];
        !said(&told_at((corners, sides), &strokes, |_| FEED)).is_empty()
    };
    let joint = (Role::Joint, Role::Joint);
    for cleared in [Corners::Bisector, Corners::Riser, Corners::Tread] {
        assert!(!into(cleared, STEP, 105.0) && into(cleared, STEP, 116.0), "{cleared:?}");
    }
    assert!(!into(Corners::Bisector, STEP, 111.0));
    for from in [105.0, 110.0] {
        assert!(into(Corners::Fillet, STEP, from));
        assert!(!into(Corners::Fillet, joint, from) && into(Corners::Fillet, joint, 116.0));
        let half = (Role::Joint, Role::Riser(1));
        assert!(into(Corners::Fillet, half, from));
        assert!(into(Corners::Fillet, (Role::Tread(1), Role::Joint), from));
    }
}
