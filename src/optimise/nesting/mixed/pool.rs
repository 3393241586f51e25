//! The layouts of one sheet that a search knows, and what pieces are worth under them.

use crate::nesting::problem::Placed;
use microlp::{ComparisonOp, OptimizationDirection, Problem, Variable};

/// A layout of one sheet.
#[derive(Clone, Debug)]
pub(super) struct Layout {
    /// How many of each kind.
    pub counts: Vec<usize>,
    pub placed: Vec<Placed>,
    /// How it was found, in plain words.
    pub method: &'static str,
}

/// Layouts by number: none is ever taken out.
#[derive(Default)]
pub(super) struct Pool {
    layouts: Vec<Layout>,
}

/// Layouts that may be used so often, by number.
pub(super) type Uses = Vec<(usize, usize)>;

/// Layouts with their shares of use.
pub(super) type Shares = Vec<(usize, f64)>;

impl Pool {
    /// The number of a layout, or of one that holds all it does.
    pub(super) fn insert(&mut self, layout: Layout) -> usize {
        let holds = |known: &Layout| covers(&known.counts, &layout.counts);
        if let Some(known) = self.layouts.iter().position(holds) {
            return known;
        }
        self.layouts.push(layout);
        self.layouts.len() - 1
    }

    /// All layouts, in the order in which they were found.
    pub(super) fn layouts(&self) -> &[Layout] {
        &self.layouts
    }

    /// What each kind is worth in sheets, so that no layout of the pool holds more than one sheet's
    /// worth and all that is wanted is worth most: the dual of the linear programme over layouts
    /// (P. C. Gilmore, R. E. Gomory, A linear programming approach to the cutting-stock problem,
    /// 1961, from memory). `None` where the solver fails.
    pub(super) fn values(&self, demand: &[usize]) -> Option<Vec<f64>> {
        let mut problem = Problem::new(OptimizationDirection::Maximize);
        let variables: Vec<Option<Variable>> = demand
            .iter()
            .map(|&n| (n > 0).then(|| problem.add_var(n as f64, (0.0, 1.0))))
            .collect();
        for layout in &self.layouts {
            let held = layout.counts.iter().zip(&variables).filter(|(n, _)| **n > 0);
            let row: Vec<(Variable, f64)> =
                held.filter_map(|(n, variable)| Some(((*variable)?, *n as f64))).collect();
            problem.add_constraint(row, ComparisonOp::Le, 1.0);
        }
        let solution = problem.solve().ok()?.into_solution().ok()?;
        let value = |v: &Option<Variable>| v.map_or(0.0, |v| solution.var_value_raw(v).max(0.0));
        Some(variables.iter().map(value).collect())
    }

    /// How often each layout would be used if sheets could be divided, those not used left out.
    pub(super) fn divided(&self, demand: &[usize]) -> Option<Shares> {
        let mut problem = Problem::new(OptimizationDirection::Minimize);
        let mut rows: Vec<Vec<(Variable, f64)>> = vec![Vec::new(); demand.len()];
        let mut variables = Vec::with_capacity(self.layouts.len());
        for layout in &self.layouts {
            let variable = problem.add_var(1.0, (0.0, f64::INFINITY));
            variables.push(variable);
            for (row, &n) in rows.iter_mut().zip(&layout.counts).filter(|(_, n)| **n > 0) {
                row.push((variable, n as f64));
            }
        }
        for (row, &wanted) in rows.into_iter().zip(demand).filter(|(_, n)| **n > 0) {
            problem.add_constraint(row, ComparisonOp::Ge, wanted as f64);
        }
        let solution = problem.solve().ok()?.into_solution().ok()?;
        let shares = variables.iter().map(|v| solution.var_value_raw(*v)).enumerate();
        Some(shares.filter(|(_, share)| *share > NOTHING).collect())
    }
}

/// A share that is only rounding.
const NOTHING: f64 = 1e-9;

/// Whether one layout holds at least what another does.
fn covers(all: &[usize], some: &[usize]) -> bool {
    all.iter().zip(some).all(|(a, b)| a >= b)
}

/// What counts are worth.
pub(super) fn worth(counts: &[usize], values: &[f64]) -> f64 {
    counts.iter().zip(values).map(|(n, value)| *n as f64 * value).sum()
}
