//! What is to be visited, and by which of its ways it was.

use crate::geometry::Point;

/// One way to visit a stop. What happens between its two points is not the tour's and costs it
/// nothing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Way {
    /// Where the tool comes in, in mm.
    pub enter: Point,
    /// Where it is afterwards, in mm.
    pub leave: Point,
}

/// One thing to visit; the tool enters at one of its ways in and leaves at that way's end.
#[derive(Clone, Debug, PartialEq)]
pub struct Stop {
    /// The ways to choose from, at least one.
    pub ways: Vec<Way>,
    /// Stops, by their index, that must have been visited before.
    pub after: Vec<usize>,
    /// All stops of a lower rank come first: marks 0, holes 1, outlines 2.
    pub rank: usize,
}

/// Where a tour ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// Back at home; the way there counts.
    Home,
    /// Where the last stop leaves the tool.
    Anywhere,
}

/// One stop of a tour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Visit {
    /// Which stop, by its index.
    pub stop: usize,
    /// By which of its ways.
    pub way: usize,
}
