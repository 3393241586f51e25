//! Disjoint sets (union-find, Galler and Fischer 1964) with path halving (van Leeuwen and Tarjan
//! 1984).

/// Which things hang together, by number: each has a parent that comes no later than itself, and
/// the first of all is its own.
#[derive(Clone, Debug)]
pub(super) struct Joined(pub Vec<u32>);

impl Joined {
    /// Each alone.
    pub(super) fn of(things: usize) -> Self {
        Self((0..things as u32).collect())
    }

    /// The first of all that hang together with this.
    pub(super) fn root(&mut self, thing: usize) -> usize {
        let mut at = thing;
        while self.0[at] as usize != at {
            // Half the way is left for who comes next.
            self.0[at] = self.0[self.0[at] as usize];
            at = self.0[at] as usize;
        }
        at
    }

    /// Joins two, and all that hang on them.
    pub(super) fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.root(a), self.root(b));
        self.0[a.max(b)] = a.min(b) as u32;
    }

    /// Makes every parent the first of all.
    pub(super) fn compress(&mut self) {
        for thing in 0..self.0.len() {
            // Roots come before what hangs on them, so that the parent of a parent is its root by
            // now.
            self.0[thing] = self.0[self.0[thing] as usize];
        }
    }
}
