//! The set-ups of a part that is cut in several programs, the stock moved on between them: each
//! from the machine frame back to the stock frame.

use super::expectation::Expectation;
use super::findings::Findings;
use super::moves::Motion;
use crate::diagnostics::Count;
use crate::diagnostics::codes;
use crate::diagnostics::{Finding, Place};
use crate::geometry::{Placement, Vector};

/// The programs of the set-ups in order, their lines counted through.
#[derive(Clone, Debug)]
pub(super) struct Sections {
    /// Each file's name, and how many lines come before it.
    files: Vec<(String, usize)>,
}

impl Sections {
    /// Of files with so many lines each.
    pub(crate) fn of<'n>(files: impl Iterator<Item = (&'n str, usize)>) -> Self {
        let mut base = 0;
        let begun = |(name, lines): (&str, usize)| {
            let before = base;
            base += lines;
            (name.to_string(), before)
        };
        Self { files: files.map(begun).collect() }
    }

    /// The set-up of a line.
    pub(crate) fn setup_of(&self, line: usize) -> usize {
        self.files.partition_point(|(_, before)| *before < line).saturating_sub(1)
    }

    /// How many lines come before a set-up.
    pub(crate) fn before(&self, setup: usize) -> usize {
        self.files[setup].1
    }

    /// A line by its number in its own file.
    pub(crate) fn own(&self, line: usize) -> usize {
        line - self.files[self.setup_of(line)].1
    }

    /// A finding at the file that its line is in, by the line's number there.
    pub(crate) fn placed(&self, mut finding: Finding) -> Finding {
        if let Place::Line { file, line } = &mut finding.place {
            file.clone_from(&self.files[self.setup_of(*line)].0);
            *line = self.own(*line);
        }
        finding
    }
}

/// The motion as the stock sees it; `None` with a finding if there are more or fewer programs than
/// set-ups.
pub(super) fn in_stock_frame(
    e: &Expectation<'_>,
    mut motion: Motion,
    sections: &Sections,
    findings: &mut Findings<'_>,
) -> Option<Motion> {
    if sections.files.len() != e.setups.len() {
        let (measured, limit) = (Count::from(sections.files.len()), Count::from(e.setups.len()));
        findings.at_file(codes::SectionsDiffer { measured, limit });
        return None;
    }
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
    Some(motion)
}
