//! A pattern: what is sawn from one board. A plan: patterns and how often each is sawn.

use super::instance::{Demand, Instance};

/// The kinds on one board, by rising kind, each with how many.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) struct Pattern {
    pub stock: usize,
    pub pieces: Vec<(usize, usize)>,
}

impl Pattern {
    /// How often it can be sawn from what is still wanted and on offer.
    pub(super) fn times(&self, demand: &Demand) -> usize {
        let pieces =
            self.pieces.iter().map(|&(kind, n)| demand.counts[kind] / n).min().unwrap_or(0);
        pieces.min(demand.boards[self.stock].unwrap_or(usize::MAX))
    }

    pub(super) fn used(&self, instance: &Instance) -> i64 {
        self.pieces.iter().map(|&(kind, n)| instance.kinds[kind].width * n as i64).sum()
    }

    /// Takes it out of the demand so many times, which [`Pattern::times`] must allow.
    pub(super) fn take(&self, demand: &mut Demand, times: usize) {
        for &(kind, n) in &self.pieces {
            demand.counts[kind] -= n * times;
        }
        if let Some(boards) = &mut demand.boards[self.stock] {
            *boards -= times;
        }
    }
}

/// Patterns and times, with what they cost in steps of the lattice.
#[derive(Clone, Debug, Default)]
pub(super) struct Plan {
    pub boards: Vec<(Pattern, usize)>,
    pub cost: i64,
}

impl Plan {
    pub(super) fn push(&mut self, instance: &Instance, pattern: Pattern, times: usize) {
        self.cost += instance.stocks[pattern.stock].cost * times as i64;
        self.boards.push((pattern, times));
    }

    pub(super) fn patterns(&self) -> impl Iterator<Item = Pattern> + '_ {
        self.boards.iter().map(|(pattern, _)| pattern.clone())
    }

    /// Both plans together.
    pub(super) fn and(mut self, other: Self) -> Self {
        self.cost += other.cost;
        self.boards.extend(other.boards);
        self
    }
}

/// One piece of each kind alone, on every stock that holds it.
pub(super) fn singles(instance: &Instance) -> Vec<Pattern> {
    let mut singles = Vec::new();
    for kind in 0..instance.kinds.len() {
        let holding = (0..instance.stocks.len()).filter(|&s| instance.holds(s, kind));
        singles.extend(holding.map(|stock| Pattern { stock, pieces: vec![(kind, 1)] }));
    }
    singles
}
