//! A value as it is printed: on the tape, in millimetres, exactly.

use crate::units::{Length, decimal, sixteenths, trimmed};

/// The value of a row.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A length.
    Length(Length),
    /// A number of things.
    Count(usize),
    /// Words, or a figure with a unit of its own.
    Words(String),
}

impl Value {
    /// As the tape reads: sixteenths with the remainder's sign; words and counts as they are.
    pub fn on_tape(&self) -> String {
        match self {
            Value::Length(length) => sixteenths(*length),
            Value::Count(count) => count.to_string(),
            Value::Words(words) => words.clone(),
        }
    }

    /// In millimetres to one decimal; empty for what is no length.
    pub fn in_mm(&self) -> String {
        match self {
            Value::Length(length) => format!("{} mm", decimal(length.as_mm(), 1)),
            Value::Count(_) | Value::Words(_) => String::new(),
        }
    }

    /// To a ten-thousandth of an inch and a thousandth of a millimetre; empty for what is no length.
    pub fn exact(&self) -> String {
        match self {
            Value::Length(length) => {
                format!("{} in, {} mm", trimmed(length.as_inches(), 4), trimmed(length.as_mm(), 3))
            }
            Value::Count(_) | Value::Words(_) => String::new(),
        }
    }
}

impl From<Length> for Value {
    fn from(length: Length) -> Value {
        Value::Length(length)
    }
}

impl From<usize> for Value {
    fn from(count: usize) -> Value {
        Value::Count(count)
    }
}

impl From<String> for Value {
    fn from(words: String) -> Value {
        Value::Words(words)
    }
}

impl From<&str> for Value {
    fn from(words: &str) -> Value {
        Value::Words(words.to_string())
    }
}

/// The nearest sixteenth of an inch, a half away from zero: what the printer of sixteenths shows.
pub fn nearest_sixteenth(length: Length) -> Length {
    Length::inches((length.as_inches() * 16.0).round() / 16.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_sixteenth_is_the_one_that_is_printed() {
        for thousandths in 0..3000 {
            let length = Length::inches(f64::from(thousandths) / 1000.0);
            let printed = sixteenths(length).replace(['+', '-'], "");
            assert_eq!(sixteenths(nearest_sixteenth(length)), printed);
        }
    }
}
