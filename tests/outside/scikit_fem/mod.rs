//! Writes cut stringers and this program's figures of them for `check.py`, which works them out as
//! they are, with finite elements. All stairs are invented.

use super::flight;
use crate::common::{Stair, tread};
use seatcut::pipeline::workup::Workup;
use seatcut::site::beam::{Check, LoadCase, Quantity};
use serde_json::{Value, json};

const LEDGER: (f64, f64) = (1.5, 2.5);

/// A stringer on three lines with a rim that reaches down to its heel.
fn stair(rise: &str, run: &str, board: &str, plate: Option<&str>, joint: Option<&str>) -> Stair {
    let tie_plate = plate.map_or(String::new(), |set_back| {
        format!(
            "width = \"3 1/2 in\"\nheight = \"1 1/2 in\"\nclearance = \"1/16 in\"\n\
             set_back = \"{set_back}\""
        )
    });
    let joint = joint.map_or(String::new(), |joint| format!("\njoint = {joint}"));
    Stair {
        rise: rise.into(),
        tread: tread(run, "1 in", "1 in", "0 in"),
        head: format!("meets = \"one-down\"\nfinish = \"1 in\"\nrim_depth = \"30 in\"{joint}"),
        board: format!(
            "width = \"{board}\"\nthickness = \"1 1/2 in\"\nspecies = \"southern-pine\"\n\
             grade = \"no2\""
        ),
        tie_plate,
        waive: "[stair]\nwidth = \"36 in\"\nmost_spacing = \"18 in\"\n[load]\n".into(),
        ..Stair::default()
    }
}

fn case(name: &str, stair: &Stair, ledger: Option<(f64, f64)>) -> Value {
    let beam = Workup::of(&stair.job()).around.beam.unwrap_or_else(|| panic!("{name}: no beam"));
    let (flight, input, strength) = (flight(stair), &beam.input, &beam.strength);
    let spread = |quantity| -> Option<&Check> {
        let of = |c: &&Check| c.quantity == quantity && c.case == LoadCase::Spread;
        strength.checks.iter().find(of)
    };
    let demand = |quantity| spread(quantity).map(|check| check.demand);
    let psf = input.loads.live_psf + input.loads.dead_psf;
    // Deflection is figured under the live load; finite elements bend under all of it.
    let across = demand(Quantity::SlopeDeflection).unwrap() * psf / input.loads.live_psf;
    let job = stair.job();
    let plate = job.plate().map(|tie| {
        json!({
            "set_back": tie.set_back.as_inches(),
            "width": (tie.width + tie.clearance).as_inches(),
            "height": (tie.height + tie.clearance).as_inches(),
        })
    });
    json!({
        "name": name,
        "rise": flight.unit_rise.as_inches(), "run": flight.unit_run.as_inches(),
        "treads": flight.treads, "first": flight.first_riser_cut().as_inches(),
        "head_x": flight.head_cut_x.as_inches(), "board": flight.board_depth.as_inches(),
        "thickness": input.thickness.as_inches(), "modulus": strength.design.modulus.value(),
        "pounds_an_inch": psf * strength.load_width_in / 144.0,
        "held": input.head.unwrap().held.as_inches(),
        "plate": plate,
        "ledger": ledger.map(|(width, height)| json!({"width": width, "height": height})),
        "bending": demand(Quantity::Bending).unwrap(), "across": across,
        "end": demand(Quantity::HeadShear).unwrap(), "notch_shear": demand(Quantity::NotchShear),
    })
}

fn cases() -> Vec<Value> {
    let (low, high) = ("total = \"44 in\"\nrisers = 6", "total = \"93 in\"\nrisers = 12");
    let ledger = format!(
        "{{ with = \"ledger-notch\", width = \"{} in\", height = \"{} in\" }}",
        LEDGER.0, LEDGER.1
    );
    let plain = |rise, run, board| stair(rise, run, board, None, None);
    vec![
        case("six risers", &plain(low, "10 1/2 in", "11 1/4 in"), None),
        case("twelve risers", &plain(high, "10 in", "11 1/4 in"), None),
        case("a shallow board", &plain(low, "11 in", "9 1/4 in"), None),
        case(
            "a ledger let in at the head",
            &stair(low, "10 1/2 in", "11 1/4 in", None, Some(&ledger)),
            Some(LEDGER),
        ),
        case(
            "a plate let in at the toe",
            &stair(low, "10 1/2 in", "11 1/4 in", Some("0 in"), None),
            None,
        ),
        case(
            "a plate behind two inches of wood",
            &stair(low, "10 1/2 in", "11 1/4 in", Some("2 in"), None),
            None,
        ),
    ]
}

#[test]
#[ignore = "run by tests/outside/python.sh, which sets SEATCUT_STRINGERS"]
fn stringers_are_written_for_plane_stress() {
    let file = std::env::var("SEATCUT_STRINGERS").expect("SEATCUT_STRINGERS names a file");
    std::fs::write(file, serde_json::to_string(&cases()).unwrap()).unwrap();
}
