//! The methods of laying one sheet, each asked in turn; nothing that fails the independent check
//! comes through.
//!
//! They stand by rising cost, and the next one is asked only while the bound leaves room for a
//! piece more: most sheets of stringers are proven full by the first.

use super::blocks::Blocks;
use super::column::PiecePair;
use super::field::{Field, area};
use super::layout_check::{check, corners_of, distance};
use super::left_fill::{LeftFill, by_size};
use super::meetings::Meetings;
use super::problem::{Placed, Problem, Rotations};
use super::rotated_rows::{Rotated, RotatedRows};
use super::watch::Watch;
use super::{Effort, beam_search, bound, overlap_removal};
use crate::geometry::Bounds;
use std::f64::consts::FRAC_PI_2;

/// What one sheet is to be laid with: the counts say how many of each kind are left.
#[derive(Clone, Copy)]
pub(super) struct Task<'a> {
    pub problem: &'a Problem,
    pub field: &'a Field,
    pub effort: Effort,
    pub watch: &'a Watch<'a>,
}

/// A layout and how it was found.
pub(super) struct Found {
    pub placed: Vec<Placed>,
    pub method: &'static str,
    pub area: f64,
}

/// A way of laying one sheet.
trait Method {
    /// How the layout was found, in plain words.
    fn name(&self) -> &'static str;
    /// Layouts, any number of each kind on them, that one step of effort finds beyond those of the
    /// steps below it; `best` is the fullest valid one found before.
    fn layouts(&self, task: &Task<'_>, meetings: &Meetings, best: &[Placed]) -> Vec<Vec<Placed>>;
}

/// All methods, the cheapest first.
fn methods() -> [&'static dyn Method; 5] {
    [&MeshedBlocks, &MeshedRows, &OneByOne, &BeamSearch, &OverlapRemoval]
}

/// Every valid layout found, the largest area first; of equal ones the one found first. Each step
/// of effort begins where the one below it ended, so no step finds less; all ends once a layout
/// holds `enough` pieces, or what no layout holds more of.
pub(super) fn found(task: &Task<'_>, enough: usize) -> Vec<Found> {
    let mut all: Vec<Found> = Vec::new();
    let most = Most::of(task).number().min(enough);
    let meetings = Meetings::new(task.problem.pieces(), task.field);
    let nobody = Watch::nobody();
    for level in 0..=task.effort.level {
        for method in methods() {
            // As long as nothing was found a method that is told to stop would make a piece that
            // fits one that does not.
            let watch = if all.is_empty() && level == 0 { &nobody } else { task.watch };
            let step = Task { effort: Effort { level, ..task.effort }, watch, ..*task };
            let is_full = all.first().is_some_and(|f: &Found| f.placed.len() >= most);
            if is_full || (!all.is_empty() || level > 0) && task.watch.is_over() {
                return all;
            }
            // Only overlap removal starts from what was found; it asks for one piece more.
            let best = all.first().map_or(Vec::new(), |f| f.placed.clone());
            let layouts = method.layouts(&step, &meetings, &best);
            for layout in layouts.into_iter().flat_map(|l| limited(task, l)) {
                if !layout.is_empty() && check(task.problem, &layout).is_ok() {
                    let area = covered(task, &layout);
                    all.push(Found { placed: layout, method: method.name(), area });
                }
            }
            // Stable: of equal areas the layout of the earlier, simpler method stays first.
            all.sort_by(|a, b| b.area.total_cmp(&a.area));
        }
    }
    all
}

/// The area of the pieces of a layout, in mm^2.
fn covered(task: &Task<'_>, layout: &[Placed]) -> f64 {
    layout.iter().map(|p| area(&task.problem.pieces()[p.piece].outline)).sum()
}

/// What no layout can have more of.
enum Most {
    /// Pieces of the one kind that is wanted: all of them, or what the bound allows.
    OfOne(usize),
    /// All pieces that are wanted.
    All(usize),
}

impl Most {
    fn of(task: &Task<'_>) -> Self {
        let wanted: Vec<_> = task.problem.wanted().map(|(_, piece)| piece).collect();
        match wanted[..] {
            [one] => {
                let bound = bound::per_sheet(&one.outline, one.rotations, task.field, 0);
                Self::OfOne(bound.map_or(one.count, |bound| bound.min(one.count)))
            }
            _ => Self::All(wanted.iter().map(|p| p.count).sum()),
        }
    }

    fn number(&self) -> usize {
        let (Self::OfOne(most) | Self::All(most)) = self;
        *most
    }
}

/// The layout with no more of each kind than are left: those nearest to the left, and those nearest
/// to the bottom, so that what is left over lies at one end.
fn limited(task: &Task<'_>, layout: Vec<Placed>) -> Vec<Vec<Placed>> {
    let mut kinds = task.problem.pieces().iter().enumerate();
    if kinds.all(|(kind, piece)| count(&layout, kind) <= piece.count) {
        return vec![layout];
    }
    let far: [fn(Bounds) -> f64; 2] = [|b| b.max.x, |b| b.max.y];
    far.into_iter().map(|far| nearest(task.problem, &layout, far)).collect()
}

/// Of each kind as many as are wanted, those that reach least far.
fn nearest(problem: &Problem, layout: &[Placed], far: fn(Bounds) -> f64) -> Vec<Placed> {
    let edge = |p: &Placed| Bounds::around(problem.corners(p)).map_or(f64::INFINITY, far);
    let mut by_edge: Vec<(f64, Placed)> = layout.iter().map(|p| (edge(p), *p)).collect();
    by_edge.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut left = problem.counts();
    let mut taken = Vec::new();
    for (_, placed) in by_edge {
        if left[placed.piece] > 0 {
            left[placed.piece] -= 1;
            taken.push(placed);
        }
    }
    taken
}

fn count(layout: &[Placed], kind: usize) -> usize {
    layout.iter().filter(|p| p.piece == kind).count()
}

/// What is left of a layout when all that touches something kept out is taken off.
pub(super) fn off_kept_out(problem: &Problem, field: &Field, layout: Vec<Placed>) -> Vec<Placed> {
    layout.into_iter().filter(|p| !touches_kept_out(problem, field, p)).collect()
}

fn touches_kept_out(problem: &Problem, field: &Field, placed: &Placed) -> bool {
    let points = problem.corners(placed);
    let Some(bounds) = Bounds::around(points.iter().copied()) else { return false };
    let near = field.keep_out.iter().filter(|k| k.touches(bounds));
    near.into_iter().any(|k| distance(&points, &corners_of(*k)) <= 0.0)
}

/// A layout with what is kept out respected and more pieces put where they go, at angles from
/// `turn` on, in radians.
fn filled_up(task: &Task<'_>, meetings: &Meetings, layout: Vec<Placed>, turn: f64) -> Vec<Placed> {
    let mut layout = off_kept_out(task.problem, task.field, layout);
    // A construction may hold more of a kind than are wanted; then none are added.
    let wanted = task.problem.counts().into_iter().enumerate();
    let left: Vec<usize> = wanted.map(|(kind, n)| n.saturating_sub(count(&layout, kind))).collect();
    let pieces = task.problem.pieces();
    let mut fill = LeftFill::new(pieces, task.field, meetings, &layout, FILL_UP);
    layout.extend(fill.fill(&by_size(pieces, &left), &left, turn));
    layout
}

struct MeshedBlocks;

impl Method for MeshedBlocks {
    fn name(&self) -> &'static str {
        "stacks of meshed pairs, filled up"
    }

    fn layouts(&self, task: &Task<'_>, meetings: &Meetings, _best: &[Placed]) -> Vec<Vec<Placed>> {
        let mut layouts = Vec::new();
        if task.effort.level > 0 {
            return layouts;
        }
        for (kind, piece) in task.problem.wanted() {
            let blocks = Blocks::new(kind, piece, task.field);
            let mut rooms = vec![task.field.usable];
            // Blocks know no clamps. Over the whole field some pieces are taken off again; beside
            // the clamps none are, but there is less room: neither is always better.
            if !task.field.keep_out.is_empty() {
                rooms.extend(task.field.free_rectangle());
            }
            for room in rooms {
                let laid = blocks.layouts(room, task.field.spacing);
                layouts.extend(laid.into_iter().map(|l| filled_up(task, meetings, l, 0.0)));
            }
        }
        layouts
    }
}

struct MeshedRows;

impl Method for MeshedRows {
    fn name(&self) -> &'static str {
        "rows of meshed pairs at one angle, filled up"
    }

    fn layouts(&self, task: &Task<'_>, meetings: &Meetings, _best: &[Placed]) -> Vec<Vec<Placed>> {
        let mut layouts = Vec::new();
        if task.effort.level > 0 {
            return layouts;
        }
        let spacing = task.field.spacing;
        for (kind, piece) in task.problem.wanted() {
            let Some(pair) = PiecePair::half_turned(kind, &piece.outline, spacing) else {
                continue;
            };
            let rows = RotatedRows::new(&pair, spacing);
            for Rotated { angle, placed } in rows.layouts(piece, task.field) {
                // Under grain, what fills up may lie along the grain only, whatever the rows do.
                let turn = if piece.rotations == Rotations::Any { angle } else { 0.0 };
                layouts.push(filled_up(task, meetings, placed, turn));
            }
        }
        layouts
    }
}

struct OneByOne;

impl Method for OneByOne {
    fn name(&self) -> &'static str {
        "one by one from a corner"
    }

    /// From the left and, on the field turned a quarter, from below; again and again with other
    /// choices as the effort says.
    fn layouts(&self, task: &Task<'_>, meetings: &Meetings, _best: &[Placed]) -> Vec<Vec<Placed>> {
        let left = task.problem.counts();
        let (field, back) = task.field.quarter();
        let times = restarts(task.effort.level)..restarts(task.effort.level + 1);
        // The last step of effort has no fills of its own.
        if times.is_empty() {
            return Vec::new();
        }
        let slices = FILL_UP + FRESH * (times.end - times.start - 1) as usize;
        let pieces = task.problem.pieces();
        let order = by_size(pieces, &left);
        let turned = Meetings::new(pieces, &field);
        let mut along = LeftFill::new(pieces, task.field, meetings, &[], slices);
        let mut across = LeftFill::new(pieces, &field, &turned, &[], slices);
        let mut layouts = Vec::new();
        for again in times {
            // The first time nothing is left to chance.
            if let Some(turn) = again.checked_sub(1) {
                along.empty_again(task.effort.seed.wrapping_add(turn));
                across.empty_again(task.effort.seed.wrapping_add(turn));
            }
            if along.is_spent() && across.is_spent() || task.watch.is_over() && again > 0 {
                break;
            }
            layouts.push(along.fill(&order, &left, 0.0));
            let turned = across.fill(&order, &left, FRAC_PI_2).into_iter();
            let placed = |p: Placed| Placed { piece: p.piece, placement: back * p.placement };
            layouts.push(turned.map(placed).collect());
        }
        layouts
    }
}

/// A search on the corners of no-fit polygons, from the first step of effort on.
struct BeamSearch;

impl Method for BeamSearch {
    fn name(&self) -> &'static str {
        "beam search"
    }

    fn layouts(&self, task: &Task<'_>, _meetings: &Meetings, _best: &[Placed]) -> Vec<Vec<Placed>> {
        if task.effort.level == 0 {
            return Vec::new();
        }
        vec![beam_search::fill_watched(task.problem, task.effort, task.watch)]
    }
}

/// One copy more than was found before, as long as that works; for one kind of piece, from the
/// second step of effort on.
struct OverlapRemoval;

impl Method for OverlapRemoval {
    fn name(&self) -> &'static str {
        "overlaps eased out"
    }

    fn layouts(&self, task: &Task<'_>, _meetings: &Meetings, best: &[Placed]) -> Vec<Vec<Placed>> {
        let kinds: Vec<usize> = task.problem.wanted().map(|(kind, _)| kind).collect();
        let [kind] = kinds[..] else { return Vec::new() };
        if task.effort.level < OVERLAP_REMOVAL_FROM {
            return Vec::new();
        }
        let more = best.len() + 1..=Most::of(task).number();
        let fill = |copies| {
            let (problem, effort) = (task.problem, task.effort);
            overlap_removal::fill_watched(problem, kind, copies, effort, task.watch)
        };
        more.map_while(fill).collect()
    }
}

/// The effort from which on overlaps are eased out: it may take tens of seconds to find nothing.
const OVERLAP_REMOVAL_FROM: u32 = 2;

/// Slices of no-fit polygons looked at to fill up one layout, and for each time that an empty field
/// is filled again: so the work is bounded whatever the pieces. Numbers by trial.
const FILL_UP: usize = 60_000;
const FRESH: usize = 4_000;
/// Times an empty field is filled again at the first step of effort. By trial: with it every count
/// of the table in tests/it/nesting.rs is reached.
const RESTARTS: u64 = 160;
/// Steps of effort that make a difference here.
const LONGEST: u32 = 8;

/// Times an empty field has been filled before a step of effort begins: four times as often with
/// each further one.
fn restarts(level: u32) -> u64 {
    match level.min(LONGEST + 1) {
        0 => 0,
        level => 1 + (1..level).map(|step| RESTARTS * 4_u64.pow(step - 1)).sum::<u64>(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Point;
    use crate::nesting::{Piece, Rotations, SheetSize};

    fn one_square() -> Problem {
        let corners = [(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)];
        let outline = corners.map(|(x, y)| Point::new(x, y)).to_vec();
        let piece = Piece { outline, count: 1, rotations: Rotations::Half };
        let sheet = SheetSize { length: 300.0, width: 300.0, margin: 10.0, keep_out: Vec::new() };
        Problem::new(vec![piece], sheet, 10.0).unwrap()
    }

    #[test]
    fn every_step_of_effort_may_be_asked_for() {
        let problem = one_square();
        let field = Field::of(&problem).unwrap();
        let meetings = Meetings::new(problem.pieces(), &field);
        for level in 0..=9 {
            let watch = Watch::nobody();
            let effort = Effort { level, seed: 1 };
            let task = Task { problem: &problem, field: &field, effort, watch: &watch };
            let layouts = OneByOne.layouts(&task, &meetings, &[]);
            assert!(level > 0 || !layouts.is_empty(), "step {level}");
        }
    }

    #[test]
    fn told_to_stop_from_the_start_a_piece_that_fits_is_found_all_the_same() {
        let problem = one_square();
        let field = Field::of(&problem).unwrap();
        let watch = Watch::new(&|| true, &|_| ());
        let effort = Effort { level: 1, seed: 1 };
        let task = Task { problem: &problem, field: &field, effort, watch: &watch };
        assert_eq!(found(&task, 1).len().min(1), 1);
    }
}
