//! A frame: a program that shows where a set will go and cuts nothing.

use super::findings::Findings;
use super::limits::GAP_MM;
use super::motion::read_motion;
use super::moves::{Drive, Spindle};
use super::said::Errand;
use crate::diagnostics::codes::{self, FrameFault};
use crate::diagnostics::{Error, Finding};
use crate::geometry::tolerance::PROOF_MM;
use crate::geometry::{Bounds, Point, Segment};
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
    let is_low = |z: Option<f64>| lifts && z.is_none_or(|z| z < clear_mm - PROOF_MM);
    let mut round: Option<Bounds> = None;
    for m in &motion.moves {
        if is_low(m.to_z) || m.sideways && is_low(m.from_z) {
            findings.at_line(codes::FrameOff { what: FrameFault::Low }, m.line);
        }
        // Of the first move across only its end is known.
        let Some(reached) = m.path.as_ref().map(Segment::bounds) else { continue };
        if [reached.min, reached.max].iter().any(|p| plane.distance(*p) > PROOF_MM + GAP_MM) {
            findings.at_line(codes::FrameOff { what: FrameFault::Beyond }, m.line);
        }
        if m.drive == Drive::Feed {
            round = Some(round.map_or(reached, |round| round.joined(reached)));
        }
    }
    let same = |a: Point, b: Point| (a - b).amax() <= PROOF_MM + GAP_MM;
    if !round.is_some_and(|round| same(round.min, plane.min) && same(round.max, plane.max)) {
        findings.at_file(codes::FrameOff { what: FrameFault::Box });
    }
    Ok(findings.finish())
}
