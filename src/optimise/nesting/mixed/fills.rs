//! Ways of laying several kinds on one sheet: a block of meshed pairs of one kind, columns of pairs
//! of any kinds, or nothing, and left fill in some order for the rest. Each is a value, so that
//! many are worked off at once, on as many threads as there are, and come back in their order.

use super::pairs::Pairs;
use super::pool::Layout;
use crate::geometry::{Bounds, Placement};
use crate::nesting::blocks::Blocks;
use crate::nesting::column::PiecePair;
use crate::nesting::field::Field;
use crate::nesting::layout::remnant;
use crate::nesting::layout_check::check;
use crate::nesting::left_fill::{LeftFill, by_size};
use crate::nesting::meetings::Meetings;
use crate::nesting::methods::off_kept_out;
use crate::nesting::problem::{Placed, Problem, Rotations, box_area};
use crate::nesting::rotated_rows::RotatedRows;
use crate::nesting::watch::Watch;
use rayon::prelude::*;
use std::f64::consts::FRAC_PI_2;
use std::sync::OnceLock;

/// What sheets are filled with.
pub(super) struct Room<'a> {
    pub problem: &'a Problem,
    pub field: &'a Field,
    /// The field turned a quarter, and the way back.
    quarter: (Field, Placement),
    meetings: Meetings,
    quarter_meetings: Meetings,
    pairs: OnceLock<Pairs>,
    pub watch: &'a Watch<'a>,
}

/// Pieces of one kind that a sheet begins with, all of them as full as was found.
pub(super) struct Base {
    placed: Vec<Placed>,
    /// What fills up lies at this angle to its own, in radians.
    turn: f64,
}

impl Base {
    /// How many pieces.
    pub(super) fn len(&self) -> usize {
        self.placed.len()
    }
}

/// One way of filling a sheet.
pub(super) struct Fill<'a> {
    pub start: Start<'a>,
    /// The kinds in the order in which they are put in.
    pub order: Vec<usize>,
    /// From the bottom instead of from the left; pairs stand a quarter turned. For fills without a
    /// block.
    pub across: bool,
    /// Where chance decides about angles and places, its seed.
    pub chance: Option<u64>,
}

/// What a sheet begins with.
#[derive(Clone, Copy)]
pub(super) enum Start<'a> {
    Nothing,
    /// A block of one kind, how many pieces of it stay, and on which side of the sheet.
    Block(&'a Base, usize, Side),
    /// Columns of pairs of any kinds.
    Pairs,
}

/// Where what stays of a block lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Side {
    Left,
    Bottom,
}

/// How layouts are found, in plain words.
const MESHED: &str = "stacks of meshed pairs, filled up";
const ONE_BY_ONE: &str = "one by one from a corner";

/// Slices of no-fit polygons looked at for one fill: so the work is bounded whatever the pieces.
const SLICES: usize = 60_000;
/// Blocks kept of one kind on one stretch of the sheet.
const KEPT: usize = 3;

impl<'a> Room<'a> {
    pub(super) fn new(problem: &'a Problem, field: &'a Field, watch: &'a Watch<'a>) -> Self {
        let quarter = field.quarter();
        let meetings = Meetings::new(problem.pieces(), field);
        let quarter_meetings = Meetings::new(problem.pieces(), &quarter.0);
        let pairs = OnceLock::new();
        Self { problem, field, quarter, meetings, quarter_meetings, pairs, watch }
    }

    /// The pairs of all kinds, made when they are first asked for.
    pub(super) fn pairs(&self) -> &Pairs {
        // Made on the thread that asks: the others that wait here wait for no work of their own.
        self.pairs.get_or_init(|| Pairs::new(self.problem, self.field.spacing))
    }

    /// Works fills off, no more of each kind than `most`; valid layouts only, in order. Once the
    /// watch says so nothing more is begun.
    pub(super) fn filled(&self, fills: &[Fill<'_>], most: &[usize]) -> Vec<Layout> {
        let one = |fill: &Fill<'_>| {
            if self.watch.is_over() { None } else { self.layout(fill, most) }
        };
        fills.par_iter().map(one).collect::<Vec<_>>().into_iter().flatten().collect()
    }

    /// The same, watch or no watch.
    pub(super) fn layout(&self, fill: &Fill<'_>, most: &[usize]) -> Option<Layout> {
        let pieces = self.problem.pieces();
        let (placed, method) = match fill.start {
            Start::Block(base, keep, side) => {
                let placed = self.kept(&base.placed, keep, side);
                let mut left = most.to_vec();
                placed.iter().for_each(|p| left[p.piece] = left[p.piece].saturating_sub(1));
                (self.filled_up(placed, &fill.order, &left, base.turn), MESHED)
            }
            Start::Pairs => (self.on_pairs(fill, most), MESHED),
            Start::Nothing if fill.across => {
                let (field, back) = &self.quarter;
                let mut across = LeftFill::new(pieces, field, &self.quarter_meetings, &[], SLICES);
                fill.chance.into_iter().for_each(|seed| across.empty_again(seed));
                let turned = across.fill(&fill.order, most, FRAC_PI_2).into_iter();
                let placed = |p: Placed| Placed { piece: p.piece, placement: back * p.placement };
                (turned.map(placed).collect(), ONE_BY_ONE)
            }
            Start::Nothing => {
                let mut along = LeftFill::new(pieces, self.field, &self.meetings, &[], SLICES);
                fill.chance.into_iter().for_each(|seed| along.empty_again(seed));
                (along.fill(&fill.order, most, 0.0), ONE_BY_ONE)
            }
        };
        self.valid(placed, method)
    }

    /// A layout with more pieces put where they go, at angles from `turn` on, in radians.
    fn filled_up(
        &self,
        mut placed: Vec<Placed>,
        order: &[usize],
        left: &[usize],
        turn: f64,
    ) -> Vec<Placed> {
        let pieces = self.problem.pieces();
        let mut rest = LeftFill::new(pieces, self.field, &self.meetings, &placed, SLICES);
        placed.extend(rest.fill(order, left, turn));
        placed
    }

    /// Columns of pairs, along the sheet or a quarter turned, filled up.
    fn on_pairs(&self, fill: &Fill<'_>, most: &[usize]) -> Vec<Placed> {
        let field = if fill.across { &self.quarter.0 } else { self.field };
        // Blocks know no clamps: they keep to the part that is free of them.
        let Some(room) = field.free_rectangle() else { return Vec::new() };
        let mut left = most.to_vec();
        let mut placed = self.pairs().columns(&fill.order, &mut left, room);
        if fill.across {
            let back = self.quarter.1;
            placed.iter_mut().for_each(|p| p.placement = back * p.placement);
        }
        self.filled_up(placed, &fill.order, &left, 0.0)
    }

    /// Just these counts on one sheet, put in by size from the left or from the bottom, whichever
    /// leaves the larger rest; `None` where neither has room for all, nor pairs have.
    pub(super) fn with_all(&self, counts: &[usize]) -> Option<Layout> {
        let order = by_size(self.problem.pieces(), counts);
        let fill =
            |across| Fill { start: Start::Nothing, order: order.clone(), across, chance: None };
        let ways: Vec<Option<Layout>> =
            [false, true].par_iter().map(|across| self.layout(&fill(*across), counts)).collect();
        let whole = ways.into_iter().flatten().filter(|layout| layout.counts == counts);
        let larger = |a: Layout, b: Layout| {
            if self.remnant(&b.placed) > self.remnant(&a.placed) { b } else { a }
        };
        whole.reduce(larger).or_else(|| {
            let paired = Fill { start: Start::Pairs, order, across: false, chance: None };
            self.layout(&paired, counts).filter(|layout| layout.counts == counts)
        })
    }

    /// The area of the largest rest that a layout leaves of a sheet, in mm^2.
    pub(super) fn remnant(&self, placed: &[Placed]) -> f64 {
        box_area(remnant(self.problem, self.field.spacing, placed))
    }

    /// A layout that passes the independent check.
    pub(super) fn valid(&self, placed: Vec<Placed>, method: &'static str) -> Option<Layout> {
        let is_good = !placed.is_empty() && check(self.problem, &placed).is_ok();
        is_good.then(|| {
            let mut counts = vec![0; self.problem.pieces().len()];
            placed.iter().for_each(|p| counts[p.piece] += 1);
            Layout { counts, placed, method }
        })
    }

    /// The blocks of a kind that a sheet may begin with, the fullest first.
    pub(super) fn bases(&self, kind: usize) -> Vec<Base> {
        let piece = &self.problem.pieces()[kind];
        let blocks = Blocks::new(kind, piece, self.field);
        let mut rooms = vec![self.field.usable];
        if !self.field.keep_out.is_empty() {
            rooms.extend(self.field.free_rectangle());
        }
        let mut bases = Vec::new();
        for room in rooms {
            let laid = blocks.layouts(room, self.field.spacing).into_iter().take(KEPT);
            bases.extend(laid.map(|placed| Base { placed, turn: 0.0 }));
        }
        if let Some(pair) = PiecePair::half_turned(kind, &piece.outline, self.field.spacing) {
            let rows = RotatedRows::new(&pair, self.field.spacing);
            for rotated in rows.layouts(piece, self.field).into_iter().take(KEPT) {
                let turn = if piece.rotations == Rotations::Any { rotated.angle } else { 0.0 };
                bases.push(Base { placed: rotated.placed, turn });
            }
        }
        for base in &mut bases {
            base.placed = off_kept_out(self.problem, self.field, std::mem::take(&mut base.placed));
            // Constructions may hold more than are wanted on a sheet.
            base.placed = self.kept(&base.placed, piece.count, Side::Left);
        }
        bases.retain(|base| self.valid(base.placed.clone(), "").is_some());
        bases.sort_by_key(|base| std::cmp::Reverse(base.len()));
        bases
    }

    /// Those pieces of a layout that reach least far from a side, so many of them.
    pub(super) fn kept(&self, placed: &[Placed], keep: usize, side: Side) -> Vec<Placed> {
        let far = |p: &Placed| {
            let bounds = Bounds::around(self.problem.corners(p));
            bounds.map_or(f64::INFINITY, |b| if side == Side::Left { b.max.x } else { b.max.y })
        };
        let mut by_end: Vec<(f64, Placed)> = placed.iter().map(|p| (far(p), *p)).collect();
        by_end.sort_by(|a, b| a.0.total_cmp(&b.0));
        by_end.into_iter().take(keep).map(|(_, p)| p).collect()
    }
}
