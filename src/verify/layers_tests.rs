//! What a drawing has beside the outline, and where a program or a drawing lies that does not say
//! so: marks, pockets, other layers, leads.

use super::expectation::{Drawn, Expectation, Hole, Pocket};
use super::placing::{Sides, candidate_boxes, fitting, fitting_with_leads, unit_hint};
use super::pocket_drawing::{off_as_part, off_as_path};
use super::pockets::sides;
use super::stroke::{Stroke, Work};
use super::testing::{codes, drawing, edges, expectation, job, path};
use super::verify_drawing;
use crate::diagnostics::{Finding, Value};
use crate::geometry::{Bounds, Contour, Placement, Point, Segment, Vector};
use crate::job::Corners;
use crate::stair::outline::PocketRole;

fn line(from: (f64, f64), to: (f64, f64)) -> Segment {
    Segment::Line { from: Point::new(from.0, from.1), to: Point::new(to.0, to.1) }
}

/// What is told of the part, or of the tool's way round it, with these entities more.
fn told(e: &Expectation<'_>, as_path: bool, more: &str) -> Vec<Finding> {
    let lines = if as_path { path(e) } else { edges(&e.pieces[0].part) };
    let text = drawing(&lines, "CUT", 1.0, 4).replacen(
        "0\nENDSEC\n0\nEOF",
        &format!("{more}0\nENDSEC\n0\nEOF"),
        1,
    );
    verify_drawing(text.as_bytes(), "d.dxf", e).unwrap().findings
}

fn drawn(layer: &str, from: (f64, f64), to: (f64, f64)) -> String {
    format!("0\nLINE\n8\n{layer}\n10\n{}\n20\n{}\n11\n{}\n21\n{}\n", from.0, from.1, to.0, to.1)
}

fn circle(layer: &str, x: f64, y: f64, radius: f64) -> String {
    format!("0\nCIRCLE\n8\n{layer}\n10\n{x}\n20\n{y}\n40\n{radius}\n")
}

#[test]
fn on_layer_mark_lies_what_was_declared_all_of_it_and_nothing_else() {
    let job = job();
    let mut e = expectation(&job, Corners::Fillet);
    let point = Point::new;
    let strokes = vec![
        vec![point(150.0, 60.0), point(170.0, 60.0), point(170.0, 80.0)],
        vec![point(200.0, 60.0), point(200.0, 60.0)],
    ];
    e.pieces[0].drawn =
        Drawn { strokes, holes: vec![Hole { center: point(250.0, 90.0), radius_mm: 9.0 }] };
    let (first, second) = ((150.0, 60.0), (170.0, 60.0));
    let both = drawn("MARK", first, second) + &drawn("MARK", second, (170.0, 80.0));
    let radius = e.machine.tool_radius().as_mm();
    for (as_path, radius) in [(false, 9.0), (true, 9.0 - radius)] {
        let of = |more: String| codes(&told(&e, as_path, &more));
        let hole = circle("MARK", 250.0, 90.0, radius);
        assert_eq!(of(both.clone() + &hole), [""; 0]);
        let of_hole = told(&e, as_path, &both);
        assert_eq!(codes(&of_hole), ["drawing-marks-missing"]);
        let count = |name: &'static str| of_hole[0].value(name).map(Value::to_string);
        assert_eq!((count("measured"), count("limit")), (Some("2".into()), Some("4".into())));
        let short = drawn("MARK", first, (169.9, 60.0)) + &drawn("MARK", second, (170.0, 80.0));
        assert_eq!(of(short + &hole), ["drawing-marks-missing"]);
        let within = drawn("MARK", first, (169.99, 60.0)) + &drawn("MARK", second, (170.0, 80.0));
        assert_eq!(of(within + &hole), [""; 0]);
        let off = drawn("MARK", (150.0, 60.02), (170.0, 60.02));
        assert_eq!(of(both.clone() + &hole + &off), ["drawing-mark"]);
        let larger = circle("MARK", 250.0, 90.0, radius + 0.02);
        assert!(of(both.clone() + &larger).contains(&"drawing-mark"));
        let stray = drawn("MARK", (155.0, 60.0), (155.0, 75.0));
        assert_eq!(of(both.clone() + &hole + &stray), ["drawing-mark"]);
        let out = drawn("MARK", (-300.0, -300.0), (-200.0, -300.0));
        assert_eq!(of(both.clone() + &hole + &out), ["drawing-layer-not-judged"]);
    }
    // A hole no larger than the tool has no way of its centre.
    e.pieces[0].drawn.holes[0].radius_mm = radius - 0.1;
    assert_eq!(codes(&told(&e, true, &both)), [""; 0]);
}

#[test]
fn on_another_layer_nothing_touches_the_part() {
    let job = job();
    let e = expectation(&job, Corners::Fillet);
    let part = e.pieces[0].part.bounds();
    let lower = e.pieces[0].part.edges().iter().map(|edge| edge.segment);
    let lower = lower.max_by(|a, b| a.length().total_cmp(&b.length())).unwrap();
    let (at, along) = (lower.point_at(0.5), lower.direction_at(0.0));
    let out = Vector::new(along.y, -along.x);
    let beside = |off: f64| {
        let (a, b) = (at + out * off, at + out * off + along * 20.0);
        codes(&told(&e, false, &drawn("OTHER", (a.x, a.y), (b.x, b.y))))
    };
    assert_eq!(
        (beside(0.02), beside(0.03)),
        (vec!["drawing-other-layer"], vec!["drawing-layer-not-judged"])
    );
    let inside = drawn("OTHER", (150.0, 60.0), (155.0, 60.0));
    let found = told(&e, false, &inside);
    assert_eq!(codes(&found), ["drawing-other-layer"]);
    let x = found[0].value("x").and_then(Value::measured).unwrap().0;
    assert!((x - 152.5).abs() < 1e-6, "{x}");
    let pocket = drawn("POCKET", (150.0, 60.0), (155.0, 60.0));
    assert_eq!(codes(&told(&e, false, &pocket)), ["drawing-mark"]);
    // What lies off it is counted by its kind.
    let far = part.max.x + 300.0;
    let (a, b) = ((far, 0.0), (far, 20.0));
    let text = "0\nTEXT\n8\nOTHER\n1\n100 mm\n";
    let both = drawn("OTHER", a, b) + &drawn("OTHER", b, a) + text;
    let found = told(&e, false, &both);
    assert_eq!(codes(&found), ["drawing-layer-not-judged"]);
    let count = found[0].value("measured").map(Value::to_string);
    assert_eq!(count, Some("3".to_string()), "{}", found[0].sentence());
    let odd = "0\nELLIPSE\n8\nOTHER\n10\n0\n20\n0\n";
    assert_eq!(codes(&told(&e, false, odd)), ["drawing-entity"]);
}

#[test]
fn a_pocket_drawn_twice_is_refused_and_so_is_a_side_without_length() {
    let job = job();
    let mut e = expectation(&job, Corners::Fillet);
    let points = [(150.0, 50.0), (190.0, 50.0), (190.0, 80.0), (150.0, 80.0)];
    let roles = [
        PocketRole::TreadUnderside(1),
        PocketRole::TreadEnd(1),
        PocketRole::TreadTop(1),
        PocketRole::Nosing(1),
    ];
    let corners: Vec<_> =
        points.iter().zip(roles).map(|((x, y), role)| (Point::new(*x, *y), role)).collect();
    let boundary = Contour::polygon(&corners).unwrap();
    e.pieces[0].pockets = vec![Pocket { boundary, depth_mm: 12.7 }];
    let words = "0\nTEXT\n8\nREF\n10\n0\n20\n0\n40\n3\n1\nPOCKET: sides of pockets, 12.7000 mm deep from this face, \
        cleared between\n";
    let ring = |points: &[(f64, f64)]| {
        let vertices: String = points.iter().map(|(x, y)| format!("10\n{x}\n20\n{y}\n")).collect();
        format!("0\nLWPOLYLINE\n8\nPOCKET\n90\n{}\n70\n1\n{vertices}", points.len())
    };
    let of = |more: &str| codes(&told(&e, false, &(words.to_string() + more)));
    assert_eq!(of(&ring(&points)), [""; 0]);
    assert_eq!(of(&(ring(&points) + &ring(&points))), ["drawing-doubled"; 4]);
    // In other pieces, and the other way round.
    let sides: String = (0..4).map(|i| drawn("POCKET", points[(i + 1) % 4], points[i])).collect();
    assert_eq!(of(&sides), [""; 0]);
    assert!(of(&(ring(&points) + &sides)).contains(&"drawing-doubled"));
    let repeated = [&points[..2], &points[1..]].concat();
    assert_eq!(of(&ring(&repeated)), ["drawing-zero-length"]);
}

#[test]
fn a_mark_is_drawn_once_and_where_one_is_without_length_too() {
    let job = job();
    let mut e = expectation(&job, Corners::Fillet);
    let (from, to) = ((150.0, 60.0), (170.0, 60.0));
    let dot = Point::new(200.0, 60.0);
    let strokes = vec![vec![Point::new(from.0, from.1), Point::new(to.0, to.1)], vec![dot, dot]];
    e.pieces[0].drawn = Drawn { strokes, holes: Vec::new() };
    let of = |more: &str| told(&e, false, more);
    let good = drawn("MARK", from, to);
    assert_eq!(of(&good), []);
    assert_eq!(of(&(good.clone() + &drawn("MARK", (200.0, 60.0), (200.0, 60.0)))), []);
    for again in [&good, &drawn("MARK", to, from)] {
        let found = of(&(good.clone() + again));
        assert_eq!(codes(&found), ["drawing-mark-doubled"]);
        assert!(!found[0].refuses() && found[0].sentence().ends_with(": 1"), "{found:?}");
    }
    assert_eq!(
        codes(&of(&(good.clone() + &drawn("MARK", (200.0, 61.0), (200.0, 61.0))))),
        ["drawing-mark"]
    );
    // None at all is by design, some of them are not.
    let none = of("");
    assert_eq!(codes(&none), ["drawing-without-marks"]);
    assert!(!none[0].refuses());
}

#[test]
fn the_sides_of_a_pocket_are_drawn_all_of_them_and_once() {
    let at = |x, y, role| (Point::new(x, y), role);
    let boundary = Contour::polygon(&[
        at(0.0, 0.0, PocketRole::TreadUnderside(1)),
        at(60.0, 0.0, PocketRole::TreadEnd(1)),
        at(60.0, 40.0, PocketRole::TreadTop(1)),
        at(0.0, 40.0, PocketRole::Nosing(1)),
    ]);
    let pockets = [Pocket { boundary: boundary.unwrap(), depth_mm: 3.0 }];
    let placed = Placement::translation(100.0, 50.0);
    let ring = |off: f64| {
        let (a, x, y) = (off, 60.0 - off, 40.0 - off);
        let corners = [(a, a), (x, a), (x, y), (a, y)];
        let side = |i: usize| line(corners[i], corners[(i + 1) % 4]).placed(&placed);
        (0..4).map(side).collect::<Vec<_>>()
    };
    let stray = line((300.0, 300.0), (300.0, 312.0));
    let near = |off: f64, mm: f64| (off - mm).abs() < 0.1;
    let as_part = |lines: Vec<Segment>| off_as_part(lines, &pockets, &placed).unwrap();
    assert_eq!((as_part(ring(0.0)), as_part(ring(0.008))), (0.0, 0.0));
    assert!(near(as_part(ring(0.0)[1..].to_vec()), 60.0) && near(as_part(Vec::new()), 200.0));
    assert!(near(as_part([ring(0.0), vec![stray]].concat()), 12.0));
    assert!(near(as_part(ring(1.0)), 392.0));
    let radius = 3.0;
    let target = sides(&pockets, Corners::Fillet, radius).unwrap();
    let as_path = |lines: Vec<Segment>| off_as_path(lines, &target, &placed, radius).unwrap();
    assert_eq!((as_path(ring(radius)), as_path(ring(radius - 0.008))), (0.0, 0.0));
    assert!(near(as_path([ring(radius), vec![stray]].concat()), 12.0));
    // Four sides too near by 0.5 mm; the corners are rounds, as near.
    assert!(as_path(ring(radius - 0.5)) > 1.9 && as_path(ring(radius + 0.02)) > 150.0);
    let open = as_path(ring(radius)[1..].to_vec());
    assert!(open > 50.0 && open < 60.0, "{open}");
}

/// A box of 100 by 50 mm after a turn.
fn turned(turn: &Placement) -> Option<Bounds> {
    let corners = [(0.0, 0.0), (100.0, 0.0), (100.0, 50.0), (0.0, 50.0)];
    Bounds::around(corners.into_iter().map(|(x, y)| turn * Point::new(x, y)))
}

fn place(x: f64, y: f64, width: f64, height: f64) -> Bounds {
    Bounds { min: Point::new(x, y), max: Point::new(x + width, y + height) }
}

#[test]
fn a_box_is_laid_on_what_was_cut_by_quarters_of_a_turn() {
    let of = |drawn: Bounds, margin: f64, sides: Sides| {
        let found = fitting(turned, margin, drawn, sides);
        let at = |p: &Placement| {
            let corner = turned(&Placement::identity()).unwrap().min;
            let (at, angle) = (p * corner, p.rotation.angle().to_degrees().round());
            ((at.x.round(), at.y.round()), if angle < -179.0 { 180.0 } else { angle })
        };
        found.iter().map(at).collect::<Vec<_>>()
    };
    let all = |drawn: Bounds| of(drawn, 0.0, Sides::All);
    assert_eq!(all(place(30.0, 20.0, 100.0, 50.0)), [((30.0, 20.0), 0.0), ((130.0, 70.0), 180.0)]);
    assert_eq!(all(place(30.0, 20.0, 50.0, 100.0)), [((80.0, 20.0), 90.0), ((30.0, 120.0), -90.0)]);
    assert_eq!(
        (all(place(0.0, 0.0, 101.2, 50.0)).len(), all(place(0.0, 0.0, 101.3, 50.0)).len()),
        (2, 0)
    );
    assert_eq!(
        (all(place(0.0, 0.0, 100.0, 48.8)).len(), all(place(0.0, 0.0, 100.0, 48.6)).len()),
        (2, 0)
    );
    let grown = of(place(27.0, 17.0, 106.0, 56.0), 3.0, Sides::All);
    assert_eq!(grown[0], ((30.0, 20.0), 0.0));
    // Of what is not cut along its lower side only the upper one says where it lies.
    let open = of(place(30.0, 40.0, 100.0, 30.0), 0.0, Sides::NotTheLower);
    assert_eq!(open, [((30.0, 20.0), 0.0), ((130.0, 90.0), 180.0)]);
    let open = of(place(30.0, 40.0, 30.0, 100.0), 0.0, Sides::NotTheLower);
    assert_eq!(open, [((80.0, 40.0), 90.0), ((10.0, 140.0), -90.0)]);
    assert_eq!(of(place(30.0, 40.0, 98.0, 30.0), 0.0, Sides::NotTheLower), []);
}

#[test]
fn leads_reach_beyond_the_box_on_some_of_its_sides() {
    let of = |drawn: Bounds, margin: f64| {
        let found = fitting_with_leads(turned, margin, drawn);
        let upright = found.iter().filter(|p| p.rotation.angle().abs() < 0.1);
        let at = |p: &Placement| p * Point::origin();
        upright.map(at).map(|at| (at.x.round(), at.y.round())).collect::<Vec<_>>()
    };
    let (low, wide) = (place(30.0, 20.0, 100.0, 80.0), place(30.0, 20.0, 140.0, 50.0));
    assert_eq!(of(low, 0.0), [(30.0, 20.0), (30.0, 50.0), (30.0, 20.0), (30.0, 50.0)]);
    assert!(of(wide, 0.0).contains(&(70.0, 20.0)) && of(wide, 0.0).contains(&(30.0, 20.0)));
    assert!(of(place(27.0, 17.0, 106.0, 86.0), 3.0).contains(&(30.0, 50.0)));
    assert!(!of(place(0.0, 0.0, 100.0, 110.0), 0.0).is_empty());
    assert_eq!(of(place(0.0, 0.0, 100.0, 110.1), 0.0), []);
    assert_eq!(
        (of(place(0.0, 0.0, 98.8, 50.0), 0.0).len(), of(place(0.0, 0.0, 98.6, 50.0), 0.0)),
        (4, vec![])
    );
    // By a quarter turn as well.
    let found = fitting_with_leads(turned, 0.0, place(30.0, 20.0, 50.0, 130.0));
    let quarter = found.iter().filter(|p| (p.rotation.angle().to_degrees() - 90.0).abs() < 1.0);
    let low = quarter.map(|p| (p * Point::new(0.0, 50.0)).y.round()).collect::<Vec<_>>();
    assert!(low.contains(&20.0) && low.contains(&50.0), "{low:?}");
}

#[test]
fn the_part_is_the_longest_closed_walk() {
    let stroke = |path: Segment| Stroke {
        path,
        from_z: -7.0,
        to_z: -7.0,
        line: 1,
        work: Work::Cutting,
        off_mm: 0.0,
        energy: 1.0,
    };
    let walk = |points: &[(f64, f64)]| {
        points.windows(2).map(|pair| stroke(line(pair[0], pair[1]))).collect::<Vec<_>>()
    };
    let ring = |x: f64, y: f64, side: f64| {
        let (u, v) = (x + side, y + side);
        vec![(x, y), (u, y), (u, v), (x, v), (x, y)]
    };
    let lead = [(-30.0, -10.0), (0.0, 0.0)];
    let small: Vec<_> = ring(20.0, 20.0, 1.0);
    let way =
        [walk(&small), walk(&lead), walk(&ring(0.0, 0.0, 50.0)), walk(&ring(60.0, 60.0, 5.0))];
    let boxes = candidate_boxes(&way.concat());
    let of = |b: &Bounds| (b.min.x, b.min.y, b.max.x, b.max.y);
    assert_eq!(
        boxes.iter().map(of).collect::<Vec<_>>(),
        [(0.0, 0.0, 50.0, 50.0), (-30.0, -10.0, 65.0, 65.0)]
    );
    // A walk that breaks off closes nothing.
    let broken = [walk(&[(0.0, 0.0), (50.0, 0.0)]), walk(&[(50.0, 9.0), (50.0, 50.0), (0.0, 0.0)])];
    assert_eq!(candidate_boxes(&broken.concat()).len(), 1);
    assert_eq!(candidate_boxes(&[]).len(), 0);
    let hint = |ratio: f64| format!("{:?}", unit_hint(ratio));
    assert_eq!(
        (hint(1.0 / 25.4), hint(25.4), hint(1.0)),
        ("Small".into(), "Large".into(), "None".into())
    );
    assert_eq!((hint(1.015 / 25.4), hint(0.97 * 25.4)), ("Small".into(), "None".into()));
}
