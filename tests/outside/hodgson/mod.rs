//! Hodgson, Cyclopedia of Architecture, Carpentry and Building.

use super::{flight, rising, same};
use crate::common::{Stair, tread};

#[test]
fn eighty_four_inches_over_104_and_a_half_in_12_risers_is_7_by_9_and_a_half() {
    let stair = Stair {
        tread: tread("9 1/2 in", "1 in", "1 in", "0 in"),
        ..rising("84 in", "risers = 12")
    };
    let flight = flight(&stair);
    same(flight.unit_rise.as_inches(), 7.0);
    same(flight.total_run().as_inches(), 104.5);
}
