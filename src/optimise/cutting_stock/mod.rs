//! Which boards to buy and how to saw them into lengths: one-dimensional cutting stock with a lower bound.
//!
//! The bound is the linear programme over all sawing patterns, its patterns priced by a knapsack (P. C. Gilmore and
//! R. E. Gomory, A linear programming approach to the cutting-stock problem, Operations Research 9, 1961), made valid at
//! every step by scaling its prices (A. A. Farley, A note on bounding a class of linear programming problems, Operations
//! Research 38, 1990) and rounded up to what whole boards can cost. The boards come from first-fit decreasing, from
//! rounding that programme a pattern at a time, and from a search by backtracking that is bounded in steps: the same
//! order gives the same boards on every machine.

mod branch_and_bound;
mod budget;
mod diving;
mod first_fit;
mod instance;
mod linear_bound;
mod pattern;
mod pricing;
mod problem;
mod purchase;
#[cfg(test)]
mod tests;

pub use problem::{
    Certainty, CuttingError, MAX_COUNT, MAX_KINDS, MAX_LENGTH, Problem, StockLength, Wanted,
};
pub use purchase::{Purchase, Sawing};

use budget::Budget;
use instance::Instance;
use linear_bound::LinearBound;
use pattern::Plan;

/// The cheapest boards found for an order, with the least that any boards could cost.
///
/// Every wanted length is cut exactly as often as asked. `n` pieces on a board need their lengths and `n - 1` kerfs
/// between the two end trims: the last piece needs a kerf only if something is left, and then takes it from that. The
/// saw cut that trims an end lies inside its `end_trim`.
pub fn buy(order: &Problem) -> Result<Purchase, CuttingError> {
    let instance = Instance::new(order)?;
    let first_fit = first_fit::first_fit(&instance);
    let mut solver = Solver::new(&instance, Budget::new(order.effort));
    solver.offer(first_fit.clone());
    solver.offer(first_fit::least_per_use(&instance, &instance.demand()));
    solver.run();
    let Some(plan) = solver.best else { return Err(instance.short_of_boards(solver.certainty())) };
    Ok(Purchase::new(&instance, &plan, solver.bound, first_fit.map(|plan| plan.cost)))
}

/// The best plan so far and the bound under it, both in steps of the cost lattice.
struct Solver<'a> {
    instance: &'a Instance,
    budget: Budget,
    best: Option<Plan>,
    bound: i64,
}

impl<'a> Solver<'a> {
    fn new(instance: &'a Instance, budget: Budget) -> Solver<'a> {
        Solver { instance, budget, best: None, bound: 0 }
    }

    fn offer(&mut self, plan: Option<Plan>) {
        if let Some(plan) = plan
            && self.best.as_ref().is_none_or(|best| plan.cost < best.cost)
        {
            self.best = Some(plan);
        }
    }

    fn done(&self) -> bool {
        self.best.as_ref().is_some_and(|best| best.cost <= self.bound)
    }

    /// Nothing is cheaper than the bound and so much more.
    fn raise(&mut self, more: i64) {
        let most = self.best.as_ref().map_or(branch_and_bound::NEVER, |best| best.cost);
        self.bound = self.bound.saturating_add(more).min(most);
    }

    fn certainty(&self) -> Certainty {
        if self.bound >= branch_and_bound::NEVER { Certainty::Proven } else { Certainty::NoneFound }
    }

    /// Cheap bound and search first, then the linear programme, its rounding, and the search under its prices.
    fn run(&mut self) {
        let material = LinearBound::by_material(self.instance);
        self.bound = material.rounded();
        let halving = linear_bound::by_halves(self.instance);
        self.bound = self.bound.max(halving);
        if self.done() {
            return;
        }
        self.seek(&material, self.budget.first_steps);
        if self.done() || self.instance.kinds.len() > self.budget.linear_kinds {
            return;
        }
        let mut pool = pattern::singles(self.instance);
        pool.extend(self.best.iter().flat_map(|plan| plan.patterns()));
        let Some(linear) =
            linear_bound::relax(self.instance, &self.instance.demand(), &mut pool, &self.budget)
        else {
            return;
        };
        self.bound = self.bound.max(linear.rounded());
        for turn in 0..self.budget.dives {
            if self.done() {
                return;
            }
            let found = diving::dive(
                self.instance,
                &mut pool,
                &linear,
                self.best.as_ref(),
                turn,
                &self.budget,
            );
            self.offer(found);
        }
        self.seek(&linear, self.budget.last_steps);
        self.seek_any(&linear);
    }

    /// Any plan at all, where boards are so few that none was found.
    fn seek_any(&mut self, prices: &LinearBound) {
        if self.best.is_none()
            && self.bound < branch_and_bound::NEVER
            && self.instance.pieces() <= self.budget.search_pieces
        {
            let mut steps = self.budget.last_steps;
            let demand = self.instance.demand();
            if let branch_and_bound::Outcome::Found(plan) = branch_and_bound::search(
                self.instance,
                &demand,
                prices,
                branch_and_bound::NEVER - 1,
                &mut steps,
            ) {
                self.offer(Some(plan));
            }
        }
    }

    /// Searches for a plan at the bound; where there is none for certain, the bound rises and the search goes on.
    fn seek(&mut self, prices: &LinearBound, mut steps: usize) {
        if self.instance.pieces() > self.budget.search_pieces {
            return;
        }
        while !self.done() && steps > 0 && self.bound < branch_and_bound::NEVER {
            match branch_and_bound::search(
                self.instance,
                &self.instance.demand(),
                prices,
                self.bound,
                &mut steps,
            ) {
                branch_and_bound::Outcome::Found(plan) => self.offer(Some(plan)),
                branch_and_bound::Outcome::None(more) => self.raise(more),
                branch_and_bound::Outcome::GaveUp => return,
            }
        }
    }
}
