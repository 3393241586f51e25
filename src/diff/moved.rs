//! A figure that is another in the new job.

use crate::geometry::tolerance::COINCIDENT_MM;
use crate::units::Length;

/// The value of a figure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Value {
    /// How many.
    Count(usize),
    /// A length.
    Length(Length),
    /// An angle in degrees.
    Degrees(f64),
}

impl Value {
    /// The value as a number: a count, millimetres or degrees.
    pub fn number(self) -> f64 {
        match self {
            Value::Count(count) => count as f64,
            Value::Length(length) => length.as_mm(),
            Value::Degrees(degrees) => degrees,
        }
    }
}

/// A figure with its value in both jobs; none where a job does not have it.
#[derive(Clone, Debug)]
pub struct Moved {
    /// Its key, as the report writes it.
    pub key: &'static str,
    /// Its name for people.
    pub label: &'static str,
    /// In the old job.
    pub old: Option<Value>,
    /// In the new job.
    pub new: Option<Value>,
}

/// A figure of one job.
pub(super) type Figure = (&'static str, &'static str, Option<Value>);

/// The figures that moved, of two lists of the same figures in the same order.
pub(super) fn all(old: Vec<Figure>, new: Vec<Figure>) -> Vec<Moved> {
    let pairs = old.into_iter().zip(new);
    let moved = pairs.filter(|((.., old), (.., new))| differ(*old, *new));
    moved.map(|((key, label, old), (_, _, new))| Moved { key, label, old, new }).collect()
}

/// Whether two values are two: lengths, counts and angles alike, by more than rounding makes of one.
pub(super) fn differ(old: Option<Value>, new: Option<Value>) -> bool {
    match (old, new) {
        (Some(old), Some(new)) => (old.number() - new.number()).abs() > COINCIDENT_MM,
        (old, new) => old.is_some() || new.is_some(),
    }
}
