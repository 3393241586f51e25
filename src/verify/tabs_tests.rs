//! Tabs held against strokes laid by hand along one edge: which uncut stretches they explain, and
//! which gaps pass for one.

use super::boundary::Feature;
use super::expectation::{DeclaredTab, Tabs};
use super::findings::Findings;
use super::levels::Levels;
use super::proof::{Target, Uncut};
use super::stroke::{Stroke, Work};
use super::tabs::{Low, Sorted, TabRules, sort};
use super::testing::{codes, expectation, job};
use crate::diagnostics::{Finding, Value};
use crate::geometry::{Edge, Placement, Point, Segment};
use crate::job::Corners;
use crate::stair::outline::Role;

const RADIUS: f64 = 3.0;
/// How long the edge is.
const LENGTH: f64 = 200.0;
/// Heights of the material's bottom, and of the cut below it.
const BOTTOM: f64 = -6.35;
const DEEP: f64 = BOTTOM - 0.5;
/// Run over rise of a ramp.
const RAMP: f64 = 20.0;

/// A rectangle whose lower edge is looked at.
fn target() -> Target {
    let at = |x, y| Point::new(x, y);
    let corners = [at(0.0, 0.0), at(LENGTH, 0.0), at(LENGTH, 60.0), at(0.0, 60.0)];
    let edge = |i: usize| Edge {
        segment: Segment::Line { from: corners[i], to: corners[(i + 1) % 4] },
        role: Feature::Edge(if i == 0 { Role::LowerEdge } else { Role::HeadCut }),
    };
    Target::single((0..4).map(edge).collect())
}

/// Along the lower edge through these places and heights, below the floor where there is no tab.
fn way(through: &[(f64, f64)]) -> Vec<Stroke> {
    let at = |(x, _): (f64, f64)| Point::new(x, -RADIUS);
    let stroke = |pair: &[(f64, f64)]| Stroke {
        path: Segment::Line { from: at(pair[0]), to: at(pair[1]) },
        from_z: pair[0].1,
        to_z: pair[1].1,
        line: 1,
        work: Work::Cutting,
        off_mm: 0.0,
        energy: 1.0,
    };
    through.windows(2).map(stroke).collect()
}

/// What comes of strokes and uncut stretches of the lower edge, in mm.
fn sorted(
    tabs: Tabs,
    low: Low,
    strokes: &[Stroke],
    uncut: &[(f64, f64)],
) -> (Sorted, Vec<Finding>) {
    sorted_off(0.0, (tabs, low), strokes, uncut)
}

/// The same of a tool whose passes off the line leave an allowance.
fn sorted_off(
    allowance: f64,
    (tabs, low): (Tabs, Low),
    strokes: &[Stroke],
    uncut: &[(f64, f64)],
) -> (Sorted, Vec<Finding>) {
    let job = job();
    let levels = Levels::new(&expectation(&job, Corners::Fillet));
    let digit = 0.001;
    let rules = TabRules { tabs: &tabs, levels, radius: RADIUS, allowance, digit, ramp: RAMP, low };
    let share = |&(from, to): &(f64, f64)| Uncut { edge: 0, from: from / LENGTH, to: to / LENGTH };
    let uncut = uncut.iter().map(share).collect();
    let mut findings = Findings::new("p.nc");
    let sorted = sort(&rules, &target(), strokes, uncut, &mut findings);
    (sorted, findings.finish())
}

/// Through the material, and square over a tab of this height between two places.
fn over(from: f64, to: f64, height: f64) -> Vec<Stroke> {
    let top = BOTTOM + height;
    [
        way(&[(-9.0, DEEP), (from, DEEP)]),
        way(&[(from, top), (to, top)]),
        way(&[(to, DEEP), (LENGTH + 9.0, DEEP)]),
    ]
    .concat()
}

#[test]
fn a_tab_explains_what_is_uncut_within_it_and_no_more() {
    let tab = DeclaredTab::even(Point::new(100.0, -RADIUS), 20.0, 2.0);
    let strokes = over(90.0, 110.0, 2.0);
    let with = |from: f64, to: f64| {
        let (sorted, told) =
            sorted(Tabs::Declared(vec![tab]), Low::Needed, &strokes, &[(from, to)]);
        assert_eq!((sorted.tabs.len(), sorted.parts), (1, vec![0]));
        assert_eq!(sorted.uncut.len(), told.len(), "{told:?}");
        told.len()
    };
    for (from, to, left) in [
        (93.0, 107.0, 0),
        (90.0, 110.0, 0),
        (90.0 - 0.013, 110.0, 0),
        (90.0, 110.0 + 0.013, 0),
        (89.9, 107.0, 1),
        (93.0, 110.1, 1),
        (20.0, 40.0, 1),
        (150.0, 170.0, 1),
        (80.0, 120.0, 1),
    ] {
        assert_eq!(with(from, to), left, "{from} {to}");
    }
}

#[test]
fn of_others_only_a_short_low_gap_away_from_corners_is_a_tab() {
    let with = |low: Low, strokes: &[Stroke], from: f64, to: f64| {
        let (sorted, told) = sorted(Tabs::ByRule, low, strokes, &[(from + 3.0, to - 3.0)]);
        assert_eq!(sorted.tabs.is_empty(), !sorted.uncut.is_empty());
        (sorted.tabs.len(), codes(&told), told)
    };
    let square = |from: f64, to: f64, height: f64| {
        with(Low::Needed, &over(from, to, height), from, to).0 == 1
    };
    let (found, codes, told) = with(Low::Needed, &over(80.0, 110.0, 2.0), 80.0, 110.0);
    assert_eq!((found, codes), (1, vec!["tab-found"]));
    let figure = |of: &'static str| told[0].value(of).and_then(Value::measured).unwrap().0;
    assert!((figure("measured") - 30.0).abs() < 1e-6 && (figure("height") - 2.0).abs() < 1e-6);
    assert!((figure("limit") - (40.0 + 2.0 * RAMP)).abs() < 1e-6);
    // No longer than 40 mm, and near its top a twentieth of one way down, no taller than half of
    // the wood, a cutter off either corner.
    assert!(square(68.1, 110.0, 2.0) && !square(67.9, 110.0, 2.0) && !square(20.0, 180.0, 2.0));
    assert!(square(80.0, 110.0, 3.17) && !square(80.0, 110.0, 3.19));
    assert!(square(6.01, 30.0, 2.0) && !square(5.99, 30.0, 2.0));
    assert!(square(170.0, 193.99, 2.0) && !square(170.0, 194.01, 2.0));
    // A beam leaves no low tab.
    let (found, codes, _) = with(Low::Impossible, &over(80.0, 110.0, 2.0), 80.0, 110.0);
    assert_eq!((found, codes), (0, vec!["uncut"]));
    // Down a ramp on both sides it is longer at its foot than at its top: by one of them.
    let ramped = |top: f64, run: f64| {
        let (from, to) = (100.0 - top / 2.0, 100.0 + top / 2.0);
        let up = [(-9.0, DEEP), (from - run, DEEP), (from, BOTTOM + 2.0)];
        let down = [(to, BOTTOM + 2.0), (to + run, DEEP), (LENGTH + 9.0, DEEP)];
        let strokes = way(&[up, down].concat());
        with(Low::Needed, &strokes, from - 0.8 * run, to + 0.8 * run).0 == 1
    };
    assert!(ramped(20.0, 25.0) && ramped(38.0, 22.0) && !ramped(42.0, 10.0) && !ramped(30.0, 50.0));
}

#[test]
fn a_gap_on_a_ramp_reaches_to_where_the_tool_leaves_the_bottom() {
    let top = BOTTOM + 2.0;
    let up = [(-9.0, DEEP), (80.0, DEEP), (90.0, top)];
    let strokes = way(&[up, [(110.0, top), (120.0, DEEP), (LENGTH + 9.0, DEEP)]].concat());
    let job = job();
    let levels = Levels::new(&expectation(&job, Corners::Fillet));
    let run = 10.0 * (top - levels.through()) / 2.5;
    let (sorted, _) = sorted(Tabs::ByRule, Low::Needed, &strokes, &[(85.0, 115.0)]);
    let tab = &sorted.tabs[0];
    assert!((tab.length_mm - (20.0 + 2.0 * run)).abs() < 1e-6, "{tab:?}");
    assert!((tab.height_mm - 2.0).abs() < 1e-6);
    assert!((tab.at - Point::new(100.0, -RADIUS)).norm() < 1e-6, "{tab:?}");
    let (from, to) = (tab.along.from(), tab.along.to());
    assert!((from - Point::new(90.0 - run, -RADIUS)).norm() < 1e-6, "{from}");
    assert!((to - Point::new(110.0 + run, -RADIUS)).norm() < 1e-6, "{to}");
}

#[test]
fn a_declared_tab_stands_where_it_says_and_as_high() {
    let strokes = over(90.0, 110.0, 2.0);
    let with = |x: f64, y: f64, length: f64, height: f64| {
        let tab = DeclaredTab::even(Point::new(x, y), length, height);
        codes(&sorted(Tabs::Declared(vec![tab]), Low::Needed, &strokes, &[]).1)
    };
    let none: Vec<&str> = Vec::new();
    let (differs, missing) = (vec!["tab-differs"], vec!["tab-missing"]);
    for (x, y, length, height, told) in [
        (100.0, -RADIUS, 20.0, 2.0, &none),
        (100.008, -RADIUS, 20.0, 2.0, &none),
        (99.992, -RADIUS, 20.0, 2.0, &none),
        (100.02, -RADIUS, 20.0, 2.0, &differs),
        (99.98, -RADIUS, 20.0, 2.0, &differs),
        (100.0, -RADIUS, 20.04, 2.0, &differs),
        (100.0, -RADIUS, 19.96, 2.0, &differs),
        (100.0, -RADIUS, 20.0, 2.03, &differs),
        (100.0, -RADIUS, 20.0, 1.97, &differs),
        (100.0, -RADIUS - 0.02, 20.0, 2.0, &none),
        (100.0, -RADIUS - 0.04, 20.0, 2.0, &missing),
        (100.0, -RADIUS + 0.04, 20.0, 2.0, &missing),
        (50.0, -RADIUS, 20.0, 2.0, &missing),
    ] {
        assert_eq!(&with(x, y, length, height), told, "{x} {y} {length} {height}");
    }
    // What is off is said of the end that is off by more.
    let said = |x: f64, length: f64| {
        let tab = DeclaredTab::even(Point::new(x, -RADIUS), length, 2.0);
        let told = sorted(Tabs::Declared(vec![tab]), Low::Needed, &strokes, &[]).1;
        let figure = |of: &'static str| told[0].value(of).and_then(Value::measured).unwrap().0;
        (figure("measured").round(), figure("limit").round())
    };
    assert_eq!((said(98.0, 20.2), said(102.0, 20.2)), ((90.0, 88.0), (110.0, 112.0)));
    assert_eq!((said(98.0, 24.0), said(102.0, 24.0)), ((90.0, 86.0), (110.0, 114.0)));
    assert_eq!((said(102.0, 16.0), said(98.0, 16.0)), ((90.0, 94.0), (110.0, 106.0)));
}

#[test]
fn a_declared_tab_is_as_high_as_it_says_where_it_says() {
    let top = |height: f64| BOTTOM + height;
    let strokes = [
        way(&[(-9.0, DEEP), (90.0, DEEP)]),
        way(&[(90.0, top(2.0)), (105.5, top(2.0))]),
        way(&[(105.5, top(1.0)), (110.0, top(1.0))]),
        way(&[(110.0, DEEP), (LENGTH + 9.0, DEEP)]),
    ]
    .concat();
    let with = |x: f64| {
        let even = DeclaredTab::even(Point::new(100.0, -RADIUS), 20.0, 2.0);
        let tab = DeclaredTab { top: Point::new(x, -RADIUS), ..even };
        codes(&sorted(Tabs::Declared(vec![tab]), Low::Needed, &strokes, &[]).1)
    };
    assert_eq!((with(95.0), with(106.0)), (vec![], vec!["tab-differs"]));
}

#[test]
fn passes_off_the_line_cut_a_tab_away_too() {
    let tab = DeclaredTab::even(Point::new(100.0, -RADIUS), 20.0, 2.0);
    let with = |allowance: f64, off: f64| {
        let beside = way(&[(80.0, DEEP), (120.0, DEEP)]);
        let moved = Placement::translation(0.0, -off);
        let beside = beside.into_iter().map(|s| Stroke { path: s.path.placed(&moved), ..s });
        let strokes: Vec<Stroke> = over(90.0, 110.0, 2.0).into_iter().chain(beside).collect();
        let tabs = Tabs::Declared(vec![tab]);
        codes(&sorted_off(allowance, (tabs, Low::Needed), &strokes, &[]).1)
    };
    assert_eq!(
        (with(0.8, 0.8), with(0.8, 0.9), with(0.0, 0.8)),
        (vec!["tab-missing"], vec!["tab-differs"], vec!["tab-differs"])
    );
}
