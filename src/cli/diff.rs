//! `diff`: which dimensions moved between two jobs; no file is written.

use std::path::Path;

use super::console::Console;
use super::told::{self, CAUTION};
use super::{Ending, input};
use crate::diagnostics::Finding;
use crate::diagnostics::{Error, ErrorKind};
use crate::job::Makes;
use crate::output::diff_report::DiffReport;
use crate::pipeline::diff::{Diff, EdgeMove, Moved, Pattern, Setting};
use crate::pipeline::numbers::Value;
use crate::pipeline::set::one_flight;
use crate::pipeline::workup::Workup;
use crate::units::{Length, Tape, decimal, fully, on_tape, trimmed};

/// Compares two jobs and prints what differs. A refused stair is compared as well as any other.
pub(super) fn diff(
    (old, new): (&Path, &Path),
    flight: Option<usize>,
    json: bool,
    console: &Console,
) -> Result<Ending, Error> {
    if old == Path::new("-") && new == Path::new("-") {
        return Err(Error::new(ErrorKind::Usage, "standard input holds one job")
            .found("- -")
            .allowed("`-` for one of the two jobs")
            .hint("give a file for the other one"));
    }
    let workup = |path| {
        let job = input::job(path)?;
        // A stair that became one of several flights is compared with one of them.
        let flight = flight.filter(|_| !job.landings.is_empty());
        Workup::designed(&one_flight(job, flight, "compared")?)
    };
    let (old, new) = (workup(old)?, workup(new)?);
    let diff = Diff::between(&old, &new);
    if json {
        console.print(&DiffReport::of(&old, &new, &diff).to_json())?;
    } else {
        console.print(&words(&old, &new, &diff))?;
    }
    Ok(Ending::Done)
}

fn words(old: &Workup, new: &Workup, diff: &Diff) -> String {
    let mut text = format!("old: {}\nnew: {}\n\n", heading(old), heading(new));
    if diff.nothing_moved() {
        text.push_str("nothing moved\n");
    }
    text.push_str(&section("Figures that moved", diff.flight.iter().map(figure)));
    text.push_str(&section("Edges of the outline that moved", diff.outline.iter().map(edge)));
    text.push_str(&section("Asked for otherwise", diff.settings.iter().map(setting)));
    text.push_str(&found("Found now and not before", &diff.came));
    text.push_str(&found("Found before and not now", &diff.went));
    let same = diff.is_empty() && old.fingerprint != new.fingerprint;
    if same {
        text.push_str("the jobs ask for the same in other words\n");
    }
    let made = match old.job.cut.makes {
        Makes::Pattern(_) => "pattern",
        Makes::Stringers => "stringer",
    };
    text.push_str(&format!(
        "\nOld {made}: {}\n{CAUTION}",
        pattern(&diff.pattern, (old, new), made)
    ));
    text
}

fn found(heading: &str, findings: &[Finding]) -> String {
    if findings.is_empty() {
        return String::new();
    }
    format!("{heading}:\n{}", findings.iter().map(told::finding).collect::<String>())
}

fn heading(workup: &Workup) -> String {
    let refused = if workup.refused() { ", REFUSED" } else { "" };
    format!("{}, job {}{refused}", workup.job.title, workup.fingerprint)
}

fn section(heading: &str, lines: impl ExactSizeIterator<Item = String>) -> String {
    if lines.len() == 0 {
        return String::new();
    }
    let lines: Vec<String> = lines.map(|line| format!("  {}\n", line.trim_end())).collect();
    format!("{heading}:\n{}", lines.concat())
}

fn figure(moved: &Moved) -> String {
    row(moved.label, moved.old.as_ref(), moved.new.as_ref())
}

fn edge(moved: &EdgeMove) -> String {
    let label = format!("{}, {}", moved.edge, moved.figure.label());
    let value = |length: Option<Length>| length.map(Value::Length);
    row(&label, value(moved.old).as_ref(), value(moved.new).as_ref())
}

fn setting(setting: &Setting) -> String {
    format!("{:<40} {} -> {}", setting.key, setting.old, setting.new)
}

/// A value in both jobs and by how much it moved.
fn row(label: &str, old: Option<&Value>, new: Option<&Value>) -> String {
    let print = |value: Option<&Value>| value.map_or("none".to_string(), Value::to_string);
    let by = old.zip(new).and_then(|(old, new)| by(old, new)).unwrap_or_default();
    format!("{label:<40} {:<24} -> {:<24} {by}", print(old), print(new))
}

fn by(old: &Value, new: &Value) -> Option<String> {
    let by = new.number()? - old.number()?;
    Some(match new {
        Value::Count(_) | Value::Words(_) => signed(by, |count| decimal(count, 0)),
        Value::Length(_) => {
            let words = |mm: f64| {
                let tape = on_tape(Length::mm(mm));
                match Tape::in_hand() {
                    Tape::Inches => format!("{tape} ({})", signed(by, |_| millimetres(mm))),
                    Tape::Metric => tape,
                }
            };
            signed(by, words)
        }
        Value::Degrees(_) => signed(by, |degrees| format!("{} deg", trimmed(degrees, 2))),
    })
}

/// The words for the amount with the sign before them.
fn signed(value: f64, words: impl Fn(f64) -> String) -> String {
    format!("{}{}", if value < 0.0 { '-' } else { '+' }, words(value.abs()))
}

/// Tenths of a millimetre, and as many places as it takes where there is less.
fn millimetres(mm: f64) -> String {
    let places = if mm < 0.05 { 6 } else { 1 };
    format!("{} mm", decimal(mm, places))
}

fn pattern(pattern: &Pattern, (old, new): (&Workup, &Workup), made: &str) -> String {
    if old.outline.is_none() || new.outline.is_none() {
        let which = if old.outline.is_none() { "old" } else { "new" };
        return format!("cannot be used: the {which} job has no part");
    }
    if !pattern.outline_equal {
        let words = |length: Length| format!("; a corner moved by {}", fully(length));
        let farthest = pattern.largest_move.map(words);
        let why = farthest.unwrap_or("; it has other edges".to_string());
        return format!("can NOT be used: the outline is another{why}");
    }
    if pattern.but.is_empty() {
        return "can still be used: the outline is the same to 0.000001 in".to_string();
    }
    format!(
        "the outline is the same to 0.000001 in, but the {made} is not: {}",
        pattern.but.join("; ")
    )
}
