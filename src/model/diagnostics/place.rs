//! Where on a stair, on a sheet or in a file a finding lies.

use std::fmt;

/// Something that a stair or its making has several of, numbered from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Numbered {
    /// A tread, from the bottom.
    Tread,
    /// A riser, from the bottom.
    Riser,
    /// A board that was measured, in the job's order.
    Board,
    /// A clamp, in the job's order.
    Clamp,
    /// A piece of a program.
    Piece,
    /// A set-up of a part that is cut in shifts.
    SetUp,
    /// A landing, from the bottom.
    Landing,
    /// A cleat or steel angle, from the bottom.
    Cleat,
}

/// Where a finding lies.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Place {
    /// A part of the stair, of the stock or of the making, or a key of the job file.
    Part(String),
    /// One of several.
    Nth(Numbered, usize),
    /// Two of several, in the order in which the sentence speaks of them.
    Pair(Numbered, usize, usize),
    /// One of several, and what it is called.
    NthNamed(Numbered, usize, String),
    /// A line of a file.
    Line {
        /// The file as the user named it.
        file: String,
        /// The line, from 1.
        line: usize,
    },
}

impl Place {
    /// The line of a file, where it is one.
    pub fn line(&self) -> Option<usize> {
        match self {
            Self::Line { line, .. } => Some(*line),
            _ => None,
        }
    }
}

impl fmt::Display for Numbered {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Tread => "tread",
            Self::Riser => "riser",
            Self::Board => "board",
            Self::Clamp => "clamp",
            Self::Piece => "piece",
            Self::SetUp => "set-up",
            Self::Landing => "landing",
            Self::Cleat => "cleat",
        })
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Part(part) => f.write_str(part),
            Self::Nth(what, number) => write!(f, "{what} {number}"),
            Self::Pair(what, first, second) => write!(f, "{what}s {first} and {second}"),
            Self::NthNamed(what, number, name) => write!(f, "{what} {number}, {name}"),
            Self::Line { file, line } => write!(f, "{file}:{line}"),
        }
    }
}

impl From<&str> for Place {
    fn from(part: &str) -> Self {
        Self::Part(part.to_string())
    }
}

impl From<&String> for Place {
    fn from(part: &String) -> Self {
        Self::Part(part.clone())
    }
}

impl From<String> for Place {
    fn from(part: String) -> Self {
        Self::Part(part)
    }
}

impl serde::Serialize for Place {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}
