//! In which order to visit places, each by one of several ways in and out: the shortest way between them.
//!
//! A tour starts from what is at hand (the nearest next stop; the order given), is improved by turning and moving parts
//! of it, and with effort shaken and improved again. The bound proves how much shorter any other tour could be.

mod bound;
mod perturbation;
mod sequence;
mod local_search;
mod neighbour_lists;
mod problem;
mod construction;
#[cfg(test)]
mod tests;

use crate::geometry::Point;
use sequence::Line;
use problem::Problem;
pub use problem::Unordered;

/// One way to visit a stop. What happens between its two points is not the tour's and costs it nothing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Way {
    /// Where the tool comes in, in mm.
    pub enter: Point,
    /// Where it is afterwards, in mm.
    pub leave: Point,
}

/// One thing to visit; the tool enters at one of its ways in and leaves at that way's end.
#[derive(Clone, Debug, PartialEq)]
pub struct Stop {
    /// The ways to choose from, at least one.
    pub ways: Vec<Way>,
    /// Stops, by their index, that must have been visited before.
    pub after: Vec<usize>,
    /// All stops of a lower rank come first: marks 0, holes 1, outlines 2.
    pub rank: usize,
}

/// Where a tour ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// Back at home; the way there counts.
    Home,
    /// Where the last stop leaves the tool.
    Anywhere,
}

/// How hard to search; the same effort and seed give the same tour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Effort {
    /// 0: one descent; 1: some shaking after it; each step more shakes and searches longer, up to 6.
    pub level: u32,
    /// Where the search starts.
    pub seed: u64,
}

impl Effort {
    /// What is worth it without being asked.
    pub const NORMAL: Effort = Effort { level: 1, seed: 1 };
    /// For a tour that will be travelled often.
    pub const RAISED: Effort = Effort { level: 2, seed: 1 };
}

/// One stop of a tour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Visit {
    /// Which stop, by its index.
    pub stop: usize,
    /// By which of its ways.
    pub way: usize,
}

/// An order of all stops, and how good it is.
#[derive(Clone, Debug, PartialEq)]
pub struct Tour {
    /// Every stop once, in order.
    pub visits: Vec<Visit>,
    /// Straight travel from home through all stops to the end, in mm.
    pub length_mm: f64,
    /// No tour of these stops is shorter than this, in mm.
    pub bound_mm: f64,
}

/// A short tour of all stops that keeps every `after` and every rank.
///
/// It is never longer than going to the nearest next stop each time, nor than the order given where that is allowed
/// (else the allowed order nearest to it); for the order it takes, its ways are the best ones. It is seldom the shortest
/// of all: [`Tour::bound_mm`] says what could be left. Bounded by counts of work, not by a clock. Coordinates are finite.
pub fn tour(stops: &[Stop], home: Point, end: End, effort: Effort) -> Result<Tour, Unordered> {
    let problem = Problem::new(stops, home, end)?;
    if stops.is_empty() {
        return Ok(Tour { visits: Vec::new(), length_mm: 0.0, bound_mm: 0.0 });
    }
    let near = neighbour_lists::neighbours(&problem);
    let mut line = descended(&problem, &near, effort);
    perturbation::shake(&mut line, &near, effort);
    let visits = line.visits();
    let length_mm = problem.length(&visits);
    Ok(Tour { visits, length_mm, bound_mm: bound::bound(&problem, length_mm, effort) })
}

/// Up to this many stops both orders at hand are improved, not only the shorter.
const BOTH: usize = 400;

/// The better of the orders at hand, improved until no change helps.
fn descended<'p>(problem: &'p Problem, near: &[Vec<usize>], effort: Effort) -> Line<'p> {
    let starts = [construction::nearest_next(problem), construction::as_given(problem)];
    let mut lines = starts.map(|order| Line::new(problem, &order));
    lines.sort_by(|a, b| a.length().total_cmp(&b.length()));
    let [mut better, mut other] = lines;
    perturbation::settle(&mut better, near);
    if effort.level == 0 || problem.count > BOTH {
        return better;
    }
    perturbation::settle(&mut other, near);
    if other.length() < better.length() { other } else { better }
}
