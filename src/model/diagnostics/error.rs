//! The error of something that can't go on: what, where, found, allowed, and what to type.

use std::fmt;

use crate::diagnostics::visible::visible;

/// What kind of stop an error is; the command's exit code follows from it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ErrorKind {
    /// A bug of this program.
    Internal,
    /// The command line asks for something that does not exist.
    Usage,
    /// The input could not be read or means nothing.
    Input,
    /// The stair, the part or the cut is refused.
    Refused,
    /// The file is not this job's part.
    NotThisPart,
    /// A file could not be read or written.
    File,
    /// Something stands where it would be written, and is replaced only when told.
    Taken,
    /// Something stands where it would be written that is not this program's to replace.
    Foreign,
}

/// Where in a file an error lies; lines and columns count from 1.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Position {
    /// The file as the user named it.
    pub file: String,
    /// The line, and the column in characters, where known.
    pub line_column: Option<(usize, usize)>,
    /// The line as it stands in the file, where somebody typed it and will mend it.
    pub line: Option<String>,
}

impl Position {
    /// The line with a mark under the place, where the line is known; of a long one what is near.
    fn shown(&self) -> Option<String> {
        let (Some((_, column)), Some(line)) = (self.line_column, &self.line) else { return None };
        let first = if line.chars().count() > LONGEST_LINE {
            (column - 1).saturating_sub(LONGEST_LINE / 2)
        } else {
            line.chars().take_while(|c| c.is_whitespace()).count().min(column - 1)
        };
        let near: String = line.chars().skip(first).take(LONGEST_LINE).map(printing).collect();
        Some(format!("\n    {}\n    {}^", near.trim_end(), " ".repeat(column - 1 - first)))
    }
}

impl fmt::Display for Position {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let file = repeated(&self.file);
        match (self.line_column, &self.line) {
            (Some((line, _)), Some(_)) => write!(f, "{file}, line {line}"),
            (Some((line, column)), None) => write!(f, "{file}:{line}:{column}"),
            (None, _) => write!(f, "{file}"),
        }
    }
}

/// A character of a line that is shown: one column wide, so that the mark stands under its place.
fn printing(c: char) -> char {
    let mut one = [0; 4];
    match c {
        '\t' => ' ',
        c if visible(c.encode_utf8(&mut one)).chars().eq([c]) => c,
        _ => '?',
    }
}

/// Something went wrong and the work stopped. Built with [`Error::new`] and the `with` methods.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Error(Box<Details>);

#[derive(Clone, Debug, PartialEq, Eq)]
struct Details {
    kind: ErrorKind,
    what: String,
    place: Option<Position>,
    found: Option<String>,
    allowed: Option<String>,
    hint: Option<String>,
    others: Vec<Error>,
}

impl Error {
    /// An error of a kind, with what went wrong.
    pub fn new(kind: ErrorKind, what: impl Into<String>) -> Self {
        Self(Box::new(Details {
            kind,
            what: what.into(),
            place: None,
            found: None,
            allowed: None,
            hint: None,
            others: Vec::new(),
        }))
    }

    /// Several slips of one text as one error: the first of them, with the others behind it. None
    /// where there are none.
    pub fn all_of(slips: Vec<Self>) -> Option<Self> {
        let mut slips = slips.into_iter();
        let mut first = slips.next()?;
        first.0.others.extend(slips);
        Some(first)
    }

    /// This slip and those behind it.
    pub fn slips(&self) -> impl Iterator<Item = &Self> {
        std::iter::once(self).chain(&self.0.others)
    }

    /// With the file, line and column it lies at.
    pub fn at(mut self, place: Position) -> Self {
        self.0.place = Some(place);
        self
    }

    /// With the file it lies in, unless a place is known already.
    pub fn in_file(mut self, file: &str) -> Self {
        self.0.place.get_or_insert_with(|| Position {
            file: file.to_string(),
            line_column: None,
            line: None,
        });
        self
    }

    /// With what was found.
    pub fn found(mut self, found: impl Into<String>) -> Self {
        self.0.found = Some(found.into());
        self
    }

    /// With what is allowed.
    pub fn allowed(mut self, allowed: impl Into<String>) -> Self {
        self.0.allowed = Some(allowed.into());
        self
    }

    /// With what to type or do instead.
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.0.hint = Some(hint.into());
        self
    }

    /// With what to type or do instead, if that is known.
    pub fn hint_if(self, hint: Option<String>) -> Self {
        match hint {
            Some(hint) => self.hint(hint),
            None => self,
        }
    }

    /// The kind of stop.
    pub fn kind(&self) -> ErrorKind {
        self.0.kind
    }

    /// What went wrong, in one line.
    pub fn what(&self) -> &str {
        &self.0.what
    }

    /// What went wrong, what was found and what is allowed, in one line.
    pub fn sentence(&self) -> String {
        let details = [("found", &self.0.found), ("allowed", &self.0.allowed)];
        let said = details.into_iter().filter_map(|(label, text)| {
            text.as_ref().map(|text| format!("; {label} {}", repeated(text)))
        });
        format!("{}{}", repeated(&self.0.what), said.collect::<String>())
    }

    /// The same on another line of its file.
    pub fn on_line(mut self, line: usize) -> Self {
        if let Some((at, _)) = self.0.place.as_mut().and_then(|place| place.line_column.as_mut()) {
            *at = line;
        }
        self
    }

    /// Where it lies, if it lies in a file.
    pub fn place(&self) -> Option<&Position> {
        self.0.place.as_ref()
    }
}

/// The most characters of a text that an error repeats: a value in a file may be as long as the
/// file.
const MOST_REPEATED: usize = 4_000;
/// The most characters of a line that are shown.
const LONGEST_LINE: usize = 100;

/// A text as an error shows it: what does not print is spelled out, and of a very long one the
/// beginning.
fn repeated(text: &str) -> String {
    match text.char_indices().nth(MOST_REPEATED) {
        Some((end, _)) => visible(&format!("{}... ({} bytes in all)", &text[..end], text.len())),
        None => visible(text),
    }
}

/// One line for what went wrong, the line of the file with a mark under the place, and a line for
/// each detail; what does not print is spelled out in all of them. Several slips follow each other.
impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let count = self.0.others.len() + 1;
        if count > 1 {
            write!(f, "{count} slips, each with its line")?;
            return self.slips().try_for_each(|slip| write!(f, "\n\n{}", One(slip)));
        }
        write!(f, "{}", One(self))
    }
}

/// One slip, told without those behind it.
struct One<'a>(&'a Error);

impl fmt::Display for One<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Error(details) = self.0;
        if let Some(place) = &details.place {
            write!(f, "{place}: ")?;
        }
        write!(f, "{}", repeated(&details.what))?;
        if let Some(line) = details.place.as_ref().and_then(Position::shown) {
            write!(f, "{line}")?;
        }
        for (label, text) in [
            ("found:  ", &details.found),
            ("allowed:", &details.allowed),
            ("to do:  ", &details.hint),
        ] {
            if let Some(text) = text {
                write!(f, "\n  {label} {}", repeated(text))?;
            }
        }
        Ok(())
    }
}

impl std::error::Error for Error {}

#[cfg(test)]
mod tests {
    use super::*;

    fn slip(line: &str, column: usize) -> Error {
        let line_column = Some((11, column));
        let place = Position { file: "stair.toml".into(), line_column, line: Some(line.into()) };
        Error::new(ErrorKind::Input, "not so").at(place).hint("otherwise")
    }

    #[test]
    fn a_slip_shows_its_line_with_a_mark_under_the_place() {
        assert_eq!(
            slip("\ttotal = \"36 1/4\"\"", 18).to_string(),
            "stair.toml, line 11: not so\n    total = \"36 1/4\"\"\n                    ^\n  to \
            do:   otherwise"
        );
        let long = slip(&format!("{}here{}", "a".repeat(900), "b".repeat(900)), 901).to_string();
        let lines: Vec<&str> = long.lines().collect();
        assert_eq!(lines[1].find("here"), lines[2].find('^'), "{long}");
        assert!(slip("\u{202e}x", 2).to_string().contains("\n    ?x\n     ^"));
    }

    #[test]
    fn several_slips_are_one_error_of_the_same_kind() {
        let all = Error::all_of(vec![slip("a", 1), slip("b", 1), slip("c", 1)]).unwrap();
        let said = all.to_string();
        assert_eq!((all.kind(), all.slips().count()), (ErrorKind::Input, 3));
        assert!(said.starts_with("3 slips") && said.matches("line 11").count() == 3, "{said}");
        assert_eq!(Error::all_of(Vec::new()), None);
    }

    #[test]
    fn a_value_as_long_as_its_file_is_not_repeated_whole() {
        let long = "\u{e9}".repeat(1 << 20);
        let error = Error::new(ErrorKind::Input, long.clone())
            .in_file(&long)
            .found(long.clone())
            .hint(long);
        let said = error.to_string();
        assert!(said.len() < 40_000 && said.contains("(2097152 bytes in all)"), "{}", said.len());
    }
}
