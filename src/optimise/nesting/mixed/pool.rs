//! The layouts of one sheet that a search knows, and what pieces are worth under them.

use crate::nesting::problem::Placed;
use microlp::{ComparisonOp, OptimizationDirection, Problem, Solution, Variable};
use std::cell::{Cell, OnceCell};

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
pub(super) struct Pool {
    demand: Vec<usize>,
    layouts: Vec<Layout>,
    /// What the programmes say of the layouts known: solved once, asked several times a round.
    values: OnceCell<Option<Vec<f64>>>,
    divided: OnceCell<Option<Shares>>,
    /// Solved for some of the layouts.
    programme: Cell<Option<Programme>>,
}

/// The programme for what kinds are worth, solved.
struct Programme {
    variables: Vec<Option<Variable>>,
    solution: Solution,
}

/// Layouts that may be used so often, by number.
pub(super) type Uses = Vec<(usize, usize)>;

/// Layouts with their shares of use.
pub(super) type Shares = Vec<(usize, f64)>;

impl Pool {
    /// Of layouts that shall hold so many of each kind; none yet.
    pub(super) fn new(demand: Vec<usize>) -> Self {
        let (values, divided) = (OnceCell::new(), OnceCell::new());
        Self { demand, layouts: Vec::new(), values, divided, programme: Cell::new(None) }
    }

    /// The number of a layout, or of one that holds all it does.
    pub(super) fn insert(&mut self, layout: Layout) -> usize {
        let holds = |known: &Layout| covers(&known.counts, &layout.counts);
        if let Some(known) = self.layouts.iter().position(holds) {
            return known;
        }
        self.layouts.push(layout);
        (self.values, self.divided) = (OnceCell::new(), OnceCell::new());
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
    pub(super) fn values(&self) -> Option<&Vec<f64>> {
        self.values.get_or_init(|| self.solved_values()).as_ref()
    }

    /// Of thousands of layouts some tens bind the values: the programme knows only layouts that
    /// were once worth more than a sheet, and is gone on with from one question to the next
    /// (cutting planes: J. E. Kelley, The cutting-plane method for solving convex programs, 1960,
    /// from memory).
    fn solved_values(&self) -> Option<Vec<f64>> {
        let mut programme = self.programme.take().or_else(|| Programme::new(&self.demand))?;
        // Each layout is added once, but for rounding of the solver: that shall not go on for ever.
        for _ in 0..=self.layouts.len() {
            let values = programme.values();
            let worths = self.layouts.iter().map(|layout| worth(&layout.counts, &values));
            let worthiest = worths.enumerate().reduce(|a, b| if b.1 > a.1 { b } else { a });
            match worthiest.filter(|(_, worth)| *worth > 1.0 + NOTHING) {
                Some((layout, _)) => programme = programme.bound(&self.layouts[layout].counts)?,
                None => break,
            }
        }
        let values = programme.values();
        self.programme.set(Some(programme));
        Some(values)
    }

    /// How often each layout would be used if sheets could be divided, those not used left out.
    pub(super) fn divided(&self) -> Option<&Shares> {
        self.divided.get_or_init(|| self.solved_shares()).as_ref()
    }

    fn solved_shares(&self) -> Option<Shares> {
        let mut problem = Problem::new(OptimizationDirection::Minimize);
        let mut rows: Vec<Vec<(Variable, f64)>> = vec![Vec::new(); self.demand.len()];
        let mut variables = Vec::with_capacity(self.layouts.len());
        for layout in &self.layouts {
            let variable = problem.add_var(1.0, (0.0, f64::INFINITY));
            variables.push(variable);
            for (row, &n) in rows.iter_mut().zip(&layout.counts).filter(|(_, n)| **n > 0) {
                row.push((variable, n as f64));
            }
        }
        for (row, &wanted) in rows.into_iter().zip(&self.demand).filter(|(_, n)| **n > 0) {
            problem.add_constraint(row, ComparisonOp::Ge, wanted as f64);
        }
        let solution = problem.solve().ok()?.into_solution().ok()?;
        let shares = variables.iter().map(|v| solution.var_value_raw(*v)).enumerate();
        Some(shares.filter(|(_, share)| *share > NOTHING).collect())
    }
}

impl Programme {
    /// Of no layout yet: each piece is worth a sheet.
    fn new(demand: &[usize]) -> Option<Self> {
        let mut problem = Problem::new(OptimizationDirection::Maximize);
        let mut variable = |n: usize| (n > 0).then(|| problem.add_var(n as f64, (0.0, 1.0)));
        let variables = demand.iter().map(|&n| variable(n)).collect();
        let solution = problem.solve().ok()?.into_solution().ok()?;
        Some(Self { variables, solution })
    }

    fn values(&self) -> Vec<f64> {
        let value =
            |v: &Option<Variable>| v.map_or(0.0, |v| self.solution.var_value_raw(v).max(0.0));
        self.variables.iter().map(value).collect()
    }

    /// The same with one layout more that is worth a sheet at the most.
    fn bound(self, counts: &[usize]) -> Option<Self> {
        let held = counts.iter().zip(&self.variables).filter(|(n, _)| **n > 0);
        let row: Vec<(Variable, f64)> =
            held.filter_map(|(n, variable)| Some(((*variable)?, *n as f64))).collect();
        let next = self.solution.add_constraint(row, ComparisonOp::Le, 1.0);
        let solution = next.ok()?.into_solution().ok()?;
        Some(Self { variables: self.variables, solution })
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
