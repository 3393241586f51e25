//! An order of stops with a way chosen for each: what it costs to go on, how it is changed, and how changes are undone.

use super::problem::{Problem, apart};
use super::{Visit, Way};
use crate::geometry::Point;

/// A gain below this, in mm, is rounding and not looked for.
pub(super) const GAIN_MM: f64 = 1e-6;

/// One stop of an order; the way is its place in the list of all ways.
#[derive(Clone, Copy, Debug)]
pub(super) struct Spot {
    pub stop: usize,
    pub way: usize,
}

/// An order with chosen ways: home first, the end last.
#[derive(Clone)]
pub(super) struct Line<'p> {
    pub problem: &'p Problem,
    pub spots: Vec<Spot>,
    /// The position of each stop.
    pub at: Vec<usize>,
    /// The lowest and highest position that each stop may take: the place of its rank.
    pub block: Vec<(usize, usize)>,
    /// For every way the one of its stop that is most like it travelled backwards.
    opposites: Vec<usize>,
    /// Whether every way has one that is exactly it travelled backwards.
    mirrored: bool,
    /// What to put back to undo: the spots that were overwritten, and where each run of them began.
    saved: Vec<Spot>,
    runs: Vec<(usize, usize)>,
}

impl<'p> Line<'p> {
    /// Takes an order of the stops without home and end; each stop gets its best way for this order.
    pub fn new(problem: &'p Problem, order: &[usize]) -> Line<'p> {
        let all = std::iter::once(problem.home()).chain(order.iter().copied()).chain([problem.end()]);
        let spots: Vec<Spot> = all.map(|stop| Spot { stop, way: problem.span(stop).start }).collect();
        let mut block = vec![(0, 0); spots.len()];
        let ranks: Vec<usize> = order.iter().map(|&stop| problem.rank[stop]).collect();
        let mut low = 1;
        for group in ranks.chunk_by(|a, b| a == b) {
            let high = low + group.len() - 1;
            order[low - 1..high].iter().for_each(|&stop| block[stop] = (low, high));
            low = high + 1;
        }
        let opposites: Vec<usize> = (0..=problem.end()).flat_map(|stop| opposites(problem, stop)).collect();
        let mirrored = opposites.iter().enumerate().all(|(way, &back)| off(problem.way(way), problem.way(back)) <= 0.0);
        let at = vec![0; spots.len()];
        let (saved, runs) = (Vec::new(), Vec::new());
        let mut line = Line { problem, spots, at, block, opposites, mirrored, saved, runs };
        line.note(0, problem.count + 1);
        line.choose_ways(1, problem.count);
        line
    }

    /// Travel from one spot to another, in mm.
    pub fn link(&self, from: Spot, to: Spot) -> f64 {
        if self.problem.free(to.stop) {
            0.0
        } else {
            apart(self.problem.way(from.way).leave, self.problem.way(to.way).enter)
        }
    }

    /// Which of its stop's ways a spot has.
    fn local(&self, spot: Spot) -> usize {
        spot.way - self.problem.span(spot.stop).start
    }

    /// The same stop the other way round, as near as its ways come to it.
    pub fn opposite(&self, spot: Spot) -> Spot {
        Spot { stop: spot.stop, way: self.opposites[spot.way] }
    }

    /// What the travel inside a part grows by if it is turned.
    pub fn turned_inside(&self, low: usize, high: usize) -> f64 {
        if self.mirrored {
            return 0.0;
        }
        let pairs = self.spots[low..=high].windows(2);
        pairs.map(|p| self.link(self.opposite(p[1]), self.opposite(p[0])) - self.link(p[0], p[1])).sum()
    }

    /// Turns the part from `low` to `high`.
    pub fn turn(&mut self, low: usize, high: usize) {
        self.save(low, high);
        self.turn_unsaved(low, high);
        self.note(low, high);
    }

    fn turn_unsaved(&mut self, low: usize, high: usize) {
        self.spots[low..=high].reverse();
        for position in low..=high {
            self.spots[position] = self.opposite(self.spots[position]);
        }
    }

    /// Puts the part `low..middle` behind the part `middle..=high`.
    pub fn swap(&mut self, low: usize, middle: usize, high: usize) {
        self.save(low, high);
        self.spots[low..=high].rotate_left(middle - low);
        self.note(low, high);
    }

    /// Gives the stop at a position another way.
    pub fn set_way(&mut self, position: usize, way: usize) {
        self.save(position, position);
        self.spots[position].way = way;
    }

    /// Brings the positions of the stops from `low` to `high` up to date.
    fn note(&mut self, low: usize, high: usize) {
        for position in low..=high {
            self.at[self.spots[position].stop] = position;
        }
    }

    /// Brings the positions of all stops up to date after the spots were overwritten.
    pub fn note_all(&mut self) {
        self.note(0, self.problem.count + 1);
    }

    fn save(&mut self, low: usize, high: usize) {
        self.runs.push((low, self.saved.len()));
        self.saved.extend_from_slice(&self.spots[low..=high]);
    }

    /// From here on changes can be undone, those before no longer.
    pub fn keep(&mut self) {
        self.saved.clear();
        self.runs.clear();
    }

    /// Undoes all changes since they were last kept.
    pub fn undo(&mut self) {
        while let Some((low, from)) = self.runs.pop() {
            let high = low + self.saved.len() - from;
            self.spots[low..high].copy_from_slice(&self.saved[from..]);
            self.saved.truncate(from);
            self.note(low, high - 1);
        }
    }

    /// Chooses the best ways for the order from `low` to `high`, those outside held fast: a shortest path through layers,
    /// one layer a stop. Tells how much shorter the line is for it, in mm.
    pub fn choose_ways(&mut self, low: usize, high: usize) -> f64 {
        let problem = self.problem;
        let mut came_from: Vec<usize> = Vec::with_capacity(8 * (high + 2 - low));
        let mut starts = Vec::with_capacity(high + 2 - low);
        let mut layer = vec![(problem.way(self.spots[low - 1].way).leave, 0.0)];
        let mut next: Vec<(Point, f64)> = Vec::new();
        let mut before = 0.0;
        for position in low..=high + 1 {
            let (last, this) = (self.spots[position - 1], self.spots[position]);
            before += self.link(last, this);
            let ways = if position > high {
                &problem.ways(this.stop)[self.local(this)..][..1]
            } else {
                problem.ways(this.stop)
            };
            let free = problem.free(this.stop);
            starts.push(came_from.len());
            next.clear();
            for way in ways {
                let (mut least, mut from) = (f64::INFINITY, 0);
                for (index, &(leave, so_far)) in layer.iter().enumerate() {
                    let cost = so_far + if free { 0.0 } else { apart(leave, way.enter) };
                    if cost < least {
                        (least, from) = (cost, index);
                    }
                }
                came_from.push(from);
                next.push((way.leave, least));
            }
            std::mem::swap(&mut layer, &mut next);
        }
        let gain = before - layer[0].1;
        if gain < GAIN_MM {
            return 0.0;
        }
        self.save(low, high);
        let mut index = came_from[starts[high + 1 - low]];
        for position in (low..=high).rev() {
            self.spots[position].way = problem.span(self.spots[position].stop).start + index;
            index = came_from[starts[position - low] + index];
        }
        gain
    }

    /// The travel of the whole line, in mm.
    pub fn length(&self) -> f64 {
        self.spots.windows(2).map(|pair| self.link(pair[0], pair[1])).sum()
    }

    /// The visits, home and end left out.
    pub fn visits(&self) -> Vec<Visit> {
        let stops = &self.spots[1..=self.problem.count];
        stops.iter().map(|s| Visit { stop: s.stop, way: self.local(*s) }).collect()
    }
}

/// For each way of a stop the one whose ends are nearest to its own exchanged.
fn opposites(problem: &Problem, stop: usize) -> impl Iterator<Item = usize> {
    let like = move |way: usize, other: usize| off(problem.way(way), problem.way(other));
    let nearest = move |way: usize| problem.span(stop).min_by(|&a, &b| like(way, a).total_cmp(&like(way, b)));
    problem.span(stop).map(move |way| nearest(way).unwrap_or(way))
}

/// How far a way is from another travelled backwards.
fn off(way: Way, other: Way) -> f64 {
    (other.enter - way.leave).norm_squared() + (other.leave - way.enter).norm_squared()
}
