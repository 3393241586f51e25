//! Plans and bounds brought together until they meet or the budget ends.

use super::attainable;
use super::branch_and_bound::{NEVER, Outcome, search};
use super::budget::Budget;
use super::diving::dive;
use super::error::Certainty;
use super::instance::Instance;
use super::integer_programme;
use super::linear_bound::{self, LinearBound};
use super::pattern::{Plan, singles};

/// The best plan so far and the bound under it, both in steps of the cost lattice.
pub(super) struct Solver<'a> {
    instance: &'a Instance,
    budget: Budget,
    best: Option<Plan>,
    bound: i64,
}

impl<'a> Solver<'a> {
    /// Without a plan yet, and with the bound of nothing.
    pub(super) fn new(instance: &'a Instance, budget: Budget) -> Self {
        Solver { instance, budget, best: None, bound: 0 }
    }

    /// The best plan so far.
    pub(super) fn best(&self) -> Option<&Plan> {
        self.best.as_ref()
    }

    /// No boards cost less.
    pub(super) fn bound(&self) -> i64 {
        self.bound
    }

    /// How certain it is that there is no plan, where none was found.
    pub(super) fn certainty(&self) -> Certainty {
        if self.bound >= NEVER { Certainty::Proven } else { Certainty::NoneFound }
    }

    /// Takes a plan if it is cheaper than the best.
    pub(super) fn offer(&mut self, plan: Option<Plan>) {
        if let Some(plan) = plan
            && self.best.as_ref().is_none_or(|best| plan.cost < best.cost)
        {
            self.best = Some(plan);
        }
    }

    /// Cheap bound and search first, then the linear programme, its rounding, and the search under
    /// its prices.
    pub(super) fn run(&mut self) {
        let material = LinearBound::by_material(self.instance);
        self.raise_to(material.rounded().max(linear_bound::by_halves(self.instance)));
        if self.is_done() {
            return;
        }
        // Small problems end here without a linear programme.
        self.seek(&material, self.budget.first_steps);
        if self.is_done() || self.instance.kinds.len() > self.budget.linear_kinds {
            return;
        }
        let mut pool = singles(self.instance);
        // The patterns of a good plan are good columns to start from.
        pool.extend(self.best.iter().flat_map(|plan| plan.patterns()));
        let demand = self.instance.demand();
        let columns = self.budget.columns;
        let Some(linear) = linear_bound::solve(self.instance, &demand, &mut pool, columns) else {
            return;
        };
        self.raise_to(linear.rounded());
        // Dives before the proof: mostly one of them meets the bound, and nothing is left to prove.
        for turn in 0..self.budget.dives {
            if self.is_done() {
                return;
            }
            let best = self.best.as_ref();
            let found = dive(self.instance, &mut pool, &linear, best, turn, &self.budget);
            self.offer(found);
        }
        self.programme(&linear);
        self.seek(&linear, self.budget.last_steps);
        self.seek_any(&linear);
    }

    fn is_done(&self) -> bool {
        self.best.as_ref().is_some_and(|best| best.cost <= self.bound)
    }

    /// Nothing is cheaper than the bound and so much more, save what was found already.
    fn raise(&mut self, more: i64) {
        self.raise_to(self.bound.saturating_add(more));
    }

    /// Nothing is cheaper than this, save what was found already; and then not than the next that
    /// any boards cost.
    fn raise_to(&mut self, bound: i64) {
        let most = self.best.as_ref().map_or(NEVER, |best| best.cost);
        let bound = self.bound.max(bound).min(most);
        self.bound = match self.best {
            Some(_) => attainable::lifted(self.instance, bound, most),
            None => bound,
        };
    }

    /// The integer programme over what a cheaper plan can hold.
    fn programme(&mut self, prices: &LinearBound) {
        let Some(best) = self.best.as_ref().filter(|_| !self.is_done()) else { return };
        let searched = integer_programme::search(self.instance, prices, best, self.budget.nodes);
        self.offer(searched.cheaper);
        if searched.is_proven {
            self.raise(NEVER);
        }
    }

    /// Any plan at all, where boards are so few that none was found.
    fn seek_any(&mut self, prices: &LinearBound) {
        let is_small = self.instance.pieces() <= self.budget.branched_pieces;
        if self.best.is_none() && self.bound < NEVER && is_small {
            let mut steps = self.budget.last_steps;
            let demand = self.instance.demand();
            if let Outcome::Found(plan) =
                search(self.instance, &demand, prices, NEVER - 1, &mut steps)
            {
                self.offer(Some(plan));
            }
        }
    }

    /// Searches for a plan at the bound; where there is none for certain, the bound rises and the
    /// search goes on.
    ///
    /// Asking for a plan at the very bound, and not for any better one, is what makes the search
    /// quick: hardly a board may lose anything. Every exhausted search is a proof.
    fn seek(&mut self, prices: &LinearBound, mut steps: usize) {
        if self.instance.pieces() > self.budget.branched_pieces {
            return;
        }
        while !self.is_done() && steps > 0 && self.bound < NEVER {
            let demand = self.instance.demand();
            match search(self.instance, &demand, prices, self.bound, &mut steps) {
                Outcome::Found(plan) => self.offer(Some(plan)),
                Outcome::None(more) => self.raise(more),
                Outcome::GaveUp => return,
            }
        }
    }
}
