//! A sequence of stops with a way chosen for each: what it costs to go on, how it is changed, and
//! how changes are undone.
//!
//! It is an array of nodes: reversing or exchanging segments is O(length of the segment), the
//! position of a stop O(1): enough for the thousands of strokes that a sheet of marks has.

use super::problem::{Problem, distance};
use super::stop::{Visit, Way};
use super::way_choice::Layers;

/// A gain below this, in mm, is rounding and not looked for: else two moves that undo each other
/// could each seem to gain and the descent would never end.
pub(super) const GAIN_MM: f64 = 1e-6;

/// One stop of a sequence; the way is its place in the list of all ways.
#[derive(Clone, Copy, Debug)]
pub(super) struct Node {
    pub stop: usize,
    pub way: usize,
}

/// A sequence with chosen ways: home first, the end last.
#[derive(Clone)]
pub(super) struct Sequence<'p> {
    problem: &'p Problem,
    nodes: Vec<Node>,
    /// The position of each stop.
    positions: Vec<usize>,
    /// The lowest and highest position that each stop may take: the place of its rank.
    blocks: Vec<(usize, usize)>,
    /// For every way the one of its stop that is most like it travelled backwards.
    opposites: Vec<usize>,
    /// Whether every way has one that is exactly it travelled backwards.
    is_symmetric: bool,
    /// What to put back to undo: the nodes that were overwritten, and where each run of them began.
    saved: Vec<Node>,
    runs: Vec<(usize, usize)>,
}

impl<'p> Sequence<'p> {
    /// Takes the stops in sequence, without home and end; each gets its best way there.
    pub(super) fn new(problem: &'p Problem, stops: &[usize]) -> Self {
        let ends = (problem.home(), problem.end());
        let all = std::iter::once(ends.0).chain(stops.iter().copied()).chain([ends.1]);
        let nodes: Vec<Node> =
            all.map(|stop| Node { stop, way: problem.span(stop).start }).collect();
        let opposites: Vec<usize> =
            (0..=problem.end()).flat_map(|stop| opposites(problem, stop)).collect();
        let is_symmetric = opposites
            .iter()
            .enumerate()
            .all(|(way, &back)| asymmetry(problem.way(way), problem.way(back)) <= 0.0);
        let (positions, blocks) = (vec![0; nodes.len()], blocks(problem, stops));
        let (saved, runs) = (Vec::new(), Vec::new());
        let mut sequence =
            Sequence { problem, nodes, positions, blocks, opposites, is_symmetric, saved, runs };
        sequence.note(0, problem.count() + 1);
        sequence.choose_ways(1, problem.count());
        sequence
    }

    /// The problem it is a sequence of.
    pub(super) fn problem(&self) -> &'p Problem {
        self.problem
    }

    /// The nodes, home first and the end last.
    pub(super) fn nodes(&self) -> &[Node] {
        &self.nodes
    }

    /// The position of a stop.
    pub(super) fn position(&self, stop: usize) -> usize {
        self.positions[stop]
    }

    /// The lowest and highest position that a stop may take.
    pub(super) fn block(&self, stop: usize) -> (usize, usize) {
        self.blocks[stop]
    }

    /// Travel from one node to another, in mm.
    pub(super) fn link(&self, from: Node, to: Node) -> f64 {
        if self.problem.is_free(to.stop) {
            return 0.0;
        }
        distance(self.problem.way(from.way).leave, self.problem.way(to.way).enter)
    }

    /// The same stop the other way round, as near as its ways come to it.
    pub(super) fn opposite(&self, node: Node) -> Node {
        Node { stop: node.stop, way: self.opposites[node.way] }
    }

    /// What the travel inside a segment grows by if it is reversed.
    pub(super) fn reversed_inside(&self, low: usize, high: usize) -> f64 {
        // Where every way has its exact opposite, each link is travelled backwards at equal length:
        // this keeps 2-opt O(1) a move for strokes, O(segment) only for mixed ways.
        if self.is_symmetric {
            return 0.0;
        }
        let pairs = self.nodes[low..=high].windows(2);
        pairs
            .map(|p| self.link(self.opposite(p[1]), self.opposite(p[0])) - self.link(p[0], p[1]))
            .sum()
    }

    /// Reverses the segment from `low` to `high`, every stop of it the other way round.
    pub(super) fn reverse(&mut self, low: usize, high: usize) {
        self.save(low, high);
        self.nodes[low..=high].reverse();
        for position in low..=high {
            self.nodes[position] = self.opposite(self.nodes[position]);
        }
        self.note(low, high);
    }

    /// Puts the segment `low..middle` behind the segment `middle..=high`.
    pub(super) fn exchange(&mut self, low: usize, middle: usize, high: usize) {
        self.save(low, high);
        self.nodes[low..=high].rotate_left(middle - low);
        self.note(low, high);
    }

    /// Gives the stop at a position another way.
    pub(super) fn set_way(&mut self, position: usize, way: usize) {
        self.save(position, position);
        self.nodes[position].way = way;
    }

    /// Takes over the nodes of another sequence of the same problem, the positions not: see
    /// [`Sequence::note_all`].
    pub(super) fn copy_nodes(&mut self, other: &Sequence<'_>) {
        self.nodes.copy_from_slice(&other.nodes);
    }

    /// Brings the positions of all stops up to date after the nodes were overwritten.
    pub(super) fn note_all(&mut self) {
        self.note(0, self.problem.count() + 1);
    }

    /// From here on changes can be undone, those before no longer.
    pub(super) fn keep(&mut self) {
        self.saved.clear();
        self.runs.clear();
    }

    /// Undoes all changes since they were last kept.
    pub(super) fn undo(&mut self) {
        // Backwards: a run may lie on nodes that a later one overwrote again.
        while let Some((low, from)) = self.runs.pop() {
            let high = low + self.saved.len() - from;
            self.nodes[low..high].copy_from_slice(&self.saved[from..]);
            self.saved.truncate(from);
            self.note(low, high - 1);
        }
    }

    /// Chooses the best ways from position `low` to `high`, those outside held fast. Tells how much
    /// shorter the sequence is for it, in mm; a gain that is rounding is not taken.
    pub(super) fn choose_ways(&mut self, low: usize, high: usize) -> f64 {
        let problem = self.problem;
        // The node before keeps its way: all begins where that leaves the tool.
        let start = problem.way(self.nodes[low - 1].way).leave;
        let mut layers = Layers::from(problem, start, high + 2 - low);
        let mut before_mm = 0.0;
        for position in low..=high + 1 {
            let (last, this) = (self.nodes[position - 1], self.nodes[position]);
            before_mm += self.link(last, this);
            let ways = problem.ways(this.stop);
            // The node behind the last one keeps its way: a layer of that way alone.
            let own = self.local_way(this);
            layers.lay(this.stop, if position > high { &ways[own..][..1] } else { ways });
        }
        let gain_mm = before_mm - layers.least_mm();
        if gain_mm < GAIN_MM {
            return 0.0;
        }
        self.save(low, high);
        for (node, way) in self.nodes[low..=high].iter_mut().zip(layers.ways()) {
            node.way = problem.span(node.stop).start + way;
        }
        gain_mm
    }

    /// The travel of the whole sequence, in mm.
    pub(super) fn length(&self) -> f64 {
        self.nodes.windows(2).map(|pair| self.link(pair[0], pair[1])).sum()
    }

    /// The visits, home and end left out.
    pub(super) fn visits(&self) -> Vec<Visit> {
        let nodes = &self.nodes[1..=self.problem.count()];
        nodes.iter().map(|n| Visit { stop: n.stop, way: self.local_way(*n) }).collect()
    }

    /// Which of its stop's ways a node has.
    fn local_way(&self, node: Node) -> usize {
        node.way - self.problem.span(node.stop).start
    }

    /// Brings the positions of the stops from `low` to `high` up to date.
    fn note(&mut self, low: usize, high: usize) {
        for position in low..=high {
            self.positions[self.nodes[position].stop] = position;
        }
    }

    fn save(&mut self, low: usize, high: usize) {
        self.runs.push((low, self.saved.len()));
        self.saved.extend_from_slice(&self.nodes[low..=high]);
    }
}

/// The positions of each stop's rank, in a sequence whose ranks rise.
fn blocks(problem: &Problem, stops: &[usize]) -> Vec<(usize, usize)> {
    let mut blocks = vec![(0, 0); problem.count() + 2];
    let mut low = 1;
    for group in stops.chunk_by(|&a, &b| problem.rank(a) == problem.rank(b)) {
        let high = low + group.len() - 1;
        group.iter().for_each(|&stop| blocks[stop] = (low, high));
        low = high + 1;
    }
    blocks
}

/// For each way of a stop the one whose ends are nearest to its own exchanged.
fn opposites(problem: &Problem, stop: usize) -> impl Iterator<Item = usize> {
    problem.span(stop).map(move |way| opposite(problem, stop, way))
}

fn opposite(problem: &Problem, stop: usize, way: usize) -> usize {
    let off = |other: &usize| asymmetry(problem.way(way), problem.way(*other));
    problem
        .span(stop)
        .min_by(|a, b| off(a).total_cmp(&off(b)))
        .expect("the way itself is one of its stop's")
}

/// How far a way is from another travelled backwards, in mm^2.
fn asymmetry(way: Way, other: Way) -> f64 {
    (other.enter - way.leave).norm_squared() + (other.leave - way.enter).norm_squared()
}
