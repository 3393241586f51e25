//! Which boards to buy and how to saw them into lengths, and how little any boards could cost.
//!
//! **The problem** is one-dimensional cutting stock with several stock lengths, some of them
//! limited, and some narrower than some pieces.
//!
//! **The method**, in the order in which it is tried:
//!
//! | step | file | method |
//! | --- | --- | --- |
//! | whole numbers | `instance` | kerfs folded into widths, costs on their lattice |
//! | first plans | `first_fit` | first-fit decreasing (D. S. Johnson, Fast algorithms for bin packing, 1974) |
//! | cheap bounds | `linear_bound` | material; halves of boards (S. Martello, P. Toth, Lower bounds and reduction procedures for the bin packing problem, 1990) |
//! | lifted bounds | `attainable` | the least cost of any boards with room enough that is no less than a bound: a knapsack cover |
//! | linear bound | `linear_bound`, `pricing` | column generation over all sawing patterns, priced by a knapsack (P. C. Gilmore, R. E. Gomory, A linear programming approach to the cutting-stock problem, 1961), made valid at every step by scaling its prices (A. A. Farley, A note on bounding a class of linear programming problems, 1990) |
//! | rounding | `diving` | patterns are fixed and the rest solved again (G. Wäscher, T. Gau, Heuristics for the integer one-dimensional cutting stock problem, 1996) |
//! | integer programme | `integer_programme` | all patterns within the gap between plan and bound, branch and bound on how often each is sawn (R. Baldacci, N. Christofides, A. Mingozzi, 2008) |
//! | proof | `branch_and_bound` | board by board, under the prices of the linear programme |
//!
//! All titles are from memory.
//!
//! **Invariant**: `bound <= cost of any plan`, always: a bound rises only by sound prices or by a
//! search that was exhausted. A plan fills the demand exactly and uses no board that is not there.
//!
//! **Cost**: first fit O(kinds) a board; a round of column generation one knapsack of O(items *
//! length) cells and one step of a linear programme; branch and bound as many steps as the effort
//! allows. A linear programme over all patterns is within one board of the optimum in practice, so
//! bound and plan mostly meet.

mod attainable;
mod branch_and_bound;
mod budget;
mod diving;
mod error;
mod first_fit;
mod instance;
mod integer_programme;
mod linear_bound;
mod master;
mod offer;
mod pattern;
mod pricing;
mod problem;
mod purchase;
mod solver;
#[cfg(test)]
mod tests;

pub use super::effort::Effort;
pub use error::{Certainty, CuttingError, MAX_COUNT, MAX_KINDS, MAX_LENGTH};
pub use offer::{Saw, StockLength, Wanted};
pub use problem::Problem;
pub use purchase::{Purchase, Sawing};

use budget::Budget;
use solver::Solver;

/// The cheapest boards found for a problem, with the least that any boards could cost.
///
/// Every wanted length is cut exactly as often as asked. `n` pieces on a board need their lengths
/// and `n - 1` kerfs between the two end trims: the last piece needs a kerf only if something is
/// left, and then takes it from that. The saw cut that trims an end lies inside its `end_trim`.
///
/// Effort 0 takes the first fit and its bound, 1 is enough for most problems, 1000 is the most.
/// Nothing is random: the seed is not used.
///
/// # Errors
/// If the boards on offer do not suffice, or no way to saw them was found.
pub fn buy(problem: &Problem, effort: Effort) -> Result<Purchase, CuttingError> {
    let instance = problem.instance();
    let first_fit = first_fit::first_fit(instance);
    let mut solver = Solver::new(instance, Budget::new(effort));
    solver.offer(first_fit.clone());
    solver.offer(first_fit::least_per_use(instance, &instance.demand()));
    solver.run();
    let Some(plan) = solver.best() else {
        return Err(instance.short_of_boards(solver.certainty()));
    };
    Ok(Purchase::new(instance, plan, solver.bound(), first_fit.map(|plan| plan.cost)))
}
