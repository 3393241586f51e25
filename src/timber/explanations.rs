//! What each finding about movement means and what to do, for `seatcut explain`.

use crate::finding::{Explanation, explained};

/// Every code that the movement can find.
pub const EXPLANATIONS: &[Explanation] = &[
    explained(
        "moisture-outside-range",
        "Moisture now or in service lies outside 6 to 14 %, where shrinkage is a straight line; the figure is approximate.",
        "Let the board dry near to what it will have in service before it is measured and cut.",
    ),
    explained(
        "tread-tilts",
        "As the board dries or swells its tread cuts will slope by more than the rule set allows a tread to.",
        "Let the board come to the moisture of the place before it is cut, or choose one sawn on the quarter.",
    ),
];
