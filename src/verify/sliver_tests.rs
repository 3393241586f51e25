//! Programs in moves of a printed digit's length: what each of them may, all of them together may
//! not.

use super::levels::Levels;
use super::testing::*;
use super::*;
use crate::geometry::Segment;
use crate::job::Corners;

/// A good program with these moves where its first pass sets out, on the first edge, at the depth
/// of that pass; each is told by inches along the edge, and by inches below that depth.
fn with_moves(e: &Expectation<'_>, moves: &[(f64, f64, f64)]) -> String {
    let text = router_program(e);
    let (edge, levels) = (placed_path(e)[0], Levels::new(e));
    let feed = format!("F{:.1}\n", e.machine.tool.feed_mm_min() / 25.4);
    let (before, after) = text.split_once(&feed).expect("the first pass sets out at the feed");
    let depth = f64::midpoint(levels.top, levels.floor) / 25.4;
    let word = |(along, below, feed): &(f64, f64, f64)| {
        let p = edge.point_at(along * 25.4 / edge.length());
        let (x, y) = (p.x / 25.4, p.y / 25.4);
        format!("G1 X{x:.4} Y{y:.4} Z{:.4} F{feed:.1}\n", depth - below)
    };
    let moves: String = moves.iter().map(word).collect();
    format!("{before}{moves}{feed}{after}")
}

fn told(e: &Expectation<'_>, moves: &[(f64, f64, f64)]) -> Vec<&'static str> {
    let text = with_moves(e, moves);
    let verdict = verify_program(text.as_bytes(), "p.nc", e).unwrap();
    let mut codes: Vec<_> = verdict.findings.iter().map(|finding| finding.code.name()).collect();
    codes.dedup();
    codes
}

/// Back to the start of the edge, at the depth of the pass.
const BACK: [(f64, f64, f64); 1] = [(0.0, 0.0, 96.0)];

#[test]
fn a_slot_of_full_depth_in_slivers_is_a_pass_too_deep() {
    let job = job();
    let e = tied(expectation(&job, Corners::Bisector));
    assert!(matches!(placed_path(&e)[0], Segment::Line { .. }));
    let levels = Levels::new(&e);
    let below = (levels.top - levels.floor) / 2.0 / 25.4;
    let pass = e.machine.tool.cutter().unwrap().pass_depth.as_inches();
    assert!(2.0 * below > pass, "one pass does not reach through");
    // Down at 3 degrees first, so that only the slot is at fault, beyond what the ramp has cut.
    let ramp = below / 3.0_f64.to_radians().tan();
    for sliver in [0.0007, 0.003, 0.02, 1.0] {
        let steps = (2.0 / sliver) as usize;
        let slot = (1..=steps).map(|i| (ramp + sliver * i as f64, below, 96.0));
        let moves: Vec<_> = [(ramp, below, 48.0)].into_iter().chain(slot).chain(BACK).collect();
        let codes = told(&e, &moves);
        assert!(codes.contains(&"pass-too-deep"), "slivers of {sliver} in: {codes:?}");
    }
    assert_eq!(told(&e, &[(2.0, 0.0, 96.0), (0.0, 0.0, 96.0)]), [] as [&str; 0]);
}

#[test]
fn a_plunge_in_scratches_is_a_plunge() {
    let job = job();
    let e = tied(expectation(&job, Corners::Bisector));
    // 1 in along the edge is past the ramp's wood at this depth: solid below the pass.
    for scratch in [0.0018, 0.01] {
        let steps = (0.1 / scratch) as usize;
        let down = (1..=steps).map(|i| (2.0, scratch * i as f64, 48.0));
        let up = [(2.0, 0.0, 48.0)];
        let moves: Vec<_> =
            [(2.0, 0.0, 96.0)].into_iter().chain(down).chain(up).chain(BACK).collect();
        let codes = told(&e, &moves);
        assert!(codes.contains(&"plunge"), "scratches of {scratch} in: {codes:?}");
    }
}

#[test]
fn a_steep_way_down_in_short_moves_is_held_to_the_feed_of_a_steep_one() {
    let job = job();
    let e = tied(expectation(&job, Corners::Bisector));
    let cutter = e.machine.tool.cutter().unwrap();
    let feed = e.machine.tool.feed_mm_min() / 25.4;
    let plunge = cutter.plunge_feed_mm_min / 25.4;
    let entry = cutter.entry_feed_mm_min / 25.4;
    assert!(plunge < entry && entry < feed);
    // Each by itself no more than the last digits.
    let down = |along: f64, by: f64, feed: f64| {
        let steps = (0.05 / by) as usize;
        let moves = (1..=steps).map(move |i| (2.0 + along * i as f64, by * i as f64, feed));
        [(2.0, 0.0, 96.0)].into_iter().chain(moves).collect::<Vec<_>>()
    };
    let fast = |moves: Vec<(f64, f64, f64)>| {
        let end = moves.last().map(|(along, ..)| (*along, 0.0, plunge));
        let moves: Vec<_> = moves.into_iter().chain(end).chain(BACK).collect();
        told(&e, &moves).contains(&"entry-feed-fast")
    };
    assert!(fast(down(0.0001, 0.0001, feed)));
    assert!(fast(down(0.0003, 0.0002, entry)));
    assert!(!fast(down(0.0003, 0.0002, plunge)));
    // As flat as a ramp is, in moves as short: at the feed of the way in, and no faster.
    assert!(!fast(down(0.004, 0.0002, entry)));
    assert!(fast(down(0.004, 0.0002, feed)));
}

#[test]
fn feed_and_speed_each_near_the_profile_make_no_thicker_chip_together() {
    let job = job();
    let e = tied(expectation(&job, Corners::Bisector));
    let text = router_program(&e);
    let rpm = e.machine.tool.cutter().unwrap().speed_rpm;
    let feed = e.machine.tool.feed_mm_min() / 25.4;
    let told = |faster: f64, slower: f64| {
        let text = text
            .replace(&format!("F{feed:.1}\n"), &format!("F{:.1}\n", feed * faster))
            .replace(&format!("M3 S{rpm}"), &format!("M3 S{:.0}", rpm * slower));
        let verdict = verify_program(text.as_bytes(), "p.nc", &e).unwrap();
        let codes: Vec<_> = verdict.findings.iter().map(|finding| finding.code.name()).collect();
        (verdict.is_this_part(), codes.contains(&"chip-thick"))
    };
    assert_eq!(told(1.0, 1.0), (true, false));
    assert_eq!(told(1.09, 0.92), (true, false));
    assert_eq!(told(1.09, 0.82), (true, true));
}
