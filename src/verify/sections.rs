//! The sections of a program between which the stock is shifted: each from the machine frame back
//! to the stock frame.

use super::expectation::Expectation;
use super::findings::{Findings, bare};
use super::levels::Levels;
use super::moves::{Motion, Spindle, Stand};
use crate::diagnostics::codes::{self, Height};
use crate::diagnostics::{Count, Millimetres};
use crate::geometry::{Placement, Vector};

/// The lines of the stops between which the stock is shifted.
#[derive(Clone, Debug)]
pub(super) struct Sections(Vec<usize>);

impl Sections {
    /// The set-up of a line. What stands on the line of a stop comes before it.
    pub(crate) fn setup_of(&self, line: usize) -> usize {
        self.0.partition_point(|stop| *stop < line)
    }
}

/// The motion as the stock sees it, and its sections. With several set-ups each M0 ends one, and
/// the tool must be off and up there; `None` with a finding if there are more or fewer sections
/// than set-ups.
pub(super) fn in_stock_frame(
    e: &Expectation<'_>,
    mut motion: Motion,
    levels: &Levels,
    findings: &mut Findings<'_>,
) -> Option<(Motion, Sections)> {
    let stops: Vec<Stand> = match e.setups.len() {
        1 => Vec::new(),
        _ => motion.stands.iter().filter(|stand| stand.seconds.is_infinite()).copied().collect(),
    };
    stops.iter().for_each(|stop| check_stop(e, stop, levels, findings));
    if stops.len() + 1 != e.setups.len() {
        let (measured, limit) = (Count::from(stops.len() + 1), Count::from(e.setups.len()));
        findings.at_file(codes::SectionsDiffer { measured, limit });
        return None;
    }
    let sections = Sections(stops.iter().map(|stop| stop.line).collect());
    let shift_at = |line: usize| e.setups[sections.setup_of(line)];
    let back = |shift: Vector| Placement::translation(-shift.x, -shift.y);
    for m in &mut motion.moves {
        let shift = shift_at(m.line);
        m.path =
            m.path.map(|path| if shift.norm() > 0.0 { path.placed(&back(shift)) } else { path });
    }
    for stand in &mut motion.stands {
        stand.at = stand.at.map(|at| at - shift_at(stand.line));
    }
    Some((motion, sections))
}

fn check_stop(e: &Expectation<'_>, stop: &Stand, levels: &Levels, findings: &mut Findings<'_>) {
    if stop.tool.spindle != Spindle::Off {
        findings.at_line(codes::ToolOnAtShift { measured: bare(stop.tool.speed) }, stop.line);
    }
    let is_low = stop.z.is_none_or(|z| z < levels.safe - levels.near);
    if is_low && e.machine.tool.lifts() {
        let measured =
            stop.z.map_or(Height::NotSaid, |z| Height::Over(Millimetres(z - levels.top)));
        let limit = Millimetres(levels.safe - levels.top);
        findings.at_line(codes::LowAtShift { measured, limit }, stop.line);
    }
}
