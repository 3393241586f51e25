//! The least cost of any boards: the linear programme over all patterns, solved by column
//! generation.
//!
//! A price for each kind and a charge for each limited stock are **sound** if no pattern on a board
//! is worth more than the board and its charge. Then the wanted pieces at their prices, less the
//! charges for all boards on offer, are a bound: whatever boards are bought pay for what lies on
//! them (weak duality). The best sound prices are the solution of the dual programme, whose rows
//! are the patterns. They are far too many to write down; those that matter are found one by one,
//! as the most valuable pattern under the prices so far (P. C. Gilmore, R. E. Gomory, A linear
//! programming approach to the cutting-stock problem, 1961, from memory).
//!
//! Prices on the way there are not sound, but scaled down by the most that a board is overvalued
//! they are (A. A. Farley, A note on bounding a class of linear programming problems, including
//! cutting stock problems, 1990, from memory). So there is a bound after every round, whatever the
//! solver's rounding did: soundness comes from the knapsack, not from the solver.

use super::instance::{Demand, Instance, Stock};
use super::master::Prices;
use super::pattern::Pattern;
use super::pricing::{Priced, VALUE_TOLERANCE, price};

/// What rounding up forgives, in steps of the lattice: a bound of 38.0000001 is one of 38.
pub(super) const ROUNDING: f64 = 1e-6;
/// How far a pattern must be worth more than its board to count: less is the solver's rounding, and
/// a row for it would change nothing.
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
    pub(super) fn by_material(instance: &Instance) -> Self {
        let per_room = |s: &Stock| s.cost as f64 / s.room as f64;
        // A board is never worth more than its room at the price of the cheapest room: sound.
        let least = instance.stocks.iter().map(per_room).fold(f64::INFINITY, f64::min);
        let prices = instance.kinds.iter().map(|k| k.width as f64 * least).collect();
        let charges = vec![0.0; instance.stocks.len()];
        Self::sound(&instance.demand(), prices, charges)
    }

    fn sound(demand: &Demand, prices: Vec<f64>, charges: Vec<f64>) -> Self {
        let mut relaxation = Self { bound: 0.0, prices, charges };
        relaxation.bound = relaxation.of(demand);
        relaxation
    }

    /// The bound that these prices give for another demand.
    pub(super) fn of(&self, demand: &Demand) -> f64 {
        let worth: f64 =
            demand.counts.iter().zip(&self.prices).map(|(&n, price)| n as f64 * price).sum();
        let charged =
            |(boards, charge): (&Option<usize>, &f64)| boards.map_or(0.0, |n| n as f64 * charge);
        worth - demand.boards.iter().zip(&self.charges).map(charged).sum::<f64>()
    }

    /// The bound on the lattice.
    pub(super) fn rounded(&self) -> i64 {
        on_lattice(self.bound)
    }
}

/// A bound rounded up to the lattice.
pub(super) fn on_lattice(bound: f64) -> i64 {
    // Costs are whole steps, so a bound between two of them is one for the upper.
    (bound - forgiven(bound)).ceil().max(0.0) as i64
}

/// What rounding a figure of this size forgives.
pub(super) fn forgiven(figure: f64) -> f64 {
    ROUNDING + figure.abs() * 1e-11
}

/// Boards needed where pieces longer than half a board cannot share one, in steps of the lattice; 0
/// for more than one stock length.
///
/// The bound L2 of S. Martello, P. Toth, Lower bounds and reduction procedures for the bin packing
/// problem, 1990. For a limit up to half a board: pieces longer than a board less the limit share a
/// board with none of that limit or more; those longer than half share with none of each other;
/// what the smaller ones need beyond the room beside those takes more boards. The best limit
/// counts.
pub(super) fn by_halves(instance: &Instance) -> i64 {
    let [stock] = instance.stocks.as_slice() else { return 0 };
    let limits = instance.kinds.iter().map(|k| k.width).filter(|&w| 2 * w <= stock.room);
    let boards = limits.map(|limit| boards_at(instance, stock.room, limit)).max().unwrap_or(0);
    boards * stock.cost
}

fn boards_at(instance: &Instance, room: i64, limit: i64) -> i64 {
    let (mut large, mut half, mut half_width, mut small_width) = (0_i64, 0_i64, 0_i64, 0_i64);
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
    large + half + (over + room - 1) / room
}

/// The programme's own sound prices, by at most so many rounds of column generation; none where the
/// solver fails. Patterns that it prices join the pool.
pub(super) fn solve(
    instance: &Instance,
    demand: &Demand,
    pool: &mut Vec<Pattern>,
    columns: usize,
) -> Option<LinearBound> {
    let mut master = Prices::solved(instance, demand, pool)?;
    let mut best: Option<LinearBound> = None;
    for _ in 0..columns {
        let prices: Vec<f64> = master.of_kinds().into_iter().map(not_worthless).collect();
        let charges = master.of_stocks();
        let objective = master.objective();
        let priced = price(instance, demand, &prices);
        let sound = soundly(instance, demand, &prices, &priced);
        if best.as_ref().is_none_or(|b| sound.bound > b.bound) {
            best = Some(sound);
        }
        // The objective is what the bound rises to at most: once both round up to the same whole
        // cost, no further column can raise it.
        let is_reached = best.as_ref().is_some_and(|b| b.rounded() >= on_lattice(objective));
        let is_new = |p: &&Priced| is_underpriced(instance, demand, &charges, p);
        let new: Vec<&Priced> = priced.iter().filter(is_new).collect();
        if new.is_empty() || is_reached {
            break;
        }
        for column in new {
            let Some(row) = master.row(&column.pattern) else { continue };
            let cost = instance.stocks[column.pattern.stock].cost as f64;
            master = master.with(row, cost)?;
            pool.push(column.pattern.clone());
        }
    }
    best
}

/// A price, or none where it is the solver's rounding.
fn not_worthless(price: f64) -> f64 {
    if price > VALUE_TOLERANCE { price } else { 0.0 }
}

/// Whether a pattern is worth more than its board and charge: a column that the programme lacks.
fn is_underpriced(instance: &Instance, demand: &Demand, charges: &[f64], p: &Priced) -> bool {
    let stock = p.pattern.stock;
    let asked = instance.stocks[stock].cost as f64 + charges[stock] + UNDERCHARGED;
    demand.offers(stock) && p.value > asked
}

/// Prices made sound: scaled down until boards without limit are worth their cost (Farley), then
/// charged for the rest. A limited board may be worth more than it costs, for a charge: scaling for
/// its sake would lower all prices, a charge costs only as much as there are such boards.
fn soundly(instance: &Instance, demand: &Demand, prices: &[f64], priced: &[Priced]) -> LinearBound {
    let cost = |stock: usize| instance.stocks[stock].cost as f64;
    let mut scale = 1.0_f64;
    for p in priced.iter().filter(|p| demand.boards[p.pattern.stock].is_none()) {
        if p.at_most > cost(p.pattern.stock) {
            scale = scale.min(cost(p.pattern.stock) / p.at_most);
        }
    }
    let mut charges = Vec::with_capacity(priced.len());
    for (stock, p) in priced.iter().enumerate() {
        charges.push(match demand.boards[stock] {
            Some(n) if n > 0 => (scale * p.at_most - cost(stock)).max(0.0),
            _ => 0.0,
        });
    }
    LinearBound::sound(demand, prices.iter().map(|p| p * scale).collect(), charges)
}
