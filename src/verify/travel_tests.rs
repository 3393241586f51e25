//! Moves and strokes laid by hand: how far a machine goes, how far off the material, and how fast.

use super::clamps::{check_clamps, check_margin, distance_to_box, room_in};
use super::expectation::{Clamp, Expectation, Marks, Task};
use super::findings::Findings;
use super::levels::{Levels, last_digit_mm};
use super::moves::{Drive, Motion, Move, Spindle, Tooling};
use super::stroke::{Stroke, strokes};
use super::testing::{expectation, job, job_on};
use super::travel::{check_extents, check_feeds, check_stock};
use crate::diagnostics::{Finding, Value};
use crate::geometry::{Bounds, Point, Segment};
use crate::job::Corners;
use crate::profile::{Machine, Tool, ZZero};
use crate::units::Length;

fn line(from: (f64, f64), to: (f64, f64)) -> Segment {
    Segment::Line { from: Point::new(from.0, from.1), to: Point::new(to.0, to.1) }
}

fn cut(path: Segment, z: (f64, f64), feed: f64) -> Move {
    Move {
        line: 7,
        drive: Drive::Feed,
        path: Some(path),
        from_z: Some(z.0),
        to_z: Some(z.1),
        feed: Some(feed),
        tool: Tooling { spindle: Spindle::Clockwise, speed: 16_000.0, stood_s: 3.0 },
        sideways: true,
        told: false,
        off_mm: 0.0,
    }
}

/// What `look` tells of moves and of what they do in the material.
fn told(
    e: &Expectation<'_>,
    moves: &[Move],
    look: impl Fn(&Motion, &[Stroke], &Levels, &mut Findings<'_>),
) -> Vec<Finding> {
    let levels = Levels::new(e);
    let motion = Motion { moves: moves.to_vec(), ..Motion::default() };
    let strokes = strokes(&motion, e.machine, &levels);
    let mut findings = Findings::new("p.nc");
    look(&motion, &strokes, &levels, &mut findings);
    findings.finish()
}

fn codes(found: &[Finding]) -> Vec<&'static str> {
    found.iter().map(|finding| finding.code.name()).collect()
}

fn figure(finding: &Finding, of: &'static str) -> f64 {
    let (mm, _) = finding.value(of).and_then(Value::measured).unwrap();
    (mm * 1e6).round() / 1e6
}

#[test]
fn a_machine_goes_as_far_as_its_travel() {
    let mut job = job();
    job.cut.machine.travel = [500.0, 300.0, 100.0].map(Length::mm);
    let e = expectation(&job, Corners::Fillet);
    let of = |x: f64, y: f64, z: f64| {
        let path = line((-20.0, -30.0), (x - 20.0, y - 30.0));
        let moves = [cut(path, (40.0, 40.0 - z), 900.0)];
        let moves = [moves[0], Move { path: None, to_z: Some(40.0), ..moves[0] }];
        let found = told(&e, &moves, |motion, _, _, findings| check_extents(&e, motion, findings));
        found.iter().map(|f| (figure(f, "measured"), figure(f, "limit"))).collect::<Vec<_>>()
    };
    assert_eq!((of(500.0, 300.0, 100.0), of(500.002, 300.002, 100.002)), (vec![], vec![]));
    assert_eq!(of(500.01, 300.0, 100.0), [(500.01, 500.0)]);
    assert_eq!(of(500.0, 300.01, 100.0), [(300.01, 300.0)]);
    assert_eq!(of(500.0, 300.0, 100.01), [(100.01, 100.0)]);
    let none = told(&e, &[], |motion, _, _, findings| check_extents(&e, motion, findings));
    assert_eq!(none, []);
}

#[test]
fn a_cut_stays_near_to_the_material() {
    let job = job();
    let e = expectation(&job, Corners::Fillet);
    let (length, width) = (e.stock.length_mm, e.stock.width_mm);
    // The cutter's width and 25 mm.
    let reach = 6.35 + 25.0;
    let at = |x: f64, y: f64| {
        let moves = [cut(line((100.0, 100.0), (x, y)), (-1.0, -1.0), 900.0)];
        let found = told(&e, &moves, |_, strokes, _, findings| check_stock(&e, strokes, findings));
        found.iter().map(|f| (figure(f, "measured"), figure(f, "limit"))).collect::<Vec<_>>()
    };
    assert_eq!((at(-reach, -reach), at(length + reach, width + reach)), (vec![], vec![]));
    let far = reach + 2.0;
    for (x, y) in [(-far, 50.0), (50.0, -far), (length + far, 50.0), (50.0, width + far)] {
        assert_eq!(at(x, y), [(far, reach)], "{x} {y}");
    }
}

/// The finding of one move at a feed; none where it passes.
fn paced(e: &Expectation<'_>, path: Segment, z: (f64, f64), feed: f64) -> Option<&'static str> {
    let moves = [cut(path, z, feed)];
    let found =
        told(e, &moves, |motion, strokes, _, findings| check_feeds(e, motion, strokes, findings));
    assert!(found.len() <= 1);
    codes(&found).pop()
}

#[test]
fn every_way_through_the_material_has_its_feeds() {
    let mut job = job();
    let Tool::Router(router) = &mut job.cut.machine.tool else { panic!("a router") };
    router.plunge_feed_mm_min = 1000.0;
    router.entry_feed_mm_min = 2000.0;
    let e = expectation(&job, Corners::Fillet);
    let fast = e.machine.tool.feed_mm_min();
    let (here, there) = ((100.0, 100.0), (200.0, 100.0));
    let (way, upright) = (line(here, there), line(here, here));
    let (slope, digit) = (100.0 * 3.0_f64.to_radians().tan(), last_digit_mm(e.machine));
    let down = |mm: f64| (-1.0, -1.0 - mm);
    for (path, z, least, most, name) in [
        (way, down(0.0), fast, fast, "feed-fast"),
        (way, (-2.0, -1.0), fast, fast, "feed-fast"),
        (way, down(1.4 * digit), 2000.0, fast, "feed-fast"),
        (way, down(1.6 * digit), 1000.0, 2000.0, "entry-feed-fast"),
        (way, down(slope), 1000.0, 2000.0, "entry-feed-fast"),
        (way, down(slope + 2.4 * digit), 1000.0, 2000.0, "entry-feed-fast"),
        (way, down(slope + 2.6 * digit), 1000.0, 1000.0, "entry-feed-fast"),
        (upright, down(3.0), 1000.0, 1000.0, "entry-feed-fast"),
        (upright, (-3.0, -1.0), 1000.0, fast, "feed-fast"),
    ] {
        assert_eq!(paced(&e, path, z, most * 1.1 - 0.1), None, "{path:?} {z:?}");
        assert_eq!(paced(&e, path, z, most * 1.1 + 0.1), Some(name), "{path:?} {z:?}");
        assert_eq!(paced(&e, path, z, least * 0.05 - 2.9), None, "{path:?} {z:?}");
        assert_eq!(paced(&e, path, z, least * 0.05 - 3.1), Some("feed-slow"), "{path:?} {z:?}");
    }
    // Over the material any feed will do.
    assert_eq!(paced(&e, way, (1.0, 1.0), 1.0), None);
    assert_eq!(paced(&e, way, (1.0, 1.0), 2.0 * fast), None);
}

#[test]
fn a_feed_may_be_off_by_its_last_digit_and_a_slower_last_pass_is_no_rubbing() {
    let mut job = job();
    let Tool::Router(router) = &mut job.cut.machine.tool else { panic!("a router") };
    (router.plunge_feed_mm_min, router.last_pass_feed_mm_min) = (20.0, 1000.0);
    router.mark.as_mut().expect("it marks").feed_mm_min = 3000.0;
    let mut e = expectation(&job, Corners::Fillet);
    let at = line((100.0, 100.0), (100.0, 100.0));
    assert_eq!(paced(&e, at, (0.0, -3.0), 22.9), None);
    assert_eq!(paced(&e, at, (0.0, -3.0), 23.1), Some("entry-feed-fast"));
    let way = line((100.0, 100.0), (200.0, 100.0));
    assert_eq!(paced(&e, way, (-3.0, -3.0), 47.1), None);
    assert_eq!(paced(&e, way, (-3.0, -3.0), 46.9), Some("feed-slow"));
    // Marks have a feed of their own, and no last pass.
    let marks = Marks { strokes: Vec::new(), depth_mm: 0.5, width_mm: 0.8 };
    e.pieces[0].task = Task::Marks(marks);
    let feed = e.machine.tool.mark_feed_mm_min();
    assert_eq!(feed, 3000.0);
    assert_eq!(paced(&e, way, (-0.5, -0.5), feed * 0.05 - 2.9), None);
    assert_eq!(paced(&e, way, (-0.5, -0.5), feed * 0.05 - 3.1), Some("feed-slow"));
    assert_eq!(paced(&e, way, (-0.5, -0.5), feed * 1.1 - 0.1), None);
    assert_eq!(paced(&e, way, (-0.5, -0.5), feed * 1.1 + 0.1), Some("feed-fast"));
}

#[test]
fn a_beam_goes_no_slower_than_it_pierces_and_hardly_faster_than_it_cuts() {
    for pierce in [300.0, 900.0] {
        let mut job = job_on("laser");
        let Tool::Laser(laser) = &mut job.cut.machine.tool else { panic!("a beam") };
        (laser.feed_mm_min, laser.pierce_feed_mm_min) = (1000.0, pierce);
        let power = laser.cut_s();
        let e = expectation(&job, Corners::Fillet);
        let at = |feed: f64| {
            let way = cut(line((100.0, 100.0), (200.0, 100.0)), (0.0, 0.0), feed);
            let tool = Tooling { speed: power, ..way.tool };
            let moves = [Move { tool, ..way }];
            codes(&told(&e, &moves, |motion, strokes, _, findings| {
                check_feeds(&e, motion, strokes, findings);
            }))
        };
        let least = f64::min(pierce, 600.0);
        assert_eq!((at(1099.0), at(1101.0)), (vec![], vec!["feed-fast"]));
        assert_eq!((at(least - 2.9), at(least - 3.1)), (vec![], vec!["feed-slow"]));
    }
}

#[test]
fn heights_are_over_the_bed_or_under_the_face() {
    for (zero, top) in [(ZZero::StockTop, 0.0), (ZZero::Bed, 6.35)] {
        let mut job = job();
        job.cut.machine.z_zero = zero;
        let e = expectation(&job, Corners::Fillet);
        let levels = Levels::new(&e);
        let near = |a: f64, b: f64| (a - b).abs() < 1e-9;
        assert!(near(levels.top, top) && near(levels.bottom, top - 6.35));
        assert!(near(levels.floor, top - 6.858) && near(levels.safe, top + 12.7));
        // A ten-thousandth of an inch, and the last digit, which is one too.
        assert!(near(levels.near, 0.00508) && near(levels.through(), top - 6.35 + 0.00508));
        assert!(near(levels.beam(0.0), top) && near(levels.beam(1.0), top - 6.35));
        assert!(near(levels.beam(0.4), top - 2.54) && near(levels.beam(1.2), top - 6.35));
        assert!(levels.is_in_material(top - 0.006) && !levels.is_in_material(top - 0.005));
    }
    let digits = |name: &str| last_digit_mm(&job_on(name).cut.machine);
    assert!((digits("router-table") - 0.00254).abs() < 1e-12);
    assert!((digits("router-metric") - 0.001).abs() < 1e-12);
}

#[test]
fn a_distance_to_a_box_is_nothing_inside_and_room_is_less_than_nothing_outside() {
    let place = Bounds { min: Point::new(10.0, 10.0), max: Point::new(30.0, 20.0) };
    for (from, to, distance) in [
        ((0.0, 0.0), (5.0, 15.0), 5.0),
        ((34.0, 0.0), (34.0, 50.0), 4.0),
        ((0.0, 26.0), (50.0, 26.0), 6.0),
        ((0.0, 7.0), (50.0, 7.0), 3.0),
        ((33.0, 24.0), (40.0, 40.0), 5.0),
        ((12.0, 12.0), (14.0, 14.0), 0.0),
        ((0.0, 15.0), (50.0, 15.0), 0.0),
        ((12.0, 12.0), (50.0, 12.0), 0.0),
    ] {
        assert!((distance_to_box(&line(from, to), place) - distance).abs() < 1e-9, "{from:?}");
    }
    let outer = Bounds { min: Point::origin(), max: Point::new(100.0, 50.0) };
    let room = |x: f64, y: f64, to_x: f64, to_y: f64| {
        room_in(outer, Bounds { min: Point::new(x, y), max: Point::new(to_x, to_y) })
    };
    assert_eq!((room(3.0, 5.0, 90.0, 40.0), room(5.0, 4.0, 90.0, 40.0)), (3.0, 4.0));
    assert_eq!((room(20.0, 20.0, 98.0, 40.0), room(20.0, 20.0, 90.0, 49.0)), (2.0, 1.0));
    assert_eq!((room(-2.0, 20.0, 90.0, 40.0), room(20.0, 20.0, 90.0, 53.0)), (-2.0, -3.0));
}

#[test]
fn what_is_said_of_a_clamp_and_of_a_margin_are_the_distances() {
    let mut job = job();
    job.cut.machine.z_zero = ZZero::Bed;
    let machine: &Machine = &job.cut.machine;
    let mut e = expectation(&job, Corners::Fillet);
    let place = Bounds { min: Point::new(100.0, 100.0), max: Point::new(150.0, 120.0) };
    let driven = |drive: Drive, height_mm: Option<f64>, y: f64, over: (f64, f64)| {
        let clamps = vec![Clamp { place, pad: place, height_mm }];
        let e = Expectation { clamps, ..e.clone() };
        let top = Levels::new(&e).top;
        let m = cut(line((50.0, y), (200.0, y)), (top + over.0, top + over.1), 900.0);
        let found = told(&e, &[Move { drive, ..m }], |motion, _, levels, findings| {
            check_clamps(&e, motion, levels, findings);
        });
        found.iter().map(|f| (figure(f, "measured"), f.sentence())).collect::<Vec<_>>()
    };
    let hit = |height_mm, y, over| driven(Drive::Rapid, height_mm, y, over);
    let radius = machine.tool_radius().as_mm();
    let beside = 120.0 + radius;
    assert_eq!(
        (hit(None, beside, (80.0, 80.0)), hit(None, beside + 1.0, (0.0, 0.0))),
        (vec![], vec![])
    );
    assert_eq!(hit(None, beside - 0.5, (80.0, 80.0))[0].0, radius - 0.5);
    assert_eq!(hit(None, 110.0, (80.0, 80.0))[0].0, 0.0);
    // 20 mm high, and a quarter inch over it.
    assert_eq!(
        (hit(Some(20.0), 110.0, (26.35, 26.35)), hit(Some(20.0), 110.0, (26.346, 26.346))),
        (vec![], vec![])
    );
    let low = hit(Some(20.0), 110.0, (26.3, 26.3));
    assert!(low[0].1.contains("26.35 mm"), "{low:?}");
    // High at the clamp, low beyond it: of a rapid nobody knows how high it is where.
    let falling = |drive, over| driven(drive, Some(20.0), 110.0, over).len();
    assert_eq!((falling(Drive::Feed, (60.0, 20.0)), falling(Drive::Rapid, (60.0, 20.0))), (0, 1));
    assert_eq!((falling(Drive::Feed, (40.0, 10.0)), falling(Drive::Rapid, (40.0, 10.0))), (1, 1));
    e.margin_mm = 20.0;
    let room = |x: f64| {
        let moves = [cut(line((x, 300.0), (200.0, 300.0)), (-1.0, -1.0), 900.0)];
        let found = told(&e, &moves, |_, strokes, _, findings| {
            check_margin(&e, strokes, radius, findings);
        });
        found.iter().map(|f| (figure(f, "measured"), figure(f, "limit"))).collect::<Vec<_>>()
    };
    assert_eq!((room(20.0 + radius), room(20.0 + radius - 0.003)), (vec![], vec![]));
    assert_eq!(room(20.0 + radius - 0.5), [(19.5, 20.0)]);
}
