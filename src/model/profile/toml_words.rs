//! What the TOML parser says, in the words of somebody who types a job or a profile.

use std::ops::Range as Span;

use super::guess::nearest;
use super::reader::Reader;
use crate::diagnostics::{Error, ErrorKind};

impl Reader<'_> {
    pub(super) fn toml_error(&self, what: &str, error: &toml::de::Error) -> Error {
        let place = self.place(error.span().unwrap_or(0..0));
        let message = error.message().to_string();
        let mut quoted = message.split('`').skip(1).step_by(2);
        let (first, others): (Option<&str>, Vec<&str>) = (quoted.next(), quoted.collect());
        let built = |text: String| Error::new(ErrorKind::Input, text).at(place);
        match first {
            // The parser hands a date over as a table with a key of its own.
            Some(key) if key.starts_with("$__toml") => {
                built(format!("a value of the wrong form in this {what}"))
                    .found(self.excerpt(error.span()))
                    .allowed(format!(
                        "a table with {}: a date stands nowhere in it",
                        others.join(", ")
                    ))
                    .hint_if(self.mended(error.span(), "a text in quotes"))
            }
            Some(key) if message.starts_with("unknown field") => {
                let error = built(format!("unknown key in this {what}"))
                    .found(key)
                    .allowed(others.join(", "));
                match nearest(key, &others) {
                    Some(near) => error.hint(format!("`{near}` instead of `{key}`")),
                    None => error.hint(format!("remove `{key}`, or take one of the keys above")),
                }
            }
            Some(key) if message.starts_with("unknown variant") => {
                let near = nearest(key, &others).map(|near| format!("\"{near}\""));
                built(format!("unknown word in this {what}"))
                    .found(key)
                    .allowed(others.join(", "))
                    .hint_if(near)
            }
            Some(key) if message.starts_with("missing field") => {
                built(format!("a key is missing in this {what}"))
                    .found(format!("no `{key}`"))
                    .allowed(format!("`{key}` must be given"))
                    .hint(format!("add a line with `{key}`"))
            }
            _ => {
                let wanted = wanted(&message).unwrap_or_else(|| "another value".to_string());
                built(format!("a value of the wrong form in this {what}"))
                    .found(self.excerpt(error.span()))
                    .hint_if(self.mended(error.span(), &wanted))
                    .allowed(wanted)
            }
        }
    }

    /// The value at a span as it is to be typed, where only its quote marks are wrong.
    fn mended(&self, span: Option<Span<usize>>, wanted: &str) -> Option<String> {
        let value = self.text().get(span?)?.trim();
        if wanted == "a text in quotes" {
            let is_bare = value.starts_with(|c: char| c.is_ascii_digit()) && !value.contains('"');
            return is_bare.then(|| format!("\"{value}\", in quote marks"));
        }
        let number = plain_number(value.strip_prefix('"')?.strip_suffix('"')?)?;
        let asks_whole = wanted.starts_with("a whole number");
        let fits = wanted == "a number" || asks_whole && number.parse::<u32>().is_ok();
        fits.then(|| format!("{number}, without quote marks"))
    }

    /// What stands at a span, for an error: at most 40 characters of it.
    fn excerpt(&self, span: Option<Span<usize>>) -> String {
        let start = span.map_or(0, |s| s.start).min(self.text().len());
        let line = self.text().get(start..).unwrap_or("").lines().next().unwrap_or("");
        if line.trim().is_empty() {
            "the end of the line".to_string()
        } else {
            line.chars().take(40).collect()
        }
    }
}

/// A number as it is typed here, of one with a sign of money before it or behind it, or with a
/// comma for its point; none where it is no number all the same.
pub(super) fn plain_number(text: &str) -> Option<String> {
    let is_figure = |c: char| c.is_ascii_digit() || ",.".contains(c);
    let number = text.trim_matches(|c| !is_figure(c)).replace(',', ".");
    let rest = text.replacen(text.trim_matches(|c| !is_figure(c)), "", 1);
    let is_money = rest.chars().filter(|c| !c.is_whitespace()).count() <= 3
        && !rest.contains(|c: char| c.is_ascii_digit() || "-/'\"".contains(c));
    (is_money && number.parse::<f64>().is_ok()).then_some(number)
}

/// What the parser says that it wanted, in the user's words; none where it says nothing of it.
fn wanted(message: &str) -> Option<String> {
    let said = message
        .strip_prefix("invalid ")
        .and_then(|_| message.split_once(", expected "))
        .map(|(_, wanted)| wanted)
        .or_else(|| message.strip_prefix("wanted "));
    said.map(plain_words)
}

/// The parser's words for a wanted value in the user's.
fn plain_words(wanted: &str) -> String {
    match wanted.trim_end() {
        "i64" => "a whole number".to_string(),
        "u32" => "a whole number of 0 or more".to_string(),
        "a nonzero u32" => "a whole number of 1 or more".to_string(),
        "f64" => "a number".to_string(),
        "a boolean" => "true or false, without quotes".to_string(),
        "a string" | "string or table" => "a text in quotes".to_string(),
        other if other.starts_with("struct ") => "a table with its own keys".to_string(),
        other => other.to_string(),
    }
}
