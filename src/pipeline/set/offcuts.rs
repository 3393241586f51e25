//! Offcuts of sheets that lie in the rack: what would take one more sheet is cut from them instead,
//! where they cost less.

use super::nested::Nested;
use super::rack::SheetPrice;
use super::table::Table;
use crate::geometry::Bounds;
use crate::job::{Held, Stock};
use crate::optimise::nesting::{self, Effort, NestingError, Piece, Problem, SheetLayout, Watch};
use crate::units::Length;

/// The offcut that a layout is for: its entry in the stock file, and its size along the grain and
/// across.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SheetOffcut {
    /// Which of the file's sheets.
    pub entry: usize,
    /// Its size.
    pub size: [Length; 2],
}

/// An offcut with what lies on it.
pub(super) struct OnOffcut<'a> {
    pub offcut: SheetOffcut,
    pub table: Table<'a>,
    pub nested: Nested,
}

/// Who looks for room on offcuts, and how.
pub(super) struct Search<'a, 's> {
    /// What lies whole on the machine.
    pub table: &'s Table<'a>,
    pub pieces: &'s [Piece],
    pub spacing: Length,
    pub effort: u32,
    pub watch: &'s Watch<'s>,
}

impl<'a> Search<'a, '_> {
    /// Takes sheet after sheet, the emptiest first, off a nest and puts its pieces on offcuts, as
    /// long as those hold all of them for less than the sheet costs.
    ///
    /// A sheet's pieces go on the smallest offcut that holds them all; where none does, on the one
    /// that takes most of them, and what is left in the same way on the others: first fit
    /// decreasing, by area. So no sheet more is ever taken than without offcuts.
    pub(super) fn relieved(&self, nested: &mut Nested, rack: &Stock) -> Vec<OnOffcut<'a>> {
        let price = SheetPrice::of(rack, self.table.material_name());
        let mut at_hand = self.at_hand(rack, price);
        let mut all = Vec::new();
        while let Some(emptiest) = self.emptiest(&nested.nesting.sheets) {
            let mut wanted = vec![0; self.pieces.len()];
            nested.nesting.sheets[emptiest].placed.iter().for_each(|of| wanted[of.piece] += 1);
            let Some(found) = self.held_by(&at_hand, wanted) else { break };
            let entries = found.iter().map(|of| &rack.sheets[of.offcut.entry]);
            if !price.is_above(entries) {
                break;
            }
            for of in &found {
                let taken = at_hand.iter().position(|offcut| *offcut == of.offcut);
                at_hand.remove(taken.expect("what was found was at hand"));
            }
            all.extend(found);
            let sheet = &mut nested.nesting.sheets[emptiest];
            sheet.times -= 1;
            if sheet.times == 0 {
                nested.nesting.sheets.remove(emptiest);
            }
        }
        all
    }

    /// Every offcut that may be taken, the smallest first, as often as it lies there; of one kind
    /// no more than there are pieces.
    fn at_hand(&self, rack: &Stock, price: SheetPrice) -> Vec<SheetOffcut> {
        let most: usize = self.pieces.iter().map(|piece| piece.count).sum();
        let may_be_taken = |(_, held): &(usize, &Held)| price.is_above(std::iter::once(*held));
        let mut all: Vec<SheetOffcut> = Vec::new();
        for (entry, held) in rack.sheet_offcuts_of(self.table.material_name()).filter(may_be_taken)
        {
            let Some(size) = held.size() else { continue };
            let count = held.count.map_or(0, |count| count.min(most));
            all.extend(std::iter::repeat_n(SheetOffcut { entry, size }, count));
        }
        all.sort_by(|a, b| area(a.size).total_cmp(&area(b.size)));
        all
    }

    /// The sheet with the least of wood on it.
    fn emptiest(&self, sheets: &[SheetLayout]) -> Option<usize> {
        (0..sheets.len()).min_by(|&a, &b| self.area(&sheets[a]).total_cmp(&self.area(&sheets[b])))
    }

    fn area(&self, layout: &SheetLayout) -> f64 {
        layout.placed.iter().map(|of| self.boxed_area(of.piece)).sum()
    }

    /// That of a piece's box: all that is asked is which is less.
    fn boxed_area(&self, piece: usize) -> f64 {
        let around = Bounds::around(self.pieces[piece].outline.iter().copied());
        around.map_or(0.0, |around| around.width() * around.height())
    }

    /// Offcuts that hold so many of each kind.
    fn held_by(
        &self,
        at_hand: &[SheetOffcut],
        mut wanted: Vec<usize>,
    ) -> Option<Vec<OnOffcut<'a>>> {
        let mut free: Vec<SheetOffcut> = at_hand.to_vec();
        let mut found: Vec<OnOffcut<'a>> = Vec::new();
        while wanted.iter().any(|count| *count > 0) {
            let count: usize = wanted.iter().sum();
            let mut best: Option<(usize, OnOffcut<'a>)> = None;
            let mut tried = None;
            for offcut in &free {
                // One of the same size takes just the same.
                if tried == Some(offcut.size) {
                    continue;
                }
                tried = Some(offcut.size);
                let Some((taken, on)) = self.on(*offcut, &wanted) else { continue };
                if best.as_ref().is_none_or(|(most, _)| taken > *most) {
                    best = Some((taken, on));
                }
                if taken == count {
                    break;
                }
            }
            let (_, best) = best?;
            let at = free.iter().position(|of| *of == best.offcut)?;
            free.remove(at);
            best.nested.nesting.sheets[0].placed.iter().for_each(|of| wanted[of.piece] -= 1);
            found.push(best);
        }
        Some(found)
    }

    /// How many pieces an offcut takes, and how they lie.
    fn on(&self, offcut: SheetOffcut, wanted: &[usize]) -> Option<(usize, OnOffcut<'a>)> {
        let table = self.table.of_size(offcut.size);
        if !table.takes_all_of(offcut.size) {
            return None;
        }
        let mut counts = wanted.to_vec();
        loop {
            let pieces = self.pieces.iter().zip(&counts);
            let pieces = pieces.map(|(piece, &count)| Piece { count, ..piece.clone() }).collect();
            let problem = Problem::new(pieces, table.size(), self.spacing.as_mm()).ok()?;
            let effort = Effort { level: self.effort, seed: 1 };
            let nesting = match nesting::nest_watched(&problem, effort, &self.watch.untold()) {
                Ok(nesting) => nesting,
                // What is too large for it stays for another one.
                Err(NestingError::TooLarge(piece)) => {
                    counts[piece] = 0;
                    if counts.iter().all(|count| *count == 0) {
                        return None;
                    }
                    continue;
                }
                Err(_) => return None,
            };
            let mut nested = Nested { problem, nesting };
            let fullest = nested.nesting.sheets.drain(..).max_by_key(|of| of.placed.len())?;
            let taken = fullest.placed.len();
            nested.nesting.sheets.push(SheetLayout { times: 1, ..fullest });
            return Some((taken, OnOffcut { offcut, table, nested }));
        }
    }
}

fn area([length, width]: [Length; 2]) -> f64 {
    length.as_mm() * width.as_mm()
}
