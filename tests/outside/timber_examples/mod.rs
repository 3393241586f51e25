//! Worked examples of timber design and a table of continuous beams, worked out again by the beam
//! check.

use crate::common::Stair;
use seatcut::pipeline::workup::Workup;
use seatcut::site::beam::{BeamInput, Moisture, Section, check, point_load};
use seatcut::units::{Length, decimal};

fn beam(species: &str, grade: &str) -> BeamInput {
    let stair = Stair {
        board: format!(
            "width = \"11 1/4 in\"\nthickness = \"1 1/2 in\"\nspecies = \"{species}\"\n\
             grade = \"{grade}\""
        ),
        waive: "[stair]\nwidth = \"36 in\"\nmost_spacing = \"36 in\"\n[load]\n".into(),
        ..Stair::default()
    };
    Workup::of(&stair.job()).around.beam.expect("a beam").input
}

#[test]
fn a_wet_2x8_of_douglas_fir_no1_under_snow_has_1173_psi_in_bending_and_201_in_shear() {
    let mut input = beam("douglas-fir-larch", "no1");
    // A single member under snow: 1.15 for ten years' 1.0.
    input.factors.duration_live = 1.15;
    input.board_width = Length::inches(7.25);
    input.throat = Length::inches(5.0);
    input.moisture = Moisture::Wet;
    let design = check(&input).unwrap().design;
    assert_eq!(decimal(design.bending.value(), 0), "1173");
    assert_eq!(decimal(design.shear.value(), 0), "201");
}

#[test]
fn a_4x8_of_8_feet_under_2000_pounds_at_midspan_has_1566_psi_and_bends_0_156_inches() {
    let section = Section { breadth_in: 3.5, depth_in: 7.25 };
    assert_eq!(decimal(section.modulus(), 2), "30.66");
    assert_eq!(decimal(section.inertia(), 1), "111.1");
    let stiffness = |modulus: f64| modulus * section.inertia();
    let all = point_load(2000.0, 96.0, stiffness(1.7e6));
    // The source divides by the rounded section modulus.
    assert!((section.bending(all.moment) - 1566.0).abs() < 1.0);
    assert_eq!(decimal(section.shear(all.shear / 2.0), 1), "59.1");
    let live = |modulus| point_load(1600.0, 96.0, stiffness(modulus)).deflection;
    assert_eq!(decimal(live(1.7e6), 3), "0.156");
    // Wet: 0.9 of the modulus.
    assert_eq!(decimal(live(1.53e6), 3), "0.173");
}

#[test]
fn an_inner_line_carries_the_greatest_reaction_of_the_table_of_continuous_beams() {
    let mut input = beam("hem-fir", "no2");
    for (supports, of, parts) in [
        (3, 10.0, 8.0),
        (4, 11.0, 10.0),
        (5, 32.0, 28.0),
        (6, 43.0, 38.0),
        (7, 118.0, 104.0),
        (8, 161.0, 142.0),
    ] {
        input.stringers.count = supports;
        input.stringers.spacing = Length::inches(12.0);
        input.stringers.edge = Length::ZERO;
        let found = check(&input).unwrap().load_width_in / 12.0;
        assert!((found - of / parts).abs() < 1e-9, "{supports} supports: {found}");
    }
}
