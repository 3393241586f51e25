use proptest::prelude::*;

use super::*;
use crate::GARDEN_STEPS as STARTER;
use crate::diagnostics::ErrorKind;
use crate::diagnostics::Severity;
use crate::job::{Room, read_job};
use crate::profile::{Rules, Source, embedded};
use crate::stair::{Flight, largest_step, spread};
use crate::units::Length;

fn inches(values: &[f64]) -> Vec<Length> {
    values.iter().map(|&value| Length::inches(value)).collect()
}

fn built(treads: &[f64], upper: f64) -> BuiltFlight {
    BuiltFlight::new(inches(treads), Length::inches(upper)).unwrap()
}

fn irc() -> RiserLimits {
    let Source { file, text } = embedded(Some("rules"), "us-irc-2021").unwrap();
    RiserLimits::of(&Rules::read("us-irc-2021", &file, &text).unwrap())
}

fn room(count: usize, shim: f64, trim: f64) -> Vec<Room> {
    vec![Room::new(Length::inches(shim), Length::inches(trim)).unwrap(); count]
}

fn codes(findings: &[crate::diagnostics::Finding]) -> Vec<&'static str> {
    findings.iter().map(|f| f.code.name()).collect()
}

fn schedule(flight: &BuiltFlight, limits: &RiserLimits, room: &[Room]) -> Schedule {
    match remedy(flight, limits, room).unwrap() {
        Remedy::Schedule(schedule) => schedule,
        Remedy::NoneDoes(reach) => panic!("none does: {reach:?}"),
    }
}

#[test]
fn the_risers_are_the_differences_of_the_walking_surfaces() {
    let risers = built(&[7.5, 14.5, 22.0], 29.5).risers();
    for (riser, inches) in risers.iter().zip([7.5, 7.0, 7.5, 7.5]) {
        assert!((riser.as_inches() - inches).abs() < 1e-12);
    }
}

#[test]
fn finish_to_come_takes_from_the_first_riser_and_adds_to_the_last() {
    let flight = built(&[7.5, 15.0], 22.5);
    let risers =
        flight.with_finish_to_come(Length::inches(0.5), Length::inches(0.75)).unwrap().risers();
    for (riser, inches) in risers.iter().zip([7.0, 7.5, 8.25]) {
        assert!((riser.as_inches() - inches).abs() < 1e-12);
    }
}

#[test]
fn heights_that_do_not_rise_are_refused_with_the_tread_named() {
    let error = BuiltFlight::new(inches(&[7.5, 7.25]), Length::inches(22.0)).unwrap_err();
    assert_eq!(error.kind(), ErrorKind::Input);
    assert_eq!(error.what(), "tread 2 is not above tread 1");
    let error = BuiltFlight::new(inches(&[7.5, 15.0]), Length::inches(15.0)).unwrap_err();
    assert_eq!(error.what(), "the upper floor is not above tread 2");
    assert!(BuiltFlight::new(Vec::new(), Length::inches(15.0)).is_err());
    assert!(built(&[7.5], 15.0).with_finish_to_come(Length::inches(8.0), Length::ZERO).is_err());
    assert!(built(&[7.5], 15.0).with_finish_to_come(-Length::inches(1.0), Length::ZERO).is_err());
}

#[test]
fn every_broken_limit_is_found_with_its_riser_and_by_how_much() {
    let mut limits = irc().with_step(Length::inches(0.25), Severity::Warning, "an invented rule");
    limits.least = Some(Bound {
        figure: Length::inches(7.0),
        severity: Severity::Warning,
        source: "invented".into(),
    });
    let findings = limits.findings(&inches(&[8.0, 7.5, 6.75]));
    assert_eq!(
        codes(&findings),
        ["built-riser-high", "built-riser-low", "built-step", "built-step", "built-spread"]
    );
    assert_eq!(findings[0].place.to_string(), "riser 1");
    assert!(
        findings[0].sentence().contains("over the most of 7 3/4 in (196.9 mm) by 1/4 in"),
        "{}",
        findings[0].sentence()
    );
    assert_eq!(findings[1].place.to_string(), "riser 3");
    assert_eq!(findings[2].place.to_string(), "risers 1 and 2");
    assert!(findings[4].sentence().starts_with(
        "riser 1 is higher than riser 3 by 1 1/4 in (31.8 mm): 7/8 in (22.2 mm) more"
    ));
    assert_eq!(findings[4].source, "International Residential Code 2021 R311.7.5.1");
}

#[test]
fn a_riser_on_its_limit_is_no_finding() {
    assert!(irc().hold(&built(&[7.75, 15.5, 22.875], 30.25).risers()));
}

#[test]
fn a_flight_inside_its_limits_is_left_alone() {
    let found = schedule(&built(&[7.25, 14.5, 21.75], 29.0), &irc(), &room(3, 0.5, 0.5));
    assert!(found.total <= Length::ZERO);
    assert!(found.on_tape.rounded().unwrap().total <= Length::ZERO);
    assert!(
        Remedy::Schedule(schedule(&built(&[7.25], 14.5), &irc(), &room(1, 0.5, 0.0)))
            .findings(&irc())
            .is_empty()
    );
}

#[test]
fn the_classic_forgotten_drop_is_shared_out_by_shims() {
    // Four risers of 7 in whose bottom one is 1 in too low: 6, 7, 7, 8 in; spread 2 in. By hand:
    // with risers 3/8 in apart and none trimmed, the least sum of shims over all largest risers is
    // found by a search.
    let flight = built(&[6.0, 13.0, 20.0], 28.0);
    let found = schedule(&flight, &irc(), &room(3, 2.0, 0.0));
    let mut least = f64::INFINITY;
    for (a, b, c) in
        (0..33_u8).flat_map(|a| (0..33).flat_map(move |b| (0..33).map(move |c| (a, b, c))))
    {
        let [first, second, third] = [a, b, c].map(|sixteenths| f64::from(sixteenths) / 16.0);
        let risers = [6.0 + first, 7.0 + second - first, 7.0 + third - second, 8.0 - third];
        let largest = risers.into_iter().fold(0.0, f64::max);
        if largest <= 7.75 && largest - risers.into_iter().fold(f64::INFINITY, f64::min) <= 0.375 {
            least = least.min(first + second + third);
        }
    }
    let total = found.total.as_inches();
    assert!(
        total <= least + 1e-9 && total > least - 3.0 / 16.0,
        "{total} against {least} on the grid"
    );
    let rounded = found.on_tape.rounded().unwrap().clone();
    assert!(irc().hold(&rounded.risers));
    assert!(rounded.total.as_inches() >= total - 1e-9);
    assert_eq!(codes(&Remedy::Schedule(found).findings(&irc()))[0], "built-shims");
}

#[test]
fn a_tread_that_is_too_high_is_trimmed_only_where_it_may_be() {
    let flight = built(&[7.5, 14.75, 21.75], 29.0);
    let trimmed = schedule(&flight, &irc(), &room(3, 0.0, 1.0));
    assert!(trimmed.moves.iter().all(|by| *by <= Length::ZERO));
    assert!((trimmed.total.as_inches() - 0.125).abs() < 1e-6);
    let Remedy::NoneDoes(reach) = remedy(&flight, &irc(), &room(3, 0.0, 0.0)).unwrap() else {
        panic!()
    };
    assert!((reach.least_spread.as_inches() - 0.5).abs() < 1e-9);
}

#[test]
fn where_none_does_the_least_spread_in_reach_is_told() {
    let flight = built(&[6.0, 14.0], 21.0);
    let remedy = remedy(&flight, &irc(), &room(2, 0.25, 0.0)).unwrap();
    let Remedy::NoneDoes(reach) = &remedy else { panic!("{remedy:?}") };
    // The first tread goes up by 1/4 in and the second stays: 6.25, 7.75, 7.
    assert!((reach.least_spread.as_inches() - 1.5).abs() < 1e-9);
    assert!((reach.highest_smallest.as_inches() - 6.25).abs() < 1e-9);
    assert!((reach.lowest_largest.as_inches() - 7.75).abs() < 1e-9);
    let findings = remedy.findings(&irc());
    assert_eq!(codes(&findings), ["built-none-does"]);
    assert!(
        findings[0].sentence().contains("comes down to 1 1/2 in (38.1 mm) and may be 3/8 in"),
        "{}",
        findings[0].sentence()
    );
    assert_eq!(findings[0].value("least").unwrap().to_string(), "anything");
}

#[test]
fn floors_too_far_apart_for_the_count_are_out_of_reach_whatever_the_room() {
    let Remedy::NoneDoes(reach) = remedy(&built(&[8.0], 16.0), &irc(), &room(1, 5.0, 5.0)).unwrap()
    else {
        panic!()
    };
    assert!((reach.lowest_largest.as_inches() - 8.0).abs() < 1e-9);
    assert!(reach.least_spread.as_mm().abs() < 1e-6);
}

#[test]
fn a_limit_on_neighbours_is_kept_too() {
    let limits = irc().with_step(
        Length::mm(5.0),
        Severity::Warning,
        "National Building Code of Canada 9.8.4",
    );
    let flight = built(&[7.0, 14.375, 21.375], 28.5);
    assert!(irc().hold(&flight.risers()));
    let found = schedule(&flight, &limits, &room(3, 0.5, 0.5));
    assert!(found.total > Length::ZERO);
    assert!(largest_step(&found.risers) <= Length::mm(5.0 + 1e-6));
}

#[test]
fn where_only_thirty_seconds_keep_the_limits_it_is_said() {
    // 13/32 in apart where 12/32 are allowed, and no more than 1/32 in may come off.
    let flight = built(&[7.40625, 14.40625], 21.40625);
    let found = schedule(&flight, &irc(), &room(2, 0.0, 1.0 / 32.0));
    let rounded = found.on_tape.rounded().unwrap();
    assert_eq!(rounded.grid, Grid::ThirtySeconds);
    assert!((rounded.total.as_inches() - 1.0 / 32.0).abs() < 1e-9);
    assert_eq!(codes(&Remedy::Schedule(found).findings(&irc())), ["built-shims", "built-rounding"]);
}

#[test]
fn a_flight_with_too_much_room_to_look_through_is_not_said_to_have_no_schedule() {
    let mut limits = irc().with_step(Length::inches(0.25), Severity::Warning, "invented");
    limits.spread = None;
    let heights: Vec<f64> = (1..60).map(|k| 7.0 * f64::from(k) + f64::from(k % 3) / 4.0).collect();
    let flight = built(&heights, 420.0);
    let found = schedule(&flight, &limits, &room(59, 20.0, 20.0));
    assert_eq!(found.on_tape, OnTape::NotSearched);
    let findings = Remedy::Schedule(found).findings(&limits);
    assert_eq!(codes(&findings), ["built-shims", "built-not-searched"]);
}

/// Every schedule of three treads in sixteenths, tried: the least total, if any.
fn least_by_trying(flight: &BuiltFlight, limits: &RiserLimits, room: &[Room]) -> Option<f64> {
    let sixteenth = |by: i32| Length::inches(f64::from(by) / 16.0);
    let slack = Length::mm(1e-6);
    let all = (-8..=8).flat_map(|a| (-8..=8).flat_map(move |b| (-8..=8).map(move |c| [a, b, c])));
    let inside = |moves: &[Length]| {
        let pairs = moves.iter().zip(room);
        pairs
            .into_iter()
            .all(|(by, room)| *by <= room.shim() + slack && -*by <= room.trim() + slack)
    };
    let keeps = all.filter(|moves| {
        let moves = moves.map(sixteenth);
        inside(&moves) && limits.hold(&flight.risers_moved(&moves))
    });
    let totals = keeps.map(|moves| moves.iter().map(|by| by.abs()).sum::<i32>());
    totals.min().map(|total| f64::from(total) / 16.0)
}

#[test]
fn where_no_rounding_keeps_the_limits_there_is_none_and_it_is_said() {
    // 25/64 in apart where 24 are allowed, and no more than 1/64 in may come off.
    let flight = built(&[7.390625, 14.390625], 21.390625);
    let found = schedule(&flight, &irc(), &room(2, 0.0, 1.0 / 64.0));
    assert!((found.total.as_inches() - 1.0 / 64.0).abs() < 1e-6);
    assert!(found.on_tape == OnTape::NoneKeeps);
    let findings = Remedy::Schedule(found).findings(&irc());
    assert_eq!(codes(&findings), ["built-shims", "built-unrounded"]);
}

#[test]
fn room_is_given_for_each_tread_and_is_never_negative() {
    assert_eq!(
        remedy(&built(&[7.0], 14.0), &irc(), &room(2, 1.0, 0.0)).unwrap_err().kind(),
        ErrorKind::Input
    );
    assert!(Room::new(-Length::inches(0.1), Length::ZERO).is_err());
}

#[test]
fn a_grid_prints_in_lowest_terms() {
    assert_eq!(Grid::ThirtySeconds.words(Length::inches(3.0 / 32.0)), "3/32 in");
    assert_eq!(Grid::ThirtySeconds.words(Length::inches(-1.25)), "-1 1/4 in");
    assert_eq!(Grid::Sixteenths.words(Length::ZERO), "0 in");
}

fn starter_flight() -> Flight {
    let missing = |_: &str| Err(crate::diagnostics::Error::new(ErrorKind::File, "no files here"));
    Flight::new(&read_job("job.toml", STARTER, &missing).unwrap(), 7)
}

fn wear(along: f64, across: f64) -> PatternWear {
    let check = |marked: f64, by: f64| {
        CheckLength::new(Length::inches(marked), Length::inches(marked + by)).unwrap()
    };
    PatternWear {
        along: check(24.0, along),
        across: check(6.0, across),
        length: Length::inches(80.0),
        width: Length::inches(11.25),
    }
}

#[test]
fn a_pattern_that_shrank_a_sixty_fourth_in_two_feet_is_off_by_more_over_its_length() {
    let worn = wear(-1.0 / 64.0, 0.0).worn(&starter_flight());
    assert!((worn.along_permille + 1000.0 / 64.0 / 24.0).abs() < 1e-9);
    assert!((worn.length_off.as_inches() + 80.0 / 24.0 / 64.0).abs() < 1e-9);
    assert_eq!(codes(&worn.findings()), ["pattern-wear"]);
    assert!(worn.throat_off.as_mm().abs() < 1e-9);
}

#[test]
fn a_pattern_that_changed_by_less_is_no_finding() {
    assert!(wear(0.004, -0.008).worn(&starter_flight()).findings().is_empty());
    assert_eq!(codes(&wear(0.0, 0.02).worn(&starter_flight()).findings()), ["pattern-wear"]);
}

#[test]
fn what_wear_does_to_a_step_agrees_with_the_step_stretched_point_by_point() {
    let flight = starter_flight();
    let (a, c) = (0.001, -0.002);
    let worn = wear(24.0 * a, 6.0 * c).worn(&flight);
    let (sin, cos) = flight.pitch_rad().sin_cos();
    // Elevation to board, stretched, and back.
    let stretched = |x: f64, y: f64| {
        let (u, v) = ((x * cos + y * sin) * (1.0 + a), (y * cos - x * sin) * (1.0 + c));
        (u * cos - v * sin, u * sin + v * cos)
    };
    let (r, g) = (flight.unit_rise.as_mm(), flight.unit_run.as_mm());
    let (nose_x, nose_y) = stretched(g, r);
    assert!(
        (nose_y - r - worn.unit_rise_off.as_mm()).abs() < 1e-9
            && (nose_x - g * (1.0 + a)).abs() < 1e-9
    );
    let (_, back) = stretched(g, 0.0);
    assert!((-back - worn.tread_tilt.as_mm()).abs() < 1e-9);
}

#[test]
fn a_check_length_far_off_is_a_slip_and_refused() {
    assert!(CheckLength::new(Length::inches(24.0), Length::mm(24.0)).is_err());
    assert!(CheckLength::new(Length::ZERO, Length::inches(24.0)).is_err());
}

proptest! {
    #[test]
    fn on_the_tape_it_is_the_least_that_trying_all_finds_and_in_sixteenths_where_one_is(
        offs in prop::collection::vec(-40_i32..=40, 3),
        upper in -30_i32..=30,
        shim in 0_u32..=8,
        trim in 0_u32..=8,
        step in prop::option::of(2_u32..10),
    ) {
        let off = |k: usize| f64::from(offs[k]) / 64.0;
        let flight = built(&[7.0 + off(0), 14.0 + off(1), 21.0 + off(2)], 28.0 + f64::from(upper) / 64.0);
        let mut limits = irc();
        if let Some(step) = step {
            limits = limits.with_step(Length::inches(f64::from(step) / 16.0), Severity::Warning, "invented");
        }
        let room = room(3, f64::from(shim) / 16.0, f64::from(trim) / 16.0);
        let least = least_by_trying(&flight, &limits, &room);
        match remedy(&flight, &limits, &room).unwrap() {
            Remedy::NoneDoes(_) => prop_assert!(least.is_none()),
            Remedy::Schedule(found) => {
                let sixteenths = found.on_tape.rounded().filter(|r| r.grid == Grid::Sixteenths);
                match (least, sixteenths) {
                    (None, None) => (),
                    (Some(least), Some(found)) => {
                        prop_assert!((found.total.as_inches() - least).abs() < 1e-9, "{least} {found:?}");
                    }
                    (least, found) => prop_assert!(false, "{least:?} by trying, {found:?}"),
                }
            }
        }
    }

    #[test]
    fn every_riser_keeps_its_limits_after_the_schedule(
        offs in prop::collection::vec(-12_i32..=12, 2..12),
        shim in 0_u32..=16,
        trim in 0_u32..=8,
        step in prop::option::of(3_u32..12),
    ) {
        let heights: Vec<f64> = offs.iter().enumerate().map(|(k, off)| 7.25 * (k + 1) as f64 + f64::from(*off) / 16.0).collect();
        let flight = built(&heights, 7.25 * (heights.len() + 1) as f64);
        let mut limits = irc();
        if let Some(step) = step {
            limits = limits.with_step(Length::inches(f64::from(step) / 16.0), Severity::Warning, "invented");
        }
        let room = room(heights.len(), f64::from(shim) / 16.0, f64::from(trim) / 16.0);
        match remedy(&flight, &limits, &room).unwrap() {
            Remedy::Schedule(found) => {
                prop_assert!(limits.hold(&found.risers));
                for (by, room) in found.moves.iter().zip(&room) {
                    prop_assert!(by.as_mm() <= room.shim().as_mm() + 1e-6 && -by.as_mm() <= room.trim().as_mm() + 1e-6);
                }
                if let Some(rounded) = found.on_tape.rounded().cloned() {
                    prop_assert!(limits.hold(&rounded.risers));
                    prop_assert!(rounded.total >= found.total - Length::mm(1e-5));
                    for by in rounded.moves {
                        let steps = by.as_mm() / rounded.grid.step().as_mm();
                        prop_assert!((steps - steps.round()).abs() < 1e-9);
                    }
                }
            }
            Remedy::NoneDoes(reach) => {
                let as_is = flight.risers();
                prop_assert!(!limits.hold(&as_is));
                prop_assert!(reach.least_spread <= spread(&as_is) + Length::mm(1e-6));
            }
        }
    }
}
