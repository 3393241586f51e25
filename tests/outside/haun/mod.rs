//! Haun: the drop is taken once.

use super::{flight, rising, same};
use crate::common::{Stair, tread};

#[test]
fn thirty_inches_in_four_risers_with_inch_and_a_half_treads_is_cut_6_then_7_and_a_half() {
    let stair = Stair {
        tread: tread("10 1/4 in", "1 in", "1 1/2 in", "3/4 in"),
        ..rising("30 in", "risers = 4")
    };
    let flight = flight(&stair);
    same(flight.first_riser_cut().as_inches(), 6.0);
    for k in 2..=flight.treads {
        same((flight.tread_cut_y(k) - flight.tread_cut_y(k - 1)).as_inches(), 7.5);
    }
}
