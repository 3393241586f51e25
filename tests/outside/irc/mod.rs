//! International Residential Code 2021, R311.7.1 to R311.7.8.

use super::{flight, found, refused_by, rising};
use crate::common::{Stair, tread};
use seatcut::stair::chosen_count;

#[test]
fn a_flight_of_151_inches_takes_20_risers_within_7_and_three_quarters() {
    let job = rising("151 in", "").job();
    let allowed = |n: f64| 151.0 / n <= 7.75;
    assert!(allowed(20.0) && !allowed(19.0));
    assert!(refused_by(&rising("151 in", "risers = 19"), "unit-rise-high"));
    assert!(!refused_by(&rising("151 in", "risers = 20"), "unit-rise-high"));
    assert!(chosen_count(&job).0 >= 20);
}

fn limit(rise: &str, risers: u32, run: &str, overhang: &str) -> Stair {
    Stair {
        tread: tread(run, overhang, "1 in", "3/4 in"),
        ..rising(rise, &format!("risers = {risers}"))
    }
}

#[test]
fn riser_run_flight_and_nosing_hold_on_both_sides() {
    for (stair, code, passes) in [
        (limit("31 in", 4, "10 in", "1 in"), "unit-rise-high", true),
        (limit("31.001 in", 4, "10 in", "1 in"), "unit-rise-high", false),
        (limit("28 in", 4, "10 in", "1 in"), "unit-run-low", true),
        (limit("28 in", 4, "9.999 in", "1 in"), "unit-run-low", false),
        (limit("151 in", 20, "10 in", "1 in"), "flight-rise-high", true),
        (limit("151.001 in", 20, "10 in", "1 in"), "flight-rise-high", false),
        (limit("28 in", 4, "10 in", "3/4 in"), "nosing-low", true),
        (limit("28 in", 4, "10 in", "0.749 in"), "nosing-low", false),
        (limit("28 in", 4, "10 in", "1 1/4 in"), "nosing-high", true),
        (limit("28 in", 4, "10 in", "1.251 in"), "nosing-high", false),
        (limit("28 in", 4, "11 in", "0 in"), "nosing-low", true),
        (limit("28 in", 4, "10.99 in", "0 in"), "nosing-low", false),
    ] {
        assert_eq!(!refused_by(&stair, code), passes, "{code}: {}", stair.toml());
    }
}

#[test]
fn open_risers_pass_no_4_inch_sphere_where_the_stair_is_more_than_30_inches_up() {
    let open = |total: &str, risers: u32, thickness: &str| Stair {
        tread: tread("10 1/4 in", "1 in", thickness, "0 in"),
        ..rising(total, &format!("risers = {risers}"))
    };
    // 7 in risers: a gap of 7 less the thickness. The highest gap ends under the top tread: of six
    // 42 in less its thickness up, of four 28 in less it.
    assert!(refused_by(&open("49 in", 7, "2.9 in"), "open-gap-high"));
    assert!(!refused_by(&open("49 in", 7, "3 in"), "open-gap-high"));
    assert!(!refused_by(&open("35 in", 5, "1 in"), "open-gap-high"));
    // It is the gap that has to lie more than 30 in up, not the tread over it: the top of the
    // fourth tread stands 31 in up, and the gap ends under it.
    assert!(!refused_by(&open("38 3/4 in", 5, "1 in"), "open-gap-high"));
    assert!(refused_by(&open("38 3/4 in", 5, "0.999 in"), "open-gap-high"));
}

#[test]
fn a_nosing_is_not_asked_for_from_a_run_of_11_inches_on_but_one_that_is_there_has_its_most() {
    assert!(!refused_by(&limit("28 in", 4, "11 in", "1 1/4 in"), "nosing-high"));
    assert!(refused_by(&limit("28 in", 4, "11 in", "2 in"), "nosing-high"));
}

#[test]
fn a_handrail_is_spoken_of_from_four_risers_on() {
    assert!(!found(&rising("21 in", "risers = 3"), "handrail-wanted"));
    assert!(found(&rising("28 in", "risers = 4"), "handrail-wanted"));
}

#[test]
fn the_spread_of_risers_and_runs_is_nothing_by_construction() {
    let stair = limit("51 3/8 in", 7, "10 1/4 in", "1 in");
    let risers = flight(&stair).finished_risers();
    assert!(risers.iter().all(|r| (r.as_inches() - 51.375 / 7.0).abs() < 1e-9));
    assert!(!found(&stair, "riser-spread-high") && !found(&stair, "run-spread-high"));
}
