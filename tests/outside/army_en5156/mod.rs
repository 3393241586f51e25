//! US Army EN5156 Carpentry II, 1995, p. 2-27 to 2-29.

use super::{flight, rising, same};
use crate::common::{Stair, tread};
use seatcut::units::sixteenths;

#[test]
fn ninety_four_inches_aimed_at_seven_gives_thirteen_risers_and_126_inches_of_run() {
    let stair = Stair {
        tread: tread("10 1/2 in", "1 in", "1 in", "3/4 in"),
        ..rising("94 in", "aim = \"7 in\"")
    };
    let flight = flight(&stair);
    assert_eq!((flight.risers, flight.treads), (13, 12));
    same(flight.unit_rise.as_inches(), 94.0 / 13.0);
    assert_eq!(sixteenths(flight.unit_rise), "7 1/4- in");
    same(flight.total_run().as_inches(), 126.0);
}

#[test]
fn rounded_risers_stepped_off_would_sum_to_94_and_a_quarter_but_ours_sum_to_the_rise() {
    let flight = flight(&rising("94 in", "risers = 13"));
    same(13.0 * 7.25, 94.25);
    let sum: f64 = flight.finished_risers().iter().map(|r| r.as_inches()).sum();
    same(sum, 94.0);
}

#[test]
fn its_comfort_sum_of_24_to_25_inches_is_advice_on_both_sides() {
    use super::found;
    let with_run = |run: &str| Stair {
        tread: tread(run, "1 in", "1 in", "3/4 in"),
        ..rising("49 in", "risers = 7")
    };
    assert!(
        !found(&with_run("10 in"), "step-sum-low") && !found(&with_run("11 in"), "step-sum-high")
    );
    assert!(
        found(&with_run("9 15/16 in"), "step-sum-low")
            && found(&with_run("11 1/16 in"), "step-sum-high")
    );
}
