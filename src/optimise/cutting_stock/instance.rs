//! A problem in whole numbers: pieces and rooms widened by one kerf, costs on their lattice.
//!
//! `n` pieces on a board need their lengths and `n - 1` kerfs. Widen every piece by a kerf, and the
//! board between its trims too: now n widths sum to no more than the room exactly when the pieces
//! fit, and no search has to think of kerfs. Whole numbers make that exact: a piece that ends at
//! the trim fits, on every machine.
//!
//! Of widths only their ranks matter: how many of the widths that are wanted a board is wide enough
//! for. Boards of one length, cost and rank are one stock, whatever a tape says of each: no search
//! then goes through the permutations of boards that hold the same.

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
    /// The rank that a board must have: the number of the wanted widths up to its own.
    pub rank: usize,
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
    /// How many of the widths that are wanted its boards hold.
    pub rank: usize,
    /// The entries of the problem that offer it, and how many each, the narrowest boards first:
    /// what holds more stays for another day.
    pub entries: Vec<(usize, Option<usize>)>,
}

/// A valid problem. Kinds by falling width, then by falling rank; stocks by rising room.
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
    /// The kinds in the order in which they find boards hard to come by: those of the highest rank
    /// first, of one rank the widest.
    pub hardest_first: Vec<usize>,
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
        let rooms_offered = || (0..rooms.len()).filter(offered).map(|s| (s, rooms[s] - kerf));
        for (entry, of) in wanted.iter().enumerate() {
            let wide_enough = rooms_offered().filter(|(s, _)| is_wide_enough(&offer[*s], of));
            let longest = wide_enough.map(|(_, room)| room).max().unwrap_or(0);
            refuse_too_long(entry, of, longest)?;
        }
        let ranked = Ranks::of(wanted);
        let kinds = kinds(wanted, kerf, &ranked);
        let pieces: usize = kinds.iter().map(|k| k.count).sum();
        let (costs, steps_a_unit) = costs(offer);
        let lattice = costs.iter().fold(0, |a, &b| gcd(a, b)).max(1);
        let mut entries: Vec<usize> =
            (0..rooms.len()).filter(offered).filter(|&s| rooms[s] > kerf).collect();
        let across = |s: usize| offer[s].width.map_or(i64::MAX, steps);
        // Boards at hand before those that can be bought; ties by entry: the same problem is the
        // same instance.
        entries.sort_by_key(|&s| (offer[s].available.is_none(), across(s), s));
        let mut stocks: Vec<Stock> = Vec::new();
        for s in entries {
            let (room, cost, rank) = (rooms[s], costs[s] / lattice, ranked.of_board(&offer[s]));
            let own = (s, offer[s].available);
            let is_same = |of: &&mut Stock| (of.room, of.cost, of.rank) == (room, cost, rank);
            match stocks.iter_mut().find(is_same) {
                Some(stock) => stock.entries.push(own),
                None => {
                    stocks.push(Stock { room, cost, available: None, rank, entries: vec![own] });
                }
            }
        }
        for stock in &mut stocks {
            let count = |sum: usize, of: &(usize, Option<usize>)| Some(sum.saturating_add(of.1?));
            // More boards than pieces are no limit: searches are quicker without one.
            stock.available = stock.entries.iter().try_fold(0, count).filter(|&n| n < pieces);
        }
        stocks.sort_by_key(|s| (s.room, s.cost, s.rank, s.entries[0].0));
        let grain = kinds.iter().fold(0, |a, k| gcd(a, k.width)).max(1);
        let mut hardest_first: Vec<usize> = (0..kinds.len()).collect();
        hardest_first.sort_by_key(|&kind| std::cmp::Reverse(kinds[kind].rank));
        let instance = Self { kinds, stocks, kerf, steps_a_unit, lattice, grain, hardest_first };
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

    /// Whether a stock's boards are wide enough for a kind.
    pub(super) fn is_wide_enough(&self, stock: usize, kind: usize) -> bool {
        self.stocks[stock].rank >= self.kinds[kind].rank
    }

    /// Whether a piece of a kind goes on a board of a stock.
    pub(super) fn holds(&self, stock: usize, kind: usize) -> bool {
        self.stocks[stock].room >= self.kinds[kind].width && self.is_wide_enough(stock, kind)
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

fn refuse_too_long(entry: usize, wanted: &Wanted, longest: i64) -> Result<(), CuttingError> {
    if steps(wanted.length) <= longest {
        return Ok(());
    }
    let (length, longest) = (wanted.length, length(longest.max(0)));
    Err(CuttingError::TooLong { wanted: entry, length, longest })
}

fn is_wide_enough(board: &StockLength, wanted: &Wanted) -> bool {
    board.width.is_none_or(|width| steps(width) >= steps(wanted.width))
}

/// The widths that are wanted, each once, rising.
struct Ranks(Vec<i64>);

impl Ranks {
    fn of(wanted: &[Wanted]) -> Self {
        let mut widths: Vec<i64> = wanted.iter().map(|of| steps(of.width)).collect();
        widths.sort_unstable();
        widths.dedup();
        Self(widths)
    }

    /// How many of them a width is enough for.
    fn up_to(&self, width: i64) -> usize {
        self.0.partition_point(|of| *of <= width)
    }

    fn of_board(&self, board: &StockLength) -> usize {
        board.width.map_or(self.0.len(), |width| self.up_to(steps(width)))
    }
}

/// Entries of one width and rank are one kind; the widest first.
fn kinds(wanted: &[Wanted], kerf: i64, ranked: &Ranks) -> Vec<Kind> {
    let mut by_width: BTreeMap<(i64, usize), Vec<(usize, usize)>> = BTreeMap::new();
    for (entry, wanted) in wanted.iter().enumerate() {
        let rank = ranked.up_to(steps(wanted.width));
        by_width
            .entry((steps(wanted.length) + kerf, rank))
            .or_default()
            .push((entry, wanted.count));
    }
    let mut kinds = Vec::new();
    for ((width, rank), entries) in by_width.into_iter().rev() {
        let count = entries.iter().map(|&(_, n)| n).sum();
        kinds.push(Kind { width, rank, count, entries });
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
