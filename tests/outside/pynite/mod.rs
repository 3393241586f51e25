//! Writes beams and this program's figures of them for `check.py`, which works them out with finite
//! elements.

use seatcut::job::Middle;
use seatcut::profile::{PointOn, TimberTable};
use seatcut::site::beam::{
    BeamInput, DeflectionLimits, Incising, Loads, Moisture, Quantity, Sawn, Section, Stringers,
    check, point_load, uniform_load,
};
use seatcut::units::Length;
use serde_json::{Value, json};

const SPANS_IN: [f64; 4] = [30.0, 72.0, 120.0, 240.0];
const DEPTHS_IN: [f64; 3] = [3.0, 5.1243, 11.25];
const MODULI_PSI: [f64; 3] = [1.1115e6, 1.3e6, 1.6e6];
const BREADTH_IN: f64 = 1.5;

fn cases() -> Vec<Value> {
    let mut cases = Vec::new();
    for span in SPANS_IN {
        for depth in DEPTHS_IN {
            cases.extend(MODULI_PSI.iter().flat_map(|modulus| simple(span, depth, *modulus)));
            cases.push(with_middle_support(span, depth));
        }
    }
    cases
}

fn simple(span: f64, depth: f64, modulus: f64) -> [Value; 2] {
    let stiffness = modulus * Section { breadth_in: BREADTH_IN, depth_in: depth }.inertia();
    let spread = ("uniform", 6.25, uniform_load(6.25, span, stiffness));
    let point = ("point", 300.0, point_load(300.0, span, stiffness));
    [spread, point].map(|(load, pounds, response)| {
        json!({
            "load": load, "pounds": pounds,
            "span_in": span, "breadth_in": BREADTH_IN, "depth_in": depth, "modulus_psi": modulus,
            "moment": response.moment, "shear": response.shear, "deflection": response.deflection,
        })
    })
}

/// Two stringers 36 in apart under 50 psf: 6.25 lb an inch each. Its shear is taken back out of the
/// shear stress.
fn with_middle_support(span: f64, depth: f64) -> Value {
    let table = TimberTable::of_species("southern-pine").unwrap();
    let wood = table.wood("hem-fir", "no2").unwrap().clone();
    let input = BeamInput {
        wood,
        factors: table.factors.clone(),
        board_width: Length::inches(11.25),
        thickness: Length::inches(BREADTH_IN),
        sawn: Sawn::Notched,
        throat: Length::inches(depth),
        span: Length::inches(span),
        pitch_rad: 0.0,
        middle: Middle::Supported,
        stringers: Stringers {
            count: 2,
            spacing: Length::inches(36.0),
            edge: Length::ZERO,
            inner_plies: 1,
            outer_plies: 1,
        },
        loads: Loads {
            live_psf: 40.0,
            dead_psf: 10.0,
            point_lb: None,
            point_on: PointOn::Stringer,
            times: 1.0,
            source: "invented".into(),
        },
        moisture: Moisture::Dry,
        incising: Incising::None,
        limits: DeflectionLimits::default(),
        foot_notch: None,
        head: None,
        seat: None,
    };
    let checks = check(&input).unwrap().checks;
    let stress = checks.iter().find(|c| c.quantity == Quantity::Shear).unwrap().demand;
    json!({
        "load": "middle", "pounds": 6.25,
        "span_in": span, "breadth_in": BREADTH_IN, "depth_in": depth, "modulus_psi": 1.3e6,
        "shear": stress * BREADTH_IN * depth / 1.5,
    })
}

#[test]
#[ignore = "run by tests/outside/python.sh, which sets SEATCUT_BEAMS"]
fn beams_are_written_for_the_finite_elements() {
    let file = std::env::var("SEATCUT_BEAMS").expect("SEATCUT_BEAMS names a file");
    std::fs::write(file, serde_json::to_string(&cases()).unwrap()).unwrap();
}
