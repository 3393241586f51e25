//! BC carpentry teaching text.

use super::{flight, rising};
use crate::common::{Stair, tread};

#[test]
fn twelve_risers_of_175_going_250_have_a_line_length_of_3662_mm() {
    let stair = Stair {
        tread: tread("250 mm", "25 mm", "25 mm", "0 mm"),
        ..rising("2100 mm", "risers = 12")
    };
    assert!((flight(&stair).unit_rise.as_mm() - 175.0).abs() < 1e-9);
    assert!((12.0 * flight(&stair).pitch_length().as_mm() - 3662.0).abs() < 0.5);
}
