//! Pockets held against strokes laid by hand: what stands between them, what goes too deep, and how
//! much is wrong.

use std::f64::consts::PI;

use super::boundary::{Boundary, Feature};
use super::expectation::{Expectation, Laid, Pocket};
use super::findings::Findings;
use super::levels::Levels;
use super::pockets::{Pocketed, check, sides};
use super::stroke::{Stroke, Work};
use super::testing::{codes, expectation, job};
use crate::diagnostics::{Finding, Value};
use crate::geometry::tolerance::PROOF_MM;
use crate::geometry::{Contour, Placement, Point, Segment, Turn, Vector, distance_to_segment};
use crate::job::{Corners, Job};
use crate::stair::outline::PocketRole;

const CHOICES: [Corners; 4] = [Corners::Fillet, Corners::Bisector, Corners::Riser, Corners::Tread];
/// Length and width of the pocket, and how deep it is, in mm.
const POCKET: (f64, f64, f64) = (60.0, 50.0, 3.0);

fn line(from: (f64, f64), to: (f64, f64)) -> Segment {
    Segment::Line { from: Point::new(from.0, from.1), to: Point::new(to.0, to.1) }
}

/// The four sides of a box that lies `off` inside the pocket, walked with the wood to the left.
fn round(off: f64) -> Vec<Segment> {
    let (x, y) = (POCKET.0 - off, POCKET.1 - off);
    let corners = [(off, off), (x, off), (x, y), (off, y)];
    (0..4).map(|i| line(corners[i], corners[(i + 1) % 4])).collect()
}

/// A stretch of a circle to the left, between two angles.
fn bow(center: (f64, f64), radius: f64, from: f64, to: f64) -> Segment {
    let center = Point::new(center.0, center.1);
    let at = |angle: f64| center + Vector::new(angle.cos(), angle.sin()) * radius;
    Segment::Arc { from: at(from), to: at(to), center, turn: Turn::Left }
}

fn expected(job: &Job) -> Expectation<'_> {
    let mut e = expectation(job, Corners::Fillet);
    let at = |x, y, role| (Point::new(x, y), role);
    let boundary = Contour::polygon(&[
        at(0.0, 0.0, PocketRole::TreadUnderside(1)),
        at(POCKET.0, 0.0, PocketRole::TreadEnd(1)),
        at(POCKET.0, POCKET.1, PocketRole::TreadTop(1)),
        at(0.0, POCKET.1, PocketRole::Nosing(1)),
    ]);
    e.pieces[0].pockets = vec![Pocket { boundary: boundary.unwrap(), depth_mm: POCKET.2 }];
    e
}

fn stroke(path: Segment, deep: f64, line: usize) -> Stroke {
    let (from_z, to_z) = (-deep, -deep);
    Stroke { path, from_z, to_z, line, work: Work::Cutting, off_mm: 0.0, energy: 1.0 }
}

/// What strokes in the pocket come to, and what is told of it.
fn held(strokes: &[Stroke]) -> (Pocketed, Vec<Finding>) {
    let job = job();
    let e = expected(&job);
    let radius = e.machine.tool_radius().as_mm();
    let boundary = Boundary::new(&e.wanted(&e.pieces[0])).unwrap();
    let pockets = sides(&e.pieces[0].pockets, Corners::Fillet, radius).unwrap();
    let laid = [Laid { piece: 0, placement: Placement::identity() }];
    let boundaries = [Boundary { pockets, ..boundary }];
    let pocketed = check(&e, &boundaries, &laid, strokes, (&Levels::new(&e), "p.nc")).unwrap();
    let mut findings = Findings::new("p.nc");
    pocketed.tell(&mut findings);
    (pocketed, findings.finish())
}

fn figure(finding: &Finding, of: &'static str) -> f64 {
    finding.value(of).and_then(Value::measured).unwrap().0
}

fn radius() -> f64 {
    job().cut.machine.tool_radius().as_mm()
}

/// Rings from the sides inwards that leave nothing outside the middle box, `inner` off the sides at
/// least.
fn rings(inner: f64) -> Vec<Segment> {
    let r = radius();
    (1..).map(|i| f64::from(i) * r).take_while(|off| *off <= inner).flat_map(round).collect()
}

/// All of them at the floor.
fn level(paths: impl IntoIterator<Item = Segment>) -> Vec<Stroke> {
    paths.into_iter().enumerate().map(|(i, path)| stroke(path, POCKET.2, i + 1)).collect()
}

#[test]
fn a_pocket_that_is_cleared_is_found_and_keeps_its_strokes_from_the_part() {
    let (pocketed, told) = held(&level(rings(25.0)));
    assert_eq!((told, pocketed.found, pocketed.rest.len()), (vec![], 1, 0));
    assert!(pocketed.gouge_mm < 1e-6 && pocketed.left_mm < 1e-6 && pocketed.wrong_mm == 0.0);
}

/// The four sides of a box of the pocket that stands `by` wider than two cutters, with the ends of
/// every side far beyond its corners.
fn island(by: f64) -> Vec<Segment> {
    let half = radius() + by;
    let ((left, right), (low, high)) = ((20.0, 40.0), (25.0 - half, 25.0 + half));
    vec![
        line((8.0, low), (52.0, low)),
        line((right, 8.0), (right, 42.0)),
        line((52.0, high), (8.0, high)),
        line((left, 42.0), (left, 8.0)),
    ]
}

/// What else of the pocket is cleared about an island.
fn about_it() -> Vec<Segment> {
    let r = radius();
    let all = rings(25.0);
    let is_clear = |path: &Segment| {
        let b = path.bounds();
        b.max.x <= 20.0 || b.min.x >= 40.0 || b.max.y <= 25.0 - r - 1.0 || b.min.y >= 25.0 + r + 1.0
    };
    all.into_iter().filter(is_clear).collect()
}

#[test]
fn wood_that_stands_between_strokes_is_seen_from_either_side_of_them() {
    for (by, stands) in [(0.0, false), (0.01, false), (0.03, true), (0.5, true)] {
        for turned in [false, true] {
            let side = |path: Segment| if turned { path.reversed() } else { path };
            let paths = about_it().into_iter().chain(island(by)).map(side);
            let (pocketed, told) = held(&level(paths));
            assert_eq!(codes(&told).contains(&"pocket-floor"), stands, "{by} {turned} {told:?}");
            assert_eq!((pocketed.found == 0, pocketed.wrong_mm > 0.0), (stands, stands));
        }
    }
}

#[test]
fn wood_that_stands_between_two_bows_is_seen() {
    // They cross 17 mm over and under the middle, and end far beyond.
    let lens = |by: f64| {
        let away = 40.0 - radius() - by;
        let right = bow((30.0 - away, 25.0), 40.0, -0.5, 0.5);
        [right, bow((30.0 + away, 25.0), 40.0, PI - 0.5, PI + 0.5)]
    };
    let (r, step) = (radius(), radius() / 2.0);
    let steps = || (0..40).map(|i| r + f64::from(i) * step);
    let upright = |x: f64| line((x, r), (x, POCKET.1 - r));
    let across = |y: f64| line((r, y), (POCKET.0 - r, y));
    let mut beside: Vec<Segment> = round(r);
    beside.extend(steps().filter(|x| *x < 26.0).flat_map(|x| [upright(x), upright(POCKET.0 - x)]));
    beside.extend(steps().filter(|y| *y < 14.0).flat_map(|y| [across(y), across(POCKET.1 - y)]));
    for (by, stands) in [(0.0, false), (0.5, true)] {
        for turned in [false, true] {
            let side = |path: Segment| if turned { path.reversed() } else { path };
            let (_, told) = held(&level(beside.iter().copied().chain(lens(by)).map(side)));
            assert_eq!(codes(&told).contains(&"pocket-floor"), stands, "{by} {turned} {told:?}");
        }
    }
}

#[test]
fn a_pocket_that_is_not_cut_at_its_floor_is_wrong_by_its_size() {
    let paths = || rings(25.0).into_iter().enumerate();
    let at =
        |deep: f64| held(&paths().map(|(i, path)| stroke(path, deep, i + 1)).collect::<Vec<_>>());
    for (pocketed, told) in [held(&[]), at(POCKET.2 - 0.05)] {
        assert_eq!((codes(&told), pocketed.found), (vec!["pocket-uncut"], 0));
        assert_eq!((figure(&told[0], "measured"), figure(&told[0], "limit")), (POCKET.2, PROOF_MM));
        assert!((pocketed.wrong_mm - POCKET.0.hypot(POCKET.1)).abs() < 1e-6);
    }
    assert_eq!(codes(&at(POCKET.2 - 0.003).1), [""; 0]);
}

#[test]
fn of_strokes_below_the_floor_the_deepest_is_told_and_what_goes_through_stays_with_the_part() {
    let mut strokes = level(rings(25.0));
    for (at, deep) in [(3, 3.2), (9, 3.5), (14, 3.4)] {
        strokes.push(Stroke { from_z: -deep, line: 100 + at, ..strokes[at] });
    }
    let (pocketed, told) = held(&strokes);
    assert_eq!((codes(&told), pocketed.found, pocketed.rest.len()), (vec!["pocket-deep"], 0, 0));
    assert!((pocketed.gouge_mm - (3.5 - POCKET.2)).abs() < 1e-9, "{}", pocketed.gouge_mm);
    assert_eq!((figure(&told[0], "measured"), figure(&told[0], "limit")), (3.5, POCKET.2));
    assert_eq!(told[0].place.line(), Some(109));
    assert!((pocketed.wrong_mm - 0.5).abs() < 1e-9, "{}", pocketed.wrong_mm);
    let through = Stroke { from_z: -6.4, to_z: -6.4, line: 200, ..strokes[3] };
    strokes.push(through);
    assert_eq!(held(&strokes).0.rest.len(), 1);
    strokes.pop();
    // Heights closer than the last digits are one height.
    strokes.truncate(strokes.len() - 3);
    strokes[9].to_z -= 0.004;
    assert_eq!(codes(&held(&strokes).1), [""; 0]);
}

#[test]
fn a_side_that_is_not_reached_is_told_with_how_much_is_left_of_it() {
    let mut paths = rings(25.0);
    // The lower side from its 20th to its 40th mm, 1 mm off.
    let (x, y) = (POCKET.0 - radius(), radius());
    paths[0] = line((y, y), (20.0, y));
    paths.extend([line((40.0, y), (x, y)), line((y, y + 1.0), (x, y + 1.0))]);
    let (pocketed, told) = held(&level(paths));
    let (mut wrong, found) = (codes(&told), pocketed.found);
    wrong.dedup();
    assert_eq!((wrong, found), (vec!["pocket-uncut", "pocket-floor"], 0));
    assert!((figure(&told[0], "measured") - 1.0).abs() < 1e-6 && pocketed.left_mm > 0.999);
    // The round ends take a little of it, up to where their circles are a tolerance off.
    let along = 20.0 - 2.0 * ((radius() + PROOF_MM).powi(2) - radius().powi(2)).sqrt();
    assert!((figure(&told[0], "along") - along).abs() < 1e-6, "{told:?}");
    assert!(pocketed.wrong_mm > along);
}

#[test]
fn where_the_tool_may_run_beside_its_way_that_much_may_stand() {
    let off = |by: f64, off_mm: f64| {
        let strokes = level(about_it().into_iter().chain(island(by)));
        let strokes: Vec<Stroke> = strokes.into_iter().map(|s| Stroke { off_mm, ..s }).collect();
        codes(&held(&strokes).1)
    };
    assert_eq!((off(0.008, 0.0), off(0.004, 0.006)), (vec![], vec![]));
    let told = off(0.008, 0.006);
    assert!(!told.is_empty() && told.iter().all(|code| *code == "pocket-floor"), "{told:?}");
    // And of a side.
    let at = |in_by: f64, off_mm: f64| {
        let mut strokes = level(rings(25.0));
        strokes[0].path = strokes[0].path.placed(&Placement::translation(0.0, in_by));
        strokes[0].off_mm = off_mm;
        codes(&held(&strokes).1)
    };
    assert_eq!((at(0.01, 0.0), at(0.005, 0.006)), (vec![], vec![]));
    assert!(at(0.01, 0.006).contains(&"pocket-uncut"));
}

/// Corners of 60, 90 and 120 degrees, and sides that are level and upright in turn.
#[test]
fn what_a_relief_leaves_is_a_radius_from_where_the_tool_walks() {
    let radius = radius();
    let height = 60.0 * 3.0_f64.sqrt() / 2.0;
    let at = |x, y, role| (Point::new(x, y), role);
    let (level, upright) = (PocketRole::TreadTop(1), PocketRole::Nosing(1));
    let slanted =
        |a, b| [at(0.0, 0.0, a), at(90.0, 0.0, b), at(120.0, height, a), at(30.0, height, b)];
    let square = |a, b| [at(0.0, 0.0, a), at(90.0, 0.0, b), at(90.0, 60.0, a), at(0.0, 60.0, b)];
    let shapes = [slanted(level, upright), slanted(upright, level), square(level, upright)];
    for (shape, choice) in shapes.iter().flat_map(|shape| CHOICES.map(|choice| (shape, choice))) {
        let boundary = Contour::polygon(shape).unwrap();
        let edges = boundary.edges();
        let pocket = Pocket { boundary: boundary.clone(), depth_mm: 3.0 };
        let ring = &sides(&[pocket], choice, radius).unwrap()[0];
        for (side, next) in ring.iter().zip(ring.iter().cycle().skip(1)) {
            assert!((side.segment.to() - next.segment.from()).norm() < 1e-9, "{choice:?} {ring:?}");
        }
        for (i, edge) in edges.iter().enumerate() {
            let before = &edges[(i + edges.len() - 1) % edges.len()];
            let (v, f) = (edge.segment.from(), edge.segment.direction_at(0.0));
            let e = -before.segment.direction_at(1.0);
            let half = e.dot(&f).acos() / 2.0;
            let between = (e + f).normalize();
            let (of_before, of_edge) = (Vector::new(e.y, -e.x), Vector::new(-f.y, f.x));
            let (of_level, of_upright) =
                if before.role == level { (of_before, of_edge) } else { (of_edge, of_before) };
            let inner = v + between * (radius / half.sin());
            let farthest = match choice {
                Corners::Fillet => inner,
                Corners::Bisector => v + between * radius,
                Corners::Riser => v + of_level * radius,
                Corners::Tread => v + of_upright * radius,
            };
            let walk = Segment::Line { from: inner, to: farthest };
            let role = Feature::PocketCorner(before.role, edge.role);
            let pieces: Vec<_> = ring
                .iter()
                .filter(|side| side.role == role && (side.segment.point_at(0.5) - v).norm() < 25.0)
                .collect();
            assert!(!pieces.is_empty());
            for share in [0.0, 0.3, 0.5, 0.8, 1.0] {
                for p in pieces.iter().map(|piece| piece.segment.point_at(share)) {
                    let off = distance_to_segment(p, &walk) - radius;
                    assert!(off.abs() < 1e-9, "{choice:?} corner {i}: {off} at {p}");
                }
            }
        }
    }
}
