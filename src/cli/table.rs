//! The layout numbers and the riser counts as text.

use super::console::Console;
use super::sections::columns;
use crate::diagnostics::{Code, Finding};
use crate::pipeline::numbers::{Value, always};
use crate::pipeline::workup::{Choice, Workup};
use crate::units::{fully, trimmed};

/// The layout numbers of a job.
pub(super) fn layout(workup: &Workup) -> String {
    let job = &workup.job;
    let mut text =
        format!("{}\njob {}, rule set {}\n\n", job.title, workup.fingerprint, job.rules.called());
    for (number, value) in always(&workup.numbers()) {
        text += &line(number.label, told(value));
    }
    text
}

/// Every feasible riser count, and why the chosen one was.
pub(super) fn counts(workup: &Workup) -> String {
    let headings =
        ["", "risers", "unit rise", "unit run", "pitch", "throat", "found"].map(str::to_string);
    let rows: Vec<Vec<String>> = workup.choices.iter().map(choice).collect();
    format!("\nRiser counts: {}\n{}", reason(workup), columns(&headings, &rows))
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
    named(
        &findings
            .iter()
            .filter(|finding| finding.refuses())
            .map(|finding| finding.code)
            .collect::<Vec<_>>(),
    )
}

/// Printed under every result.
pub(super) const CAUTION: &str = "\nThese limits are advice: local code and licensed practice decide. Try the piece in place before you cut the others.\n";

/// A label and its value.
pub(super) fn line(label: &str, value: impl std::fmt::Display) -> String {
    format!("{label:<26} {value}\n")
}

/// A value; a length also exactly.
pub(super) fn told(value: &Value) -> String {
    match value {
        Value::Length(length) => fully(*length),
        value => value.to_string(),
    }
}

fn reason(workup: &Workup) -> String {
    workup
        .choices
        .iter()
        .find_map(|choice| choice.reason)
        .expect("one of the choices was taken")
        .to_string()
}

fn choice(choice: &Choice) -> Vec<String> {
    let flight = &choice.flight;
    let mark = if choice.reason.is_some() { "->" } else { "" };
    let pitch = format!("{} deg", trimmed(flight.pitch_rad().to_degrees(), 1));
    let [rise, run, throat] = [flight.unit_rise, flight.unit_run, flight.behind_notches()]
        .map(|length| length.to_string());
    vec![
        mark.to_string(),
        flight.risers.to_string(),
        rise,
        run,
        pitch,
        throat,
        named(&choice.codes),
    ]
}
