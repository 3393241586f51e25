//! Pieces nested on sheets of one size, and how well those are used.

use super::offcuts::SheetOffcut;
use super::table::Table;
pub use crate::optimise::nesting::BoundBy;
use crate::optimise::nesting::{self, Figures, Nesting, Problem};
use crate::units::Length;

/// How well sheets of one kind are used.
#[derive(Clone, Debug)]
pub struct NestFigures {
    /// The material's name.
    pub material: String,
    /// The offcut that these are about; none: whole sheets.
    pub offcut: Option<SheetOffcut>,
    /// How many sheets.
    pub sheets: usize,
    /// How many are needed at least.
    pub bound_sheets: usize,
    /// What that is by.
    pub bound_by: BoundBy,
    /// Whether that was reached.
    pub proven: bool,
    /// How many sheets plain bounding boxes would take, packed together.
    pub boxes_sheets: Option<usize>,
    /// Area of the pieces against that of the sheets.
    pub yield_share: f64,
    /// The best share that the area alone would allow: the pieces' area against that of the fewest
    /// sheets.
    pub bound_share: f64,
    /// What two pieces keep from each other.
    pub spacing: Length,
    /// The effort of the search.
    pub effort: u32,
}

/// A nest, and the problem that it solves.
#[derive(Clone)]
pub(super) struct Nested {
    pub problem: Problem,
    pub nesting: Nesting,
}

impl Nested {
    /// The pieces of every sheet farther apart, by a gain in mm between its ends; by none, as they
    /// are.
    pub(super) fn spread(&mut self, gain: (f64, f64)) {
        if gain.1 > 0.0 {
            let Self { problem, nesting } = self;
            nesting.sheets.iter_mut().for_each(|sheet| nesting::spread(problem, gain, sheet));
        }
    }
}

/// The figures of a nest with pieces of so much area on it. Where it is the rest of one (`whole` is
/// false), no more is known of the fewest sheets than what the area takes.
pub(super) fn figures(
    nested: &Nesting,
    (area, whole): (f64, bool),
    table: &Table<'_>,
    (spacing, effort): (Length, u32),
    offcut: Option<SheetOffcut>,
) -> NestFigures {
    let sheets: usize = nested.sheets.iter().map(|sheet| sheet.times).sum();
    let sheet = table.stock.length.as_mm() * table.stock.width.as_mm();
    let (bound_sheets, bound_by, boxes_sheets) = match whole {
        true => {
            let Figures { bound_sheets, bound_by, sheets_by_boxes, .. } = nested.figures;
            (bound_sheets, bound_by, sheets_by_boxes)
        }
        false => (((area / sheet).ceil() as usize).clamp(1, sheets), BoundBy::Area, None),
    };
    NestFigures {
        material: table.material.name.clone(),
        offcut,
        sheets,
        bound_sheets,
        bound_by,
        proven: sheets == bound_sheets,
        boxes_sheets,
        yield_share: area / (sheet * sheets.max(1) as f64),
        bound_share: area / (sheet * bound_sheets.max(1) as f64),
        spacing,
        effort,
    }
}
