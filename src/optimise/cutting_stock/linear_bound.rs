//! The least cost of any boards: the linear programme over all patterns, solved by its prices.
//!
//! A price for each kind and a charge for each limited stock are sound if no pattern on a board is worth more than the
//! board and its charge. Then the wanted pieces at their prices, less the charges for all boards on offer, are a bound.

use super::budget::Budget;
use super::instance::{Demand, Instance};
use super::pattern::Pattern;
use super::pricing::{Priced, VALUE_TOLERANCE, price};
use microlp::{ComparisonOp, OptimizationDirection, Problem, Variable};

/// What rounding up forgives, in steps of the lattice.
pub(super) const ROUNDING: f64 = 1e-6;
/// How far a pattern must be undercharged to count.
const UNDERCHARGED: f64 = 1e-7;

/// Sound prices, in steps of the lattice.
#[derive(Clone, Debug)]
pub(super) struct LinearBound {
    /// The bound they give for the demand they were made for.
    pub bound: f64,
    pub prices: Vec<f64>,
    pub charges: Vec<f64>,
}

impl LinearBound {
    /// Each piece at its share of the board that costs least for its room.
    pub fn by_material(instance: &Instance) -> LinearBound {
        let per_room = |s: &super::instance::Stock| s.cost as f64 / s.room as f64;
        let least = instance.stocks.iter().map(per_room).fold(f64::INFINITY, f64::min);
        let prices = instance.kinds.iter().map(|k| k.width as f64 * least).collect();
        let charges = vec![0.0; instance.stocks.len()];
        LinearBound::sound(&instance.demand(), prices, charges)
    }

    fn sound(demand: &Demand, prices: Vec<f64>, charges: Vec<f64>) -> LinearBound {
        let mut relaxation = LinearBound { bound: 0.0, prices, charges };
        relaxation.bound = relaxation.of(demand);
        relaxation
    }

    /// The bound that these prices give for another demand.
    pub fn of(&self, demand: &Demand) -> f64 {
        let worth: f64 =
            demand.counts.iter().zip(&self.prices).map(|(&n, price)| n as f64 * price).sum();
        let charged =
            |(boards, charge): (&Option<usize>, &f64)| boards.map_or(0.0, |n| n as f64 * charge);
        worth - demand.boards.iter().zip(&self.charges).map(charged).sum::<f64>()
    }

    /// The bound on the lattice.
    pub fn rounded(&self) -> i64 {
        on_lattice(self.bound)
    }
}

/// A bound rounded up to the lattice.
pub(super) fn on_lattice(bound: f64) -> i64 {
    (bound - forgiven(bound)).ceil().max(0.0) as i64
}

/// What rounding a figure of this size forgives.
pub(super) fn forgiven(figure: f64) -> f64 {
    ROUNDING + figure.abs() * 1e-11
}

/// Boards needed where pieces longer than half a board cannot share one, the simplest of the bounds of S. Martello and
/// P. Toth, Lower bounds and reduction procedures for the bin packing problem (Discrete Applied Mathematics 28, 1990), in
/// steps of the lattice; 0 for more than one stock length.
pub(super) fn by_halves(instance: &Instance) -> i64 {
    let [stock] = instance.stocks.as_slice() else { return 0 };
    let room = stock.room;
    let mut most = 0;
    for limit in instance.kinds.iter().map(|k| k.width).filter(|&w| 2 * w <= room) {
        let (mut large, mut half, mut half_width, mut small_width) = (0i64, 0i64, 0i64, 0i64);
        for kind in &instance.kinds {
            let n = kind.count as i64;
            match kind.width {
                w if w > room - limit => large += n,
                w if 2 * w > room => (half, half_width) = (half + n, half_width + n * w),
                w if w >= limit => small_width += n * w,
                _ => {}
            }
        }
        let over = (small_width - (half * room - half_width)).max(0);
        most = most.max(large + half + (over + room - 1) / room);
    }
    most * stock.cost
}

/// The programme's own sound prices; none where the solver fails. Patterns that it prices join the pool.
pub(super) fn relax(
    instance: &Instance,
    demand: &Demand,
    pool: &mut Vec<Pattern>,
    budget: &Budget,
) -> Option<LinearBound> {
    let (problem, kinds, stocks) = prices_problem(instance, demand, pool);
    let mut solution = problem.solve().ok()?.into_solution().ok()?;
    let mut best: Option<LinearBound> = None;
    for _ in 0..budget.columns {
        let read = |v: &Option<Variable>| v.map_or(0.0, |v| solution.var_value_raw(v).max(0.0));
        let worth = |price: f64| if price > VALUE_TOLERANCE { price } else { 0.0 };
        let prices: Vec<f64> = kinds.iter().map(read).map(worth).collect();
        let charges: Vec<f64> = stocks.iter().map(read).collect();
        let objective = solution.objective();
        let priced = price(instance, demand, &prices);
        let sound = soundly(instance, demand, &prices, &priced);
        if best.as_ref().is_none_or(|b| sound.bound > b.bound) {
            best = Some(sound);
        }
        let reached = best.as_ref().is_some_and(|b| b.rounded() >= on_lattice(objective));
        let fresh: Vec<&Priced> = priced
            .iter()
            .filter(|p| demand.offers(p.pattern.stock))
            .filter(|p| {
                let stock = p.pattern.stock;
                p.value > instance.stocks[stock].cost as f64 + charges[stock] + UNDERCHARGED
            })
            .collect();
        if fresh.is_empty() || reached {
            break;
        }
        for column in fresh {
            let Some(row) = row(&column.pattern, &kinds, &stocks) else { continue };
            let cost = instance.stocks[column.pattern.stock].cost as f64;
            solution =
                solution.add_constraint(row, ComparisonOp::Le, cost).ok()?.into_solution().ok()?;
            pool.push(column.pattern.clone());
        }
    }
    best
}

type Variables = Vec<Option<Variable>>;

/// The most that prices can be worth, with the patterns of the pool as its rows.
fn prices_problem(
    instance: &Instance,
    demand: &Demand,
    pool: &[Pattern],
) -> (Problem, Variables, Variables) {
    let mut problem = Problem::new(OptimizationDirection::Maximize);
    let dearest = instance.stocks.iter().map(|s| s.cost).max().unwrap_or(0) as f64;
    let most = |width: i64| {
        let alone = instance
            .stocks
            .iter()
            .filter(|s| s.available.is_none() && s.room >= width)
            .map(|s| s.cost)
            .min();
        alone.map_or(4.0 * dearest + 1.0, |cost| cost as f64)
    };
    let kinds: Variables = (demand.counts.iter().zip(&instance.kinds))
        .map(|(&n, kind)| (n > 0).then(|| problem.add_var(n as f64, (0.0, most(kind.width)))))
        .collect();
    let stocks: Variables = demand
        .boards
        .iter()
        .map(|boards| {
            boards.filter(|&n| n > 0).map(|n| problem.add_var(-(n as f64), (0.0, f64::INFINITY)))
        })
        .collect();
    for pattern in pool.iter().filter(|p| p.times(demand) > 0) {
        if let Some(row) = row(pattern, &kinds, &stocks) {
            problem.add_constraint(
                row,
                ComparisonOp::Le,
                instance.stocks[pattern.stock].cost as f64,
            );
        }
    }
    (problem, kinds, stocks)
}

fn row(pattern: &Pattern, kinds: &Variables, stocks: &Variables) -> Option<Vec<(Variable, f64)>> {
    let mut row = Vec::new();
    for &(kind, n) in &pattern.pieces {
        row.push((kinds[kind]?, n as f64));
    }
    row.extend(stocks[pattern.stock].map(|charge| (charge, -1.0)));
    Some(row)
}

/// Prices made sound: scaled down until boards without limit are worth their cost (Farley), then charged for the rest.
fn soundly(instance: &Instance, demand: &Demand, prices: &[f64], priced: &[Priced]) -> LinearBound {
    let unlimited = priced.iter().filter(|p| demand.boards[p.pattern.stock].is_none());
    let scale = unlimited.fold(1.0f64, |scale, p| {
        let cost = instance.stocks[p.pattern.stock].cost as f64;
        if p.at_most > cost { scale.min(cost / p.at_most) } else { scale }
    });
    let charge = |(stock, p): (usize, &Priced)| match demand.boards[stock] {
        Some(n) if n > 0 => (scale * p.at_most - instance.stocks[stock].cost as f64).max(0.0),
        _ => 0.0,
    };
    let charges = priced.iter().enumerate().map(charge).collect();
    LinearBound::sound(demand, prices.iter().map(|p| p * scale).collect(), charges)
}

/// How often each pattern of the pool is sawn at the least cost if boards could be divided: index and times.
pub(super) fn divided(
    instance: &Instance,
    demand: &Demand,
    pool: &[Pattern],
) -> Option<Vec<(usize, f64)>> {
    let mut problem = Problem::new(OptimizationDirection::Minimize);
    let mut variables = Vec::new();
    let mut rows: Vec<Vec<(Variable, f64)>> = vec![Vec::new(); demand.counts.len()];
    let mut limits: Vec<Vec<(Variable, f64)>> = vec![Vec::new(); demand.boards.len()];
    for (index, pattern) in pool.iter().enumerate().filter(|(_, p)| p.times(demand) > 0) {
        let cost = instance.stocks[pattern.stock].cost as f64;
        let variable = problem.add_var(cost, (0.0, f64::INFINITY));
        variables.push((index, variable));
        for &(kind, n) in &pattern.pieces {
            rows[kind].push((variable, n as f64));
        }
        limits[pattern.stock].push((variable, 1.0));
    }
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
