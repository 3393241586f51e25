//! Two jobs side by side: which dimensions moved and by how much, what else is asked for, whether
//! the old pattern still serves. Comparing follows the work-up; it makes nothing.

mod edges;
mod moved;
mod pattern;
mod settings;

pub use edges::{EdgeFigure, EdgeMove};
pub use moved::Moved;
pub use pattern::Pattern;
pub use settings::Setting;

use crate::diagnostics::Finding;
use crate::pipeline::workup::Workup;

/// Everything that differs between two jobs; what is equal is left out.
#[derive(Clone, Debug)]
pub struct Diff {
    /// Figures of the flight.
    pub flight: Vec<Moved>,
    /// Edges of the outline, by role.
    pub outline: Vec<EdgeMove>,
    /// What is cut and out of what, and the rest of the job that is no dimension.
    pub settings: Vec<Setting>,
    /// Findings that only the new job has.
    pub came: Vec<Finding>,
    /// Findings that only the old job has.
    pub went: Vec<Finding>,
    /// Whether a pattern made for the old job serves for the new one.
    pub pattern: Pattern,
}

impl Diff {
    /// What differs between an old and a new job.
    pub fn between(old: &Workup, new: &Workup) -> Self {
        let (old_outline, new_outline) = (old.outline.as_ref(), new.outline.as_ref());
        let flight = moved::all(old.numbers(), new.numbers());
        let outline = edges::moves(old_outline, new_outline);
        let mut settings = settings::changed(&old.job, &new.job);
        if flight.is_empty() && outline.is_empty() && settings.is_empty() {
            settings.extend(settings::anything_else(&old.job, &new.job));
        }
        Self {
            flight,
            outline,
            settings,
            came: only_in(&new.findings, &old.findings),
            went: only_in(&old.findings, &new.findings),
            pattern: Pattern::between(old, new),
        }
    }

    /// Whether no dimension moved: no figure of the flight and no edge of the outline.
    pub fn nothing_moved(&self) -> bool {
        self.flight.is_empty() && self.outline.is_empty()
    }

    /// Whether nothing differs at all.
    pub fn is_empty(&self) -> bool {
        self.nothing_moved()
            && self.settings.is_empty()
            && self.came.is_empty()
            && self.went.is_empty()
    }
}

/// Findings without their like among others: the same code, weight, place and state of waiving. One
/// answers one.
fn only_in(findings: &[Finding], others: &[Finding]) -> Vec<Finding> {
    let alike = |a: &Finding, b: &Finding| {
        (a.code, a.severity, &a.place, a.waived.is_some())
            == (b.code, b.severity, &b.place, b.waived.is_some())
    };
    let mut others: Vec<&Finding> = others.iter().collect();
    let mut alone = Vec::new();
    for finding in findings {
        match others.iter().position(|other| alike(finding, other)) {
            Some(at) => drop(others.swap_remove(at)),
            None => alone.push(finding.clone()),
        }
    }
    alone
}
