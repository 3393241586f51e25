//! What a drawing holds when it is read: lines, what cannot be read as lines, words, and what is
//! said of them.

use std::collections::HashMap;

use super::entity::Entity;
use super::layer_table::LayerTable;
use super::skeleton::Stray;
use super::spaces::Spaces;
use super::unit_said::UnitSaid;
use crate::geometry::{Point, Segment};

/// What a drawing holds, in its own unit.
#[derive(Debug, Default)]
pub(super) struct Drawing {
    pub unit: UnitSaid,
    pub figures: Vec<Figure>,
    pub odd: Vec<Odd>,
    /// Which layers a shop does not see, and where it sees dashes.
    pub layers: LayerTable,
    /// Whether it says that it is of a version without polylines in one entity.
    pub is_old: bool,
    /// How many entities and records have a handle.
    pub handles: HashMap<u64, usize>,
    /// What stands where nothing is drawn.
    pub strays: Vec<Stray>,
    /// Where its entities lie, and its blocks.
    pub spaces: Spaces,
    /// What it says to people.
    pub words: Vec<Words>,
}

/// A text, or a comment that is seen by who opens the file as text.
#[derive(Debug)]
pub(super) struct Words {
    pub line: usize,
    pub text: String,
    /// The layer that it is on; none of a comment.
    pub layer: String,
    /// Where it is seen in model space; nothing for a comment, on paper and in blocks.
    pub shown: Option<Shown>,
}

/// How a text is seen.
#[derive(Clone, Copy, Debug)]
pub(super) struct Shown {
    /// Where it begins, where it says so.
    pub at: Option<Point>,
    /// How high its letters are.
    pub height: f64,
    /// How it is turned, in degrees.
    pub turn_deg: f64,
    /// Whether it says itself that it is not shown, or is drawn seen from behind.
    pub is_hidden: bool,
}

impl Words {
    /// Whether this is the line of the job's title, which is anybody's words.
    pub(super) fn is_title(&self) -> bool {
        let text = self.text.to_ascii_lowercase();
        text.matches(" | ").count() >= 2 && text.contains(" | job ")
    }
}

/// A connected line of one entity.
#[derive(Debug)]
pub(super) struct Figure {
    /// The line of the file that the entity starts at.
    pub line: usize,
    pub layer: String,
    pub segments: Vec<Segment>,
    pub kind: FigureKind,
    pub said: Said,
}

/// What an entity says beside its shape.
#[derive(Clone, Debug, Default)]
pub(super) struct Said {
    /// Its handle and those of its vertices.
    pub handles: Vec<u64>,
    /// Its own linetype.
    pub linetype: Option<String>,
    /// What it is, where an old version has no such thing.
    pub too_new: Option<&'static str>,
}

impl Said {
    pub(super) fn of(entity: &Entity<'_>) -> Self {
        let too_new = match entity.kind.as_slice() {
            b"LWPOLYLINE" => Some("LWPOLYLINE, which the version of the file does not have,"),
            b"POLYLINE" if entity.first(66).is_none() => {
                Some("POLYLINE without the flag that the version of the file asks for")
            }
            _ => None,
        };
        Self { handles: entity.handle().into_iter().collect(), linetype: entity.named(6), too_new }
    }
}

/// Whether an entity's direction means anything.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum FigureKind {
    /// A polyline: walked in order.
    Polyline,
    /// A line, an arc or a circle: drawn either way.
    Loose,
    /// A point, where a tool goes straight down: its one segment has no length.
    Point,
}

/// An entity that cannot be read as a line to cut.
#[derive(Debug)]
pub(super) struct Odd {
    pub line: usize,
    pub layer: String,
    pub kind: String,
    /// What is odd about it beside its kind, as it is told; nothing where its kind alone is.
    pub how: String,
    /// Where it begins, where it says so.
    pub at: Option<Point>,
    /// The block that it draws.
    pub block: Option<String>,
}

impl Odd {
    /// What it is and what is odd about it.
    pub(super) fn told(&self) -> String {
        format!("{}{}", self.kind, self.how)
    }
}

impl Drawing {
    /// Whether another entity has a handle of this one's: readers that go by handles keep one of
    /// them.
    pub(super) fn is_handle_shared(&self, said: &Said) -> bool {
        said.handles.iter().any(|handle| self.handles.get(handle).is_some_and(|count| *count > 1))
    }

    /// Everything turned from the drawing's unit to millimetres.
    pub(crate) fn scaled(mut self, unit_mm: f64) -> Self {
        let scaled = |p: Point| p * unit_mm;
        for at in self.odd.iter_mut().filter_map(|odd| odd.at.as_mut()) {
            *at = scaled(*at);
        }
        for shown in self.words.iter_mut().filter_map(|words| words.shown.as_mut()) {
            shown.at = shown.at.map(scaled);
            shown.height *= unit_mm;
        }
        for segment in self.figures.iter_mut().flat_map(|figure| &mut figure.segments) {
            *segment = match *segment {
                Segment::Line { from, to } => Segment::Line { from: scaled(from), to: scaled(to) },
                Segment::Arc { from, to, center, turn } => Segment::Arc {
                    from: scaled(from),
                    to: scaled(to),
                    center: scaled(center),
                    turn,
                },
            };
        }
        self
    }
}
