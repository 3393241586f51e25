//! A failing stringer from an engineers' forum, worked out again by hand: 1714 psi, 0.617 in
//! against 0.333 in.

use super::flight;
use crate::common::{Stair, tread};
use seatcut::diagnostics::Error;
use seatcut::job::{Load, Middle};
use seatcut::site::beam::{
    Ask, BeamInput, Change, Check, LoadCase, Quantity, Stringers, check, of_job,
};
use seatcut::units::{Length, decimal};

fn stair(species: &str) -> Stair {
    Stair {
        rise: "total = \"100 3/4 in\"\nrisers = 13".into(),
        tread: tread("10 in", "1 in", "1 in", "3/4 in"),
        board: format!("width = \"11 1/4 in\"\nthickness = \"1 1/2 in\"\n{species}"),
        ..Stair::default()
    }
}

fn ask() -> Ask {
    Ask {
        stringers: Stringers {
            count: 2,
            spacing: Length::inches(36.0),
            edge: Length::ZERO,
            inner_plies: 1,
            outer_plies: 1,
        },
        load: Load { live_psf: None, dead_psf: None, middle: Middle::Free, clear_span: None },
        seat: None,
        notch_in_span: true,
        head: None,
    }
}

fn beam(stair: &Stair, ask: &Ask) -> Result<BeamInput, Error> {
    let flight = flight(stair);
    of_job(&stair.job(), &flight, flight.behind_notches(), ask)
}

const HEM_FIR: &str = "species = \"hem-fir\"\ngrade = \"no2\"";

#[test]
fn two_2x12_at_36_inches_under_a_run_of_120_give_1714_psi_and_0_617_of_0_333_inches() {
    let strength = check(&beam(&stair(HEM_FIR), &ask()).unwrap()).unwrap();
    let spread = |quantity| {
        let of = |c: &&Check| c.quantity == quantity && c.case == LoadCase::Spread;
        strength.checks.iter().find(of).unwrap()
    };
    assert_eq!(decimal(spread(Quantity::Bending).demand, 0), "1714");
    assert_eq!(decimal(spread(Quantity::LiveDeflection).demand, 3), "0.617");
    assert_eq!(decimal(spread(Quantity::LiveDeflection).capacity, 3), "0.333");
    let codes: Vec<&str> = strength.findings.iter().map(|f| f.code.name()).collect();
    assert!(
        codes.contains(&"stringer-overstressed") && codes.contains(&"stringer-deflects"),
        "{codes:?}"
    );
}

#[test]
fn only_a_support_in_the_middle_helps_it_for_one_stringer_takes_the_point_load_alone() {
    let remedies = check(&beam(&stair(HEM_FIR), &ask()).unwrap()).unwrap().remedies;
    let enough: Vec<Change> = remedies.iter().filter(|r| r.suffices()).map(|r| r.change).collect();
    assert!(enough.contains(&Change::MiddleSupport), "{enough:?}");
}

#[test]
fn a_job_without_species_grade_or_live_load_is_told_what_to_write() {
    let refusal = |stair: &Stair, ask: &Ask| beam(stair, ask).unwrap_err().to_string();
    assert!(refusal(&stair(""), &ask()).contains("species = \"southern-pine\""));
    assert!(refusal(&stair("species = \"hem-fir\""), &ask()).contains("grade = \"no2\""));
    assert!(
        refusal(&stair("species = \"hemfir\"\ngrade = \"no2\""), &ask())
            .contains("species = \"hem-fir\"")
    );
    let silent = Stair { rules: "uk-private".into(), ..stair(HEM_FIR) };
    assert!(refusal(&silent, &ask()).contains("live load"));
    let given = Load { live_psf: Some(40.0), ..ask().load };
    assert!(beam(&silent, &Ask { load: given, ..ask() }).is_ok());
}

#[test]
fn a_job_that_is_wet_incised_and_has_a_plate_hands_all_of_it_on() {
    let wet = Stair {
        tie_plate: "width = \"3 1/2 in\"\nheight = \"1 1/2 in\"\nclearance = \"1/16 in\"".into(),
        ..stair(&format!("{HEM_FIR}\nwet = true\nincised = true"))
    };
    let input = beam(&wet, &ask()).unwrap();
    let notch = input.foot_notch.unwrap();
    assert!(
        (notch.height.as_inches() - 1.5625).abs() < 1e-12
            && (notch.depth - input.throat).as_mm().abs() < 1e-9
    );
    let strength = check(&input).unwrap();
    assert!((strength.design.modulus.value() - 1.3e6 * 0.9 * 0.95).abs() < 1e-3);
    assert!(strength.findings.iter().any(|f| f.code.name() == "foot-notch-deep"));
}
