//! How good a nesting is: what it uses, what plain boxes would use, what nothing can go below.

use super::bound;
use super::field::{Field, area};
use super::layout::SheetLayout;
use super::problem::{Piece, Problem, box_area};

/// How good a nesting is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Figures {
    /// How many sheets are used.
    pub sheets: usize,
    /// Area of the pieces over area of the sheets used, from 0 to 1.
    pub yield_share: f64,
    /// How many bounding boxes lie on a sheet; where there is only one kind of piece.
    pub boxes_per_sheet: Option<usize>,
    /// How many sheets that takes, each kind on its own sheets; `None` if a bounding box does not
    /// go on the sheet.
    pub sheets_by_boxes: Option<usize>,
    /// No layout needs fewer sheets.
    pub bound_sheets: usize,
    /// No layout holds more on a sheet; where there is only one kind of piece.
    pub bound_per_sheet: Option<usize>,
    /// Whether the sheets are as few as the bound.
    pub proven: bool,
}

/// A share of a sheet that rounding may add to the pieces' area without a sheet more being asked.
const ROUNDING_SHARE: f64 = 1e-6;

pub(super) fn figures(problem: &Problem, field: &Field, sheets: &[SheetLayout]) -> Figures {
    let wanted: Vec<&Piece> = problem.wanted().map(|(_, piece)| piece).collect();
    let used: usize = sheets.iter().map(|s| s.times).sum();
    let single = if let [one] = wanted[..] { Some(one) } else { None };
    let fullest = sheets.iter().map(|s| s.placed.len()).max().unwrap_or(0);
    let bound_per_sheet =
        single.and_then(|p| bound::per_sheet(&p.outline, p.rotations, field, fullest));
    // Of one kind two bounds are known, of several only that by area.
    let by_count = single.zip(bound_per_sheet).map_or(0, |(p, b)| p.count.div_ceil(b.max(1)));
    let at_least_one = usize::from(!wanted.is_empty());
    let bound_sheets = sheets_by_area(&wanted, field).max(by_count).max(at_least_one);
    Figures {
        sheets: used,
        yield_share: yield_share(problem, &wanted, used),
        boxes_per_sheet: single.map(|p| boxes(p, field)),
        sheets_by_boxes: wanted.iter().map(|p| sheets_of_boxes(p, field)).sum(),
        bound_sheets,
        bound_per_sheet,
        proven: used == bound_sheets,
    }
}

fn yield_share(problem: &Problem, wanted: &[&Piece], sheets: usize) -> f64 {
    if sheets == 0 {
        return 0.0;
    }
    let parts: f64 = wanted.iter().map(|p| p.count as f64 * area(&p.outline)).sum();
    parts / (sheets as f64 * problem.sheet().length * problem.sheet().width)
}

/// How many sheets the pieces need by area alone, each grown by half the spacing.
fn sheets_by_area(wanted: &[&Piece], field: &Field) -> usize {
    let room = box_area(field.usable.grown(field.spacing / 2.0));
    let of_kind = |p: &&Piece| p.count as f64 * bound::taken_area(&p.outline, field.spacing);
    let taken: f64 = wanted.iter().map(of_kind).sum();
    (taken / room - ROUNDING_SHARE).ceil().max(0.0) as usize
}

fn boxes(piece: &Piece, field: &Field) -> usize {
    bound::by_boxes(&piece.outline, piece.rotations, field)
}

fn sheets_of_boxes(piece: &Piece, field: &Field) -> Option<usize> {
    let boxes = Some(boxes(piece, field)).filter(|b| *b > 0)?;
    Some(piece.count.div_ceil(boxes))
}
