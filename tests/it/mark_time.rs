//! The program of the pointed cutter: low from stroke to near stroke, its own feed, as much as the
//! job asks for, and only where the height of the top is known.

use crate::common::{Made, Stair, profile_with, tread};
use seatcut::cam::plan::{Program, Step};
use seatcut::pipeline::workup::Workup;
use seatcut::profile::Machine;

fn pattern(replacements: &[(&str, &str)], more: &str) -> Stair {
    Stair {
        rules: "us-osha".into(),
        rise: "total = \"21 in\"\nrisers = 3".into(),
        tread: tread("10 1/2 in", "1 in", "1 in", "3/4 in"),
        cut: format!(
            "makes = \"pattern\"\nmachine = \"./own.toml\"\nmaterial = \"hardboard-6\"\ncorners \
                = \"bisector\"\n{more}"
        ),
        files: vec![("./own.toml".into(), profile_with("machine", "router-table", replacements))],
        ..Stair::default()
    }
}

fn marks(stair: &Stair) -> Program {
    let planned = Workup::of(&stair.job()).planned.expect("a plan");
    planned.mark_program.expect("a program of marks")
}

const MARK: &str = "mark = { width = \"1/32 in\", depth = \"0.02 in\" }";

fn lifted(lift: &str) -> [(&'static str, String); 1] {
    [(MARK, format!("mark = {{ width = \"1/32 in\", depth = \"0.02 in\", lift = \"{lift}\" }}"))]
}

fn with_lift(lift: &str, more: &str) -> Stair {
    let lifted = lifted(lift);
    pattern(&[(lifted[0].0, &lifted[0].1)], more)
}

#[test]
fn low_lifts_take_far_less_time_than_lifts_to_the_safe_height() {
    // Lifted to half an inch, which is the safe height, every time.
    let (high, low) = (marks(&with_lift("1/2 in", "")), marks(&pattern(&[], "")));
    assert!(low.time_s * 1.6 <= high.time_s, "{} s, {} s", low.time_s, high.time_s);
    let count = |program: &Program| program.marking.as_ref().unwrap().strokes.len();
    assert!(count(&low).abs_diff(count(&high)) <= 10, "{} {}", count(&low), count(&high));
}

#[test]
fn the_cutter_stays_low_only_on_short_ways_and_where_no_clamp_is() {
    let clamp = "clamps = [{ x = \"4 in\", y = \"1 in\", length = \"3 in\", width = \"3 in\", \
        height = \"2 in\" }]";
    for more in ["", clamp] {
        let program = marks(&pattern(&[], more));
        let (mut at, mut z, mut hops) = (None::<seatcut::geometry::Point>, 12.7, 0);
        for step in &program.steps {
            match step {
                Step::RapidZ(to) | Step::FeedZ(to) => z = *to,
                Step::RapidXy(to) => {
                    if z < 12.0 {
                        hops += 1;
                        let from = at.expect("a first rapid is a high one");
                        assert!((to - from).norm() <= 50.0 && (z - 1.0).abs() < 1e-9, "{z}");
                        for clamp in &program.clamps {
                            let off = clamp.place.distance(from).min(clamp.place.distance(*to));
                            assert!(off > 3.0, "{off}");
                        }
                    }
                    at = Some(*to);
                }
                Step::Cut { segment, to_z, .. } => (at, z) = (Some(segment.to()), *to_z),
                _ => {}
            }
        }
        assert!(hops > 50, "{hops}");
    }
}

#[test]
fn a_low_rapid_on_a_long_way_or_lower_than_the_lift_is_refused() {
    let made = Made::of(&pattern(&[], ""));
    let good = made.program("program-1.nc");
    assert_eq!(made.verify(&good).0, 0, "{}", made.verify(&good).1);
    let (code, said) = made.verify(&good.replace("G0 Z0.0394", "G0 Z0.0300"));
    assert!(code == 6 && said.contains("rapid-low"), "{said}");
    // The last way home: low all of a sudden.
    let end = good.rfind("G0 Z0.5000").unwrap();
    let low = format!("{}G0 Z0.0394{}", &good[..end], &good[end + "G0 Z0.5000".len()..]);
    let (code, said) = made.verify(&low);
    assert!(code == 6 && said.contains("rapid-low"), "{said}");
}

#[test]
fn the_pointed_cutter_has_a_feed_and_an_angle_of_its_own() {
    let own =
        "mark = { width = \"1/32 in\", depth = \"0.02 in\", angle = 76, feed = \"60 in/min\" }";
    let made = Made::of(&pattern(&[(MARK, own)], ""));
    let text = made.program("program-1.nc");
    assert!(text.contains("(Pointed cutter of 76 degrees, stroke width 0.0313 in"), "{text}");
    assert!(text.contains("(Feed 60,") && text.contains(" F60.0"), "{text}");
    assert_eq!(made.verify(&text).0, 0, "{}", made.verify(&text).1);
    let (code, said) = made.verify(&text.replacen(" F60.0", " F90.0", 1));
    assert!(code == 6 && said.contains("feed-fast"), "{said}");
    for (mark, key) in [
        ("mark = { width = \"1/32 in\", depth = \"0.02 in\", angle = 30 }", "router.mark.angle"),
        ("mark = { width = \"1/32 in\", depth = \"0.02 in\", angle = 5 }", "router.mark.angle"),
        (
            "mark = { width = \"1/32 in\", depth = \"0.02 in\", feed = \"0.1 in/min\" }",
            "router.mark.feed",
        ),
        (
            "mark = { width = \"1/32 in\", depth = \"0.02 in\", lift = \"0.2 mm\" }",
            "router.mark.lift",
        ),
        (
            "mark = { width = \"1/32 in\", depth = \"0.02 in\", lift = \"26 mm\" }",
            "router.mark.lift",
        ),
    ] {
        let text = profile_with("machine", "router-table", &[(MARK, mark)]);
        let said = Machine::read("own", "own.toml", &text).expect_err(mark).to_string();
        assert!(said.contains(key), "{mark}: {said}");
    }
}

#[test]
fn as_much_is_marked_as_the_job_asks_for() {
    let strokes = |more: &str| marks(&pattern(&[], more)).marking.unwrap().strokes.len();
    let (full, short) = (strokes(""), strokes("marks = \"short\""));
    assert!(short < full && short > 20, "{short} of {full}");
    let made = Made::of(&pattern(&[], "marks = \"none\""));
    let text = made.program("program.nc");
    assert!(!text.contains("MARKS") && text.contains("HANGING HOLE"), "{text}");
    assert_eq!(made.verify(&text).0, 0, "{}", made.verify(&text).1);
    assert_eq!(strokes("marks = \"full\""), full);
    let said = pattern(&[], "marks = \"some\"").try_job().unwrap_err().to_string();
    assert!(said.contains("marks") && said.contains("short"), "{said}");
    for (material, marks, words) in [
        ("board-2x12", "short", "number alone"),
        ("plywood-18", "full", "number alone"),
        ("board-2x12", "number", "out of a sheet"),
    ] {
        let cut = format!(
            "makes = \"stringers\"\nmachine = \"router-table\"\nmaterial = \"{material}\"\nmarks \
                = \"{marks}\""
        );
        let said = Stair { cut, ..Stair::default() }.try_job().unwrap_err().to_string();
        assert!(said.contains("cut.marks") && said.contains(words), "{said}");
    }
    let pattern = pattern(&[], "marks = \"number\"").try_job().unwrap_err().to_string();
    assert!(pattern.contains("is for stringers"), "{pattern}");
}

#[test]
fn marks_from_the_bed_up_want_a_measured_thickness() {
    let bed: &[(&str, &str)] = &[("z_zero = \"stock-top\"", "z_zero = \"bed\"")];
    let codes = |more: &str| {
        let findings = Workup::of(&pattern(bed, more).job()).findings;
        let refused = findings.iter().filter(|found| found.refuses());
        refused.map(|found| found.code.name()).collect::<Vec<_>>()
    };
    assert_eq!(codes(""), ["mark-unmeasured"]);
    assert_eq!(codes("marks = \"none\""), Vec::<&str>::new());
    assert_eq!(codes("thickness = \"6.1 mm\""), Vec::<&str>::new());
    // As deep below the top as everywhere: 6.1 mm is 0.2402 in, less 0.02 in.
    let made = Made::of(&pattern(bed, "thickness = \"6.1 mm\""));
    assert!(
        made.program("program-1.nc").contains("G1 Z0.2202"),
        "{}",
        made.program("program-1.nc")
    );
}

/// Stringers that share sheets, each with its number.
fn numbered(machine: &str) -> Stair {
    Stair {
        board: "width = \"11 1/4 in\"\nthickness = \"1/4 in\"".into(),
        cut: format!(
            "makes = \"stringers\"\nmachine = \"{machine}\"\nmaterial = \"hardboard-6\"\nquantity \
            = 5\nmarks = \"number\""
        ),
        ..pattern(&[], "")
    }
}

#[test]
fn stringers_are_numbered_as_on_the_picture_of_their_sheet_and_proven() {
    for machine in ["router-table", "laser"] {
        let set = crate::common::set_of(numbered(machine).job());
        let mut strokes: Vec<Vec<Vec<seatcut::geometry::Point>>> = Vec::new();
        for (i, piece) in set.sheets[0].programs.cut.pieces.iter().enumerate() {
            let number = (i + 1).to_string();
            let drawn = seatcut::geometry::stroke_font::strokes(&number, 1.0).unwrap().len();
            assert!(piece.strokes.len() > drawn, "its number, and its title: {:?}", piece.strokes);
            assert!(!strokes.contains(&piece.strokes), "two of one number");
            strokes.push(piece.strokes.clone());
        }
        assert!(strokes.len() > 1);
        crate::common::proven_text(&set, "program");
    }
    let made = Made::of(&numbered("router-table"));
    let good = made.program("program-1.nc");
    assert_eq!(made.verify(&good).0, 0, "{}", made.verify(&good).1);
    // One stroke elsewhere.
    let at = good.rfind("G0 X").unwrap();
    let end = at + good[at..].find('\n').unwrap();
    let before = good[..at].rfind("G0 X").unwrap();
    let line_end = before + good[before..].find('\n').unwrap();
    let x = good[before..line_end].to_string();
    let moved = good.replacen(&x, &x.replacen("G0 X", "G0 X1", 1), 1);
    assert!(moved != good && end > at);
    assert_eq!(made.verify(&moved).0, 6);
}
