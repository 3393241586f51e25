//! Backtracking for a plan at a given cost, bounded in steps.
//!
//! Under sound prices every board costs more than its pieces are worth by some loss, and the losses of a plan sum to its
//! cost less the bound: a plan at the bound, rounded up, has little to lose. The longest piece left chooses its board
//! among the patterns whose loss can still be borne. Boards are full: a piece that would still fit could be moved there.

use super::instance::{Demand, Instance};
use super::linear_bound::{LinearBound, ROUNDING, forgiven, on_lattice};
use super::pattern::{Pattern, Plan};
use std::collections::HashMap;

/// More than any plan costs: no board can be found for a piece.
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
    let mut worth_per_width = vec![0.0f64; instance.kinds.len() + 1];
    for kind in (0..instance.kinds.len()).rev() {
        let own = prices.prices[kind] / instance.kinds[kind].width as f64;
        worth_per_width[kind] = worth_per_width[kind + 1].max(own);
    }
    let mut search = Search {
        instance,
        prices,
        worth_per_width,
        steps: *steps,
        scale: prices.bound,
        failed: HashMap::new(),
        plan: Vec::new(),
    };
    let way = search.fill(&mut demand.clone(), target);
    *steps = search.steps;
    match way {
        Way::Found => {
            let mut plan = Plan::default();
            search.plan.into_iter().for_each(|pattern| plan.push(instance, pattern, 1));
            Outcome::Found(plan)
        }
        Way::Closed(short) => Outcome::None(short),
        Way::OutOfSteps => Outcome::GaveUp,
    }
}

enum Way {
    Found,
    /// Not for less than so much more.
    Closed(i64),
    OutOfSteps,
}

struct Search<'a> {
    instance: &'a Instance,
    prices: &'a LinearBound,
    /// The most worth for width among this kind and all shorter ones.
    worth_per_width: Vec<f64>,
    steps: usize,
    /// The size of the figures that are compared.
    scale: f64,
    /// What is known not to be met for so little, and how much more it needs.
    failed: HashMap<(Demand, i64), i64>,
    plan: Vec<Pattern>,
}

impl Search<'_> {
    /// Fills the demand for no more than `left`.
    fn fill(&mut self, demand: &mut Demand, left: i64) -> Way {
        let Some(longest) = demand.counts.iter().position(|&n| n > 0) else {
            return if left >= 0 { Way::Found } else { Way::Closed(-left) };
        };
        let bound = self.prices.of(demand);
        let least = on_lattice(bound);
        if least > left {
            return Way::Closed(least - left);
        }
        let key = (demand.clone(), left);
        if let Some(&short) = self.failed.get(&key) {
            return Way::Closed(short);
        }
        let (mut patterns, mut short) = (Vec::new(), NEVER);
        for stock in (0..self.instance.stocks.len()).filter(|&s| demand.offers(s)) {
            if !self.patterns_on(
                demand,
                stock,
                longest,
                left as f64 - bound,
                &mut patterns,
                &mut short,
            ) {
                return Way::OutOfSteps;
            }
        }
        patterns.sort_by(|a, b| {
            a.0.cmp(&b.0)
                .then_with(|| a.1.pieces.len().cmp(&b.1.pieces.len()))
                .then_with(|| a.1.cmp(&b.1))
        });
        for (_, pattern) in patterns {
            pattern.take(demand, 1);
            let left = left - self.instance.stocks[pattern.stock].cost;
            self.plan.push(pattern.clone());
            let way = self.fill(demand, left);
            demand.clone_from(&key.0);
            match way {
                Way::Closed(by) => short = short.min(by),
                other => return other,
            }
            self.plan.pop();
        }
        self.failed.insert(key, short);
        Way::Closed(short)
    }

    /// The full boards that hold a piece of the kind and lose no more than `bearable`; false if the steps ran out.
    fn patterns_on(
        &mut self,
        demand: &Demand,
        stock: usize,
        kind: usize,
        bearable: f64,
        patterns: &mut Vec<(i64, Pattern)>,
        short: &mut i64,
    ) -> bool {
        let cost = self.instance.stocks[stock].cost as f64 + self.prices.charges[stock];
        let mut board = Board {
            demand,
            stock,
            cost,
            bearable: bearable + forgiven(self.scale),
            pieces: Vec::new(),
            found: patterns,
            short,
        };
        let room = self.instance.stocks[stock].room;
        self.extend(&mut board, kind, room, 0.0)
    }

    /// Extends a board by kinds from `kind` on, the first of all being at least once on it.
    fn extend(&mut self, board: &mut Board<'_>, kind: usize, room: i64, worth: f64) -> bool {
        let Some(budget) = self.steps.checked_sub(1) else { return false };
        self.steps = budget;
        let most_worth =
            worth + room as f64 * self.worth_per_width[kind.min(self.instance.kinds.len())];
        let unborne = board.cost - most_worth - board.bearable;
        if unborne > 0.0 {
            *board.short = (*board.short).min(unborne.ceil().max(1.0) as i64);
            return true;
        }
        let width = |k: usize| self.instance.kinds[k].width;
        let next = (kind..self.instance.kinds.len())
            .find(|&k| board.demand.counts[k] > 0 && width(k) <= room);
        let Some(next) = next else {
            board.keep(self.instance, room, worth);
            return true;
        };
        let most = board.demand.counts[next].min((room / width(next)) as usize);
        let least = usize::from(board.pieces.is_empty());
        if least == 1 && next != kind {
            return true;
        }
        for n in (least..=most).rev() {
            if n > 0 {
                board.pieces.push((next, n));
            }
            let more = worth + self.prices.prices[next] * n as f64;
            let whole = self.extend(board, next + 1, room - width(next) * n as i64, more);
            if n > 0 {
                board.pieces.pop();
            }
            if !whole {
                return false;
            }
        }
        true
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
    /// Keeps the board if it is full and no cheaper one without limit holds it.
    fn keep(&mut self, instance: &Instance, room: i64, worth: f64) {
        let on_it =
            |kind: usize| self.pieces.iter().find(|&&(k, _)| k == kind).map_or(0, |&(_, n)| n);
        let fits_more = (0..instance.kinds.len())
            .rev()
            .take_while(|&k| instance.kinds[k].width <= room)
            .any(|k| self.demand.counts[k] > on_it(k));
        let used = instance.stocks[self.stock].room - room;
        let own = instance.stocks[self.stock].cost;
        let cheaper = instance.stocks.iter().enumerate().any(|(s, other)| {
            self.demand.boards[s].is_none()
                && other.room >= used
                && (other.cost, s) < (own, self.stock)
        });
        if !fits_more && !cheaper {
            let loss = ((self.cost - worth) / ROUNDING).round() as i64;
            self.found.push((loss, Pattern { stock: self.stock, pieces: self.pieces.clone() }));
        }
    }
}
