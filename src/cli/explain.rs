//! `explain`: what a finding means and what to do.

use super::Ending;
use super::console::Console;
use crate::error::{Error, ErrorKind};
use crate::finding::{Explanation, explained};
use crate::profile::{Rules, embedded, embedded_names};
use crate::{asbuilt, check, compensate, mark, plan, set, site, strength, surround, timber, verify};

/// The explanation of every finding there is.
pub fn explanations() -> impl Iterator<Item = Explanation> {
    let made = [
        check::EXPLANATIONS,
        mark::EXPLANATIONS,
        compensate::EXPLANATIONS,
        plan::EXPLANATIONS,
        set::EXPLANATIONS,
        asbuilt::EXPLANATIONS,
        site::EXPLANATIONS,
        surround::EXPLANATIONS,
        strength::EXPLANATIONS,
        timber::EXPLANATIONS,
    ];
    let made = made.into_iter().flatten().copied();
    made.chain(verify::CODES.iter().map(|(code, meaning, to_do)| explained(code, meaning, to_do)))
}

/// Explains a code, or lists all.
pub(super) fn explain(code: Option<&str>, console: &Console) -> Result<Ending, Error> {
    let Some(code) = code else {
        let lines: Vec<String> = explanations().map(|e| format!("{:<24} {}", e.code, e.meaning)).collect();
        console.print(&format!("{}\n", lines.join("\n")))?;
        return Ok(Ending::Done);
    };
    let found = explanations().find(|e| e.code == code).ok_or_else(|| {
        Error::new(ErrorKind::Usage, "no finding has this code")
            .found(code)
            .allowed("a code as a report prints it")
            .hint("seatcut explain")
    })?;
    let sources = sources(code);
    let sources =
        if sources.is_empty() { "printed with the finding".to_string() } else { sources.join("\n          ") };
    console.print(&format!(
        "{}\n  means:  {}\n  source: {sources}\n  to do:  {}\n",
        found.code, found.meaning, found.to_do
    ))?;
    Ok(Ending::Done)
}

/// The published sources of the limits behind a code, rule set by rule set.
fn sources(code: &str) -> Vec<String> {
    let rules = embedded_names().filter(|(kind, _)| *kind == "rules").filter_map(|(kind, name)| {
        let source = embedded(Some(kind), name)?;
        Rules::read(name, &source.file, &source.text).ok()
    });
    rules
        .flat_map(|set| {
            let lines: Vec<String> = set
                .limits
                .iter()
                .filter(|limit| {
                    let (low, high) = limit.measure.codes();
                    (code == low && limit.at_least.is_some()) || (code == high && limit.at_most.is_some())
                })
                .map(|limit| format!("{}: {}", set.name, limit.source))
                .collect();
            lines
        })
        .collect()
}
