//! What holds for a cutter: heights of rapids, the floor, the spindle.

use super::expectation::Expectation;
use super::findings::{Findings, rpm, seconds};
use super::levels::Levels;
use super::limits::{
    LONGEST_HOP_MM, LONGEST_SKIM_MM, LONGEST_STAND_S, RAPID_CLEARANCE_MM, SLOWEST_SPINDLE,
    STALLED_SPINDLE, TIME_S,
};
use super::moves::{Drive, End, Motion, Move, Spindle, Stand, Turned};
use crate::diagnostics::Millimetres;
use crate::diagnostics::codes::{self, Blind, Bound, Still};
use crate::geometry::{Bounds, Point};
use crate::profile::Router;

/// Looks at every move and dwell of a program for a router.
pub(super) fn check(
    e: &Expectation<'_>,
    router: &Router,
    motion: &Motion,
    levels: &Levels,
    findings: &mut Findings<'_>,
) {
    let material =
        Bounds { min: Point::origin(), max: Point::new(e.stock.length_mm, e.stock.width_mm) };
    let over = material.grown(router.cutter.as_mm() / 2.0);
    for m in &motion.moves {
        let in_material = m.from_z.into_iter().chain(m.to_z).any(|z| levels.is_in_material(z))
            && m.path.is_none_or(|path| path.bounds().touches(over));
        match m.drive {
            Drive::Rapid => {
                let hop = hop(e, m, levels);
                check_rapid(m, (levels, hop), in_material, findings);
            }
            Drive::Feed => {
                check_known(m, findings);
                check_skim(m, levels, over, findings);
                if in_material {
                    check_spindle(m, router, findings);
                }
            }
        }
        check_depth(m, router, levels, findings);
    }
    let is_in = |at: Option<Point>, z: Option<f64>| {
        z.is_some_and(|z| levels.is_in_material(z)) && at.is_none_or(|at| over.distance(at) <= 0.0)
    };
    let in_wood =
        motion.stands.iter().filter(|stand| stand.seconds > TIME_S && is_in(stand.at, stand.z));
    let mut last: Option<Stand> = None;
    for stand in in_wood {
        // What it stands in one place, a little to and fro, is one stand.
        let goes_on = |last: &Stand| {
            let away = last.at.zip(stand.at).map(|(a, b)| (a - b).norm());
            away.is_some_and(|away| away <= ONE_PLACE_MM) && last.tool.is_on() == stand.tool.is_on()
        };
        let before = last.filter(goes_on).map_or(0.0, |last| last.seconds);
        let all = Stand { seconds: before + stand.seconds, ..*stand };
        check_stand(&all, findings);
        last = Some(all);
    }
    for turned in motion.turned.iter().filter(|turned| turned.to == Spindle::CounterClockwise) {
        findings.at_line(codes::SpindleReversed {}, turned.line);
    }
    for turned in motion.turned.iter().filter(|turned| is_in(turned.at, turned.z)) {
        tell_turned(turned, findings);
    }
    // Whether a line's switch comes before its way or after it is not the same everywhere.
    let mut told = 0;
    for (turned, m) in motion.turned_on_the_way() {
        let is_near = m.path.is_none_or(|path| path.bounds().touches(over));
        let low = m.from_z.into_iter().chain(m.to_z).any(|z| levels.is_in_material(z));
        if low && is_near && told != turned.line && !is_in(turned.at, turned.z) {
            told = turned.line;
            tell_turned(turned, findings);
        }
    }
    check_end(motion, levels, findings);
}

/// Looks at a feed move over the stock that cuts nothing and yet goes lower than a sheet is flat.
fn check_skim(m: &Move, levels: &Levels, over: Bounds, findings: &mut Findings<'_>) {
    let (Some(path), Some(from), Some(to)) = (m.path, m.from_z, m.to_z) else { return };
    let [low, high] = [from.min(to), from.max(to)].map(|z| z - levels.top);
    let skims = low >= -levels.near && high < RAPID_CLEARANCE_MM;
    let along = path.length();
    if skims && along > LONGEST_SKIM_MM && path.bounds().touches(over) {
        let (measured, along) = (Millimetres(low.max(0.0)), Millimetres(along));
        let limit = Millimetres(RAPID_CLEARANCE_MM);
        findings.at_line(codes::SkimsFace { measured, along, limit }, m.line);
    }
}

/// Dwells no farther from each other heat one place, in mm.
const ONE_PLACE_MM: f64 = 1.0;

/// A stand in material: a stop for the operator never, a dwell of a turning cutter no longer than
/// wood takes.
fn check_stand(stand: &Stand, findings: &mut Findings<'_>) {
    if stand.seconds.is_infinite() {
        findings.at_line(codes::StopInMaterial {}, stand.line);
    } else if stand.tool.is_on() && stand.seconds > LONGEST_STAND_S {
        let (measured, limit) = (seconds(stand.seconds), seconds(LONGEST_STAND_S));
        findings.at_line(codes::StandsInMaterial { measured, limit }, stand.line);
    } else if stand.tool.is_on() {
        findings.at_line(codes::DwellInMaterial { measured: seconds(stand.seconds) }, stand.line);
    }
}

fn tell_turned(turned: &Turned, findings: &mut Findings<'_>) {
    findings.at_line(codes::ToolSwitchedInMaterial { word: turned.to.word() }, turned.line);
}

fn check_end(motion: &Motion, levels: &Levels, findings: &mut Findings<'_>) {
    motion.ends().for_each(|end| check_one_end(end, levels, findings));
}

fn check_one_end(end: &End, levels: &Levels, findings: &mut Findings<'_>) {
    if end.tool.spindle != Spindle::Off {
        findings.at_line(codes::SpindleOnAtEnd { measured: rpm(end.tool.speed) }, end.line);
    }
    if let Some(z) = end.z.filter(|&z| z < levels.safe - levels.near) {
        findings.at_line(
            codes::EndsLow { measured: over_top(z, levels), limit: safe(levels) },
            end.line,
        );
    }
}

fn safe(levels: &Levels) -> Millimetres {
    over_top(levels.safe, levels)
}

/// The least height of a rapid across: the safe one. In a program that only marks, from a stroke to
/// a near one, the lift of the profile's pointed cutter.
fn hop(e: &Expectation<'_>, m: &Move, levels: &Levels) -> f64 {
    let is_near = m.path.is_some_and(|path| path.length() <= LONGEST_HOP_MM);
    match e.machine.tool.point().filter(|_| is_near && !e.cuts()) {
        Some(point) => levels.safe.min(levels.top + point.lift.as_mm()),
        None => levels.safe,
    }
}

fn check_rapid(
    m: &Move,
    (levels, least): (&Levels, f64),
    in_material: bool,
    findings: &mut Findings<'_>,
) {
    let Some(to) = m.to_z else {
        findings.at_line(codes::UnknownStart { how: Blind::RapidAtNoHeight }, m.line);
        return;
    };
    let from = m.from_z.unwrap_or(to);
    let low = from.min(to);
    // Straight up out of the cut is the one rapid that may start in it.
    let up = !m.sideways && to >= from;
    let measured = over_top(low, levels);
    if in_material && !up {
        findings
            .at_line(codes::RapidInMaterial { measured: Millimetres(levels.top - low) }, m.line);
    } else if m.sideways && low < least - levels.near {
        let limit = over_top(least, levels);
        findings.at_line(codes::RapidLow { measured, limit }, m.line);
    } else if !up && measured.0 < RAPID_CLEARANCE_MM {
        findings
            .at_line(codes::RapidLow { measured, limit: Millimetres(RAPID_CLEARANCE_MM) }, m.line);
    } else if m.from_z.is_none() && (m.sideways || to < levels.safe - levels.near) {
        findings.at_line(codes::UnknownStart { how: Blind::FirstNotUp }, m.line);
    }
}

/// How high over the top of the material; below 0 in it.
fn over_top(z: f64, levels: &Levels) -> Millimetres {
    Millimetres(z - levels.top)
}

fn check_known(m: &Move, findings: &mut Findings<'_>) {
    if m.path.is_none() || m.from_z.is_none() {
        findings.at_line(codes::UnknownStart { how: Blind::FeedFromNowhere }, m.line);
    }
}

fn check_spindle(m: &Move, router: &Router, findings: &mut Findings<'_>) {
    let speed = m.tool.speed;
    match m.tool.spindle {
        Spindle::Off => findings.at_line(codes::SpindleOffInMaterial { why: Still::Off }, m.line),
        _ if speed <= 0.0 => {
            findings.at_line(codes::SpindleOffInMaterial { why: Still::NoSpeed }, m.line);
        }
        Spindle::CounterClockwise => findings.at_line(codes::SpindleWrongWay {}, m.line),
        Spindle::Clockwise => {
            let most = router.max_speed_rpm;
            let (least, stalled) =
                (router.speed_rpm * SLOWEST_SPINDLE, router.speed_rpm * STALLED_SPINDLE);
            let measured = rpm(speed);
            if speed > most {
                let (bound, limit) = (Bound::AtMost, rpm(most));
                findings.at_line(codes::SpindleSpeed { measured, bound, limit }, m.line);
            } else if speed < stalled {
                findings.at_line(codes::SpindleStalled { measured, limit: rpm(stalled) }, m.line);
            } else if speed < least {
                findings.at_line(codes::SpindleSlow { measured, limit: rpm(least) }, m.line);
            }
        }
    }
    if m.tool.is_on() && m.tool.stood_s < router.spin_up_s - TIME_S {
        let (measured, limit) = (seconds(m.tool.stood_s), seconds(router.spin_up_s));
        findings.at_line(codes::SpinUpShort { measured, limit }, m.line);
    }
}

fn check_depth(m: &Move, router: &Router, levels: &Levels, findings: &mut Findings<'_>) {
    let Some(z) = m.to_z else { return };
    let floor = levels.floor - levels.near;
    if let Some(skin) = router.hold.skin().filter(|_| z < floor) {
        let (measured, limit) = (Millimetres(levels.floor - z), Millimetres(skin.as_mm()));
        findings.at_line(codes::SkinCut { measured, limit }, m.line);
    } else if z < floor {
        let (measured, limit) =
            (Millimetres(levels.bottom - z), Millimetres(levels.bottom - levels.floor));
        findings.at_line(codes::BelowFloor { measured, limit }, m.line);
    }
    if levels.top - z > router.flute_length.as_mm() + levels.near {
        let (measured, limit) =
            (Millimetres(levels.top - z), Millimetres(router.flute_length.as_mm()));
        findings.at_line(codes::DeeperThanCutter { measured, limit }, m.line);
    }
}
