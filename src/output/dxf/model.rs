//! What a drawing exchange file holds, whatever its version.

use crate::geometry::{Bounds, Point, Segment};
use crate::profile::ProgramUnits;

/// The version of the file format.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DxfVersion {
    /// AC1009: read by the oldest programs.
    R12,
    /// AC1015: lightweight polylines.
    R2000,
}

impl DxfVersion {
    /// Its name on the command line.
    pub fn name(self) -> &'static str {
        match self {
            Self::R12 => "r12",
            Self::R2000 => "r2000",
        }
    }
}

/// The layers, each with its colour number of the standard palette.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Layer {
    /// What is cut.
    Cut,
    /// Strokes to engrave or score.
    Mark,
    /// Holes cut through, each a circle of its finished size.
    Drill,
    /// The sides of pockets, cut down to a depth that the words on layer REF say.
    Pocket,
    /// What lies on the machine.
    Stock,
    /// The check bar, the ledger, leads and tabs: nothing to cut.
    Ref,
}

impl Layer {
    /// Every layer.
    pub const ALL: [Self; 6] =
        [Self::Cut, Self::Drill, Self::Mark, Self::Pocket, Self::Stock, Self::Ref];

    /// Its name in the file.
    pub fn name(self) -> &'static str {
        match self {
            Self::Cut => "CUT",
            Self::Drill => "DRILL",
            Self::Mark => "MARK",
            Self::Pocket => "POCKET",
            Self::Stock => "STOCK",
            Self::Ref => "REF",
        }
    }

    /// Its colour number: black or white, red, blue, magenta, grey, green.
    pub fn colour(self) -> i32 {
        match self {
            Self::Cut => 7,
            Self::Drill => 1,
            Self::Mark => 5,
            Self::Pocket => 6,
            Self::Stock => 8,
            Self::Ref => 3,
        }
    }
}

/// One thing in the drawing, in mm.
#[derive(Clone, Debug)]
pub enum Entity {
    /// Segments one after the other; closed where the last ends at the first.
    Closed(Layer, Vec<Segment>),
    /// Segments one after the other, open.
    Open(Layer, Vec<Segment>),
    /// A circle: its middle, its radius in mm.
    Circle(Layer, Point, f64),
    /// Where a tool goes straight down.
    Point(Layer, Point),
    /// A line of ASCII text; where it starts, how high.
    Text(Layer, Point, f64, String),
}

impl Entity {
    /// The layer it lies on.
    pub fn layer(&self) -> Layer {
        match self {
            Self::Closed(layer, _)
            | Self::Open(layer, _)
            | Self::Circle(layer, ..)
            | Self::Point(layer, _)
            | Self::Text(layer, ..) => *layer,
        }
    }

    fn bounds(&self) -> Option<Bounds> {
        match self {
            Self::Closed(_, segments) | Self::Open(_, segments) => {
                segments.iter().map(Segment::bounds).reduce(Bounds::joined)
            }
            Self::Circle(_, center, radius) => {
                Some(Bounds { min: *center, max: *center }.grown(*radius))
            }
            Self::Point(_, at) | Self::Text(_, at, ..) => Some(Bounds { min: *at, max: *at }),
        }
    }
}

/// A whole drawing.
#[derive(Clone, Debug)]
pub struct Drawing {
    /// The unit of its coordinates.
    pub units: ProgramUnits,
    /// What it holds, in order.
    pub entities: Vec<Entity>,
    /// What the file says to who opens it as a text, in ASCII.
    pub comments: Vec<String>,
}

impl Drawing {
    /// The box around everything, in mm.
    pub fn bounds(&self) -> Bounds {
        let all = self.entities.iter().filter_map(Entity::bounds).reduce(Bounds::joined);
        all.unwrap_or(Bounds { min: Point::origin(), max: Point::origin() })
    }

    /// The text of the file in a version.
    pub fn write(&self, version: DxfVersion) -> String {
        match version {
            DxfVersion::R12 => super::r12::write(self),
            DxfVersion::R2000 => super::r2000::write(self),
        }
    }
}
