//! What the operator is told about pins and shifts. Coordinates are the machine's, from X0 Y0 at
//! the stock's lower left corner in the first set-up.

use super::Shifts;
use super::pins::Pins;
use crate::cam::mark::Hole;
use crate::cam::plan::program::Step;
use crate::geometry::Point;
use crate::profile::{Machine, ProgramUnits};
use crate::units::{Length, trimmed};

/// Said by a cut where the marks of its set-up come before it.
pub(super) const AFTER_MARKS: &str =
    "THE STOCK LIES AS FOR THE MARKS BEFORE, Z0 SET ANEW FOR THIS CUTTER";

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

fn place(p: Point, machine: &Machine) -> String {
    format!("X{} Y{}", figure(p.x, machine), figure(p.y, machine))
}

fn pair([a, b]: [Point; 2], machine: &Machine) -> String {
    format!("{} AND {}", place(a, machine), place(b, machine))
}

/// The two table pins of a shift on the machine: where the holes of the stock come to lie.
fn on_table(k: usize, shifts: &Shifts, pins: &Pins) -> [Point; 2] {
    pins.pairs[k].map(|p| p - shifts.offset(k + 1))
}

/// The program that bores the table; of a job with clamps it says that none stands there yet, for
/// it goes round none.
pub(super) fn table(
    holes: &[Hole],
    depth: Length,
    machine: &Machine,
    has_clamps: bool,
) -> Vec<String> {
    let mut lines = vec![
        "IT BORES THE TABLE FOR PINS, BEFORE THE STOCK LIES ON IT".to_string(),
        "X0 Y0 WHERE THE LOWER LEFT CORNER OF THE STOCK WILL LIE".to_string(),
        "Z0 AT THE TOP OF THE TABLE, FOR THIS PROGRAM ONLY".to_string(),
        format!("A SPOIL BOARD THICKER THAN {} UNDER THEM", measure(depth.as_mm(), machine)),
    ];
    if has_clamps {
        lines.push("ALL CLAMPS OFF THE TABLE, IT GOES ROUND NONE OF THEM".to_string());
    }
    lines.extend(holes.iter().map(|hole| {
        let wide = measure(2.0 * hole.radius.as_mm(), machine);
        format!("PIN OF {wide} AT {}", place(hole.center, machine))
    }));
    lines
}

/// What to do before the first set-up.
pub(super) fn before(shifts: &Shifts, machine: &Machine, head: Length) -> Vec<Step> {
    let lines = [
        format!(
            "THE STOCK IS MOVED ALONG {} ON TWO PINS BETWEEN THE SET-UPS",
            shifts.axis.letter()
        ),
        "THE TABLE IS BORED FOR THEM BEFORE, FROM THE SAME X0 Y0".to_string(),
        "NO PIN STANDS IN SET-UP 1, IT BORES THE STOCK FOR THE NEXT".to_string(),
        format!("AT THE HEAD ALL SHIFTS MAY BE OFF BY {}", measure(head.as_mm(), machine)),
    ];
    lines.map(Step::Say).to_vec()
}

/// What to do between set-up `k` and the next.
pub(super) fn shift(k: usize, shifts: &Shifts, pins: &Pins, machine: &Machine) -> Vec<String> {
    let letter = shifts.axis.letter();
    let error = Length::inches(1.0 / 64.0);
    let holes = pins.pairs[k];
    vec![
        "CUTTER STANDS STILL, SPINDLE LOCKED OUT, CUTTER RAISED AND CLEAR".to_string(),
        "MARK ON THE TABLE WHERE THE END OF THE STOCK LIES NOW".to_string(),
        format!("PUT PINS OF {} INTO THE TABLE AT", measure(pins.diameter.as_mm(), machine)),
        pair(on_table(k, shifts, pins), machine),
        format!(
            "LIFT THE STOCK, MOVE IT BY EXACTLY {} TOWARD -{letter}",
            measure(shifts.by, machine)
        ),
        "DROP THE HOLES THAT THE LAST SET-UP BORED ONTO THE PINS,".to_string(),
        format!("FROM THE LOWER LEFT CORNER OF THE STOCK {}", pair(holes, machine)),
        "NEVER PUSH A CUT EDGE TO A STOP. PINS NO HIGHER THAN THE STOCK".to_string(),
        "HOLD UP WHAT LIES BEYOND THE TABLE, AT THE HEIGHT OF THE TABLE".to_string(),
        "CLAMP IT FLAT, ALL LOOSE PIECES OUT OF THE WAY".to_string(),
        format!(
            "CHECK THAT IT LIES {} FROM YOUR MARK, TO {}",
            measure(shifts.by, machine),
            measure(error.as_mm(), machine)
        ),
        "X0 Y0 STAY AS THEY ARE, Z0 IS THAT OF THE CUTTER THAT IS IN".to_string(),
    ]
}
