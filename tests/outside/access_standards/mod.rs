//! ADA/ABA Standards 504.2-504.5.

use super::refused_by;
use crate::common::{Stair, tread};

fn stair(total: &str, run: &str, overhang: &str, riser_board: &str) -> Stair {
    Stair {
        rules: "us-access".into(),
        rise: format!("total = \"{total}\"\nrisers = 4"),
        tread: tread(run, overhang, "1 in", riser_board),
        ..Stair::default()
    }
}

#[test]
fn riser_tread_opening_and_nosing_hold_on_both_sides() {
    for (stair, code, passes) in [
        (stair("28 in", "11 in", "1 in", "3/4 in"), "unit-rise-high", true),
        (stair("28.01 in", "11 in", "1 in", "3/4 in"), "unit-rise-high", false),
        (stair("16 in", "11 in", "1 in", "3/4 in"), "unit-rise-low", true),
        (stair("15.9 in", "11 in", "1 in", "3/4 in"), "unit-rise-low", false),
        (stair("28 in", "10.9 in", "1 in", "3/4 in"), "unit-run-low", false),
        (stair("28 in", "11 in", "1 1/2 in", "3/4 in"), "nosing-high", true),
        (stair("28 in", "11 in", "1.51 in", "3/4 in"), "nosing-high", false),
        (stair("28 in", "11 in", "1 in", "3/4 in"), "open-gap-high", true),
        (stair("28 in", "11 in", "1 in", "0 in"), "open-gap-high", false),
    ] {
        assert_eq!(!refused_by(&stair, code), passes, "{code}: {}", stair.toml());
    }
}
