//! `explain`: what a finding means and what to do.

use super::Ending;
use super::console::Console;
use crate::diagnostics::{Code, Error, ErrorKind, table};
use crate::profile::{Rules, embedded, embedded_names};

/// Explains a code, or lists all.
pub(super) fn explain(code: Option<&str>, console: &Console) -> Result<Ending, Error> {
    let Some(name) = code else {
        let lines: Vec<String> =
            table::all().map(|code| format!("{code:<24} {}", code.row().meaning)).collect();
        console.print(&format!("{}\n", lines.join("\n")))?;
        return Ok(Ending::Done);
    };
    let code = table::named(name).ok_or_else(|| {
        Error::new(ErrorKind::Usage, "no finding has this code")
            .found(name)
            .allowed("a code as a report prints it")
            .hint("seatcut explain")
    })?;
    let row = code.row();
    let sources = sources(code);
    let sources =
        if sources.is_empty() { row.source.to_string() } else { sources.join("\n          ") };
    console.print(&format!(
        "{code}\n  means:  {}\n  source: {sources}\n  to do:  {}\n",
        row.meaning, row.remedy
    ))?;
    Ok(Ending::Done)
}

/// The published sources of the limits behind a code, rule set by rule set.
fn sources(code: Code) -> Vec<String> {
    let rules = embedded_names().filter(|(kind, _)| *kind == "rules").filter_map(|(kind, name)| {
        let source = embedded(Some(kind), name)?;
        Rules::read(name, &source.file, &source.text).ok()
    });
    rules.flat_map(|set| of_limits(&set, code)).collect()
}

/// The sources of one rule set's limits behind a code.
fn of_limits(set: &Rules, code: Code) -> Vec<String> {
    let asked = set.limits.iter().filter(|limit| {
        let (low, high) = limit.measure.codes();
        (code == low && limit.at_least.is_some()) || (code == high && limit.at_most.is_some())
    });
    asked.map(|limit| format!("{}: {}", set.name, limit.source)).collect()
}
