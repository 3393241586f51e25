//! Turning and moving parts of an order, each change scored with the best ways for the order that comes of it.
//!
//! The travel before and behind the changed part is known for every way (see [`Route`]), so a change costs only the part
//! itself: a part moved past others is carried along one stop at a time, a turned part grows one stop at a time.

use super::kick::Budget;
use super::layers::{Route, backward, forward, least, meet};
use std::collections::VecDeque;

/// A gain below this, in mm, is rounding and not looked for.
const GAIN_MM: f64 = 1e-6;
/// Up to this many stops a change may reach over all of them.
const WHOLE: usize = 400;
/// How many positions a change reaches over where there are more.
const WINDOW: usize = 25;
/// Up to this many stops a part of any length is moved.
const LONG_PARTS: usize = 40;
/// The longest part moved where there are more.
const PART: usize = 3;

/// Whether a moved part is turned.
#[derive(Clone, Copy, Debug)]
enum Facing {
    Kept,
    Turned,
}

/// A change of an order: positions are those before it.
#[derive(Clone, Copy, Debug)]
enum Change {
    /// Turns the part from `low` to `high`.
    Turn { low: usize, high: usize },
    /// Moves the part `low..=high` behind position `past`, or before it if that is lower.
    Move { low: usize, high: usize, past: usize, facing: Facing },
}

/// Improves until no change helps or the budget is spent.
pub(super) fn improve_all(route: &mut Route, budget: &mut Budget) {
    let everything = route.order[1..=route.problem.count].to_vec();
    improve(route, &everything, budget);
}

/// Improves around some stops, then around those that moved, until no change helps or the budget is spent.
pub(super) fn improve(route: &mut Route, around: &[usize], budget: &mut Budget) {
    let mut queue: VecDeque<usize> = around.iter().copied().collect();
    let mut queued = vec![false; route.order.len()];
    around.iter().for_each(|&stop| queued[stop] = true);
    while let Some(stop) = queue.pop_front() {
        queued[stop] = false;
        while let Some(change) = Looking::new(route, budget).around(route.at[stop]) {
            for touched in apply(route, change) {
                if touched < route.problem.count && !queued[touched] {
                    queued[touched] = true;
                    queue.push_back(touched);
                }
            }
        }
        if budget.spent() {
            return;
        }
    }
}

/// Makes a change and tells the stops at its seams.
fn apply(route: &mut Route, change: Change) -> Vec<usize> {
    let (low, high) = match change {
        Change::Turn { low, high } => {
            route.order[low..=high].reverse();
            (low, high)
        }
        Change::Move { low, high, past, facing } => {
            if matches!(facing, Facing::Turned) {
                route.order[low..=high].reverse();
            }
            let part = high + 1 - low;
            if past > high {
                route.order[low..=past].rotate_left(part);
                (low, past)
            } else {
                route.order[past..=high].rotate_right(part);
                (past, high)
            }
        }
    };
    route.refresh(low, high);
    let last = route.order.len() - 1;
    let mut seams: Vec<usize> = (low.saturating_sub(1)..=(low + PART).min(last)).collect();
    seams.extend(high.saturating_sub(PART)..=(high + 1).min(last));
    seams.into_iter().map(|position| route.order[position]).collect()
}

/// The search for the best change around one position.
struct Looking<'r, 'p, 'b> {
    route: &'r Route<'p>,
    budget: &'b mut Budget,
    best: Option<Change>,
    /// The travel that is to be beaten.
    beat: f64,
    window: usize,
    spare: [Vec<f64>; 2],
}

impl<'r, 'p, 'b> Looking<'r, 'p, 'b> {
    fn new(route: &'r Route<'p>, budget: &'b mut Budget) -> Self {
        let window = if route.problem.count <= WHOLE { route.problem.count } else { WINDOW };
        Looking { route, budget, best: None, beat: route.length - GAIN_MM, window, spare: Default::default() }
    }

    fn around(mut self, position: usize) -> Option<Change> {
        if self.budget.spent() {
            return None;
        }
        self.turns_ending_at(position);
        self.turns_beginning_at(position);
        let longest = if self.route.problem.count <= LONG_PARTS { self.route.problem.count } else { PART };
        for high in position..(position + longest).min(self.route.problem.count + 1) {
            if self.route.rank(high) != self.route.rank(position) {
                break;
            }
            self.moves_up(position, high);
            self.moves_down(position, high);
        }
        self.best
    }

    fn offer(&mut self, length: f64, change: Change) {
        if length < self.beat {
            self.beat = length;
            self.best = Some(change);
        }
    }

    /// All turned parts whose last position is `high`. A row of `rows` is the travel from one way of the stop there.
    fn turns_ending_at(&mut self, high: usize) {
        let route = self.route;
        let mut rows = self.own_rows(high);
        for low in (high.saturating_sub(self.window).max(1)..high).rev() {
            if route.rank(low) != route.rank(high) || route.must_stay_before(low) <= high {
                break;
            }
            for row in &mut rows {
                forward(route.problem, route.order[low + 1], row, route.order[low], &mut self.spare[0]);
                std::mem::swap(row, &mut self.spare[0]);
            }
            self.budget.spend(rows.len() * rows.len() * rows[0].len());
            self.score_turn(low, high, &rows);
        }
    }

    /// All turned parts whose first position is `low`. A row of `rows` is the travel to one way of the stop there.
    fn turns_beginning_at(&mut self, low: usize) {
        let route = self.route;
        let mut columns = self.own_rows(low);
        for high in low + 1..=(low + self.window).min(route.problem.count) {
            if route.rank(low) != route.rank(high) || route.must_stay_after(high) >= low {
                break;
            }
            for column in &mut columns {
                backward(route.problem, route.order[high], route.order[high - 1], column, &mut self.spare[0]);
                std::mem::swap(column, &mut self.spare[0]);
            }
            self.budget.spend(columns.len() * columns.len() * columns[0].len());
            let rows: Vec<Vec<f64>> =
                (0..columns[0].len()).map(|w| columns.iter().map(|column| column[w]).collect()).collect();
            self.score_turn(low, high, &rows);
        }
    }

    /// No travel from a way to itself, none to any other.
    fn own_rows(&self, position: usize) -> Vec<Vec<f64>> {
        let count = self.route.ahead_of(position).len();
        (0..count).map(|a| (0..count).map(|b| if a == b { 0.0 } else { f64::INFINITY }).collect()).collect()
    }

    /// Scores a turned part from the travel between each way of its last stop and each of its first.
    fn score_turn(&mut self, low: usize, high: usize, rows: &[Vec<f64>]) {
        let route = self.route;
        let [start, rest] = &mut self.spare;
        forward(route.problem, route.order[low - 1], route.ahead_of(low - 1), route.order[high], start);
        backward(route.problem, route.order[low], route.order[high + 1], route.behind_of(high + 1), rest);
        let length = start.iter().zip(rows).map(|(a, row)| a + meet(row, rest)).fold(f64::INFINITY, f64::min);
        self.budget.spend(2 * start.len() * rest.len());
        self.offer(length, Change::Turn { low, high });
    }

    /// The ways to face for a part: turned only if none of it must follow another of it.
    fn facings(&self, low: usize, high: usize) -> &'static [Facing] {
        let turnable = high > low && (low..high).all(|p| self.route.must_stay_before(p) > high);
        if turnable { &[Facing::Kept, Facing::Turned] } else { &[Facing::Kept] }
    }

    /// The part moved behind each later position in reach.
    fn moves_up(&mut self, low: usize, high: usize) {
        let route = self.route;
        let wall = (low..=high).map(|p| route.must_stay_before(p)).min().unwrap_or(0);
        let top = (high + self.window).min(route.problem.count).min(wall.saturating_sub(1));
        let facings = self.facings(low, high);
        let (mut from, mut figures) = (route.order[low - 1], route.ahead_of(low - 1).to_vec());
        for past in high + 1..=top {
            if route.rank(past) != route.rank(low) {
                break;
            }
            forward(route.problem, from, &figures, route.order[past], &mut self.spare[0]);
            std::mem::swap(&mut figures, &mut self.spare[0]);
            from = route.order[past];
            self.budget.spend(figures.len() * figures.len());
            if least(&figures) + least(route.behind_of(past + 1)) >= self.beat {
                continue;
            }
            for &facing in facings {
                let length = self.through(low, high, facing, from, &figures, past + 1);
                self.offer(length, Change::Move { low, high, past, facing });
            }
        }
    }

    /// The least travel that comes from `from` with `figures`, goes through a part and on from position `next`.
    fn through(&mut self, low: usize, high: usize, facing: Facing, from: usize, figures: &[f64], next: usize) -> f64 {
        let route = self.route;
        let (mut last, mut so_far) = (from, figures.to_vec());
        for step in 0..=high - low {
            let stop = route.order[if matches!(facing, Facing::Kept) { low + step } else { high - step }];
            forward(route.problem, last, &so_far, stop, &mut self.spare[0]);
            std::mem::swap(&mut so_far, &mut self.spare[0]);
            last = stop;
        }
        self.budget.spend((high + 2 - low) * so_far.len() * so_far.len());
        forward(route.problem, last, &so_far, route.order[next], &mut self.spare[0]);
        meet(&self.spare[0], route.behind_of(next))
    }

    /// The part moved before each earlier position in reach.
    fn moves_down(&mut self, low: usize, high: usize) {
        let route = self.route;
        let wall = (low..=high).map(|p| route.must_stay_after(p)).max().unwrap_or(0);
        let bottom = low.saturating_sub(self.window).max(1).max(wall + 1);
        let facings = self.facings(low, high);
        let (mut to, mut figures) = (route.order[high + 1], route.behind_of(high + 1).to_vec());
        for past in (bottom..low).rev() {
            if route.rank(past) != route.rank(low) {
                break;
            }
            backward(route.problem, route.order[past], to, &figures, &mut self.spare[0]);
            std::mem::swap(&mut figures, &mut self.spare[0]);
            to = route.order[past];
            self.budget.spend(figures.len() * figures.len());
            if least(&figures) + least(route.ahead_of(past - 1)) >= self.beat {
                continue;
            }
            for &facing in facings {
                let length = self.through_to(low, high, facing, past - 1, to, &figures);
                self.offer(length, Change::Move { low, high, past, facing });
            }
        }
    }

    /// The least travel that comes from position `before`, goes through a part and on to `to` with `figures` left.
    fn through_to(
        &mut self,
        low: usize,
        high: usize,
        facing: Facing,
        before: usize,
        to: usize,
        figures: &[f64],
    ) -> f64 {
        let route = self.route;
        let (mut last, mut so_far) = (route.order[before], route.ahead_of(before).to_vec());
        for step in 0..=high - low {
            let stop = route.order[if matches!(facing, Facing::Kept) { low + step } else { high - step }];
            forward(route.problem, last, &so_far, stop, &mut self.spare[0]);
            std::mem::swap(&mut so_far, &mut self.spare[0]);
            last = stop;
        }
        self.budget.spend((high + 2 - low) * so_far.len() * so_far.len());
        forward(route.problem, last, &so_far, to, &mut self.spare[0]);
        meet(&self.spare[0], figures)
    }
}
