//! Quick changes of a long order towards near stops, the ways held fast: what the exact search then starts from.

use super::layers::Route;
use super::neighbours::neighbours;
use super::problem::Problem;
use super::{Visit, Way};

/// Below this many stops the exact search needs no help.
const FEW: usize = 60;
/// A gain below this, in mm, is rounding.
const GAIN_MM: f64 = 1e-6;
/// The longest part moved.
const PART: usize = 3;
/// How often ways are chosen anew and the changes tried again.
const ROUNDS: usize = 4;
/// Changes made in one round, for each stop.
const CHANGES: usize = 20;

/// Improves a long order; one that is no shorter with the best ways is thrown away.
pub(super) fn improve(route: &mut Route) {
    if route.problem.count < FEW {
        return;
    }
    let near = neighbours(route.problem);
    for _ in 0..ROUNDS {
        let mut line = Line::of(route);
        line.improve(&near);
        let better = Route::new(route.problem, line.visits[1..=route.problem.count].iter().map(|v| v.stop).collect());
        if better.length >= route.length - GAIN_MM {
            return;
        }
        *route = better;
    }
}

/// What a change puts where; positions are those before it.
enum Change {
    /// The part `low..=high` turned, its stops by their opposite ways.
    Turn(usize, usize),
    /// The part `low..=high` put between positions `gap` and `gap + 1`.
    Move(usize, usize, usize),
}

/// An order with fixed ways, home and end included.
struct Line<'p> {
    problem: &'p Problem,
    visits: Vec<Visit>,
    at: Vec<usize>,
    /// For every way the way of its stop that is most like it travelled backwards.
    opposites: Vec<usize>,
    /// Travel up to each position.
    kept: Vec<f64>,
    /// The same with every link travelled backwards by the opposite ways.
    turned: Vec<f64>,
}

impl<'p> Line<'p> {
    fn of(route: &Route<'p>) -> Line<'p> {
        let problem = route.problem;
        let ends = [problem.home(), problem.end()].map(|stop| Visit { stop, way: 0 });
        let visits: Vec<Visit> = [ends[0]].into_iter().chain(route.visits()).chain([ends[1]]).collect();
        let sums = vec![0.0; visits.len()];
        let opposites = (0..=problem.end()).flat_map(|stop| opposites(problem.ways(stop))).collect();
        let mut line = Line { problem, at: vec![0; visits.len()], visits, opposites, kept: sums.clone(), turned: sums };
        line.refresh(1, problem.count);
        line
    }

    /// Brings everything up to date after the positions from `low` up to and with `high` changed.
    fn refresh(&mut self, low: usize, high: usize) {
        let last = (high + 1).min(self.visits.len() - 1);
        let old = (self.kept[last], self.turned[last]);
        for p in low..=last {
            let (before, this) = (self.visits[p - 1], self.visits[p]);
            self.at[this.stop] = p;
            self.kept[p] = self.kept[p - 1] + self.problem.link(before, this);
            self.turned[p] = self.turned[p - 1] + self.problem.link(self.opposite(this), self.opposite(before));
        }
        let shift = (self.kept[last] - old.0, self.turned[last] - old.1);
        self.kept[last + 1..].iter_mut().for_each(|sum| *sum += shift.0);
        self.turned[last + 1..].iter_mut().for_each(|sum| *sum += shift.1);
    }

    /// The same stop the other way round, as near as its ways come to it.
    fn opposite(&self, visit: Visit) -> Visit {
        Visit { stop: visit.stop, way: self.opposites[self.problem.span(visit.stop).start + visit.way] }
    }

    fn improve(&mut self, near: &[Vec<usize>]) {
        let count = self.problem.count;
        let mut queue: std::collections::VecDeque<usize> = self.visits[1..=count].iter().map(|v| v.stop).collect();
        let mut queued = vec![true; count];
        let mut left = CHANGES * count;
        while let Some(stop) = queue.pop_front() {
            queued[stop] = false;
            while left > 0 {
                let Some(change) = self.best_around(stop, &near[stop]) else { break };
                left -= 1;
                for position in self.apply(&change) {
                    let touched = self.visits[position].stop;
                    if touched < count && !queued[touched] {
                        queued[touched] = true;
                        queue.push_back(touched);
                    }
                }
            }
        }
    }

    fn best_around(&self, stop: usize, near: &[usize]) -> Option<Change> {
        let p = self.at[stop];
        let mut best: (f64, Option<Change>) = (-GAIN_MM, None);
        let mut offer = |added: f64, change: Change| {
            if added < best.0 && self.allowed(&change) {
                best = (added, Some(change));
            }
        };
        for q in near.iter().map(|&other| self.at[other]) {
            let (a, b) = (p.min(q), p.max(q));
            for (low, high) in [(a + 1, b), (a, b - 1)] {
                if low < high {
                    offer(self.turn_adds(low, high), Change::Turn(low, high));
                }
            }
            for size in 1..=PART {
                let (low, high) = (p, p + size - 1);
                if high <= self.problem.count && !(low..=high).contains(&q) && q + 1 != low {
                    offer(self.move_adds(low, high, q), Change::Move(low, high, q));
                }
                if p < size {
                    break;
                }
                let (low, high) = (p + 1 - size, p);
                if low > 0 && !(low..=high).contains(&q) && q != high + 1 {
                    offer(self.move_adds(low, high, q - 1), Change::Move(low, high, q - 1));
                }
            }
        }
        best.1
    }

    fn turn_adds(&self, low: usize, high: usize) -> f64 {
        let (v, link) = (&self.visits, |a, b| self.problem.link(a, b));
        let new = link(v[low - 1], self.opposite(v[high])) + link(self.opposite(v[low]), v[high + 1]);
        new + self.turned[high] - self.turned[low] - (self.kept[high + 1] - self.kept[low - 1])
    }

    fn move_adds(&self, low: usize, high: usize, gap: usize) -> f64 {
        let (v, link) = (&self.visits, |a, b| self.problem.link(a, b));
        let closed = link(v[low - 1], v[high + 1]) - link(v[low - 1], v[low]) - link(v[high], v[high + 1]);
        closed + link(v[gap], v[low]) + link(v[high], v[gap + 1]) - link(v[gap], v[gap + 1])
    }

    /// Whether ranks and arrows let the change be made.
    fn allowed(&self, change: &Change) -> bool {
        // Each arrow from a stop of `first` to one of `second` would be turned round.
        let none = |first: std::ops::RangeInclusive<usize>, low: usize, high: usize| {
            first.into_iter().all(|p| {
                let behind = &self.problem.behind[self.visits[p].stop];
                !behind.iter().any(|&s| (low..=high).contains(&self.at[s]))
            })
        };
        let one_rank = |low: usize, high: usize| self.rank(low) == self.rank(high);
        match *change {
            Change::Turn(low, high) => one_rank(low, high) && none(low..=high, low, high),
            Change::Move(low, high, gap) if gap > high => one_rank(low, gap) && none(low..=high, high + 1, gap),
            Change::Move(low, high, gap) => one_rank(gap + 1, high) && none(gap + 1..=low - 1, low, high),
        }
    }

    fn rank(&self, position: usize) -> usize {
        self.problem.rank[self.visits[position].stop]
    }

    /// Makes the change and tells the positions at its seams.
    fn apply(&mut self, change: &Change) -> [usize; 6] {
        match *change {
            Change::Turn(low, high) => {
                for p in low..=high {
                    self.visits[p] = self.opposite(self.visits[p]);
                }
                self.visits[low..=high].reverse();
                self.refresh(low, high);
                [low - 1, low, high, high + 1, low, high]
            }
            Change::Move(low, high, gap) if gap > high => {
                self.visits[low..=gap].rotate_left(high + 1 - low);
                self.refresh(low, gap);
                [low - 1, low, gap + low - high - 1, gap + low - high, gap, gap + 1]
            }
            Change::Move(low, high, gap) => {
                self.visits[gap + 1..=high].rotate_right(high + 1 - low);
                self.refresh(gap + 1, high);
                [gap, gap + 1, gap + 1 + high - low, gap + 2 + high - low, high, high + 1]
            }
        }
    }
}

/// For each way the one of the same stop whose ends are nearest to its own exchanged.
fn opposites(ways: &[Way]) -> Vec<usize> {
    let off = |a: &Way, b: &Way| (b.enter - a.leave).norm_squared() + (b.leave - a.enter).norm_squared();
    let of = |a: &Way| (0..ways.len()).min_by(|&x, &y| off(a, &ways[x]).total_cmp(&off(a, &ways[y]))).unwrap_or(0);
    ways.iter().map(of).collect()
}
