//! Single lines of programs and drawings: what each is taken for.

use super::dxf::read_drawing;
use super::expectation::{Expectation, Tabs};
use super::modal::{Modes, written};
use super::testing::{expectation, job, router_program, tabs};
use super::verify_program;
use crate::geometry::Segment;
use crate::job::Corners;
use crate::profile::ArcCentres;

/// The codes and sentences of a good program for a router with its first `from` made `to`.
fn told(from: &str, to: &str) -> Vec<(&'static str, String)> {
    let job = job();
    let plain = expectation(&job, Corners::Fillet);
    let e = Expectation { tabs: Tabs::Declared(tabs(&plain)), ..plain };
    let good = router_program(&e);
    assert!(good.contains(from), "{from:?} is not in the program:\n{good}");
    let verdict = verify_program(good.replacen(from, to, 1).as_bytes(), "p.nc", &e).unwrap();
    verdict.findings.iter().map(|found| (found.code.name(), found.sentence())).collect()
}

fn codes(from: &str, to: &str) -> Vec<&'static str> {
    told(from, to).into_iter().map(|(code, _)| code).collect()
}

#[test]
fn what_stands_after_the_end_is_called_what_it_is() {
    let after = |more: &str| {
        let told = told("M30\n", &format!("M30\n{more}"));
        assert!(told.iter().all(|(code, _)| *code == "after-end"), "{told:?}");
        told.into_iter().map(|(_, said)| said.contains("comment")).collect::<Vec<_>>()
    };
    assert_eq!((after("G0 X1.0000\n"), after("(and so on)\n")), (vec![false], vec![true]));
    assert_eq!(after("\n \n"), [false; 0]);
}

#[test]
fn a_rapid_along_one_axis_is_a_rapid_across() {
    for word in ["X61.0000", "Y21.0000", "X61.0000 Y21.0000"] {
        let low = format!("G0 X60.0000 Y20.0000\nZ0.1000\n{word}\nZ0.5000\nM5\n");
        assert_eq!(codes("M5\n", &low), ["rapid-low"], "{word}");
        assert_eq!(codes("M5\n", &low.replace("Z0.1000", "Z0.4990")), ["rapid-low"], "{word}");
        assert_eq!(codes("M5\n", &low.replace("Z0.1000", "Z0.5000")), [""; 0], "{word}");
    }
    assert_eq!(codes("M5\n", "G0 X60.0000 Y20.0000\nZ0.1000\nZ0.5000\nM5\n"), [""; 0]);
    // Nearer than sheets are flat, not even straight down.
    assert_eq!(codes("M5\n", "G0 X60.0000 Y20.0000\nZ0.0050\nZ0.5000\nM5\n"), ["rapid-low"]);
}

#[test]
fn a_cutter_that_goes_along_just_above_the_face_scratches_it() {
    let skim = |z: &str| {
        codes(
            "M5\n",
            &format!("G0 X10.0000 Y20.0000\nG1 Z{z} F48.0\nX40.0000 F96.0\nZ0.5000\nM5\n"),
        )
    };
    assert_eq!(skim("0.0000"), ["skims-face"]);
    assert_eq!(skim("0.0050"), ["skims-face"]);
    assert_eq!(skim("0.0100"), [""; 0]);
}

#[test]
fn the_first_rapid_goes_straight_up_to_the_safe_height() {
    assert_eq!(codes("G0 Z0.5000\n", "G0 Z0.6000\n"), [""; 0]);
    for first in ["G0 Z0.4000\n", "G0 X0.0000 Y0.0000 Z0.5000\n", "G0 Y0.0000 Z0.6000\n"] {
        let codes = codes("G0 Z0.5000\n", first);
        assert!(codes.contains(&"unknown-start"), "{first}: {codes:?}");
    }
}

#[test]
fn a_bulge_between_two_points_that_are_one_is_no_arc() {
    let read = |x: f64, bulge: f64| {
        let text = format!(
            "0\nSECTION\n2\nENTITIES\n0\nLWPOLYLINE\n8\nCUT\n70\n0\n10\n0\n20\n0\n42\n{bulge}\n10\n{x}\n20\n0\n0\nENDSEC\n0\nEOF\n"
        );
        let drawing = read_drawing(text.as_bytes(), "d.dxf").unwrap();
        drawing.figures[0].segments.clone()
    };
    let is_line = |segments: &[Segment]| matches!(segments, [Segment::Line { .. }]);
    assert!(is_line(&read(0.0, 1.0)) && is_line(&read(1e-8, 0.5)));
    assert!(is_line(&read(10.0, 0.0)) && is_line(&read(10.0, 1e-13)));
    assert!(!is_line(&read(10.0, 0.5)) && read(10.0, 3.0).len() == 2);
}

#[test]
fn words_are_told_as_they_are_written() {
    assert_eq!([written(400), written(911), written(0)], ["G40", "G91.1", "G0"]);
    assert!(told("G40\n", "")[0].1.contains("G40"));
    let mut machine = job().cut.machine;
    let mut mode = |centres: ArcCentres, says: bool| {
        (machine.words.arc_centres, machine.says_incremental_centres) = (centres, says);
        Modes::new(&machine).centre()
    };
    assert_eq!(
        (mode(ArcCentres::Absolute, false), mode(ArcCentres::Radius, true)),
        (Some(901), None)
    );
    let from_start = ArcCentres::FromStart;
    assert_eq!((mode(from_start, true), mode(from_start, false)), (Some(911), None));
}
