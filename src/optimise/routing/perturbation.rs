//! Iterated local search: a good sequence is perturbed in a place or two and improved again.
//!
//! A perturbation exchanges two neighbouring segments and reverses some: exchange alone is the
//! segment insertion that 2-opt and Or-opt of three stops cannot make or undo in one move (the
//! double bridge of O. C. Martin, S. W. Otto, E. W. Felten, Large-step Markov chains for the
//! traveling salesman problem, 1991, kept local). What comes of it is kept by record-to-record
//! travel (G. Dueck, New optimization heuristics: the great deluge algorithm and the
//! record-to-record travel, 1993). Both from memory.
//!
//! One perturbation costs O(reach * w^2) for the ways and a descent from six queued stops.

use super::Effort;
use super::local_search::{Budget, Queue, descend};
use super::moves::{may_exchange, may_reverse, reversal_adds};
use super::sequence::{GAIN_MM, Sequence};
use oorandom::Rand64;

/// Units a stop that a descent may cost: many times what it takes to come to rest. It guards
/// against a descent without end.
const DESCENT: usize = 5000;
/// The highest level that makes a difference: 4^5 times the perturbations of level 1.
const HIGHEST: u32 = 6;
/// Perturbations at level 1: for each stop, and at most. By trial; with them every one of the 40
/// tours of `tests/outside/exact_tour` comes to its proven optimum.
const PERTURBATIONS: (usize, usize) = (6, 10_000);
/// Perturbations at level 1 at least: six a stop would be too few where stops are few.
const LEAST: usize = 120;
/// Up to this many stops a sequence may get longer for a while. With more there are too few
/// perturbations a stop to come back from that (by trial),
const HEATED: usize = 400;
/// at first by this many times its mean link (by trial).
const HEAT: f64 = 2.0;
/// How far apart the seams of one perturbation are at most, in positions: what is far apart in a
/// good sequence is mostly far apart on the sheet, and exchanging it mostly a loss. By trial.
const REACH: usize = 30;
/// How many positions beyond a perturbation ways are chosen anew: the best way of a stop hangs on
/// its neighbours, and on theirs less and less. By trial.
const BEYOND: usize = 10;
/// Up to this many stops everything is looked at again after a perturbation: there it costs next to
/// nothing.
const SMALL: usize = 12;
/// One perturbation in so many has a second place (by trial).
const SECOND_PLACE: u64 = 3;

/// Improves until no move helps and the ways are the best for the sequence.
pub(super) fn descend_fully(sequence: &mut Sequence<'_>, near: &[Vec<usize>]) {
    let count = sequence.problem().count();
    let mut queue = Queue::new(sequence.problem());
    let mut budget = Budget::new(count, DESCENT);
    queue.push_all(sequence, 1, count);
    loop {
        descend(sequence, near, &mut queue, &mut budget);
        let gained = sequence.choose_ways(1, count);
        sequence.keep();
        if gained < GAIN_MM || budget.is_spent() {
            return;
        }
        queue.push_all(sequence, 1, count);
    }
}

/// Perturbs as often as the effort allows. The sequence never gets longer.
///
/// A short sequence may get longer for a while, ever less as the search goes on: so it leaves local
/// optima that no single perturbation leads out of. The shortest one met is what is left in the
/// end.
pub(super) fn improve(sequence: &mut Sequence<'_>, near: &[Vec<usize>], effort: Effort) {
    let level = effort.level.min(HIGHEST);
    let count = sequence.problem().count();
    if level == 0 || count < 2 {
        return;
    }
    let (each, most) = PERTURBATIONS;
    let rounds = (each * count).clamp(LEAST, most) << (2 * (level - 1));
    // One budget for all rounds: a few long descents may use what many short ones leave.
    let mut search = Search::new(sequence, near, effort.seed, rounds);
    let heat = if count <= HEATED { HEAT * sequence.length() / count as f64 } else { 0.0 };
    let mut best = sequence.clone();
    // How much longer than the record the sequence is, in mm. It is summed from gains: a whole
    // length each round would make a round O(n).
    let mut above = 0.0;
    for round in 0..rounds {
        sequence.keep();
        let Some(gained) = search.once(sequence) else { continue };
        let now = above - gained;
        if now < -GAIN_MM && count <= HEATED {
            // A copy of nodes only: positions can be worked out once, at the end.
            best.copy_nodes(sequence);
        }
        // The threshold falls evenly to nothing, so that the search ends as a plain descent.
        if now <= heat * (1.0 - round as f64 / rounds as f64) {
            above = now.max(0.0);
        } else {
            sequence.undo();
        }
    }
    if count <= HEATED {
        best.note_all();
        *sequence = best;
    }
}

/// What was changed: the positions around it, and how much shorter the sequence is for it, in mm.
struct Changed {
    first: usize,
    last: usize,
    gained: f64,
}

/// Two neighbouring segments, `low..middle` and `middle..=high`.
#[derive(Clone, Copy)]
struct Segments {
    low: usize,
    middle: usize,
    high: usize,
}

/// What a search needs again and again.
struct Search<'n> {
    near: &'n [Vec<usize>],
    random: Rand64,
    queue: Queue,
    budget: Budget,
}

impl<'n> Search<'n> {
    fn new(sequence: &Sequence<'_>, near: &'n [Vec<usize>], seed: u64, rounds: usize) -> Self {
        let random = Rand64::new(u128::from(seed));
        let queue = Queue::new(sequence.problem());
        Search { near, random, queue, budget: Budget::new(rounds, DESCENT) }
    }

    /// Perturbs a sequence in one place or two and improves it again. Tells how much shorter it is
    /// for all of it; `None` where the segments drawn may not change places.
    fn once(&mut self, sequence: &mut Sequence<'_>) -> Option<f64> {
        let count = sequence.problem().count();
        let segments = drawn(sequence, &mut self.random)?;
        let Changed { mut first, mut last, mut gained } = self.perturb(sequence, segments);
        if count <= HEATED
            && self.random.rand_range(0..SECOND_PLACE) == 0
            && let Some(more) = drawn(sequence, &mut self.random)
        {
            let other = self.perturb(sequence, more);
            first = first.min(other.first);
            last = last.max(other.last);
            gained += other.gained;
        }
        // Ways first: a move is judged by the ways the stops have, and after an exchange those are
        // of another place.
        gained += sequence.choose_ways(first, last);
        if count <= SMALL {
            self.queue.push_all(sequence, 1, count);
        }
        gained += descend(sequence, self.near, &mut self.queue, &mut self.budget);
        let chosen = sequence.choose_ways(first, last);
        if chosen >= GAIN_MM {
            self.queue.push_all(sequence, first, last);
            gained += chosen + descend(sequence, self.near, &mut self.queue, &mut self.budget);
        }
        Some(gained)
    }

    /// Exchanges two neighbouring segments and reverses some, each with even odds.
    fn perturb(&mut self, sequence: &mut Sequence<'_>, segments: Segments) -> Changed {
        let Segments { low, middle, high } = segments;
        let mut gained = -exchange_adds(sequence, segments);
        sequence.exchange(low, middle, high);
        let second = low + high + 1 - middle;
        for (first, last) in [(low, second - 1), (second, high)] {
            if first < last
                && self.random.rand_range(0..2) == 0
                && may_reverse(sequence, first, last)
            {
                gained -= reversal_adds(sequence, first, last);
                sequence.reverse(first, last);
            }
        }
        for position in [low - 1, low, second - 1, second, high, high + 1] {
            self.queue.push(sequence, position);
        }
        let first = low.saturating_sub(BEYOND).max(1);
        Changed { first, last: (high + BEYOND).min(sequence.problem().count()), gained }
    }
}

/// What exchanging two neighbouring segments adds to the sequence, in mm.
fn exchange_adds(sequence: &Sequence<'_>, Segments { low, middle, high }: Segments) -> f64 {
    let n = sequence.nodes();
    let new = sequence.link(n[low - 1], n[middle])
        + sequence.link(n[high], n[low])
        + sequence.link(n[middle - 1], n[high + 1]);
    let old = sequence.link(n[low - 1], n[low])
        + sequence.link(n[middle - 1], n[middle])
        + sequence.link(n[high], n[high + 1]);
    new - old
}

/// Two neighbouring segments of one rank drawn at random; `None` where they may not change places.
fn drawn(sequence: &Sequence<'_>, random: &mut Rand64) -> Option<Segments> {
    let low = 1 + below(random, sequence.problem().count());
    // Segments of one rank only: ranks stay in order by construction.
    let top = sequence.block(sequence.nodes()[low].stop).1.min(low + REACH);
    if top == low {
        return None;
    }
    let high = low + 1 + below(random, top - low);
    let middle = low + 1 + below(random, high - low);
    may_exchange(sequence, low, middle, high).then_some(Segments { low, middle, high })
}

/// A number below a limit.
fn below(random: &mut Rand64, limit: usize) -> usize {
    random.rand_range(0..limit.max(1) as u64) as usize
}
