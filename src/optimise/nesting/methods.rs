//! The ways of laying a sheet, each asked in turn; nothing that fails the independent check comes through.

use super::layout_check::{clear, corners_of, distance};
use super::column::Couple;
use super::left_fill::Filler;
use super::problem::{Effort, Lying, Piece, SheetSize, Turns};
use super::field::{Field, area};
use super::blocks::Stacks;
use super::rotated_rows::Tilted;
use super::{beam_search, bound, overlap_removal};
use crate::geometry::{Bounds, Point};
use std::f64::consts::FRAC_PI_2;

/// What one sheet is to be laid with: the counts say how many of each kind are left.
pub(super) struct Job<'a> {
    pub pieces: &'a [Piece],
    pub sheet: &'a SheetSize,
    pub field: &'a Field,
    pub spacing: f64,
    pub effort: Effort,
}

/// A layout and how it was found.
pub(super) struct Found {
    pub lying: Vec<Lying>,
    pub method: &'static str,
    pub area: f64,
}

/// A way of laying one sheet.
trait Method {
    /// How the layout was found, in plain words.
    fn name(&self) -> &'static str;
    /// Layouts, any number of each kind on them; `best` is the fullest valid one found before.
    fn layouts(&self, job: &Job, best: &[Lying]) -> Vec<Vec<Lying>>;
}

/// All methods, in the order in which they are asked.
fn methods() -> [&'static dyn Method; 5] {
    [&Stacked, &TiltedRows, &Cornered, &Beamed, &Eased]
}

/// Every valid layout found, the largest area first; of equal ones the one found first.
pub(super) fn found(job: &Job) -> Vec<Found> {
    let mut all: Vec<Found> = Vec::new();
    let most = Most::of(job);
    for method in methods() {
        if all.first().is_some_and(|f| most.is_reached(&f.lying)) {
            break;
        }
        let best = all.first().map_or(Vec::new(), |f| f.lying.clone());
        for layout in method.layouts(job, &best).into_iter().flat_map(|l| limited(job, l)) {
            if !layout.is_empty() && clear(job.pieces, job.sheet, job.spacing, &layout).is_ok() {
                let area = layout.iter().map(|l| area(&job.pieces[l.piece].outline)).sum();
                all.push(Found { lying: layout, method: method.name(), area });
            }
        }
        all.sort_by(|a, b| b.area.total_cmp(&a.area));
    }
    all
}

/// What no layout can have more of.
enum Most {
    /// Pieces of the one kind that is wanted: all of them, or what the bound allows.
    OfOne(usize),
    /// All pieces that are wanted.
    All(usize),
}

impl Most {
    fn of(job: &Job) -> Most {
        let wanted: Vec<&Piece> = job.pieces.iter().filter(|p| p.count > 0).collect();
        match wanted[..] {
            [one] => {
                let bound = bound::per_sheet(&one.outline, one.turns, job.field, 0);
                Most::OfOne(bound.map_or(one.count, |bound| bound.min(one.count)))
            }
            _ => Most::All(wanted.iter().map(|p| p.count).sum()),
        }
    }

    fn is_reached(&self, lying: &[Lying]) -> bool {
        let (Most::OfOne(most) | Most::All(most)) = self;
        lying.len() >= *most
    }
}

/// The layout with no more of each kind than are left: those nearest to the left, and those nearest to the bottom.
fn limited(job: &Job, layout: Vec<Lying>) -> Vec<Vec<Lying>> {
    let count = |kind: usize| layout.iter().filter(|l| l.piece == kind).count();
    if job.pieces.iter().enumerate().all(|(kind, piece)| count(kind) <= piece.count) {
        return vec![layout];
    }
    let far: [fn(Bounds) -> f64; 2] = [|b| b.max.x, |b| b.max.y];
    far.into_iter().map(|far| nearest(job.pieces, &layout, far)).collect()
}

fn nearest(pieces: &[Piece], layout: &[Lying], far: fn(Bounds) -> f64) -> Vec<Lying> {
    let edge = |l: &Lying| Bounds::around(placed(pieces, l)).map_or(f64::INFINITY, far);
    let mut order: Vec<(f64, Lying)> = layout.iter().map(|l| (edge(l), *l)).collect();
    order.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut left: Vec<usize> = pieces.iter().map(|p| p.count).collect();
    let takes = |l: &Lying| {
        let left = &mut left[l.piece];
        let some = *left > 0;
        *left = left.saturating_sub(1);
        some
    };
    order.into_iter().map(|(_, l)| l).filter(takes).collect()
}

/// The corners of a piece where it lies.
pub(super) fn placed(pieces: &[Piece], lying: &Lying) -> Vec<Point> {
    pieces[lying.piece].outline.iter().map(|p| lying.placement * p).collect()
}

/// What is left of a layout when all that touches something kept out is taken off.
fn off_kept_out(job: &Job, layout: Vec<Lying>) -> Vec<Lying> {
    let touches = |l: &Lying| {
        let points = placed(job.pieces, l);
        let bounds = Bounds::around(points.iter().copied());
        let near = job.field.keep_out.iter().filter(|k| bounds.is_some_and(|b| k.touches(b)));
        near.into_iter().any(|k| distance(&points, &corners_of(*k)) <= 0.0)
    };
    layout.into_iter().filter(|l| !touches(l)).collect()
}

/// A layout with what is kept out respected and more pieces put where they go, at angles from `turn` on.
fn filled_up(job: &Job, layout: Vec<Lying>, turn: f64) -> Vec<Lying> {
    let mut layout = off_kept_out(job, layout);
    let count = |kind: usize| layout.iter().filter(|l| l.piece == kind).count();
    let left: Vec<usize> = job.pieces.iter().enumerate().map(|(kind, p)| p.count.saturating_sub(count(kind))).collect();
    let more = Filler::new(job.pieces, job.field, &layout, FILL_UP).fill(&left, turn);
    layout.extend(more);
    layout
}

/// The kinds of which some are left.
fn kinds<'a>(job: &'a Job) -> impl Iterator<Item = (usize, &'a Piece)> {
    job.pieces.iter().enumerate().filter(|(_, p)| p.count > 0)
}

struct Stacked;

impl Method for Stacked {
    fn name(&self) -> &'static str {
        "stacks of meshed pairs, filled up"
    }

    fn layouts(&self, job: &Job, _best: &[Lying]) -> Vec<Vec<Lying>> {
        let mut layouts = Vec::new();
        for (kind, piece) in kinds(job) {
            let stacks = Stacks::new(kind, &piece.outline, piece.turns, job.field, piece.count);
            let mut rooms = vec![job.field.usable];
            if !job.field.keep_out.is_empty() {
                rooms.extend(job.field.free_rectangle());
            }
            for room in rooms {
                layouts.extend(stacks.layouts(room, job.field.spacing).into_iter().map(|l| filled_up(job, l, 0.0)));
            }
        }
        layouts
    }
}

struct TiltedRows;

impl Method for TiltedRows {
    fn name(&self) -> &'static str {
        "rows of meshed pairs at one angle, filled up"
    }

    fn layouts(&self, job: &Job, _best: &[Lying]) -> Vec<Vec<Lying>> {
        let mut layouts = Vec::new();
        for (kind, piece) in kinds(job) {
            let Some(couple) = Couple::half_turned(kind, &piece.outline, job.field.spacing) else { continue };
            let tilted = Tilted::new(&couple, job.field.spacing);
            for (angle, layout) in tilted.layouts(&piece.outline, piece.turns, job.field) {
                let turn = if piece.turns == Turns::Any { angle } else { 0.0 };
                layouts.push(filled_up(job, layout, turn));
            }
        }
        layouts
    }
}

struct Cornered;

impl Method for Cornered {
    fn name(&self) -> &'static str {
        "one by one from a corner"
    }

    fn layouts(&self, job: &Job, _best: &[Lying]) -> Vec<Vec<Lying>> {
        let left: Vec<usize> = job.pieces.iter().map(|p| p.count).collect();
        let (field, back) = job.field.quarter();
        let times = again(job.effort);
        let slices = FILL_UP + FRESH * times as usize;
        let mut along = Filler::new(job.pieces, job.field, &[], slices);
        let mut across = Filler::new(job.pieces, &field, &[], slices);
        let mut layouts = Vec::new();
        for again in 0..=times {
            if along.is_spent() && across.is_spent() {
                break;
            }
            layouts.push(along.fill(&left, 0.0));
            let turned = across.fill(&left, FRAC_PI_2);
            layouts.push(turned.iter().map(|l| Lying { piece: l.piece, placement: back * l.placement }).collect());
            along.empty_again(job.effort.seed.wrapping_add(again));
            across.empty_again(job.effort.seed.wrapping_add(again));
        }
        layouts
    }
}

/// A search on the corners of no-fit polygons, from the first step of effort on.
struct Beamed;

impl Method for Beamed {
    fn name(&self) -> &'static str {
        "beam search"
    }

    fn layouts(&self, job: &Job, _best: &[Lying]) -> Vec<Vec<Lying>> {
        if job.effort.level == 0 {
            return Vec::new();
        }
        vec![beam_search::fill(job.pieces, job.sheet, job.spacing, job.effort)]
    }
}

/// One copy more than was found before, as long as that works; for one kind of piece, from the second step of effort on.
struct Eased;

impl Method for Eased {
    fn name(&self) -> &'static str {
        "overlaps eased out"
    }

    fn layouts(&self, job: &Job, best: &[Lying]) -> Vec<Vec<Lying>> {
        let wanted: Vec<(usize, &Piece)> = kinds(job).collect();
        let [(kind, piece)] = wanted[..] else { return Vec::new() };
        if job.effort.level < EASED_FROM {
            return Vec::new();
        }
        let most = match Most::of(job) {
            Most::OfOne(most) | Most::All(most) => most,
        };
        let mut found = Vec::new();
        for copies in best.len() + 1..=most {
            match overlap_removal::fill(piece, copies, job.sheet, job.spacing, job.effort) {
                Some(lying) => found.push(lying.into_iter().map(|l| Lying { piece: kind, ..l }).collect()),
                None => break,
            }
        }
        found
    }
}

/// The effort from which on overlaps are eased out: it may take tens of seconds to find nothing.
const EASED_FROM: u32 = 2;

/// Slices of no-fit regions looked at to fill up one layout, and for each time that an empty field is filled again.
const FILL_UP: usize = 60_000;
const FRESH: usize = 4_000;
/// Times an empty field is filled again at the first step of effort.
const AGAIN: u64 = 160;
/// Steps of effort that make a difference here.
const LONGEST: u32 = 8;

/// Times an empty field is filled again, choosing otherwise: four times as often with each further step of effort.
fn again(effort: Effort) -> u64 {
    effort.level.min(LONGEST).checked_sub(1).map_or(0, |steps| AGAIN * 4_u64.pow(steps))
}
