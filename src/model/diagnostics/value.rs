//! The values of a finding, typed: what a sentence is made of and what a script reads.

use std::borrow::Cow;
use std::fmt;

use crate::units::{Length, MM_PER_INCH, Tape, feed_to, fully, trimmed};

/// A figure with its unit: what is no length, no angle and no count.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Figure {
    /// The figure, in `unit`.
    pub value: f64,
    /// Its unit as it is printed: `psi`, `lb`, `in/min`, `%`; empty for a plain ratio.
    pub unit: &'static str,
    /// How many decimals are printed at the most.
    pub digits: usize,
}

/// An angle, in degrees.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Degrees(pub f64);

/// A slope, fall per length; printed as one in so many.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slope(pub f64);

/// How many of something.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Count(pub u64);

/// A feed, in millimetres a minute; printed in the unit of the tape first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Feed(pub f64);

/// A length that goes to a machine, in the unit of the tape and in millimetres, with four decimals:
/// an inch fraction says too little there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Millimetres(pub f64);

/// A length of a tool, printed to the last digit in inches and millimetres: too small for
/// sixteenths.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fine(pub Length);

/// A length as a tape reads it and to a ten-thousandth of an inch, where a limit may be missed by
/// less than a tape shows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Exact(pub Length);

/// One value of a finding.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A length.
    Length(Length),
    /// A length that is told more finely than a tape reads.
    Exact(Exact),
    /// A length of a tool.
    Fine(Fine),
    /// A length as machines count.
    Millimetres(Millimetres),
    /// An angle.
    Degrees(Degrees),
    /// A slope.
    Slope(Slope),
    /// A feed.
    Feed(Feed),
    /// How many.
    Count(Count),
    /// Any other figure.
    Figure(Figure),
    /// A name: of a profile, a word of a file, an edge.
    Words(Cow<'static, str>),
}

impl Value {
    /// The value and its unit, for a script; `None` for words.
    pub fn measured(&self) -> Option<(f64, &'static str)> {
        match self {
            Self::Length(length) | Self::Exact(Exact(length)) => Some((length.as_mm(), "mm")),
            Self::Fine(Fine(length)) => Some((length.as_mm(), "mm")),
            Self::Millimetres(Millimetres(mm)) => Some((*mm, "mm")),
            Self::Degrees(Degrees(degrees)) => Some((*degrees, "deg")),
            Self::Slope(Slope(slope)) => Some((*slope, "per 1")),
            Self::Feed(Feed(mm_min)) => Some((*mm_min, "mm/min")),
            Self::Count(Count(count)) => Some((*count as f64, "count")),
            Self::Figure(figure) => Some((figure.value, figure.unit)),
            Self::Words(_) => None,
        }
    }
}

impl fmt::Display for Figure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let space = if self.unit.is_empty() || self.unit == "%" { "" } else { " " };
        write!(f, "{}{space}{}", trimmed(self.value, self.digits), self.unit)
    }
}

impl fmt::Display for Degrees {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} deg", trimmed(self.0, 2))
    }
}

impl fmt::Display for Slope {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.0 <= 0.0 {
            return write!(f, "level");
        }
        write!(f, "1:{}", trimmed(1.0 / self.0, 1))
    }
}

impl fmt::Display for Feed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&feed_to(self.0, 1))
    }
}

impl fmt::Display for Count {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl fmt::Display for Millimetres {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mm = trimmed(self.0, 4);
        match Tape::in_hand() {
            Tape::Inches => write!(f, "{} in ({mm} mm)", trimmed(self.0 / MM_PER_INCH, 4)),
            Tape::Metric => write!(f, "{mm} mm"),
        }
    }
}

impl fmt::Display for Exact {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&fully(self.0))
    }
}

impl fmt::Display for Fine {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mm = trimmed(self.0.as_mm(), 4);
        match Tape::in_hand() {
            Tape::Inches => write!(f, "{} in = {mm} mm", trimmed(self.0.as_inches(), 5)),
            Tape::Metric => write!(f, "{mm} mm"),
        }
    }
}

impl fmt::Display for Value {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Length(length) => length.fmt(f),
            Self::Exact(length) => length.fmt(f),
            Self::Fine(length) => length.fmt(f),
            Self::Millimetres(length) => length.fmt(f),
            Self::Degrees(angle) => angle.fmt(f),
            Self::Slope(slope) => slope.fmt(f),
            Self::Feed(feed) => feed.fmt(f),
            Self::Count(count) => count.fmt(f),
            Self::Figure(figure) => figure.fmt(f),
            Self::Words(words) => words.fmt(f),
        }
    }
}

macro_rules! value_from {
    ($($type:ty => |$raw:ident| $made:expr;)*) => {
        $(impl From<$type> for Value {
            fn from($raw: $type) -> Value {
                $made
            }
        })*
    };
}

value_from! {
    Length => |raw| Value::Length(raw);
    Exact => |raw| Value::Exact(raw);
    Fine => |raw| Value::Fine(raw);
    Millimetres => |raw| Value::Millimetres(raw);
    Degrees => |raw| Value::Degrees(raw);
    Slope => |raw| Value::Slope(raw);
    Feed => |raw| Value::Feed(raw);
    Count => |raw| Value::Count(raw);
    Figure => |raw| Value::Figure(raw);
    String => |raw| Value::Words(raw.into());
    &'static str => |raw| Value::Words(raw.into());
    Cow<'static, str> => |raw| Value::Words(raw);
}

impl From<usize> for Count {
    fn from(count: usize) -> Self {
        Self(count as u64)
    }
}

impl From<u32> for Count {
    fn from(count: u32) -> Self {
        Self(u64::from(count))
    }
}
