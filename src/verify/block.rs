//! The letters and numbers of a program, line by line. Grammar: RS-274/NGC as published in NISTIR
//! 6556, chapter 3, less parameters, expressions, block delete and line labels.

use super::comment::{objection, told_over};
use super::limits::{LARGEST_NUMBER, LONGEST_FILE, LONGEST_READ, MOST_LINES};
use crate::diagnostics::codes::ActedOn;
use crate::diagnostics::{Error, ErrorKind, Position};

/// The letters that a program may use.
const LETTERS: &[u8] = b"GMXYZIJRFSPTHN";
/// The most characters of one number.
const LONGEST_NUMBER: usize = 24;

/// A letter and its number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Word {
    pub letter: u8,
    pub number: f64,
}

/// How comments of a line are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Comment {
    None,
    Parentheses,
    Semicolon,
}

/// One line of a program.
#[derive(Clone, Debug)]
pub(super) struct Block {
    /// The line, counted from 1.
    pub line: usize,
    pub words: Vec<Word>,
    /// A line that is only `%`.
    pub percent: bool,
    pub comment: Comment,
    /// What a controller might act on in a comment.
    pub objection: Option<(ActedOn, String)>,
    /// Where its comments have the operator bring the tool, X and Y in the program's unit.
    pub told_over: Vec<[f64; 2]>,
    /// Characters of the line.
    pub length: usize,
}

impl Block {
    /// Whether nothing at all stands on the line.
    pub(crate) fn is_blank(&self) -> bool {
        self.words.is_empty() && !self.percent && self.comment == Comment::None
    }
}

/// The blocks of a program.
///
/// # Errors
/// If the text is empty, too large, or a line is not made of letters and numbers.
pub(super) fn blocks<'a>(
    text: &'a [u8],
    file: &'a str,
) -> Result<impl Iterator<Item = Result<Block, Error>> + use<'a>, Error> {
    check_size(text, file)?;
    let lines = text.split(|&b| b == b'\n').map(|line| line.strip_suffix(b"\r").unwrap_or(line));
    Ok(lines.enumerate().map(move |(i, line)| {
        if i >= MOST_LINES {
            return Err(unreadable(file, i + 1, 1, "the program has too many lines")
                .allowed(format!("{MOST_LINES} lines")));
        }
        let reader = Reader { file, line: i + 1, text: line, at: 0 };
        if line.len() > LONGEST_READ { Err(reader.too_long()) } else { reader.block() }
    }))
}

/// Neither empty nor too large.
pub(super) fn check_size(text: &[u8], file: &str) -> Result<(), Error> {
    let error = |what: &str| Error::new(ErrorKind::NotThisPart, what).in_file(file);
    if text.is_empty() {
        return Err(error("the file is empty").allowed("a program or a drawing"));
    }
    if text.len() > LONGEST_FILE {
        return Err(error("the file is too large")
            .found(format!("{} bytes", text.len()))
            .allowed("16 MB"));
    }
    Ok(())
}

/// An error at a line and column of a file that cannot be read.
pub(super) fn unreadable(file: &str, line: usize, column: usize, what: impl Into<String>) -> Error {
    let place = Position { file: file.to_string(), line_column: Some((line, column)), line: None };
    Error::new(ErrorKind::NotThisPart, what).at(place)
}

struct Reader<'a> {
    file: &'a str,
    line: usize,
    text: &'a [u8],
    at: usize,
}

impl Reader<'_> {
    fn error(&self, what: impl Into<String>) -> Error {
        unreadable(self.file, self.line, self.at + 1, what)
    }

    fn too_long(&self) -> Error {
        let found = format!("{} characters", self.text.len());
        self.error("a line is too long to be read").found(found).allowed(format!("{LONGEST_READ}"))
    }

    fn block(mut self) -> Result<Block, Error> {
        let mut block = Block {
            line: self.line,
            words: Vec::new(),
            percent: self.text.trim_ascii() == b"%",
            comment: Comment::None,
            objection: None,
            told_over: Vec::new(),
            length: self.text.len(),
        };
        if block.percent {
            return Ok(block);
        }
        while let Some(&byte) = self.text.get(self.at) {
            match byte {
                b' ' | b'\t' => self.at += 1,
                b'(' => {
                    let start = self.at + 1;
                    self.comment()?;
                    let text = &self.text[start..self.at - 1];
                    block.objection = block.objection.or_else(|| objection(text, true));
                    block.told_over.extend(told_over(text));
                    block.comment = Comment::Parentheses;
                }
                b';' => {
                    self.check_text(self.text.len())?;
                    let text = &self.text[self.at + 1..];
                    block.objection = block.objection.or_else(|| objection(text, false));
                    block.told_over.extend(told_over(text));
                    block.comment = Comment::Semicolon;
                    break;
                }
                _ => {
                    let place =
                        if block.words.is_empty() { Standing::First } else { Standing::Later };
                    let word = self.word(byte, place)?;
                    block.words.push(word);
                }
            }
        }
        Ok(block)
    }

    /// Steps over a comment in parentheses.
    fn comment(&mut self) -> Result<(), Error> {
        let rest = &self.text[self.at + 1..];
        let Some(length) = rest.iter().position(|&b| b == b')') else {
            return Err(self.error("a comment is not closed").allowed("a ) on the same line"));
        };
        if rest[..length].contains(&b'(') {
            return Err(self
                .error("a comment holds another")
                .allowed("comments that are not nested"));
        }
        let end = self.at + length + 2;
        self.check_text(end)?;
        self.at = end;
        Ok(())
    }

    fn check_text(&mut self, end: usize) -> Result<(), Error> {
        let odd = self.text[self.at..end]
            .iter()
            .position(|b| !(b.is_ascii_graphic() || matches!(b, b' ' | b'\t')));
        match odd {
            Some(offset) => {
                self.at += offset;
                Err(self.not_text())
            }
            None => Ok(()),
        }
    }

    fn not_text(&self) -> Error {
        self.error("this is no plain text")
            .found(format!("byte {}", self.text[self.at]))
            .allowed("printable ASCII")
    }

    fn word(&mut self, byte: u8, standing: Standing) -> Result<Word, Error> {
        let letter = byte.to_ascii_uppercase();
        if !byte.is_ascii_graphic() {
            return Err(self.not_text());
        }
        if !LETTERS.contains(&letter) {
            let error = self.error("an unknown word").found(char::from(byte).to_string());
            return Err(error.allowed("the words G M X Y Z I J R F S P T H N"));
        }
        let start = self.at;
        self.at += 1;
        while matches!(self.text.get(self.at), Some(b' ' | b'\t')) {
            self.at += 1;
        }
        let digits = self.at;
        while matches!(self.text.get(self.at), Some(b'0'..=b'9' | b'.' | b'-' | b'+')) {
            self.at += 1;
        }
        let digits = &self.text[digits..self.at];
        if let Some(allowed) = malformed(letter, digits, standing) {
            self.at = start;
            let found = format!("{}{}", char::from(letter), digits.escape_ascii());
            return Err(self
                .error("a word in a form that controllers refuse")
                .found(found)
                .allowed(allowed));
        }
        if !matches!(letter, b'G' | b'M' | b'T' | b'H' | b'N') && is_read_otherwise(digits) {
            self.at = start;
            let found = format!("{}{}", char::from(letter), digits.escape_ascii());
            let error = self.error("a number of which some controllers keep eight digits only");
            return Err(error.found(found).allowed("eight digits, leading zeros among them"));
        }
        let number = parsed(digits);
        self.at = if number.is_none() { start } else { self.at };
        let number = number.ok_or_else(|| {
            let found = self.text[start..]
                .iter()
                .take(LONGEST_NUMBER)
                .map(|&b| char::from(b))
                .collect::<String>();
            self.error("a word without a number that can be read")
                .found(found)
                .allowed("a letter and a number like 12.3456")
        })?;
        Ok(Word { letter, number })
    }
}

/// Whether a word is the first of its line.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Standing {
    First,
    Later,
}

/// What a G, M or N word has to look like, where it does not: codes are unsigned, of two digits at
/// most and one decimal; a line number is whole, of five digits at most, and stands first.
fn malformed(letter: u8, digits: &[u8], standing: Standing) -> Option<&'static str> {
    let all_digits = |text: &[u8]| !text.is_empty() && text.iter().all(u8::is_ascii_digit);
    match letter {
        b'G' | b'M' => {
            let mut parts = digits.splitn(2, |&b| b == b'.');
            let whole = parts.next().is_some_and(|whole| all_digits(whole) && whole.len() <= 2);
            let decimal =
                parts.next().is_none_or(|decimal| all_digits(decimal) && decimal.len() == 1);
            (!whole || !decimal)
                .then_some("one or two digits without a sign, and one decimal at most: G1, G91.1")
        }
        b'T' | b'H' => {
            let right = all_digits(digits) && digits.len() <= 3;
            (!right).then_some("T or H and a whole number to 999")
        }
        b'N' => {
            let right = all_digits(digits) && digits.len() <= 5 && standing == Standing::First;
            (!right).then_some("N and 0 to 99999, whole, as the first word of a line")
        }
        _ => None,
    }
}

/// How many digits of a number small controllers keep, leading zeros among them.
const KEPT_DIGITS: usize = 8;
/// What the digits that they leave out may come to, in the number's own unit: the last digit of an
/// inch program, with what a float adds.
const LEFT_OUT: f64 = 1.001e-4;

/// Whether a number is another one where only its first digits are kept: what stands behind them
/// counts as nothing behind the point, and as a factor of ten each before it.
fn is_read_otherwise(text: &[u8]) -> bool {
    let (mut kept, mut digits, mut scale, mut is_behind) = (0.0, 0, 0, false);
    for byte in text {
        match byte {
            b'.' => is_behind = true,
            b'0'..=b'9' if digits < KEPT_DIGITS => {
                digits += 1;
                kept = kept * 10.0 + f64::from(byte - b'0');
                scale -= i32::from(is_behind);
            }
            b'0'..=b'9' => scale += i32::from(!is_behind),
            _ => {}
        }
    }
    let kept: f64 = kept * 10_f64.powi(scale);
    parsed(text).is_some_and(|number| (number.abs() - kept).abs() > LEFT_OUT)
}

/// A plain decimal number: no exponent.
fn parsed(text: &[u8]) -> Option<f64> {
    if text.len() > LONGEST_NUMBER || !text.iter().any(u8::is_ascii_digit) {
        return None;
    }
    let number: f64 = std::str::from_utf8(text).ok()?.parse().ok()?;
    (number.is_finite() && number.abs() <= LARGEST_NUMBER).then_some(number)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<Vec<Block>, Error> {
        blocks(text.as_bytes(), "p.nc")?.collect()
    }

    #[test]
    fn words_are_read_with_spaces_small_letters_and_comments() {
        let blocks = read("N10 g1 x-1.5Y.25 (to (no\n").map(|b| b.len());
        assert!(blocks.unwrap_err().to_string().contains("p.nc:1:18: a comment is not closed"));
        let block = &read("g1 x-1.5Y.25 (to) F 100.").unwrap()[0];
        let words: Vec<_> = block.words.iter().map(|w| (char::from(w.letter), w.number)).collect();
        assert_eq!(words, [('G', 1.0), ('X', -1.5), ('Y', 0.25), ('F', 100.0)]);
    }

    #[test]
    fn what_is_no_word_is_an_error_at_its_line_and_column() {
        for (text, at) in [
            ("G0\nX1 Q2", "2:4"),
            ("X1e5", "1:3"),
            ("X--1", "1:1"),
            ("X", "1:1"),
            ("X#1", "1:1"),
            ("X\u{e9}", "1:1"),
            ("X00000000008.2723", "1:1"),
            ("G1 F000000000100", "1:4"),
            ("X1 Y123456789.5", "1:4"),
        ] {
            let error = read(text).unwrap_err().to_string();
            assert!(error.starts_with(&format!("p.nc:{at}:")), "{text}: {error}");
        }
        assert!(read("").is_err());
        assert!(read("X12345.678 Y-0012.5000 Z123.123456 F0800.0").is_ok(), "eight digits say it");
    }
}
