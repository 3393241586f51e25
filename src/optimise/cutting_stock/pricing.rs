//! Pricing: the pattern of most value on a board, a bounded knapsack.
//!
//! By dynamic programming over the room where that table is small enough: the most value for every
//! room at once, so one table prices all stocks that hold the same kinds. Wanted counts are split
//! into bundles of 1, 2, 4 ... pieces, which makes the bounded knapsack a plain one of O(log count)
//! items a kind. Else by branch and bound depth first, by falling value for width, cut off by the
//! rest filled without a gap (G. B. Dantzig, Discrete-variable extremum problems, 1957; E.
//! Horowitz, S. Sahni, Computing partitions with applications to the knapsack problem, 1974; from
//! memory).
//!
//! The table takes O(items * room / grain) steps and as many bytes; the search at most a number of
//! nodes, and where it is cut off its relaxation is the bound.

use super::instance::{Demand, Instance};
use super::pattern::Pattern;

/// The largest table of the dynamic programme, in cells: 4 MB.
const MOST_CELLS: usize = 4_000_000;
/// Nodes of the search that stands in for a larger table.
const MOST_NODES: usize = 200_000;
/// Values closer than this are the same, in steps of the cost lattice.
pub(super) const VALUE_TOLERANCE: f64 = 1e-9;

/// The best pattern found on a stock, and a value that none exceeds.
pub(super) struct Priced {
    pub pattern: Pattern,
    pub value: f64,
    pub at_most: f64,
}

/// The most valuable pattern on each stock, in the order of the stocks, for a value of one piece of
/// each kind.
pub(super) fn price(instance: &Instance, demand: &Demand, values: &[f64]) -> Vec<Priced> {
    let largest = instance.stocks.last().map_or(0, |s| s.room / instance.grain) as usize;
    let mut priced: Vec<Option<Priced>> = instance.stocks.iter().map(|_| None).collect();
    for first in 0..priced.len() {
        if priced[first].is_some() {
            continue;
        }
        let rank = instance.stocks[first].rank;
        let own: Vec<usize> =
            (first..priced.len()).filter(|&s| instance.stocks[s].rank == rank).collect();
        // Worth nothing where it is not wide enough.
        let worth = |(kind, value): (usize, &f64)| {
            if instance.is_wide_enough(first, kind) { *value } else { 0.0 }
        };
        let values: Vec<f64> = values.iter().enumerate().map(worth).collect();
        let items = bundles(instance, demand, &values);
        let each: Vec<Priced> = match items.len().checked_mul(largest + 1) {
            Some(cells) if cells <= MOST_CELLS => by_table(instance, &items, largest, &own),
            _ => own.iter().map(|&stock| by_nodes(instance, demand, &values, stock)).collect(),
        };
        for of in each {
            let stock = of.pattern.stock;
            priced[stock] = Some(of);
        }
    }
    priced
        .into_iter()
        .map(|of| of.expect("every stock is of a rank, and each rank is priced"))
        .collect()
}

/// So many pieces of one kind taken together. Widths are in grains.
struct Bundle {
    kind: usize,
    pieces: usize,
    width: usize,
    value: f64,
}

/// Bundles of 1, 2, 4 ... pieces that make up every number up to the wanted one.
fn bundles(instance: &Instance, demand: &Demand, values: &[f64]) -> Vec<Bundle> {
    let room = instance.stocks.last().map_or(0, |s| s.room);
    let mut bundles = Vec::new();
    for (kind, &wanted) in
        demand.counts.iter().enumerate().filter(|&(kind, _)| values[kind] > VALUE_TOLERANCE)
    {
        let width = instance.kinds[kind].width;
        let (mut rest, mut pieces) = (wanted.min((room / width) as usize), 1);
        while rest > 0 {
            // The last bundle takes the odd rest, so no sum of bundles exceeds what is wanted.
            let n = pieces.min(rest);
            let steps = (width / instance.grain) as usize * n;
            bundles.push(Bundle { kind, pieces: n, width: steps, value: values[kind] * n as f64 });
            rest -= n;
            pieces *= 2;
        }
    }
    bundles
}

fn by_table(
    instance: &Instance,
    items: &[Bundle],
    largest: usize,
    stocks: &[usize],
) -> Vec<Priced> {
    let mut best = vec![0.0_f64; largest + 1];
    let mut taken = vec![false; items.len() * (largest + 1)];
    for (item, row) in items.iter().zip(taken.chunks_exact_mut(largest + 1)) {
        // Downwards, so that each bundle is taken once.
        for room in (item.width..=largest).rev() {
            let value = best[room - item.width] + item.value;
            // Better by more than rounding: else the pattern would hang on the order of the sums.
            if value > best[room] + VALUE_TOLERANCE * 1e-3 {
                best[room] = value;
                row[room] = true;
            }
        }
    }
    let mut priced = Vec::with_capacity(stocks.len());
    for &stock in stocks {
        let mut room = (instance.stocks[stock].room / instance.grain) as usize;
        let value = best[room];
        let mut counts = vec![0; instance.kinds.len()];
        // Backwards through the bundles: the last one taken at a room is in its best filling, and
        // what is left is the best filling of the rest by the bundles before.
        for (index, item) in items.iter().enumerate().rev() {
            if taken[index * (largest + 1) + room] {
                counts[item.kind] += item.pieces;
                room -= item.width;
            }
        }
        priced.push(Priced { pattern: of_counts(stock, &counts), value, at_most: above(value) });
    }
    priced
}

fn of_counts(stock: usize, counts: &[usize]) -> Pattern {
    Pattern { stock, pieces: counts.iter().copied().enumerate().filter(|&(_, n)| n > 0).collect() }
}

/// One kind in the search by nodes.
#[derive(Clone, Copy)]
struct Item {
    kind: usize,
    width: i64,
    most: usize,
    value: f64,
}

impl Item {
    fn value_per_width(&self) -> f64 {
        self.value / self.width as f64
    }
}

/// Depth-first by falling value for width, cut off by the rest filled without a gap.
struct Nodes<'a> {
    items: Vec<Item>,
    counts: Vec<usize>,
    best: f64,
    best_counts: Vec<usize>,
    nodes: usize,
    instance: &'a Instance,
}

fn by_nodes(instance: &Instance, demand: &Demand, values: &[f64], stock: usize) -> Priced {
    let mut items = Vec::new();
    for (kind, &value) in values.iter().enumerate() {
        let (width, most) = (instance.kinds[kind].width, demand.counts[kind]);
        if value > VALUE_TOLERANCE && most > 0 {
            items.push(Item { kind, width, most, value });
        }
    }
    items.sort_by(|a, b| b.value_per_width().total_cmp(&a.value_per_width()));
    let room = instance.stocks[stock].room;
    let relaxed = without_gap(&items, room);
    let counts = vec![0; instance.kinds.len()];
    let best_counts = counts.clone();
    let mut search = Nodes { items, counts, best: 0.0, best_counts, nodes: 0, instance };
    search.go(0, room, 0.0);
    // Cut off, the search found a pattern but no proof: then the relaxation is what none exceeds.
    let is_whole = search.nodes < MOST_NODES;
    let at_most = if is_whole { search.best } else { relaxed };
    let pattern = of_counts(stock, &search.best_counts);
    Priced { pattern, value: search.best, at_most: above(at_most) }
}

/// The value of a room filled by the best kinds, the last of them in part (Dantzig's bound).
fn without_gap(items: &[Item], mut room: i64) -> f64 {
    let mut sum = 0.0;
    for item in items {
        let n = item.most.min((room / item.width) as usize);
        sum += item.value * n as f64;
        room -= item.width * n as i64;
        if n < item.most {
            return sum + item.value * room as f64 / item.width as f64;
        }
    }
    sum
}

impl Nodes<'_> {
    fn go(&mut self, from: usize, room: i64, value: f64) {
        if value > self.best {
            self.best = value;
            self.best_counts.clone_from(&self.counts);
        }
        let narrowest = self.instance.kinds.last().map_or(i64::MAX, |k| k.width);
        for at in from..self.items.len() {
            let Item { kind, width, most, value: each } = self.items[at];
            // By falling value for width: if the rest of the room filled with this one does not
            // beat the best, no later one does.
            let at_best = value + each * (room as f64 / width as f64);
            if room < narrowest || at_best <= self.best + VALUE_TOLERANCE {
                return;
            }
            for n in (1..=most.min((room / width) as usize)).rev() {
                self.nodes += 1;
                if self.nodes >= MOST_NODES {
                    return;
                }
                self.counts[kind] = n;
                self.go(at + 1, room - width * n as i64, value + each * n as f64);
            }
            // Also none of this kind is tried: by the next turn of the loop.
            self.counts[kind] = 0;
        }
    }
}

/// A value that rounding has not gone beyond.
fn above(value: f64) -> f64 {
    value * (1.0 + 1e-12) + VALUE_TOLERANCE
}
