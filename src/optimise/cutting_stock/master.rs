//! The linear programmes over a pool of patterns: what pieces are worth, and how often patterns are
//! sawn.
//!
//! They are each other's dual. Both are solved by microlp's simplex; its integer programmes are not
//! used (DEVELOPERS.md, decisions).

use super::instance::{Demand, Instance};
use super::pattern::Pattern;
use microlp::{ComparisonOp, OptimizationDirection, Problem, Solution, Variable};

/// One variable a kind or stock, where there is one.
type Variables = Vec<Option<Variable>>;
type Row = Vec<(Variable, f64)>;

/// The dual: the prices under which the wanted pieces are worth most while no pattern of the pool
/// is worth more than its board. A new pattern is a new row: the solution so far is only cut off a
/// little and soon repaired, where in the primal a new column would need the basis again.
pub(super) struct Prices {
    kinds: Variables,
    stocks: Variables,
    solution: Solution,
}

impl Prices {
    /// Solved with the patterns of the pool as its rows; none where the solver fails.
    pub(super) fn solved(instance: &Instance, demand: &Demand, pool: &[Pattern]) -> Option<Self> {
        let mut problem = Problem::new(OptimizationDirection::Maximize);
        let kinds = kind_variables(&mut problem, instance, demand);
        let stocks = stock_variables(&mut problem, demand);
        for pattern in pool.iter().filter(|p| p.times(demand) > 0) {
            if let Some(row) = row(pattern, &kinds, &stocks) {
                let cost = instance.stocks[pattern.stock].cost as f64;
                problem.add_constraint(row, ComparisonOp::Le, cost);
            }
        }
        let solution = problem.solve().ok()?.into_solution().ok()?;
        Some(Self { kinds, stocks, solution })
    }

    /// What the wanted pieces are worth, less all charges.
    pub(super) fn objective(&self) -> f64 {
        self.solution.objective()
    }

    /// The price of each kind, 0 for one that is not wanted.
    pub(super) fn of_kinds(&self) -> Vec<f64> {
        self.kinds.iter().map(|v| self.value(*v)).collect()
    }

    /// The charge of each limited stock: what one board more of it would save.
    pub(super) fn of_stocks(&self) -> Vec<f64> {
        self.stocks.iter().map(|v| self.value(*v)).collect()
    }

    /// The row that a pattern is; none if it holds a kind that is not wanted.
    pub(super) fn row(&self, pattern: &Pattern) -> Option<Row> {
        row(pattern, &self.kinds, &self.stocks)
    }

    /// With a row more; none where the solver fails.
    pub(super) fn with(self, row: Row, cost: f64) -> Option<Self> {
        let solution = self.solution.add_constraint(row, ComparisonOp::Le, cost);
        Some(Self { solution: solution.ok()?.into_solution().ok()?, ..self })
    }

    fn value(&self, variable: Option<Variable>) -> f64 {
        variable.map_or(0.0, |v| self.solution.var_value_raw(v).max(0.0))
    }
}

/// A price for each kind that is wanted. At first the rows may leave a price open upwards; a kind
/// is never worth more than the cheapest board without limit that holds it, and where all are
/// limited not much more than any board: so every programme has a solution from the start.
fn kind_variables(problem: &mut Problem, instance: &Instance, demand: &Demand) -> Variables {
    let dearest = instance.stocks.iter().map(|s| s.cost).max().unwrap_or(0) as f64;
    let mut variables = Vec::new();
    for (kind, &n) in demand.counts.iter().enumerate() {
        let holding = (0..instance.stocks.len()).filter(|&s| instance.holds(s, kind));
        let holding = holding.map(|s| &instance.stocks[s]);
        let alone = holding.filter(|s| s.available.is_none()).map(|s| s.cost).min();
        // Generous: it only has to leave the prices of kinds on limited boards free.
        let most = alone.map_or(4.0 * dearest + 1.0, |cost| cost as f64);
        variables.push((n > 0).then(|| problem.add_var(n as f64, (0.0, most))));
    }
    variables
}

/// A charge for each stock of which there are only so many.
fn stock_variables(problem: &mut Problem, demand: &Demand) -> Variables {
    let mut variables = Vec::new();
    for boards in &demand.boards {
        let limit = boards.filter(|&n| n > 0);
        variables.push(limit.map(|n| problem.add_var(-(n as f64), (0.0, f64::INFINITY))));
    }
    variables
}

/// The pieces of a pattern at their prices, less the charge of its board.
fn row(pattern: &Pattern, kinds: &Variables, stocks: &Variables) -> Option<Row> {
    let mut row = Vec::new();
    for &(kind, n) in &pattern.pieces {
        row.push((kinds[kind]?, n as f64));
    }
    // A board that is limited may be overpaid by its charge.
    row.extend(stocks[pattern.stock].map(|charge| (charge, -1.0)));
    Some(row)
}

/// The primal: how often each pattern of the pool is sawn at the least cost if boards could be
/// divided; index and times.
pub(super) fn divided(
    instance: &Instance,
    demand: &Demand,
    pool: &[Pattern],
) -> Option<Vec<(usize, f64)>> {
    let mut problem = Problem::new(OptimizationDirection::Minimize);
    let mut variables = Vec::new();
    let mut rows: Vec<Row> = vec![Vec::new(); demand.counts.len()];
    let mut limits: Vec<Row> = vec![Vec::new(); demand.boards.len()];
    for (index, pattern) in pool.iter().enumerate().filter(|(_, p)| p.times(demand) > 0) {
        let cost = instance.stocks[pattern.stock].cost as f64;
        let variable = problem.add_var(cost, (0.0, f64::INFINITY));
        variables.push((index, variable));
        for &(kind, n) in &pattern.pieces {
            rows[kind].push((variable, n as f64));
        }
        limits[pattern.stock].push((variable, 1.0));
    }
    // At least, not exactly, what is wanted: a piece too many does no harm to a bound.
    for (row, &wanted) in rows.into_iter().zip(&demand.counts).filter(|&(_, &wanted)| wanted > 0) {
        problem.add_constraint(row, ComparisonOp::Ge, wanted as f64);
    }
    for (row, boards) in limits.into_iter().zip(&demand.boards) {
        if let Some(n) = boards.filter(|_| !row.is_empty()) {
            problem.add_constraint(row, ComparisonOp::Le, n as f64);
        }
    }
    let solution = problem.solve().ok()?.into_solution().ok()?;
    Some(variables.into_iter().map(|(index, v)| (index, solution.var_value_raw(v))).collect())
}
