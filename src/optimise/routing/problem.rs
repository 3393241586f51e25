//! The stops as the search sees them: home and end are stops too, and every arrow between stops is known both ways.

use super::{End, Stop, Visit, Way};
use crate::geometry::Point;

/// Why there is no order of the stops.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Unordered {
    /// Each of these stops must come before the next, and the last before the first.
    Circle(Vec<usize>),
    /// A stop must come after one of a higher rank.
    Rank {
        /// The stop of the lower rank.
        stop: usize,
        /// The one of the higher rank that it must come after.
        after: usize,
    },
    /// A stop must come after one that is not there.
    Unknown {
        /// The stop.
        stop: usize,
        /// The index that is not there.
        after: usize,
    },
    /// A stop cannot be visited: it has no way.
    NoWay(usize),
}

/// All stops, home as stop `count`, the end as stop `count + 1`.
pub(super) struct Problem {
    /// How many stops there are, home and end not counted.
    pub count: usize,
    ways: Vec<Way>,
    first: Vec<usize>,
    pub rank: Vec<usize>,
    /// What must come before a stop.
    pub before: Vec<Vec<usize>>,
    /// What must come after a stop.
    pub behind: Vec<Vec<usize>>,
    arrowless: bool,
    end: End,
}

impl Problem {
    pub fn new(stops: &[Stop], home: Point, end: End) -> Result<Problem, Unordered> {
        let count = stops.len();
        let mut ways = Vec::new();
        let mut first = vec![0];
        let mut before = vec![Vec::new(); count + 2];
        let mut behind = vec![Vec::new(); count + 2];
        for (stop, what) in stops.iter().enumerate() {
            if what.ways.is_empty() {
                return Err(Unordered::NoWay(stop));
            }
            ways.extend(&what.ways);
            first.push(ways.len());
            for &after in &what.after {
                match stops.get(after) {
                    None => return Err(Unordered::Unknown { stop, after }),
                    Some(other) if other.rank > what.rank => return Err(Unordered::Rank { stop, after }),
                    Some(_) => {}
                }
                before[stop].push(after);
                behind[after].push(stop);
            }
        }
        for _ in 0..2 {
            ways.push(Way { enter: home, leave: home });
            first.push(ways.len());
        }
        let rank = stops.iter().map(|s| s.rank).chain([0, usize::MAX]).collect();
        let arrowless = before.iter().all(Vec::is_empty);
        let problem = Problem { count, ways, first, rank, before, behind, arrowless, end };
        problem.circle().map_or(Ok(problem), |circle| Err(Unordered::Circle(circle)))
    }

    /// The pseudo-stop where every tour begins.
    pub fn home(&self) -> usize {
        self.count
    }

    /// The pseudo-stop where every tour ends.
    pub fn end(&self) -> usize {
        self.count + 1
    }

    /// The ways of a stop.
    pub fn ways(&self, stop: usize) -> &[Way] {
        &self.ways[self.span(stop)]
    }

    /// Where a stop's figures lie in a list of one figure a way.
    pub fn span(&self, stop: usize) -> std::ops::Range<usize> {
        self.first[stop]..self.first[stop + 1]
    }

    /// A way by its place in the list of all ways.
    pub fn way(&self, way: usize) -> Way {
        self.ways[way]
    }

    /// Whether no stop must come after another, ranks aside.
    pub fn arrowless(&self) -> bool {
        self.arrowless
    }

    /// How many ways there are in all.
    pub fn way_count(&self) -> usize {
        self.ways.len()
    }

    /// Whether going to this stop costs nothing: the end of a tour that may end anywhere.
    pub fn free(&self, stop: usize) -> bool {
        stop == self.end() && self.end == End::Anywhere
    }

    /// Travel from the end of one visit to the start of the next, in mm.
    pub fn link(&self, from: Visit, to: Visit) -> f64 {
        if self.free(to.stop) {
            0.0
        } else {
            apart(self.ways(from.stop)[from.way].leave, self.ways(to.stop)[to.way].enter)
        }
    }

    /// The length of a tour, home and end included, in mm.
    pub fn length(&self, visits: &[Visit]) -> f64 {
        let ends = [self.home(), self.end()].map(|stop| Visit { stop, way: 0 });
        let all: Vec<Visit> = ends[..1].iter().chain(visits).chain(&ends[1..]).copied().collect();
        if visits.is_empty() { 0.0 } else { all.windows(2).map(|pair| self.link(pair[0], pair[1])).sum() }
    }

    /// A circle of arrows, if there is one.
    fn circle(&self) -> Option<Vec<usize>> {
        let mut waits: Vec<usize> = self.before.iter().map(Vec::len).collect();
        let mut ready: Vec<usize> = (0..self.count).filter(|&s| waits[s] == 0).collect();
        while let Some(stop) = ready.pop() {
            for &next in &self.behind[stop] {
                waits[next] -= 1;
                if waits[next] == 0 {
                    ready.push(next);
                }
            }
        }
        // Whatever still waits, waits for something that waits: walking back must come round.
        let mut stop = (0..self.count).find(|&s| waits[s] > 0)?;
        let mut walked = Vec::new();
        while !walked.contains(&stop) {
            walked.push(stop);
            stop = self.before[stop].iter().copied().find(|&s| waits[s] > 0)?;
        }
        let from = walked.iter().position(|&s| s == stop)?;
        Some(walked[from..].iter().rev().copied().collect())
    }
}

/// The distance of two points, in mm.
pub(super) fn apart(a: Point, b: Point) -> f64 {
    let (x, y) = (a.x - b.x, a.y - b.y);
    (x * x + y * y).sqrt()
}
