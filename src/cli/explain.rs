//! `explain`: what a finding means and what to do, or what a word of the trade means here.

use super::Ending;
use super::console::Console;
use super::glossary::{TERMS, Term, plain, term};
use super::key_words::{self, KeyWord};
use super::told::hung;
use crate::diagnostics::{Code, Error, ErrorKind, table};
use crate::profile::{Rules, embedded, names_of};

/// Explains a code or a word, or lists all.
pub(super) fn explain(name: &str, console: &Console) -> Result<Ending, Error> {
    if name.is_empty() {
        let terms = TERMS.iter().map(|term| hung(term.means, &format!("{:<24} ", term.word)));
        let codes = table::all().map(|code| hung(code.row().meaning, &format!("{code:<24} ")));
        let (terms, codes): (String, String) = (terms.collect(), codes.collect());
        console.print(&format!("WORDS OF THE TRADE\n{terms}\nFINDINGS\n{codes}"))?;
        return Ok(Ending::Done);
    }
    let term = term(name).map(told_of).unwrap_or_default();
    let of_keys: String = key_words::named(name).iter().map(told_of_key).collect();
    if !term.is_empty() || !of_keys.is_empty() {
        console.print(&(term + &of_keys))?;
        return Ok(Ending::Done);
    }
    // A code is printed with blanks too, as the riser table does.
    let is_it = |code: &Code| plain(code.name()) == plain(name);
    let code = table::all().find(is_it).ok_or_else(|| {
        Error::new(ErrorKind::Usage, "no word of the trade here, and no finding, is called this")
            .found(name)
            .allowed("a word such as drop, or the code of a finding as it is printed")
            .hint("seatcut explain")
    })?;
    let row = code.row();
    let sources = sources(code);
    let sources = if sources.is_empty() { vec![row.source.to_string()] } else { sources };
    let blank = " ".repeat(SOURCE.len());
    let first = [SOURCE].into_iter().chain(std::iter::repeat(blank.as_str()));
    let sources: String =
        sources.iter().zip(first).map(|(source, first)| hung(source, first)).collect();
    let (means, to_do) = (hung(row.meaning, "  means:  "), hung(row.remedy, "  to do:  "));
    console.print(&format!("{code}\n{means}{sources}{to_do}"))?;
    Ok(Ending::Done)
}

const SOURCE: &str = "  source: ";

fn told_of(term: &Term) -> String {
    let also = match term.also.is_empty() {
        true => String::new(),
        false => hung(&term.also.join(", "), "  also:   "),
    };
    format!("{}\n{}{also}", term.word, hung(term.means, "  means:  "))
}

/// A word of a key, as it is typed.
fn told_of_key(of: &KeyWord) -> String {
    format!("{} = \"{}\"\n{}", of.key, of.word, hung(&of.means, "  means:  "))
}

/// The published sources of the limits behind a code, rule set by rule set.
fn sources(code: Code) -> Vec<String> {
    let rules = names_of("rules").into_iter().filter_map(|name| {
        let source = embedded(Some("rules"), name)?;
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
