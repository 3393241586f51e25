//! A static tree of boxes: which of many segments lie near a place. No cell size to choose, so no
//! coordinate breaks it.

use crate::geometry::{Bounds, Point};

/// Boxes in one leaf: fewer make the tree deeper than the tests they save.
const LEAF: usize = 8;

struct Node {
    bounds: Bounds,
    /// Leaf: the first and last position in `order`; branch: the same range, its right child in
    /// `right`.
    from: usize,
    to: usize,
    right: Option<usize>,
}

/// A tree over boxes, which are named by their position in the list it was built from.
pub(super) struct BoxIndex {
    nodes: Vec<Node>,
    order: Vec<usize>,
}

impl BoxIndex {
    /// The tree over these boxes, in O(n log n).
    pub(crate) fn new(boxes: &[Bounds]) -> Self {
        let mut index = Self { nodes: Vec::new(), order: (0..boxes.len()).collect() };
        if !boxes.is_empty() {
            index.build(boxes, 0, boxes.len());
        }
        index
    }

    /// Depth is logarithmic: every split halves the range.
    fn build(&mut self, boxes: &[Bounds], from: usize, to: usize) {
        let mut bounds = boxes[self.order[from]];
        for &i in &self.order[from..to] {
            bounds = bounds.joined(boxes[i]);
        }
        let node = self.nodes.len();
        self.nodes.push(Node { bounds, from, to, right: None });
        if to - from <= LEAF {
            return;
        }
        let middle = usize::midpoint(from, to);
        let along_x = bounds.width() >= bounds.height();
        let key = |i: usize| match along_x {
            true => boxes[i].min.x + boxes[i].max.x,
            false => boxes[i].min.y + boxes[i].max.y,
        };
        self.order[from..to]
            .select_nth_unstable_by(middle - from, |&a, &b| key(a).total_cmp(&key(b)));
        self.build(boxes, from, middle);
        self.nodes[node].right = Some(self.nodes.len());
        self.build(boxes, middle, to);
    }

    /// The box around all of them; `None` if there is none.
    pub(crate) fn bounds(&self) -> Option<Bounds> {
        self.nodes.first().map(|root| root.bounds)
    }

    /// Every box whose leaf touches `place`: all that touch it, and a few beside them.
    pub(crate) fn near(&self, place: Bounds, found: &mut Vec<usize>) {
        found.clear();
        if !self.nodes.is_empty() {
            self.gather(0, place, found);
        }
    }

    /// Goes down where boxes touch `place`: as deep as the tree is, which is logarithmic.
    fn gather(&self, at: usize, place: Bounds, found: &mut Vec<usize>) {
        let node = &self.nodes[at];
        if !node.bounds.touches(place) {
            return;
        }
        match node.right {
            Some(right) => {
                self.gather(at + 1, place, found);
                self.gather(right, place, found);
            }
            None => found.extend(&self.order[node.from..node.to]),
        }
    }

    /// The nearest item to `p` and its distance, by the exact distance that `distance` gives for an
    /// item.
    pub(crate) fn nearest(
        &self,
        p: Point,
        distance: impl Fn(usize) -> f64,
    ) -> Option<(usize, f64)> {
        let mut best: Option<(usize, f64)> = None;
        let mut stack = if self.nodes.is_empty() { Vec::new() } else { vec![0] };
        while let Some(at) = stack.pop() {
            let node = &self.nodes[at];
            if best.is_some_and(|(_, least)| node.bounds.distance(p) >= least) {
                continue;
            }
            let Some(right) = node.right else {
                for &i in &self.order[node.from..node.to] {
                    let d = distance(i);
                    if best.is_none_or(|(_, least)| d < least) {
                        best = Some((i, d));
                    }
                }
                continue;
            };
            let nearer = |a: usize, b: usize| {
                self.nodes[a].bounds.distance(p) <= self.nodes[b].bounds.distance(p)
            };
            stack.extend(if nearer(at + 1, right) { [right, at + 1] } else { [at + 1, right] });
        }
        best
    }
}
