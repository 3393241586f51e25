//! Diving: the linear programme rounded a pattern at a time, the rest solved anew.
//!
//! Patterns that are sawn a whole number of times are fixed so often; where there is none, the one
//! nearest to being sawn once more is fixed once. Then the rest is a smaller problem, solved and
//! rounded again (G. Wäscher, T. Gau, Heuristics for the integer one-dimensional cutting stock
//! problem: a computational study, 1996; diving in branch and price: R. Sadykov, F. Vanderbeck, A.
//! Pessoa, I. Tahiri, E. Uchoa, Primal heuristics for branch and price: the assets of diving
//! methods, 2019; from memory). At every depth the rest is also finished by first fit and by a
//! short search, so a dive leaves a plan even where it is cut off.
//!
//! A dive costs as many linear programmes as patterns fixed, each started from the pool.

use super::branch_and_bound::{Outcome, search};
use super::budget::Budget;
use super::first_fit::least_per_use;
use super::instance::{Demand, Instance};
use super::linear_bound::{self, LinearBound, on_lattice};
use super::master::divided;
use super::pattern::{Pattern, Plan};

/// What counts as a whole number of times: rounding of the linear programme.
const WHOLE: f64 = 1e-6;

/// The best plan met on one way down, if it is cheaper than `best`. Each `turn` takes another way:
/// its bits say at which of the first choices the second best pattern is fixed. So turn 0 is the
/// plain dive, and every later one leaves it at another depth (a limited discrepancy search: W. D.
/// Harvey, M. L. Ginsberg, 1995, from memory).
pub(super) fn dive(
    instance: &Instance,
    pool: &mut Vec<Pattern>,
    whole: &LinearBound,
    best: Option<&Plan>,
    turn: usize,
    budget: &Budget,
) -> Option<Plan> {
    let least = best.map_or(i64::MAX, |plan| plan.cost);
    let (demand, fixed) = (instance.demand(), Plan::default());
    let bound = whole.rounded();
    let mut dive = Dive { instance, budget, bound, least, found: None, demand, fixed };
    dive.run(pool, whole.clone(), turn);
    dive.found
}

/// One way down.
struct Dive<'a> {
    instance: &'a Instance,
    budget: &'a Budget,
    /// No plan costs less.
    bound: i64,
    /// What the best plan known costs.
    least: i64,
    found: Option<Plan>,
    /// What is still to be cut.
    demand: Demand,
    fixed: Plan,
}

/// Whether a pattern was fixed.
#[derive(PartialEq, Eq)]
enum Fixed {
    Some,
    None,
}

impl Dive<'_> {
    fn run(&mut self, pool: &mut Vec<Pattern>, mut prices: LinearBound, turn: usize) {
        let mut choices = 0;
        while !self.demand.is_met() && self.is_hopeful(&prices) {
            let finish = self.finished(&prices);
            if let Some(plan) = finish.filter(|plan| plan.cost < self.least) {
                self.least = plan.cost;
                self.found = Some(plan);
                // Not deeper yet: with the new least the loop may end right here.
                continue;
            }
            let Some(times) = divided(self.instance, &self.demand, pool) else { return };
            if self.fix_whole(pool, &times) == Fixed::None {
                let second = bit(turn, choices);
                choices += 1;
                if self.fix_part(pool, times, second) == Fixed::None {
                    return;
                }
            }
            if self.demand.is_met() {
                if self.fixed.cost < self.least {
                    self.found = Some(self.fixed.clone());
                }
                return;
            }
            let columns = self.budget.columns;
            let next = linear_bound::solve(self.instance, &self.demand, pool, columns);
            let Some(next) = next else { return };
            prices = next;
        }
    }

    /// Whether what is fixed and the least for the rest can still beat the best plan.
    fn is_hopeful(&self, prices: &LinearBound) -> bool {
        self.fixed.cost + on_lattice(prices.of(&self.demand)) < self.least
    }

    /// The rest filled by first fit, or by a short search at the bound if it is small.
    fn finished(&self, prices: &LinearBound) -> Option<Plan> {
        let (instance, demand) = (self.instance, &self.demand);
        let plain = least_per_use(instance, demand).map(|rest| self.fixed.clone().and(rest));
        let is_best = plain.as_ref().is_some_and(|plan| plan.cost <= self.bound);
        if demand.pieces() > self.budget.branched_pieces || is_best {
            return plain;
        }
        let target = on_lattice(prices.of(demand)).max(self.bound - self.fixed.cost);
        match search(instance, demand, prices, target, &mut self.budget.finish_steps.clone()) {
            Outcome::Found(rest) => Some(self.fixed.clone().and(rest)),
            _ => plain,
        }
    }

    /// Fixes every pattern as often as it is sawn whole.
    fn fix_whole(&mut self, pool: &[Pattern], times: &[(usize, f64)]) -> Fixed {
        let mut outcome = Fixed::None;
        for &(index, times) in times {
            let whole = (times + WHOLE).floor().max(0.0) as usize;
            // The programme asks for at least what is wanted, so patterns together may cut more.
            let n = whole.min(pool[index].times(&self.demand));
            if n > 0 {
                self.fix(&pool[index], n);
                outcome = Fixed::Some;
            }
        }
        outcome
    }

    /// Fixes once the pattern that is nearest to being sawn once, or the second nearest.
    fn fix_part(&mut self, pool: &[Pattern], mut times: Vec<(usize, f64)>, second: usize) -> Fixed {
        times.retain(|&(index, times)| times > WHOLE && pool[index].times(&self.demand) > 0);
        // Ties by the patterns themselves, for the pool's order hangs on what was priced before.
        times.sort_by(|a, b| b.1.total_cmp(&a.1).then_with(|| pool[a.0].cmp(&pool[b.0])));
        let Some(&(index, _)) = times.get(second).or(times.first()) else { return Fixed::None };
        self.fix(&pool[index], 1);
        Fixed::Some
    }

    fn fix(&mut self, pattern: &Pattern, times: usize) {
        pattern.take(&mut self.demand, times);
        self.fixed.push(self.instance, pattern.clone(), times);
    }
}

/// Bit `place` of a number, 0 beyond its last.
fn bit(number: usize, place: usize) -> usize {
    number >> place.min(usize::BITS as usize - 1) & 1
}
