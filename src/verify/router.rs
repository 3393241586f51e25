//! What holds for a cutter: heights of rapids, the floor, the spindle.

use super::expectation::Expectation;
use super::findings::Findings;
use super::levels::Levels;
use super::limits::{LONGEST_STAND_S, RAPID_CLEARANCE_MM, SLOWEST_SPINDLE, STALLED_SPINDLE, TIME_S};
use super::moves::{Drive, Motion, Move, Spindle, Stand, Turned};
use crate::diagnostics::codes;
use crate::geometry::{Bounds, Point};
use crate::profile::Router;

/// Looks at every move and dwell of a program for a router.
pub(super) fn check(e: &Expectation, router: &Router, motion: &Motion, levels: &Levels, findings: &mut Findings) {
    let material = Bounds { min: Point::origin(), max: Point::new(e.stock.length_mm, e.stock.width_mm) };
    let over = material.grown(router.cutter.as_mm() / 2.0);
    for m in &motion.moves {
        let in_material = m.from_z.into_iter().chain(m.to_z).any(|z| levels.is_in_material(z))
            && m.path.is_none_or(|path| path.bounds().touches(over));
        match m.drive {
            Drive::Rapid => check_rapid(m, levels, in_material, findings),
            Drive::Feed => {
                check_known(m, findings);
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
    for stand in motion.stands.iter().filter(|stand| stand.seconds > TIME_S && is_in(stand.at, stand.z)) {
        check_stand(stand, findings);
    }
    for turned in motion.turned.iter().filter(|turned| is_in(turned.at, turned.z)) {
        tell_turned(turned, findings);
    }
    check_end(motion, levels, findings);
}

/// A stand in material: a stop for the operator never, a dwell of a turning cutter no longer than wood takes.
fn check_stand(stand: &Stand, findings: &mut Findings) {
    if stand.seconds.is_infinite() {
        findings.at_line(codes::StopInMaterial::CODE, stand.line, "M0 below the material's top", "M0 above it");
    } else if stand.tool.is_on() && stand.seconds > LONGEST_STAND_S {
        let measured = format!("{} s below the material's top", stand.seconds);
        findings.at_line(codes::StandsInMaterial::CODE, stand.line, measured, format!("{LONGEST_STAND_S} s"));
    } else if stand.tool.is_on() {
        findings.at_line(codes::DwellInMaterial::CODE, stand.line, "a dwell below the top", "a dwell above it");
    }
}

fn tell_turned(turned: &Turned, findings: &mut Findings) {
    let word = match turned.to {
        Spindle::Off => "M5",
        Spindle::Clockwise => "M3",
        Spindle::CounterClockwise => "M4",
    };
    let measured = format!("{word} below the material's top");
    findings.at_line(codes::ToolSwitchedInMaterial::CODE, turned.line, measured, "above it");
}

fn check_end(motion: &Motion, levels: &Levels, findings: &mut Findings) {
    let Some(end) = motion.end else { return };
    if end.tool.spindle != Spindle::Off {
        let measured = format!("S{} at the end", end.tool.speed);
        findings.at_line(codes::SpindleOnAtEnd::CODE, end.line, measured, "M5 before the end");
    }
    if let Some(z) = end.z.filter(|&z| z < levels.safe - levels.near) {
        findings.at_line(codes::EndsLow::CODE, end.line, height(z, levels), safe(levels));
    }
}

fn safe(levels: &Levels) -> String {
    format!("{:.3} mm above the material", levels.safe - levels.top)
}

fn check_rapid(m: &Move, levels: &Levels, in_material: bool, findings: &mut Findings) {
    let Some(to) = m.to_z else {
        findings.at_line(codes::UnknownStart::CODE, m.line, "a sideways rapid at an unknown height", "Z first");
        return;
    };
    let from = m.from_z.unwrap_or(to);
    let low = from.min(to);
    // Straight up out of the cut is the one rapid that may start in it.
    let up = !m.sideways && to >= from;
    if in_material && !up {
        findings.at_line(codes::RapidInMaterial::CODE, m.line, height(low, levels), "above the material");
    } else if m.sideways && low < levels.safe - levels.near {
        findings.at_line(codes::RapidLow::CODE, m.line, height(low, levels), safe(levels));
    } else if !up && over_material(low, levels) < RAPID_CLEARANCE_MM {
        let limit = format!("{RAPID_CLEARANCE_MM} mm above the material");
        findings.at_line(codes::RapidLow::CODE, m.line, height(low, levels), limit);
    } else if m.from_z.is_none() && (m.sideways || to < levels.safe - levels.near) {
        findings.at_line(
            codes::UnknownStart::CODE,
            m.line,
            "a first move that does not lift",
            "G0 to the safe height first",
        );
    }
}

fn over_material(z: f64, levels: &Levels) -> f64 {
    z - levels.top
}

fn height(z: f64, levels: &Levels) -> String {
    let over = over_material(z, levels);
    let side = if over < 0.0 { "below" } else { "above" };
    format!("{:.3} mm {side} the material's top", over.abs())
}

fn check_known(m: &Move, findings: &mut Findings) {
    if m.path.is_none() || m.from_z.is_none() {
        findings.at_line(
            codes::UnknownStart::CODE,
            m.line,
            "a feed move from an unknown place",
            "X, Y and Z known before it",
        );
    }
}

fn check_spindle(m: &Move, router: &Router, findings: &mut Findings) {
    let speed = m.tool.speed;
    match m.tool.spindle {
        Spindle::Off => {
            findings.at_line(codes::SpindleOffInMaterial::CODE, m.line, "the spindle is off", "M3 with S before it")
        }
        _ if speed <= 0.0 => {
            findings.at_line(codes::SpindleOffInMaterial::CODE, m.line, format!("S{speed}"), "S above 0")
        }
        Spindle::CounterClockwise => findings.at_line(codes::SpindleWrongWay::CODE, m.line, "M4", "M3"),
        Spindle::Clockwise => {
            let most = router.max_speed_rpm;
            let (least, stalled) = (router.speed_rpm * SLOWEST_SPINDLE, router.speed_rpm * STALLED_SPINDLE);
            if speed > most {
                findings.at_line(codes::SpindleSpeed::CODE, m.line, format!("S{speed}"), format!("S{most}"));
            } else if speed < stalled {
                findings.at_line(codes::SpindleStalled::CODE, m.line, format!("S{speed}"), format!("S{stalled}"));
            } else if speed < least {
                findings.at_line(codes::SpindleSlow::CODE, m.line, format!("S{speed}"), format!("S{least}"));
            }
        }
    }
    if m.tool.is_on() && m.tool.stood_s < router.spin_up_s - TIME_S {
        let measured = format!("{} s", m.tool.stood_s);
        findings.at_line(codes::SpinUpShort::CODE, m.line, measured, format!("{} s", router.spin_up_s));
    }
}

fn check_depth(m: &Move, router: &Router, levels: &Levels, findings: &mut Findings) {
    let Some(z) = m.to_z else { return };
    let floor = levels.floor - levels.near;
    if z < floor {
        let limit = format!("{:.3} mm below its bottom", levels.bottom - levels.floor);
        let measured = format!("{:.3} mm below the material's bottom", levels.bottom - z);
        findings.at_line(codes::BelowFloor::CODE, m.line, measured, limit);
    }
    if levels.top - z > router.flute_length.as_mm() + levels.near {
        let limit = format!("{:.3} mm", router.flute_length.as_mm());
        findings.at_line(codes::DeeperThanCutter::CODE, m.line, format!("{:.3} mm", levels.top - z), limit);
    }
}
