//! What each finding about a set means and what to do, for `seatcut explain`.

use crate::finding::{Explanation, explained};

/// Every code that laying out several pieces can find.
pub const EXPLANATIONS: &[Explanation] = &[
    explained(
        "spacing-below-cutter",
        "Two pieces would lie so near that cutting one cuts the other.",
        "Give cut.spacing of the cutter's width or more; left out, it leaves wood between two cuts.",
    ),
    explained(
        "sheet-covered",
        "Clamps and margins leave no place on the sheet that may be cut.",
        "Move the clamps to the sheet's edges, or hold it down in another way.",
    ),
    explained(
        "spacing-tight",
        "Two cuts side by side leave less wood between them than holds anything: pieces are tied to each other there, and waste to pieces.",
        "Leave cut.spacing out, or hold every piece down in another way too.",
    ),
    explained(
        "room-for-ties",
        "What it would cost to leave wood that holds between all cuts, so that every piece is tied to the sheet.",
        "Leave cut.spacing out if that is worth it.",
    ),
    explained(
        "split-mark-left-out",
        "A mark of the whole pattern would lie across the joint, or too near to it or to a dowel hole: it is on neither piece.",
        "Write it on by hand once the pattern is pinned together.",
    ),
    explained(
        "board-too-short",
        "A blank is longer than every board that can be bought.",
        "Give longer boards in [boards] lengths, or a board profile and a machine for them.",
    ),
];
