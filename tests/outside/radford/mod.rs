//! Radford 1909, vol. 3.

use super::{flight, rising, same};
use crate::common::{Stair, tread};

#[test]
fn a_hundred_and_twenty_three_inches_in_17_risers_runs_152_inches() {
    let stair = Stair {
        tread: tread("9 1/2 in", "1 in", "1 in", "0 in"),
        ..rising("123 in", "risers = 17")
    };
    let flight = flight(&stair);
    assert_eq!(flight.treads, 16);
    same(flight.unit_rise.as_inches(), 123.0 / 17.0);
    same(flight.total_run().as_inches(), 152.0);
}
