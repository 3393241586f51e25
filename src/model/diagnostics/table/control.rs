//! What a program tells the control beside its motions, against what the machine's profile names.

use std::fmt;

use super::super::code::findings;
use super::super::{Count, Value};
use super::proof_language::PROFILE;
use super::words::words;
use crate::units::trimmed;

words! {
    /// When a word is said that would be right at another time.
    Moment { Any "", Late " after the first motion", Running " while the tool runs" }
}

/// Something that a control is told, as a program says it or as a profile names it. Numbers are
/// those of the words; lengths are in the program's unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Told {
    /// A work offset, 54 to 59.
    Offset(u8),
    /// Nothing of the path's corners.
    NoPath,
    /// The path to the point.
    Exact,
    /// The path rounded by this at most, where it is said.
    Blend(Option<f64>),
    /// Arc centres from the arc's start.
    FromStart,
    /// Arc centres as places.
    Places,
    /// The radius of an arc.
    Radius,
    /// The centre of an arc.
    Centre,
    /// No tool out of a changer.
    NoTools,
    /// A tool by its number.
    Tool(f64),
    /// The change to a tool, where one was named.
    Change(Option<f64>),
    /// No length out of a table.
    NoLength,
    /// A tool's length by its number, where it has one.
    Length(Option<f64>),
    /// The number of a length, and nothing that takes it.
    LooseLength,
    /// No coordinates of the machine's own.
    NoTop,
    /// Straight up to the top of the machine's own Z.
    Top,
    /// Another move in the machine's own coordinates.
    OtherTop,
    /// A motion after the tool went to the top.
    AfterTop,
    /// What is switched on beside the tool, by its word.
    Air(&'static str),
}

impl fmt::Display for Told {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let numbered = |word: &str, number: Option<f64>| match number {
            Some(number) => format!("{word}{}", trimmed(number, 6)),
            None => format!("{word} without a number"),
        };
        let said = match self {
            Self::Offset(number) => format!("the work offset G{number}"),
            Self::NoPath => "neither G61 nor G64".to_string(),
            Self::Exact => "G61, the path to the point".to_string(),
            Self::Blend(most) => numbered("G64 P", *most),
            Self::FromStart => "arc centres from the start (G91.1)".to_string(),
            Self::Places => "arc centres as places (G90.1)".to_string(),
            Self::Radius => "an arc by its radius (R)".to_string(),
            Self::Centre => "an arc by its centre (I and J)".to_string(),
            Self::NoTools => "no tools by number".to_string(),
            Self::Tool(number) => numbered("T", Some(*number)),
            Self::Change(number) => format!("M6 to {}", numbered("T", *number)),
            Self::NoLength => "no tool length".to_string(),
            Self::Length(number) => numbered("G43 H", *number),
            Self::LooseLength => "an H without G43".to_string(),
            Self::NoTop => "no G53".to_string(),
            Self::Top => "G53 G0 Z0, alone and last".to_string(),
            Self::OtherTop => "another move in G53".to_string(),
            Self::AfterTop => "a motion after G53 G0 Z0".to_string(),
            Self::Air(word) => (*word).to_string(),
        };
        f.write_str(&said)
    }
}

impl From<Told> for Value {
    fn from(told: Told) -> Self {
        told.to_string().into()
    }
}

findings! {
    WordDiffers { found: Told, when: Moment, named: Told } "word-differs" Refusal Never PROFILE,
        "the program says {found}{when}, and the machine profile names {named}",
        "The program tells the control another offset, tool, length, path or coordinates than the \
        machine profile names.",
        "Make the program for this machine, or correct the table [program] of the profile.";
    LineNumberAgain { found: Count, before: Count } "line-number-again" Refusal Never PROFILE,
        "the line number N{found} stands behind N{before}, and the numbers of a program rise",
        "Line numbers repeat or fall: a control that is told to begin at one begins somewhere \
        else.",
        "Number the lines anew, or leave line_numbers out of the table [program] of the profile.";
    WordMissing { named: Told } "word-missing" Refusal Never PROFILE,
        "the tool moves here, and the program has not said {named} before, which the machine \
        profile names",
        "The program does not tell the control an offset, a tool, a length, a path or an air word \
        that the machine profile names.",
        "Make the program for this machine, or correct the table [program] of the profile.";
}
