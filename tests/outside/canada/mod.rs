//! CMHC Canadian Wood-Frame House Construction; National Building Code of Canada 9.8.4; Ontario
//! 9.8.9.4 (O. Reg. 332/12).

use super::{flight, found, refused_by, rising};
use crate::common::{Stair, tread};

#[test]
fn cmhc_2718_mm_in_15_and_14_risers() {
    let rise = |n: u32| flight(&rising("2718 mm", &format!("risers = {n}"))).unit_rise.as_mm();
    assert!((rise(15) - 181.2).abs() < 1e-9);
    assert!((rise(14) - 194.142_857_142_857).abs() < 1e-9);
}

/// Ten risers of `rise` mm and runs of `run` mm on a board of `width` mm.
fn stair(rise: &str, run: &str, width: &str, thickness: &str) -> Stair {
    Stair {
        rules: "ca-private".into(),
        rise: format!("total = \"{rise}\"\nrisers = 10"),
        tread: tread(run, "25 mm", "25 mm", "19 mm"),
        board: format!("width = \"{width}\"\nthickness = \"{thickness}\""),
        ..Stair::default()
    }
}

#[test]
fn ontario_throat_of_200_by_255_passes_on_286_mm_and_fails_on_235_mm() {
    let wide = stair("2000 mm", "255 mm", "286 mm", "38 mm");
    assert!((flight(&wide).behind_notches().as_mm() - 128.6).abs() < 0.05);
    assert!(!found(&wide, "throat-low"));
    let narrow = stair("2000 mm", "255 mm", "235 mm", "38 mm");
    assert!((flight(&narrow).behind_notches().as_mm() - 77.6).abs() < 0.05);
    assert!(refused_by(&narrow, "throat-low"));
}

#[test]
fn the_building_codes_limits_hold_on_both_sides() {
    let at = |rise: &str, run: &str| stair(rise, run, "286 mm", "38 mm");
    assert!(
        !refused_by(&at("2000 mm", "255 mm"), "unit-rise-high")
            && refused_by(&at("2001 mm", "255 mm"), "unit-rise-high")
    );
    assert!(
        !refused_by(&at("1250 mm", "300 mm"), "unit-rise-low")
            && refused_by(&at("1249 mm", "300 mm"), "unit-rise-low")
    );
    assert!(
        !refused_by(&at("1800 mm", "255 mm"), "unit-run-low")
            && refused_by(&at("1800 mm", "254.9 mm"), "unit-run-low")
    );
    assert!(
        !refused_by(&at("1800 mm", "355 mm"), "unit-run-high")
            && refused_by(&at("1800 mm", "355.1 mm"), "unit-run-high")
    );
    let board = |width: &str, thickness: &str| stair("1300 mm", "255 mm", width, thickness);
    assert!(
        !found(&board("235 mm", "38 mm"), "board-depth-low")
            && refused_by(&board("234.9 mm", "38 mm"), "board-depth-low")
    );
    assert!(
        !found(&board("235 mm", "38 mm"), "board-thickness-low")
            && found(&board("235 mm", "37.9 mm"), "board-thickness-low")
    );
}
