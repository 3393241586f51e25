//! How much work a purchase may take: counts of steps, never time, so that the outcome is the same everywhere.

/// The limits that follow from an order's effort.
#[derive(Clone, Debug)]
pub(super) struct Budget {
    /// Steps of the search under the prices of plain material.
    pub first_steps: usize,
    /// Steps of the search under the prices of the linear programme.
    pub last_steps: usize,
    /// Steps of the search that finishes a rounding.
    pub finish_steps: usize,
    /// How many times the linear programme is rounded.
    pub dives: usize,
    /// Kinds of piece above which no linear programme is solved.
    pub linear_kinds: usize,
    /// Pieces above which no search by backtracking is made.
    pub search_pieces: usize,
    /// Patterns priced for one linear programme.
    pub columns: usize,
}

impl Budget {
    pub fn new(effort: u32) -> Budget {
        let effort = effort.min(1000) as usize;
        Budget {
            first_steps: 60_000 * effort,
            last_steps: 300_000 * effort,
            finish_steps: 5_000 * effort,
            dives: 12 * effort,
            linear_kinds: 250,
            search_pieces: 400,
            columns: 1500,
        }
    }
}
