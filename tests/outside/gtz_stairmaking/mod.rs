//! GTZ/IBE Stairmaking 8.2-8.5.

use super::{flight, rising, same};
use crate::common::{Stair, tread};

#[test]
fn the_examples_in_eight_and_nine_risers() {
    let eight = Stair {
        tread: tread("290 mm", "25 mm", "25 mm", "0 mm"),
        ..rising("1368 mm", "risers = 8")
    };
    same(flight(&eight).unit_rise.as_mm(), 171.0);
    same(flight(&eight).total_run().as_mm(), 2030.0);
    let nine = Stair {
        tread: tread("270 mm", "25 mm", "25 mm", "0 mm"),
        ..rising("1620 mm", "risers = 9")
    };
    same(flight(&nine).unit_rise.as_mm(), 180.0);
    assert!((flight(&nine).pitch_length().as_mm() - 324.50).abs() < 0.005);
}
