//! How much work a purchase may take: counts of steps, never time, so that the outcome is the same
//! everywhere.

use super::Effort;

/// The limits that follow from an effort. At level 1 they are by trial: 200 of 200 random orders
/// and all 40 ESICUP instances of the tests are proven with them (DEVELOPERS.md, figures).
#[derive(Clone, Debug)]
pub(super) struct Budget {
    /// Steps of the branch and bound under the prices of plain material: enough where first fit is
    /// nearly there, little lost where it is not.
    pub first_steps: usize,
    /// Steps of the branch and bound under the prices of the linear programme.
    pub last_steps: usize,
    /// Steps of the branch and bound that finishes a rounding.
    pub finish_steps: usize,
    /// Nodes of the integer programme.
    pub nodes: usize,
    /// How many times the linear programme is rounded.
    pub dives: usize,
    /// Kinds of piece above which no linear programme is solved: its rows are its kinds.
    pub linear_kinds: usize,
    /// Pieces above which no branch and bound is made: it goes as deep as there are boards.
    pub branched_pieces: usize,
    /// Rounds of column generation for one linear programme.
    pub columns: usize,
}

impl Budget {
    /// What an effort is worth.
    pub(super) fn new(effort: Effort) -> Self {
        let level = effort.level.min(1000) as usize;
        Self {
            first_steps: 60_000 * level,
            last_steps: 300_000 * level,
            finish_steps: 5_000 * level,
            nodes: 2_000 * level,
            dives: 12 * level,
            linear_kinds: 250,
            branched_pieces: 400,
            columns: 1500,
        }
    }
}
