//! The pattern of most value on a board: a bounded knapsack.

use super::instance::{Demand, Instance};
use super::pattern::Pattern;

/// The largest table of the dynamic programme, in cells.
const MOST_CELLS: usize = 4_000_000;
/// Nodes of the search that stands in for a larger table.
const MOST_NODES: usize = 200_000;
/// Values closer than this are the same.
pub(super) const VALUE_TOLERANCE: f64 = 1e-9;

/// The best pattern found on a stock, and a value that none exceeds.
pub(super) struct Priced {
    pub pattern: Pattern,
    pub value: f64,
    pub at_most: f64,
}

/// The most valuable pattern on each stock, in the order of the stocks, for a value of one piece of each kind.
pub(super) fn price(instance: &Instance, demand: &Demand, values: &[f64]) -> Vec<Priced> {
    let largest = instance.stocks.last().map_or(0, |s| s.room / instance.grain) as usize;
    let items = bundles(instance, demand, values);
    match items.len().checked_mul(largest + 1) {
        Some(cells) if cells <= MOST_CELLS => by_table(instance, &items, largest),
        _ => (0..instance.stocks.len())
            .map(|stock| by_nodes(instance, demand, values, stock))
            .collect(),
    }
}

/// So many pieces of one kind taken together.
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
            let n = pieces.min(rest);
            let steps = (width / instance.grain) as usize * n;
            bundles.push(Bundle { kind, pieces: n, width: steps, value: values[kind] * n as f64 });
            rest -= n;
            pieces *= 2;
        }
    }
    bundles
}

fn by_table(instance: &Instance, items: &[Bundle], largest: usize) -> Vec<Priced> {
    let mut best = vec![0.0f64; largest + 1];
    let mut taken = vec![false; items.len() * (largest + 1)];
    for (item, row) in items.iter().zip(taken.chunks_exact_mut(largest + 1)) {
        for room in (item.width..=largest).rev() {
            let value = best[room - item.width] + item.value;
            if value > best[room] + VALUE_TOLERANCE * 1e-3 {
                best[room] = value;
                row[room] = true;
            }
        }
    }
    let on = |(stock, s): (usize, &super::instance::Stock)| {
        let mut room = (s.room / instance.grain) as usize;
        let value = best[room];
        let mut counts = vec![0; instance.kinds.len()];
        for (index, item) in items.iter().enumerate().rev() {
            if taken[index * (largest + 1) + room] {
                counts[item.kind] += item.pieces;
                room -= item.width;
            }
        }
        Priced { pattern: of_counts(stock, &counts), value, at_most: above(value) }
    };
    instance.stocks.iter().enumerate().map(on).collect()
}

fn of_counts(stock: usize, counts: &[usize]) -> Pattern {
    Pattern { stock, pieces: counts.iter().copied().enumerate().filter(|&(_, n)| n > 0).collect() }
}

/// Depth-first by falling value for width, cut off by the rest filled without a gap.
struct Nodes<'a> {
    /// Kind, width, most pieces, value.
    items: Vec<(usize, i64, usize, f64)>,
    counts: Vec<usize>,
    best: f64,
    best_counts: Vec<usize>,
    nodes: usize,
    instance: &'a Instance,
}

fn by_nodes(instance: &Instance, demand: &Demand, values: &[f64], stock: usize) -> Priced {
    let mut items: Vec<(usize, i64, usize, f64)> = (0..instance.kinds.len())
        .filter(|&k| values[k] > VALUE_TOLERANCE && demand.counts[k] > 0)
        .map(|k| (k, instance.kinds[k].width, demand.counts[k], values[k]))
        .collect();
    items.sort_by(|a, b| (b.3 / b.1 as f64).total_cmp(&(a.3 / a.1 as f64)));
    let room = instance.stocks[stock].room;
    let relaxed = without_gap(&items, room);
    let counts = vec![0; instance.kinds.len()];
    let best_counts = counts.clone();
    let mut search = Nodes { items, counts, best: 0.0, best_counts, nodes: 0, instance };
    search.go(0, room, 0.0);
    let whole = search.nodes < MOST_NODES;
    let at_most = if whole { search.best } else { relaxed };
    Priced {
        pattern: of_counts(stock, &search.best_counts),
        value: search.best,
        at_most: above(at_most),
    }
}

/// The value of a room filled by the best kinds, the last of them in part.
fn without_gap(items: &[(usize, i64, usize, f64)], mut room: i64) -> f64 {
    let mut sum = 0.0;
    for &(_, width, most, value) in items {
        let n = most.min((room / width) as usize);
        sum += value * n as f64;
        room -= width * n as i64;
        if n < most {
            return sum + value * room as f64 / width as f64;
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
            let (kind, width, most, each) = self.items[at];
            if room < narrowest
                || value + each * (room as f64 / width as f64) <= self.best + VALUE_TOLERANCE
            {
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
            self.counts[kind] = 0;
        }
    }
}

/// A value that rounding has not gone beyond.
fn above(value: f64) -> f64 {
    value * (1.0 + 1e-12) + VALUE_TOLERANCE
}
