//! What to take care of; what was found; what somebody took on.

use super::sheet::{Figure, Section, Table, TableRows, Topic};
use crate::diagnostics::Finding;
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
        tables.push(table("Refusals that the owner took on", waived.into_iter().map(waiver).collect()));
    }
    if !open.is_empty() {
        tables.push(table("Found", open.into_iter().map(finding).collect()));
    }
    let mut notes: Vec<String> = CAUTIONS.map(str::to_string).into();
    notes.extend(unused(job, &workup.findings));
    Section { topic: Topic::Cautions, notes, tables }
}

fn table(caption: &str, rows: Vec<Figure>) -> Table {
    Table { caption: caption.to_string(), rows: TableRows::Figures(rows) }
}

fn figures(finding: &Finding) -> String {
    finding.sentence()
}

fn waiver(finding: &Finding) -> Figure {
    let reason = finding.waived.as_deref().unwrap_or_default();
    Figure::new(format!("WAIVED {} at {}", finding.code, finding.place), figures(finding))
        .note(format!("reason given: {reason} [{}]", finding.source))
}

fn finding(finding: &Finding) -> Figure {
    Figure::new(format!("{} {} at {}", finding.severity, finding.code, finding.place), figures(finding))
        .note(finding.source.clone())
}

/// A waiver that met nothing is printed too.
fn unused(job: &Job, findings: &[Finding]) -> Vec<String> {
    let met = |rule: &str| findings.iter().any(|f| f.code.name() == rule && f.waived.is_some());
    let words = |w: &crate::measure::Waiver| format!("Waiver without effect: {} ({}).", w.rule, w.reason);
    job.waivers.iter().filter(|w| !met(&w.rule)).map(words).collect()
}
