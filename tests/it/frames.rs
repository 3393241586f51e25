//! The frame beside a set: it goes round everything the programs reach, cuts nothing, and a changed
//! one is not taken.

use crate::common::{Stair, proven_text, set_of};
use seatcut::bundle::Bundle;
use seatcut::cam::plan::{FeedKind, Step, feed_mm_min};
use seatcut::geometry::Bounds;
use seatcut::output::dxf::DxfVersion;
use seatcut::output::frame::Frame;
use seatcut::pipeline::set::{Entry, Set};
use seatcut::profile::Park;
use seatcut::units::Length;
use seatcut::verify::{FrameTask, verify_frame};

fn set(makes: &str, machine: &str, material: &str, more: &str) -> Set {
    let cut = format!(
        "makes = \"{makes}\"\nmachine = \"{machine}\"\nmaterial = \"{material}\"\ncorners \
            = \"bisector\"\n{more}"
    );
    set_of(Stair { cut, ..Stair::default() }.job())
}

/// The text of the set's frame, once the whole set is proven.
fn frame(set: &Set) -> String {
    proven_text(set, "frame")
}

/// The greatest and the least number behind a letter.
fn range(text: &str, letter: char) -> (f64, f64) {
    let numbers = text.lines().filter(|line| !line.starts_with('(')).flat_map(|line| {
        line.split_whitespace().filter_map(|word| word.strip_prefix(letter)?.parse::<f64>().ok())
    });
    numbers.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), n| (low.min(n), high.max(n)))
}

#[test]
fn a_boards_frame_goes_beyond_the_board_where_its_program_does() {
    let set = set("stringers", "router-table", "board-2x12", "");
    let text = frame(&set);
    let (low, high) = range(&text, 'Y');
    assert!(low < -0.1 && high > 11.3, "{low} {high}");
    assert!(!text.contains("\nM3 ") && range(&text, 'Z').0 >= 2.0);
    assert!(text.contains("no clamp is taller than 1.75 in"));
    let program = &set.members[0].workup.planned.as_ref().unwrap().program;
    let own = program.extents().unwrap().plane;
    assert!((own.min.y / 25.4 - low).abs() < 1e-4 && (own.max.y / 25.4 - high).abs() < 1e-4);
}

#[test]
fn a_place_to_park_at_is_shown_by_the_way_there_and_not_gone_round() {
    let cut = "makes = \"pattern\"\nmachine = \"router-table\"\nmaterial = \"hardboard-6\"";
    let mut job = Stair { cut: cut.into(), ..Stair::default() }.job();
    let park = Park { x: Length::inches(95.0), y: Length::inches(47.0), z: None };
    job.cut.machine.park = Some(park);
    let set = set_of(job.clone());
    let program = &set.members[0].workup.planned.as_ref().unwrap().program;
    let frame = Frame::of(&[program], &job.cut.machine).unwrap();
    let cuts = program.steps.iter().filter_map(|step| match step {
        Step::Cut { segment, .. } => Some(segment.bounds()),
        _ => None,
    });
    let cuts = cuts.reduce(Bounds::joined).unwrap();
    assert!(frame.plane.max.x < park.x.as_mm() - 1.0, "{:?}", frame.plane);
    assert!((frame.plane.min - cuts.min).norm() < 1e-6, "{:?} {cuts:?}", frame.plane);
    assert!((frame.plane.max - cuts.max).norm() < 1e-6, "{:?} {cuts:?}", frame.plane);
}

#[test]
fn a_frame_clears_the_tallest_clamp() {
    let clamps = "clamps = [{ x = \"0 in\", y = \"44 in\", length = \"3 in\", width = \"3 in\", \
        height = \"2 in\" }]\n";
    let text = frame(&set("pattern", "router-table", "hardboard-6", clamps));
    assert!(range(&text, 'Z').0 >= 2.25, "{text}");
}

#[test]
fn where_a_clamps_height_is_not_known_or_not_cleared_there_is_no_frame() {
    let with = |height: &str| {
        let clamps = format!(
            "clamps = [{{ x = \"0 in\", y = \"44 in\", length = \"3 in\", width = \"3 in\"{height} \
            }}]\n"
        );
        let set = set("pattern", "router-table", "hardboard-6", &clamps);
        let bundle = Bundle::of(&set, DxfVersion::R2000).unwrap();
        bundle.artifacts().iter().any(|artifact| artifact.name.starts_with("frame"))
    };
    assert!(with(", height = \"2 in\""));
    assert!(!with("") && !with(", height = \"6 in\""));
}

#[test]
fn a_beams_frame_says_no_height_and_lights_nothing() {
    let text = frame(&set("pattern", "laser", "hardboard-3", "long = \"split\"\n"));
    assert!(!text.contains("\nM3") && !text.contains("\nM4") && !text.contains("\nG1 Z"));
    assert!(text.contains("Beam off"));
}

#[test]
fn a_beam_has_no_frame_where_a_clamp_stands_in_its_way() {
    let has_frame = |x: &str, y: &str| {
        let clamps = format!(
            "long = \"split\"\nclamps = [{{ x = \"{x}\", y = \"{y}\", length = \"1 in\", width \
                = \"1 \
            in\", height = \"1 in\" }}]\n"
        );
        let set = set("pattern", "laser", "hardboard-3", &clamps);
        let bundle = Bundle::of(&set, DxfVersion::R2000).unwrap();
        bundle.artifacts().iter().any(|artifact| artifact.name.starts_with("frame"))
    };
    // At the far corner, beyond all motion; and at the front edge, along which it would go.
    assert!(has_frame("47 in", "23 in"));
    assert!(!has_frame("10 in", "0 in"));
}

#[test]
fn each_machine_has_a_frame_of_its_own_whatever_its_name() {
    let job = |(i, safe): (usize, f64)| {
        let cut = "makes = \"pattern\"\nmachine = \"router-table\"\nmaterial \
            = \"hardboard-6\"\ncorners \
            = \"bisector\"\n";
        let mut job = Stair { cut: cut.to_string(), ..Stair::default() }.job();
        job.cut.machine.safe_height = Length::inches(safe);
        job.title = format!("Invented test stair {i}");
        Entry { job, times: 1 }
    };
    let frames = |safe: [f64; 2]| {
        let set = Set::of(safe.into_iter().enumerate().map(job).collect(), 0).unwrap();
        let bundle = Bundle::of(&set, DxfVersion::R2000).unwrap();
        let frames = bundle.artifacts().iter().filter(|of| of.name.starts_with("frame"));
        frames.map(|of| String::from_utf8(of.bytes.clone()).unwrap()).collect::<Vec<String>>()
    };
    let one = frames([0.5, 0.5]);
    assert!(one.len() == 1 && one[0].contains("box of all motion of this set"), "{one:?}");
    let two = frames([0.5, 0.75]);
    assert_eq!(two.len(), 2);
    let is_of_its_own = |text: &String| text.contains("box of all motion on this machine");
    assert!(two.iter().all(is_of_its_own) && !two[0].contains("this set"), "{two:?}");
}

#[test]
fn the_frame_of_a_set_up_says_that_it_goes_round_that_alone() {
    let set = set("pattern", "router-table-small", "hardboard-6", "long = \"index\"\n");
    assert!(!set.refused(), "{:?}", set.all_findings().collect::<Vec<_>>());
    let bundle = Bundle::of(&set, DxfVersion::R2000).unwrap();
    let frames = bundle.artifacts().iter().filter(|of| of.name.starts_with("frame"));
    let texts: Vec<_> = frames.map(|of| String::from_utf8_lossy(&of.bytes)).collect();
    assert!(texts.len() > 1, "{texts:?}");
    assert!(texts.iter().all(|text| text.contains("all motion in this set-up")), "{texts:?}");
}

#[test]
fn a_changed_frame_is_told_with_what_it_does() {
    let set = set("pattern", "router-table", "hardboard-6", "");
    let text = frame(&set);
    let workup = &set.members[0].workup;
    let machine = &workup.job.cut.machine;
    let programs: Vec<_> = workup.planned.as_ref().unwrap().programs().collect();
    let own = Frame::of(&programs, machine).unwrap();
    let task = FrameTask {
        plane: own.plane,
        clear_mm: own.z_mm(machine),
        home: own.home,
        home_z_mm: own.home_z_mm(machine),
        feed_mm_min: feed_mm_min(machine, FeedKind::Cut),
        standing: Vec::new(),
    };
    let told = |text: &str| {
        let found = verify_frame(text.as_bytes(), "frame.nc", machine, &task);
        found.unwrap().iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
    };
    assert_eq!(told(&text), "");
    let runs = told(&text.replacen("G0 Z", "M3 S12000\nG0 Z", 1));
    assert!(runs.contains("frame-off") && runs.contains("switches the tool"), "{runs}");
    let low = told(&text.replacen("G0 Z0.5", "G0 Z0.2", 1));
    assert!(low.contains("goes lower"), "{low}");
    let plunge = told(&text.replacen("G1 X", "G0 Z-0.25\nG0 Z0.5\nG1 X", 1));
    assert!(plunge.contains("goes lower"), "{plunge}");
    let away = told(&text.replacen("M30", "G0 X-20\nM30", 1));
    assert!(away.contains("goes beyond"), "{away}");
    let shifted = told(&text.replacen("G1 X", "G1 X1", 1));
    assert!(shifted.contains("does not go once round"), "{shifted}");
    let high = told(&text.replacen("G1 X", "G0 Z2\nG1 X", 1));
    assert!(high.contains("goes higher"), "{high}");
    let waits = told(&text.replacen("G1 X", "G4 P600\nG1 X", 1));
    assert!(waits.contains("stands still"), "{waits}");
    let feed = text.lines().find_map(|line| line.split_once(" F")).unwrap().1;
    let slow = told(&text.replacen(&format!(" F{feed}"), " F0.5", 1));
    assert!(slow.contains("at another feed"), "{slow}");
    // Across the diagonal, the box is the same and the sides are not shown.
    let corners: Vec<&str> = text.lines().filter(|line| line.starts_with("G1 ")).collect();
    let diagonal = told(&text.replacen(&format!("{}\n", corners[2]), "", 1));
    assert!(diagonal.contains("does not go once round"), "{diagonal}");
    let twice = told(&text.replacen("M30", "G0 X1 Y1\nG0 X0 Y0\nM30", 1));
    assert!(twice.contains("does not go once round"), "{twice}");
    let stands = FrameTask { standing: vec![own.plane], ..task.clone() };
    let met = verify_frame(text.as_bytes(), "frame.nc", machine, &stands).unwrap();
    assert!(met.iter().any(|finding| finding.to_string().contains("a clamp stands")));
}

/// Where the last rapid across leaves the tool.
fn ends_at(text: &str) -> &str {
    let across = text.lines().rfind(|line| line.starts_with("G0 X"));
    across.and_then(|line| line.strip_prefix("G0 ")).expect("it goes home")
}

#[test]
fn a_frame_ends_where_the_program_after_it_begins_beside_a_clamp_at_the_corner() {
    let clamps = "clamps = [{ x = \"0 in\", y = \"0 in\", length = \"4 in\", width = \"4 in\", \
        height = \"1 in\" }]\n";
    let set = set("pattern", "router-table", "hardboard-6", clamps);
    let (frame, program) = (frame(&set), proven_text(&set, "program"));
    assert_eq!(ends_at(&frame), ends_at(&program));
    assert_ne!(ends_at(&frame), "X0.0000 Y0.0000");
    let begun = program.lines().find(|line| line.contains("TOOL OVER")).unwrap();
    let place = ends_at(&frame).replace(['X', 'Y'], "");
    let [x, y] = place.split_once(' ').map(|(x, y)| [x, y]).unwrap();
    let said = |letter: char, of: &str| {
        let said = begun.split_once(&format!("{letter} ")).unwrap().1;
        let said: f64 = said.split([' ', ',']).next().unwrap().parse().unwrap();
        assert!((said - of.parse::<f64>().unwrap()).abs() < 6e-4, "{begun} {place}");
    };
    said('X', x);
    said('Y', y);
}
