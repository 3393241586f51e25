//! Blocks of columns: one block, and one or two more in what it leaves at its side and above it.

use super::column::{Column, Couple, ROUNDING_MM};
use super::problem::{Lying, Turns};
use super::field::Field;
use crate::geometry::{Bounds, Placement, Point, Vector};
use std::f64::consts::{FRAC_PI_2, PI};

/// Every column worth trying of one kind of piece on one field.
pub(super) struct Stacks {
    parts: Vec<(Couple, Vec<Column>)>,
    ways: &'static [Way],
}

/// How a block lies on the field.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Way {
    /// As the piece does.
    Along,
    /// Turned a quarter.
    Across,
}

/// A rectangle filled with `across` columns of `high` members.
#[derive(Clone, Copy, Debug)]
struct Block {
    couple: usize,
    column: usize,
    high: usize,
    across: usize,
    way: Way,
    room: Bounds,
}

impl Block {
    fn count(&self) -> usize {
        self.high * self.across
    }
}

/// Slips tried for a column.
const SLIPS: usize = 4;
/// How many fewer members and columns than fit are tried, to leave room for another block.
const FEWER: usize = 4;
/// Layouts handed on.
const KEPT: usize = 6;

impl Stacks {
    /// The columns of piece number `piece`, for a field of this extent.
    pub fn new(piece: usize, outline: &[Point], turns: Turns, field: &Field, most: usize) -> Stacks {
        let height = match turns {
            Turns::Half => field.usable.height(),
            Turns::Quarter | Turns::Any => field.usable.height().max(field.usable.width()),
        };
        let ways: &[Way] = if turns == Turns::Half { &[Way::Along] } else { &[Way::Along, Way::Across] };
        let couples = [PI, 0.0].into_iter().filter_map(|a| Couple::new(piece, outline, a, field.spacing));
        let parts = couples.map(|couple| {
            let mut slips: Vec<f64> = couple.seats().iter().take(SLIPS).map(|v| v.x).collect();
            slips.push(couple.shapes[0].bounds.min.x - couple.shapes[1].bounds.min.x);
            let starts = slips.iter().flat_map(|s| [(*s, 0), (*s, 1)]);
            let columns = starts.map(|(slip, first)| Column::new(&couple, slip, first, height, most)).collect();
            (couple, columns)
        });
        Stacks { parts: parts.collect(), ways }
    }

    /// The best layouts found in a rectangle, the fullest first.
    pub fn layouts(&self, room: Bounds, spacing: f64) -> Vec<Vec<Lying>> {
        let mut plans: Vec<(usize, Vec<Block>)> = Vec::new();
        for block in self.blocks(room, FEWER) {
            for pair in self.beside(&block, spacing) {
                let plan: Vec<Block> = [block].into_iter().chain(pair).filter(|b| b.count() > 0).collect();
                plans.push((plan.iter().map(Block::count).sum(), plan));
            }
        }
        plans.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.len().cmp(&b.1.len())));
        plans.truncate(KEPT);
        plans.iter().map(|(_, plan)| plan.iter().flat_map(|b| self.lying(b)).collect()).collect()
    }

    /// Blocks in the lower left corner of a rectangle, with up to `fewer` members and columns less than fit.
    fn blocks(&self, room: Bounds, fewer: usize) -> Vec<Block> {
        let mut blocks = Vec::new();
        for &way in self.ways {
            let (length, height) = turned(way, room);
            for (couple, (_, columns)) in self.parts.iter().enumerate() {
                for (column, col) in columns.iter().enumerate() {
                    let most = col.fitting(height);
                    for high in (1..=most).rev().take(fewer + 1) {
                        let wide = col.beside(high, length);
                        for across in (1..=wide).rev().take(fewer + 1) {
                            blocks.push(Block { couple, column, high, across, way, room });
                        }
                    }
                }
            }
        }
        blocks
    }

    /// The best pairs of blocks beside and above a block, the dividing line running up or across.
    fn beside(&self, block: &Block, spacing: f64) -> [Vec<Block>; 2] {
        let column = &self.parts[block.couple].1[block.column];
        let along = (column.length(block.high, block.across), column.bounds(block.high).height());
        let (x, y) = if block.way == Way::Along { along } else { (along.1, along.0) };
        let room = block.room;
        let (x, y) = (room.min.x + x + spacing, room.min.y + y + spacing);
        let rectangle = |x0, y0, x1, y1| Bounds { min: Point::new(x0, y0), max: Point::new(x1, y1) };
        let up = [rectangle(x, room.min.y, room.max.x, room.max.y), rectangle(room.min.x, y, x - spacing, room.max.y)];
        let level =
            [rectangle(room.min.x, y, room.max.x, room.max.y), rectangle(x, room.min.y, room.max.x, y - spacing)];
        [up, level].map(|rooms| rooms.iter().filter_map(|r| self.fullest(*r)).collect())
    }

    /// The fullest single block in a rectangle.
    fn fullest(&self, room: Bounds) -> Option<Block> {
        if room.width() <= 0.0 || room.height() <= 0.0 {
            return None;
        }
        self.blocks(room, 0).into_iter().max_by_key(Block::count)
    }

    fn lying(&self, block: &Block) -> Vec<Lying> {
        let (couple, columns) = &self.parts[block.couple];
        let place = match block.way {
            Way::Along => Placement::new(block.room.min.coords, 0.0),
            Way::Across => {
                let column = &columns[block.column];
                let top = block.room.min.y + column.length(block.high, block.across);
                Placement::new(Vector::new(block.room.min.x, top), -FRAC_PI_2)
            }
        };
        let lying = columns[block.column].lying(couple, block.high, block.across);
        lying.into_iter().map(|l| Lying { piece: l.piece, placement: place * l.placement }).collect()
    }
}

fn turned(way: Way, room: Bounds) -> (f64, f64) {
    let (w, h) = (room.width() + ROUNDING_MM, room.height() + ROUNDING_MM);
    if way == Way::Along { (w, h) } else { (h, w) }
}
