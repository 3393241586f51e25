//! What a program does, as moves and dwells in millimetres.

use crate::geometry::{Point, Segment};

/// How a move is driven.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Drive {
    Rapid,
    Feed,
}

/// What the last of M3, M4 and M5 said.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Spindle {
    Off,
    /// M3.
    Clockwise,
    /// M4.
    CounterClockwise,
}

/// The spindle or beam while something happens.
#[derive(Clone, Copy, Debug)]
pub(super) struct Tooling {
    pub spindle: Spindle,
    /// The S word, 0 before there is one.
    pub speed: f64,
    /// How long the program stood since the tool came on, in seconds.
    pub stood_s: f64,
}

impl Tooling {
    pub(crate) fn is_on(self) -> bool {
        self.spindle != Spindle::Off && self.speed > 0.0
    }
}

/// One move, in millimetres. A height is `None` while the program has not said it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Move {
    pub line: usize,
    pub drive: Drive,
    /// The way in the plane, of no length for a move along Z; `None` while X or Y is unknown at its
    /// start or end.
    pub path: Option<Segment>,
    pub from_z: Option<f64>,
    pub to_z: Option<f64>,
    /// In mm/min.
    pub feed: Option<f64>,
    pub tool: Tooling,
    /// Whether X or Y are given: a move that says its place.
    pub sideways: bool,
    /// How far an arc's end is off its circle, in mm.
    pub off_mm: f64,
}

/// The tool stands still.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stand {
    pub line: usize,
    pub at: Option<Point>,
    pub z: Option<f64>,
    /// Infinite for a stop that waits for the operator.
    pub seconds: f64,
    pub tool: Tooling,
}

/// An M3, M4 or M5, where it finds the tool.
#[derive(Clone, Copy, Debug)]
pub(super) struct Turned {
    pub line: usize,
    pub at: Option<Point>,
    pub z: Option<f64>,
    pub to: Spindle,
}

/// The end of a program, and how the tool is left.
#[derive(Clone, Copy, Debug)]
pub(super) struct End {
    pub line: usize,
    pub z: Option<f64>,
    pub tool: Tooling,
}

/// Everything a program does.
#[derive(Debug, Default)]
pub(super) struct Motion {
    pub moves: Vec<Move>,
    pub stands: Vec<Stand>,
    pub turned: Vec<Turned>,
    /// Where the program ends.
    pub end: Option<End>,
}

impl Motion {
    /// How many things the program does.
    pub(crate) fn events(&self) -> usize {
        self.moves.len() + self.stands.len() + self.turned.len()
    }
}
