//! The holes of a drawing, and what is looked at in every entity of it.

use super::expectation::{Expectation, Hole};
use super::testing::{drawing, edges, expectation, job, path};
use super::verify_drawing;
use crate::geometry::Point;
use crate::job::{Corners, Job};

/// Middle of the hole, in mm.
const AT: (f64, f64) = (150.0, 60.0);

/// A part with a hole on layer DRILL, as large as the tool or larger.
fn bored(job: &Job, larger_mm: f64) -> Expectation<'_> {
    let mut e = expectation(job, Corners::Fillet);
    let radius_mm = e.machine.tool_radius().as_mm() + larger_mm;
    e.pieces[0].drilled.push(Hole { center: Point::new(AT.0, AT.1), radius_mm });
    e
}

/// The codes of a drawing of the part, or of the tool's path, with entities before its end and
/// tables before its entities.
fn told(e: &Expectation<'_>, as_path: bool, entities: &str, tables: &str) -> Vec<String> {
    let lines = if as_path { path(e) } else { edges(&e.pieces[0].part) };
    let text = drawing(&lines, "CUT", 1.0, 4)
        .replacen("0\nENDSEC\n0\nEOF", &format!("{entities}0\nENDSEC\n0\nEOF"), 1)
        .replacen("0\nSECTION\n2\nENTITIES", &format!("{tables}0\nSECTION\n2\nENTITIES"), 1);
    let verdict = verify_drawing(text.as_bytes(), "d.dxf", e).unwrap();
    verdict.findings.iter().map(|finding| finding.sentence()).collect()
}

/// A polyline through points beside the hole's middle, with their bulges.
fn polyline(closed: bool, around: &[(f64, f64, f64)]) -> String {
    let mut text = format!(
        "0\nLWPOLYLINE\n8\nDRILL\n90\n{}\n70\n{}\n",
        around.len(),
        if closed { 1 } else { 0 }
    );
    for (x, y, bulge) in around {
        text += &format!("10\n{}\n20\n{}\n42\n{bulge}\n", AT.0 + x, AT.1 + y);
    }
    text
}

#[test]
fn a_hole_is_a_circle_that_goes_once_round_and_closes() {
    let job = job();
    let e = bored(&job, 4.0);
    let r = e.pieces[0].drilled[0].radius_mm;
    let quarter = (std::f64::consts::PI / 8.0).tan();
    let circle = |r: f64| format!("0\nCIRCLE\n8\nDRILL\n10\n{}\n20\n{}\n40\n{r}\n", AT.0, AT.1);
    let arc = |from: f64, to: f64| {
        circle(r).replace("CIRCLE", "ARC") + &format!("50\n{from}\n51\n{to}\n")
    };
    for whole in [
        circle(r),
        arc(30.0, 390.0),
        circle(r + 0.012),
        polyline(true, &[(r, 0.0, 1.0), (-r, 0.0, 1.0)]),
        polyline(true, &[(r, 0.0, -1.0), (-r, 0.0, -1.0)]),
        polyline(false, &[(r, 0.0, 1.0), (-r, 0.0, 1.0), (r, 0.0, 0.0)]).replace("42\n0\n", ""),
        polyline(
            true,
            &[(r, 0.0, quarter), (0.0, r, quarter), (-r, 0.0, quarter), (0.0, -r, quarter)],
        ),
    ] {
        assert_eq!(told(&e, false, &whole, ""), [""; 0], "{whole}");
    }
    // Two bows of the hole's radius, the middle of the first in its place: a lens.
    let turned = 4.0 * 0.8_f64.atan();
    let (x, y) = (r * (turned / 2.0).cos(), r * (turned / 2.0).sin());
    let lens = polyline(true, &[(x, -y, 0.8), (x, y, 0.8)]);
    let beside =
        |by: f64| circle(r).replace(&format!("10\n{}\n", AT.0), &format!("10\n{}\n", AT.0 + by));
    let half_twice = [(r, 0.0, 1.0), (-r, 0.0, -1.0)];
    let quarters = [(r, 0.0, quarter), (0.0, r, -quarter), (r, 0.0, quarter), (0.0, r, -quarter)];
    let twice_round = [(r, 0.0, 1.0), (-r, 0.0, 1.0), (r, 0.0, 1.0), (-r, 0.0, 1.0)];
    for (what, none) in [
        ("half of it twice", polyline(true, &half_twice)),
        ("a quarter four times", polyline(true, &quarters)),
        ("twice round", polyline(true, &twice_round)),
        ("open", polyline(false, &[(r, 0.0, 1.0), (-r, 0.0, 0.95), (r, 1.0, 0.0)])),
        ("with a gap", arc(0.0, 359.0)),
        ("half", arc(0.0, 180.0)),
        ("two halves that are one", arc(0.0, 180.0) + &arc(0.0, 180.0)),
        ("no arc", arc(30.0, 30.0)),
        ("no circle", circle(0.0)),
        ("inside out", circle(-r)),
        ("a lens", lens),
        ("larger", circle(r + 0.02)),
        ("smaller", circle(r - 0.02)),
        ("beside it", beside(0.02)),
    ] {
        let told = told(&e, false, &none, "");
        assert!(told.iter().any(|said| said.contains("is not drawn")), "{what}: {told:?}");
    }
}

#[test]
fn only_a_plain_point_is_a_hole_as_wide_as_the_tool() {
    let job = job();
    let e = bored(&job, 0.0);
    let point = |more: &str| format!("0\nPOINT\n8\nDRILL\n10\n{}\n20\n{}\n{more}", AT.0, AT.1);
    assert_eq!(told(&e, true, &point("30\n0.0\n"), ""), [""; 0]);
    let line = point(&format!("11\n{}\n21\n{}\n", AT.0, AT.1)).replace("POINT", "LINE");
    for (what, other) in [
        ("that is invisible", point("60\n1\n")),
        ("off the plane", point("30\n50.0\n")),
        ("turned over", point("230\n-1.0\n")),
        ("turned over", point("210\n1.0\n230\n1.0\n")),
        ("says group 10 twice", point("10\n0\n")),
        ("says group 67 twice", point("67\n1\n67\n0\n")),
        ("no closed circle", line),
        ("no closed circle", polyline(true, &[(0.0, 0.0, 0.0), (0.0, 0.0, 0.0)])),
        ("without a radius", point("40\n0\n").replace("POINT", "CIRCLE")),
        ("is not drawn", point("67\n1\n")),
    ] {
        let told = told(&e, true, &other, "");
        assert!(told.iter().any(|said| said.contains(what)), "{what}: {told:?}");
    }
}

#[test]
fn no_entity_gets_past_what_is_looked_at_in_all_of_them() {
    let job = job();
    let e = expectation(&job, Corners::Fillet);
    for entity in [
        "LINE\n8\nCUT\n10\n0\n20\n0\n11\n5\n21\n0\n",
        "POINT\n8\nDRILL\n10\n0\n20\n0\n",
        "CIRCLE\n8\nDRILL\n10\n0\n20\n0\n40\n5\n",
        "ARC\n8\nCUT\n10\n0\n20\n0\n40\n5\n50\n0\n51\n90\n",
        "LWPOLYLINE\n8\nCUT\n70\n0\n10\n0\n20\n0\n10\n5\n20\n0\n",
        "POLYLINE\n8\nCUT\n70\n0\n0\nVERTEX\n8\nCUT\n10\n0\n20\n0\n",
    ] {
        for (more, what) in [
            ("60\n1\n", "that is invisible"),
            ("38\n1\n", "off the plane"),
            ("210\n1\n", "turned over"),
            ("230\n-1\n", "turned over"),
            ("8\nREF\n", "says group 8 twice"),
        ] {
            let told = told(&e, false, &format!("0\n{entity}{more}"), "");
            assert!(told.iter().any(|said| said.contains(what)), "{entity}{more}: {told:?}");
        }
    }
    // A vertex on paper is one that some readers leave out.
    let vertices = "0\nPOLYLINE\n8\nCUT\n70\n0\n0\nVERTEX\n8\nCUT\n67\n1\n10\n0\n20\n0\n";
    let said = told(&e, false, vertices, "");
    assert!(said.iter().any(|said| said.contains("POLYLINE on paper")), "{said:?}");
}

#[test]
fn a_closed_shape_in_the_part_is_refused_on_layers_for_people_too_and_an_open_one_is_not() {
    let job = job();
    let e = bored(&job, 4.0);
    let hole = &e.pieces[0].drilled[0];
    let bore = format!("0\nCIRCLE\n8\nDRILL\n10\n{}\n20\n{}\n40\n{}\n", AT.0, AT.1, hole.radius_mm);
    let refused = |entity: &str| {
        let said = told(&e, false, &format!("{bore}{entity}"), "");
        said.iter().any(|said| said.contains("REF") || said.contains("STOCK"))
    };
    for layer in ["REF", "STOCK"] {
        let circle = format!("0\nCIRCLE\n8\n{layer}\n10\n{}\n20\n{}\n40\n6\n", AT.0, AT.1);
        assert!(refused(&circle), "{layer}");
        let bar = format!(
            "0\nLINE\n8\n{layer}\n10\n{}\n20\n{}\n11\n{}\n21\n{}\n",
            AT.0,
            AT.1,
            AT.0 + 5.0,
            AT.1
        );
        assert!(!refused(&bar), "{layer}");
        // Round the whole part, as the stock is.
        let around = format!("0\nCIRCLE\n8\n{layer}\n10\n{}\n20\n{}\n40\n9000\n", AT.0, AT.1);
        assert!(!refused(&around), "{layer}");
    }
}

#[test]
fn every_layer_that_is_judged_has_to_be_seen() {
    let job = job();
    let e = bored(&job, 4.0);
    let hole = format!(
        "0\nCIRCLE\n8\nDrill\n10\n{}\n20\n{}\n40\n{}\n",
        AT.0, AT.1, e.pieces[0].drilled[0].radius_mm
    );
    let mark = "0\nLINE\n8\nMARK\n10\n-50\n20\n-50\n11\n-40\n21\n-50\n";
    let pocket = mark.replace("MARK", "POCKET");
    let note = mark.replace("MARK", "REF");
    let layer = |name: &str, more: &str| {
        format!(
            "0\nSECTION\n2\nTABLES\n0\nTABLE\n2\nLAYER\n0\nLAYER\n2\n{name}\n{more}0\nENDTAB\n0\nENDSEC\n"
        )
    };
    let hidden = |name: &str, more: &str| {
        let entities = [&*hole, mark, &*pocket, &*note].concat();
        let told = told(&e, false, &entities, &layer(name, more));
        told.into_iter().filter(|said| said.contains("off or frozen")).collect::<Vec<_>>()
    };
    for name in ["CUT", "cut", "DRILL", "MARK", "POCKET"] {
        assert_eq!(hidden(name, "70\n0\n62\n7\n"), [""; 0], "{name}");
        for more in ["70\n1\n62\n7\n", "70\n0\n62\n-7\n", "70\n65\n", "62\n7\n62\n-7\n"] {
            let told = hidden(name, more);
            assert!(told.len() == 1, "{name} {more}: {told:?}");
        }
    }
    // What is never cut may be off.
    assert_eq!(hidden("REF", "70\n1\n"), [""; 0]);
    let text = drawing(&edges(&e.pieces[0].part), "CUT", 1.0, 4).replacen(
        "0\nSECTION\n2\nENTITIES",
        &(layer("CUT", "70\nI\n") + "0\nSECTION\n2\nENTITIES"),
        1,
    );
    let error = verify_drawing(text.as_bytes(), "d.dxf", &e).unwrap_err().to_string();
    assert!(error.contains("no whole number"), "{error}");
}
