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
}

/// Where in a file an error lies; lines and columns count from 1.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Position {
    /// The file as the user named it.
    pub file: String,
    /// The line, and the column in characters, where known.
    pub line_column: Option<(usize, usize)>,
}

impl fmt::Display for Position {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let file = repeated(&self.file);
        match self.line_column {
            Some((line, column)) => write!(f, "{file}:{line}:{column}"),
            None => write!(f, "{file}"),
        }
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
        }))
    }

    /// With the file, line and column it lies at.
    pub fn at(mut self, place: Position) -> Self {
        self.0.place = Some(place);
        self
    }

    /// With the file it lies in, unless a place is known already.
    pub fn in_file(mut self, file: &str) -> Self {
        self.0.place.get_or_insert_with(|| Position { file: file.to_string(), line_column: None });
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

    /// Where it lies, if it lies in a file.
    pub fn place(&self) -> Option<&Position> {
        self.0.place.as_ref()
    }
}

/// The most characters of a text that an error repeats: a value in a file may be as long as the
/// file.
const MOST_REPEATED: usize = 4_000;

/// A text as an error shows it: what does not print is spelled out, and of a very long one the
/// beginning.
fn repeated(text: &str) -> String {
    match text.char_indices().nth(MOST_REPEATED) {
        Some((end, _)) => visible(&format!("{}... ({} bytes in all)", &text[..end], text.len())),
        None => visible(text),
    }
}

/// One line for what went wrong and one for each detail; what does not print is spelled out in all
/// of them.
impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(place) = &self.0.place {
            write!(f, "{place}: ")?;
        }
        write!(f, "{}", repeated(&self.0.what))?;
        for (label, text) in
            [("found:  ", &self.0.found), ("allowed:", &self.0.allowed), ("to do:  ", &self.0.hint)]
        {
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
