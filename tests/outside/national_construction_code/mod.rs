//! National Construction Code 2022 (Australia), 11.2.2; the figures are from memory.

use super::refused_by;
use crate::common::{Stair, tread};

fn stair(total: &str, going: &str) -> Stair {
    Stair {
        rules: "au-private".into(),
        rise: format!("total = \"{total}\"\nrisers = 10"),
        tread: tread(going, "20 mm", "25 mm", "19 mm"),
        board: "width = \"290 mm\"\nthickness = \"45 mm\"".into(),
        ..Stair::default()
    }
}

#[test]
fn rise_going_and_their_sum_hold_on_both_sides() {
    for (total, going, code, passes) in [
        ("1900 mm", "250 mm", "unit-rise-high", true),
        ("1901 mm", "250 mm", "unit-rise-high", false),
        ("1150 mm", "355 mm", "unit-rise-low", true),
        ("1149 mm", "355 mm", "unit-rise-low", false),
        ("1700 mm", "240 mm", "unit-run-low", true),
        ("1700 mm", "239.9 mm", "unit-run-low", false),
        ("1700 mm", "355 mm", "unit-run-high", true),
        ("1700 mm", "355.1 mm", "unit-run-high", false),
        ("1725 mm", "355 mm", "step-sum-high", true),
        ("1726 mm", "355 mm", "step-sum-high", false),
        ("1500 mm", "250 mm", "step-sum-low", true),
        ("1500 mm", "249.9 mm", "step-sum-low", false),
    ] {
        assert_eq!(!refused_by(&stair(total, going), code), passes, "{total} {going} {code}");
    }
}
