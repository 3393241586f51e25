//! The layout numbers and the riser counts as text.

use super::told::hung;
use crate::check::throat;
use crate::diagnostics::{Code, Finding};
use crate::job::Job;
use crate::pipeline::numbers::{Value, always};
use crate::pipeline::workup::{Choice, Workup};
use crate::units::{Length, fully, on_tape, trimmed};

/// Whose stair it is, and by which rules.
pub(super) fn heading(workup: &Workup) -> String {
    let job = &workup.job;
    format!("{}\njob {}, rule set {}\n", job.title, workup.fingerprint, job.rules.called())
}

/// The layout numbers of a job.
pub(super) fn layout(workup: &Workup) -> String {
    let mut text = heading(workup) + "\n";
    for (number, value) in always(&workup.numbers()) {
        text += &line(number.label, told(value));
    }
    text
}

/// The riser counts that somebody would build, why the chosen one was, and what stands against
/// each.
pub(super) fn counts(workup: &Workup) -> String {
    let mut text = format!("\n{}", hung(&format!("RISER COUNTS, {}", reason(workup)), ""));
    text += &row("", &["risers", "unit rise", "pitch", "throat"].map(str::to_string), "against it");
    for count in counted(workup) {
        let mark = if count.is_chosen { "->" } else { "" };
        text += &row(mark, &count.figures, &count.against.join(", "));
    }
    text
}

/// A riser count that somebody would build.
pub(super) struct Counted {
    pub risers: usize,
    /// Risers, unit rise, pitch, throat.
    pub figures: [String; 4],
    /// What stands against it and not against all others too, in a few words each.
    pub against: Vec<String>,
    pub is_chosen: bool,
}

/// The riser counts that somebody would build, fewest first.
pub(super) fn counted(workup: &Workup) -> Vec<Counted> {
    let shown: Vec<&Choice> = workup.choices.iter().filter(|of| is_built(of)).collect();
    let of_all = |code: &Code| shown.iter().all(|choice| choice.codes.contains(code));
    let counted = |choice: &&Choice| {
        let own = choice.codes.iter().filter(|code| !of_all(code));
        Counted {
            risers: choice.flight.risers,
            figures: figures(&workup.job, choice),
            against: own.map(|code| code.name().replace('-', " ")).collect(),
            is_chosen: choice.reason.is_some(),
        }
    };
    shown.iter().map(counted).collect()
}

/// Whether somebody would build it: risers of 5 to 9 1/2 in (common practice, no source), or that
/// the job asks for it.
fn is_built(choice: &Choice) -> bool {
    let rise = choice.flight.unit_rise;
    let [low, high] = BUILT_IN.map(Length::inches);
    choice.reason.is_some() || (rise >= low && rise <= high)
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

/// Why the chosen count was.
pub(super) fn reason(workup: &Workup) -> String {
    workup
        .choices
        .iter()
        .find_map(|choice| choice.reason)
        .expect("one of the choices was taken")
        .to_string()
}

fn figures(job: &Job, choice: &Choice) -> [String; 4] {
    let flight = &choice.flight;
    let pitch = format!("{} deg", trimmed(flight.pitch_rad().to_degrees(), 1));
    let throat = throat(job, flight).map_or("none".to_string(), on_tape);
    [flight.risers.to_string(), on_tape(flight.unit_rise), pitch, throat]
}

/// A row of the riser counts; what stands against it goes on below itself.
fn row(mark: &str, [risers, rise, pitch, throat]: &[String; 4], against: &str) -> String {
    let first = format!("{mark:>2} {risers:>6}   {rise:<12} {pitch:<9} {throat:<12} ");
    match against {
        "" => format!("{}\n", first.trim_end()),
        words => hung(words, &first),
    }
}

/// The risers that somebody builds, in inches.
const BUILT_IN: [f64; 2] = [5.0, 9.5];
