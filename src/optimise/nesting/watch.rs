//! Who watches a search: told how far it is, and asked whether it shall stop.
//!
//! A search reads no clock and knows no signal. Whoever does hands it a question; where the answer
//! is yes, it ends with the best it has, and only then may the same effort give another answer.

/// How far a search is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Progress {
    /// The fewest sheets found so far; 0 before the first layout.
    pub sheets: usize,
    /// No layout needs fewer.
    pub least: usize,
}

/// A question asked and a word told between two steps of a search.
#[derive(Clone, Copy)]
pub struct Watch<'a> {
    stop: &'a (dyn Fn() -> bool + Sync),
    tell: &'a (dyn Fn(Progress) + Sync),
}

impl<'a> Watch<'a> {
    /// One that is told by `tell`, and ends a search when `stop` says so.
    pub fn new(stop: &'a (dyn Fn() -> bool + Sync), tell: &'a (dyn Fn(Progress) + Sync)) -> Self {
        Self { stop, tell }
    }

    /// Nobody: the search ends by itself.
    pub fn nobody() -> Watch<'static> {
        Watch { stop: &|| false, tell: &|_| () }
    }

    /// One that is asked the same and told nothing.
    pub fn untold(&self) -> Self {
        Self { stop: self.stop, tell: &|_| () }
    }

    /// Whether the search shall end with what it has.
    pub fn is_over(&self) -> bool {
        (self.stop)()
    }

    pub(super) fn tell(&self, sheets: usize, least: usize) {
        (self.tell)(Progress { sheets, least });
    }
}

impl std::fmt::Debug for Watch<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Watch")
    }
}
