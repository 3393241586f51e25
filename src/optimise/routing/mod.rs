//! In which sequence to visit places, each by one of several ways in and out: the shortest travel
//! between them.
//!
//! **The problem** is the generalised travelling salesman problem with precedence: one of the ways
//! of every stop is taken, some stops come after others, and ranks follow each other. Stops are
//! contours to cut and strokes to draw, ways their starting points and directions.
//!
//! **The method** is iterated local search (H. R. Lourenço, O. C. Martin, T. Stützle, Iterated
//! local search, 2003):
//!
//! | step | file | method |
//! | --- | --- | --- |
//! | first tours | `construction` | nearest neighbour, and the sequence as given |
//! | improvement | `local_search`, `moves`, `neighbourhood` | 2-opt (G. A. Croes, A method for solving traveling-salesman problems, 1958), Or-opt (I. Or, Traveling salesman-type combinatorial problems, 1976) and reinsertion, over neighbour lists with a queue of stops to look at (J. L. Bentley, Fast algorithms for geometric traveling salesman problems, 1992) |
//! | best ways for a fixed sequence | `way_choice` | shortest path through layers (the cluster optimisation of M. Fischetti, J. J. Salazar González, P. Toth, A branch-and-cut algorithm for the symmetric generalized traveling salesman problem, 1997) |
//! | leaving a local optimum | `perturbation` | segment exchange, accepted by record-to-record travel (G. Dueck, New optimization heuristics, 1993) |
//! | proof of what could be left | `bound` | Lagrangean bound on spanning trees (M. Held, R. M. Karp, The traveling-salesman problem and minimum spanning trees, part II, 1971) |
//!
//! All titles are from memory.
//!
//! **Invariant**: a `sequence::Sequence` holds every stop once, between home and the end, at a
//! position that its rank and its precedence allow. Constructions make only such sequences, and a
//! move is made only if it keeps them so.
//!
//! **Cost** with n stops of w ways each: a descent takes about O(n) moves; each looks at k near
//! stops in O(w) and moves or reverses up to n positions. Choosing ways is O(n w^2). The
//! bound is O(n^2) a round, up to 300 rounds, fewer from 180 stops on (58 without effort).
//! Measured: 5,000 strokes take 0.24 s (DEVELOPERS.md, figures).

mod bound;
mod construction;
mod local_search;
mod moves;
mod neighbour_lists;
mod neighbourhood;
mod perturbation;
mod problem;
mod sequence;
mod stop;
#[cfg(test)]
mod tests;
mod way_choice;

pub use super::effort::Effort;
pub use problem::{Problem, RoutingError};
pub use stop::{End, Stop, Visit, Way};

use sequence::Sequence;

/// A sequence of all stops.
#[derive(Clone, Debug, PartialEq)]
pub struct Tour {
    /// Every stop once, in sequence.
    pub visits: Vec<Visit>,
    /// Straight travel from home through all stops to the end, in mm.
    pub length_mm: f64,
}

impl Tour {
    /// No tour of the stops of this problem, whose tour this is, is shorter, in mm. It costs about
    /// as much as the tour, so it is worked out where somebody is told.
    pub fn bound_mm(&self, problem: &Problem, effort: Effort) -> f64 {
        bound::bound(problem, self.length_mm, effort)
    }
}

/// A short tour of all stops that keeps precedence and ranks.
///
/// It is never longer than going to the nearest next stop each time, nor than the sequence given
/// where that is allowed (else the allowed sequence nearest to it); for the sequence it takes, its
/// ways are the best ones. It is seldom the shortest of all: [`Tour::bound_mm`] says what could be
/// left.
///
/// Effort 0 is one descent, 1 some perturbation after it, each step more perturbs four times as
/// often, up to 6.
pub fn tour(problem: &Problem, effort: Effort) -> Tour {
    if problem.count() == 0 {
        return Tour { visits: Vec::new(), length_mm: 0.0 };
    }
    let near = neighbour_lists::neighbours(problem);
    let mut sequence = descended(problem, &near, effort);
    perturbation::improve(&mut sequence, &near, effort);
    let visits = sequence.visits();
    let length_mm = problem.length(&visits);
    Tour { visits, length_mm }
}

/// Up to this many stops both first sequences are improved, not only the shorter; of more, a second
/// descent costs time that can be noticed. The limit is by trial.
const BOTH: usize = 400;

/// The better of the first sequences, improved until no move helps.
fn descended<'p>(problem: &'p Problem, near: &[Vec<usize>], effort: Effort) -> Sequence<'p> {
    let starts = [construction::nearest_neighbour(problem), construction::as_given(problem)];
    let mut sequences = starts.map(|stops| Sequence::new(problem, &stops));
    sequences.sort_by(|a, b| a.length().total_cmp(&b.length()));
    let [mut better, mut other] = sequences;
    perturbation::descend_fully(&mut better, near);
    if effort.level == 0 || problem.count() > BOTH {
        return better;
    }
    // The shorter of two starts need not be the one that ends shorter.
    perturbation::descend_fully(&mut other, near);
    if other.length() < better.length() { other } else { better }
}
