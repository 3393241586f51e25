//! Blocks of two pieces of any kinds, one turned half round over the other, tooth in tooth, and
//! columns of them: what a person lays of near-alike stringers, head to tail.
//!
//! A piece and its half turn mesh best where they touch in two places (a double lattice: G.
//! Kuperberg, W. Kuperberg, Double-lattice packings of convex bodies in the plane, 1990); of two
//! kinds the least height is found the same way, by sliding one along the edge of the no-fit
//! polygon of both. Blocks are then boxes, put in columns from left to right by the order of their
//! kinds (levels of next-fit: E. G. Coffman, M. R. Garey, D. S. Johnson, R. E. Tarjan, Performance
//! bounds for level-oriented two-dimensional packing algorithms, 1980). Left fill puts the rest
//! where the boxes leave room. Titles from memory.
//!
//! **Invariant**: two pieces of a block keep the spacing, blocks keep it by their boxes, no more of
//! a kind is laid than is left. **Cost**: a piece asks at most [`PARTNERS`] others, the ones most
//! alike in size of those left, and two kinds meet once in a search: so of k kinds some multiple of
//! k meetings are made, not k^2, each in O(p q) for p and q convex parts.

use crate::geometry::{Bounds, Point, Vector};
use crate::nesting::field::{RotatedPiece, area};
use crate::nesting::no_fit_slice::NoFitSlicer;
use crate::nesting::problem::{Placed, Problem, box_area};
use std::collections::BTreeMap;
use std::f64::consts::PI;
use std::sync::{Arc, PoisonError, RwLock};

/// Partners that a piece is tried with: itself, and the next ones up and down in size. Near-alike
/// kinds mesh about equally well, so more save nothing, and each one more is a meeting more of
/// every kind.
const PARTNERS: usize = 4;
/// Kinds that are asked, in their order, for a block that fits the rest of a column: the next few
/// are as good as the first; asking all would make a column cost the square of the kinds.
const FIRSTS: usize = 6;
/// Seats kept of two kinds, those of the fullest boxes: one tooth more or less aside is rarely
/// better, but may just fit the sheet. As many as a column of one kind tries (`blocks`).
const SEATS: usize = 4;
/// A mesh that saves less of the height of two boxes than this share is none: pieces without teeth
/// lie as well one by one. Two stringers of 7 by 10-1/2 in teeth on a 13 in board save a fifth.
const LEAST_SAVED: f64 = 0.02;

/// The pairs of a search, each found when it is first asked for. What two kinds come to does not
/// hang on who asks first, so threads share them and change no outcome.
pub(super) struct Pairs {
    spacing: f64,
    /// Each kind of which some are wanted, its teeth up; `None` where it has none.
    toothed: Vec<Option<RotatedPiece>>,
    /// Kinds with teeth by size, and where in that list each stands.
    by_size: Vec<usize>,
    places: Vec<usize>,
    // A tree, not a hash table: nothing may hang on its order, and so nothing can.
    known: RwLock<Known>,
}

/// The blocks of two kinds, once they were looked for.
type Known = BTreeMap<(usize, usize), Arc<Vec<Block>>>;

/// Two pieces tooth in tooth, the lower left corner of their box at 0,0.
#[derive(Clone, Copy, Debug)]
pub(super) struct Block {
    members: [(usize, f64, Vector); 2],
    extent: Vector,
    /// The share of its box that the pieces cover.
    filled: f64,
}

impl Pairs {
    /// Of the kinds of a problem, `spacing` mm apart.
    pub(super) fn new(problem: &Problem, spacing: f64) -> Self {
        use rayon::prelude::*;
        let wanted = |kind: usize| problem.pieces().get(kind).filter(|p| p.count > 0);
        let kinds = problem.pieces().len();
        let toothed: Vec<Option<RotatedPiece>> = (0..kinds)
            .into_par_iter()
            .map(|kind| teeth_up(kind, &wanted(kind)?.outline, spacing))
            .collect();
        let size = |kind: usize| toothed[kind].as_ref().map_or(0.0, |p| p.bounds.width());
        let mut by_size: Vec<usize> = (0..kinds).filter(|kind| toothed[*kind].is_some()).collect();
        by_size.sort_by(|a, b| size(*a).total_cmp(&size(*b)).then(a.cmp(b)));
        let mut places = vec![0; kinds];
        by_size.iter().enumerate().for_each(|(at, kind)| places[*kind] = at);
        Self { spacing, toothed, by_size, places, known: RwLock::new(BTreeMap::new()) }
    }

    /// Whether any kind has teeth to mesh.
    pub(super) fn is_any(&self) -> bool {
        !self.by_size.is_empty()
    }

    /// Columns of blocks in a room, from the left, kinds by an order, no more of each than `left`
    /// says; what was laid is taken off.
    pub(super) fn columns(&self, order: &[usize], left: &mut [usize], room: Bounds) -> Vec<Placed> {
        let mut placed = Vec::new();
        let mut x = room.min.x;
        loop {
            let (mut y, mut width) = (room.min.y, 0.0_f64);
            while let Some(block) = self.fitting(order, left, room.max - Point::new(x, y)) {
                placed.extend(block.placed(Vector::new(x, y)));
                block.members.iter().for_each(|(kind, _, _)| left[*kind] -= 1);
                y += block.extent.y + self.spacing;
                width = width.max(block.extent.x);
            }
            if width == 0.0 {
                return placed;
            }
            x += width + self.spacing;
        }
    }

    /// The best block with one of the first kinds of an order that goes into a room.
    fn fitting(&self, order: &[usize], left: &[usize], room: Vector) -> Option<Block> {
        let is_low = |kind: &usize| {
            let piece = self.toothed[*kind].as_ref().filter(|_| left[*kind] > 0);
            piece.is_some_and(|p| p.bounds.width() <= room.x && p.bounds.height() <= room.y)
        };
        let mut firsts = order.iter().copied().filter(is_low).take(FIRSTS);
        firsts.find_map(|kind| self.best_of(kind, left, room))
    }

    /// The fullest block of a kind and one of those most alike that goes into a room.
    fn best_of(&self, kind: usize, left: &[usize], room: Vector) -> Option<Block> {
        let fits = |block: &&Block| block.extent.x <= room.x && block.extent.y <= room.y;
        let mut best: Option<Block> = None;
        for partner in self.partners(kind, left) {
            let Some(block) = self.meshed(kind, partner).iter().find(fits).copied() else {
                continue;
            };
            if best.is_none_or(|b| block.filled > b.filled) {
                best = Some(block);
            }
        }
        best
    }

    /// The kinds most alike in length of which some are left, the kind itself among them.
    fn partners(&self, kind: usize, left: &[usize]) -> Vec<usize> {
        let length = |k: usize| self.toothed[k].as_ref().map_or(0.0, |p| p.bounds.width());
        let off = |k: usize| (length(k) - length(kind)).abs();
        let is_left = |k: &usize| left[*k] > usize::from(*k == kind);
        let at = self.places[kind];
        let mut near: Vec<usize> =
            self.by_size[..at].iter().rev().copied().filter(is_left).take(PARTNERS).collect();
        near.extend(self.by_size[at..].iter().copied().filter(is_left).take(PARTNERS));
        near.sort_by(|a, b| off(*a).total_cmp(&off(*b)).then(a.cmp(b)));
        near.truncate(PARTNERS);
        near
    }

    /// The blocks of two kinds, the fullest first.
    fn meshed(&self, one: usize, other: usize) -> Arc<Vec<Block>> {
        // Turned half round a block is one of the same kinds the other way round.
        let key = (one.min(other), one.max(other));
        // A table of finished blocks is whole at every moment, whichever thread ended badly.
        let known = self.known.read().unwrap_or_else(PoisonError::into_inner);
        if let Some(blocks) = known.get(&key) {
            return Arc::clone(blocks);
        }
        drop(known);
        let blocks = match (&self.toothed[key.0], &self.toothed[key.1]) {
            (Some(under), Some(over)) => blocks(under, &half_turned(over), self.spacing),
            _ => Vec::new(),
        };
        let mut known = self.known.write().unwrap_or_else(PoisonError::into_inner);
        Arc::clone(known.entry(key).or_insert_with(|| Arc::new(blocks)))
    }
}

impl Block {
    fn placed(&self, by: Vector) -> impl Iterator<Item = Placed> + '_ {
        self.members.iter().map(move |(piece, angle, at)| Placed {
            piece: *piece,
            placement: crate::geometry::Placement::new(at + by, *angle),
        })
    }
}

/// A kind at the angle, of none and half round, at which its like meshes with it from above; `None`
/// where that saves next to nothing.
fn teeth_up(kind: usize, outline: &[Point], spacing: f64) -> Option<RotatedPiece> {
    let pieces = [0.0, PI].map(|angle| RotatedPiece::new(kind, outline, angle));
    let lowest = |piece: RotatedPiece| {
        let height = blocks(&piece, &half_turned(&piece), spacing).first()?.extent.y;
        Some((height, piece))
    };
    let (height, piece) = pieces
        .into_iter()
        .flatten()
        .filter_map(lowest)
        .reduce(|a, b| if b.0 < a.0 { b } else { a })?;
    let boxes = 2.0 * piece.bounds.height() + spacing;
    (height <= boxes * (1.0 - LEAST_SAVED)).then_some(piece)
}

/// A piece half round from where it is.
fn half_turned(piece: &RotatedPiece) -> RotatedPiece {
    let points: Vec<Point> = piece.points.iter().map(|p| -*p).collect();
    let Bounds { min, max } = piece.bounds;
    let angle = if piece.angle == 0.0 { PI } else { 0.0 };
    RotatedPiece { piece: piece.piece, angle, points, bounds: Bounds { min: -max, max: -min } }
}

/// The blocks of two pieces as they are turned, the upper one in its seats in the lower one, the
/// fullest first.
fn blocks(under: &RotatedPiece, over: &RotatedPiece, spacing: f64) -> Vec<Block> {
    let seats = NoFitSlicer::along_y(&under.points, &over.points, spacing).seats();
    let covered = area(&under.points) + area(&over.points);
    let block = |(x, y): (f64, f64)| {
        let at = Vector::new(x, y);
        let around =
            under.bounds.joined(Bounds { min: over.bounds.min + at, max: over.bounds.max + at });
        let corner = around.min.coords;
        let members = [(under.piece, under.angle, -corner), (over.piece, over.angle, at - corner)];
        let extent = around.max - around.min;
        Block { members, extent, filled: covered / box_area(around) }
    };
    let mut found: Vec<Block> = seats.into_iter().map(block).collect();
    // The fullest, not the lowest: far aside few teeth meet, which are then deep in each other.
    // Shares are compared rounded: seats come out of a numeric search, and which of two equal ones
    // is fuller by 1e-12 must not decide.
    let rounded = |block: &Block| (block.filled / SAME_SHARE).round();
    found.sort_by(|a, b| rounded(b).total_cmp(&rounded(a)));
    found.truncate(SEATS);
    found
}

/// Blocks filled to shares that differ by less are equally full: far above what the search for a
/// seat is off by, far below what a layout would notice.
const SAME_SHARE: f64 = 1e-9;
