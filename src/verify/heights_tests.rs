//! Moves laid by hand: how high rapids go, where a program ends, how deep a cutter may.

use super::expectation::Expectation;
use super::findings::Findings;
use super::levels::Levels;
use super::moves::{Drive, End, Motion, Move, Spindle, Tooling};
use super::testing::{expectation, job};
use super::{router, travels};
use crate::diagnostics::{Finding, Value};
use crate::geometry::{Point, Segment};
use crate::job::Corners;
use crate::profile::{Hold, Machine, Park, Tool, ZZero};
use crate::units::Length;

const TURNING: Tooling = Tooling { spindle: Spindle::Clockwise, speed: 16_000.0, stood_s: 3.0 };
const STILL: Tooling = Tooling { spindle: Spindle::Off, speed: 0.0, stood_s: 0.0 };

/// Along X by so much, from height to height over the material's top.
fn across(length: f64, from_z: f64, to_z: f64) -> Move {
    let (from, to) = (Point::new(100.0, 100.0), Point::new(100.0 + length, 100.0));
    Move {
        line: 7,
        drive: Drive::Rapid,
        path: Some(Segment::Line { from, to }),
        from_z: Some(from_z),
        to_z: Some(to_z),
        feed: Some(4000.0),
        tool: TURNING,
        sideways: true,
        told: false,
        off_mm: 0.0,
    }
}

/// What is told by `look` of moves and an end, at heights over the top of what lies on the bed.
fn told(
    change: impl Fn(&mut Machine),
    (moves, end): (&[Move], Option<(Point, f64)>),
    look: impl Fn(&Expectation<'_>, &Motion, &Levels, &mut Findings<'_>),
) -> Vec<Finding> {
    let mut job = job();
    job.cut.machine.z_zero = ZZero::Bed;
    change(&mut job.cut.machine);
    let e = expectation(&job, Corners::Fillet);
    let levels = Levels::new(&e);
    let raised = |z: Option<f64>| z.map(|z| levels.top + z);
    let moves = moves.iter().map(|m| Move { from_z: raised(m.from_z), to_z: raised(m.to_z), ..*m });
    let ends = |(at, z)| End { line: 9, at: Some(at), z: raised(Some(z)), tool: STILL };
    let motion = Motion { moves: moves.collect(), end: end.map(ends), ..Motion::default() };
    let mut findings = Findings::new("p.nc");
    look(&e, &motion, &levels, &mut findings);
    findings.finish()
}

fn figure(finding: &Finding, of: &'static str) -> f64 {
    finding.value(of).and_then(Value::measured).unwrap().0
}

#[test]
fn far_across_a_tool_goes_at_the_clear_height() {
    let clear = |machine: &mut Machine| machine.clear_height = Some(Length::mm(30.0));
    let low = |m: Move| told(clear, (&[m], None), travels::check).len();
    assert_eq!((low(across(200.0, 30.0, 30.0)), low(across(200.0, 29.996, 30.0))), (0, 0));
    assert_eq!((low(across(200.0, 29.9, 30.0)), low(across(200.0, 30.0, 29.9))), (1, 1));
    assert_eq!((low(across(200.0, 12.7, 12.7)), low(across(150.0, 12.7, 12.7))), (1, 0));
    assert_eq!((low(across(152.4, 12.7, 12.7)), low(across(152.6, 12.7, 12.7))), (0, 1));
    let near = across(20.0, 12.7, 12.7);
    // Before the tool turns, from nowhere, at no height.
    assert_eq!((low(Move { tool: STILL, ..near }), low(Move { path: None, ..near })), (1, 1));
    let far = across(200.0, 30.0, 30.0);
    assert_eq!((low(Move { from_z: None, ..far }), low(Move { to_z: None, ..far })), (1, 1));
    // A cut is none, nor is straight up.
    let far = across(200.0, 12.7, 12.7);
    assert_eq!(
        (low(Move { drive: Drive::Feed, ..far }), low(Move { sideways: false, ..far })),
        (0, 0)
    );
    let found = told(clear, (&[across(200.0, 28.0, 12.7)], None), travels::check);
    assert!((figure(&found[0], "measured") - 12.7).abs() < 1e-9);
    assert!((figure(&found[0], "limit") - 30.0).abs() < 1e-9);
    // A profile that names none asks for none.
    assert_eq!(told(|_| (), (&[far], None), travels::check), []);
}

#[test]
fn a_tool_is_left_where_the_profile_parks_it() {
    let park = |machine: &mut Machine| {
        let (x, y, z) = (Length::mm(50.0), Length::mm(400.0), Some(Length::mm(60.0)));
        machine.park = Some(Park { x, y, z });
    };
    let at = |x: f64, y: f64, z: f64| {
        told(park, (&[], Some((Point::new(x, y), z))), travels::check).len()
    };
    assert_eq!((at(50.0, 400.0, 60.0), at(50.015, 399.985, 60.015)), (0, 0));
    for (x, y, z) in [
        (50.02, 400.0, 60.0),
        (50.0, 399.98, 60.0),
        (50.0, 400.0, 60.02),
        (50.0, 400.0, 59.98),
        (0.0, 0.0, 60.0),
        (50.0, 400.0, 12.7),
    ] {
        assert_eq!(at(x, y, z), 1, "{x} {y} {z}");
    }
    let unknown = told(park, (&[], None), travels::check);
    assert_eq!(unknown, []);
    assert_eq!(told(|_| (), (&[], Some((Point::origin(), 12.7))), travels::check), []);
}

#[test]
fn no_cut_goes_below_the_floor_or_into_a_skin_that_stays() {
    let cut = |skin: Option<f64>, z: f64| {
        let change = |machine: &mut Machine| {
            let Tool::Router(router) = &mut machine.tool else { panic!("a router") };
            if let Some(skin) = skin {
                router.hold = Hold::Skin(Length::mm(skin));
            }
        };
        let m = Move { drive: Drive::Feed, ..across(50.0, z, z) };
        let tool = Tooling { stood_s: 10.0, ..TURNING };
        let found = told(change, (&[Move { tool, ..m }], None), |e, motion, levels, findings| {
            router::check(e, e.machine.tool.cutter().unwrap(), motion, levels, findings);
        });
        found
            .iter()
            .map(|f| (f.code.name(), (figure(f, "measured") * 1e6).round() / 1e6))
            .collect::<Vec<_>>()
    };
    // Of a quarter inch, and the profile's 0.02 in below it.
    assert_eq!((cut(None, -6.858), cut(None, -6.861)), (vec![], vec![]));
    assert_eq!(cut(None, -6.95), [("below-floor", 0.6)]);
    assert_eq!((cut(Some(0.5), -5.85), cut(Some(0.5), -5.853)), (vec![], vec![]));
    assert_eq!(cut(Some(0.5), -5.95), [("skin-cut", 0.1)]);
}

/// Code and figure of what a router's program is told of one move.
fn of_router(change: impl Fn(&mut Machine), m: Move) -> Vec<&'static str> {
    let found = told(change, (&[m], None), |e, motion, levels, findings| {
        router::check(e, e.machine.tool.cutter().unwrap(), motion, levels, findings);
    });
    found.iter().map(|found| found.code.name()).collect()
}

#[test]
fn beside_the_material_a_rapid_may_go_below_its_top() {
    let at = |y: f64| {
        let path = Segment::Line { from: Point::new(100.0, y), to: Point::new(150.0, y) };
        of_router(|_| (), Move { path: Some(path), ..across(50.0, -2.0, -2.0) })
    };
    // The cutter's radius off it.
    assert_eq!((at(100.0), at(-3.1)), (vec!["rapid-in-material"], vec!["rapid-in-material"]));
    assert_eq!(at(-3.2), ["rapid-low"]);
    let up = Move { sideways: false, ..across(0.0, -2.0, 12.7) };
    assert_eq!(of_router(|_| (), up), [""; 0]);
    assert_eq!(of_router(|_| (), Move { sideways: true, ..up }), ["rapid-in-material"]);
    let down = Move { sideways: false, ..across(0.0, 12.7, -2.0) };
    assert_eq!(of_router(|_| (), down), ["rapid-in-material"]);
}

#[test]
fn a_cut_from_nowhere_or_deeper_than_the_flutes_is_told() {
    let tool = Tooling { stood_s: 10.0, ..TURNING };
    let cut = |z: f64| Move { drive: Drive::Feed, tool, ..across(50.0, z, z) };
    let plain = |m: Move| of_router(|_| (), m);
    assert_eq!(plain(cut(-2.0)), [""; 0]);
    assert_eq!(plain(Move { path: None, ..cut(-2.0) }), ["unknown-start"]);
    assert_eq!(plain(Move { from_z: None, ..cut(-2.0) }), ["unknown-start"]);
    let short = |machine: &mut Machine| {
        let Tool::Router(router) = &mut machine.tool else { panic!("a router") };
        router.flute_length = Length::mm(5.0);
    };
    assert_eq!(of_router(short, cut(-5.0)), [""; 0]);
    let found = told(short, (&[cut(-5.5)], None), |e, motion, levels, findings| {
        router::check(e, e.machine.tool.cutter().unwrap(), motion, levels, findings);
    });
    assert_eq!((found.len(), found[0].code.name()), (1, "deeper-than-cutter"));
    assert!((figure(&found[0], "measured") - 5.5).abs() < 1e-9);
    assert!((figure(&found[0], "limit") - 5.0).abs() < 1e-9);
}
