//! What holds for a beam: off on every rapid, never standing, off at the end. Height is said nowhere.

use super::findings::Findings;
use super::limits::{GAP_MM, STRONGEST_BEAM, TIME_S};
use super::moves::{Drive, Motion, Move, Spindle, Stand};
use super::stroke::Stroke;
use crate::diagnostics::codes;
use crate::geometry::Point;
use crate::profile::{BeamWord, Laser};

/// Looks at every move of a program for a laser.
pub(super) fn check(laser: &Laser, motion: &Motion, findings: &mut Findings) {
    for m in &motion.moves {
        let on = m.tool.is_on();
        match m.drive {
            Drive::Rapid if on => {
                findings.at_line(codes::BeamOnRapid::CODE, m.line, format!("S{} on a rapid", m.tool.speed), "S0 or M5");
            }
            Drive::Feed if on => {
                check_power(m, laser, findings);
            }
            _ => {}
        }
    }
    if let Some(end) = motion.end.filter(|end| end.tool.is_on()) {
        findings.at_line(codes::BeamOnAtEnd::CODE, end.line, format!("S{}", end.tool.speed), "S0 or M5");
    }
}

fn check_power(m: &Move, laser: &Laser, findings: &mut Findings) {
    if m.path.is_none() {
        findings.at_line(codes::UnknownStart::CODE, m.line, "a cut from an unknown place", "X and Y known before it");
    }
    if m.tool.speed > laser.power {
        findings.at_line(codes::BeamPower::CODE, m.line, format!("S{}", m.tool.speed), format!("S{}", laser.power));
    }
    let word = if m.tool.spindle == Spindle::Clockwise { BeamWord::M3 } else { BeamWord::M4 };
    if word != laser.beam_on {
        findings.at_line(codes::BeamWord::CODE, m.line, format!("{word:?}"), format!("{:?}", laser.beam_on));
    }
}

/// Looks at every dwell with the beam on. `is_waste` tells whether a beam at a point stays off every part.
pub(super) fn check_stands(stands: &[Stand], is_waste: impl Fn(Point) -> bool, findings: &mut Findings) {
    for stand in stands.iter().filter(|stand| stand.tool.is_on()) {
        if stand.seconds > TIME_S {
            let measured = format!("{} s with the beam on", stand.seconds);
            findings.at_line(codes::BeamStands::CODE, stand.line, measured, "no dwell with the beam on");
        }
        if !stand.at.is_some_and(&is_waste) {
            findings.at_line(codes::PierceOnPart::CODE, stand.line, "a pierce on the part", "a pierce in the waste");
        }
    }
}

/// The longest stretch of a lead that runs along the edge already, in mm: its last chord.
const LEAD_END_MM: f64 = 1.0;

/// Looks at the energy of what was cut along the part's edges; less than a tenth too little does not count as cut through at
/// all. `strokes` are those that no way in or out explains.
pub(super) fn check_energy(strokes: &[Stroke], findings: &mut Findings) {
    let burning = || strokes.iter().filter(|stroke| stroke.energy > STRONGEST_BEAM);
    let length: f64 = burning().map(|stroke| stroke.path.length()).sum();
    let worst = burning().max_by(|a, b| a.energy.total_cmp(&b.energy));
    if let Some(stroke) = worst.filter(|_| length > LEAD_END_MM + GAP_MM) {
        let measured = format!("{:.2} times the energy along {length:.1} mm", stroke.energy);
        findings.at_line(codes::BeamBurns::CODE, stroke.line, measured, format!("{STRONGEST_BEAM} times"));
    }
}
