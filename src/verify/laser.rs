//! What holds for a beam: off on every rapid, never standing, off at the end. Height is said
//! nowhere.

use super::farthest::TooTangled;
use super::findings::{Findings, bare, seconds};
use super::limits::{GAP_MM, STRONGEST_BEAM, TIME_S};
use super::moves::{Drive, Motion, Move, Spindle, Stand};
use super::shape::Shape;
use super::stroke::{Stroke, repeated};
use crate::diagnostics::Millimetres;
use crate::diagnostics::codes::{self, Blind, StandsFor, Switch};
use crate::geometry::{Point, Segment, is_inside};
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

/// How far a beam goes on past its start in each round, and its way in, in mm: so much of an edge is
/// lit once more.
const LIT_AGAIN_MM: f64 = 2.0;

/// Looks at how often the beam goes along the edges: no more often than the profile's rounds.
pub(super) fn check_rounds(
    laser: &Laser,
    strokes: &[Stroke],
    findings: &mut Findings<'_>,
) -> Result<(), TooTangled> {
    let rounds = laser.passes as usize;
    let again = repeated(strokes, rounds + 1)?;
    let goes_on = |pair: &&[Stroke]| (pair[1].path.from() - pair[0].path.to()).norm() > GAP_MM;
    let lit = 1 + strokes.windows(2).filter(goes_on).count();
    let length: f64 = again.iter().map(|stroke| stroke.path.length()).sum();
    if let Some(first) = again.first().filter(|_| length > LIT_AGAIN_MM * lit as f64) {
        let (measured, limit) = (bare((rounds + 1) as f64 / rounds as f64), bare(STRONGEST_BEAM));
        let along = Millimetres(length);
        findings.at_line(codes::BeamBurns { measured, along, limit }, first.line);
    }
    Ok(())
}

/// Looks at what is done to a piece that lies loose: `along` are the strokes along outlines, `rings`
/// the outlines of all copies as they lie, `all` every stroke.
pub(super) fn check_order(
    rings: &[Vec<Segment>],
    along: &[Stroke],
    all: &[Stroke],
    findings: &mut Findings<'_>,
) {
    let owners: Vec<usize> =
        rings.iter().enumerate().flat_map(|(copy, ring)| ring.iter().map(move |_| copy)).collect();
    let outlines = Shape::new(rings.iter().flatten().copied().collect());
    let nearest = |stroke: &Stroke| outlines.nearest(stroke.path.point_at(0.5));
    let mut loose_from = vec![0; rings.len()];
    for stroke in along {
        if let Some((edge, _)) = nearest(stroke) {
            let from = &mut loose_from[owners[edge]];
            *from = stroke.line.max(*from);
        }
    }
    for stroke in all {
        let middle = stroke.path.point_at(0.5);
        let holds = |ring: &Vec<Segment>| {
            is_inside(middle, ring.iter().map(|side| (side.from(), side.to())))
        };
        let Some(on) = rings.iter().position(holds) else { continue };
        if loose_from[on] > 0 && stroke.line > loose_from[on] {
            findings.at_line(codes::LooseWorked {}, stroke.line);
        }
    }
}
