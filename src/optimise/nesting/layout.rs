//! The pieces laid on as few sheets as were found.
//!
//! Of one kind, sheets are laid one after the other, each as full as is worth it, and a layout is
//! used as often as what is left allows: so 10,000 copies cost as much as one sheet and a rest.
//! Several kinds are `mixed`'s.

use super::field::{Field, area};
use super::figures::{self, Figures, Least, figures};
use super::layout_check::check;
use super::methods::{Found, Task, found};
use super::mixed::{self, Laid};
use super::problem::{NestingError, Placed, Problem, box_area};
use super::watch::Watch;
use super::{Effort, bound};
use crate::geometry::{Bounds, Point};

/// Pieces laid on sheets.
#[derive(Clone, Debug)]
pub struct Nesting {
    /// Every layout that differs, with how often it is cut.
    pub sheets: Vec<SheetLayout>,
    /// What it comes to.
    pub figures: Figures,
    /// Whether who watches ended the search before it was through.
    pub stopped: bool,
}

/// One layout of a sheet.
#[derive(Clone, Debug)]
pub struct SheetLayout {
    /// How many sheets are laid so.
    pub times: usize,
    /// The pieces on it.
    pub placed: Vec<Placed>,
    /// How it was found, in plain words.
    pub method: &'static str,
    /// The largest rectangle left at an end or a side of the sheet, over its full width or length,
    /// the spacing off the last piece, in mm. The margin counts as sheet.
    pub remnant: Bounds,
}

/// How many of one kind of piece go on one sheet.
#[derive(Clone, Debug)]
pub struct Capacity {
    /// The fullest layout found; empty if none holds a piece.
    pub best: Vec<Placed>,
    /// How many bounding boxes would go on it.
    pub boxes: usize,
    /// No layout holds more.
    pub bound: Option<usize>,
    /// Whether the layout holds as many as the bound.
    pub proven: bool,
    /// How it was found, in plain words.
    pub method: &'static str,
}

/// Lays pieces on sheets of one size. Every layout returned passed [`super::check`]. The same input
/// gives the same nesting.
///
/// # Errors
/// If a piece does not go on an empty sheet.
pub fn nest(problem: &Problem, effort: Effort) -> Result<Nesting, NestingError> {
    nest_watched(problem, effort, &Watch::nobody())
}

/// The same, watched: told to stop it ends with the fewest sheets it has.
///
/// # Errors
/// As [`nest`].
pub fn nest_watched(
    problem: &Problem,
    effort: Effort,
    watch: &Watch<'_>,
) -> Result<Nesting, NestingError> {
    let field = Field::of(problem).ok_or(NestingError::NoSheet)?;
    let least = Least::new(problem, &field);
    let (laid, boxes) = match problem.wanted().count() {
        0 => (Laid { sheets: Vec::new(), stopped: false }, Some(0)),
        1 => {
            let laid = of_one_kind(problem, &field, effort, watch, &least)?;
            (laid, figures::sheets_of_boxes(problem, &field))
        }
        _ => {
            let laid = mixed::lay(problem, &field, effort, watch, &least)?;
            better_of_boxes(problem, laid, &field, watch)
        }
    };
    let Laid { sheets, stopped } = laid;
    let layout = |(times, placed, method): (usize, Vec<Placed>, &'static str)| {
        let remnant = remnant(problem, field.spacing, &placed);
        SheetLayout { times, placed, method, remnant }
    };
    let sheets: Vec<SheetLayout> = sheets.into_iter().map(layout).collect();
    let figures = figures(problem, &field, &least, boxes, &sheets);
    Ok(Nesting { sheets, figures, stopped })
}

/// The layouts, and on how many sheets the pieces' bounding boxes go, packed together by the same
/// search with its least effort; where those are fewer, they are the layouts: a piece lies in its
/// box.
fn better_of_boxes(
    problem: &Problem,
    laid: Laid,
    field: &Field,
    watch: &Watch<'_>,
) -> (Laid, Option<usize>) {
    let boxed = problem.boxed();
    let effort = Effort { level: 0, seed: 1 };
    let least = Least::new(&boxed, field);
    let quiet = watch.untold();
    let Ok(boxes) = mixed::lay(&boxed, field, effort, &quiet, &least) else { return (laid, None) };
    let count = |laid: &Laid| laid.sheets.iter().map(|sheet| sheet.0).sum::<usize>();
    let sheets = count(&boxes);
    let is_valid = |boxes: &Laid| boxes.sheets.iter().all(|s| check(problem, &s.1).is_ok());
    if sheets < count(&laid) && is_valid(&boxes) {
        return (Laid { stopped: laid.stopped, ..boxes }, Some(sheets));
    }
    (laid, Some(sheets))
}

/// Copies of one kind: the fullest sheet as often as it goes, and what is left on one more.
fn of_one_kind(
    problem: &Problem,
    field: &Field,
    effort: Effort,
    watch: &Watch<'_>,
    least: &Least<'_>,
) -> Result<Laid, NestingError> {
    let mut left = problem.counts();
    let wanted: usize = left.iter().sum();
    // So many on a sheet make as few sheets as any can: a fuller one would be searched in vain.
    let enough = wanted.div_ceil(least.sheets().max(1));
    let mut sheets: Vec<(usize, Vec<Placed>, &'static str)> = Vec::new();
    while left.iter().any(|n| *n > 0) {
        let one_sheet = limited(&problem.with_counts(&left), field);
        let task = Task { problem: &one_sheet, field, effort, watch };
        let all = found(&task, enough);
        // No layout at all means that the piece goes on no sheet.
        let kind = || left.iter().position(|n| *n > 0).expect("some are left");
        let best = chosen(&task, &left, &all).ok_or_else(|| NestingError::TooLarge(kind()))?;
        let times = times(&left, &best.placed);
        for (kind, count) in left.iter_mut().enumerate() {
            *count -= times * used(&best.placed, kind);
        }
        sheets.push((times, best.placed.clone(), best.method));
        watch.tell(sheets.iter().map(|sheet| sheet.0).sum(), least.sheets());
    }
    let used: usize = sheets.iter().map(|sheet| sheet.0).sum();
    Ok(Laid { sheets, stopped: used > least.sheets() && watch.is_over() })
}

/// The fullest sheet of the first kind of piece that was found, however many of it are wanted (at
/// least one must be).
pub fn capacity(problem: &Problem, effort: Effort) -> Capacity {
    let none =
        Capacity { best: Vec::new(), boxes: 0, bound: None, proven: false, method: "none found" };
    let (Some(field), Some(piece)) = (Field::of(problem), problem.pieces().first()) else {
        return none;
    };
    let mut counts = vec![0; problem.pieces().len()];
    counts[0] = usize::MAX;
    let one_sheet = limited(&problem.with_counts(&counts), &field);
    let task = Task { problem: &one_sheet, field: &field, effort, watch: &Watch::nobody() };
    let best = found(&task, usize::MAX).into_iter().next();
    let (best, method) = best.map_or((Vec::new(), none.method), |f| (f.placed, f.method));
    let boxes = bound::by_boxes(&piece.outline, piece.rotations, &field);
    let bound = bound::per_sheet(&piece.outline, piece.rotations, &field, best.len());
    Capacity { boxes, bound, proven: bound == Some(best.len()), best, method }
}

/// How many of a kind lie there.
fn used(placed: &[Placed], kind: usize) -> usize {
    placed.iter().filter(|p| p.piece == kind).count()
}

/// How often a layout can be cut from what is left.
fn times(left: &[usize], placed: &[Placed]) -> usize {
    let of_each = left.iter().enumerate();
    of_each
        .filter_map(|(kind, n)| n.checked_div(used(placed, kind)))
        .min()
        .expect("a layout has a piece")
}

/// The problem with no more of each kind asked for than one sheet could hold by area.
pub(super) fn limited(problem: &Problem, field: &Field) -> Problem {
    let room = box_area(field.usable.grown(field.spacing / 2.0));
    let counts: Vec<usize> = problem
        .pieces()
        .iter()
        .map(|p| p.count.min((room / area(&p.outline)).floor() as usize))
        .collect();
    problem.with_counts(&counts)
}

/// The layout of the largest area; where several hold all that is left, the one that leaves the
/// largest remnant.
fn chosen<'a>(task: &Task<'_>, left: &[usize], all: &'a [Found]) -> Option<&'a Found> {
    let first = all.first()?;
    let wanted: usize = left.iter().sum();
    // Sheets will follow: this one as full as can be. On the last sheet what is left over counts.
    if first.placed.len() < wanted {
        return Some(first);
    }
    let size = |f: &Found| box_area(remnant(task.problem, task.field.spacing, &f.placed));
    let full = all.iter().filter(|f| f.placed.len() == wanted);
    full.reduce(|a, b| if size(b) > size(a) { b } else { a })
}

pub(super) fn remnant(problem: &Problem, spacing: f64, placed: &[Placed]) -> Bounds {
    let (length, width) = (problem.sheet().length, problem.sheet().width);
    let whole = Bounds { min: Point::origin(), max: Point::new(length, width) };
    let corners = placed.iter().flat_map(|p| problem.corners(p));
    let Some(taken) = Bounds::around(corners) else { return whole };
    let taken = taken.grown(spacing);
    let mut ends = [whole; 4];
    ends[0].min.x = taken.max.x.min(length);
    ends[1].min.y = taken.max.y.min(width);
    ends[2].max.x = taken.min.x.max(0.0);
    ends[3].max.y = taken.min.y.max(0.0);
    let largest = |a, b| if box_area(b) > box_area(a) { b } else { a };
    ends.into_iter().reduce(largest).expect("a sheet has four ends")
}
