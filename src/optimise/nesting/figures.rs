//! How good a nesting is: what it uses, what plain boxes would use, what nothing can go below.

use super::field::{Field, area};
use super::layout::SheetLayout;
use super::problem::{Piece, Problem, box_area};
use super::{bound, mixed_bound};
use std::cell::OnceCell;

/// How good a nesting is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Figures {
    /// How many sheets are used.
    pub sheets: usize,
    /// Area of the pieces over area of the sheets used, from 0 to 1.
    pub yield_share: f64,
    /// How many bounding boxes lie on a sheet; where there is only one kind of piece.
    pub boxes_per_sheet: Option<usize>,
    /// How many sheets bounding boxes would take, all kinds packed together; `None` if one does not
    /// go on the sheet.
    pub sheets_by_boxes: Option<usize>,
    /// No layout needs fewer sheets.
    pub bound_sheets: usize,
    /// What that rests on.
    pub bound_by: BoundBy,
    /// No layout holds more on a sheet; where there is only one kind of piece.
    pub bound_per_sheet: Option<usize>,
    /// Whether the sheets are as few as the bound.
    pub proven: bool,
}

/// What a bound on the number of sheets rests on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BoundBy {
    /// The area of the pieces, each with half the spacing around it.
    Area,
    /// Also on how long pieces are along lines across the sheet, and that they are whole.
    Layouts,
}

/// A share of a sheet that rounding may add to the pieces' area without a sheet more being asked.
const ROUNDING_SHARE: f64 = 1e-6;

pub(super) fn figures(
    problem: &Problem,
    field: &Field,
    least: &Least<'_>,
    boxes: Option<usize>,
    sheets: &[SheetLayout],
) -> Figures {
    let wanted: Vec<&Piece> = problem.wanted().map(|(_, piece)| piece).collect();
    let used: usize = sheets.iter().map(|s| s.times).sum();
    let single = if let [one] = wanted[..] { Some(one) } else { None };
    let fullest = sheets.iter().map(|s| s.placed.len()).max().unwrap_or(0);
    let bound_per_sheet =
        single.and_then(|p| bound::per_sheet(&p.outline, p.rotations, field, fullest));
    // Of one kind no more is known than what a sheet holds; of several, where what was laid is more
    // than the bound by area, the dearer ones are asked.
    let by_count = single.zip(bound_per_sheet).map_or(0, |(p, b)| p.count.div_ceil(b.max(1)));
    let by_area = least.by_area().max(by_count);
    let is_asked = single.is_none() && used > by_area;
    let bound_sheets = if is_asked { least.sheets() } else { by_area };
    Figures {
        sheets: used,
        yield_share: yield_share(problem, &wanted, used),
        boxes_per_sheet: single.map(|p| boxes_of(p, field)),
        sheets_by_boxes: boxes,
        bound_sheets,
        bound_by: if bound_sheets > least.by_area() { BoundBy::Layouts } else { BoundBy::Area },
        bound_per_sheet,
        proven: used == bound_sheets,
    }
}

/// How few sheets any layouts need, each bound worked out once and only if it is asked for.
pub(super) struct Least<'a> {
    problem: &'a Problem,
    field: &'a Field,
    sheets: OnceCell<usize>,
}

impl<'a> Least<'a> {
    pub(super) fn new(problem: &'a Problem, field: &'a Field) -> Self {
        Self { problem, field, sheets: OnceCell::new() }
    }

    fn wanted(&self) -> Vec<&'a Piece> {
        self.problem.wanted().map(|(_, piece)| piece).collect()
    }

    /// By area alone, which costs nothing.
    pub(super) fn by_area(&self) -> usize {
        let wanted = self.wanted();
        sheets_by_area(&wanted, self.field).max(usize::from(!wanted.is_empty()))
    }

    /// By all that is known.
    pub(super) fn sheets(&self) -> usize {
        *self.sheets.get_or_init(|| {
            let wanted = self.wanted();
            let better = match wanted[..] {
                [one] => {
                    let most = bound::per_sheet(&one.outline, one.rotations, self.field, 0);
                    most.map_or(0, |most| one.count.div_ceil(most.max(1)))
                }
                _ => mixed_bound::sheets(&wanted, self.field),
            };
            better.max(self.by_area())
        })
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

fn boxes_of(piece: &Piece, field: &Field) -> usize {
    bound::by_boxes(&piece.outline, piece.rotations, field)
}

/// How many sheets the bounding boxes of one kind take; `None` if one does not go on the sheet.
pub(super) fn sheets_of_boxes(problem: &Problem, field: &Field) -> Option<usize> {
    let sheets = |piece: &Piece| {
        let boxes = Some(boxes_of(piece, field)).filter(|b| *b > 0)?;
        Some(piece.count.div_ceil(boxes))
    };
    problem.wanted().map(|(_, piece)| sheets(piece)).sum()
}
