//! 29 CFR 1910.25(c).

use super::{flight, refused_by};
use crate::common::{Stair, tread};

fn stair(total: &str, run: &str) -> Stair {
    Stair {
        rules: "us-osha".into(),
        rise: format!("total = \"{total}\"\nrisers = 4"),
        tread: tread(run, "1 in", "1 in", "3/4 in"),
        board: "width = \"14 in\"\nthickness = \"1 1/2 in\"".into(),
        ..Stair::default()
    }
}

#[test]
fn nine_and_a_half_by_nine_and_a_half_is_45_degrees_and_passes() {
    let stair = stair("38 in", "9 1/2 in");
    assert!((flight(&stair).pitch_rad().to_degrees() - 45.0).abs() < 1e-9);
    for code in ["pitch-high", "pitch-low", "unit-rise-high", "unit-run-low"] {
        assert!(!refused_by(&stair, code), "{code}");
    }
}

#[test]
fn a_tread_of_8_fails_and_so_do_the_other_sides() {
    assert!(refused_by(&stair("38 in", "8 in"), "unit-run-low"));
    assert!(refused_by(&stair("38.04 in", "9 1/2 in"), "unit-rise-high"));
    assert!(refused_by(&stair("24 in", "12 in"), "pitch-low"));
    assert!(!refused_by(&stair("24 in", "10 in"), "pitch-low"));
    // 50 degrees: tan 50 = 1.19175; at a run of 7.5 in a riser of 8.938 in.
    assert!(!refused_by(&stair("35.75 in", "7 1/2 in"), "pitch-high"));
    assert!(refused_by(&stair("35.76 in", "7 1/2 in"), "pitch-high"));
}
