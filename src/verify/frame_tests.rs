//! A frame of a hand-made task: the good one passes, everything that it is not is called.

use super::testing::job;
use super::{FrameTask, verify_frame};
use crate::geometry::{Bounds, Point};

const FRAME: &str = "G20\nG17\nG40\nG49\nG54\nG80\nG90\nG94\nM5\nG0 Z2.0000\nG0 X4.0000 Y2.0000\n\
    G1 X20.0000 F100.0\nY10.0000\nX4.0000\nY2.0000\nG0 X0.0000 Y0.0000\nG0 Z4.0000\nM30\n";

fn inches(x: f64, y: f64) -> Point {
    Point::new(x * 25.4, y * 25.4)
}

fn task() -> FrameTask {
    FrameTask {
        plane: Bounds { min: inches(4.0, 2.0), max: inches(20.0, 10.0) },
        clear_mm: Some(2.0 * 25.4),
        home: Point::origin(),
        home_z_mm: Some(4.0 * 25.4),
        feed_mm_min: 2540.0,
        standing: vec![Bounds { min: inches(8.0, 4.0), max: inches(9.0, 5.0) }],
    }
}

/// What is told of the frame with its first `from` made `to`, each fault by its words.
fn told(task: &FrameTask, from: &str, to: &str) -> Vec<String> {
    assert!(FRAME.contains(from), "{from:?}");
    let text = FRAME.replacen(from, to, 1);
    let job = job();
    let found = verify_frame(text.as_bytes(), "frame.nc", &job.cut.machine, task).unwrap();
    let faults = found.iter().filter(|finding| finding.code.name() == "frame-off");
    faults.map(|finding| finding.sentence()).collect()
}

#[test]
fn a_frame_goes_once_round_and_home_and_does_nothing_else() {
    let none: [&str; 0] = [];
    assert_eq!(told(&task(), "G20\n", "G20\n"), none);
    for (from, to) in [
        // Within what printed digits are off.
        ("X20.0000", "X20.0004"),
        ("G0 Z2.0000", "G0 Z2.0004"),
        ("F100.0", "F100.1"),
        // Where it comes from is not known, and a second time is no way.
        ("Y10.0000\n", "Y10.0000\nX20.0000\n"),
        ("G0 Z2.0000\n", "G0 Z2.0000\nM5\n"),
    ] {
        assert_eq!(told(&task(), from, to), none, "{from} {to}");
    }
    for (from, to, words) in [
        ("M5\n", "", "before M5"),
        ("M5\nG0 Z2.0000\n", "G0 Z2.0000\nM5\n", "before M5"),
        ("G0 Z2.0000\n", "G0 Z2.0000\nM3 S16000\n", "switches the tool"),
        ("G0 Z2.0000\n", "G0 Z2.0000\nM4 S16000\n", "switches the tool"),
        ("G0 Z2.0000\n", "G0 Z2.0000\nG4 P1\n", "stands still"),
        ("G0 Z2.0000\n", "G0 Z2.0000\nM0\n", "stands still"),
        ("G0 Z2.0000\n", "", "lower"),
        ("G0 Z2.0000", "G0 Z1.9990", "lower"),
        ("G0 Z2.0000", "G0 Z-0.1000", "lower"),
        ("Y10.0000\n", "Y10.0000 Z1.9000\n", "lower"),
        ("Y10.0000\n", "Z1.9000\nY10.0000\nZ2.0000\n", "lower"),
        ("G0 Z2.0000", "G0 Z2.0010", "higher"),
        ("Y10.0000\n", "Y10.0000 Z2.1000\nZ2.0000\n", "higher"),
        ("F100.0", "F101.0", "another feed"),
        ("F100.0", "F99.0", "another feed"),
        ("X20.0000", "X20.0010", "beyond"),
        ("Y10.0000", "Y10.0010", "beyond"),
        ("X4.0000 Y2.0000\n", "X3.9990 Y2.0000\n", "beyond"),
        ("Y10.0000\n", "Y10.0000\nX8.5000 Y4.5000\nX20.0000 Y10.0000\n", "clamp"),
    ] {
        let told = told(&task(), from, to);
        assert!(told.iter().any(|said| said.contains(words)), "{from} {to}: {told:?}");
    }
    let touching = Bounds { min: inches(20.0, 5.0), max: inches(21.0, 6.0) };
    let off = Bounds { min: inches(20.001, 5.0), max: inches(21.0, 6.0) };
    let met = |place: Bounds| told(&FrameTask { standing: vec![place], ..task() }, "G20", "G20");
    assert_eq!((met(touching).len(), met(off).len()), (1, 0));
}

#[test]
fn a_way_that_is_not_just_once_round_is_no_frame() {
    for (from, to) in [
        ("X20.0000", "X19.9990"),
        ("Y10.0000", "Y9.9990"),
        ("X4.0000 Y2.0000\n", "X4.0010 Y2.0000\n"),
        ("Y10.0000\n", "Y10.0000\nY2.0000\nY10.0000\n"),
        ("Y10.0000\nX4.0000\n", "Y10.0000\nX12.0000\nX4.0000\n"),
        ("Y10.0000\nX4.0000\nY2.0000\n", ""),
        (
            "X20.0000 F100.0\nY10.0000\nX4.0000\nY2.0000",
            "Y10.0000 F100.0\nX20.0000\nY2.0000\nX4.0000",
        ),
        ("G1 X20.0000 F100.0\nY10.0000", "G0 X20.0000\nG1 Y10.0000 F100.0"),
        ("Y2.0000\nG0 X0.0000 Y0.0000", "Y2.0000\nG1 X0.0000 Y0.0000"),
        ("Y2.0000\nG0 X0.0000 Y0.0000", "Y2.0000\nG0 X0.0000 Y0.0010"),
        ("G0 X0.0000 Y0.0000\n", ""),
        ("G0 X0.0000 Y0.0000\n", "G0 X0.0000 Y0.0000\nG0 X1.0000\nX0.0000\n"),
        ("G0 X4.0000 Y2.0000\n", ""),
        ("G0 X4.0000 Y2.0000\n", "G1 X4.0000 Y2.0000 F100.0\n"),
        ("X20.0000 F100.0\nY10.0000", "X20.0000 F100.0\nG3 Y10.0000 I0.0000 J4.0000\nG1 X20.0000"),
        ("G0 Z4.0000\n", ""),
        ("G0 Z4.0000\n", "G0 Z3.9990\n"),
        ("G0 Z4.0000\n", "G0 Z4.0010\n"),
        ("G0 Z4.0000\n", "G0 Z4.0000\nG0 Z2.0000\n"),
        ("G0 Z4.0000\n", "G1 Z4.0000\n"),
    ] {
        assert!(!told(&task(), from, to).is_empty(), "{from} {to}");
    }
    // One that is to keep its height.
    let keeps = FrameTask { home_z_mm: None, ..task() };
    assert!(told(&keeps, "G0 Z4.0000\n", "").is_empty());
    assert!(!told(&keeps, "G20", "G20").is_empty());
    // Home where it is already: no way there.
    let home = FrameTask { home: inches(4.0, 2.0), ..task() };
    assert!(told(&home, "G0 X0.0000 Y0.0000\n", "").is_empty());
    assert!(!told(&home, "G20", "G20").is_empty());
}
