//! AWC DCA 6: throat of a cut stringer at least 5 in, span of a cut 2x12 at most 6 ft.

use super::{flight, found, refused_by};
use crate::common::{Stair, tread};

fn stair(rise: &str, run: &str, board: &str) -> Stair {
    Stair {
        rise: format!("total = \"{rise}\"\nrisers = 4"),
        tread: tread(run, "1 in", "1 in", "3/4 in"),
        board: format!("width = \"{board}\"\nthickness = \"1 1/2 in\""),
        ..Stair::default()
    }
}

#[test]
fn throats_of_seven_and_three_quarters_and_seven_and_a_half_by_ten() {
    let throat = |rise, board| flight(&stair(rise, "10 in", board)).behind_notches().as_inches();
    assert!((throat("31 in", "11 1/4 in") - 5.1243).abs() < 5e-5);
    assert!((throat("30 in", "11 1/4 in") - 5.25).abs() < 1e-9);
    assert!((throat("30 in", "9 1/4 in") - 3.25).abs() < 1e-9);
    assert!((throat("31 in", "11 1/8 in") - 4.999).abs() < 5e-4);
}

#[test]
fn a_throat_of_5_inches_passes_and_4_999_is_refused_by_the_measured_width() {
    assert!(!found(&stair("31 in", "10 in", "11 1/4 in"), "throat-low"));
    assert!(refused_by(&stair("31 in", "10 in", "11 1/8 in"), "throat-low"));
    // Just at the limit: 7-1/2 x 10 leaves W - 6 in.
    assert!(!found(&stair("30 in", "10 in", "11 in"), "throat-low"));
    assert!(refused_by(&stair("30 in", "10 in", "10.9999 in"), "throat-low"));
}

#[test]
fn a_horizontal_length_of_6_feet_passes_and_more_is_a_warning() {
    let of_eight = |run: &str| Stair {
        rise: "total = \"49 in\"\nrisers = 7".into(),
        ..stair("49 in", run, "11 1/4 in")
    };
    let six_feet = Stair { rise: "total = \"49 in\"\nrisers = 7".into(), ..of_eight("12 in") };
    assert!(!found(&six_feet, "stringer-span-high"));
    assert!(found(&of_eight("12 1/64 in"), "stringer-span-high"));
}
