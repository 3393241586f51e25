//! Local search: 2-opt, Or-opt and reinsertion towards near stops until no such move helps.
//!
//! Stops wait in a queue to be looked at; a move puts the stops at its seams back into it, for only
//! around them anything has changed (don't-look bits: J. L. Bentley, Fast algorithms for geometric
//! traveling salesman problems, 1992, from memory). So a descent costs about as much as there is to
//! gain, and one after a perturbation next to nothing.

use super::moves::{Move, make};
use super::neighbourhood::Neighbourhood;
use super::problem::Problem;
use super::sequence::Sequence;
use std::collections::VecDeque;

/// Counted work: one unit is one stop looked at from another.
pub(super) struct Budget {
    left: u64,
}

impl Budget {
    /// Enough for `each` units a stop.
    pub(super) fn new(count: usize, each: usize) -> Self {
        Self { left: (count as u64).saturating_mul(each as u64) }
    }

    /// Whether nothing is left.
    pub(super) fn is_spent(&self) -> bool {
        self.left == 0
    }

    fn spend(&mut self, work: usize) {
        self.left = self.left.saturating_sub(work as u64);
    }
}

/// Stops whose surroundings are still to be looked at, each at most once.
pub(super) struct Queue {
    stops: VecDeque<usize>,
    queued: Vec<bool>,
}

impl Queue {
    /// An empty one.
    pub(super) fn new(problem: &Problem) -> Self {
        Self { stops: VecDeque::new(), queued: vec![false; problem.count() + 2] }
    }

    /// Adds the stop at a position; home and end are never looked at.
    pub(super) fn push(&mut self, sequence: &Sequence<'_>, position: usize) {
        let stop = sequence.nodes()[position].stop;
        if stop < sequence.problem().count() && !self.queued[stop] {
            self.queued[stop] = true;
            self.stops.push_back(stop);
        }
    }

    /// Adds the stops from position `low` to `high`.
    pub(super) fn push_all(&mut self, sequence: &Sequence<'_>, low: usize, high: usize) {
        for position in low..=high {
            self.push(sequence, position);
        }
    }

    fn pop(&mut self) -> Option<usize> {
        let stop = self.stops.pop_front()?;
        self.queued[stop] = false;
        Some(stop)
    }
}

/// Makes moves until none helps around any queued stop, or the budget is spent. Tells how much
/// shorter the sequence is, in mm.
pub(super) fn descend(
    sequence: &mut Sequence<'_>,
    near: &[Vec<usize>],
    queue: &mut Queue,
    budget: &mut Budget,
) -> f64 {
    let mut gained = 0.0;
    while let Some(stop) = queue.pop() {
        // The same stop again until it is content: its surroundings are still at hand.
        while let Some((added, change)) = best_around(sequence, stop, &near[stop], budget) {
            // Gains are summed, the length never reckoned anew: a move stays O(1) but for its
            // segment.
            gained -= added;
            for position in make(sequence, change) {
                queue.push(sequence, position);
            }
        }
    }
    gained
}

/// The best move around a stop that makes the sequence shorter, and what it adds.
fn best_around(
    sequence: &Sequence<'_>,
    stop: usize,
    near: &[usize],
    budget: &mut Budget,
) -> Option<(f64, Move)> {
    if budget.is_spent() {
        return None;
    }
    // The near stops and the two positions just outside of the rank.
    budget.spend(near.len() + 2);
    Neighbourhood::at(sequence, sequence.position(stop)).best_towards(near)
}
