//! What profiles and jobs share in reading TOML: spanned values, and errors with file, line and
//! column.

use std::ops::Range as Span;

use serde::Deserialize;
use serde::de::{DeserializeOwned, Deserializer, Visitor};
use toml::Spanned;

use super::typing::typed;
use crate::diagnostics::{Error, ErrorKind, Position};
use crate::units::{
    Bare, Length, LengthWarning, Tape, read_acceleration, read_length, read_rate, trimmed,
};

/// A length as it stands in a file: a text, or a number whose unit is yet to be known.
#[derive(Clone, Debug, PartialEq)]
pub enum RawLength {
    /// A text such as `26 3/4 in`.
    Text(String),
    /// A bare number.
    Number(f64),
}

impl RawLength {
    pub(crate) fn typed(&self) -> String {
        match self {
            Self::Text(text) => text.clone(),
            Self::Number(number) => format!("{number}"),
        }
    }
}

/// A length with its place.
pub type Len = Spanned<RawLength>;
/// A speed text with its place.
pub type Rate = Spanned<String>;
/// An acceleration text with its place.
pub type Accel = Spanned<String>;

impl<'de> Deserialize<'de> for RawLength {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Text;
        impl Visitor<'_> for Text {
            type Value = RawLength;
            fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                write!(f, "a length in quotes with its unit, such as \"26 3/4 in\" or \"680 mm\"")
            }
            fn visit_str<E>(self, text: &str) -> Result<RawLength, E> {
                Ok(RawLength::Text(text.to_string()))
            }
            fn visit_f64<E>(self, value: f64) -> Result<RawLength, E> {
                Ok(RawLength::Number(value))
            }
            fn visit_i64<E>(self, value: i64) -> Result<RawLength, E> {
                Ok(RawLength::Number(value as f64))
            }
        }
        deserializer.deserialize_any(Text)
    }
}

/// What a figure may be, both ends included.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Range {
    least: f64,
    most: f64,
}

impl Range {
    /// From `least` to `most` mm, or mm a minute, or mm a second squared.
    pub(super) const fn mm(least: f64, most: f64) -> Self {
        Self { least, most }
    }

    fn holds(self, value: f64) -> bool {
        // A bound that is typed in inches is the same figure to the last bits only.
        value >= self.least * (1.0 - 1e-9) && value <= self.most * (1.0 + 1e-9)
    }

    /// In both units, with what follows the unit.
    fn words(self, per: &str) -> String {
        let both = |mm: f64| {
            format!(
                "{} mm{per} ({} in{per})",
                trimmed(mm, 4),
                trimmed(mm / crate::units::MM_PER_INCH, 5)
            )
        };
        format!("{} to {}", both(self.least), both(self.most))
    }
}

/// A source as it is printed: a figure that its file has from memory is to be checked locally, and
/// where a text was or was not read is nobody's matter at the bench.
pub(super) fn printed(source: &str) -> String {
    source
        .replace("from memory, check locally", "check locally")
        .replace("from memory", "check locally")
}

/// A text under its file name, read piece by piece.
#[derive(Debug)]
pub struct Reader<'a> {
    file: &'a str,
    text: &'a str,
    /// The text as somebody typed it, which is shown; the same lines.
    typed: &'a str,
    bare: Bare,
}

impl<'a> Reader<'a> {
    /// A reader that refuses bare numbers.
    pub fn new(file: &'a str, text: &'a str) -> Self {
        Reader { file, text, typed: text, bare: Bare::Refused }
    }

    /// The same reader with a unit for bare numbers.
    pub fn with_bare(self, bare: Bare) -> Self {
        Reader { bare, ..self }
    }

    /// The same reader for a text that was mended, line for line: places are shown in what was
    /// typed.
    pub(crate) fn reading<'b>(&self, mended: &'b str) -> Reader<'b>
    where
        'a: 'b,
    {
        Reader { text: mended, ..*self }
    }

    pub(crate) fn file(&self) -> &'a str {
        self.file
    }

    pub(crate) fn text(&self) -> &'a str {
        self.text
    }

    /// Reads the whole text as a `T`, `what` naming it in errors.
    ///
    /// # Errors
    /// If the text is no TOML, a key is unknown or missing, or a value has the wrong form.
    pub fn parse<T: DeserializeOwned>(&self, what: &str) -> Result<T, Error> {
        toml::from_str(self.text).map_err(|e| {
            // Of what cannot be read at all every line is told; else what means nothing here.
            let unread = Error::all_of(typed(self).slips);
            unread.unwrap_or_else(|| self.toml_error(what, &e))
        })
    }

    /// Reads a profile of a kind as a `T`, `what` naming it in errors.
    ///
    /// # Errors
    /// If the text is of another kind, or as [`Reader::parse`].
    pub fn parse_profile<T: DeserializeOwned>(&self, kind: &str, what: &str) -> Result<T, Error> {
        self.wants_profile(kind, what)?;
        self.parse(what)
    }

    /// The place of a byte range.
    pub fn place(&self, span: Span<usize>) -> Position {
        let before = self.text.get(..span.start).unwrap_or("");
        let line = before.matches('\n').count() + 1;
        let column = before.rsplit('\n').next().unwrap_or("").chars().count();
        self.position(line - 1, column)
    }

    /// The place of a line and a character of it, both counted from 0.
    fn position(&self, line: usize, column: usize) -> Position {
        let typed = self.typed.split('\n').nth(line).unwrap_or("").trim_end_matches('\r');
        Position {
            file: self.file.to_string(),
            line_column: Some((line + 1, column + 1)),
            line: Some(typed.to_string()),
        }
    }

    /// A slip of the pen in a line, both counted from 0.
    pub(super) fn slip(&self, line: usize, column: usize, what: &str) -> Error {
        Error::new(ErrorKind::Input, what).at(self.position(line, column))
    }

    /// An input error about the file as a whole.
    pub fn error(&self, what: &str, found: &str, hint: &str) -> Error {
        Error::new(ErrorKind::Input, what).in_file(self.file).found(found).hint(hint)
    }

    /// The tape that a length is typed by; `None` where it is no length.
    pub fn tape_of(&self, raw: &Len) -> Option<Tape> {
        read_length(&raw.get_ref().typed(), self.bare).ok().map(|reading| reading.tape)
    }

    /// A length of 0 or more, with the warning its text earned.
    ///
    /// # Errors
    /// If it is no length.
    pub fn length_with_warning(
        &self,
        key: &str,
        raw: &Len,
    ) -> Result<(Length, Option<LengthWarning>), Error> {
        let text = raw.get_ref().typed();
        let short_key = key.rsplit('.').next().unwrap_or(key);
        read_length(&text, self.bare).map(|reading| (reading.length, reading.warning)).map_err(
            |problem| {
                Error::new(ErrorKind::Input, format!("{key}: {}", problem.why))
                    .at(self.place(raw.span()))
                    .found(text)
                    .allowed("one length of 0 or more with its unit: ft, in, mm, cm or m")
                    .hint_if(instead(short_key, &problem.instead))
            },
        )
    }

    /// A length of 0 or more.
    ///
    /// # Errors
    /// If it is no length.
    pub fn length(&self, key: &str, raw: &Len) -> Result<Length, Error> {
        Ok(self.length_with_warning(key, raw)?.0)
    }

    /// A length of more than 0.
    ///
    /// # Errors
    /// If it is no length, or 0.
    pub fn positive(&self, key: &str, raw: &Len) -> Result<Length, Error> {
        let length = self.length(key, raw)?;
        if length > Length::ZERO {
            return Ok(length);
        }
        Err(self.out_of_range(key, raw.span(), "0", "a length of more than 0"))
    }

    /// A length within a range.
    ///
    /// # Errors
    /// If it is no length, or outside the range.
    pub(super) fn length_in(&self, key: &str, raw: &Len, range: Range) -> Result<Length, Error> {
        let length = self.length(key, raw)?;
        if range.holds(length.as_mm()) {
            return Ok(length);
        }
        Err(self.out_of_range(key, raw.span(), &raw.get_ref().typed(), &range.words("")))
    }

    /// A speed in mm/min within a range.
    ///
    /// # Errors
    /// If the text is no speed, or outside the range.
    pub(super) fn rate_in(&self, key: &str, raw: &Rate, range: Range) -> Result<f64, Error> {
        let rate = self.rate(key, raw)?;
        if range.holds(rate) {
            return Ok(rate);
        }
        Err(self.out_of_range(key, raw.span(), raw.get_ref(), &range.words("/min")))
    }

    /// An acceleration in mm/s2 within a range.
    ///
    /// # Errors
    /// If the text is no acceleration, or outside the range.
    pub(super) fn acceleration_in(
        &self,
        key: &str,
        raw: &Accel,
        range: Range,
    ) -> Result<f64, Error> {
        let acceleration = self.acceleration(key, raw)?;
        if range.holds(acceleration) {
            return Ok(acceleration);
        }
        Err(self.out_of_range(key, raw.span(), raw.get_ref(), &range.words("/s2")))
    }

    /// An error for a value out of its range.
    pub fn out_of_range(&self, key: &str, span: Span<usize>, found: &str, allowed: &str) -> Error {
        let short_key = key.rsplit('.').next().unwrap_or(key);
        Error::new(ErrorKind::Input, format!("{key} is out of its range"))
            .at(self.place(span))
            .found(found)
            .allowed(allowed)
            .hint(format!("look at `{short_key}` again"))
    }

    /// A plain number within bounds.
    ///
    /// # Errors
    /// If it lies outside them.
    pub fn number(&self, key: &str, value: f64, least: f64, most: f64) -> Result<f64, Error> {
        if (least..=most).contains(&value) {
            return Ok(value);
        }
        Err(self
            .error(
                &format!("{key} is out of its range"),
                &value.to_string(),
                &format!("look at `{key}` again: a number from {least} to {most}"),
            )
            .allowed(format!("{least} to {most}")))
    }

    /// A speed in mm/min, more than 0.
    ///
    /// # Errors
    /// If the text is no speed.
    pub fn rate(&self, key: &str, raw: &Rate) -> Result<f64, Error> {
        read_rate(raw.get_ref()).filter(|rate| *rate > 0.0).ok_or_else(|| {
            self.bad_text(key, raw, "a speed of more than 0 such as \"100 in/min\" or \"50 mm/s\"")
        })
    }

    /// An acceleration in mm/s2, more than 0.
    ///
    /// # Errors
    /// If the text is no acceleration.
    pub fn acceleration(&self, key: &str, raw: &Accel) -> Result<f64, Error> {
        read_acceleration(raw.get_ref()).filter(|a| *a > 0.0).ok_or_else(|| {
            self.bad_text(
                key,
                raw,
                "an acceleration of more than 0 such as \"10 in/s2\" or \"500 mm/s2\"",
            )
        })
    }

    fn bad_text(&self, key: &str, raw: &Spanned<String>, allowed: &str) -> Error {
        Error::new(ErrorKind::Input, format!("{key} cannot be read"))
            .at(self.place(raw.span()))
            .found(raw.get_ref().as_str())
            .allowed(allowed)
            .hint(format!("look at `{}` again: {allowed}", key.rsplit('.').next().unwrap_or(key)))
    }
}

/// What to type for a key instead of what was typed.
fn instead(key: &str, lengths: &[String]) -> Option<String> {
    (!lengths.is_empty()).then(|| typed_as(key, lengths))
}

/// A key with its value in quotes, or with each of several to choose from.
pub(crate) fn typed_as(key: &str, values: &[String]) -> String {
    let quoted: Vec<String> = values.iter().map(|value| format!("\"{value}\"")).collect();
    format!("{key} = {}", quoted.join(" or "))
}
