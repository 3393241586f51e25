//! The order laid on as few sheets as were found, with what is known of the least number.

use super::bound;
use super::method::{Found, Job, found, placed};
use super::order::{Effort, Lying, Piece, SheetSize};
use super::shape::{Field, KEPT_OFF_MM, area};
use crate::geometry::{Bounds, Contour, Point};

/// An order laid on sheets.
#[derive(Clone, Debug)]
pub struct Nest {
    /// Every layout that differs, with how often it is cut.
    pub sheets: Vec<SheetLayout>,
    /// What it comes to.
    pub figures: Figures,
}

/// One layout of a sheet.
#[derive(Clone, Debug)]
pub struct SheetLayout {
    /// How many sheets are laid so.
    pub times: usize,
    /// The pieces on it.
    pub lying: Vec<Lying>,
    /// How it was found, in plain words.
    pub method: &'static str,
    /// The largest rectangle left at an end or a side of the sheet, over its full width or length, the spacing off the
    /// last piece, in mm. The margin counts as sheet.
    pub remnant: Bounds,
}

/// How good a nest is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Figures {
    /// How many sheets are used.
    pub sheets: usize,
    /// Area of the pieces over area of the sheets used.
    pub yield_share: f64,
    /// How many bounding boxes lie on a sheet; where there is only one kind of piece.
    pub boxes_per_sheet: Option<usize>,
    /// How many sheets that takes, each kind on its own sheets; `None` if a bounding box does not go on the sheet.
    pub sheets_by_boxes: Option<usize>,
    /// No layout needs fewer sheets.
    pub bound_sheets: usize,
    /// No layout holds more on a sheet; where there is only one kind of piece.
    pub bound_per_sheet: Option<usize>,
    /// Whether the sheets are as few as the bound.
    pub proven: bool,
}

/// Why an order cannot be laid.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Misfit {
    /// The sheet, its margin or the spacing is negative or no number, or the margin leaves nothing of the sheet.
    NoSheet,
    /// What is kept out covers the sheet.
    Covered,
    /// The outline of this piece is no simple polygon running counter-clockwise.
    NoPolygon(usize),
    /// This piece was found no place on an empty sheet.
    TooLarge(usize),
}

/// How many of one kind of piece go on one sheet.
#[derive(Clone, Debug)]
pub struct Capacity {
    /// The fullest layout found; empty if none holds a piece.
    pub best: Vec<Lying>,
    /// How many bounding boxes would go on it.
    pub boxes: usize,
    /// No layout holds more.
    pub bound: Option<usize>,
    /// Whether the layout holds as many as the bound.
    pub proven: bool,
    /// How it was found, in plain words.
    pub method: &'static str,
}

/// Lays an order on sheets of one size. Every layout returned passed [`super::clear`]. The same input gives the same nest.
///
/// # Errors
/// If the sheet or an outline is none, or a piece does not go on an empty sheet.
pub fn nest(pieces: &[Piece], sheet: &SheetSize, spacing: f64, effort: Effort) -> Result<Nest, Misfit> {
    let field = field(sheet, spacing)?;
    if let Some(bad) = pieces.iter().position(|p| p.count > 0 && !is_polygon(&p.outline)) {
        return Err(Misfit::NoPolygon(bad));
    }
    let mut left = pieces.to_vec();
    let mut sheets = Vec::new();
    while left.iter().any(|p| p.count > 0) {
        let asked = limited(&left, &field);
        let job = Job { pieces: &asked, sheet, field: &field, spacing, effort };
        let all = found(&job);
        let best = chosen(&job, &left, &all).ok_or_else(|| misfit(&left, &job))?;
        let used = |kind: usize| best.lying.iter().filter(|l| l.piece == kind).count();
        let often = |(kind, piece): (usize, &Piece)| piece.count.checked_div(used(kind));
        let times = left.iter().enumerate().filter_map(often).min().unwrap_or(1);
        left.iter_mut().enumerate().for_each(|(kind, piece)| piece.count -= times * used(kind));
        let remnant = remnant(pieces, sheet, field.spacing, &best.lying);
        sheets.push(SheetLayout { times, lying: best.lying.clone(), method: best.method, remnant });
    }
    let figures = figures(pieces, sheet, &field, &sheets);
    Ok(Nest { sheets, figures })
}

/// The fullest sheet of one kind of piece that was found; its count is not looked at.
pub fn capacity(piece: &Piece, sheet: &SheetSize, spacing: f64, effort: Effort) -> Capacity {
    let none = Capacity { best: Vec::new(), boxes: 0, bound: None, proven: false, method: "none found" };
    let Ok(field) = field(sheet, spacing) else { return none };
    if !is_polygon(&piece.outline) {
        return none;
    }
    let asked = limited(&[Piece { count: usize::MAX, ..piece.clone() }], &field);
    let job = Job { pieces: &asked, sheet, field: &field, spacing, effort };
    let best = found(&job).into_iter().next();
    let (best, method) = best.map_or((Vec::new(), none.method), |f| (f.lying, f.method));
    let boxes = bound::by_boxes(&piece.outline, piece.turns, &field);
    let bound = bound::per_sheet(&piece.outline, piece.turns, &field, best.len());
    Capacity { boxes, bound, proven: bound == Some(best.len()), best, method }
}

fn field(sheet: &SheetSize, spacing: f64) -> Result<Field, Misfit> {
    let measures = [sheet.length, sheet.width, sheet.margin, spacing];
    if measures.iter().any(|m| !m.is_finite() || *m < 0.0) {
        return Err(Misfit::NoSheet);
    }
    let field = Field::of(sheet, spacing.max(KEPT_OFF_MM)).ok_or(Misfit::NoSheet)?;
    if field.free_rectangle().is_none() { Err(Misfit::Covered) } else { Ok(field) }
}

fn is_polygon(outline: &[Point]) -> bool {
    let vertices: Vec<(Point, ())> = outline.iter().map(|p| (*p, ())).collect();
    Contour::polygon(&vertices).is_ok_and(|c| c.is_simple_polygon())
}

/// The pieces with no more of each kind asked for than one sheet could hold by area.
fn limited(pieces: &[Piece], field: &Field) -> Vec<Piece> {
    let room = field.usable.grown(field.spacing / 2.0);
    let most = |p: &Piece| (room.width() * room.height() / area(&p.outline)).floor() as usize;
    pieces.iter().map(|p| Piece { count: p.count.min(most(p)), ..p.clone() }).collect()
}

/// The layout of the largest area; where several hold all that is left, the one that leaves the largest remnant.
fn chosen<'a>(job: &Job, left: &[Piece], all: &'a [Found]) -> Option<&'a Found> {
    let first = all.first()?;
    let wanted: usize = left.iter().map(|p| p.count).sum();
    if first.lying.len() < wanted {
        return Some(first);
    }
    let size = |f: &&Found| {
        let left = remnant(job.pieces, job.sheet, job.field.spacing, &f.lying);
        left.width() * left.height()
    };
    all.iter().filter(|f| f.lying.len() == wanted).reduce(|a, b| if size(&b) > size(&a) { b } else { a })
}

fn misfit(left: &[Piece], job: &Job) -> Misfit {
    let alone = |kind: usize| {
        let one: Vec<Piece> =
            left.iter().enumerate().map(|(k, p)| Piece { count: usize::from(k == kind), ..p.clone() }).collect();
        found(&Job { pieces: &one, ..*job }).is_empty()
    };
    let kinds = || (0..left.len()).filter(|k| left[*k].count > 0);
    Misfit::TooLarge(kinds().find(|k| alone(*k)).or_else(|| kinds().next()).unwrap_or(0))
}

pub(super) fn remnant(pieces: &[Piece], sheet: &SheetSize, spacing: f64, lying: &[Lying]) -> Bounds {
    let whole = Bounds { min: Point::origin(), max: Point::new(sheet.length, sheet.width) };
    let Some(taken) = Bounds::around(lying.iter().flat_map(|l| placed(pieces, l))) else { return whole };
    let taken = taken.grown(spacing);
    let mut ends = [whole; 4];
    ends[0].min.x = taken.max.x.min(sheet.length);
    ends[1].min.y = taken.max.y.min(sheet.width);
    ends[2].max.x = taken.min.x.max(0.0);
    ends[3].max.y = taken.min.y.max(0.0);
    let size = |b: &Bounds| b.width() * b.height();
    ends.into_iter().reduce(|a, b| if size(&b) > size(&a) { b } else { a }).unwrap_or(whole)
}

fn figures(pieces: &[Piece], sheet: &SheetSize, field: &Field, sheets: &[SheetLayout]) -> Figures {
    let wanted: Vec<&Piece> = pieces.iter().filter(|p| p.count > 0).collect();
    let used: usize = sheets.iter().map(|s| s.times).sum();
    let parts: f64 = wanted.iter().map(|p| p.count as f64 * area(&p.outline)).sum();
    let boxes = |p: &&Piece| bound::by_boxes(&p.outline, p.turns, field);
    let by_boxes = |p: &&Piece| Some(p.count.div_ceil(Some(boxes(p)).filter(|b| *b > 0)?));
    let grown = field.usable.grown(field.spacing / 2.0);
    let taken: f64 = wanted.iter().map(|p| p.count as f64 * bound::taken_area(&p.outline, field.spacing)).sum();
    let by_area = (taken / (grown.width() * grown.height()) - 1e-6).ceil().max(0.0) as usize;
    let single = if let [one] = wanted[..] { Some(one) } else { None };
    let fullest = sheets.iter().map(|s| s.lying.len()).max().unwrap_or(0);
    let bound_per_sheet = single.and_then(|p| bound::per_sheet(&p.outline, p.turns, field, fullest));
    let by_count = single.zip(bound_per_sheet).map_or(0, |(p, b)| p.count.div_ceil(b.max(1)));
    let bound_sheets = by_area.max(by_count).max(usize::from(!wanted.is_empty()));
    Figures {
        sheets: used,
        yield_share: if used > 0 { parts / (used as f64 * sheet.length * sheet.width) } else { 0.0 },
        boxes_per_sheet: single.map(|p| boxes(&p)),
        sheets_by_boxes: wanted.iter().map(by_boxes).sum(),
        bound_sheets,
        bound_per_sheet,
        proven: used == bound_sheets,
    }
}
