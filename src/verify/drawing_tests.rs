//! Whole drawings held against the part.

use super::testing::{drawing, edges, expectation, job, job_on, loose_drawing, path};
use super::*;
use crate::diagnostics::Value;
use crate::geometry::{Placement, Segment, Vector};
use crate::job::Corners;

fn verdict(text: &str, e: &Expectation<'_>) -> Verdict {
    verify_drawing(text.as_bytes(), "d.dxf", e).unwrap()
}

fn codes(text: &str, e: &Expectation<'_>) -> Vec<&'static str> {
    verdict(text, e).findings.iter().map(|finding| finding.code.name()).collect()
}

#[test]
fn a_drawing_of_the_part_is_nominal_in_inches_and_in_millimetres_with_polylines_or_lines() {
    let job = job();
    let e = expectation(&job, Corners::Fillet);
    let shape = edges(&e.pieces[0].part);
    for text in
        [drawing(&shape, "CUT", 1.0, 4), drawing(&shape, "cut", 25.4, 1), loose_drawing(&shape)]
    {
        let v = verdict(&text, &e);
        assert_eq!((v.findings.as_slice(), v.what), (&[][..], Recognised::NominalDrawing));
        assert!(v.gouge_mm < 1e-5 && v.left_mm < 1e-5);
    }
}

#[test]
fn a_drawing_of_the_path_is_compensated_with_every_choice_of_inside_corner() {
    for machine in ["router-table", "laser"] {
        let job = job_on(machine);
        for choice in [Corners::Fillet, Corners::Bisector, Corners::Riser, Corners::Tread] {
            let e = expectation(&job, choice);
            let v = verdict(&drawing(&path(&e), "CUT", 1.0, 4), &e);
            assert_eq!(
                (v.findings.as_slice(), v.what),
                (&[][..], Recognised::CompensatedDrawing),
                "{choice:?}"
            );
            assert!(v.gouge_mm < 1e-5 && v.left_mm < 1e-5);
        }
    }
}

#[test]
fn other_layers_are_not_the_shape() {
    let job = job();
    let e = expectation(&job, Corners::Fillet);
    let shape = drawing(&edges(&e.pieces[0].part), "CUT", 1.0, 4);
    let bar =
        "0\nLINE\n8\nREF\n10\n0\n20\n0\n11\n100\n21\n0\n0\nTEXT\n8\nREF\n1\n100 mm\n0\nENDSEC";
    assert_eq!(
        codes(&shape.replacen("0\nENDSEC\n0\nEOF", &format!("{bar}\n0\nEOF"), 1), &e),
        [""; 0]
    );
    let text = "0\nTEXT\n8\nCUT\n1\n100 mm\n0\nENDSEC";
    assert_eq!(
        codes(&shape.replacen("0\nENDSEC\n0\nEOF", &format!("{text}\n0\nEOF"), 1), &e),
        ["drawing-entity"]
    );
}

#[test]
fn an_old_polyline_with_vertices_is_read() {
    let job = job();
    let e = expectation(&job, Corners::Fillet);
    let mut text = "0\nSECTION\n2\nENTITIES\n0\nPOLYLINE\n8\nCUT\n66\n1\n70\n1\n".to_string();
    for segment in edges(&e.pieces[0].part) {
        let p = segment.from() / 25.4;
        text += &format!("0\nVERTEX\n8\nCUT\n10\n{:.7}\n20\n{:.7}\n", p.x, p.y);
    }
    text += "0\nSEQEND\n0\nENDSEC\n0\nEOF\n";
    assert_eq!(codes(&text, &e), ["drawing-units-assumed"]);
    assert_eq!(
        codes(&text.replace("70\n1\n", "70\n9\n"), &e),
        ["drawing-units-assumed", "drawing-entity", "drawing-nothing"]
    );
}

#[test]
fn an_open_a_doubled_and_a_repeated_vertex_are_told_with_their_place() {
    let job = job();
    let e = expectation(&job, Corners::Fillet);
    let shape = edges(&e.pieces[0].part);
    let open = verdict(&drawing(&shape, "CUT", 1.0, 4).replacen("70\n1\n10", "70\n0\n10", 1), &e);
    assert!(
        open.findings
            .iter()
            .any(|f| f.code.name() == "drawing-open" && f.place.to_string() == "d.dxf:16"),
        "{:?}",
        open.findings
    );
    assert!(open.findings.iter().any(|f| f.code.name() == "uncut" || f.code.name() == "gouge"));
    let mut twice = shape.clone();
    twice.push(shape[0]);
    assert_eq!(codes(&loose_drawing(&twice), &e), ["drawing-doubled"]);
    let mut repeated = shape.clone();
    let p = shape[0].to();
    repeated.insert(1, Segment::Line { from: p, to: p });
    assert_eq!(codes(&drawing(&repeated, "CUT", 1.0, 4), &e), ["drawing-zero-length"]);
}

#[test]
fn two_shapes_are_one_too_many() {
    let job = job();
    let e = expectation(&job, Corners::Fillet);
    let mut shape = edges(&e.pieces[0].part);
    shape.extend(edges(&e.pieces[0].part.placed(&Placement::translation(2000.0, 0.0))));
    let found = codes(&loose_drawing(&shape), &e);
    assert_eq!(found, ["drawing-several"]);
}

#[test]
fn a_wrong_unit_is_named_and_nothing_else_is_held() {
    let job = job();
    let e = expectation(&job, Corners::Fillet);
    let v = verdict(&drawing(&edges(&e.pieces[0].part), "CUT", 1.0, 1), &e);
    assert_eq!(v.findings.len(), 1);
    assert!(
        v.findings[0].code.name() == "not-this-part"
            && v.findings[0].sentence().contains("25.4 times"),
        "{v:?}"
    );
    let v = verdict(&drawing(&edges(&e.pieces[0].part), "CUT", 25.4, 4), &e);
    assert!(v.findings[0].sentence().contains("1/25.4"), "{v:?}");
}

#[test]
fn a_moved_corner_is_found_at_its_edges_and_a_turned_part_is_recognised() {
    let job = job();
    let e = expectation(&job, Corners::Fillet);
    let turned = e.pieces[0].part.placed(&Placement::rotation(std::f64::consts::PI));
    let v = verdict(&drawing(&edges(&turned), "CUT", 1.0, 4), &e);
    assert_eq!(v.findings.iter().map(|f| f.code.name()).collect::<Vec<_>>(), ["turned-part"]);
    assert!(v.is_this_part());
    assert!((v.placements[0].turn_deg.abs() - 180.0).abs() < 1e-6);
    let mut shape = edges(&e.pieces[0].part);
    let at = e.pieces[0]
        .part
        .edges()
        .iter()
        .position(|edge| edge.role == crate::stair::outline::Role::Tread(1))
        .unwrap();
    let out = -crate::geometry::left_of(shape[at].direction_at(0.0)) * 0.05;
    for i in [at - 1, at, at + 1] {
        let moved = |p, is_moved| if is_moved { p + out } else { p };
        let Segment::Line { from, to } = shape[i] else { panic!("the part is straight") };
        shape[i] = Segment::Line { from: moved(from, i > at - 1), to: moved(to, i < at + 1) };
    }
    let v = verdict(&drawing(&shape, "CUT", 1.0, 4), &e);
    let said: Vec<_> = v.findings.iter().map(|f| (f.subject(), f.sentence())).collect();
    let words = "this edge as drawn is 0.002 in (0.05 mm) high all along; no more than 0.0005 in \
        (0.0127 mm) is allowed";
    assert_eq!(said, [("drawing-edge-off at tread 1".to_string(), words.to_string())]);
    assert!((v.left_mm - 0.05).abs() < 1e-4 && v.gouge_mm < 0.0127 + 1e-6, "{v:?}");
}

#[test]
fn a_mirrored_part_is_refused() {
    let job = job();
    let e = expectation(&job, Corners::Fillet);
    let width = e.pieces[0].part.bounds().width();
    let flip = |p: crate::geometry::Point| crate::geometry::Point::new(width - p.x, p.y);
    let shape: Vec<_> = edges(&e.pieces[0].part)
        .iter()
        .map(|segment| Segment::Line { from: flip(segment.from()), to: flip(segment.to()) })
        .collect();
    assert_eq!(codes(&drawing(&shape, "CUT", 1.0, 4), &e), ["drawing-mirrored"]);
}

#[test]
fn what_is_no_drawing_is_an_error_with_its_line() {
    let job = job();
    let e = expectation(&job, Corners::Fillet);
    let good = drawing(&edges(&e.pieces[0].part), "CUT", 1.0, 4);
    for (bytes, say) in [
        (b"".to_vec(), "empty"),
        (b"0123456789 binary\r\n\x1a\0\x01".to_vec(), "no text drawing"),
        (b"hello\nworld\n".to_vec(), "d.dxf:1:1"),
        (good.replacen("10\n", "10\nnan\n20\n0\n10\n", 1).into_bytes(), "no number"),
        (good.replacen("10\n", "10\ninf\n20\n0\n10\n", 1).into_bytes(), "no number"),
        (good.replacen("10\n", "10\n1e300\n20\n0\n10\n", 1).into_bytes(), "no number"),
        (good.replace("0\nEOF\n", "").into_bytes(), "breaks off"),
    ] {
        let error = verify_drawing(&bytes, "d.dxf", &e).unwrap_err().to_string();
        assert!(error.contains(say), "{say}: {error}");
    }
    let empty = "0\nSECTION\n2\nENTITIES\n0\nENDSEC\n0\nEOF\n";
    assert!(codes(empty, &e).contains(&"drawing-nothing"));
}

#[test]
fn no_bytes_make_it_panic() {
    let job = job();
    let e = expectation(&job, Corners::Bisector);
    let good = drawing(&path(&e), "CUT", 1.0, 4).into_bytes();
    let mut state = 5_u64;
    let mut next = || {
        state =
            state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) as usize
    };
    let alphabet = b"0123456789.-\n eNVL";
    for _ in 0..200 {
        let mut bytes = good.clone();
        for _ in 0..=next() % 4 {
            let at = next() % bytes.len();
            bytes[at] = alphabet[next() % alphabet.len()];
        }
        let _ = verify_drawing(&bytes, "d.dxf", &e);
    }
}

/// The tool's way without that along the lower edge, as an open polyline.
fn without_lower_edge(e: &Expectation<'_>) -> String {
    let mut open = path(e);
    let lower = open.remove(0);
    open.push(lower);
    drawing(&open, "CUT", 1.0, 4).replacen("70\n1\n10", "70\n0\n10", 1)
}

#[test]
fn only_on_a_board_may_the_way_leave_out_the_lower_edge() {
    let job = job();
    let mut e = expectation(&job, Corners::Fillet);
    assert!(!verdict(&without_lower_edge(&e), &e).is_this_part());
    e.form = crate::profile::Form::Board;
    let v = verdict(&without_lower_edge(&e), &e);
    assert!(v.is_this_part(), "{:?}", v.findings);
    assert_eq!((v.what, v.fillets), (Recognised::CompensatedDrawing, 3));
    let whole = verdict(&drawing(&path(&e), "CUT", 1.0, 4), &e);
    assert!(whole.is_this_part(), "{:?}", whole.findings);
}

#[test]
fn rounds_left_in_corners_are_counted_where_they_are_left() {
    let job = job();
    for (choice, rounds) in [(Corners::Fillet, 3), (Corners::Bisector, 0), (Corners::Riser, 0)] {
        let e = expectation(&job, choice);
        assert_eq!(verdict(&drawing(&path(&e), "CUT", 1.0, 4), &e).fillets, rounds);
    }
}

#[test]
fn a_way_turned_by_a_quarter_lies_on_the_machine_and_a_part_is_turned() {
    let job = job();
    let e = expectation(&job, Corners::Fillet);
    let by = Placement::new(Vector::new(900.0, 20.0), std::f64::consts::FRAC_PI_2);
    let placed = |lines: Vec<Segment>| {
        let lines: Vec<Segment> = lines.iter().map(|line| line.placed(&by)).collect();
        codes(&drawing(&lines, "CUT", 1.0, 4), &e)
    };
    assert_eq!(placed(path(&e)), [""; 0]);
    assert_eq!(placed(edges(&e.pieces[0].part)), ["turned-part"]);
}

#[test]
fn a_way_that_leaves_a_stretch_of_an_edge_is_told_by_its_length() {
    let job = job();
    let e = expectation(&job, Corners::Fillet);
    let mut way = path(&e);
    // From the 100th to the 140th mm of the lower edge 1 mm farther out, square.
    let lower = way.remove(0);
    let along = lower.direction_at(0.0);
    let out = Vector::new(along.y, -along.x);
    let at = |mm: f64| lower.from() + along * mm;
    let (a, b) = (at(100.0), at(140.0));
    let points = [lower.from(), a, a + out, b + out, b, lower.to()];
    let detour = points.windows(2).map(|pair| Segment::Line { from: pair[0], to: pair[1] });
    way.splice(0..0, detour);
    let found = verdict(&drawing(&way, "CUT", 1.0, 4), &e).findings;
    let uncut = found.iter().find(|found| found.code.name() == "uncut").expect("it is told");
    let length = uncut.value("measured").and_then(Value::measured).unwrap().0;
    assert!(length > 38.0 && length < 40.0, "{length}");
}
