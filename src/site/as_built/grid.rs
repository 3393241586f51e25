//! The steps that a schedule is rounded to.

use crate::units::{Length, MM_PER_INCH};

/// What a tape shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Grid {
    /// Sixteenths of an inch.
    Sixteenths,
    /// Thirty-seconds of an inch.
    ThirtySeconds,
}

/// A length this near below a grid line lies on it, in steps: far above the rounding of a double.
const ON_THE_LINE: f64 = 1e-6;

impl Grid {
    /// Parts of an inch.
    pub fn parts(self) -> u32 {
        match self {
            Self::Sixteenths => 16,
            Self::ThirtySeconds => 32,
        }
    }

    /// One step.
    pub fn step(self) -> Length {
        Length::mm(MM_PER_INCH / f64::from(self.parts()))
    }

    /// The greatest multiple of the step that is not more than `length`.
    pub fn below(self, length: Length) -> Length {
        self.step() * (length.as_mm() / self.step().as_mm() + ON_THE_LINE).floor()
    }

    /// The nearest multiple in words, in lowest terms: `3/32 in`, `-1/4 in`, `0 in`.
    pub fn words(self, length: Length) -> String {
        let count = (length.as_inches() * f64::from(self.parts())).round();
        let sign = if count < 0.0 { "-" } else { "" };
        let (count, parts) = (count.abs() as u64, u64::from(self.parts()));
        let (whole, mut over, mut under) = (count / parts, count % parts, parts);
        while over > 0 && over.is_multiple_of(2) {
            over /= 2;
            under /= 2;
        }
        match (whole, over) {
            (whole, 0) => format!("{sign}{whole} in"),
            (0, over) => format!("{sign}{over}/{under} in"),
            (whole, over) => format!("{sign}{whole} {over}/{under} in"),
        }
    }
}
