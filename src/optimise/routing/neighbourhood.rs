//! The best move around one stop: 2-opt, Or-opt, reinsertion and another way, towards near stops.
//!
//! A move replaces two or three links by as many others, so where it gains, at least one of the new
//! links is shorter than one of the old. It is therefore enough to look from each stop at new links
//! that are shorter than the link it has on that side: the pruning of S. Lin, B. W. Kernighan, An
//! effective heuristic algorithm for the traveling-salesman problem, 1973 (from memory). With
//! asymmetric ways this misses a few moves whose gain lies inside a reversed segment.

use super::moves::{Facing, Move, is_allowed, or_opt_adds, reversal_adds};
use super::sequence::{GAIN_MM, Node, Sequence};

/// The longest segment that Or-opt moves: three stops, as in the original.
const LONGEST_SEGMENT: usize = 3;

/// The search for the best move around one position.
pub(super) struct Neighbourhood<'s, 'p> {
    sequence: &'s Sequence<'p>,
    here: usize,
    /// The positions of this stop's rank.
    block: (usize, usize),
    /// Travel from the stop before and to the stop behind: a move must offer a shorter link in
    /// place of one of them.
    links: [f64; 2],
    best: Option<Move>,
    added: f64,
}

impl<'s, 'p> Neighbourhood<'s, 'p> {
    /// The neighbourhood of a position, nothing looked at yet.
    pub(super) fn at(sequence: &'s Sequence<'p>, here: usize) -> Self {
        let [before, this, behind] = [here - 1, here, here + 1].map(|p| sequence.nodes()[p]);
        // Once a position: every test below compares with these two.
        let links = [sequence.link(before, this), sequence.link(this, behind)];
        let block = sequence.block(this.stop);
        Neighbourhood { sequence, here, block, links, best: None, added: -GAIN_MM }
    }

    /// The best move that makes the sequence shorter, and what it adds in mm: first the stop's own
    /// ways, then the near stops in turn.
    pub(super) fn best_towards(mut self, near: &[usize]) -> Option<(f64, Move)> {
        self.switches();
        for &stop in near {
            self.towards(self.sequence.position(stop));
        }
        // What lies just outside of the rank's own place: the first and last of a rank may be
        // chosen to suit it, though no list of near stops of one rank names it.
        self.towards(self.block.0 - 1);
        self.towards(self.block.1 + 1);
        self.best.map(|change| (self.added, change))
    }

    fn offer(&mut self, added: f64, change: Move) {
        // Precedence last: it is the only test that costs more than a few links.
        if added < self.added && is_allowed(self.sequence, change) {
            self.added = added;
            self.best = Some(change);
        }
    }

    /// The other ways of this stop where it stands.
    fn switches(&mut self) {
        let nodes = self.sequence.nodes();
        let (position, stop) = (self.here, nodes[self.here].stop);
        if let Some((cost, way)) = self.cheapest(nodes[position - 1], stop, nodes[position + 1]) {
            self.offer(cost - self.links[0] - self.links[1], Move::Switch { position, way });
        }
    }

    /// The way of a stop that costs least between two nodes.
    fn cheapest(&self, before: Node, stop: usize, behind: Node) -> Option<(f64, usize)> {
        let sequence = self.sequence;
        let mut best: Option<(f64, usize)> = None;
        for way in sequence.problem().span(stop) {
            let node = Node { stop, way };
            let beat = best.map_or(f64::INFINITY, |(cost, _)| cost);
            let to = sequence.link(before, node);
            if to < beat {
                let cost = to + sequence.link(node, behind);
                if cost < beat {
                    best = Some((cost, way));
                }
            }
        }
        best
    }

    /// All moves that make this position and another one neighbours.
    fn towards(&mut self, there: usize) {
        if there == self.here {
            return;
        }
        self.two_opt(there);
        self.or_opt(there);
        // A stop of one or two ways is served by the moves above: they keep or reverse it.
        let stop = self.sequence.nodes()[self.here].stop;
        if self.sequence.problem().span(stop).len() > 2 {
            self.reinsert(there);
        }
    }

    fn two_opt(&mut self, there: usize) {
        let (sequence, nodes) = (self.sequence, self.sequence.nodes());
        let (a, b) = (self.here.min(there), self.here.max(there));
        if a + 1 >= b {
            return;
        }
        // Either end of the segment may be the stop that is looked from: with b reversed to stand
        // behind a, or with a reversed to stand before b.
        let behind_a = sequence.link(nodes[a], sequence.opposite(nodes[b]));
        if b <= self.block.1 && behind_a < self.links[1] {
            let (low, high) = (a + 1, b);
            self.offer(reversal_adds(sequence, low, high), Move::TwoOpt { low, high });
        }
        let before_b = sequence.link(sequence.opposite(nodes[a]), nodes[b]);
        if a >= self.block.0 && before_b < self.links[0] {
            let (low, high) = (a, b - 1);
            self.offer(reversal_adds(sequence, low, high), Move::TwoOpt { low, high });
        }
    }

    fn or_opt(&mut self, there: usize) {
        let sequence = self.sequence;
        let (this, other) = (sequence.nodes()[self.here], sequence.nodes()[there]);
        let reversed = sequence.opposite(this);
        if there <= self.block.1 {
            if sequence.link(other, this) < self.links[0] {
                self.segments_from_here(there, Facing::Kept);
            }
            if sequence.link(other, reversed) < self.links[1] {
                self.segments_up_to_here(there, Facing::Reversed);
            }
        }
        if there >= self.block.0 {
            if sequence.link(this, other) < self.links[1] {
                self.segments_up_to_here(there - 1, Facing::Kept);
            }
            if sequence.link(reversed, other) < self.links[0] {
                self.segments_from_here(there - 1, Facing::Reversed);
            }
        }
    }

    fn segments_from_here(&mut self, gap: usize, facing: Facing) {
        for high in self.here..(self.here + LONGEST_SEGMENT).min(self.block.1 + 1) {
            self.segment(self.here, high, gap, facing);
        }
    }

    fn segments_up_to_here(&mut self, gap: usize, facing: Facing) {
        let lowest = (self.here + 1).saturating_sub(LONGEST_SEGMENT).max(self.block.0);
        for low in lowest..=self.here {
            self.segment(low, self.here, gap, facing);
        }
    }

    fn segment(&mut self, low: usize, high: usize, gap: usize, facing: Facing) {
        // A gap at or inside the segment is where it lies already.
        if gap + 1 < low || gap > high {
            let added = or_opt_adds(self.sequence, low, high, gap, facing);
            self.offer(added, Move::OrOpt { low, high, gap, facing });
        }
    }

    /// This stop put before or behind another, by its best way there.
    fn reinsert(&mut self, there: usize) {
        let (sequence, nodes, here) = (self.sequence, self.sequence.nodes(), self.here);
        let closed =
            sequence.link(nodes[here - 1], nodes[here + 1]) - self.links[0] - self.links[1];
        // On both sides of the other stop.
        for gap in there - usize::from(there > 0)..=there {
            let apart = gap + 1 < here || gap > here;
            if apart && gap + 1 >= self.block.0 && gap <= self.block.1 {
                let open = sequence.link(nodes[gap], nodes[gap + 1]);
                let stop = nodes[here].stop;
                if let Some((cost, way)) = self.cheapest(nodes[gap], stop, nodes[gap + 1]) {
                    let change = Move::Reinsert { from: here, gap, way };
                    self.offer(closed + cost - open, change);
                }
            }
        }
    }
}
