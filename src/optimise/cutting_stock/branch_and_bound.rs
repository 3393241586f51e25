//! Branch and bound for a plan at a given cost, board by board, bounded in steps.
//!
//! Under sound prices every board costs more than its pieces are worth by some **loss** (its
//! reduced cost), and the losses of a plan sum to its cost less the bound: a plan at the bound,
//! rounded up, has little to lose. The longest piece left chooses its board among the patterns
//! whose loss can still be borne. Boards are full: a piece that would still fit could be moved
//! there. This is bin completion (R. E. Korf, A new algorithm for optimal bin packing, 2002, from
//! memory) with losses in place of waste.
//!
//! **Invariant**: `Closed(by)` is a proof that the demand cannot be met for `left`, nor for less
//! than `left + by`; it is given only where every board that could hold the longest piece was tried
//! or shown to lose too much. **Cost**: exponential in the number of boards, so steps are counted;
//! states that failed are remembered, which takes memory of the order of the steps.

use super::instance::{Demand, Instance};
use super::linear_bound::{LinearBound, ROUNDING, forgiven, on_lattice};
use super::pattern::{Pattern, Plan};
use std::collections::HashMap;

/// More than any plan costs: no board can be found for a piece. A quarter of the greatest number,
/// so that sums with it do not overflow.
pub(super) const NEVER: i64 = i64::MAX / 4;

/// What came of a search, and the steps that are left.
pub(super) enum Outcome {
    /// A plan that costs no more than the target.
    Found(Plan),
    /// There is none, nor one that costs less than so much more.
    None(i64),
    /// The steps ran out.
    GaveUp,
}

/// Searches for boards for the demand that cost no more than the target, in steps of the lattice.
pub(super) fn search(
    instance: &Instance,
    demand: &Demand,
    prices: &LinearBound,
    target: i64,
    steps: &mut usize,
) -> Outcome {
    let mut search = Search {
        instance,
        prices,
        worth_per_width: worth_per_width(instance, prices),
        steps: *steps,
        failed: HashMap::new(),
        plan: Vec::new(),
    };
    let branch = search.fill(&mut demand.clone(), target);
    *steps = search.steps;
    match branch {
        Branch::Found => {
            let mut plan = Plan::default();
            search.plan.into_iter().for_each(|pattern| plan.push(instance, pattern, 1));
            Outcome::Found(plan)
        }
        Branch::Closed(short) => Outcome::None(short),
        Branch::OutOfSteps => Outcome::GaveUp,
    }
}

/// For each kind the most worth for width among it and all shorter ones; 0 behind the last.
fn worth_per_width(instance: &Instance, prices: &LinearBound) -> Vec<f64> {
    let mut most = vec![0.0_f64; instance.kinds.len() + 1];
    for kind in (0..instance.kinds.len()).rev() {
        let own = prices.prices[kind] / instance.kinds[kind].width as f64;
        most[kind] = most[kind + 1].max(own);
    }
    most
}

/// What came of a branch.
enum Branch {
    Found,
    /// Not for less than so much more.
    Closed(i64),
    OutOfSteps,
}

/// The steps are spent.
struct OutOfSteps;

struct Search<'a> {
    instance: &'a Instance,
    prices: &'a LinearBound,
    /// The most worth for width among this kind and all shorter ones.
    worth_per_width: Vec<f64>,
    steps: usize,
    /// What is known not to be met for so little, and how much more it needs. Looked up only, never
    /// walked through: the order of a hash table decides nothing.
    failed: HashMap<(Demand, i64), i64>,
    plan: Vec<Pattern>,
}

impl Search<'_> {
    /// Fills the demand for no more than `left`.
    fn fill(&mut self, demand: &mut Demand, left: i64) -> Branch {
        // Kinds are by falling width: the first that is wanted is the longest. It has the fewest
        // boards to choose from, and on some board it must lie.
        let Some(longest) = demand.counts.iter().position(|&n| n > 0) else {
            return if left >= 0 { Branch::Found } else { Branch::Closed(-left) };
        };
        // The prices of the whole are sound for any rest, if not the best for it: no programme is
        // solved inside the search.
        let bound = self.prices.of(demand);
        let least = on_lattice(bound);
        if least > left {
            return Branch::Closed(least - left);
        }
        let key = (demand.clone(), left);
        if let Some(&short) = self.failed.get(&key) {
            return Branch::Closed(short);
        }
        let Ok((patterns, mut short)) = self.patterns(demand, longest, left as f64 - bound) else {
            return Branch::OutOfSteps;
        };
        for (_, pattern) in patterns {
            // One board at a time, though a pattern may be used again: the remembered states make
            // the permutations of one plan meet.
            pattern.take(demand, 1);
            let left = left - self.instance.stocks[pattern.stock].cost;
            self.plan.push(pattern.clone());
            let branch = self.fill(demand, left);
            // Put back by copying: no second piece of code that must mirror `take`.
            demand.clone_from(&key.0);
            match branch {
                Branch::Closed(by) => short = short.min(by),
                other => return other,
            }
            self.plan.pop();
        }
        // Only whole failures are remembered: out of steps proves nothing.
        self.failed.insert(key, short);
        Branch::Closed(short)
    }

    /// The full boards that hold a piece of a kind and lose no more than `bearable`, the least loss
    /// first, and the least by which any other was beyond bearing.
    fn patterns(
        &mut self,
        demand: &Demand,
        kind: usize,
        bearable: f64,
    ) -> Result<(Vec<(i64, Pattern)>, i64), OutOfSteps> {
        let (mut found, mut short) = (Vec::new(), NEVER);
        let holding = |s: &usize| demand.offers(*s) && self.instance.holds(*s, kind);
        for stock in (0..self.instance.stocks.len()).filter(holding) {
            let own = &self.instance.stocks[stock];
            let mut board = Board {
                demand,
                stock,
                cost: own.cost as f64 + self.prices.charges[stock],
                // The sums of many prices are compared: as much is forgiven as they may be off.
                bearable: bearable + forgiven(self.prices.bound),
                pieces: Vec::new(),
                found: &mut found,
                short: &mut short,
            };
            self.extend(&mut board, kind, own.room, 0.0)?;
        }
        // Losses are rounded whole numbers: a sort must not hang on the last bit of a sum. Of equal
        // ones the board of fewer kinds, then any fixed order.
        found.sort_by(|a, b| {
            let kinds = a.1.pieces.len().cmp(&b.1.pieces.len());
            a.0.cmp(&b.0).then(kinds).then_with(|| a.1.cmp(&b.1))
        });
        Ok((found, short))
    }

    /// Extends a board by kinds from `kind` on, the first of all being at least once on it.
    fn extend(
        &mut self,
        board: &mut Board<'_>,
        kind: usize,
        room: i64,
        worth: f64,
    ) -> Result<(), OutOfSteps> {
        self.steps = self.steps.checked_sub(1).ok_or(OutOfSteps)?;
        // Filled without a gap at the best worth for width, does it still lose too much?
        let best = self.worth_per_width[kind.min(self.instance.kinds.len())];
        let unborne = board.cost - (worth + room as f64 * best) - board.bearable;
        if unborne > 0.0 {
            *board.short = (*board.short).min(unborne.ceil().max(1.0) as i64);
            return Ok(());
        }
        let kinds = &self.instance.kinds;
        let wide = |k: usize| self.instance.is_wide_enough(board.stock, k);
        let fits = |k: &usize| board.demand.counts[*k] > 0 && kinds[*k].width <= room && wide(*k);
        let Some(next) = (kind..kinds.len()).find(fits) else {
            board.keep(self.instance, room, worth);
            return Ok(());
        };
        let width = kinds[next].width;
        let most = board.demand.counts[next].min((room / width) as usize);
        let least = usize::from(board.pieces.is_empty());
        // Many first: the fullest board of long pieces loses least.
        for n in (least..=most).rev() {
            if n > 0 {
                board.pieces.push((next, n));
            }
            let more = worth + self.prices.prices[next] * n as f64;
            let extended = self.extend(board, next + 1, room - width * n as i64, more);
            if n > 0 {
                board.pieces.pop();
            }
            extended?;
        }
        Ok(())
    }
}

/// A board being filled.
struct Board<'a> {
    demand: &'a Demand,
    stock: usize,
    /// With its charge.
    cost: f64,
    bearable: f64,
    pieces: Vec<(usize, usize)>,
    found: &'a mut Vec<(i64, Pattern)>,
    /// The least by which a board was beyond bearing, rounded up.
    short: &'a mut i64,
}

impl Board<'_> {
    /// Keeps the board if it is full and no cheaper one without limit holds it. Both leave out only
    /// boards for which another serves as well (dominance): no proof is lost.
    fn keep(&mut self, instance: &Instance, room: i64, worth: f64) {
        if self.holds_more(instance, room) || self.is_dear(instance, room) {
            return;
        }
        let loss = ((self.cost - worth) / ROUNDING).round() as i64;
        self.found.push((loss, Pattern { stock: self.stock, pieces: self.pieces.clone() }));
    }

    /// Whether a wanted piece still fits.
    fn holds_more(&self, instance: &Instance, room: i64) -> bool {
        let narrow =
            (0..instance.kinds.len()).rev().take_while(|&k| instance.kinds[k].width <= room);
        let more = |k: usize| {
            instance.is_wide_enough(self.stock, k) && self.demand.counts[k] > self.count(k)
        };
        narrow.into_iter().any(more)
    }

    fn count(&self, kind: usize) -> usize {
        self.pieces.iter().find(|&&(k, _)| k == kind).map_or(0, |&(_, n)| n)
    }

    /// Whether a cheaper stock without limit holds the same pieces; of equal costs the first.
    fn is_dear(&self, instance: &Instance, room: i64) -> bool {
        let used = instance.stocks[self.stock].room - room;
        let own = instance.stocks[self.stock].cost;
        instance.stocks.iter().enumerate().any(|(s, other)| {
            let is_unlimited = self.demand.boards[s].is_none();
            let is_wide = || self.pieces.iter().all(|&(k, _)| instance.is_wide_enough(s, k));
            is_unlimited && other.room >= used && (other.cost, s) < (own, self.stock) && is_wide()
        })
    }
}
