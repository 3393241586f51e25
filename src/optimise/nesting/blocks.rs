//! Blocks of columns: one block, and one or two more in what it leaves at its side and above it.
//!
//! The three-block pattern of pallet loading (A. Smith, P. De Cani, An algorithm to optimize the
//! layout of boxes in pallets, 1980, from memory), with columns of meshed pieces in the place of
//! rows of boxes. For c kinds of column, at most 5 heights and 5 widths each are tried, each with
//! the fullest block in two rectangles: O(c^2).

use super::column::{Column, PiecePair, ROUNDING_MM};
use super::field::Field;
use super::problem::{Piece, Placed, Rotations};
use crate::geometry::{Bounds, Placement, Point, Vector};
use std::f64::consts::{FRAC_PI_2, PI};

/// Every column worth trying of one kind of piece on one field.
pub(super) struct Blocks {
    parts: Vec<(PiecePair, Vec<Column>)>,
    facings: &'static [Facing],
}

/// How a block lies on the field.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Facing {
    /// As the piece does.
    Along,
    /// Turned a quarter.
    Across,
}

/// A rectangle filled with `across` columns of `high` members.
#[derive(Clone, Copy, Debug)]
struct Block {
    pair: usize,
    column: usize,
    high: usize,
    across: usize,
    facing: Facing,
    room: Bounds,
}

impl Block {
    fn count(&self) -> usize {
        self.high * self.across
    }
}

/// Slips tried for a column: the deepest seats. By trial; one tooth more or less aside is rarely
/// better, but may just fit the sheet.
const SLIPS: usize = 4;
/// How many fewer members and columns than fit are tried, to leave room for another block.
const FEWER: usize = 4;
/// Layouts handed on, to be filled up and checked.
const KEPT: usize = 6;

impl Blocks {
    /// The columns of piece number `kind`, for a field of this extent.
    pub(super) fn new(kind: usize, piece: &Piece, field: &Field) -> Self {
        let (width, height) = (field.usable.width(), field.usable.height());
        let (facings, height): (&'static [Facing], f64) = match piece.rotations {
            Rotations::Half => (&[Facing::Along], height),
            Rotations::Quarter | Rotations::Any => {
                (&[Facing::Along, Facing::Across], height.max(width))
            }
        };
        // Unturned partners too: pieces without teeth may stack better all one way round.
        let pairs = [PI, 0.0]
            .into_iter()
            .filter_map(|a| PiecePair::new(kind, &piece.outline, a, field.spacing));
        let parts = pairs.map(|pair| {
            let columns = columns(&pair, height, piece.count);
            (pair, columns)
        });
        Self { parts: parts.collect(), facings }
    }

    /// The best layouts found in a rectangle, the fullest first.
    pub(super) fn layouts(&self, room: Bounds, spacing: f64) -> Vec<Vec<Placed>> {
        let mut plans: Vec<(usize, Vec<Block>)> = Vec::new();
        for block in self.blocks(room, FEWER) {
            for pair in self.beside(&block, spacing) {
                let plan = [block].into_iter().chain(pair);
                let plan: Vec<Block> = plan.filter(|b| b.count() > 0).collect();
                plans.push((plan.iter().map(Block::count).sum(), plan));
            }
        }
        // Of equal counts the one of fewer blocks: it leaves its waste in one place.
        plans.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.len().cmp(&b.1.len())));
        plans.truncate(KEPT);
        let placed = |plan: &Vec<Block>| plan.iter().flat_map(|b| self.placed(b)).collect();
        plans.iter().map(|(_, plan)| placed(plan)).collect()
    }

    /// Blocks in the lower left corner of a rectangle, with up to `fewer` members and columns less
    /// than fit.
    fn blocks(&self, room: Bounds, fewer: usize) -> Vec<Block> {
        let mut blocks = Vec::new();
        for &facing in self.facings {
            let (length, height) = extent(facing, room);
            for (pair, (_, columns)) in self.parts.iter().enumerate() {
                for (column, col) in columns.iter().enumerate() {
                    // Fuller ones first: of equal counts the first found stays.
                    for high in (1..=col.fitting(height)).rev().take(fewer + 1) {
                        for across in (1..=col.beside(high, length)).rev().take(fewer + 1) {
                            blocks.push(Block { pair, column, high, across, facing, room });
                        }
                    }
                }
            }
        }
        blocks
    }

    /// The best pairs of blocks beside and above a block, the dividing line running up or across.
    fn beside(&self, block: &Block, spacing: f64) -> [Vec<Block>; 2] {
        let column = &self.parts[block.pair].1[block.column];
        let length = column.length(block.high, block.across);
        let height = column.bounds(block.high).height();
        let (x, y) = match block.facing {
            Facing::Along => (length, height),
            Facing::Across => (height, length),
        };
        let Bounds { min, max } = block.room;
        let (x, y) = (min.x + x + spacing, min.y + y + spacing);
        let up = [rectangle(x, min.y, max.x, max.y), rectangle(min.x, y, x - spacing, max.y)];
        let level = [rectangle(min.x, y, max.x, max.y), rectangle(x, min.y, max.x, y - spacing)];
        [up, level].map(|rooms| rooms.iter().filter_map(|r| self.fullest(*r)).collect())
    }

    /// The fullest single block in a rectangle.
    fn fullest(&self, room: Bounds) -> Option<Block> {
        if room.width() <= 0.0 || room.height() <= 0.0 {
            return None;
        }
        self.blocks(room, 0).into_iter().max_by_key(Block::count)
    }

    fn placed(&self, block: &Block) -> Vec<Placed> {
        let (pair, columns) = &self.parts[block.pair];
        let column = &columns[block.column];
        let corner = block.room.min;
        let place = match block.facing {
            Facing::Along => Placement::new(corner.coords, 0.0),
            // Turned clockwise the block hangs below its corner: that goes up by its length.
            Facing::Across => {
                let top = corner.y + column.length(block.high, block.across);
                Placement::new(Vector::new(corner.x, top), -FRAC_PI_2)
            }
        };
        let placed = column.placed(pair, block.high, block.across).into_iter();
        placed.map(|p| Placed { piece: p.piece, placement: place * p.placement }).collect()
    }
}

/// Columns of a pair up to a height: at its deepest seats and with left edges in line, each
/// beginning with either of the pair.
fn columns(pair: &PiecePair, height: f64, most: usize) -> Vec<Column> {
    let mut slips: Vec<f64> = pair.seats().iter().take(SLIPS).map(|v| v.x).collect();
    // Left edges in line: what rectangles and other pieces without teeth want.
    slips.push(pair.shapes[0].bounds.min.x - pair.shapes[1].bounds.min.x);
    let starts = slips.iter().flat_map(|s| [(*s, 0), (*s, 1)]);
    starts.map(|(slip, first)| Column::new(pair, slip, first, height, most)).collect()
}

fn rectangle(x0: f64, y0: f64, x1: f64, y1: f64) -> Bounds {
    Bounds { min: Point::new(x0, y0), max: Point::new(x1, y1) }
}

/// Length and height of a room as a block of that facing sees it.
fn extent(facing: Facing, room: Bounds) -> (f64, f64) {
    let (w, h) = (room.width() + ROUNDING_MM, room.height() + ROUNDING_MM);
    match facing {
        Facing::Along => (w, h),
        Facing::Across => (h, w),
    }
}
