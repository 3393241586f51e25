//! Where the tool comes from, what a stop leaves turning, and words whose effect nobody wrote out.

use super::testing::*;
use super::*;
use crate::geometry::{Bounds, Point};
use crate::job::Corners;

fn told(text: &str, e: &Expectation<'_>) -> Vec<&'static str> {
    codes(&verdict(text, e).findings)
}

/// No code at all.
const NOTHING: [&str; 0] = [];

/// The first rapid across of a program, and where it goes, in the program's unit.
fn first_across(text: &str) -> (&str, [f64; 2]) {
    let line = text.lines().find(|line| line.starts_with("G0 X")).unwrap();
    let number = |letter: char| {
        let word = line.split(' ').find_map(|word| word.strip_prefix(letter)).unwrap();
        word.parse::<f64>().unwrap()
    };
    (line, [number('X'), number('Y')])
}

#[test]
fn the_first_way_across_begins_where_a_comment_says_and_nowhere_else() {
    let job = job();
    let mut e = tied(expectation(&job, Corners::Fillet));
    let text = router_program(&e);
    let (line, [x, y]) = first_across(&text);
    // A clamp half the way from X0 Y0, so high that nothing passes over it.
    let middle = Point::new(x, y) * (25.4 / 2.0);
    let place = Bounds { min: middle, max: middle }.grown(3.0);
    e.clamps = vec![Clamp { place, pad: place, height_mm: None }];
    let over = |place: &str| text.replacen(line, &format!("(TOOL OVER {place})\n{line}"), 1);
    assert_eq!(told(&text, &e), ["first-way-unsaid"]);
    assert_eq!(told(&over("X 0 Y 0, CLEAR OF THE CLAMPS"), &e), ["clamp-hit"]);
    assert_eq!(told(&over(&format!("X {x} Y {y}")), &e), NOTHING);
    assert_eq!(told(&over("THE STOCK"), &e), ["first-way-unsaid"]);
    // Of two places the operator may read either.
    let clear = format!("X {x} Y {y}");
    for both in [["X 0 Y 0", &clear], [&clear, "X 0 Y 0"]] {
        let said = both.map(|place| format!("(TOOL OVER {place})\n")).concat();
        let two = text.replacen(line, &format!("{said}{line}"), 1);
        assert_eq!(told(&two, &e), ["clamp-hit"], "{both:?}");
    }
    let many: String = (0..40).map(|i| format!("(TOOL OVER X {x} Y {}.{i})\n", y)).collect();
    assert!(
        told(&text.replacen(line, &format!("{many}{line}"), 1), &e).contains(&"first-way-unsaid")
    );
    // What is said once the tool has moved is no beginning.
    let late = text.replacen(line, &format!("{line}\n(TOOL OVER X {x} Y {y})"), 1);
    assert_eq!(told(&late, &e), ["first-way-unsaid"]);
    e.clamps[0].height_mm = Some(1.0);
    assert_eq!(told(&text, &e), NOTHING, "it passes over");
    e.clamps.clear();
    e.clamp_zone = Some(place);
    assert_eq!(told(&text, &e), ["first-way-unsaid"]);
    assert_eq!(told(&over("X 0 Y 0"), &e), ["clamp-zone-hit"]);
}

#[test]
fn an_arc_whose_ends_print_as_one_point_is_refused_and_a_full_circle_is_not() {
    let job = job();
    let e = tied(expectation(&job, Corners::Fillet));
    let text = router_program(&e);
    let at = |lines: &str| text.replacen("M5\n", &format!("G0 X5.0000 Y5.0000\n{lines}M5\n"), 1);
    let short = "G3 X5.00008 Y5.0000 I1.0000 J1.0000 F20.0\n";
    assert!(told(&at(short), &e).contains(&"arc-short"));
    for fair in ["G2 X5.0000 Y5.0000 I1.0000 J1.0000 F20.0\n", "G1 X5.00008 Y5.0000 F20.0\n"] {
        assert!(!told(&at(fair), &e).contains(&"arc-short"), "{fair}");
    }
}

#[test]
fn a_stop_finds_the_spindle_still_and_it_never_turns_the_other_way() {
    let job = job();
    let e = tied(expectation(&job, Corners::Fillet));
    let text = router_program(&e);
    assert!(text.contains("M5\n"));
    let before_end = |lines: &str| told(&text.replacen("M5\n", lines, 1), &e);
    assert_eq!(before_end("M0\nM5\n"), ["stop-turning"]);
    assert_eq!(before_end("M5\nM0\n"), NOTHING);
    assert_eq!(before_end("M4\nM5\n"), ["spindle-reversed"]);
    // In the wood S0 is as good as M5, and so is what starts it again.
    let inside = text.lines().rfind(|line| line.starts_with("G1 X")).unwrap();
    let with = |lines: &str| text.replacen(inside, &format!("{inside}\n{lines}"), 1);
    assert!(told(&with("S0"), &e).contains(&"tool-switched-in-material"));
    let speed = e.machine.tool.cutter().unwrap().speed_rpm;
    let twice = with(&format!("S0\nS{speed}"));
    let switched = verdict(&twice, &e).findings;
    let count = switched.iter().filter(|f| f.code.name() == "tool-switched-in-material").count();
    assert_eq!(count, 2);
    assert!(!told(&with(&format!("S{speed}")), &e).contains(&"tool-switched-in-material"));
}

#[test]
fn a_chip_that_is_no_chip_is_told_whether_feed_or_speed_makes_it() {
    let job = job();
    let e = tied(expectation(&job, Corners::Fillet));
    let text = router_program(&e);
    let router = e.machine.tool.cutter().unwrap();
    let feed = e.machine.tool.feed_mm_min() / 25.4;
    let cutting = format!("F{feed:.1}");
    assert!(text.contains(&cutting), "{text}");
    let slow = |share: f64| text.replace(&cutting, &format!("F{:.1}", feed * share));
    assert!(!told(&slow(0.07), &e).contains(&"feed-slow"));
    assert!(told(&slow(0.04), &e).contains(&"feed-slow"));
    let speed = format!("S{}", router.speed_rpm);
    let faster = |text: &str| text.replace(&speed, &format!("S{}", router.speed_rpm * 1.3));
    if router.max_speed_rpm >= router.speed_rpm * 1.3 {
        assert!(!told(&slow(0.06), &e).contains(&"feed-slow"));
        assert!(told(&faster(&slow(0.06)), &e).contains(&"feed-slow"));
    }
}

#[test]
fn a_beam_that_is_lit_where_the_head_happens_to_stand_is_told() {
    let job = job_on("laser");
    let e = expectation(&job, Corners::Fillet);
    let text = laser_program(&e);
    assert_eq!(told(&text, &e), NOTHING);
    let (line, _) = first_across(&text);
    let lit = text.replacen(line, &format!("S100\n{line}"), 1);
    assert!(told(&lit, &e).contains(&"pierce-on-part"), "{lit}");
}

#[test]
fn what_hides_behind_a_semicolon_in_parentheses_is_refused() {
    let job = job();
    let e = tied(expectation(&job, Corners::Fillet));
    let text = router_program(&e);
    let (line, _) = first_across(&text);
    let [first, second] = [0, 1].map(|i| line.split(" Y").nth(i).unwrap());
    let hidden = text.replacen(line, &format!("{first} (a; b) Y{second}"), 1);
    assert!(told(&hidden, &e).contains(&"comment-active"));
}

#[test]
fn line_ends_and_numbers_are_those_of_the_profile() {
    let mut job = job();
    job.cut.machine.words.line_ends = crate::profile::LineEnds::CrLf;
    job.cut.machine.words.line_step = Some(10);
    let e = tied(expectation(&job, Corners::Fillet));
    let text = router_program(&e);
    assert_eq!(told(&text, &e), ["line-ends-differ", "line-unnumbered"]);
    let crlf = text.replace('\n', "\r\n");
    assert_eq!(told(&crlf, &e), ["line-unnumbered"]);
    let numbered: String = crlf
        .split_inclusive('\n')
        .enumerate()
        .map(|(i, line)| format!("N{} {line}", 10 * (i + 1)))
        .collect();
    assert_eq!(told(&numbered, &e), NOTHING);
}

#[test]
fn a_first_line_that_says_one_axis_only_begins_where_the_comment_says_of_the_other() {
    let job = job();
    let mut e = tied(expectation(&job, Corners::Fillet));
    let text = router_program(&e);
    let (line, [x, y]) = first_across(&text);
    let place = Bounds { min: Point::new(-60.0, 20.0), max: Point::new(-40.0, 40.0) };
    e.clamps = vec![Clamp { place, pad: e.stock.bounds(), height_mm: None }];
    let with = |lines: &str| told(&text.replacen(line, lines, 1), &e);
    let over = format!("(TOOL OVER X {x} Y {y})\n");
    assert_eq!(with(&format!("{over}{line}")), NOTHING);
    // Off to the side of the stock and along through the clamp, one axis after the other.
    let detour = "G0 X-2.0000\nG0 Y0.0000\n";
    assert_eq!(with(&format!("{over}{detour}{line}")), ["clamp-hit"; 2], "there and back");
    assert_eq!(with(&format!("{detour}{line}")), ["clamp-hit", "first-way-unsaid"]);
    // Of two places that one line says, either counts.
    let both = format!("{} (TOOL OVER X -3.0 Y 1.2)\n{line}", over.trim_end());
    assert_eq!(with(&both), ["clamp-hit"]);
}

#[test]
fn a_rapid_may_come_anywhere_in_the_rectangle_between_its_ends() {
    let job = job();
    let mut e = tied(expectation(&job, Corners::Fillet));
    let text = router_program(&e);
    let (line, [x, y]) = first_across(&text);
    let end = Point::new(x, y) * 25.4;
    // Far off the straight way, and in the corner of the rectangle.
    let corner = Bounds { min: end, max: end }.grown(2.0);
    let by = |dx: f64, dy: f64| {
        let by = crate::geometry::Vector::new(dx, dy);
        Bounds { min: corner.min + by, max: corner.max + by }
    };
    let begun = |from: Point, what: &str| {
        let from = from / 25.4;
        let start = format!("(TOOL OVER X {:.4} Y {:.4})\n", from.x, from.y);
        text.replacen(line, &format!("{start}{}", line.replacen("G0", what, 1)), 1)
    };
    let from = Point::new(end.x - 60.0, end.y - 40.0);
    let place = by(-50.0, -8.0);
    e.clamps = vec![Clamp { place, pad: e.stock.bounds(), height_mm: None }];
    assert_eq!(told(&begun(from, "G0"), &e), ["clamp-hit"]);
    // At a feed it goes straight.
    assert_eq!(told(&begun(from, "F60.0 G1"), &e), NOTHING);
    // Along an axis there is one way only.
    let level = Point::new(end.x - 60.0, end.y);
    assert_eq!(told(&begun(level, "G0"), &e), NOTHING);
}

#[test]
fn a_switch_beside_a_move_is_refused_where_its_order_matters() {
    let job = job();
    let e = tied(expectation(&job, Corners::Fillet));
    let text = router_program(&e);
    let inside = text.lines().rfind(|line| line.starts_with("G1 X")).unwrap();
    let out = |word: &str| text.replacen(inside, &format!("{inside} {word}"), 1);
    assert!(told(&out("M5"), &e).contains(&"tool-switched-in-material"));
    // A plunge that also starts the spindle.
    let plunge = text.lines().find(|line| line.starts_with("G1") && line.contains("Z-"));
    let plunge = plunge.unwrap();
    let started = text.replacen("M3 ", "", 1).replacen(plunge, &format!("M3 {plunge}"), 1);
    assert!(told(&started, &e).contains(&"tool-switched-in-material"), "{started}");
    // Over the stock either order will do.
    let home = text.lines().rfind(|line| line.starts_with("G0 X")).unwrap();
    assert!(
        !told(&text.replacen(home, &format!("{home} M5"), 1), &e)
            .contains(&"tool-switched-in-material")
    );
    let job = job_on("laser");
    let e = expectation(&job, Corners::Fillet);
    let text = laser_program(&e);
    let last = text.lines().rfind(|line| line.starts_with("G1 X")).unwrap();
    for beside in [format!("{last} M5"), format!("M5 {last}"), format!("M4 {last}")] {
        let beside = text.replacen(last, &beside, 1);
        assert!(told(&beside, &e).contains(&"switch-on-the-way"), "{beside}");
    }
}

#[test]
fn an_arc_says_where_it_ends_and_a_control_of_two_minds_is_told_where_centres_lie() {
    let mut job = job();
    job.cut.machine.says_incremental_centres = true;
    let e = tied(expectation(&job, Corners::Fillet));
    let text = router_program(&e).replacen("G90\n", "G90\nG91.1\n", 1);
    let arc = "G3 X5.0000 Y5.0000 I1.0000 J1.0000 F20.0\n";
    let at = |arc: &str| text.replacen("M5\n", &format!("G0 X5.0000 Y5.0000\n{arc}M5\n"), 1);
    let odd = |text: &str| {
        let told = told(text, &e);
        (told.contains(&"arc-end-missing"), told.contains(&"mode-not-said"))
    };
    assert_eq!(odd(&at(arc)), (false, false));
    assert_eq!(odd(&at(&arc.replace(" X5.0000 Y5.0000", ""))), (true, false));
    assert_eq!(odd(&at(&arc.replace(" Y5.0000", ""))), (false, false));
    assert_eq!(odd(&at(arc).replacen("G91.1\n", "", 1)), (false, true));
}
