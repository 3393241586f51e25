//! How short a tour could be at best: a Lagrangean bound on spanning trees.
//!
//! Any tour visits the ranks one after the other. It is made of one link from home to a stop of the
//! lowest rank, within each rank a path through all its stops, one link from each rank to the next,
//! and one link from a stop of the highest rank to the end (of length 0 if it may end anywhere).
//! The links of a path are a tree that spans its rank, so none of these pieces is shorter than the
//! least link or the least spanning tree, where a link between two stops is given the least
//! distance from where a way of one leaves to where a way of the other enters, over all ways and
//! over both directions but those that precedence or the ranks forbid: no tour travels a link for
//! less.
//!
//! Every stop has just two links in a tour. So if each stop is given a weight, and the weights of
//! its ends are added to every link, every tour grows by exactly twice the sum of the weights:
//! least links and trees with weights, less that sum, are a bound too, for any weights. The weights
//! are chosen by a subgradient ascent: up where a stop has more than two links, down where it has
//! fewer (M. Held, R. M. Karp, The traveling-salesman problem and minimum spanning trees: part II,
//! 1971; its step after M. Held, P. Wolfe, H. P. Crowder, Validation of subgradient optimization,
//! 1974; from memory).
//!
//! **Cost** for n stops of w ways: O(n^2 w^2) once for the links (boxes in place of ways where that
//! is too much), O(n^2) a round for the trees.

use super::Effort;
use super::problem::{Problem, distance};
use crate::geometry::Bounds;

/// Up to this many stops the least travel between two is kept, not reckoned anew: 11 MB.
const KEPT: usize = 1200;
/// Work spent on weights: pairs of stops looked at, without effort and with it.
const PAIRS: [usize; 2] = [1_000_000, 10_000_000];
/// Rounds of weights at most: the steps have shrunk by then.
const ROUNDS: usize = 300;
/// Above this many pairs of ways boxes round the stops stand in for them: a looser bound, in time.
const WORK: usize = 30_000_000;
/// Taken off for rounding, as a share of the tour: a sum of n lengths is exact to about n roundings
/// of 1e-16.
const ROUNDING: f64 = 1e-9;
/// A round that does not raise the bound shrinks the steps to this share (by trial; 1974 halves
/// them after a number of such rounds).
const SHRINKING: f64 = 0.93;
/// The steps aim at this many times the length of the tour at hand. The best bound is unknown; a
/// little above what is known to be reached keeps a step from vanishing near the end.
const TARGET: f64 = 1.02;

/// A proven lower bound on the travel of every tour, in mm. `length_mm`, of any tour, only sets the
/// size of the steps.
pub(super) fn bound(problem: &Problem, length_mm: f64, effort: Effort) -> f64 {
    if problem.count() == 0 {
        return 0.0;
    }
    let links = Links::of(problem);
    let pairs = PAIRS[usize::from(effort.level > 0)];
    let rounds = (pairs / (problem.count() * problem.count())).clamp(1, ROUNDS);
    let mut weights = vec![0.0; problem.count()];
    let (mut best, mut step) = (0.0_f64, 1.0);
    for _ in 0..rounds {
        let (value, degrees) = links.least(&weights);
        if value > best + ROUNDING * length_mm {
            best = value;
        } else {
            step *= SHRINKING;
        }
        let off: f64 = degrees.iter().map(|&d| (f64::from(d) - 2.0).powi(2)).sum();
        // Every stop has two links: what was found is a tour, or as good as one.
        if off < 0.5 {
            break;
        }
        // The step of Held, Wolfe and Crowder: far from the target long, near it short, and shorter
        // the more stops are off.
        let size = step * (TARGET * length_mm - value).max(0.0) / off;
        for (weight, degree) in weights.iter_mut().zip(degrees) {
            *weight += size * (f64::from(degree) - 2.0);
        }
    }
    // A bound that rounding has lifted would be a false proof.
    (best - ROUNDING * length_mm).max(0.0)
}

/// The least travel between stops, and the stops of each rank.
struct Links<'p> {
    problem: &'p Problem,
    ranks: Vec<Vec<usize>>,
    boxes: Option<Vec<Bounds>>,
    kept: Vec<f64>,
}

impl<'p> Links<'p> {
    fn of(problem: &'p Problem) -> Self {
        let ranks = problem.by_rank();
        // Every pair of ways is looked at once.
        let much = problem.way_count() * problem.way_count() > WORK;
        let boxes = much.then(|| (0..problem.count()).filter_map(|s| box_of(problem, s)).collect());
        let mut links = Links { problem, ranks, boxes, kept: Vec::new() };
        if problem.count() <= KEPT {
            let mut kept = vec![0.0; problem.count() * problem.count()];
            for a in 0..problem.count() {
                for b in 0..a {
                    let least = links.either(a, b);
                    (kept[a * problem.count() + b], kept[b * problem.count() + a]) = (least, least);
                }
            }
            links.kept = kept;
        }
        links
    }

    /// Least travel from one stop, or home, to another, or the end.
    fn least_link(&self, from: usize, to: usize) -> f64 {
        if self.problem.is_free(to) {
            return 0.0;
        }
        // The distance of two boxes is at most that of any two points in them: still a bound.
        if let Some(boxes) = self.boxes.as_ref().filter(|_| from.max(to) < self.problem.count()) {
            return between(boxes[from], boxes[to]);
        }
        let entering = self.problem.ways(to);
        let to_each = self
            .problem
            .ways(from)
            .iter()
            .flat_map(|a| entering.iter().map(|b| distance(a.leave, b.enter)));
        to_each.fold(f64::INFINITY, f64::min)
    }

    /// Least travel between two stops in the directions that are allowed.
    fn either(&self, a: usize, b: usize) -> f64 {
        let p = self.problem;
        if p.rank(a) < p.rank(b) || p.successors(a).contains(&b) {
            self.least_link(a, b)
        } else if p.rank(b) < p.rank(a) || p.successors(b).contains(&a) {
            self.least_link(b, a)
        } else if self.boxes.is_some() {
            self.least_link(a, b)
        } else {
            self.least_link(a, b).min(self.least_link(b, a))
        }
    }

    fn link(&self, a: usize, b: usize) -> f64 {
        if self.kept.is_empty() {
            self.either(a, b)
        } else {
            self.kept[a * self.problem.count() + b]
        }
    }

    /// The least trees and links with these weights, less twice their sum, and how many links each
    /// stop has in them.
    fn least(&self, weights: &[f64]) -> (f64, Vec<u32>) {
        let mut degrees = vec![0; weights.len()];
        let mut value = -2.0 * weights.iter().sum::<f64>();
        for rank in &self.ranks {
            value += self.tree(rank, weights, &mut degrees);
        }
        for pair in self.ranks.windows(2) {
            if let Some((cost, a, b)) = self.least_between(&pair[0], &pair[1], weights) {
                value += cost;
                degrees[a] += 1;
                degrees[b] += 1;
            }
        }
        let (home, end) = (self.problem.home(), self.problem.end());
        let first = self.ranks.first().into_iter().flatten();
        let last = self.ranks.last().into_iter().flatten();
        let from_home = first.map(|&s| (self.least_link(home, s) + weights[s], s));
        let to_end = last.map(|&s| (self.least_link(s, end) + weights[s], s));
        let ends = [cheapest(from_home), cheapest(to_end)];
        for (cost, stop) in ends.into_iter().flatten() {
            value += cost;
            degrees[stop] += 1;
        }
        (value, degrees)
    }

    /// The cheapest link with these weights from a stop of one rank to one of another.
    fn least_between(
        &self,
        from: &[usize],
        to: &[usize],
        weights: &[f64],
    ) -> Option<(f64, usize, usize)> {
        let links = from.iter().flat_map(|&a| to.iter().map(move |&b| (a, b)));
        let priced = links.map(|(a, b)| (self.link(a, b) + weights[a] + weights[b], a, b));
        priced.min_by(|x, y| x.0.total_cmp(&y.0))
    }

    /// The least spanning tree of some stops (R. C. Prim, Shortest connection networks and some
    /// generalizations, 1957): without a heap, for every two stops are joined by a link.
    fn tree(&self, stops: &[usize], weights: &[f64], degrees: &mut [u32]) -> f64 {
        let mut total = 0.0;
        let mut outside: Vec<(f64, usize, usize)> =
            stops[1..].iter().map(|&s| (f64::INFINITY, s, s)).collect();
        let mut last = stops[0];
        while !outside.is_empty() {
            let mut nearest = 0;
            for index in 0..outside.len() {
                let (cost, stop, _) = outside[index];
                // The stop just joined may be a nearer neighbour of those outside.
                let offered = self.link(last, stop) + weights[last] + weights[stop];
                if offered < cost {
                    outside[index] = (offered, stop, last);
                }
                if outside[index].0 < outside[nearest].0 {
                    nearest = index;
                }
            }
            let (cost, stop, from) = outside.swap_remove(nearest);
            total += cost;
            degrees[stop] += 1;
            degrees[from] += 1;
            last = stop;
        }
        total
    }
}

/// The first of the cheapest.
fn cheapest(links: impl Iterator<Item = (f64, usize)>) -> Option<(f64, usize)> {
    links.min_by(|x, y| x.0.total_cmp(&y.0))
}

/// The box round all points of a stop.
fn box_of(problem: &Problem, stop: usize) -> Option<Bounds> {
    Bounds::around(problem.ways(stop).iter().flat_map(|way| [way.enter, way.leave]))
}

/// The least distance of two boxes.
fn between(a: Bounds, b: Bounds) -> f64 {
    let x = (a.min.x - b.max.x).max(b.min.x - a.max.x).max(0.0);
    let y = (a.min.y - b.max.y).max(b.min.y - a.max.y).max(0.0);
    (x * x + y * y).sqrt()
}
