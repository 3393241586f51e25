//! Slips of the pen in a text that is no TOML: quote marks that are missing, curly, or typed for
//! inches; a value without any. Each is told with its line, and mended in a copy of the text that
//! is read on, so that what else is wrong is told in the same run.

use std::collections::BTreeMap;

use toml::de::DeTable;

use super::reader::{Reader, typed_as};
use super::toml_words::plain_number;
use crate::diagnostics::Error;
use crate::units::{Bare, read_length};

/// The most slips of one text that are told.
pub(crate) const MOST_SLIPS: usize = 30;
/// What quote marks look like that are none here.
const CURLY: [char; 7] =
    ['\u{201c}', '\u{201d}', '\u{201e}', '\u{201f}', '\u{2018}', '\u{2019}', '\u{ab}'];

/// A text that was mended so that it can be read on.
pub(crate) struct Typed {
    /// The text, line for line; what could not be mended is blank.
    pub text: String,
    /// What was wrong.
    pub slips: Vec<Error>,
    /// The lines that it was wrong in, counted from 0, and the key of each where it has one.
    pub lines: BTreeMap<usize, String>,
}

/// A slip in one line.
struct Slip {
    what: String,
    /// Where in the line, in characters.
    at: usize,
    instead: Option<String>,
    /// The line as it is read on.
    mended: String,
}

/// The text with everything mended that keeps it from being TOML.
pub(crate) fn typed(reader: &Reader<'_>) -> Typed {
    let mut lines: Vec<String> = reader.text().split('\n').map(str::to_string).collect();
    let mut all =
        Typed { text: reader.text().to_string(), slips: Vec::new(), lines: BTreeMap::new() };
    while all.slips.len() < MOST_SLIPS {
        let Err(error) = DeTable::parse(&all.text) else { break };
        let start = error.span().map_or(0, |span| span.start).min(all.text.len());
        let line = all.text.as_bytes()[..start].iter().filter(|byte| **byte == b'\n').count();
        // A table that is not closed is told at the line behind it.
        let line = (0..=line.min(lines.len() - 1))
            .rev()
            .find(|at| !lines[*at].trim().is_empty())
            .unwrap_or(0);
        if lines[line].is_empty() {
            break;
        }
        let (slip, key) = if all.lines.contains_key(&line) {
            (None, String::new())
        } else {
            let (slip, key) = slip_of(&lines[line], error.message());
            (Some(slip), key)
        };
        lines[line] = slip.as_ref().map_or_else(String::new, |slip| slip.mended.clone());
        all.text = lines.join("\n");
        if let Some(slip) = slip {
            all.slips.push(reader.slip(line, slip.at, &slip.what).hint_if(slip.instead));
            all.lines.insert(line, key);
        }
    }
    all
}

/// What is wrong with a line, and the key that stands in it.
fn slip_of(line: &str, message: &str) -> (Slip, String) {
    let indent = line.chars().take_while(|c| c.is_whitespace()).count();
    let bare = line.trim();
    if bare.starts_with('[') && !bare.contains('=') {
        return (of_heading(bare, indent, message), String::new());
    }
    let Some((key, value, at)) = key_and_value(line) else {
        return (unread(indent, line), String::new());
    };
    if message.contains("duplicate key") {
        let what = format!("`{key}` stands twice in its table");
        let instead = Some(format!("leave one of the two lines with `{key}`"));
        return (Slip { what, at: indent, instead, mended: String::new() }, key);
    }
    let separated = line.contains('=');
    if !separated && value.starts_with('"') && value.matches('"').count() == 2 {
        let mended = format!("{key} = {value}");
        let what = format!("`=` is missing between `{key}` and its value");
        return (Slip { what, at, instead: Some(mended.clone()), mended }, key);
    }
    let slip = of_value(&key, value).map(|slip| Slip { at: at + slip.at, ..slip });
    (slip.unwrap_or_else(|| unread(at, line)), key)
}

fn unread(at: usize, line: &str) -> Slip {
    let what = if line.contains("\"\"\"") || line.contains("'''") {
        "three quote marks in a row begin a text of several lines, and none is wanted here"
    } else {
        "this line cannot be read: a line is a key, `=` and its value, or a [table]; texts and \
        lengths stand in quote marks"
    };
    Slip { what: what.to_string(), at, instead: None, mended: String::new() }
}

/// `[rise` and the like.
fn of_heading(bare: &str, at: usize, message: &str) -> Slip {
    let name: String = bare
        .chars()
        .skip_while(|c| *c == '[')
        .take_while(|c| c.is_alphanumeric() || "._-".contains(*c))
        .collect();
    let several = bare.starts_with("[[");
    let whole = if several { format!("[[{name}]]") } else { format!("[{name}]") };
    if message.contains("duplicate key") || bare.starts_with(&whole) {
        let what = format!("the table {whole} stands twice");
        let instead = Some("put its keys together under one of the two".to_string());
        return Slip { what, at, instead, mended: String::new() };
    }
    if name.is_empty() {
        return unread(at, bare);
    }
    let what = "the brackets of this table are not closed".to_string();
    Slip { what, at, instead: Some(whole.clone()), mended: whole }
}

/// The key of a line, its value without what is said behind it, and where the value begins.
fn key_and_value(line: &str) -> Option<(String, &str, usize)> {
    let is_key = |c: char| c.is_ascii_alphanumeric() || "._-".contains(c);
    let start = line.len() - line.trim_start().len();
    let key: String = line[start..].chars().take_while(|c| is_key(*c)).collect();
    let rest = &line[start + key.len()..];
    let behind = rest.trim_start();
    let value = behind.strip_prefix(['=', ':']).unwrap_or(behind);
    let parted = value.len() < behind.len()
        || behind.starts_with(['"', '\''])
        || behind.starts_with(|c: char| c.is_ascii_digit());
    if key.is_empty() || !parted {
        return None;
    }
    let value_start = line.len() - value.trim_start().len();
    Some((key, without_comment(&line[value_start..]), line[..value_start].chars().count()))
}

/// A value without what is said behind a `#`.
fn without_comment(value: &str) -> &str {
    let is_comment = |at: &usize| {
        let before = value[..*at].chars().next_back();
        let quotes = value[..*at].matches('"').count();
        before.is_none_or(char::is_whitespace) && (quotes != 1 || value[at + 1..].starts_with(' '))
    };
    let end = value.match_indices('#').map(|(at, _)| at).find(is_comment);
    value[..end.unwrap_or(value.len())].trim()
}

/// Keys whose values are amounts of money, which somebody may write with its sign or with a comma.
const NUMBERS: [&str; 2] = ["price", "hour"];
/// Keys whose values are counts.
const WHOLE_NUMBERS: [&str; 3] = ["count", "quantity", "risers"];

/// What is wrong with a value; its place counts from the value's beginning.
fn of_value(key: &str, value: &str) -> Option<Slip> {
    let slip = |what: &str, at: usize, inner: &str| Some(slip(key, what, at, inner));
    let place = |of: &[char]| value.chars().position(|c| of.contains(&c));
    if value.is_empty() {
        let what = format!("there is nothing behind `{key} =`");
        return Some(Slip { what, at: 0, instead: None, mended: String::new() });
    }
    if let Some(number) = plain_number(value).filter(|_| NUMBERS.contains(&key)) {
        let what =
            format!("`{key}` is a plain number: a point in it, no comma and no sign of money");
        let mended = format!("{key} = {number}");
        return Some(Slip { what, at: 0, instead: Some(mended.clone()), mended });
    }
    if plain_number(value).is_some() && WHOLE_NUMBERS.contains(&key) {
        let what = format!("`{key}` is a whole number");
        return Some(Slip { what, at: 0, instead: None, mended: String::new() });
    }
    if value.starts_with(CURLY) || value.ends_with(CURLY) && value.starts_with('"') {
        let inner = value.trim_matches(|c| CURLY.contains(&c) || c == '"');
        return slip("a curly quote mark is none here: type straight ones", place(&CURLY)?, inner);
    }
    if let Some(behind) = value.strip_prefix('"') {
        return of_quoted(key, value, behind);
    }
    if let Some(behind) = value.strip_prefix('\'') {
        let inner = behind.strip_suffix('\'').unwrap_or(behind);
        let what = if inner == behind {
            "the quote mark at the beginning is not closed"
        } else {
            "a foot mark stands between single quote marks: type double ones"
        };
        return slip(what, 0, inner);
    }
    match value.to_lowercase().as_str() {
        "yes" | "true" => return Some(word(key, "true")),
        "no" | "false" => return Some(word(key, "false")),
        _ => {}
    }
    if value.starts_with(['[', '{', ']', '}']) {
        return None;
    }
    let inner = value.trim_end_matches('"');
    let what = if inner == value || !has_unit(inner) {
        "a length or a text stands in quote marks"
    } else {
        "the quote mark at the beginning is missing"
    };
    slip(what, 0, if has_unit(inner) { inner } else { value })
}

/// Whether letters or a foot mark say the unit.
fn has_unit(text: &str) -> bool {
    text.chars().any(|c| c.is_alphabetic())
}

/// What is wrong with a value that begins with a quote mark; `behind` is what stands behind that.
fn of_quoted(key: &str, value: &str, behind: &str) -> Option<Slip> {
    let slip = |what: &str, at: usize, inner: &str| Some(slip(key, what, at, inner));
    let Some(closing) = behind.find('"') else {
        return slip("the quote mark at the beginning is not closed", 0, behind);
    };
    let at = 1 + behind[..closing].chars().count();
    if let Some(inner) = behind.strip_suffix('"').filter(|inner| inner.contains('"')) {
        let is_inches = inner.starts_with(|c: char| c.is_ascii_digit() || c == '.');
        let what = if is_inches {
            "the inch mark ends the quotes: type in instead of it"
        } else {
            "a quote mark inside quotes ends them"
        };
        return slip(what, at, inner);
    }
    if value.contains('\\') {
        let backslash = value.chars().position(|c| c == '\\')?;
        let inner = behind.trim_end_matches('"').replace('\\', "/");
        return slip("a backslash has no place here: a fraction has /", backslash, &inner);
    }
    slip(
        "the quote marks close before the value ends",
        at,
        &behind.replace('"', " ").replace("  ", " "),
    )
}

fn word(key: &str, plain: &str) -> Slip {
    let mended = format!("{key} = {plain}");
    let what = format!("`{key}` is answered by true or false, without quote marks");
    Slip { what, at: 0, instead: Some(mended.clone()), mended }
}

/// A slip whose value is this text, with the quote marks that belong round it.
fn slip(key: &str, what: &str, at: usize, inner: &str) -> Slip {
    let inner = inner.trim();
    let is_measure = inner.starts_with(|c: char| c.is_ascii_digit() || c == '.');
    let length = if is_measure {
        inner.replace(['"', '\u{201d}', '\u{2033}'], " in")
    } else {
        inner.replace('"', "'")
    };
    let (instead, read) = match read_length(&length, Bare::Refused) {
        Ok(_) => (vec![length.clone()], length),
        Err(problem) if problem.instead.is_empty() && is_measure && key != "title" => {
            (Vec::new(), length)
        }
        Err(problem) if problem.instead.is_empty() => (vec![length.clone()], length),
        Err(problem) => (problem.instead.clone(), problem.instead[0].clone()),
    };
    let whole = (!instead.is_empty()).then(|| typed_as(key, &instead));
    Slip { what: what.to_string(), at, instead: whole, mended: typed_as(key, &[read]) }
}
