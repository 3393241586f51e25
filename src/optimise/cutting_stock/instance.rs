//! An order in whole numbers: pieces and rooms widened by one kerf, costs on their lattice.

use super::problem::{Certainty, CuttingError, MAX_COUNT, MAX_KINDS, MAX_LENGTH, Problem};
use crate::units::Length;
use std::collections::BTreeMap;

/// Whole steps in a millimetre, and in a unit of cost.
const STEPS: f64 = 1e6;
/// The most that a board may cost.
const MAX_COST: f64 = 1e6;

/// Pieces of one length.
#[derive(Clone, Debug)]
pub(super) struct Kind {
    /// Its length and one kerf.
    pub width: i64,
    pub count: usize,
    /// The entries of the order that ask for it, and how often.
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
    /// The entry of the order.
    pub entry: usize,
}

/// A valid order. Kinds by falling width, stocks by rising room.
#[derive(Clone, Debug)]
pub(super) struct Instance {
    pub kinds: Vec<Kind>,
    pub stocks: Vec<Stock>,
    kerf: i64,
    /// Whole steps of cost that every cost is a multiple of.
    lattice: i64,
    /// Every width is a multiple of this.
    pub grain: i64,
}

/// What is still to be cut, and the boards still on offer.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub(super) struct Demand {
    pub counts: Vec<usize>,
    pub boards: Vec<Option<usize>>,
}

impl Demand {
    pub fn pieces(&self) -> usize {
        self.counts.iter().sum()
    }

    pub fn is_met(&self) -> bool {
        self.counts.iter().all(|&count| count == 0)
    }

    pub fn offers(&self, stock: usize) -> bool {
        self.boards[stock] != Some(0)
    }
}

impl Instance {
    pub fn new(order: &Problem) -> Result<Instance, CuttingError> {
        refuse_bad_counts(order)?;
        refuse_bad_figures(order)?;
        let kerf = steps(order.kerf);
        let rooms: Vec<i64> = order
            .stock
            .iter()
            .map(|s| steps(s.length) - 2 * steps(order.end_trim) + kerf)
            .collect();
        let offered = |entry: usize| order.stock[entry].available != Some(0);
        let longest =
            (0..rooms.len()).filter(|&s| offered(s)).map(|s| rooms[s] - kerf).max().unwrap_or(0);
        for (wanted, entry) in order.lengths.iter().enumerate() {
            if steps(entry.length) > longest {
                let longest = length(longest.max(0));
                return Err(CuttingError::TooLong { wanted, length: entry.length, longest });
            }
        }
        let kinds = kinds(order, kerf);
        let costs: Vec<i64> = order.stock.iter().map(|s| (s.cost * STEPS).round() as i64).collect();
        let lattice = costs.iter().fold(0, |a, &b| gcd(a, b)).max(1);
        let mut stocks: Vec<Stock> = (0..rooms.len())
            .filter(|&s| offered(s) && rooms[s] > kerf)
            .map(|s| Stock {
                room: rooms[s],
                cost: costs[s] / lattice,
                available: order.stock[s].available,
                entry: s,
            })
            .collect();
        stocks.sort_by_key(|s| (s.room, s.cost, s.entry));
        let pieces: usize = kinds.iter().map(|k| k.count).sum();
        for stock in &mut stocks {
            stock.available = stock.available.filter(|&n| n < pieces);
        }
        let grain = kinds.iter().fold(0, |a, k| gcd(a, k.width)).max(1);
        let instance = Instance { kinds, stocks, kerf, lattice, grain };
        if instance.offered().is_some_and(|offered| offered < instance.widths()) {
            return Err(instance.short_of_boards(Certainty::Proven));
        }
        Ok(instance)
    }

    pub fn demand(&self) -> Demand {
        let counts = self.kinds.iter().map(|k| k.count).collect();
        Demand { counts, boards: self.stocks.iter().map(|s| s.available).collect() }
    }

    pub fn pieces(&self) -> usize {
        self.kinds.iter().map(|k| k.count).sum()
    }

    /// A cost on the lattice in the unit of the order.
    pub fn cost(&self, steps_of_lattice: i64) -> f64 {
        (steps_of_lattice * self.lattice) as f64 / STEPS
    }

    /// What is left of a board whose pieces take `used`: widths and so a kerf behind each piece.
    pub fn left(&self, stock: usize, used: i64) -> Length {
        length((self.stocks[stock].room - self.kerf - used).max(0))
    }

    pub fn short_of_boards(&self, certainty: Certainty) -> CuttingError {
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

fn kinds(order: &Problem, kerf: i64) -> Vec<Kind> {
    let mut entries: BTreeMap<i64, Vec<(usize, usize)>> = BTreeMap::new();
    for (wanted, entry) in order.lengths.iter().enumerate() {
        entries.entry(steps(entry.length) + kerf).or_default().push((wanted, entry.count));
    }
    let kind = |(width, entries): (i64, Vec<(usize, usize)>)| {
        let count = entries.iter().map(|&(_, n)| n).sum();
        Kind { width, count, entries }
    };
    entries.into_iter().rev().map(kind).collect()
}

fn refuse_bad_counts(order: &Problem) -> Result<(), CuttingError> {
    if order.lengths.is_empty() {
        return Err(CuttingError::NothingWanted);
    }
    if order.stock.is_empty() {
        return Err(CuttingError::NothingOffered);
    }
    let kinds = order.lengths.len().max(order.stock.len());
    if kinds > MAX_KINDS {
        return Err(CuttingError::TooManyKinds { kinds, most: MAX_KINDS });
    }
    if let Some(wanted) = order.lengths.iter().position(|w| w.count == 0) {
        return Err(CuttingError::NoneOf { wanted });
    }
    let pieces = order.lengths.iter().fold(0usize, |sum, w| sum.saturating_add(w.count));
    if pieces > MAX_COUNT {
        return Err(CuttingError::TooMany { pieces, most: MAX_COUNT });
    }
    Ok(())
}

fn refuse_bad_figures(order: &Problem) -> Result<(), CuttingError> {
    let bad = |what, entry, length| Err(CuttingError::BadLength { what, entry, length });
    let in_range = |length: Length| length.as_mm() >= 0.0 && length.as_mm() <= MAX_LENGTH;
    let positive = |length: Length| in_range(length) && steps(length) > 0;
    for (what, length) in [("kerf", order.kerf), ("end trim", order.end_trim)] {
        if !in_range(length) {
            return bad(what, 0, length);
        }
    }
    for (entry, wanted) in order.lengths.iter().enumerate() {
        if !positive(wanted.length) {
            return bad("wanted length", entry, wanted.length);
        }
    }
    for (stock, board) in order.stock.iter().enumerate() {
        if !positive(board.length) {
            return bad("stock length", stock, board.length);
        }
        if !(0.0..=MAX_COST).contains(&board.cost) {
            return Err(CuttingError::BadCost { stock, cost: board.cost });
        }
    }
    Ok(())
}

fn steps(length: Length) -> i64 {
    (length.as_mm() * STEPS).round() as i64
}

fn length(steps: i64) -> Length {
    Length::mm(steps as f64 / STEPS)
}

fn gcd(a: i64, b: i64) -> i64 {
    if b == 0 { a } else { gcd(b, a % b) }
}
