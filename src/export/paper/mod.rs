//! Paper: strokes, filled shapes and words on pages of a true size, and the PDF that holds them.

mod font;
mod pdf;
mod words;

pub use pdf::{is_own_pdf, pdf};
pub use words::Words;

use super::sheet::{Ink, Line};
use crate::geometry::{Bounds, Point};

/// How a stroke is drawn, by its use on a drawing (ISO 128).
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Pen {
    /// A visible edge: continuous, wide.
    Edge,
    /// Letters, dimensions, marks: continuous, narrow.
    Narrow,
    /// The border of a neighbouring page or part: long dash, double dot, narrow.
    Neighbour,
    /// A line of a sheet, with its own width, dashes and colour.
    Of(Line),
    /// No line: the polygon between the points, filled.
    Filled(Ink),
}

impl Pen {
    /// Width in mm.
    pub fn width_mm(self) -> f64 {
        match self {
            Pen::Edge => 0.5,
            Pen::Narrow | Pen::Neighbour => 0.25,
            Pen::Of(line) => line.width_mm(),
            Pen::Filled(_) => 0.0,
        }
    }

    fn dashes_mm(self) -> Vec<f64> {
        match self {
            Pen::Edge | Pen::Narrow | Pen::Filled(_) => Vec::new(),
            Pen::Neighbour => vec![6.0, 1.0, 0.3, 1.0, 0.3, 1.0],
            Pen::Of(line) => line.dashes_mm(),
        }
    }

    fn ink(self) -> Ink {
        match self {
            Pen::Edge | Pen::Narrow | Pen::Neighbour => Ink::Black,
            Pen::Of(line) => line.ink(),
            Pen::Filled(ink) => ink,
        }
    }
}

/// A run of straight strokes in mm, from the lower left of its page.
#[derive(Clone, Debug)]
pub struct Run {
    /// The points in order.
    pub points: Vec<Point>,
    /// How it is drawn.
    pub pen: Pen,
}

/// Strokes and words that are cut off at a box.
#[derive(Clone, Debug)]
pub struct Layer {
    /// Nothing is drawn outside it; `None`: the whole page.
    pub window: Option<Bounds>,
    /// The strokes and filled shapes, the first at the bottom.
    pub runs: Vec<Run>,
    /// The words, over all strokes.
    pub words: Vec<Words>,
}

/// One page.
#[derive(Clone, Debug)]
pub struct Page {
    /// Width in mm.
    pub width_mm: f64,
    /// Height in mm.
    pub height_mm: f64,
    /// What is on it.
    pub layers: Vec<Layer>,
}

impl Page {
    /// The page's own box.
    pub fn bounds(&self) -> Bounds {
        Bounds { min: Point::origin(), max: Point::new(self.width_mm, self.height_mm) }
    }

    /// The boxes of everything on the page, widths of lines included; what a window cuts off is counted too.
    pub fn boxes(&self) -> Vec<Bounds> {
        let grown = |bounds: Bounds, by: f64| {
            let by = crate::geometry::Vector::new(by, by);
            Bounds { min: bounds.min - by, max: bounds.max + by }
        };
        let run = |run: &Run| {
            Bounds::around(run.points.iter().copied()).map(|bounds| grown(bounds, run.pen.width_mm() / 2.0))
        };
        let layer =
            |layer: &Layer| layer.runs.iter().filter_map(run).chain(layer.words.iter().map(Words::bounds)).collect();
        self.layers.iter().flat_map::<Vec<Bounds>, _>(layer).collect()
    }
}
