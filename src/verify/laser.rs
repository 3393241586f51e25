//! What holds for a beam: off on every rapid, never standing, off at the end. Height is said
//! nowhere.

use super::findings::{Findings, bare, seconds};
use super::limits::{GAP_MM, STRONGEST_BEAM, TIME_S};
use super::moves::{Drive, Motion, Move, Spindle, Stand};
use super::stroke::Stroke;
use crate::diagnostics::Millimetres;
use crate::diagnostics::codes::{self, Blind, StandsFor, Switch};
use crate::geometry::Point;
use crate::profile::{BeamWord, Laser};

/// Looks at every move of a program for a laser.
pub(super) fn check(laser: &Laser, named: BeamWord, motion: &Motion, findings: &mut Findings<'_>) {
    for m in &motion.moves {
        let on = m.tool.is_on();
        match m.drive {
            Drive::Rapid if on => {
                findings.at_line(codes::BeamOnRapid { measured: bare(m.tool.speed) }, m.line);
            }
            Drive::Feed if on => {
                check_power(m, (laser, named), findings);
            }
            _ => {}
        }
    }
    for end in motion.ends().filter(|end| end.tool.is_on()) {
        findings.at_line(codes::BeamOnAtEnd { measured: bare(end.tool.speed) }, end.line);
    }
}

fn check_power(m: &Move, (laser, named): (&Laser, BeamWord), findings: &mut Findings<'_>) {
    if m.path.is_none() {
        findings.at_line(codes::UnknownStart { how: Blind::BeamFromNowhere }, m.line);
    }
    if m.tool.speed > laser.cut_s() * (1.0 + 1e-9) {
        let (measured, limit) = (bare(m.tool.speed), bare(laser.cut_s()));
        findings.at_line(codes::BeamPower { measured, limit }, m.line);
    }
    let word = if m.tool.spindle == Spindle::Clockwise { BeamWord::M3 } else { BeamWord::M4 };
    if word != named {
        findings.at_line(codes::BeamWord { found: switch(word), named: switch(named) }, m.line);
    }
}

fn switch(word: BeamWord) -> Switch {
    match word {
        BeamWord::M3 => Switch::Clockwise,
        BeamWord::M4 => Switch::CounterClockwise,
    }
}

/// Looks at every dwell with the beam on. `is_waste` tells whether a beam at a point stays off
/// every part.
pub(super) fn check_stands(
    stands: &[Stand],
    is_waste: impl Fn(Point) -> bool,
    findings: &mut Findings<'_>,
) {
    for stand in stands.iter().filter(|stand| stand.tool.is_on()) {
        if stand.seconds > TIME_S {
            let dwell = stand.seconds.is_finite().then(|| seconds(stand.seconds));
            let measured = dwell.map_or(StandsFor::TheOperator, StandsFor::Dwell);
            findings.at_line(codes::BeamStands { measured }, stand.line);
        }
        if !stand.at.is_some_and(&is_waste) {
            findings.at_line(codes::PierceOnPart {}, stand.line);
        }
    }
}

/// The longest stretch of a lead that runs along the edge already, in mm: its last chord.
const LEAD_END_MM: f64 = 1.0;

/// Looks at the energy of what was cut along the part's edges; less than a tenth too little does
/// not count as cut through at all. `strokes` are those that no way in or out explains.
pub(super) fn check_energy(strokes: &[Stroke], findings: &mut Findings<'_>) {
    let burning = || strokes.iter().filter(|stroke| stroke.energy > STRONGEST_BEAM);
    let length: f64 = burning().map(|stroke| stroke.path.length()).sum();
    let worst = burning().max_by(|a, b| a.energy.total_cmp(&b.energy));
    if let Some(stroke) = worst.filter(|_| length > LEAD_END_MM + GAP_MM) {
        let (measured, limit) = (bare(stroke.energy), bare(STRONGEST_BEAM));
        findings
            .at_line(codes::BeamBurns { measured, along: Millimetres(length), limit }, stroke.line);
    }
}
