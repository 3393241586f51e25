//! The integer programme over every pattern that a cheaper plan can hold.
//!
//! Under sound prices a plan costs the bound and the reduced costs of all its patterns: a pattern
//! whose reduced cost is more than what the best plan has over the bound is in no cheaper plan.
//! Where little is between the two, few patterns are left, and all of them can be written down
//! (reduced cost fixing: G. L. Nemhauser, L. A. Wolsey, Integer and combinatorial optimization,
//! 1988; all patterns within the gap: R. Baldacci, N. Christofides, A. Mingozzi, An exact algorithm
//! for the vehicle routing problem based on the set partitioning formulation, 2008; both from
//! memory). Of patterns to which no piece that is wanted can be added the others are parts, so
//! these are enough where each kind is to be cut at least as often as it is wanted.
//!
//! The programme over them is solved by branch and bound, each node from the solution of the one
//! above it: on how many boards of a length are sawn, for nothing else decides the cost, and where
//! those are whole on how often a pattern is. A node is left out where no boards cost what is
//! between it and the best plan. Searched to its end it is a proof, as far as the linear programmes
//! are right to [`slack`]: by as much a node has to be too dear to be left out.
//!
//! Cost: as many linear programmes of a row a kind as nodes are allowed.

use super::attainable;
use super::instance::Instance;
use super::linear_bound::LinearBound;
use super::pattern::{Pattern, Plan};
use microlp::{ComparisonOp, OptimizationDirection, Problem, Solution, Variable};

/// Above this many patterns the programme is not worth its time (by trial).
const MOST_PATTERNS: usize = 2500;
/// Steps of the search for patterns.
const MOST_STEPS: usize = 300000;
/// What counts as a whole number of times: rounding of the linear programme.
const WHOLE: f64 = 1e-6;

/// What came of it.
pub(super) struct Searched {
    /// The cheapest plan that was met, if it is cheaper than the best before.
    pub cheaper: Option<Plan>,
    /// Whether nothing is cheaper than that, or else than the best before.
    pub is_proven: bool,
}

/// Searches for a plan cheaper than `best` by at most so many nodes, under sound prices.
pub(super) fn search(
    instance: &Instance,
    prices: &LinearBound,
    best: &Plan,
    nodes: usize,
) -> Searched {
    let nothing = Searched { cheaper: None, is_proven: false };
    let Some(patterns) = within_the_gap(instance, prices, best.cost) else { return nothing };
    let Some((solution, times)) = relaxed(instance, &patterns) else { return nothing };
    let mut tree = Tree {
        instance,
        patterns: &patterns,
        times,
        nodes,
        least: best.cost,
        found: None,
        lifted: (0, 0),
    };
    let is_proven = tree.searched(solution);
    Searched { cheaper: tree.found, is_proven }
}

/// By how much the objective of a linear programme may be off, in steps of the lattice.
fn slack(objective: f64) -> f64 {
    1e-6 + 1e-9 * objective.abs()
}

/// Every pattern that a plan cheaper than this can hold, without those that a piece can be added
/// to; none where they are too many.
fn within_the_gap(instance: &Instance, prices: &LinearBound, cost: i64) -> Option<Vec<Pattern>> {
    let gap = (cost - 1) as f64 - prices.bound;
    let mut found = Vec::new();
    let mut steps = MOST_STEPS;
    for (stock, board) in instance.stocks.iter().enumerate() {
        let worth_at_least = board.cost as f64 + prices.charges[stock] - gap - slack(cost as f64);
        let counts = Vec::with_capacity(instance.kinds.len());
        let mut filling = Filling { instance, prices, stock, worth_at_least, counts, found, steps };
        let is_through = filling.fill(board.room, 0.0);
        (found, steps) = (filling.found, filling.steps);
        if !is_through {
            return None;
        }
    }
    Some(found)
}

/// Boards of one length filled kind by kind, the widest first.
struct Filling<'a> {
    instance: &'a Instance,
    prices: &'a LinearBound,
    stock: usize,
    /// A pattern that is worth less is in no cheaper plan.
    worth_at_least: f64,
    counts: Vec<usize>,
    found: Vec<Pattern>,
    steps: usize,
}

impl Filling<'_> {
    /// Every way to go on from the kinds that are counted; false where it was given up.
    fn fill(&mut self, room: i64, worth: f64) -> bool {
        if self.steps == 0 || self.found.len() > MOST_PATTERNS {
            return false;
        }
        self.steps -= 1;
        let (kinds, prices) = (&self.instance.kinds, &self.prices.prices);
        let next = self.counts.len();
        if next == kinds.len() {
            self.keep(room, worth);
            return true;
        }
        // No room is worth more than at the best price for its width of a kind that is to come.
        let rest = kinds[next..].iter().zip(&prices[next..]);
        let dearest = rest.map(|(kind, price)| price / kind.width as f64).fold(0.0, f64::max);
        if worth + room as f64 * dearest < self.worth_at_least {
            return true;
        }
        let (width, price) = (kinds[next].width, prices[next]);
        let most = match self.instance.is_wide_enough(self.stock, next) {
            true => kinds[next].count.min((room / width) as usize),
            false => 0,
        };
        for n in (0..=most).rev() {
            self.counts.push(n);
            let is_through = self.fill(room - width * n as i64, worth + price * n as f64);
            self.counts.pop();
            if !is_through {
                return false;
            }
        }
        true
    }

    /// Keeps the pattern that is counted, if it is worth enough and full.
    fn keep(&mut self, room: i64, worth: f64) {
        let kinds = &self.instance.kinds;
        let takes = |(k, &n): (usize, &usize)| {
            n < kinds[k].count
                && kinds[k].width <= room
                && self.instance.is_wide_enough(self.stock, k)
        };
        let takes_more = self.counts.iter().enumerate().any(takes);
        if worth < self.worth_at_least || takes_more {
            return;
        }
        let some = self.counts.iter().enumerate().filter(|(_, n)| **n > 0);
        let pieces: Vec<(usize, usize)> = some.map(|(kind, &n)| (kind, n)).collect();
        if !pieces.is_empty() {
            self.found.push(Pattern { stock: self.stock, pieces });
        }
    }
}

/// The linear programme over patterns, solved, with how often each is sawn; none where the solver
/// fails or they do not suffice.
fn relaxed(instance: &Instance, patterns: &[Pattern]) -> Option<(Solution, Vec<Variable>)> {
    let mut problem = Problem::new(OptimizationDirection::Minimize);
    let mut rows = vec![Vec::new(); instance.kinds.len()];
    let mut limits = vec![Vec::new(); instance.stocks.len()];
    let mut times = Vec::new();
    for pattern in patterns {
        let cost = instance.stocks[pattern.stock].cost as f64;
        let variable = problem.add_var(cost, (0.0, f64::INFINITY));
        for &(kind, n) in &pattern.pieces {
            rows[kind].push((variable, n as f64));
        }
        limits[pattern.stock].push((variable, 1.0));
        times.push(variable);
    }
    for (row, kind) in rows.into_iter().zip(&instance.kinds) {
        if row.is_empty() {
            return None;
        }
        problem.add_constraint(row, ComparisonOp::Ge, kind.count as f64);
    }
    for (row, stock) in limits.into_iter().zip(&instance.stocks) {
        if let Some(n) = stock.available.filter(|_| !row.is_empty()) {
            problem.add_constraint(row, ComparisonOp::Le, n as f64);
        }
    }
    Some((problem.solve().ok()?.into_solution().ok()?, times))
}

/// Branch and bound, depth first.
struct Tree<'a> {
    instance: &'a Instance,
    patterns: &'a [Pattern],
    times: Vec<Variable>,
    /// How many are still looked at.
    nodes: usize,
    /// What the cheapest plan known costs.
    least: i64,
    found: Option<Plan>,
    /// A bound and what any boards cost at least that cost no less.
    lifted: (i64, i64),
}

impl Tree<'_> {
    /// Whether no boards cost what a node asks for or more, and less than the cheapest plan.
    fn is_too_dear(&mut self, node: &Solution) -> bool {
        let bound = (node.objective() - slack(node.objective())).ceil() as i64;
        let (from, to) = self.lifted;
        if !(from <= bound && bound <= to) {
            self.lifted = (bound, attainable::lifted(self.instance, bound, self.least));
        }
        bound.max(self.lifted.1) >= self.least
    }

    /// What is no whole number, by how much, and the whole number below it: how many boards of a
    /// length, else how often a pattern.
    fn split(&self, node: &Solution) -> Option<(Vec<(Variable, f64)>, f64)> {
        let value = |v: &Variable| node.var_value_raw(*v);
        let off_whole = |value: f64| (value - value.round()).abs();
        let of_stock = |stock: usize| -> Vec<Variable> {
            let of_it = self.times.iter().zip(self.patterns);
            of_it.filter(|(_, pattern)| pattern.stock == stock).map(|(v, _)| *v).collect()
        };
        let sum = |of: &[Variable]| of.iter().map(value).sum::<f64>();
        let most_off = |all: Vec<Vec<Variable>>| {
            let off = all.into_iter().filter(|of| off_whole(sum(of)) > WHOLE);
            off.max_by(|a, b| off_whole(sum(a)).total_cmp(&off_whole(sum(b))))
        };
        let stocks = (0..self.instance.stocks.len()).map(of_stock).collect();
        let patterns = || self.times.iter().map(|v| vec![*v]).collect();
        let split = most_off(stocks).or_else(|| most_off(patterns()))?;
        let below = sum(&split).floor();
        Some((split.into_iter().map(|v| (v, 1.0)).collect(), below))
    }

    /// Whether everything below a node was searched, or cannot be cheaper.
    fn searched(&mut self, node: Solution) -> bool {
        if self.is_too_dear(&node) {
            return true;
        }
        if self.nodes == 0 {
            return false;
        }
        self.nodes -= 1;
        let Some((split, below)) = self.split(&node) else {
            let time = |v: &Variable| node.var_value_raw(*v).round() as usize;
            return self.take(&self.times.iter().map(time).collect::<Vec<_>>());
        };
        // Upwards first: a pattern that is sawn leaves less to be decided.
        let more = node.clone().add_constraint(&split[..], ComparisonOp::Ge, below + 1.0);
        let less = node.add_constraint(&split[..], ComparisonOp::Le, below);
        [more, less].into_iter().all(|child| match child.map(|child| child.into_solution()) {
            Ok(Ok(child)) => self.searched(child),
            // What cannot be met has nothing below it.
            Err(microlp::Error::Infeasible) => true,
            _ => false,
        })
    }

    /// Takes a plan that saws each pattern so often, less what is cut too often; false where it is
    /// none after all.
    fn take(&mut self, times: &[usize]) -> bool {
        let mut demand = self.instance.demand();
        let mut plan = Plan::default();
        for (pattern, &times) in self.patterns.iter().zip(times) {
            for _ in 0..times {
                let left = |&(kind, n): &(usize, usize)| (kind, n.min(demand.counts[kind]));
                let pieces: Vec<(usize, usize)> =
                    pattern.pieces.iter().map(left).filter(|(_, n)| *n > 0).collect();
                if pieces.is_empty() || !demand.offers(pattern.stock) {
                    continue;
                }
                let sawn = Pattern { stock: pattern.stock, pieces };
                sawn.take(&mut demand, 1);
                plan.push(self.instance, sawn, 1);
            }
        }
        if demand.is_met() && plan.cost < self.least {
            self.least = plan.cost;
            self.found = Some(plan);
            return true;
        }
        false
    }
}
