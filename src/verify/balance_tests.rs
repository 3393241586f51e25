//! Tabs round a plate laid by hand: whether what they end in holds it round its centre of area.

use super::balance::check;
use super::expectation::{Clamp, Expectation, Tabs};
use super::findings::Findings;
use super::proof::Target;
use super::stroke::{Stroke, Work};
use super::tabs::Sorted;
use super::testing::{expectation, job};
use super::verdict::FoundTab;
use crate::geometry::{Bounds, Point, Segment, Vector};
use crate::job::Corners;

const RADIUS: f64 = 3.175;

/// A ring of straight sides round a box, so far outside it.
fn ring(place: Bounds, off: f64) -> Vec<Segment> {
    let (a, c) = (place.grown(off).min, place.grown(off).max);
    let corners = [a, Point::new(c.x, a.y), c, Point::new(a.x, c.y)];
    (0..4).map(|i| Segment::Line { from: corners[i], to: corners[(i + 1) % 4] }).collect()
}

/// A plate of 200 by 100 mm whose lower left corner lies there.
fn plate(x: f64, y: f64) -> Bounds {
    Bounds { min: Point::new(x, y), max: Point::new(x + 200.0, y + 100.0) }
}

/// A tab of 20 mm on a side of a plate, by its middle: 0 the lower one, and on to the left.
fn tab(place: Bounds, side: usize, at: f64) -> FoundTab {
    let way = ring(place, RADIUS)[side];
    let share = |mm: f64| way.point_at((mm + RADIUS) / way.length());
    let along = Segment::Line { from: share(at - 10.0), to: share(at + 10.0) };
    let (at, edge) = (along.point_at(0.5), format!("side {side}"));
    FoundTab { at, along, length_mm: 20.0, height_mm: 2.0, edge }
}

fn clamp(x: f64, y: f64, to_x: f64, to_y: f64) -> Clamp {
    let place = Bounds { min: Point::new(x, y), max: Point::new(to_x, to_y) };
    Clamp { place, pad: place, height_mm: None }
}

/// What is told of plates with these tabs, each by the number of its plate, with what else is cut.
fn told(
    plates: &[Bounds],
    tabs: Vec<(usize, FoundTab)>,
    also: &[Vec<Segment>],
    expect: impl Fn(&mut Expectation<'_>),
) -> Vec<(String, String)> {
    let job = job();
    let mut e = expectation(&job, Corners::Fillet);
    assert!((e.machine.tool_radius().as_mm() - RADIUS).abs() < 1e-9);
    e.tabs = Tabs::ByRule;
    expect(&mut e);
    let rings: Vec<Vec<Segment>> = plates.iter().map(|place| ring(*place, 0.0)).collect();
    let ways = plates.iter().flat_map(|place| ring(*place, RADIUS));
    let stroke = |path| Stroke {
        path,
        from_z: -7.0,
        to_z: -7.0,
        line: 1,
        work: Work::Cutting,
        off_mm: 0.0,
        energy: 1.0,
    };
    let through: Vec<Stroke> = ways.chain(also.iter().flatten().copied()).map(stroke).collect();
    let labels = (1..=plates.len()).map(|i| format!("plate {i}")).collect();
    let target = Target::new(vec![Vec::new(); plates.len()], labels);
    let (parts, tabs) = tabs.into_iter().unzip();
    let sorted = Sorted { tabs, parts, uncut: Vec::new(), untied: Vec::new() };
    let mut findings = Findings::new("p.nc");
    check(&e, &rings, &target, (&sorted, &through), &mut findings).unwrap();
    let said = |f: &crate::diagnostics::Finding| {
        assert_eq!(f.code.name(), "tabs-off-centre");
        (f.place.to_string(), f.sentence())
    };
    findings.finish().iter().map(said).collect()
}

#[test]
fn tabs_hold_a_plate_round_its_centre_or_are_told_by_how_far_it_lies_out() {
    let place = plate(300.0, 300.0);
    let of = |tabs: &[(usize, f64)]| {
        let tabs = tabs.iter().map(|&(side, at)| (0, tab(place, side, at))).collect();
        told(&[place], tabs, &[], |_| ())
    };
    assert_eq!(of(&[(0, 40.0), (0, 160.0), (2, 100.0)]), []);
    assert_eq!(of(&[(1, 50.0), (3, 50.0), (0, 100.0)]), []);
    assert_eq!(of(&[(0, 20.0), (0, 100.0), (0, 180.0)]).len(), 1);
    // Of the ends of these tabs the line from 110, -3.175 to -3.175, 60 is the nearest.
    let (a, b) = (Vector::new(110.0, -RADIUS), Vector::new(-RADIUS, 60.0));
    let (along, out) = (b - a, Vector::new(100.0, 50.0) - a);
    let off = (along.x * out.y - along.y * out.x).abs() / along.norm();
    let found = of(&[(0, 20.0), (0, 100.0), (3, 50.0)]);
    assert!(found.len() == 1 && found[0].0 == "plate 1", "{found:?}");
    assert!(found[0].1.contains(&format!("({off:.4} mm)")), "{off} {found:?}");
    // Where tabs were declared that was looked at before, and where there are none others tell.
    let declared = |e: &mut Expectation<'_>| e.tabs = Tabs::Declared(Vec::new());
    assert_eq!(told(&[place], vec![(0, tab(place, 0, 50.0))], &[], declared), []);
    assert_eq!(told(&[place], Vec::new(), &[], |_| ()), []);
}

#[test]
fn a_tab_that_ends_in_loose_wood_holds_nothing_and_one_in_another_plate_does() {
    let place = plate(300.0, 300.0);
    let tabs = |of: usize, place: Bounds| {
        [(0, 40.0), (0, 160.0), (2, 100.0)].map(|(side, at)| (of, tab(place, side, at))).to_vec()
    };
    let framed = |off: f64| told(&[place], tabs(0, place), &[ring(place, off)], |_| ()).len();
    // The frame that a saw round it leaves is held by the plate alone.
    assert_eq!((framed(30.0), framed(60.0)), (1, 1));
    let open = ring(place, 30.0)[..3].to_vec();
    assert_eq!(told(&[place], tabs(0, place), &[open], |_| ()), []);
    // By a web in it, or by the rim that a cut across the stock leaves: of the least width.
    let side = ring(place, 30.0)[0];
    let web = |wide: f64| {
        let share = |mm: f64| 0.5 + mm / side.length();
        let half = wide / 2.0 + RADIUS;
        let cut = [side.piece(0.0, share(-half)), side.piece(share(half), 1.0)];
        let cut = [&ring(place, 30.0)[1..], &cut].concat();
        told(&[place], tabs(0, place), &[cut], |_| ()).len()
    };
    assert_eq!((web(10.0), web(7.0), web(6.0), web(3.0)), (0, 0, 1, 1));
    let rim = |wide: f64| {
        let width = expectation(&job(), Corners::Fillet).stock.width_mm;
        let (from, to) = (Point::new(700.0, -9.0), Point::new(700.0, width - wide - RADIUS));
        told(&[place], tabs(0, place), &[vec![Segment::Line { from, to }]], |_| ()).len()
    };
    assert_eq!((rim(10.0), rim(7.0), rim(6.0), rim(3.0)), (0, 0, 1, 1));
    // A plate over it, a cutter off: the tab between them ends in that one.
    let upper = plate(300.0, 400.0 + 2.0 * RADIUS);
    let both = |third: (usize, usize, f64)| {
        let own = [(0, 0, 40.0), (0, 0, 160.0), (0, 2, 100.0), (1, 0, 100.0), (1, 2, 40.0), third];
        let on = |&(of, side, at): &(usize, usize, f64)| (of, tab([place, upper][of], side, at));
        told(&[place, upper], own.iter().map(on).collect(), &[], |_| ())
    };
    assert_eq!(both((1, 2, 160.0)), []);
    let found = both((1, 1, 95.0));
    assert!(found.len() == 1 && found[0].0 == "plate 2", "{found:?}");
}

#[test]
fn what_lies_under_a_clamp_is_held_there_too() {
    let place = plate(300.0, 300.0);
    let tabs = || vec![(0, tab(place, 0, 40.0)), (0, tab(place, 0, 160.0))];
    let with = |clamps: Vec<Clamp>, by: Vector| {
        let expect = |e: &mut Expectation<'_>| {
            e.clamps.clone_from(&clamps);
            e.setups = vec![Vector::zeros(), by];
        };
        told(&[place], tabs(), &[], expect).len()
    };
    let rim = clamp(0.0, 0.0, 50.0, 1200.0);
    // On its upper side; on a corner of it; inside of it; nowhere near.
    let none = Vector::zeros();
    for (on, held) in [
        (clamp(380.0, 390.0, 420.0, 450.0), true),
        (clamp(380.0, 380.0, 420.0, 390.0), true),
        (clamp(380.0, 330.0, 420.0, 340.0), false),
        (clamp(380.0, 500.0, 420.0, 550.0), false),
    ] {
        assert_eq!(with(vec![rim, on], none), usize::from(!held), "{:?}", on.pad);
    }
    assert_eq!(with(vec![rim], none), 1);
    // Clamps stay on the table: only after the shift it comes under that one.
    let by = Vector::new(-200.0, 100.0);
    assert_eq!(with(vec![clamp(0.0, 0.0, 50.0, 1200.0), clamp(180.0, 490.0, 220.0, 550.0)], by), 0);
    assert_eq!(with(vec![clamp(0.0, 0.0, 50.0, 1200.0), clamp(380.0, 390.0, 420.0, 450.0)], by), 1);
}
