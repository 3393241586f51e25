//! What stands on the layers for people: what of it is let be, and what is refused.

use super::expectation::{Drawn, Expectation};
use super::testing::{drawing, edges, expectation, job};
use super::verify_drawing;
use crate::diagnostics::Finding;
use crate::geometry::Point;
use crate::job::Corners;

/// What is told of the part with these entities more.
fn told(e: &Expectation<'_>, more: &str) -> Vec<Finding> {
    let text = drawing(&edges(&e.pieces[0].part), "CUT", 1.0, 4).replacen(
        "0\nENDSEC\n0\nEOF",
        &format!("{more}0\nENDSEC\n0\nEOF"),
        1,
    );
    verify_drawing(text.as_bytes(), "d.dxf", e).unwrap().findings
}

fn codes(e: &Expectation<'_>, more: &str) -> Vec<&'static str> {
    told(e, more).iter().map(|finding| finding.code.name()).collect()
}

/// Lines one after the other, each an entity of its own, on these layers in turn.
fn lines(layers: &[&str], points: &[(f64, f64)]) -> String {
    let line = |(i, pair): (usize, &[(f64, f64)])| {
        let (layer, a, b) = (layers[i % layers.len()], pair[0], pair[1]);
        format!("0\nLINE\n8\n{layer}\n10\n{}\n20\n{}\n11\n{}\n21\n{}\n", a.0, a.1, b.0, b.1)
    };
    points.windows(2).enumerate().map(line).collect()
}

fn polyline(layer: &str, flags: u8, points: &[(f64, f64)]) -> String {
    let vertices: String = points.iter().map(|(x, y)| format!("10\n{x}\n20\n{y}\n")).collect();
    format!("0\nLWPOLYLINE\n8\n{layer}\n70\n{flags}\n{vertices}")
}

const BOX: [(f64, f64); 5] =
    [(150.0, 60.0), (180.0, 60.0), (180.0, 70.0), (150.0, 70.0), (150.0, 60.0)];

#[test]
fn beside_texts_points_and_plain_lines_nothing_stands_on_layers_for_people() {
    let job = job();
    let e = expectation(&job, Corners::Fillet);
    for layer in ["REF", "stock"] {
        for (what, more) in [
            ("INSERT", "2\nB\n10\n150\n20\n60\n"),
            ("ELLIPSE", "10\n150\n20\n60\n11\n5\n21\n0\n40\n0.5\n"),
            ("SOLID", "10\n150\n20\n60\n"),
            ("3DFACE", "10\n150\n20\n60\n"),
            ("SPLINE", "10\n150\n20\n60\n"),
            ("HATCH", "10\n150\n20\n60\n"),
            ("DIMENSION", "2\n*D1\n10\n150\n20\n60\n"),
            ("IMAGE", "10\n150\n20\n60\n"),
            ("CIRCLE", "10\n150\n20\n60\n40\n4\n230\n-1\n"),
            ("LWPOLYLINE", "70\n1\n43\n0.5\n10\n150\n20\n60\n10\n160\n20\n60\n10\n160\n20\n65\n"),
            ("POLYLINE", "70\n16\n10\n150\n20\n60\n"),
            ("LINE", "60\n1\n10\n150\n20\n60\n11\n160\n21\n60\n"),
        ] {
            let found = told(&e, &format!("0\n{what}\n8\n{layer}\n{more}"));
            assert_eq!(found.len(), 1, "{what}: {found:?}");
            assert_eq!(found[0].code.name(), "drawing-for-people", "{what}");
            let said = found[0].sentence();
            let place = said.contains("150") || said.contains("5.9") || said.contains("5 29/32");
            assert!(said.contains(what) && said.contains(layer) && place, "{said}");
        }
        for kind in ["TEXT", "MTEXT", "POINT"] {
            let more = format!("0\n{kind}\n8\n{layer}\n10\n150\n20\n60\n1\nhere\n");
            assert_eq!(codes(&e, &more), [""; 0], "{kind}");
        }
    }
}

#[test]
fn lines_that_close_are_closed_however_they_are_drawn() {
    let job = job();
    let e = expectation(&job, Corners::Fillet);
    let closed = |more: &str| {
        let found = codes(&e, more);
        assert!(found.iter().all(|code| *code == "drawing-closed"), "{found:?}");
        !found.is_empty()
    };
    for layers in [&["REF"][..], &["REF", "STOCK"]] {
        assert!(closed(&lines(layers, &BOX)));
        assert!(!closed(&lines(layers, &BOX[..4])));
    }
    // In another order and each the other way round.
    let mixed = [3, 0, 2, 1].map(|i| lines(&["REF"], &[BOX[i + 1], BOX[i]]));
    assert!(closed(&mixed.concat()));
    // Ends that careless readers join, and ends that nobody does.
    let gap = |mm: f64| {
        let mut points = BOX;
        points[4].0 += mm;
        lines(&["REF"], &points)
    };
    assert!(closed(&gap(0.2)) && !closed(&gap(0.3)));
    assert!(closed(&polyline("REF", 1, &BOX[..4])) && !closed(&polyline("REF", 0, &BOX[..4])));
    assert!(closed(&polyline("REF", 0, &BOX)));
    // A tail beside it, a way back to the middle of its own, a stub at a corner.
    let tail = [&[(140.0, 55.0)][..], &BOX].concat();
    assert!(closed(&polyline("REF", 0, &tail)) && closed(&lines(&["REF"], &tail)));
    let stub = lines(&["REF"], &[(150.0, 60.0), (145.0, 55.0)]);
    assert!(closed(&(stub.clone() + &lines(&["REF"], &BOX) + &stub)));
    // Pieces shorter than what joins ends.
    let around = |count: usize, steps: usize| {
        let at = |i: usize| {
            let angle = std::f64::consts::TAU * i as f64 / steps as f64;
            (160.0 + 5.0 * angle.cos(), 65.0 + 5.0 * angle.sin())
        };
        (0..=count).map(at).collect::<Vec<_>>()
    };
    assert!(closed(&polyline("REF", 0, &around(600, 600))));
    assert!(!closed(&polyline("REF", 0, &around(400, 600))));
    assert!(closed(&lines(&["REF"], &around(600, 600))));
    // What is drawn twice closes nothing, nor does a star.
    let bar = lines(&["REF"], &[(150.0, 60.0), (180.0, 60.0)]);
    assert!(!closed(&(bar.clone() + &bar)));
    let star = [(180.0, 60.0), (150.0, 70.0), (140.0, 65.0)]
        .map(|to| lines(&["REF"], &[(150.0, 60.0), to]));
    assert!(!closed(&star.concat()));
    // However small it is.
    let circle = |x: f64, r: f64| format!("0\nCIRCLE\n8\nREF\n10\n{x}\n20\n65\n40\n{r}\n");
    assert!(closed(&circle(150.0, 3.0)) && closed(&circle(150.0, 0.05)));
    let arc = |from: f64, to: f64| {
        format!("0\nARC\n8\nREF\n10\n160\n20\n65\n40\n4\n50\n{from}\n51\n{to}\n")
    };
    assert!(!closed(&arc(0.0, 200.0)) && closed(&(arc(0.0, 200.0) + &arc(200.0, 360.0))));
}

#[test]
fn what_closes_is_refused_where_it_reaches_into_the_part_and_nowhere_else() {
    let job = job();
    let mut e = expectation(&job, Corners::Fillet);
    let bounds = e.pieces[0].part.bounds();
    let circle = |x: f64, y: f64, r: f64| format!("0\nCIRCLE\n8\nREF\n10\n{x}\n20\n{y}\n40\n{r}\n");
    // Across its longest edge, with its middle on either side.
    let edges = edges(&e.pieces[0].part).into_iter();
    let longest = edges.max_by(|a, b| a.length().total_cmp(&b.length())).unwrap();
    let (at, along) = (longest.point_at(0.5), longest.direction_at(0.5));
    let beside = |off: f64| circle(at.x + along.y * off, at.y - along.x * off, 5.0);
    for off in [-2.0, 2.0] {
        assert_eq!(codes(&e, &beside(off)), ["drawing-closed"], "{off}");
    }
    assert_eq!(codes(&e, &beside(6.0)), [""; 0]);
    // Round it, as its box is, and the board that it lies on the edge of.
    let (a, b) = (bounds.min, bounds.max);
    let around = [(a.x, a.y), (b.x, a.y), (b.x, b.y), (a.x, b.y), (a.x, a.y)];
    assert_eq!(codes(&e, &polyline("STOCK", 1, &around[..4])), [""; 0]);
    assert_eq!(codes(&e, &lines(&["STOCK"], &around)), [""; 0]);
    let mut cut_off = around;
    cut_off[1].0 -= 80.0;
    cut_off[2].0 -= 80.0;
    let found = codes(&e, &lines(&["STOCK"], &cut_off));
    assert!(found.contains(&"drawing-closed"), "{found:?}");
    // A mark may be drawn there by who leaves marks out.
    let points = BOX.map(|(x, y)| Point::new(x, y)).to_vec();
    e.pieces[0].drawn = Drawn { strokes: vec![points], holes: Vec::new() };
    assert_eq!(codes(&e, &lines(&["REF"], &BOX)), ["drawing-without-marks"]);
}
