//! The best ways for a fixed sequence: a shortest path through layers, one layer a stop.
//!
//! The travel of a fixed sequence is a sum of links between neighbours, and a link depends on the
//! ways of its two ends only. So the least travel to each way of a stop follows from the least
//! travel to each way of the stop before (dynamic programming). O(w^2) a stop with w ways each, and
//! exact: whatever ways it chooses, no other choice for that sequence travels less.

use super::problem::{Problem, distance};
use super::stop::Way;
use crate::geometry::Point;

/// The layers laid so far, with the least travel to every way of the last.
pub(super) struct Layers<'p> {
    problem: &'p Problem,
    /// For each way of each layer the index of the way before it on the shortest path. The layers
    /// lie one after the other in one list: a list each would be an allocation a stop, in the
    /// search's innermost loop.
    came_from: Vec<usize>,
    /// Where each layer begins in that list.
    starts: Vec<usize>,
    /// Of the last layer: where each way leaves the tool, and the least travel to there.
    reached: Vec<(Point, f64)>,
    next: Vec<(Point, f64)>,
}

impl<'p> Layers<'p> {
    /// Begins at a point, with room for so many layers.
    pub(super) fn from(problem: &'p Problem, leave: Point, layers: usize) -> Self {
        Layers {
            problem,
            came_from: Vec::with_capacity(8 * layers),
            starts: Vec::with_capacity(layers),
            reached: vec![(leave, 0.0)],
            next: Vec::new(),
        }
    }

    /// Lays the layer of a stop that is visited by one of these ways.
    pub(super) fn lay(&mut self, stop: usize, ways: &[Way]) {
        let is_free = self.problem.is_free(stop);
        self.starts.push(self.came_from.len());
        self.next.clear();
        for way in ways {
            let (mut least, mut from) = (f64::INFINITY, 0);
            for (index, &(leave, so_far)) in self.reached.iter().enumerate() {
                let cost = so_far + if is_free { 0.0 } else { distance(leave, way.enter) };
                // Strictly less: of equal paths the one by the earlier way, on every machine.
                if cost < least {
                    (least, from) = (cost, index);
                }
            }
            self.came_from.push(from);
            self.next.push((way.leave, least));
        }
        std::mem::swap(&mut self.reached, &mut self.next);
    }

    /// The least travel to the first way of the last layer, in mm.
    pub(super) fn least_mm(&self) -> f64 {
        self.reached[0].1
    }

    /// The ways of all layers but the last on the shortest path to the last one's first way.
    pub(super) fn ways(&self) -> Vec<usize> {
        let before_last = self.starts.len() - 1;
        let mut ways = vec![0; before_last];
        let mut way = self.came_from[self.starts[before_last]];
        for layer in (0..before_last).rev() {
            ways[layer] = way;
            way = self.came_from[self.starts[layer] + way];
        }
        ways
    }
}
