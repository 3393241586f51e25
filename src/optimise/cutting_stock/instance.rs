//! A problem in whole numbers: pieces and rooms widened by one kerf, costs on their lattice.
//!
//! `n` pieces on a board need their lengths and `n - 1` kerfs. Widen every piece by a kerf, and the
//! board between its trims too: now n widths sum to no more than the room exactly when the pieces
//! fit, and no search has to think of kerfs. Whole numbers make that exact: a piece that ends at
//! the trim fits, on every machine.

use super::error::{Certainty, CuttingError};
use super::offer::{Saw, StockLength, Wanted};
use crate::units::Length;
use std::collections::BTreeMap;

/// Whole steps in a millimetre, and in a unit of cost: a million keep the longest problem, 1e6
/// pieces of 1e6 mm, within 63 bits.
const STEPS: f64 = 1e6;

/// Prices for their length that differ by less, of one, are the same: the rounding of a double.
const SAME_PRICE: f64 = 1e-12;

/// Pieces of one length.
#[derive(Clone, Debug)]
pub(super) struct Kind {
    /// Its length and one kerf.
    pub width: i64,
    pub count: usize,
    /// The entries of the problem that ask for it, and how often.
    pub entries: Vec<(usize, usize)>,
}

/// Boards of one length.
#[derive(Clone, Debug)]
pub(super) struct Stock {
    /// Between the trims, and one kerf: widths that sum to no more lie on the board.
    pub room: i64,
    /// In steps of the lattice.
    pub cost: i64,
    pub available: Option<usize>,
    /// The entry of the problem.
    pub entry: usize,
}

/// A valid problem. Kinds by falling width, stocks by rising room.
#[derive(Clone, Debug)]
pub(super) struct Instance {
    pub kinds: Vec<Kind>,
    pub stocks: Vec<Stock>,
    kerf: i64,
    /// How many whole steps of cost are one in the unit of the problem.
    steps_a_unit: f64,
    /// Whole steps of cost that every cost is a multiple of: the cost of any boards is one too, so
    /// a bound may be rounded up to the next.
    lattice: i64,
    /// Every width is a multiple of this: it makes the tables of the knapsack shorter.
    pub grain: i64,
}

/// What is still to be cut, and the boards still on offer.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub(super) struct Demand {
    pub counts: Vec<usize>,
    pub boards: Vec<Option<usize>>,
}

impl Demand {
    pub(super) fn pieces(&self) -> usize {
        self.counts.iter().sum()
    }

    pub(super) fn is_met(&self) -> bool {
        self.counts.iter().all(|&count| count == 0)
    }

    pub(super) fn offers(&self, stock: usize) -> bool {
        self.boards[stock] != Some(0)
    }
}

impl Instance {
    /// Of entries in range.
    pub(super) fn new(
        wanted: &[Wanted],
        offer: &[StockLength],
        saw: Saw,
    ) -> Result<Self, CuttingError> {
        let kerf = steps(saw.kerf);
        let room = |s: &StockLength| steps(s.length) - 2 * steps(saw.end_trim) + kerf;
        let rooms: Vec<i64> = offer.iter().map(room).collect();
        let offered = |entry: &usize| offer[*entry].available != Some(0);
        let longest = (0..rooms.len()).filter(offered).map(|s| rooms[s] - kerf).max();
        refuse_too_long(wanted, longest.unwrap_or(0))?;
        let kinds = kinds(wanted, kerf);
        let pieces: usize = kinds.iter().map(|k| k.count).sum();
        let (costs, steps_a_unit) = costs(offer);
        let lattice = costs.iter().fold(0, |a, &b| gcd(a, b)).max(1);
        let mut stocks = Vec::new();
        for s in (0..rooms.len()).filter(offered).filter(|&s| rooms[s] > kerf) {
            // More boards than pieces are no limit: searches are quicker without one.
            let available = offer[s].available.filter(|&n| n < pieces);
            stocks.push(Stock { room: rooms[s], cost: costs[s] / lattice, available, entry: s });
        }
        // Ties by entry: the same problem is the same instance.
        stocks.sort_by_key(|s| (s.room, s.cost, s.entry));
        let grain = kinds.iter().fold(0, |a, k| gcd(a, k.width)).max(1);
        let instance = Self { kinds, stocks, kerf, steps_a_unit, lattice, grain };
        // Pieces longer in all than the boards: no search is needed to prove that.
        if instance.offered().is_some_and(|offered| offered < instance.widths()) {
            return Err(instance.short_of_boards(Certainty::Proven));
        }
        Ok(instance)
    }

    pub(super) fn demand(&self) -> Demand {
        let counts = self.kinds.iter().map(|k| k.count).collect();
        Demand { counts, boards: self.stocks.iter().map(|s| s.available).collect() }
    }

    pub(super) fn pieces(&self) -> usize {
        self.kinds.iter().map(|k| k.count).sum()
    }

    /// A cost on the lattice in the unit of the problem.
    pub(super) fn cost(&self, steps_of_lattice: i64) -> f64 {
        (steps_of_lattice * self.lattice) as f64 / self.steps_a_unit
    }

    /// What is left of a board whose pieces take `used`: widths and so a kerf behind each piece.
    pub(super) fn left(&self, stock: usize, used: i64) -> Length {
        length((self.stocks[stock].room - self.kerf - used).max(0))
    }

    pub(super) fn short_of_boards(&self, certainty: Certainty) -> CuttingError {
        let wanted: i64 = self.kinds.iter().map(|k| (k.width - self.kerf) * k.count as i64).sum();
        let boards: i64 = self
            .stocks
            .iter()
            .map(|s| (s.room - self.kerf) * s.available.unwrap_or(0) as i64)
            .sum();
        CuttingError::TooFewBoards { wanted: length(wanted), offered: length(boards), certainty }
    }

    fn widths(&self) -> i64 {
        self.kinds.iter().map(|k| k.width * k.count as i64).sum()
    }

    /// The room of all boards, where they are limited.
    fn offered(&self) -> Option<i64> {
        self.stocks.iter().map(|s| s.available.map(|n| s.room * n as i64)).sum()
    }
}

/// The cost of each board in whole steps, and how many are one. Boards that all cost the same for
/// their length are counted by their length: what is a round figure in one unit is none in another,
/// and the lattice of their costs would be lost.
fn costs(offer: &[StockLength]) -> (Vec<i64>, f64) {
    if let Some(first) = offer.first().filter(|first| first.cost > 0.0) {
        let by_length = |s: &StockLength| first.cost / first.length.as_mm() * s.length.as_mm();
        let is_by_length = |s: &StockLength| (s.cost - by_length(s)).abs() <= s.cost * SAME_PRICE;
        if offer.iter().all(is_by_length) {
            let lengths = offer.iter().map(|s| steps(s.length)).collect();
            return (lengths, steps(first.length) as f64 / first.cost);
        }
    }
    (offer.iter().map(|s| (s.cost * STEPS).round() as i64).collect(), STEPS)
}

fn refuse_too_long(wanted: &[Wanted], longest: i64) -> Result<(), CuttingError> {
    match wanted.iter().position(|w| steps(w.length) > longest) {
        None => Ok(()),
        Some(entry) => Err(CuttingError::TooLong {
            wanted: entry,
            length: wanted[entry].length,
            longest: length(longest.max(0)),
        }),
    }
}

/// Entries of one width are one kind; the widest first.
fn kinds(wanted: &[Wanted], kerf: i64) -> Vec<Kind> {
    let mut by_width: BTreeMap<i64, Vec<(usize, usize)>> = BTreeMap::new();
    for (entry, wanted) in wanted.iter().enumerate() {
        by_width.entry(steps(wanted.length) + kerf).or_default().push((entry, wanted.count));
    }
    let mut kinds = Vec::new();
    for (width, entries) in by_width.into_iter().rev() {
        let count = entries.iter().map(|&(_, n)| n).sum();
        kinds.push(Kind { width, count, entries });
    }
    kinds
}

/// A length in whole steps.
pub(super) fn steps(length: Length) -> i64 {
    (length.as_mm() * STEPS).round() as i64
}

fn length(steps: i64) -> Length {
    Length::mm(steps as f64 / STEPS)
}

fn gcd(a: i64, b: i64) -> i64 {
    if b == 0 { a } else { gcd(b, a % b) }
}
