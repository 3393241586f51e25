//! Approved Document K 2013, 1.3, Table 1.1.

use super::{flight, refused_by};
use crate::common::{Stair, tread};

/// Ten risers of a tenth of `total` and goings of `going`.
fn stair(total: &str, going: &str) -> Stair {
    Stair {
        rules: "uk-private".into(),
        rise: format!("total = \"{total}\"\nrisers = 10"),
        tread: tread(going, "20 mm", "25 mm", "19 mm"),
        board: "width = \"300 mm\"\nthickness = \"38 mm\"".into(),
        ..Stair::default()
    }
}

#[test]
fn going_245_at_rise_220_is_41_92_degrees_and_passes_and_244_is_42_04_and_fails() {
    let pitch = |going| flight(&stair("2200 mm", going)).pitch_rad().to_degrees();
    assert!((pitch("245 mm") - 41.92).abs() < 0.005);
    assert!((pitch("244 mm") - 42.04).abs() < 0.005);
    assert!(!refused_by(&stair("2200 mm", "245 mm"), "pitch-high"));
    assert!(refused_by(&stair("2200 mm", "244 mm"), "pitch-high"));
}

#[test]
fn rise_going_and_their_sum_hold_on_both_sides() {
    for (total, going, code, passes) in [
        ("2200 mm", "250 mm", "unit-rise-high", true),
        ("2201 mm", "250 mm", "unit-rise-high", false),
        ("1500 mm", "280 mm", "unit-rise-low", true),
        ("1499 mm", "280 mm", "unit-rise-low", false),
        ("1800 mm", "220 mm", "unit-run-low", true),
        ("1800 mm", "219.9 mm", "unit-run-low", false),
        ("1800 mm", "300 mm", "unit-run-high", true),
        ("1800 mm", "300.1 mm", "unit-run-high", false),
        ("2000 mm", "300 mm", "step-sum-high", true),
        ("2001 mm", "300 mm", "step-sum-high", false),
        ("1600 mm", "230 mm", "step-sum-low", true),
        ("1600 mm", "229.9 mm", "step-sum-low", false),
    ] {
        assert_eq!(!refused_by(&stair(total, going), code), passes, "{total} {going} {code}");
    }
}
