//! What each finding about the marks means and what to do, for `seatcut explain`.

use crate::finding::{Explanation, explained};

/// Every code that marking can find.
pub const EXPLANATIONS: &[Explanation] = &[
    explained(
        "mark-unknown-character",
        "The title has a character that the single-stroke letters do not have: it cannot be marked on the pattern.",
        "Write the title in plain letters, digits and common marks.",
    ),
    explained(
        "mark-title-cut",
        "The title is too long for the pattern even in the smallest readable letters: its end was left off the pattern.",
        "Give the job a shorter title; the fingerprint beside it still tells which job it is.",
    ),
    explained(
        "mark-left-out",
        "The pattern has no room for this mark in readable letters.",
        "Write it on by hand from the report, or mark with a finer point.",
    ),
    explained(
        "hole-moved",
        "The balance point lies too near the edge for the hanging hole: the hole was moved straight across the board.",
        "Nothing: the pattern still hangs level, a little less willingly.",
    ),
    explained(
        "hole-left-out",
        "No place straight across the board from the balance point is far enough from the edge for a hanging hole.",
        "Hang the pattern by a clamp, or drill a hole where it does no harm.",
    ),
    explained(
        "dowel-too-small",
        "The tool does not fit into the holes that bring the layers over each other.",
        "Give cut.dowel a larger diameter, or use a thinner cutter.",
    ),
    explained(
        "no-dowel-room",
        "Two dowel holes with wood enough round them find no place in the strip that no notch reaches.",
        "Give cut.dowel a smaller diameter, or use wider material.",
    ),
];
