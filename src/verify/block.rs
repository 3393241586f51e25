//! The letters and numbers of a program, line by line. Grammar: RS-274/NGC as published in NISTIR 6556, chapter 3, less
//! parameters, expressions, block delete and line labels.

use super::limits::{LARGEST_NUMBER, LONGEST_FILE, MOST_LINES};
use crate::error::{Error, ErrorKind, Place};

/// The letters that a program may use.
const LETTERS: &[u8] = b"GMXYZIJFSPN";
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
    /// Characters of the line.
    pub length: usize,
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
            return Err(unreadable(file, i + 1, 1, "the program has too many lines").allowed("4 million lines"));
        }
        Reader { file, line: i + 1, text: line, at: 0 }.block()
    }))
}

/// Neither empty nor too large.
pub(super) fn check_size(text: &[u8], file: &str) -> Result<(), Error> {
    let error = |what: &str| Error::new(ErrorKind::NotThisPart, what).in_file(file);
    if text.is_empty() {
        return Err(error("the file is empty").allowed("a program or a drawing"));
    }
    if text.len() > LONGEST_FILE {
        return Err(error("the file is too large").found(format!("{} bytes", text.len())).allowed("64 MB"));
    }
    Ok(())
}

/// An error at a line and column of a file that cannot be read.
pub(super) fn unreadable(file: &str, line: usize, column: usize, what: impl Into<String>) -> Error {
    let place = Place { file: file.to_string(), line_column: Some((line, column)) };
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

    fn block(mut self) -> Result<Block, Error> {
        let mut block = Block {
            line: self.line,
            words: Vec::new(),
            percent: self.text.trim_ascii() == b"%",
            comment: Comment::None,
            length: self.text.len(),
        };
        if block.percent {
            return Ok(block);
        }
        while let Some(&byte) = self.text.get(self.at) {
            match byte {
                b' ' | b'\t' => self.at += 1,
                b'(' => {
                    self.comment()?;
                    block.comment = Comment::Parentheses;
                }
                b';' => {
                    self.check_text(self.text.len())?;
                    block.comment = Comment::Semicolon;
                    break;
                }
                _ => block.words.push(self.word(byte)?),
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
            return Err(self.error("a comment holds another").allowed("comments that are not nested"));
        }
        let end = self.at + length + 2;
        self.check_text(end)?;
        self.at = end;
        Ok(())
    }

    fn check_text(&mut self, end: usize) -> Result<(), Error> {
        let odd = self.text[self.at..end].iter().position(|b| !(b.is_ascii_graphic() || matches!(b, b' ' | b'\t')));
        match odd {
            Some(offset) => {
                self.at += offset;
                Err(self.not_text())
            }
            None => Ok(()),
        }
    }

    fn not_text(&self) -> Error {
        self.error("this is no plain text").found(format!("byte {}", self.text[self.at])).allowed("printable ASCII")
    }

    fn word(&mut self, byte: u8) -> Result<Word, Error> {
        let letter = byte.to_ascii_uppercase();
        if !byte.is_ascii_graphic() {
            return Err(self.not_text());
        }
        if !LETTERS.contains(&letter) {
            let error = self.error("an unknown word").found(char::from(byte).to_string());
            return Err(error.allowed("the words G M X Y Z I J F S P N"));
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
        let number = parsed(&self.text[digits..self.at]);
        self.at = if number.is_none() { start } else { self.at };
        let number = number.ok_or_else(|| {
            let found = self.text[start..].iter().take(LONGEST_NUMBER).map(|&b| char::from(b)).collect::<String>();
            self.error("a word without a number that can be read")
                .found(found)
                .allowed("a letter and a number like 12.3456")
        })?;
        Ok(Word { letter, number })
    }
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
        for (text, at) in
            [("G0\nX1 Q2", "2:4"), ("X1e5", "1:3"), ("X--1", "1:1"), ("X", "1:1"), ("X#1", "1:1"), ("X\u{e9}", "1:1")]
        {
            let error = read(text).unwrap_err().to_string();
            assert!(error.starts_with(&format!("p.nc:{at}:")), "{text}: {error}");
        }
        assert!(read("").is_err());
    }
}
