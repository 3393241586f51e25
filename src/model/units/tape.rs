//! In whose unit lengths are told: that of the tape the job was measured with comes first.
//!
//! What a length prints as is a matter of who reads it, and he is known where a job is worked up or
//! written, not where a length is formatted: so it is set once for all that is told of a job, for
//! the thread that tells it.

use std::cell::Cell;
use std::fmt;

use super::print::{decimal, sixteenths, trimmed};
use super::{Length, is_on_sixteenth};

/// The tape that a job was measured with.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Tape {
    /// Feet and inches: the nearest sixteenth, millimetres behind it.
    #[default]
    Inches,
    /// Millimetres alone.
    Metric,
}

thread_local! {
    static IN_HAND: Cell<Tape> = const { Cell::new(Tape::Inches) };
}

/// Puts the tape that was in hand before back, however a scope ends.
struct Laid(Tape);

impl Drop for Laid {
    fn drop(&mut self) {
        IN_HAND.set(self.0);
    }
}

impl Tape {
    /// Everything that is told in there is told by this tape.
    ///
    /// ```
    /// use seatcut_model::units::{Length, Tape};
    /// let length = Length::inches(7.25);
    /// assert_eq!(length.to_string(), "7 1/4 in (184.2 mm)");
    /// assert_eq!(Tape::Metric.tells(|| length.to_string()), "184.2 mm");
    /// ```
    pub fn tells<T>(self, what: impl FnOnce() -> T) -> T {
        let _laid = Laid(IN_HAND.replace(self));
        what()
    }

    /// Everything that this thread tells from now on is told by this tape: for a command, which is
    /// about the job that it read.
    pub fn take_in_hand(self) {
        IN_HAND.set(self);
    }

    /// The tape by which everything is told now.
    pub fn in_hand() -> Self {
        IN_HAND.get()
    }

    /// A length as this tape reads it, the other unit left out.
    pub fn reads(self, length: Length) -> String {
        match self {
            Self::Inches => sixteenths(length),
            Self::Metric => format!("{} mm", tenths(length)),
        }
    }

    /// A length to the last digit that matters to anybody: ten-thousandths of an inch, hundredths
    /// of a millimetre.
    pub fn finely(self, length: Length) -> String {
        match self {
            Self::Inches => format!("{} in", trimmed(length.as_inches(), 4)),
            Self::Metric => format!("{} mm", trimmed(length.as_mm(), 2)),
        }
    }

    /// The nearest length that has a line on this tape: sixteenths of an inch, whole millimetres; a
    /// half away from zero.
    pub fn nearest_line(self, length: Length) -> Length {
        match self {
            Self::Inches => Length::inches((length.as_inches() * 16.0).round() / 16.0),
            Self::Metric => Length::mm(length.as_mm().round()),
        }
    }

    /// The least that it shows between two lengths: a sixteenth of an inch, a millimetre.
    pub fn smallest(self) -> Length {
        match self {
            Self::Inches => Length::inches(1.0 / 16.0),
            Self::Metric => Length::mm(1.0),
        }
    }

    /// The word for its unit.
    pub fn unit(self) -> &'static str {
        match self {
            Self::Inches => "in",
            Self::Metric => "mm",
        }
    }

    /// How much a length is in its unit.
    pub fn count(self, length: Length) -> f64 {
        match self {
            Self::Inches => length.as_inches(),
            Self::Metric => length.as_mm(),
        }
    }
}

/// A length as the tape in hand reads it, and finely where the tape does not show it all: `7 5/16+
/// in (7.3393 in, 186.4 mm)`.
pub fn fully(length: Length) -> String {
    match Tape::in_hand() {
        Tape::Inches if !is_on_sixteenth(length) => {
            let finely = Tape::Inches.finely(length);
            format!("{} ({finely}, {} mm)", sixteenths(length), tenths(length))
        }
        Tape::Inches => length.to_string(),
        Tape::Metric => Tape::Metric.finely(length),
    }
}

/// A length as the tape in hand reads it, the other unit left out.
pub fn on_tape(length: Length) -> String {
    Tape::in_hand().reads(length)
}

/// Millimetres with one decimal; more where that would be none.
fn tenths(length: Length) -> String {
    let mm = length.as_mm();
    if mm != 0.0 && mm.abs() < 1.0 { trimmed(mm, 3) } else { decimal(mm, 1) }
}

/// As the tape in hand reads it; from a tape in inches with the millimetres behind it: `26 3/4 in
/// (679.5 mm)`.
impl fmt::Display for Length {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match Tape::in_hand() {
            Tape::Inches => f.pad(&format!("{} ({} mm)", sixteenths(*self), tenths(*self))),
            tape => f.pad(&tape.reads(*self)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tape_is_put_back_also_by_a_panic() {
        let told = Tape::Metric.tells(|| {
            let inner = Tape::Inches.tells(|| on_tape(Length::inches(1.5)));
            (inner, on_tape(Length::mm(38.1)))
        });
        assert_eq!(told, ("1 1/2 in".to_string(), "38.1 mm".to_string()));
        let caught = std::panic::catch_unwind(|| Tape::Metric.tells(|| panic!("on purpose")));
        assert!(caught.is_err() && Tape::in_hand() == Tape::Inches);
    }

    #[test]
    fn nothing_small_is_told_as_nothing() {
        let mm = |mm| Tape::Metric.reads(Length::mm(mm));
        assert_eq!(
            [mm(0.04), mm(0.0), mm(180.0), mm(-0.3)],
            ["0.04 mm", "0.0 mm", "180.0 mm", "-0.3 mm"]
        );
        assert_eq!(Length::inches(0.0156).to_string(), "0.016 in (0.396 mm)");
    }
}
