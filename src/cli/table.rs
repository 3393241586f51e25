//! The layout numbers and the riser counts as text.

use super::console::Console;
use crate::check::contact_height;
use crate::diagnostics::{Code, Finding};
use crate::measure::Job;
use crate::units::{Length, trimmed};
use crate::workup::{Choice, Workup};

/// The layout numbers of a job.
pub(super) fn layout(job: &Job, workup: &Workup) -> String {
    let mut text = format!("{}\njob {}, rule set {}\n\n", job.title, workup.fingerprint, job.rules.name);
    for (label, value) in figures(workup) {
        text.push_str(&format!("{label:<26} {value}\n"));
    }
    text
}

/// Every feasible riser count, and why the chosen one was.
pub(super) fn counts(workup: &Workup) -> String {
    let mut text = format!("\nRiser counts: {}\n", reason(workup));
    let columns = format!("{:<23}  {:<23}  {:<8}  {:<23}", "unit rise", "unit run", "pitch", "throat");
    text.push_str(&format!("    risers  {columns}  found\n"));
    for choice in &workup.choices {
        text.push_str(&choice_line(choice));
    }
    text
}

/// All findings, and the caution under them.
pub(super) fn findings(findings: &[Finding], console: &Console) -> String {
    let mut text = format!("\nFindings ({}):\n", findings.len());
    for finding in findings {
        text.push_str(&console.finding(finding));
        text.push('\n');
    }
    text.push_str(CAUTION);
    text
}

/// Codes in one line.
pub(super) fn named(codes: &[Code]) -> String {
    codes.iter().map(|code| code.name()).collect::<Vec<_>>().join(", ")
}

/// What refuses, in one line.
pub(super) fn refusing(findings: &[Finding]) -> String {
    named(&findings.iter().filter(|finding| finding.refuses()).map(|finding| finding.code).collect::<Vec<_>>())
}

/// Printed under every result.
pub(super) const CAUTION: &str = "\nThese limits are advice: local code and licensed practice decide. Try the piece in place before you cut the others.\n";

fn figures(workup: &Workup) -> Vec<(&'static str, String)> {
    let flight = &workup.flight;
    let mut rows = vec![
        ("total rise", flight.total_rise.to_string()),
        ("risers / treads", format!("{} / {}", flight.risers, flight.treads)),
        ("unit rise", exact(flight.unit_rise)),
        ("unit run", exact(flight.unit_run)),
        ("tread finish", flight.tread_finish.to_string()),
        ("total run", flight.total_run().to_string()),
        ("pitch", format!("{} deg", trimmed(flight.pitch_rad().to_degrees(), 2))),
        ("first riser cut", exact(flight.first_riser_cut())),
        ("drop, taken once", flight.drop().to_string()),
        ("hang line", exact(flight.hang_line)),
        ("throat", exact(flight.throat())),
        ("throat after relief", exact(workup.throat_cut)),
    ];
    if workup.outline.as_ref().is_some_and(|outline| !outline.pockets().is_empty()) {
        // A housed board has no notches to leave a throat or to hang it by.
        rows.retain(|(name, _)| !name.starts_with("throat") && *name != "hang line");
    }
    if let Some(outline) = &workup.outline {
        rows.push(("blank length", outline.blank_length().to_string()));
        rows.push(("seat cut", outline.seat_length().to_string()));
        rows.push(("top plumb cut", outline.head_cut_length().to_string()));
        if let Some(height) = contact_height(flight, outline) {
            rows.push(("contact at the head", height.to_string()));
        }
    }
    rows
}

/// A length on the tape and exactly.
fn exact(length: Length) -> String {
    format!("{length}, exactly {} in", trimmed(length.as_inches(), 4))
}

fn reason(workup: &Workup) -> String {
    workup.choices.iter().find_map(|choice| choice.reason).map(|reason| reason.to_string()).unwrap_or_default()
}

fn choice_line(choice: &Choice) -> String {
    let flight = &choice.flight;
    let mark = if choice.reason.is_some() { "->" } else { "  " };
    let pitch = format!("{} deg", trimmed(flight.pitch_rad().to_degrees(), 1));
    let codes = named(&choice.codes);
    let row = format!(
        "{mark}  {:>6}  {:<23}  {:<23}  {pitch:<8}  {:<23}  {codes}",
        flight.risers,
        flight.unit_rise,
        flight.unit_run,
        flight.throat()
    );
    format!("{}\n", row.trim_end())
}
