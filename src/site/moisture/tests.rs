use super::*;
use crate::job::{BoardGrain, MoistureContent};
use crate::profile::{Movement, Rules, TimberTable, embedded};
use crate::units::Length;

fn pine() -> Movement {
    TimberTable::of_species("southern-pine").unwrap().movement("southern-pine").unwrap().clone()
}

fn saw() -> Sawtooth {
    Sawtooth {
        width: Length::inches(11.25),
        throat: Length::inches(5.25),
        unit_rise: Length::inches(7.5),
        unit_run: Length::inches(10.0),
        first_riser_cut: Length::inches(6.5),
        floor_above: true,
    }
}

fn from(now_percent: f64, service_percent: f64) -> MoistureContent {
    MoistureContent { now_percent, service_percent, grain: BoardGrain::Flat }
}

#[test]
fn a_board_that_does_not_change_its_moisture_does_not_move() {
    for percent in [0.0, 6.0, 10.0, 14.0, 19.0, 30.0, 80.0] {
        let moved = moved(&saw(), &pine(), &from(percent, percent)).unwrap();
        assert!(moved.change.share.abs() < 1e-15 && moved.tread_tilt_rad.abs() < 1e-15);
        assert!(moved.riser_spread(&saw()).as_mm() < 1e-12);
    }
}

#[test]
fn a_flatsawn_pine_2x12_drying_from_14_to_8_percent_loses_a_coefficient_for_each() {
    let moved = moved(&saw(), &pine(), &from(14.0, 8.0)).unwrap();
    assert_eq!(moved.change.method, Method::Coefficient);
    assert!((moved.width.as_inches() - 11.25 * (1.0 - 6.0 * 0.00259)).abs() < 1e-12);
    assert!((moved.throat.as_inches() - 5.25 * (1.0 - 6.0 * 0.00259)).abs() < 1e-12);
    assert!(moved.findings.is_empty());
}

#[test]
fn a_quartersawn_board_moves_less_than_a_flatsawn_one() {
    for (now, then) in [(14.0, 6.0), (25.0, 10.0), (8.0, 12.0)] {
        let share = |sawn| width_change(&pine(), sawn, now, then).unwrap().share.abs();
        assert!(share(BoardGrain::Quarter) < share(BoardGrain::Flat));
    }
}

#[test]
fn drying_from_green_and_swelling_back_returns_to_the_width_it_had() {
    for (now, then) in [(30.0, 0.0), (19.0, 10.0), (28.0, 15.0)] {
        let there = width_change(&pine(), BoardGrain::Flat, now, then).unwrap().share;
        let back = width_change(&pine(), BoardGrain::Flat, then, now).unwrap().share;
        assert!(((1.0 + there) * (1.0 + back) - 1.0).abs() < 1e-12);
    }
}

#[test]
fn from_green_to_ovendry_the_whole_published_shrinkage_is_taken() {
    let share = width_change(&pine(), BoardGrain::Flat, 30.0, 0.0).unwrap().share;
    assert!((share + 0.074).abs() < 1e-12);
    let wetter = width_change(&pine(), BoardGrain::Flat, 90.0, 0.0).unwrap().share;
    assert!((wetter - share).abs() < 1e-15, "above 30 % nothing moves");
}

#[test]
fn a_moisture_outside_the_range_of_the_coefficients_is_said_and_the_other_equation_taken() {
    for (now, then) in [(19.0, 10.0), (10.0, 5.9), (14.1, 13.0)] {
        let moved = moved(&saw(), &pine(), &from(now, then)).unwrap();
        assert_eq!(moved.change.method, Method::FromGreen);
        assert!(moved.findings.iter().any(|f| f.code.name() == "moisture-outside-range"));
    }
}

#[test]
fn the_tilt_is_that_of_the_corner_points_scaled_across_the_grain() {
    // Nose, inside corner and next nose in the board's frame, each scaled across and turned back by
    // the pitch.
    let saw = saw();
    let moved = moved(&saw, &pine(), &from(14.0, 6.0)).unwrap();
    let (rise, run) = (saw.unit_rise.as_mm(), saw.unit_run.as_mm());
    let (sin, cos) = (rise / rise.hypot(run), run / rise.hypot(run));
    let there_and_back = |x: f64, y: f64| {
        let (along, across) = (x * cos + y * sin, (y * cos - x * sin) * (1.0 + moved.change.share));
        (along * cos - across * sin, along * sin + across * cos)
    };
    let corner = there_and_back(run, 0.0);
    let next_nose = there_and_back(run, rise);
    assert!((corner.1.atan2(corner.0) - moved.tread_tilt_rad).abs() < 1e-12);
    assert!((next_nose.1 - rise).abs() < 1e-9 && (next_nose.0 - run).abs() < 1e-9, "noses stay");
    assert!((next_nose.1 - corner.1 - moved.riser_at_face.as_mm()).abs() < 1e-9);
    assert!(moved.tread_tilt_rad > 0.0, "a drying tread falls toward its nose");
}

#[test]
fn a_tread_that_comes_to_slope_more_than_one_in_48_is_told() {
    // Green hemlock on a steep flight: 7.8 % of shrinkage turns the tread by more than 1.19
    // degrees.
    let hemlock = TimberTable::of_species("hem-fir").unwrap().movement("hem-fir").unwrap().clone();
    let wild = moved(&saw(), &hemlock, &from(40.0, 6.0)).unwrap();
    let tilts = wild.tilts().unwrap_or_else(|| panic!("{}", wild.tread_tilt_rad.to_degrees()));
    assert_eq!(tilts.code.name(), "tread-tilts");
    let mild = moved(&saw(), &hemlock, &from(19.0, 12.0)).unwrap();
    assert!(mild.tilts().is_none());
}

#[test]
fn a_stringer_on_its_seat_moves_its_first_and_its_last_riser_apart() {
    let hemlock = TimberTable::of_species("hem-fir").unwrap().movement("hem-fir").unwrap().clone();
    let flush = Sawtooth { floor_above: false, ..saw() };
    let dried = moved(&saw(), &hemlock, &from(25.0, 8.0)).unwrap();
    // Surfaces from floor to floor: every tread falls with the first riser cut, the floors stay.
    let change = dried.first_riser_change(&saw()).as_mm();
    let surfaces = [0.0, 190.5 + change, 381.0 + change, 571.5];
    let risers: Vec<f64> = surfaces.windows(2).map(|pair| pair[1] - pair[0]).collect();
    let largest = risers.iter().copied().fold(f64::MIN, f64::max);
    let smallest = risers.iter().copied().fold(f64::MAX, f64::min);
    assert!((dried.riser_spread(&saw()).as_mm() - (largest - smallest)).abs() < 1e-9);
    assert!((dried.riser_spread(&flush).as_mm() - (largest - smallest) / 2.0).abs() < 1e-9);
    assert!(change < 0.0, "a drying stringer lets its treads down");
}

#[test]
fn risers_that_move_further_apart_than_the_rule_set_lets_them_are_told() {
    let source = embedded(Some("rules"), "us-irc-2021").unwrap();
    let rules = Rules::read("us-irc-2021", &source.file, &source.text).unwrap();
    let hemlock = TimberTable::of_species("hem-fir").unwrap().movement("hem-fir").unwrap().clone();
    let told = |now| {
        let dried = moved(&saw(), &hemlock, &from(now, 6.0)).unwrap();
        let found = dried.apart(&saw(), &rules);
        assert_eq!(found.is_some(), dried.riser_spread(&saw()) > Length::inches(0.375), "{now}");
        found
    };
    assert!(told(12.0).is_none());
    let found = told(30.0).unwrap();
    assert_eq!((found.code.name(), found.refuses()), ("risers-move-apart", false));
    assert!(found.source.contains("R311.7.5.1"));
}

#[test]
fn a_first_riser_that_leaves_its_neighbour_too_far_behind_is_told_where_no_spread_is_too_much() {
    let source = embedded(Some("rules"), "ca-private").unwrap();
    let rules = Rules::read("ca-private", &source.file, &source.text).unwrap();
    let hemlock = TimberTable::of_species("hem-fir").unwrap().movement("hem-fir").unwrap().clone();
    let flush = Sawtooth { floor_above: false, ..saw() };
    let dried = moved(&flush, &hemlock, &from(30.0, 2.0)).unwrap();
    // Neighbours may differ by 5 mm, all of a flight by 10 mm.
    let change = -dried.first_riser_change(&flush).as_mm();
    assert!(change > 5.0 && change < 10.0, "{change}");
    let found = dried.apart(&flush, &rules).unwrap();
    assert!(found.sentence().contains("5.0 mm"), "{found}");
    let less = moved(&flush, &hemlock, &from(19.0, 8.0)).unwrap();
    assert!(less.apart(&flush, &rules).is_none());
}

#[test]
fn a_moisture_that_no_wood_has_and_a_stringer_of_nothing_are_refused() {
    for percent in [-1.0, 300.0, f64::NAN, f64::INFINITY] {
        let error = moved(&saw(), &pine(), &from(percent, 10.0)).unwrap_err().to_string();
        assert!(error.contains("0 to 250 %"), "{error}");
        assert!(moved(&saw(), &pine(), &from(10.0, percent)).is_err());
    }
    let nothing = Sawtooth { throat: Length::ZERO, ..saw() };
    assert!(moved(&nothing, &pine(), &from(12.0, 8.0)).is_err());
}
