//! First-fit decreasing, a board at a time: the longest piece that still fits, until none does.
//!
//! D. S. Johnson, Fast algorithms for bin packing, 1974 (from memory). With boards of one length it
//! needs at most 11/9 of the fewest, and 6/9 of a board more (G. Dosa, 2007, from memory). O(kinds)
//! a board, and equal boards are filled once.

use super::instance::{Demand, Instance};
use super::pattern::{Pattern, Plan};

/// First-fit decreasing on the longest boards, each then exchanged for the cheapest that holds its
/// pieces.
pub(super) fn first_fit(instance: &Instance) -> Option<Plan> {
    fill(instance, &instance.demand(), longest_shrunk)
}

/// The kind that is wanted and has the fewest boards to choose from: the widest of the highest
/// rank.
fn hardest(instance: &Instance, demand: &Demand) -> Option<usize> {
    instance.hardest_first.iter().copied().find(|&kind| demand.counts[kind] > 0)
}

fn longest_shrunk(instance: &Instance, demand: &Demand) -> Option<Pattern> {
    let hardest = hardest(instance, demand)?;
    let holds = |s: &usize| demand.offers(*s) && instance.holds(*s, hardest);
    let longest = (0..instance.stocks.len()).rev().find(holds)?;
    shrunk(instance, demand, filled(instance, demand, longest)?)
}

/// The same, each board the one that costs least for the length used.
pub(super) fn least_per_use(instance: &Instance, demand: &Demand) -> Option<Plan> {
    fill(instance, demand, cheapest_per_use)
}

fn cheapest_per_use(instance: &Instance, demand: &Demand) -> Option<Pattern> {
    let mut best: Option<(f64, Pattern)> = None;
    let hardest = hardest(instance, demand)?;
    for stock in (0..instance.stocks.len()).rev().filter(|&s| demand.offers(s)) {
        let pattern = filled(instance, demand, stock).and_then(|p| shrunk(instance, demand, p));
        let Some(pattern) = pattern else { continue };
        let per_use = instance.stocks[pattern.stock].cost as f64 / pattern.used(instance) as f64;
        // Without the hardest piece on it a cheap short board would be taken again and again, and
        // the long pieces left with boards of their own.
        let holds_hardest = pattern.pieces.iter().any(|&(kind, _)| kind == hardest);
        if holds_hardest && best.as_ref().is_none_or(|(least, _)| per_use < *least) {
            best = Some((per_use, pattern));
        }
    }
    best.map(|(_, pattern)| pattern)
}

fn fill(
    instance: &Instance,
    demand: &Demand,
    next: impl Fn(&Instance, &Demand) -> Option<Pattern>,
) -> Option<Plan> {
    let mut demand = demand.clone();
    let mut plan = Plan::default();
    while !demand.is_met() {
        let pattern = next(instance, &demand)?;
        // As often as it can be: of 10,000 pieces that is a few patterns, not thousands of boards.
        let times = pattern.times(&demand);
        pattern.take(&mut demand, times);
        plan.push(instance, pattern, times);
    }
    Some(plan)
}

/// A board filled from the hardest piece down; none if nothing fits.
fn filled(instance: &Instance, demand: &Demand, stock: usize) -> Option<Pattern> {
    let mut room = instance.stocks[stock].room;
    let mut pieces = Vec::new();
    for &kind in instance.hardest_first.iter().filter(|&&k| instance.is_wide_enough(stock, k)) {
        let n = demand.counts[kind].min((room / instance.kinds[kind].width) as usize);
        if n > 0 {
            room -= instance.kinds[kind].width * n as i64;
            pieces.push((kind, n));
        }
    }
    pieces.sort_unstable();
    (!pieces.is_empty()).then_some(Pattern { stock, pieces })
}

/// The pattern on the cheapest board on offer that holds it.
fn shrunk(instance: &Instance, demand: &Demand, pattern: Pattern) -> Option<Pattern> {
    let used = pattern.used(instance);
    let is_wide_enough =
        |s: usize| pattern.pieces.iter().all(|&(k, _)| instance.is_wide_enough(s, k));
    let holds =
        |&s: &usize| demand.offers(s) && instance.stocks[s].room >= used && is_wide_enough(s);
    // Of boards that cost the same the one that serves for the least else.
    let cost = |&s: &usize| (instance.stocks[s].cost, instance.stocks[s].rank);
    let stock = (0..instance.stocks.len()).filter(holds).min_by_key(cost)?;
    Some(Pattern { stock, ..pattern })
}
