//! What to take care of; what was found; what somebody took on.

use super::section::{Figure, Section, Table, Topic};
use crate::diagnostics::{Finding, table};
use crate::measure::Job;
use crate::workup::Workup;

const CAUTIONS: [&str; 6] = [
    "People can be hurt by stairs and by machines. The limits checked here are advice: local code and licensed practice \
     decide.",
    "Try the first piece in place at every position before you cut the others.",
    "Protect eyes, ears and lungs. Clamp the work, keep hands and cables out of the tool's way, never leave the machine \
     running alone.",
    "Run the program in the air above the stock first.",
    "Never burn treated wood, and never cut it with a beam: the smoke is poisonous.",
    "Mark the pattern as the pattern; mark every stringer from it, never from the last stringer.",
];

/// Cautions, waivers and findings.
pub(super) fn cautions(job: &Job, workup: &Workup) -> Section {
    let (waived, open): (Vec<&Finding>, Vec<&Finding>) = workup.findings.iter().partition(|f| f.waived.is_some());
    let mut tables = Vec::new();
    if !waived.is_empty() {
        tables.push(Table::figures("Refusals that the owner took on", waived.into_iter().map(row).collect()));
    }
    if !open.is_empty() {
        tables.push(Table::figures("Found", open.into_iter().map(row).collect()));
    }
    let mut notes: Vec<String> = CAUTIONS.map(str::to_string).into();
    notes.extend(unused(job, &workup.findings));
    Section { topic: Topic::Cautions, notes, tables }
}

fn row(finding: &Finding) -> Figure {
    Figure::new(format!("{} {}", finding.standing(), finding.subject()), finding.sentence()).note(finding.note())
}

/// A waiver that met nothing is printed too.
fn unused(job: &Job, findings: &[Finding]) -> Vec<String> {
    let met = |rule: &str| findings.iter().any(|f| f.waived.is_some() && table::named(rule) == Some(f.code));
    let words = |w: &crate::measure::Waiver| format!("Waiver without effect: {} ({}).", w.rule, w.reason);
    job.waivers.iter().filter(|w| !met(&w.rule)).map(words).collect()
}
