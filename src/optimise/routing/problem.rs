//! The stops as the search sees them: home and end are stops too, and precedence is known both
//! ways.

use super::stop::{End, Stop, Visit, Way};
use crate::geometry::Point;

/// Why no sequence of the stops is allowed. Stops are told by their index.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum RoutingError {
    /// Each of these stops must come before the next, and the last before the first.
    #[error("stops {0:?} each come before the next and the last before the first")]
    Cycle(Vec<usize>),
    /// A stop must come after one of a higher rank.
    #[error("stop {stop} must come after stop {after}, which is of a higher rank")]
    Rank {
        /// The stop of the lower rank.
        stop: usize,
        /// The one of the higher rank that it must come after.
        after: usize,
    },
    /// A stop must come after one that is not there.
    #[error("stop {stop} must come after stop {after}, which does not exist")]
    Unknown {
        /// The stop.
        stop: usize,
        /// The index that is not there.
        after: usize,
    },
    /// A stop cannot be visited: it has no way.
    #[error("stop {0} has no way to be visited by")]
    NoWay(usize),
}

/// Stops that can be put into a sequence, seen from a home and with an end.
///
/// Every stop has a way, everything that must come before a stop exists and has no higher rank, and
/// no stop must come before itself. Inside, home is stop `count` and the end stop `count + 1`, both
/// with one way: so no search needs a case for the two ends of a tour.
#[derive(Debug)]
pub struct Problem {
    count: usize,
    ways: Vec<Way>,
    /// Where the ways of each stop begin in the list of all ways, and where the last end.
    first: Vec<usize>,
    ranks: Vec<usize>,
    predecessors: Vec<Vec<usize>>,
    successors: Vec<Vec<usize>>,
    has_precedence: bool,
    end: End,
}

impl Problem {
    /// Stops to be visited from `home`, where the tool is at first. Coordinates are finite, in mm.
    ///
    /// # Errors
    /// If a stop has no way, or what must come before what cannot be kept.
    pub fn new(stops: &[Stop], home: Point, end: End) -> Result<Self, RoutingError> {
        let count = stops.len();
        let mut ways = Vec::new();
        let mut first = vec![0];
        let mut predecessors = vec![Vec::new(); count + 2];
        let mut successors = vec![Vec::new(); count + 2];
        for (stop, what) in stops.iter().enumerate() {
            if what.ways.is_empty() {
                return Err(RoutingError::NoWay(stop));
            }
            ways.extend(&what.ways);
            first.push(ways.len());
            for &after in &what.after {
                refuse_precedence(stops, stop, after)?;
                predecessors[stop].push(after);
                successors[after].push(stop);
            }
        }
        for _ in 0..2 {
            ways.push(Way { enter: home, leave: home });
            first.push(ways.len());
        }
        let ranks = stops.iter().map(|s| s.rank).chain([0, usize::MAX]).collect();
        let has_precedence = predecessors.iter().any(|p| !p.is_empty());
        let problem =
            Self { count, ways, first, ranks, predecessors, successors, has_precedence, end };
        problem.cycle().map_or(Ok(problem), |cycle| Err(RoutingError::Cycle(cycle)))
    }

    /// How many stops there are, home and end not counted.
    pub(super) fn count(&self) -> usize {
        self.count
    }

    /// The pseudo-stop where every tour begins.
    pub(super) fn home(&self) -> usize {
        self.count
    }

    /// The pseudo-stop where every tour ends.
    pub(super) fn end(&self) -> usize {
        self.count + 1
    }

    /// The rank of a stop.
    pub(super) fn rank(&self, stop: usize) -> usize {
        self.ranks[stop]
    }

    /// What must come before a stop.
    pub(super) fn predecessors(&self, stop: usize) -> &[usize] {
        &self.predecessors[stop]
    }

    /// What must come after a stop.
    pub(super) fn successors(&self, stop: usize) -> &[usize] {
        &self.successors[stop]
    }

    /// The stops by rank, the lowest first; within a rank by index.
    pub(super) fn by_rank(&self) -> Vec<Vec<usize>> {
        let mut stops: Vec<usize> = (0..self.count).collect();
        stops.sort_by_key(|&s| self.ranks[s]);
        stops.chunk_by(|&a, &b| self.ranks[a] == self.ranks[b]).map(<[usize]>::to_vec).collect()
    }

    /// The ways of a stop.
    pub(super) fn ways(&self, stop: usize) -> &[Way] {
        &self.ways[self.span(stop)]
    }

    /// Where a stop's figures lie in a list of one figure a way.
    pub(super) fn span(&self, stop: usize) -> std::ops::Range<usize> {
        self.first[stop]..self.first[stop + 1]
    }

    /// A way by its place in the list of all ways.
    pub(super) fn way(&self, way: usize) -> Way {
        self.ways[way]
    }

    /// Whether some stop must come after another, ranks aside.
    pub(super) fn has_precedence(&self) -> bool {
        self.has_precedence
    }

    /// How many ways there are in all.
    pub(super) fn way_count(&self) -> usize {
        self.ways.len()
    }

    /// Whether going to this stop costs nothing: the end of a tour that may end anywhere.
    pub(super) fn is_free(&self, stop: usize) -> bool {
        stop == self.end() && self.end == End::Anywhere
    }

    /// The length of a tour, home and end included, in mm.
    pub(super) fn length(&self, visits: &[Visit]) -> f64 {
        if visits.is_empty() {
            return 0.0;
        }
        let ends = [self.home(), self.end()].map(|stop| Visit { stop, way: 0 });
        let all: Vec<Visit> = ends[..1].iter().chain(visits).chain(&ends[1..]).copied().collect();
        all.windows(2).map(|pair| self.link(pair[0], pair[1])).sum()
    }

    /// Travel from the end of one visit to the start of the next, in mm.
    fn link(&self, from: Visit, to: Visit) -> f64 {
        if self.is_free(to.stop) {
            return 0.0;
        }
        distance(self.ways(from.stop)[from.way].leave, self.ways(to.stop)[to.way].enter)
    }

    /// A cycle of precedence, if there is one: what is left by a topological sort (A. B. Kahn,
    /// Topological sorting of large networks, 1962; from memory).
    fn cycle(&self) -> Option<Vec<usize>> {
        let mut waits: Vec<usize> = self.predecessors.iter().map(Vec::len).collect();
        let mut ready: Vec<usize> = (0..self.count).filter(|&s| waits[s] == 0).collect();
        while let Some(stop) = ready.pop() {
            for &next in &self.successors[stop] {
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
            stop = self.predecessors[stop].iter().copied().find(|&s| waits[s] > 0)?;
        }
        let from = walked.iter().position(|&s| s == stop)?;
        Some(walked[from..].iter().rev().copied().collect())
    }
}

/// Whether a stop may have to come after another.
fn refuse_precedence(stops: &[Stop], stop: usize, after: usize) -> Result<(), RoutingError> {
    match stops.get(after) {
        None => Err(RoutingError::Unknown { stop, after }),
        Some(other) if other.rank > stops[stop].rank => Err(RoutingError::Rank { stop, after }),
        Some(_) => Ok(()),
    }
}

/// The distance of two points, in mm.
pub(super) fn distance(a: Point, b: Point) -> f64 {
    // Not `hypot`: it guards against overflow that points on a sheet do not have, costs several
    // times as much, and this is the innermost step of every search here.
    let (x, y) = (a.x - b.x, a.y - b.y);
    (x * x + y * y).sqrt()
}
