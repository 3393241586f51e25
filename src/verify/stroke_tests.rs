//! Strokes laid by hand: what counts as cut, what an earlier one leaves to a later one, and how far
//! a tool that runs beside its way is looked for.

use super::boundary::Feature;
use super::expectation::{DeclaredTab, Expectation, Hole, Tabs};
use super::findings::Findings;
use super::levels::Levels;
use super::moves::{Drive, Motion, Move, Spindle, Tooling};
use super::passes::{check, support, z_beside};
use super::proof::{Target, gouging, reach};
use super::shape::Shape;
use super::stroke::{Stroke, Work, strokes, through};
use super::testing::{expectation, job, job_on};
use crate::diagnostics::{Finding, Value};
use crate::geometry::{Edge, Point, Segment};
use crate::job::Corners;
use crate::profile::{Finish, Hold, Router, TabEnds, TabSizes, Tool, ZZero};
use crate::stair::outline::Role;
use crate::units::Length;

/// From here to there.
type Ends = ((f64, f64), (f64, f64));

fn line(from: (f64, f64), to: (f64, f64)) -> Segment {
    Segment::Line { from: Point::new(from.0, from.1), to: Point::new(to.0, to.1) }
}

fn stroke(path: Segment, from_z: f64, to_z: f64) -> Stroke {
    Stroke { path, from_z, to_z, line: 1, work: Work::Cutting, off_mm: 0.0, energy: 1.0 }
}

#[test]
fn only_what_a_turning_cutter_does_at_a_feed_is_a_cut() {
    let job = job();
    let e = expectation(&job, Corners::Fillet);
    let work_at = |z: f64, drive, spindle, speed| {
        let tool = Tooling { spindle, speed, stood_s: 3.0 };
        let path = Some(line((10.0, 10.0), (20.0, 10.0)));
        let z = Some(z);
        let feed = Some(1000.0);
        let (line, sideways, off_mm) = (1, true, 0.0);
        let moves = vec![Move {
            line,
            drive,
            path,
            from_z: z,
            to_z: z,
            feed,
            tool,
            sideways,
            told: false,
            off_mm,
        }];
        let motion = Motion { moves, ..Motion::default() };
        strokes(&motion, e.machine, &Levels::new(&e)).iter().map(|s| s.work).collect::<Vec<_>>()
    };
    let work = |drive, spindle, speed| work_at(-2.0, drive, spindle, speed);
    assert_eq!(work(Drive::Feed, Spindle::Clockwise, 16_000.0), [Work::Cutting]);
    // Heights closer to the face than the last digits are over it.
    let touches = |z: f64| work_at(z, Drive::Feed, Spindle::Clockwise, 16_000.0).len();
    assert_eq!((touches(-0.006), touches(-0.004), touches(0.003)), (1, 0, 0));
    for (drive, spindle, speed) in [
        (Drive::Rapid, Spindle::Clockwise, 16_000.0),
        (Drive::Feed, Spindle::Off, 16_000.0),
        (Drive::Feed, Spindle::Clockwise, 0.0),
        (Drive::Rapid, Spindle::Off, 0.0),
    ] {
        assert_eq!(work(drive, spindle, speed), [Work::Dragging], "{drive:?} {spindle:?} {speed}");
    }
}

#[test]
fn a_stroke_supports_another_where_it_leaves_it_no_more_than_allowed() {
    // Along the second half of the other, from 1 mm deep to 3 mm and back.
    let deep = stroke(line((0.0, 0.0), (100.0, 0.0)), -4.0, -4.0);
    let of = |earlier: Stroke, allowed: f64| {
        let mut found = Vec::new();
        support(&deep, &earlier, allowed, 0.02, &mut found);
        assert!(found.windows(2).all(|two| (two[1].0 - two[0].1).abs() < 1e-9), "{found:?}");
        Some((found.first()?.0, found.last()?.1))
    };
    let near = |found: Option<(f64, f64)>, from: f64, to: f64| {
        let (a, b) = found.unwrap();
        (a - from).abs() < 1e-3 && (b - to).abs() < 1e-3
    };
    let earlier = stroke(line((50.0, 0.0), (150.0, 0.0)), -1.0, -3.0);
    // At the far end of the common stretch it is 2 mm deep.
    assert!(near(of(earlier, 3.5), 0.5, 1.0));
    assert!(near(of(earlier, 2.5), 0.75, 1.0));
    assert_eq!(of(earlier, 1.5), None);
    let steep = stroke(earlier.path, -1.0, -5.0);
    assert!(near(of(steep, 2.5), 0.625, 1.0));
    let back = stroke(line((50.0, 0.0), (100.0, 0.0)), -3.0, -1.0);
    assert!(near(of(back, 1.5), 0.5, 0.625));
    assert!(near(of(back, 2.5), 0.5, 0.875));
    assert_eq!(of(stroke(line((50.0, 0.1), (100.0, 0.1)), -4.0, -4.0), 1.0), None);
    // Of a way that goes down itself the difference counts.
    let mut found = Vec::new();
    let sloping = stroke(line((0.0, 0.0), (100.0, 0.0)), -1.0, -3.0);
    support(&sloping, &stroke(sloping.path, -1.0, -1.0), 0.5, 0.02, &mut found);
    assert!(near(Some((found[0].0, found[found.len() - 1].1)), 0.0, 0.25), "{found:?}");
}

#[test]
fn how_deep_a_stroke_went_beside_a_point_is_its_height_there() {
    let sloping = stroke(line((0.0, 0.0), (100.0, 0.0)), -1.0, -3.0);
    let upright = stroke(line((5.0, 0.0), (5.0, 0.0)), 0.0, -2.0);
    let at = |of: &Stroke, x: f64, y: f64| z_beside(of, Point::new(x, y), 0.5);
    assert_eq!(at(&sloping, 25.0, 0.4), Some(-1.5));
    assert_eq!((at(&sloping, 25.0, 0.6), at(&sloping, 101.0, 0.0)), (None, None));
    assert_eq!((at(&upright, 5.3, 0.0), at(&upright, 6.0, 0.0)), (Some(-2.0), None));
}

/// Pairs of code and figure that the depths of passes come to.
fn told(strokes: &[Stroke]) -> Vec<(&'static str, f64)> {
    told_of(strokes, |_| (), |_| ())
}

/// With a router and an expectation that are changed.
fn told_of(
    strokes: &[Stroke],
    change: impl Fn(&mut Router),
    expect: impl Fn(&mut Expectation<'_>),
) -> Vec<(&'static str, f64)> {
    let mut job = job();
    // Not at the material's top: a depth is no height.
    job.cut.machine.z_zero = ZZero::Bed;
    let Tool::Router(router) = &mut job.cut.machine.tool else { panic!("a router") };
    change(router);
    let mut e = expectation(&job, Corners::Fillet);
    expect(&mut e);
    let levels = Levels::new(&e);
    let raised =
        |s: &Stroke| Stroke { from_z: levels.top + s.from_z, to_z: levels.top + s.to_z, ..*s };
    let strokes: Vec<Stroke> = strokes.iter().map(raised).collect();
    let mut findings = Findings::new("p.nc");
    check(&e, e.machine.tool.cutter().unwrap(), &strokes, &levels, &mut findings).unwrap();
    let measured = |f: &Finding| f.value("measured").and_then(Value::measured).unwrap().0;
    findings.finish().iter().map(|f| (f.code.name(), (measured(f) * 1e6).round() / 1e6)).collect()
}

fn down_at(x: f64, y: f64, deep: f64) -> Stroke {
    stroke(line((x, y), (x, y)), 0.0, -deep)
}

#[test]
fn only_in_a_hole_as_wide_as_the_cutter_is_it_let_straight_down() {
    let radius = job().cut.machine.tool_radius().as_mm();
    let bored = |larger: f64, strokes: &[Stroke]| {
        let hole = |e: &mut Expectation<'_>| {
            let center = Point::new(90.0, 50.0);
            e.pieces[0].holes = vec![Hole { center, radius_mm: radius + larger }];
        };
        told_of(strokes, |_| (), hole).len()
    };
    // The piece lies 60 mm from either edge.
    assert_eq!(
        (bored(0.0, &[down_at(150.0, 110.0, 3.0)]), bored(0.0, &[down_at(90.0, 50.0, 3.0)])),
        (0, 1)
    );
    assert_eq!(
        (bored(0.012, &[down_at(150.0, 110.0, 3.0)]), bored(0.014, &[down_at(150.0, 110.0, 3.0)])),
        (0, 1)
    );
    assert_eq!(
        (bored(0.0, &[down_at(150.019, 110.0, 3.0)]), bored(0.0, &[down_at(150.021, 110.0, 3.0)])),
        (0, 1)
    );
    // Both of its ends.
    let out = stroke(line((150.0, 110.0), (151.0, 110.0)), 0.0, -3.0);
    assert_eq!(
        (bored(0.0, &[out]), bored(0.0, &[Stroke { path: out.path.reversed(), ..out }])),
        (1, 1)
    );
}

#[test]
fn only_at_an_end_of_a_square_tab_is_a_cutter_let_straight_down() {
    let tab = |e: &mut Expectation<'_>| {
        e.tabs = Tabs::Declared(vec![DeclaredTab::even(Point::new(150.0, 100.0), 20.0, 2.0)]);
    };
    let shaped = |shape: TabEnds, x: f64, y: f64| {
        let square = |router: &mut Router| {
            router.hold = Hold::Tabs(TabSizes { shape, ..TabSizes::default() });
        };
        told_of(&[down_at(x, y, 3.0)], square, tab).len()
    };
    let square = |x: f64, y: f64| shaped(TabEnds::Square, x, y);
    assert_eq!((shaped(TabEnds::Flanks, 160.0, 100.0), square(160.0, 100.0)), (1, 0));
    assert_eq!((square(140.0, 100.0), square(150.0, 100.0), square(180.0, 100.0)), (0, 1, 1));
    assert_eq!((square(159.991, 100.0), square(159.989, 100.0)), (0, 1));
    assert_eq!((square(160.009, 100.0), square(160.011, 100.0)), (0, 1));
    let by_rule = |router: &mut Router| {
        router.hold = Hold::Tabs(TabSizes { shape: TabEnds::Square, ..TabSizes::default() });
    };
    assert_eq!(told_of(&[down_at(160.0, 100.0, 3.0)], by_rule, |e| e.tabs = Tabs::ByRule).len(), 1);
    // Passes off the line go round it that much farther.
    let off = |y: f64| {
        let finished = |router: &mut Router| {
            by_rule(router);
            router.finish = Some(Finish { allowance: Length::mm(1.0), feed_mm_min: 2000.0 });
        };
        told_of(&[down_at(160.0, y, 3.0)], finished, tab).len()
    };
    assert_eq!((off(101.0), off(99.0), off(101.2)), (0, 0, 1));
    // Only straight down, and no ramp.
    let way = stroke(line((160.0, 100.0), (160.0, 101.0)), 0.0, -3.0);
    assert_eq!(told_of(&[way], by_rule, tab).len(), 1);
}

#[test]
fn beside_a_pass_as_deep_a_finishing_one_takes_a_little_of_its_side() {
    let finished = |router: &mut Router| {
        router.finish = Some(Finish { allowance: Length::mm(1.0), feed_mm_min: 2000.0 });
    };
    let at = |y: f64, deep: f64| stroke(line((100.0, y), (200.0, y)), -deep, -deep);
    let stairs = |deep: f64| [at(100.0, 6.0), at(100.0, deep)];
    let with = |last: Stroke| {
        let told = told_of(&[&stairs(10.0)[..], &[last]].concat(), finished, |_| ());
        told.iter().map(|(code, _)| *code).collect::<Vec<_>>()
    };
    let none: [&str; 0] = [];
    assert_eq!(with(at(101.0, 10.0)), none);
    assert_eq!(with(at(102.0, 10.0)), none);
    assert_eq!(with(at(101.0, 10.008)), none);
    assert_eq!(with(at(101.0, 10.02)), ["pass-too-deep"]);
    assert_eq!(with(at(102.1, 10.0)), ["pass-too-deep"]);
    let plain = told_of(&[&stairs(10.0)[..], &[at(101.0, 10.0)]].concat(), |_| (), |_| ());
    assert_eq!(plain, [("pass-too-deep", 10.0)]);
    // Straight down it is a plunge all the same; that it is no deep pass needs one as deep too.
    let down = |y: f64, deep: f64| with(down_at(150.0, y, deep));
    assert_eq!((down(101.0, 10.0), down(101.0, 10.008)), (vec!["plunge"], vec!["plunge"]));
    assert_eq!(down(101.0, 10.02), ["pass-too-deep", "plunge"]);
    assert_eq!(down(102.1, 10.0), ["pass-too-deep", "plunge"]);
    assert_eq!(down(102.1, 6.0), ["plunge"]);
}

#[test]
fn of_a_beam_that_goes_round_twice_only_what_it_burnt_twice_is_cut() {
    let mut job = job_on("laser");
    let mut cut = |times: u32, paths: &[Ends]| {
        let Tool::Laser(laser) = &mut job.cut.machine.tool else { panic!("a beam") };
        laser.passes = times;
        let e = expectation(&job, Corners::Fillet);
        let levels = Levels::new(&e);
        let burn = |&(from, to): &Ends| stroke(line(from, to), levels.bottom, levels.bottom);
        let strokes: Vec<Stroke> = paths.iter().map(burn).collect();
        let cut = through(&strokes, &levels, e.machine).unwrap();
        // Where two meet they reach over each other by what is one line.
        let long = cut.iter().filter(|s| s.path.length() > 1.0);
        long.map(|s| (s.path.from().x.round(), s.path.to().x.round())).collect::<Vec<_>>()
    };
    let at = |from: f64, to: f64| ((from, 10.0), (to, 10.0));
    assert_eq!(
        (cut(1, &[at(0.0, 100.0)]), cut(2, &[at(0.0, 100.0)])),
        (vec![(0.0, 100.0)], vec![])
    );
    assert_eq!(cut(2, &[at(0.0, 100.0), at(0.0, 100.0)]), [(0.0, 100.0)]);
    assert_eq!(cut(2, &[at(0.0, 100.0), at(100.0, 0.0)]), [(100.0, 0.0)]);
    assert_eq!(cut(2, &[at(50.0, 150.0), at(0.0, 100.0)]), [(50.0, 100.0)]);
    let thrice = [at(0.0, 100.0), at(20.0, 60.0), at(50.0, 90.0)];
    assert_eq!(cut(2, &thrice), [(20.0, 60.0), (50.0, 90.0)]);
    assert_eq!((cut(3, &thrice), cut(4, &thrice)), (vec![(50.0, 60.0)], vec![]));
    // Two that meet are one way all along; one beside is none.
    let met = [at(0.0, 50.0), at(50.0, 100.0), at(0.0, 100.0)];
    assert_eq!(cut(2, &met), [(0.0, 100.0)]);
    assert_eq!(cut(2, &[at(0.0, 100.0), ((0.0, 10.03), (100.0, 10.03))]), []);
    assert_eq!(cut(2, &[at(0.0, 100.0), at(100.0, 200.0)]), []);
}

#[test]
fn a_pass_is_as_deep_as_it_lies_below_the_face() {
    let path = line((100.0, 100.0), (200.0, 100.0));
    let level = |deep: f64| stroke(path, -deep, -deep);
    // A quarter inch at once.
    assert_eq!(told(&[level(6.35)]), []);
    assert_eq!(told(&[level(6.37)]), [("pass-too-deep", 6.37)]);
    assert_eq!(told(&[level(1.0), level(7.3)]), []);
    assert_eq!(told(&[level(1.0), level(7.4)]), [("pass-too-deep", 7.4)]);
    assert_eq!(told(&[level(7.0), level(1.0)]), [("pass-too-deep", 7.0)]);
    // Over half of its way nothing was cut before.
    for from in [150.0, 50.0] {
        let half = stroke(line((from, 100.0), (from + 100.0, 100.0)), -1.0, -1.0);
        assert_eq!(told(&[half, level(7.0)]), [("pass-too-deep", 7.0)]);
    }
    let down = |at: f64, deep: f64| down_at(at, 100.0, deep);
    assert_eq!(told(&[down(150.0, 0.05)]), []);
    assert_eq!(told(&[down(150.0, 0.06)]), [("plunge", 0.06)]);
    assert_eq!(told(&[level(2.0), down(150.0, 2.05)]), []);
    assert_eq!(told(&[level(2.0), down(150.0, 2.06)]), [("plunge", 2.06)]);
    assert_eq!(told(&[level(2.0), down(201.0, 2.0)]), [("plunge", 2.0)]);
    // Beside the material the cutter is let down in the air.
    assert_eq!((told(&[down(-3.0, 2.0)]).len(), told(&[down(-3.2, 2.0)]).len()), (1, 0));
    // Down one in one or flatter it is a way in, steeper a plunge.
    let sloping = |length: f64| {
        let way = stroke(line((150.0, 100.0), (150.0 + length, 100.0)), 0.0, -2.0);
        told(&[way]).len()
    };
    assert_eq!((sloping(2.1), sloping(1.9)), (0, 1));
}

#[test]
fn a_tool_that_may_run_beside_its_way_is_looked_for_that_much_farther() {
    let at = |x, y| Point::new(x, y);
    let corners = [at(0.0, 0.0), at(100.0, 0.0), at(100.0, 50.0), at(0.0, 50.0)];
    let edge = |i: usize| Edge {
        segment: Segment::Line { from: corners[i], to: corners[(i + 1) % 4] },
        role: Feature::Edge(Role::LowerEdge),
    };
    let target = Target::single((0..4).map(edge).collect());
    let off =
        |off_mm: f64, y: f64| Stroke { off_mm, ..stroke(line((20.0, y), (80.0, y)), -1.0, -1.0) };
    let gouge = |strokes: &[Stroke]| gouging(&target, strokes, 3.0).unwrap().deepest_mm;
    assert_eq!(gouge(&[off(0.0, -3.02)]), 0.0);
    assert!((gouge(&[off(0.05, -3.02)]) - 0.03).abs() < 1e-9);
    assert!((gouge(&[off(0.0, -3.02), off(0.05, -3.02)]) - 0.03).abs() < 1e-9);
    assert_eq!(gouge(&[off(0.05, -3.06)]), 0.0);
    // And reaches the edge only where it surely does.
    let left = |off_mm: f64| {
        let y = -3.005;
        let whole = Stroke { off_mm, ..stroke(line((-9.0, y), (109.0, y)), -6.0, -6.0) };
        let paths = Shape::of_strokes(&[whole]);
        let lower = |feature| feature == Feature::Edge(Role::LowerEdge);
        let edges = Target::single(vec![target.edges[0]]);
        let reach = reach(&edges, &paths, 3.0, lower).unwrap();
        (reach.uncut.len(), reach.left_mm)
    };
    let near = |left: (usize, f64), by: f64| left.0 == 0 && (left.1 - by).abs() < 1e-6;
    assert!(near(left(0.0), 0.005) && near(left(0.006), 0.011));
    assert_eq!(left(0.02).0, 1);
}
