//! What any file is that somebody gives, told by its content and never by its name: this program's
//! own texts by their keys, programs and drawings by how they begin, and what is only for people to
//! read.

use super::kind::{TextKind, kind_of_text};

/// What a file is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FileKind {
    /// A text that is typed: a job, an order, a profile, or one that cannot be told.
    Typed(TextKind),
    /// A program of a machine.
    Program,
    /// A drawing for exchange.
    Drawing,
    /// A page to be printed.
    Pdf,
    /// A picture of lines.
    Svg,
    /// A page of a browser.
    Page,
    /// Figures for other programs.
    Report,
    /// A table for a spreadsheet.
    Table,
    /// Words that are nobody's keys.
    Words,
    /// No text at all.
    Bytes,
}

impl FileKind {
    /// What it is called.
    pub fn called(self) -> &'static str {
        match self {
            Self::Typed(kind) => kind.called(),
            Self::Program => "a machine's program",
            Self::Drawing => "a DXF drawing",
            Self::Pdf => "a PDF to be printed",
            Self::Svg => "an SVG picture",
            Self::Page => "a page for the browser",
            Self::Report => "a report for other programs",
            Self::Table => "a table for a spreadsheet",
            Self::Words => "a text for people to read",
            Self::Bytes => "a file that holds no text",
        }
    }

    /// Whether it says what a tool does or where a part's edge is: what can be held against a job.
    pub fn is_held(self) -> bool {
        matches!(self, Self::Program | Self::Drawing)
    }
}

/// So much of a file is looked at where it is no typed text.
const LOOKED_AT: usize = 1 << 16;
/// Typed texts are no larger.
const LARGEST_TYPED: usize = 1 << 20;

/// What the bytes of a file are.
pub fn kind_of_bytes(bytes: &[u8]) -> FileKind {
    let head = &bytes[..bytes.len().min(LOOKED_AT)];
    if head.starts_with(b"%PDF-") {
        return FileKind::Pdf;
    }
    if head.starts_with(b"AutoCAD Binary DXF") {
        return FileKind::Drawing;
    }
    let begin = match std::str::from_utf8(head) {
        Ok(text) => text,
        Err(error) if error.error_len().is_none() && head.len() < bytes.len() => {
            // A letter that is cut in two at the end of what is looked at.
            std::str::from_utf8(&head[..error.valid_up_to()]).unwrap_or("")
        }
        Err(_) if is_program(&String::from_utf8_lossy(head)) => return FileKind::Program,
        Err(_) if is_drawing(&String::from_utf8_lossy(head)) => return FileKind::Drawing,
        Err(_) => return FileKind::Bytes,
    };
    let begin = begin.trim_start_matches('\u{feff}');
    if begin.contains('\0') {
        return FileKind::Bytes;
    }
    if let Some(kind) = by_beginning(begin) {
        return kind;
    }
    let whole = std::str::from_utf8(bytes).ok().filter(|text| text.len() <= LARGEST_TYPED);
    // Words of a machine that it does not begin with.
    if !is_typed(begin) && begin.lines().map(str::trim).any(is_of_words) {
        return FileKind::Program;
    }
    match whole.map(kind_of_text) {
        None if !is_typed(begin) => FileKind::Words,
        None | Some(TextKind::Unknown) if is_typed(begin) => FileKind::Typed(TextKind::Unknown),
        None | Some(TextKind::Unknown) if is_table(begin) => FileKind::Table,
        None | Some(TextKind::Unknown) => FileKind::Words,
        Some(kind) => FileKind::Typed(kind),
    }
}

/// What tells by its first lines.
fn by_beginning(text: &str) -> Option<FileKind> {
    let start = text.trim_start();
    let tag = |name: &str| start.get(..name.len()).is_some_and(|of| of.eq_ignore_ascii_case(name));
    let has = |word: &str| text.to_ascii_lowercase().contains(word);
    match () {
        () if tag("<!doctype html") || tag("<html") => Some(FileKind::Page),
        () if start.starts_with('<') && has("<svg") => Some(FileKind::Svg),
        () if start.starts_with('<') && has("<html") => Some(FileKind::Page),
        () if start.starts_with('{') => Some(FileKind::Report),
        () if is_drawing(text) => Some(FileKind::Drawing),
        () if is_program(text) => Some(FileKind::Program),
        () => None,
    }
}

/// Whether a text begins as a drawing exchange file does: with a group code, 0 before its first
/// section or 999 before a comment.
fn is_drawing(text: &str) -> bool {
    let first = text.lines().map(str::trim).find(|line| !line.is_empty());
    matches!(first, Some("0" | "999"))
}

/// Whether the first line of a text that is no comment is one of a machine's words: a letter and a
/// figure.
fn is_program(text: &str) -> bool {
    let lines = text.lines().map(str::trim).filter(|line| !line.is_empty());
    // A program may begin with a sign of its own, and with its number.
    let mut words = lines.filter(|line| !line.starts_with(['(', ';', '%', 'O', ':']));
    words.next().is_some_and(is_of_words)
}

/// Whether a line is words of a program, up to a comment.
fn is_of_words(line: &str) -> bool {
    let line = line.split([';', '(']).next().unwrap_or("").trim_start_matches('/');
    let mut letters = line.chars().filter(|c| !c.is_whitespace()).peekable();
    let mut found = false;
    while let Some(letter) = letters.next() {
        let is_figure = |c: &char| c.is_ascii_digit() || matches!(c, '.' | '-' | '+');
        if !letter.is_ascii_alphabetic() || letters.next_if(is_figure).is_none() {
            return false;
        }
        while letters.next_if(is_figure).is_some() {}
        found = true;
    }
    found
}

/// Whether a text that cannot be read was meant for keys and tables.
fn is_typed(text: &str) -> bool {
    let key = |line: &str| line.starts_with('[') || line.split_once('=').is_some_and(named);
    text.lines().map(str::trim).any(key)
}

/// Whether what stands before a sign of equality is a name and not a sentence.
fn named((name, _): (&str, &str)) -> bool {
    let name = name.trim();
    let of_key = |c: char| c.is_ascii_alphanumeric() || matches!(c, '_' | '-' | '.' | '"');
    !name.is_empty() && name.chars().all(of_key)
}

/// Whether the first two lines are rows of as many columns, three at least.
fn is_table(text: &str) -> bool {
    let columns = |line: &str| line.split(',').count();
    let mut rows = text.lines().map(columns);
    matches!((rows.next(), rows.next()), (Some(first), Some(next)) if first > 2 && next >= first)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_file_is_follows_from_what_it_holds() {
        use FileKind::{Bytes, Drawing, Page, Pdf, Program, Report, Svg, Table, Typed, Words};
        for (bytes, kind) in [
            (&b"%PDF-1.4\n1 0 obj"[..], Pdf),
            (b"AutoCAD Binary DXF\r\n\x1a\0", Drawing),
            (b"  0\nSECTION\n", Drawing),
            (b"999\nmade here\n0\nSECTION\n", Drawing),
            (b"0\nSECTION\n\xe9", Drawing),
            (b"%\nO1001 (steps)\nG21 G90\nM30\n", Program),
            (b"(SEATCUT)\nG20 G90 G17\nM3 S18000\n", Program),
            (b"; anything \xe9\nN10 G0 X-1.5 Y.5\n", Program),
            (b"g1x2.5y-3f600\n", Program),
            (b"/G0 X1 ; skipped\n", Program),
            (b"$H\nG21 G90\n", Program),
            (b"<!DOCTYPE html>\n<title>x</title>", Page),
            (b"<?xml version=\"1.0\"?>\n<svg viewBox=\"0 0 1 1\"/>", Svg),
            (b"<svg/>", Svg),
            (b"<?xml version=\"1.0\"?><html xmlns=\"x\">", Page),
            (b"\n{\"schema\": \"seatcut.report/1\"}", Report),
            (b"\xef\xbb\xbfnumber,order,due\n1,2,3\n", Table),
            (b"Boards to buy\nThree of twelve feet, and one of ten.\n", Words),
            (b"Boards, laths, nails\nNone.\n", Words),
            (b"total = \n[rise\n", Typed(TextKind::Unknown)),
            (b"[rise]\ntotal = \"36 in\"\n", Typed(TextKind::Job)),
            (b"\xef\xbb\xbf[rise]\ntotal = \"36 in\"\n", Typed(TextKind::Job)),
            (b"", Typed(TextKind::Empty)),
            (b"\n \n", Typed(TextKind::Empty)),
            (b"\x89PNG\r\n\x1a\n\0\0", Bytes),
            (b"GIF89a\0\x01", Bytes),
            (b"P\0K", Bytes),
        ] {
            assert_eq!(kind_of_bytes(bytes), kind, "{}", String::from_utf8_lossy(bytes));
        }
    }

    #[test]
    fn a_large_file_is_told_by_its_beginning() {
        let mut program = b"G21 G90\n".to_vec();
        program.extend(b"G1 X1 Y2\n".repeat(1 << 18));
        assert_eq!(kind_of_bytes(&program), FileKind::Program);
        // A letter of two bytes across the end of what is looked at.
        let mut words = vec![b'a'; LOOKED_AT - 1];
        words.extend("\u{e9}".repeat(1 << 20).bytes());
        assert_eq!(kind_of_bytes(&words), FileKind::Words);
        words[0] = 0xff;
        assert_eq!(kind_of_bytes(&words), FileKind::Bytes);
    }
}
