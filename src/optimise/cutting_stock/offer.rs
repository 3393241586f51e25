//! What is wanted, what is on offer, and what a saw takes, as they are asked.

use crate::units::Length;

/// A length and how often it is wanted.
#[derive(Clone, Debug)]
pub struct Wanted {
    /// The finished length.
    pub length: Length,
    /// How wide a board must be at the least; nothing where any is wide enough.
    pub width: Length,
    /// How many.
    pub count: usize,
}

impl Wanted {
    /// So many of a length, wide or not.
    pub fn of(length: Length, count: usize) -> Self {
        Self { length, width: Length::ZERO, count }
    }
}

/// A length that boards come in.
#[derive(Clone, Debug)]
pub struct StockLength {
    /// The length as bought, ends untrimmed.
    pub length: Length,
    /// How wide they are; `None` for as wide as anything that is wanted.
    pub width: Option<Length>,
    /// How many there are; `None` for as many as are wanted.
    pub available: Option<usize>,
    /// What one costs, in any unit, 0 to 1e6, taken to a millionth. Nothing for a board already in
    /// the shed.
    pub cost: f64,
}

impl StockLength {
    /// As many boards of this length as are wanted, at their length in feet.
    pub fn by_the_foot(length: Length) -> Self {
        Self { length, width: None, available: None, cost: length.as_feet() }
    }
}

/// What sawing takes of a board.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Saw {
    /// What one saw cut takes.
    pub kerf: Length,
    /// What is cut off each end of a board before its first piece.
    pub end_trim: Length,
}
