//! What the program tells the operator about pins and shifts. Coordinates are the machine's, from
//! X0 Y0 at the stock's lower left corner in the first set-up.

use super::Shifts;
use super::pins::Pins;
use crate::cam::plan::program::Step;
use crate::geometry::Point;
use crate::profile::{Machine, ProgramUnits};
use crate::units::{Length, trimmed};

fn figure(mm: f64, machine: &Machine) -> String {
    trimmed(mm / machine.units.in_mm(), machine.decimals)
}

fn measure(mm: f64, machine: &Machine) -> String {
    let unit = match machine.units {
        ProgramUnits::Inches => "IN",
        ProgramUnits::Millimetres => "MM",
    };
    format!("{} {unit}", figure(mm, machine))
}

/// The two table pins of a shift on the machine: where the holes of the stock come to lie.
fn on_table(k: usize, shifts: &Shifts, pins: &Pins) -> [Point; 2] {
    pins.pairs[k].map(|p| p - shifts.offset(k + 1))
}

fn places(k: usize, shifts: &Shifts, pins: &Pins, machine: &Machine) -> String {
    let place = |p: Point| format!("X{} Y{}", figure(p.x, machine), figure(p.y, machine));
    let [a, b] = on_table(k, shifts, pins);
    format!("{} AND {}", place(a), place(b))
}

/// What to do before the first set-up: bores for the pins in the table.
pub(super) fn before(shifts: &Shifts, pins: &Pins, machine: &Machine) -> Vec<Step> {
    let mut lines = vec![
        format!(
            "{} SET-UPS, THE STOCK MOVED ALONG {} ON TWO PINS",
            shifts.count,
            shifts.axis.letter()
        ),
        format!(
            "BEFORE THE STOCK LIES, BORE THE TABLE FOR PINS OF {}",
            measure(pins.diameter.as_mm(), machine)
        ),
    ];
    for k in 0..pins.pairs.len() {
        let line = format!("AT {}", places(k, shifts, pins, machine));
        if !lines.contains(&line) {
            lines.push(line);
        }
    }
    lines.push(
        "THIS MACHINE BORES THEM, FROM THE SAME X0 Y0. NO PIN STANDS IN SET-UP 1".to_string(),
    );
    lines.into_iter().map(Step::Say).collect()
}

/// What to do between set-up `k` and the next.
pub(super) fn shift(k: usize, shifts: &Shifts, pins: &Pins, machine: &Machine) -> Vec<String> {
    let letter = shifts.axis.letter();
    let error = Length::inches(1.0 / 64.0);
    vec![
        format!("STOP. SET-UP {} OF {} COMES NEXT", k + 2, shifts.count),
        "WAIT UNTIL THE CUTTER STANDS STILL, LOCK THE SPINDLE OUT".to_string(),
        "RAISE THE CUTTER FULLY AND JOG IT CLEAR OF THE STOCK AND ITS WAY".to_string(),
        "MARK ON THE TABLE WHERE THE END OF THE STOCK LIES NOW".to_string(),
        format!("PUT PINS OF {} INTO THE TABLE AT", measure(pins.diameter.as_mm(), machine)),
        places(k, shifts, pins, machine),
        format!(
            "LIFT THE STOCK, MOVE IT BY EXACTLY {} TOWARD -{letter}",
            measure(shifts.by, machine)
        ),
        "DROP ITS TWO NEW PIN HOLES ONTO THE PINS, NEVER PUSH A CUT EDGE TO A STOP".to_string(),
        "PINS NO HIGHER THAN THE STOCK".to_string(),
        "HOLD UP WHAT LIES BEYOND THE TABLE, AT THE HEIGHT OF THE TABLE".to_string(),
        "CLAMP IT FLAT, ALL LOOSE PIECES OUT OF THE WAY".to_string(),
        format!(
            "CHECK THAT IT LIES {} FROM YOUR MARK, TO {}",
            measure(shifts.by, machine),
            measure(error.as_mm(), machine)
        ),
        "X0 Y0 Z0 STAY AS THEY ARE. THEN GO ON".to_string(),
    ]
}
