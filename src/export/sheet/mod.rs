//! A sheet of paper: what is drawn on it, in paper millimetres, whoever writes it out. Paper frame: x to the right, y up,
//! origin at the lower left corner. A sheet knows no stairs.

mod line;
mod page;
mod svg;
mod text;

pub use line::{Ink, Line};
pub use page::to_page;
pub use svg::to_svg;
pub use text::{Anchor, CAP_HEIGHT_EM, DESCENT_EM, Text, Weight, fit, text_width, wrap};

use crate::geometry::{Bounds, Point};

/// A sheet: its size, what it is called, and its items in the order they are laid down, the first at the bottom.
#[derive(Clone, Debug)]
pub struct Sheet {
    /// Extent along x, in mm.
    pub width_mm: f64,
    /// Extent along y, in mm.
    pub height_mm: f64,
    /// What a reader that cannot show the sheet calls it.
    pub title: String,
    /// What stands on it, in a few sentences, for the same reader.
    pub description: String,
    /// What is on it.
    pub items: Vec<Item>,
}

/// One thing on a sheet.
#[derive(Clone, Debug)]
pub enum Item {
    /// A line along a path.
    Stroke {
        /// The path.
        path: Path,
        /// What the line stands for.
        line: Line,
    },
    /// A filled polygon.
    Fill {
        /// Its corners.
        corners: Vec<Point>,
        /// What it is filled with.
        ink: Ink,
    },
    /// A line of text.
    Text(Text),
}

/// A path on the paper.
#[derive(Clone, Debug)]
pub enum Path {
    /// Straight from point to point.
    Open(Vec<Point>),
    /// The same, and back to the first.
    Closed(Vec<Point>),
    /// A circular arc.
    Arc {
        /// Middle of the circle.
        center: Point,
        /// Radius in mm.
        radius: f64,
        /// Direction of its start, degrees from +x, counter-clockwise.
        from_deg: f64,
        /// How far it turns, degrees, positive counter-clockwise; 360 is the whole circle.
        sweep_deg: f64,
    },
}

impl Sheet {
    /// The texts on the sheet.
    pub fn texts(&self) -> impl Iterator<Item = &Text> {
        self.items.iter().filter_map(|item| match item {
            Item::Text(text) => Some(text),
            Item::Stroke { .. } | Item::Fill { .. } => None,
        })
    }

    /// The box of the paper itself.
    pub fn paper(&self) -> Bounds {
        Bounds { min: Point::origin(), max: Point::new(self.width_mm, self.height_mm) }
    }
}

/// The point of an arc in a direction.
pub(crate) fn on_circle(center: Point, radius: f64, deg: f64) -> Point {
    let (sin, cos) = deg.to_radians().sin_cos();
    Point::new(center.x + radius * cos, center.y + radius * sin)
}
