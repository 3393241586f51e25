//! Worked figures of the trade (common practice, no source).

use super::{flight, found, refused_by, rising, same};
use crate::common::Stair;
use seatcut::check::head_contact;
use seatcut::stair::outline::Outline;
use seatcut::units::sixteenths;

#[test]
fn three_boards_with_three_gaps_make_a_tread_of_11_and_a_quarter_and_a_cut_of_10_and_a_half() {
    let tread = "boards = { count = 3, width = \"3 1/2 in\", gap = \"1/4 in\", gap_at_riser = true \
        }\noverhang = \"3/4 in\"\nthickness = \"1 in\"\nriser_board = \"3/4 in\"";
    let stair = Stair { tread: tread.into(), ..rising("26 3/4 in", "aim = \"7 in\"") };
    let flight = flight(&stair);
    assert_eq!(flight.risers, 4);
    same(flight.unit_rise.as_inches(), 6.6875);
    assert_eq!(sixteenths(flight.unit_rise), "6 11/16 in");
    same(flight.tread_finish.as_inches(), 11.25);
    same(flight.unit_run.as_inches(), 10.5);
    same(flight.hang_line.as_inches(), 6.6875);
}

#[test]
fn a_stringer_that_is_not_dropped_would_stand_a_treads_thickness_too_high() {
    let flight = flight(&rising("26 3/4 in", "risers = 4"));
    same(flight.drop().as_inches(), 1.0);
    same(flight.first_riser_cut().as_inches(), 5.6875);
}

#[test]
fn one_riser_down_at_7_and_a_half_the_top_tread_hangs_8_inches_below_the_framing() {
    let with_rim = |rim: &str| Stair {
        tread: crate::common::tread("10 in", "1 in", "1 1/2 in", "3/4 in"),
        head: format!("meets = \"one-down\"\nfinish = \"1 in\"\nrim_depth = \"{rim}\""),
        ..rising("30 in", "risers = 4")
    };
    let contact = |rim| {
        let (stair, flight) = (with_rim(rim), flight(&with_rim(rim)));
        same(flight.hang_line.as_inches(), 8.0);
        let job = stair.job();
        let outline = Outline::new(&flight, job.plate()).unwrap();
        head_contact(&job, &flight, &outline).unwrap().height().as_inches()
    };
    same(contact("9 1/4 in"), 1.25);
    same(contact("7 1/4 in"), 0.0);
    assert!(found(&with_rim("9 1/4 in"), "head-contact-small"));
    assert!(refused_by(&with_rim("7 1/4 in"), "head-contact-none"));
}

#[test]
fn fourteen_risers_rounded_to_a_sixteenth_would_lose_three_eighths_and_ours_lose_nothing() {
    let flight = flight(&rising("108 in", "risers = 14"));
    let rounded = (flight.unit_rise.as_inches() * 16.0).round() / 16.0;
    same((108.0 - 14.0 * rounded).abs(), 0.125 * 3.0);
    let sum: f64 = flight.finished_risers().iter().map(|r| r.as_inches()).sum();
    same(sum, 108.0);
}

#[test]
fn finish_still_to_come_lengthens_the_foot_and_leaves_every_finished_riser_equal() {
    let stair = rising("51 3/8 in", "risers = 7\nfinish_to_come = \"3/4 in\"");
    let flight = flight(&stair);
    same(flight.first_riser_cut().as_inches(), 51.375 / 7.0 - 1.0 + 0.75);
    assert!(flight.finished_risers().iter().all(|r| (r.as_inches() - 51.375 / 7.0).abs() < 1e-9));
}

#[test]
fn a_bushing_of_3_quarters_with_a_half_inch_bit_insets_an_eighth_and_30_mm_with_10_mm_insets_10() {
    use seatcut::job::Follow;
    use seatcut::units::Length;
    let inset = |outside, bit| Follow::Bushing { outside, bit }.inset();
    same(inset(Length::inches(0.75), Length::inches(0.5)).as_inches(), 0.125);
    same(inset(Length::mm(30.0), Length::mm(10.0)).as_mm(), 10.0);
}
