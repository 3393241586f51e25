//! The heights of rapids across and where the tool is left, where the machine's profile names them.

use super::expectation::Expectation;
use super::findings::Findings;
use super::levels::{Levels, last_digit_mm};
use super::limits::LONG_TRAVEL_MM;
use super::moves::{Drive, End, Motion, Move, Spindle};
use crate::diagnostics::Millimetres;
use crate::diagnostics::codes::{self, Height};
use crate::geometry::Point;
use crate::geometry::tolerance::PROOF_MM;

/// Looks at the first, the last and all long rapids, and at the end; `motion` is in the machine
/// frame.
pub(super) fn check(
    e: &Expectation<'_>,
    motion: &Motion,
    levels: &Levels,
    findings: &mut Findings<'_>,
) {
    if e.machine.clear_height.is_some() && e.machine.tool.lifts() {
        let clear = levels.top + e.machine.travel_height().as_mm();
        for m in motion.moves.iter().filter(|m| is_far(m) && is_below(m, clear - levels.near)) {
            let low = m.from_z.zip(m.to_z).map(|(from, to)| from.min(to));
            let measured =
                low.map_or(Height::NotSaid, |z| Height::Over(Millimetres(z - levels.top)));
            let limit = Millimetres(clear - levels.top);
            findings.at_line(codes::TravelLow { measured, limit }, m.line);
        }
    }
    if e.machine.park.is_some() {
        motion.ends().for_each(|end| check_park(e, end, levels, findings));
    }
}

/// Whether a rapid goes across from a place that nobody said, far, or with the tool off.
fn is_far(m: &Move) -> bool {
    let is_long = m.told || m.path.is_none_or(|path| path.length() > LONG_TRAVEL_MM);
    m.drive == Drive::Rapid && m.sideways && (is_long || m.tool.spindle == Spindle::Off)
}

fn is_below(m: &Move, clear: f64) -> bool {
    [m.from_z, m.to_z].iter().any(|z| z.is_none_or(|z| z < clear))
}

/// The tool is left over the place that the profile names, at its height.
fn check_park(e: &Expectation<'_>, end: &End, levels: &Levels, findings: &mut Findings<'_>) {
    let [x, y] = e.machine.parks_at();
    let (at, digit) = (Point::new(x.as_mm(), y.as_mm()), last_digit_mm(e.machine));
    let off = end.at.map(|left| (left - at).amax());
    let is_there = off.is_some_and(|off| off <= PROOF_MM + digit);
    let named = levels.top + e.machine.park_height().as_mm();
    let is_high = !e.machine.tool.lifts()
        || end.z.is_some_and(|z| (z - named).abs() <= levels.near + PROOF_MM);
    if !(is_there && is_high) {
        let [x, y, z] = [at.x, at.y, e.machine.park_height().as_mm()].map(Millimetres);
        findings.at_line(codes::NotParked { x, y, z }, end.line);
    }
}
