//! What to take care of; what was found; what somebody took on.

use super::section::{Figure, Section, Table, Topic};
use crate::diagnostics::{Finding, table};
use crate::job::Job;
use crate::pipeline::workup::Workup;

/// Whether a stair may be built.
const ADVICE: &str =
    "Advice only: local code and licensed practice decide whether this stair may be built.";
/// Beside the machine.
const AT_THE_MACHINE: &str = "At the machine: eyes and ears covered, dust and smoke drawn off, stock held down, never left running alone.";

/// What to mind at the bench and at the machine. Common practice, no source.
pub(in crate::output) const CAUTIONS: [&str; 10] = [
    ADVICE,
    "Measure the total rise again before cutting: plumb, finished surface to finished surface.",
    "Hold the first piece in place at every position on the stair before you cut the others.",
    "The drop comes off the foot once; it is in every figure here already.",
    "Mark the pattern as the pattern; mark every stringer from it, never from the last stringer.",
    "A cut stringer is only as strong as its throat: have span, number and fixings judged by someone licensed to.",
    AT_THE_MACHINE,
    "Try each program first without a cut: in the air above the stock, or with the beam switched off.",
    "Treated wood: never cut it with a beam, never burn it: the smoke is poisonous.",
    "Never scale from the print: the figures count.",
];

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
    let mut notes: Vec<String> = CAUTIONS.map(str::to_string).into();
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
