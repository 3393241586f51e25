//! Checks against something this project did not make, one module a source.

mod access_standards;
mod approved_document_k;
mod army_en5156;
mod awc_dca6;
mod bc_carpentry;
mod canada;
mod carpenters_guide;
mod chip_load;
mod dxf_crate;
mod engineers_forum;
mod esicup_1d;
mod exact_tour;
mod geo_crate;
mod gtz_stairmaking;
mod haun;
mod hodgson;
mod ibc;
mod irc;
mod irc_joists;
mod national_construction_code;
mod navy_14044;
mod osha_1910;
mod practice;
mod pynite;
mod radford;
mod scikit_fem;
mod scipy;
mod steiner;
mod timber_examples;
mod trapezoid_time;
mod wood_handbook;

use crate::common::Stair;
use seatcut::pipeline::workup::Workup;
use seatcut::stair::{Flight, chosen_count};

/// The flight that a stair's own count or aim gives.
fn flight(stair: &Stair) -> Flight {
    let job = stair.job();
    Flight::new(&job, chosen_count(&job).0)
}

/// A stair with a total rise and a line that chooses the count.
fn rising(total: &str, choice: &str) -> Stair {
    Stair { rise: format!("total = \"{total}\"\n{choice}"), ..Stair::default() }
}

/// Whether a finding of this code refuses the stair.
fn refused_by(stair: &Stair, code: &str) -> bool {
    Workup::of(&stair.job()).findings.iter().any(|f| f.code.name() == code && f.refuses())
}

/// Whether a finding of this code is there at all.
fn found(stair: &Stair, code: &str) -> bool {
    Workup::of(&stair.job()).findings.iter().any(|f| f.code.name() == code)
}

/// Asserts that two figures agree to 1e-9.
fn same(a: f64, b: f64) {
    assert!((a - b).abs() < 1e-9, "{a} is not {b}");
}
