//! What a program does, as moves and dwells in millimetres.

use crate::diagnostics::codes::Switch;
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

impl Spindle {
    /// The word that says so.
    pub(crate) fn word(self) -> Switch {
        match self {
            Self::Off => Switch::Off,
            Self::Clockwise => Switch::Clockwise,
            Self::CounterClockwise => Switch::CounterClockwise,
        }
    }
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
    /// Whether only a comment says where it begins.
    pub told: bool,
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
    /// Whether the tool ran before.
    pub was_on: bool,
}

/// The end of a program, and how the tool is left.
#[derive(Clone, Copy, Debug)]
pub(super) struct End {
    pub line: usize,
    pub at: Option<Point>,
    pub z: Option<f64>,
    pub tool: Tooling,
}

/// From the lowest to the highest of two spans, where there are any.
pub(super) fn spanned(a: Option<(f64, f64)>, b: Option<(f64, f64)>) -> Option<(f64, f64)> {
    let both = a.zip(b).map(|((low, high), (least, most))| (low.min(least), high.max(most)));
    both.or(a).or(b)
}

/// Everything a program does.
#[derive(Debug, Default)]
pub(super) struct Motion {
    pub moves: Vec<Move>,
    pub stands: Vec<Stand>,
    pub turned: Vec<Turned>,
    /// How far each axis goes, wherever the others are, in mm; `None` of one that is never told.
    pub reached: [Option<(f64, f64)>; 3],
    /// Where the program ends.
    pub end: Option<End>,
    /// Where the programs before it end, which set up the stock elsewhere.
    pub ends_before: Vec<End>,
}

impl Motion {
    /// Where each of the programs ends, in order.
    pub(crate) fn ends(&self) -> impl Iterator<Item = &End> {
        self.ends_before.iter().chain(&self.end)
    }

    /// This and then the next program, whose lines are counted on from `base`.
    pub(crate) fn then(mut self, next: Self, base: usize) -> Self {
        self.ends_before.extend(self.end.take());
        let end = |end: End| End { line: end.line + base, ..end };
        self.end = next.end.map(end);
        self.ends_before.extend(next.ends_before.into_iter().map(end));
        self.moves.extend(next.moves.into_iter().map(|m| Move { line: m.line + base, ..m }));
        self.stands.extend(next.stands.into_iter().map(|s| Stand { line: s.line + base, ..s }));
        for (own, next) in self.reached.iter_mut().zip(next.reached) {
            *own = spanned(*own, next);
        }
        self.turned.extend(next.turned.into_iter().map(|t| Turned { line: t.line + base, ..t }));
        self
    }

    /// The switches on lines that also go somewhere, each with such a move.
    pub(crate) fn turned_on_the_way(&self) -> impl Iterator<Item = (&Turned, &Move)> {
        let on_line = |turned: &Turned| {
            let first = self.moves.partition_point(|m| m.line < turned.line);
            let line = turned.line;
            self.moves[first..].iter().take_while(move |m| m.line == line)
        };
        self.turned.iter().flat_map(move |turned| on_line(turned).map(move |m| (turned, m)))
    }

    /// How many things the program does.
    pub(crate) fn events(&self) -> usize {
        self.moves.len() + self.stands.len() + self.turned.len()
    }
}
