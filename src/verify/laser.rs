//! What holds for a beam: off on every rapid, never standing, off at the end. Height is said
//! nowhere.

use std::collections::BTreeMap;

use super::farthest::TooTangled;
use super::findings::{Findings, bare, seconds};
use super::limits::{BURNING_BEAM, GAP_MM, MOST_PAIRS, STRONGEST_BEAM, TIME_S};
use super::moves::{Drive, Motion, Move, Spindle, Stand};
use super::pair::{cover, gaps};
use super::shape::Shape;
use super::stroke::{Stroke, repeated};
use crate::diagnostics::codes::{self, Blind, StandsFor, Switch};
use crate::diagnostics::{Count, Millimetres};
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
    let mut told = 0;
    for (turned, _) in motion.turned_on_the_way() {
        if told != turned.line && (turned.was_on || turned.to != Spindle::Off) {
            told = turned.line;
            findings.at_line(codes::SwitchOnTheWay { word: turned.to.word() }, turned.line);
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
pub(super) fn check_energy(laser: &Laser, strokes: &[Stroke], findings: &mut Findings<'_>) {
    tell_burnt(laser, strokes, LEAD_END_MM, findings);
}

/// Looks at the energy of everything that is lit, ways in and marks too: so much of it is a fire.
/// The way in is as slow as the profile has it.
pub(super) fn check_fire(laser: &Laser, strokes: &[Stroke], findings: &mut Findings<'_>) {
    let limit = most_energy(laser);
    let fires = || strokes.iter().filter(|stroke| stroke.energy > limit);
    let length: f64 = fires().map(|stroke| stroke.path.length()).sum();
    let worst = fires().max_by(|a, b| a.energy.total_cmp(&b.energy));
    if let Some(stroke) = worst {
        let (measured, limit) = (bare(stroke.energy), bare(limit));
        findings
            .at_line(codes::BeamFire { measured, along: Millimetres(length), limit }, stroke.line);
    }
}

/// The most energy that any stroke may have, in times the cut's.
fn most_energy(laser: &Laser) -> f64 {
    BURNING_BEAM * (laser.feed_mm_min / laser.pierce_feed_mm_min).max(1.0)
}

/// Nearer to the part than this no beam is lit, in mm: a pierce is wider than the kerf. In small
/// holes and narrow waste it is lit hardly farther off.
const PIERCE_MM: f64 = 0.05;

/// Looks at every place where a beam is lit while it moves. `off` tells how far a place is from
/// every edge of the part, in mm; the beam's own width counts to it.
pub(super) fn check_pierces(
    laser: &Laser,
    motion: &Motion,
    off: impl Fn(Point) -> f64,
    findings: &mut Findings<'_>,
) {
    let mut was_lit = false;
    for m in &motion.moves {
        let is_lit = m.drive == Drive::Feed && m.tool.is_on();
        let was = std::mem::replace(&mut was_lit, is_lit);
        let Some(path) = m.path.filter(|_| is_lit && !was) else { continue };
        let clear = off(path.from()) - laser.kerf.as_mm() / 2.0;
        // As the dwell, which is judged by itself, a mark pierces nothing.
        if m.tool.speed > laser.full_power * laser.mark_power && clear < PIERCE_MM {
            let (measured, limit) = (Millimetres(clear.max(0.0)), Millimetres(PIERCE_MM));
            findings.at_line(codes::PierceNearPart { measured, limit }, m.line);
        }
    }
}

/// Tells strokes along an edge that burn over a longer way than is granted, in mm, or are a fire
/// there: the way in may be so slow, an edge may not. What is a fire anywhere was told before.
fn tell_burnt(laser: &Laser, strokes: &[Stroke], granted: f64, findings: &mut Findings<'_>) {
    let hottest = strokes.iter().max_by(|a, b| a.energy.total_cmp(&b.energy));
    let Some(worst) = hottest.filter(|worst| worst.energy <= most_energy(laser)) else { return };
    let over = |limit: f64| -> f64 {
        let beyond = strokes.iter().filter(|stroke| stroke.energy > limit);
        beyond.map(|stroke| stroke.path.length()).sum()
    };
    let (fire, burnt) = (over(BURNING_BEAM), over(STRONGEST_BEAM));
    let (measured, line) = (bare(worst.energy), worst.line);
    if fire > granted + GAP_MM {
        let (along, limit) = (Millimetres(fire), bare(BURNING_BEAM));
        findings.at_line(codes::BeamFire { measured, along, limit }, line);
    } else if burnt > granted + GAP_MM {
        let (along, limit) = (Millimetres(burnt), bare(STRONGEST_BEAM));
        findings.at_line(codes::BeamBurns { measured, along, limit }, line);
    }
}

/// How far a beam goes on past its start in each round, and its way in, in mm: so much of an edge
/// is lit once more.
const LIT_AGAIN_MM: f64 = 2.0;
/// Where lines meet or cross each other, so much is lit more often still, in mm.
const CROSSING_MM: f64 = 1.0;

/// How much of a hole's edge the way in may burn, and go over once more, as a share of it.
const OF_A_HOLE: f64 = 0.25;

/// Looks at the energy along the edge of each hole, and at how often the beam goes round it; each
/// with its circumference in mm. The way in comes to the edge of a small hole along some of it.
pub(super) fn check_holes(
    laser: &Laser,
    holes: &BTreeMap<usize, (f64, Vec<Stroke>)>,
    findings: &mut Findings<'_>,
) -> Result<(), TooTangled> {
    let rounds = laser.passes as usize;
    for (circumference, strokes) in holes.values() {
        let granted = LEAD_END_MM + OF_A_HOLE * circumference;
        tell_burnt(laser, strokes, granted, findings);
        let again = LIT_AGAIN_MM * rounds as f64 + granted;
        tell_again((strokes, rounds + 1), rounds, again, findings)?;
    }
    Ok(())
}

/// Looks at how often the beam goes along the edges, `along`, and through holes and ways in and
/// out, `apart`: no more often than the profile's rounds, but for where each of `starts` closes.
pub(super) fn check_rounds(
    laser: &Laser,
    (along, apart): (&[Stroke], &[Stroke]),
    starts: usize,
    findings: &mut Findings<'_>,
) -> Result<(), TooTangled> {
    let rounds = laser.passes as usize;
    let mut all: Vec<Stroke> = along.iter().chain(apart).copied().collect();
    all.sort_by_key(|stroke| stroke.line);
    let closing = LIT_AGAIN_MM * (rounds * starts) as f64;
    // Every round closes where it began, at one place all of them.
    let crossing = CROSSING_MM * starts as f64;
    let _ = tell_again((along, rounds + 1), rounds, closing, findings)?
        || tell_again((&all, 2 * rounds + 1), rounds, crossing, findings)?;
    Ok(())
}

/// Looks at how often the beam goes over marks: once, but for where their strokes meet.
pub(super) fn check_marks(marks: &[Stroke], findings: &mut Findings<'_>) -> Result<(), TooTangled> {
    let all: f64 = marks.iter().map(|stroke| stroke.path.length()).sum();
    let _ = tell_again((marks, 2), 1, all * MARKED_AGAIN, findings)?
        || tell_again((marks, 3), 1, CROSSING_MM, findings)?;
    Ok(())
}

/// Tells strokes that lie so many times on each other over a longer way than is granted, in mm;
/// whether there are such. `limit`: how often they may.
fn tell_again(
    (strokes, times): (&[Stroke], usize),
    limit: usize,
    granted: f64,
    findings: &mut Findings<'_>,
) -> Result<bool, TooTangled> {
    let again = repeated(strokes, times)?;
    let length: f64 = again.iter().map(|stroke| stroke.path.length()).sum();
    let first = again.first().filter(|_| length > granted);
    if let Some(first) = first {
        let (times, limit) = (Count::from(times), Count::from(limit));
        findings.at_line(codes::BeamAgain { times, along: Millimetres(length), limit }, first.line);
    }
    Ok(first.is_some())
}

/// The share of marks that lies on others where letters close and lines cross.
const MARKED_AGAIN: f64 = 0.05;

/// Looks at what is done to a piece that lies loose: `along` are the strokes along outlines,
/// `beside` how far off them in mm, `rings` the outlines of all copies as they lie, `all` every
/// stroke.
pub(super) fn check_order(
    rings: &[Vec<Segment>],
    (along, beside): (&[Stroke], f64),
    all: &[Stroke],
    findings: &mut Findings<'_>,
) -> Result<(), TooTangled> {
    let loose_from: Vec<Option<usize>> =
        rings.iter().map(|ring| freed_at(ring, along, beside)).collect::<Result<_, _>>()?;
    for stroke in all {
        let middle = stroke.path.point_at(0.5);
        let holds = |ring: &Vec<Segment>| {
            is_inside(middle, ring.iter().map(|side| (side.from(), side.to())))
        };
        let Some(on) = rings.iter().position(holds) else { continue };
        if loose_from[on].is_some_and(|line| stroke.line > line) {
            findings.at_line(codes::LooseWorked {}, stroke.line);
        }
    }
    Ok(())
}

/// Wood of less does not hold a piece, in mm.
const HOLDS_MM: f64 = 0.5;

/// The line by which all of a ring was gone along; `None` where some of it never is.
fn freed_at(ring: &[Segment], along: &[Stroke], beside: f64) -> Result<Option<usize>, TooTangled> {
    let paths = Shape::of_strokes(along);
    let (mut near, mut covered, mut pairs, mut freed) = (Vec::new(), Vec::new(), 0, 0);
    for side in ring {
        paths.near(side.bounds().grown(beside), &mut near);
        near.sort_by_key(|&at| along[at].line);
        pairs += near.len();
        if pairs > MOST_PAIRS {
            return Err(TooTangled);
        }
        let length = side.length().max(GAP_MM);
        let is_gone = |covered: &mut Vec<(f64, f64)>| gaps(covered, HOLDS_MM / length).is_empty();
        covered.clear();
        let mut gone = length <= HOLDS_MM;
        for &at in &near {
            if gone {
                break;
            }
            cover(side, &along[at].path, beside, &mut covered);
            gone = is_gone(&mut covered.clone());
            freed = freed.max(along[at].line);
        }
        if !gone {
            return Ok(None);
        }
    }
    Ok((freed > 0).then_some(freed))
}
