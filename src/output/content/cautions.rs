//! What to take care of; what was found; what somebody took on.

use super::section::{Figure, Section, Table, Topic};
use crate::diagnostics::{Finding, table};
use crate::job::{Job, Makes};
use crate::pipeline::workup::Workup;

/// Whether a stair may be built.
const ADVICE: &str =
    "Advice only: local code and licensed practice decide whether this stair may be built.";
/// Beside the machine.
const AT_THE_MACHINE: &str = "At the machine: eyes and ears covered, dust and smoke drawn off, \
    stock held down, never left running alone.";

/// Whom a caution is for.
#[derive(Clone, Copy, PartialEq)]
enum For {
    Everybody,
    /// Who cuts on a machine.
    Machine,
    /// Who saws by hand.
    Saw,
    /// Who marks from a pattern.
    Pattern,
    /// Who has a stringer with notches.
    Notched,
    /// Who has a stringer that a tread's thickness comes off at the foot.
    Dropped,
}

/// What to mind at the bench and at the machine. Common practice, no source.
const ALL: [(For, &str); 11] = [
    (For::Everybody, ADVICE),
    (
        For::Everybody,
        "Measure the total rise again before cutting: plumb, finished surface to finished surface.",
    ),
    (
        For::Everybody,
        "Hold the first piece in place at every position on the stair before you cut the others.",
    ),
    (For::Dropped, "The drop comes off the foot once; it is in every figure here already."),
    (
        For::Pattern,
        "Write PATTERN on the piece you mark from; mark every stringer from it, never from the \
        last stringer.",
    ),
    (
        For::Notched,
        "A cut stringer is only as strong as its throat: have span, number and fixings judged by \
        someone licensed to.",
    ),
    (For::Machine, AT_THE_MACHINE),
    (
        For::Machine,
        "Try each program first without a cut: in the air above the stock, or with the beam \
        switched off.",
    ),
    (
        For::Machine,
        "Treated wood: never cut it with a beam, never burn it: the smoke is poisonous.",
    ),
    (For::Saw, "Treated wood: never burn it: the smoke is poisonous."),
    (For::Everybody, "Never scale from the print: the figures count."),
];

/// Those that a job is made with.
pub(in crate::output) fn cautions_of(job: &Job) -> impl Iterator<Item = &'static str> {
    let is_for = |of: For| match of {
        For::Everybody => true,
        For::Machine => !job.by_hand,
        For::Saw => job.by_hand,
        // The first stringer sawn by hand is the pattern of the others.
        For::Pattern => job.by_hand || matches!(job.cut.makes, Makes::Pattern(_)),
        For::Notched => job.stringer.has_steps(),
        For::Dropped => job.stringer.housed().is_none(),
    };
    ALL.into_iter().filter(move |(of, _)| is_for(*of)).map(|(_, words)| words)
}

/// Cautions, waivers and findings.
pub(super) fn cautions(job: &Job, workup: &Workup) -> Section {
    let (waived, open): (Vec<&Finding>, Vec<&Finding>) =
        workup.findings.iter().partition(|f| f.waived.is_some());
    let mut tables = Vec::new();
    if !waived.is_empty() {
        tables.push(Table::figures(
            "Refusals that the owner took on",
            waived.into_iter().map(row).collect(),
        ));
    }
    if !open.is_empty() {
        tables.push(Table::figures("Found", open.into_iter().map(row).collect()));
    }
    let mut notes: Vec<String> = cautions_of(job).map(str::to_string).collect();
    notes.extend(unused(job, &workup.findings));
    Section { topic: Topic::Cautions, notes, tables }
}

fn row(finding: &Finding) -> Figure {
    Figure::new(format!("{} {}", finding.standing(), finding.subject()), finding.sentence())
        .note(finding.note())
}

/// A waiver that met nothing is printed too.
fn unused(job: &Job, findings: &[Finding]) -> Vec<String> {
    let met = |rule: &str| {
        findings.iter().any(|f| f.waived.is_some() && table::named(rule) == Some(f.code))
    };
    let words =
        |w: &crate::job::Waiver| format!("Waiver without effect: {} ({}).", w.rule, w.reason);
    job.waivers.iter().filter(|w| !met(&w.rule)).map(words).collect()
}
