//! International Building Code 1011.5.2, 1011.8.

use super::refused_by;
use crate::common::{Stair, tread};

fn stair(total: &str, risers: u32, run: &str) -> Stair {
    Stair {
        rules: "us-ibc".into(),
        rise: format!("total = \"{total}\"\nrisers = {risers}"),
        tread: tread(run, "1 in", "1 in", "3/4 in"),
        ..Stair::default()
    }
}

#[test]
fn riser_tread_and_flight_hold_on_both_sides() {
    for (stair, code, passes) in [
        (stair("28 in", 4, "11 in"), "unit-rise-high", true),
        (stair("28.01 in", 4, "11 in"), "unit-rise-high", false),
        (stair("16 in", 4, "11 in"), "unit-rise-low", true),
        (stair("15.99 in", 4, "11 in"), "unit-rise-low", false),
        (stair("28 in", 4, "10.99 in"), "unit-run-low", false),
        (stair("12 ft", 21, "11 in"), "flight-rise-high", true),
        (stair("144.01 in", 21, "11 in"), "flight-rise-high", false),
    ] {
        assert_eq!(!refused_by(&stair, code), passes, "{code}: {}", stair.toml());
    }
}
