//! What a file is held against.

use crate::geometry::{Bounds, Contour, Placement, Point};
use crate::measure::Corners;
use crate::outline::Role;
use crate::profile::{Form, Machine};
use crate::units::Length;

/// What a file is held against: the part, the tool and the material; nothing of how the file came about.
#[derive(Clone, Debug)]
pub struct Expectation<'a> {
    /// The finished part in the board frame, uncompensated, with sharp corners.
    pub part: Contour<Role>,
    /// How much smaller than the part the piece on the machine is all round; 0 for the parts themselves.
    pub inset: Length,
    /// What is done at inside corners.
    pub corners: Corners,
    /// The machine; its tool radius is the R of the proof.
    pub machine: &'a Machine,
    /// What lies on the machine.
    pub stock: StockBox,
    /// Sheet or board: on a board the lower edge is the board's own and needs no cut.
    pub form: Form,
    /// Where the parts lie on the machine.
    pub placement: Placements,
    /// Which tabs may stand.
    pub tabs: Tabs,
    /// The round hole that is cut through the part.
    pub hole: Option<Hole>,
    /// What the program does to the part.
    pub task: Task,
}

/// A round hole in the board frame: it lies where the part lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hole {
    /// Its middle.
    pub center: Point,
    /// Its finished radius, in mm.
    pub radius_mm: f64,
}

/// What a program does to the part. A drawing is always held against the cut.
#[derive(Clone, Debug)]
pub enum Task {
    /// It cuts the part out and makes no mark on it.
    Cut,
    /// It makes these marks and cuts nothing.
    Marks(Marks),
    /// It makes these marks and cuts the part out.
    Both(Marks),
}

/// Shallow strokes on the part's face.
#[derive(Clone, Debug)]
pub struct Marks {
    /// The points of every stroke, in the board frame.
    pub strokes: Vec<Vec<Point>>,
    /// How deep a cutter makes them, in mm. A beam makes them with the share of its power that the profile names.
    pub depth_mm: f64,
    /// Width of a stroke, in mm.
    pub width_mm: f64,
}

impl Task {
    /// The marks that belong on the part.
    pub(super) fn marks(&self) -> Option<&Marks> {
        match self {
            Task::Cut => None,
            Task::Marks(marks) | Task::Both(marks) => Some(marks),
        }
    }

    /// Whether the part is cut out.
    pub(super) fn cuts(&self) -> bool {
        !matches!(self, Task::Marks(_))
    }
}

/// The material in the stock frame: from 0,0 along program X and Y.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StockBox {
    /// Extent along program X, in mm.
    pub length_mm: f64,
    /// Extent along program Y, in mm.
    pub width_mm: f64,
    /// Thickness, in mm.
    pub thickness_mm: f64,
}

impl StockBox {
    /// Its box in X and Y.
    pub(super) fn bounds(self) -> Bounds {
        Bounds { min: Point::origin(), max: Point::new(self.length_mm, self.width_mm) }
    }
}

/// Where the parts lie on the machine.
#[derive(Clone, Debug)]
pub enum Placements {
    /// One part at each of these placements, from the board frame to the stock frame.
    Given(Vec<Placement>),
    /// One part, somewhere, turned by quarters of a turn.
    Any,
}

/// Which tabs may stand.
#[derive(Clone, Debug)]
pub enum Tabs {
    /// These, all of them, and no others.
    Declared(Vec<DeclaredTab>),
    /// Any that are low and short, on a straight edge and away from its corners. For files of others.
    ByRule,
}

/// A tab as it was declared.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DeclaredTab {
    /// The middle of the gap, on the tool centre's path, in the stock frame.
    pub at: Point,
    /// Length of path along which the tool stays above its full depth, in mm.
    pub length_mm: f64,
    /// What stands above the material's bottom, in mm.
    pub height_mm: f64,
}
