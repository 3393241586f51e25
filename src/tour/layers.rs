//! The best ways for an order: a shortest path through layers, one layer a stop, kept from both ends.

use super::Visit;
use super::problem::{Problem, apart};
use crate::geometry::tolerance::COINCIDENT_MM;

/// An order of all stops with home first and the end last, and the least travel to and from every way.
#[derive(Clone)]
pub(super) struct Route<'p> {
    pub problem: &'p Problem,
    pub order: Vec<usize>,
    /// The position of each stop.
    pub at: Vec<usize>,
    /// Least travel from home up to having left by a way, one figure a way.
    pub ahead: Vec<f64>,
    /// Least travel from having left by a way to the end, one figure a way.
    pub behind: Vec<f64>,
    /// Least travel of the order, in mm.
    pub length: f64,
}

impl<'p> Route<'p> {
    /// Takes an order of the stops without home and end.
    pub fn new(problem: &'p Problem, order: Vec<usize>) -> Route<'p> {
        let order: Vec<usize> = [problem.home()].into_iter().chain(order).chain([problem.end()]).collect();
        let figures = vec![0.0; problem.way_count()];
        let at = vec![0; order.len()];
        let mut route = Route { problem, order, at, ahead: figures.clone(), behind: figures, length: 0.0 };
        route.refresh(1, route.problem.count + 1);
        route
    }

    /// Brings everything up to date after the positions from `low` up to and with `high` changed.
    pub fn refresh(&mut self, low: usize, high: usize) {
        for position in low..=high {
            self.at[self.order[position]] = position;
        }
        let (mut from, mut to) = (Vec::new(), Vec::new());
        for position in low..self.order.len() {
            let (before, stop) = (self.order[position - 1], self.order[position]);
            from.clear();
            from.extend_from_slice(&self.ahead[self.problem.span(before)]);
            forward(self.problem, before, &from, stop, &mut to);
            let figures = &mut self.ahead[self.problem.span(stop)];
            let shift = even_shift(figures, &to).filter(|_| position > high);
            figures.copy_from_slice(&to);
            if let Some(shift) = shift {
                self.shift_ahead(position + 1, shift);
                break;
            }
        }
        for position in (0..=high.min(self.problem.count)).rev() {
            let (stop, next) = (self.order[position], self.order[position + 1]);
            from.clear();
            from.extend_from_slice(&self.behind[self.problem.span(next)]);
            backward(self.problem, stop, next, &from, &mut to);
            let figures = &mut self.behind[self.problem.span(stop)];
            let shift = even_shift(figures, &to).filter(|_| position < low);
            figures.copy_from_slice(&to);
            if let Some(shift) = shift {
                self.shift_behind(position, shift);
                break;
            }
        }
        self.length = self.ahead[self.problem.span(self.problem.end())][0];
    }

    /// Adds what every way of an earlier stop has gained to all from this position on.
    fn shift_ahead(&mut self, position: usize, shift: f64) {
        for later in position..self.order.len() {
            self.ahead[self.problem.span(self.order[later])].iter_mut().for_each(|figure| *figure += shift);
        }
    }

    /// Adds what every way of a later stop has gained to all below this position.
    fn shift_behind(&mut self, position: usize, shift: f64) {
        for earlier in 0..position {
            self.behind[self.problem.span(self.order[earlier])].iter_mut().for_each(|figure| *figure += shift);
        }
    }

    /// The visits, each by the best way for the order; of equal ways the first.
    pub fn visits(&self) -> Vec<Visit> {
        let mut last = Visit { stop: self.problem.home(), way: 0 };
        let mut visits = Vec::with_capacity(self.problem.count);
        for &stop in &self.order[1..=self.problem.count] {
            let cost =
                |way| self.problem.link(last, Visit { stop, way }) + self.behind[self.problem.span(stop).start + way];
            let ways = 0..self.problem.ways(stop).len();
            let way = ways.min_by(|&a, &b| cost(a).total_cmp(&cost(b))).unwrap_or(0);
            last = Visit { stop, way };
            visits.push(last);
        }
        visits
    }

    /// The figures of a stop seen from home.
    pub fn ahead_of(&self, position: usize) -> &[f64] {
        &self.ahead[self.problem.span(self.order[position])]
    }

    /// The figures of a stop seen from the end.
    pub fn behind_of(&self, position: usize) -> &[f64] {
        &self.behind[self.problem.span(self.order[position])]
    }

    /// The first position of a stop that must come after the one at this position.
    pub fn must_stay_before(&self, position: usize) -> usize {
        self.problem.behind[self.order[position]].iter().map(|&s| self.at[s]).min().unwrap_or(usize::MAX)
    }

    /// The last position of a stop that must come before the one at this position.
    pub fn must_stay_after(&self, position: usize) -> usize {
        self.problem.before[self.order[position]].iter().map(|&s| self.at[s]).max().unwrap_or(0)
    }

    /// The rank at a position.
    pub fn rank(&self, position: usize) -> usize {
        self.problem.rank[self.order[position]]
    }
}

/// What all figures have changed by, if all by the same: then so have those of all stops that follow from them.
fn even_shift(old: &[f64], new: &[f64]) -> Option<f64> {
    let shift = new[0] - old[0];
    old.iter().zip(new).all(|(a, b)| (b - a - shift).abs() < COINCIDENT_MM).then_some(shift)
}

/// From the least travel to each way of `from`, that to each way of `to`.
pub(super) fn forward(problem: &Problem, from: usize, figures: &[f64], to: usize, out: &mut Vec<f64>) {
    out.clear();
    if problem.free(to) {
        out.push(least(figures));
        return;
    }
    let leaving = problem.ways(from);
    out.extend(problem.ways(to).iter().map(|way| {
        leaving
            .iter()
            .zip(figures)
            .map(|(last, so_far)| so_far + apart(last.leave, way.enter))
            .fold(f64::INFINITY, f64::min)
    }));
}

/// From the least travel after each way of `to`, that after each way of `from`.
pub(super) fn backward(problem: &Problem, from: usize, to: usize, figures: &[f64], out: &mut Vec<f64>) {
    out.clear();
    let leaving = problem.ways(from);
    if problem.free(to) {
        out.extend(leaving.iter().map(|_| figures[0]));
        return;
    }
    let entering = problem.ways(to);
    out.extend(leaving.iter().map(|way| {
        entering
            .iter()
            .zip(figures)
            .map(|(next, rest)| rest + apart(way.leave, next.enter))
            .fold(f64::INFINITY, f64::min)
    }));
}

/// The least of all totals over one stop.
pub(super) fn meet(to: &[f64], from: &[f64]) -> f64 {
    to.iter().zip(from).map(|(a, b)| a + b).fold(f64::INFINITY, f64::min)
}

/// The least of some figures.
pub(super) fn least(figures: &[f64]) -> f64 {
    figures.iter().copied().fold(f64::INFINITY, f64::min)
}
