//! A frame: a program that shows where a set will go and cuts nothing.

use super::findings::Findings;
use super::limits::GAP_MM;
use super::motion::read_motion;
use super::moves::{Drive, Spindle};
use super::said::Errand;
use crate::diagnostics::codes::{self, FrameFault};
use crate::diagnostics::{Error, Finding};
use crate::geometry::tolerance::PROOF_MM;
use crate::geometry::{Bounds, Segment};
use crate::profile::{Machine, Tool};

/// Holds a frame against the box it is to go round; `clear_mm` is the height it is to keep, in the
/// program's own Z. Any finding is a fault.
///
/// # Errors
/// Only if the text cannot be read as a program at all.
pub fn verify_frame(
    text: &[u8],
    file: &str,
    machine: &Machine,
    (plane, clear_mm): (Bounds, f64),
) -> Result<Vec<Finding>, Error> {
    let mut findings = Findings::new(file);
    let motion = read_motion(text, file, (machine, Errand::Cut), &mut findings)?;
    for turned in motion.turned.iter().filter(|turned| turned.to != Spindle::Off) {
        findings.at_line(codes::FrameOff { what: FrameFault::Runs }, turned.line);
    }
    let lifts = matches!(machine.tool, Tool::Router(_));
    let mut round: Option<Bounds> = None;
    for m in &motion.moves {
        let is_low = |z: Option<f64>| z.is_none_or(|z| z < clear_mm - PROOF_MM);
        if lifts && m.sideways && (is_low(m.from_z) || is_low(m.to_z)) || lifts && is_low(m.to_z) {
            findings.at_line(codes::FrameOff { what: FrameFault::Low }, m.line);
        }
        if m.drive == Drive::Feed {
            let reached = m.path.as_ref().map(Segment::bounds);
            round = match (round, reached) {
                (Some(one), Some(other)) => Some(one.joined(other)),
                (one, other) => one.or(other),
            };
        }
    }
    let same = |a: f64, b: f64| (a - b).abs() <= PROOF_MM + GAP_MM;
    let is_round = round.is_some_and(|round| {
        same(round.min.x, plane.min.x)
            && same(round.min.y, plane.min.y)
            && same(round.max.x, plane.max.x)
            && same(round.max.y, plane.max.y)
    });
    if !is_round {
        findings.at_file(codes::FrameOff { what: FrameFault::Box });
    }
    Ok(findings.finish())
}
