//! The pieces laid on as few sheets as were found.
//!
//! Sheets are laid one after the other, each as full as it is found, and a layout is used as often
//! as what is left allows (repeated pattern exhaustion, the sequential heuristic of R. W. Haessler,
//! A heuristic programming solution to a nonlinear cutting stock problem, 1971; from memory): so
//! 10,000 copies cost as much as one sheet and a rest.

use super::field::{Field, area};
use super::figures::{Figures, figures};
use super::methods::{Found, Task, found};
use super::problem::{NestingError, Placed, Problem, box_area};
use super::{Effort, bound};
use crate::geometry::{Bounds, Point};

/// Pieces laid on sheets.
#[derive(Clone, Debug)]
pub struct Nesting {
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
    let field = Field::of(problem).ok_or(NestingError::NoSheet)?;
    let mut left = problem.counts();
    let mut sheets = Vec::new();
    while left.iter().any(|n| *n > 0) {
        let one_sheet = limited(&problem.with_counts(&left), &field);
        let task = Task { problem: &one_sheet, field: &field, effort };
        let all = found(&task);
        // No layout at all means that some piece goes on no sheet.
        let best = chosen(&task, &left, &all).ok_or_else(|| too_large(&left, &task))?;
        let times = times(&left, &best.placed);
        for (kind, count) in left.iter_mut().enumerate() {
            *count -= times * used(&best.placed, kind);
        }
        let remnant = remnant(problem, field.spacing, &best.placed);
        let placed = best.placed.clone();
        sheets.push(SheetLayout { times, placed, method: best.method, remnant });
    }
    let figures = figures(problem, &field, &sheets);
    Ok(Nesting { sheets, figures })
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
    let task = Task { problem: &one_sheet, field: &field, effort };
    let best = found(&task).into_iter().next();
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
fn limited(problem: &Problem, field: &Field) -> Problem {
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

/// Which of the pieces left is the one that finds no place, even alone.
fn too_large(left: &[usize], task: &Task<'_>) -> NestingError {
    let kinds = || (0..left.len()).filter(|k| left[*k] > 0);
    let culprit = kinds().find(|k| finds_no_place(*k, task)).or_else(|| kinds().next());
    NestingError::TooLarge(culprit.expect("a piece is left, or no sheet were asked for"))
}

fn finds_no_place(kind: usize, task: &Task<'_>) -> bool {
    let counts: Vec<usize> =
        (0..task.problem.pieces().len()).map(|k| usize::from(k == kind)).collect();
    found(&Task { problem: &task.problem.with_counts(&counts), ..*task }).is_empty()
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
