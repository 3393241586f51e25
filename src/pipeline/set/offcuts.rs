//! Offcuts of sheets that lie in the rack: what would take one more sheet is cut from them instead,
//! where they cost less.

use super::nested::Nested;
use super::rack::{Saved, SheetPrices};
use super::table::Table;
use crate::job::Stock;
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

/// An offcut with what lies on it; several of one kind with each layout as often as it comes.
pub(super) struct OnOffcut<'a> {
    pub offcut: SheetOffcut,
    pub table: Table<'a>,
    pub nested: Nested,
}

/// What is cut from offcuts so far, and how many of each piece that is.
struct Moved<'a> {
    on: Vec<OnOffcut<'a>>,
    counts: Vec<usize>,
}

/// Which of several offcuts is taken first.
#[derive(Clone, Copy)]
enum Preferred {
    /// The one that takes most of what is left.
    Most,
    /// The one that costs least for each piece that it takes.
    Cheapest,
}

/// The most sizes of offcuts that are tried for the same pieces from either end of the list and of
/// the cheapest, and the most layouts that are tried for a sheet less: a rack of sixty kinds takes
/// no minute.
const MOST_SIZES: usize = 6;
const MOST_SHEETS: usize = 4;

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
    /// What was put on offcuts before is laid out anew with each sheet more, so that the room left
    /// on them is used: on the cheapest, else the smallest offcut that holds all of it; where none
    /// does, on the one that takes most, or costs least for a piece, whichever way comes to less in
    /// all, and what is left in the same way on the others. So no sheet more is ever taken than
    /// without offcuts.
    pub(super) fn relieved(&self, nested: &mut Nested, rack: &Stock) -> Vec<OnOffcut<'a>> {
        let prices = SheetPrices::of(rack, self.table.material_name());
        let at_hand = self.at_hand(rack);
        let mut moved = Moved { on: Vec::new(), counts: vec![0; self.pieces.len()] };
        while !self.watch.is_over() {
            let sheets = &mut nested.nesting.sheets;
            let saved = prices.of_last(sheets.iter().map(|of| of.times).sum());
            let affordable: Vec<SheetOffcut> =
                at_hand.iter().copied().filter(|of| saved.is_above(price_of(rack, of))).collect();
            let Some((emptied, now)) = self.one_less(sheets, (rack, saved), &affordable, &moved)
            else {
                break;
            };
            moved = now;
            sheets[emptied].times -= 1;
            if sheets[emptied].times == 0 {
                sheets.remove(emptied);
            }
        }
        by_kind(moved.on)
    }

    /// The first sheet whose pieces find room on offcuts, with all that was moved before, for less
    /// than is saved; and how they lie there.
    fn one_less(
        &self,
        sheets: &[SheetLayout],
        (rack, saved): (&Stock, Saved),
        affordable: &[SheetOffcut],
        moved: &Moved<'a>,
    ) -> Option<(usize, Moved<'a>)> {
        // What was taken without a price, where there was no sheet, saves nothing when it is given
        // back.
        let cost = |of: &[OnOffcut<'_>]| -> f64 {
            of.iter().map(|of| price_of(rack, &of.offcut)).filter(|price| price.is_finite()).sum()
        };
        self.emptiest_first(sheets).into_iter().find_map(|emptiest| {
            let mut counts = moved.counts.clone();
            sheets[emptiest].placed.iter().for_each(|of| counts[of.piece] += 1);
            let held = [Preferred::Most, Preferred::Cheapest]
                .into_iter()
                .filter_map(|rule| self.held_by(affordable, counts.clone(), (rule, rack)));
            let on = held.min_by(|a, b| cost(a).total_cmp(&cost(b)))?;
            let is_worth_it = saved.is_above(cost(&on) - cost(&moved.on));
            is_worth_it.then_some((emptiest, Moved { on, counts }))
        })
    }

    /// Every offcut, the smallest first, as often as it lies there; of one kind no more than there
    /// are pieces.
    fn at_hand(&self, rack: &Stock) -> Vec<SheetOffcut> {
        let most: usize = self.pieces.iter().map(|piece| piece.count).sum();
        let mut all: Vec<SheetOffcut> = Vec::new();
        for (entry, held) in rack.sheet_offcuts_of(self.table.material_name()) {
            let Some(size) = held.size() else { continue };
            let count = held.count.map_or(0, |count| count.min(most));
            all.extend(std::iter::repeat_n(SheetOffcut { entry, size }, count));
        }
        let price = |of: &SheetOffcut| price_of(rack, of);
        let size = |of: &SheetOffcut| of.size.map(Length::as_mm);
        all.sort_by(|a, b| {
            let by_area = area(a.size).total_cmp(&area(b.size));
            let by_size = size(a)[0].total_cmp(&size(b)[0]);
            by_area.then(by_size).then(price(a).total_cmp(&price(b)))
        });
        all
    }

    /// The layouts, those with the least of wood on them first.
    fn emptiest_first(&self, sheets: &[SheetLayout]) -> Vec<usize> {
        let mut all: Vec<usize> = (0..sheets.len()).collect();
        all.sort_by(|&a, &b| self.area(&sheets[a]).total_cmp(&self.area(&sheets[b])));
        all.truncate(MOST_SHEETS);
        all
    }

    fn area(&self, layout: &SheetLayout) -> f64 {
        layout.placed.iter().map(|of| self.pieces[of.piece].area()).sum()
    }

    /// Offcuts that hold so many of each kind, taken one after the other by a rule.
    fn held_by(
        &self,
        at_hand: &[SheetOffcut],
        mut wanted: Vec<usize>,
        (rule, rack): (Preferred, &Stock),
    ) -> Option<Vec<OnOffcut<'a>>> {
        let price = |of: &SheetOffcut| price_of(rack, of);
        let mut free: Vec<SheetOffcut> = at_hand.to_vec();
        let mut found: Vec<OnOffcut<'a>> = Vec::new();
        while wanted.iter().any(|count| *count > 0) {
            let count: usize = wanted.iter().sum();
            let mut best: Option<(f64, OnOffcut<'a>)> = None;
            for offcut in self.worth_trying(&free, &wanted, rack) {
                if self.watch.is_over() {
                    return None;
                }
                // Nothing is better than all of it for less.
                let own = price(&offcut);
                let is_dearer = |(_, of): &(f64, OnOffcut<'a>)| {
                    own >= price(&of.offcut) && of.nested.nesting.sheets[0].placed.len() == count
                };
                if best.as_ref().is_some_and(is_dearer) {
                    continue;
                }
                let Some((taken, on)) = self.on(offcut, &wanted) else { continue };
                let taken = taken as f64;
                let rank = match rule {
                    Preferred::Most => taken,
                    Preferred::Cheapest => -own / taken,
                };
                let is_better = |(most, of): &(f64, OnOffcut<'a>)| {
                    rank > *most || rank >= *most && own < price(&of.offcut)
                };
                if best.as_ref().is_none_or(is_better) {
                    best = Some((rank, on));
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

    /// The cheapest of each size: the smallest that are as large as all of these pieces, the
    /// cheapest of all, then the largest.
    fn worth_trying(
        &self,
        free: &[SheetOffcut],
        wanted: &[usize],
        rack: &Stock,
    ) -> Vec<SheetOffcut> {
        let price = |of: &SheetOffcut| price_of(rack, of);
        let mut sizes: Vec<SheetOffcut> = free.to_vec();
        sizes.dedup_by_key(|of| of.size);
        let area_of = |(piece, count): (&Piece, &usize)| piece.area() * *count as f64;
        let needed: f64 = self.pieces.iter().zip(wanted).map(area_of).sum();
        let enough = sizes.partition_point(|of| area(of.size) < needed);
        let mut tried: Vec<SheetOffcut> =
            sizes[enough..].iter().take(MOST_SIZES).copied().collect();
        let mut cheap: Vec<SheetOffcut> = sizes.clone();
        cheap.sort_by(|a, b| price(a).total_cmp(&price(b)));
        let large = sizes.iter().rev().take(MOST_SIZES);
        for of in cheap.iter().take(MOST_SIZES).chain(large) {
            if !tried.contains(of) {
                tried.push(*of);
            }
        }
        tried
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

/// What an offcut costs; without end where nobody said, for it is not for nothing.
fn price_of(rack: &Stock, of: &SheetOffcut) -> f64 {
    rack.sheets[of.entry].price.unwrap_or(f64::INFINITY)
}

/// Offcuts of one kind together: those on which pieces lie alike are cut by the same programs.
fn by_kind(all: Vec<OnOffcut<'_>>) -> Vec<OnOffcut<'_>> {
    let mut kinds: Vec<OnOffcut<'_>> = Vec::new();
    for one in all {
        let Some(kind) = kinds.iter_mut().find(|kind| kind.offcut == one.offcut) else {
            kinds.push(one);
            continue;
        };
        let layouts = &mut kind.nested.nesting.sheets;
        for layout in one.nested.nesting.sheets {
            match layouts.iter_mut().find(|of| of.placed == layout.placed) {
                Some(alike) => alike.times += layout.times,
                None => layouts.push(layout),
            }
        }
    }
    kinds
}

fn area([length, width]: [Length; 2]) -> f64 {
    length.as_mm() * width.as_mm()
}
