//! The Carpenter's Guide.

use super::{flight, rising, same};
use crate::common::{Stair, tread};

#[test]
fn a_hundred_and_twelve_inches_in_16_risers_is_7_with_treads_of_11_and_a_quarter() {
    let stair = Stair {
        tread: tread("10 in", "1 1/4 in", "1 in", "3/4 in"),
        ..rising("112 in", "risers = 16")
    };
    let flight = flight(&stair);
    same(flight.unit_rise.as_inches(), 7.0);
    same(flight.tread_finish.as_inches(), 11.25);
}
