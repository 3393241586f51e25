//! First sequences: nearest neighbour, and the stops as given.
//!
//! Both take, again and again, one of the stops of the lowest rank left whose predecessors are all
//! taken, so what they make keeps ranks and precedence by construction. O(n^2) each.

use super::problem::Problem;
use crate::geometry::Point;

/// What may come next, kept up to date as stops are taken.
struct Waiting<'p> {
    problem: &'p Problem,
    /// How many predecessors of each stop are not yet taken.
    waits: Vec<usize>,
    left_of_rank: Vec<Vec<usize>>,
}

impl<'p> Waiting<'p> {
    fn new(problem: &'p Problem) -> Self {
        // The lowest rank lies last, to be popped.
        let left_of_rank = problem.by_rank().into_iter().rev().collect();
        let waits = (0..problem.count() + 2).map(|s| problem.predecessors(s).len()).collect();
        Waiting { problem, waits, left_of_rank }
    }

    /// Takes the stop of the lowest rank left, among those that wait for nothing, that costs least.
    fn take(&mut self, cost: impl Fn(usize) -> f64) -> Option<usize> {
        let left = self.left_of_rank.last_mut()?;
        let mut best = (f64::INFINITY, usize::MAX, 0);
        for (index, &stop) in left.iter().enumerate() {
            if self.waits[stop] == 0 {
                let cost = cost(stop);
                // Of equal ones the lower index, so that the sequence does not hang on how `left`
                // was emptied.
                if cost < best.0 || (cost <= best.0 && stop < best.1) {
                    best = (cost, stop, index);
                }
            }
        }
        let (_, stop, index) = best;
        if stop == usize::MAX {
            return None;
        }
        left.swap_remove(index);
        if left.is_empty() {
            self.left_of_rank.pop();
        }
        for &next in self.problem.successors(stop) {
            self.waits[next] -= 1;
        }
        Some(stop)
    }
}

/// Each time the stop whose way in is nearest.
pub(super) fn nearest_neighbour(problem: &Problem) -> Vec<usize> {
    let mut waiting = Waiting::new(problem);
    let mut at = problem.ways(problem.home())[0].leave;
    let mut sequence = Vec::with_capacity(problem.count());
    while let Some(stop) = waiting.take(|s| nearest_way(problem, s, at).0) {
        sequence.push(stop);
        at = nearest_way(problem, stop, at).1;
    }
    sequence
}

/// The sequence of the indices, as far as ranks and precedence let it.
pub(super) fn as_given(problem: &Problem) -> Vec<usize> {
    let mut waiting = Waiting::new(problem);
    std::iter::from_fn(|| waiting.take(|s| s as f64)).collect()
}

/// The square of how far a stop is, and where it leaves the tool that takes its nearest way.
fn nearest_way(problem: &Problem, stop: usize, at: Point) -> (f64, Point) {
    let mut best = (f64::INFINITY, at);
    for way in problem.ways(stop) {
        let far = (way.enter - at).norm_squared();
        if far < best.0 {
            best = (far, way.leave);
        }
    }
    best
}
