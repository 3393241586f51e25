//! What each finding about a flight as it was built means and what to do, for `seatcut explain`.

use crate::finding::{Explanation, explained};

/// Every code that as-built measurements can find.
pub const EXPLANATIONS: &[Explanation] = &[
    explained(
        "built-riser-high",
        "A riser of the flight as it was built is higher than the rule set's most.",
        "Look at the schedule of shims and trims; if none does, the flight has to be rebuilt.",
    ),
    explained(
        "built-riser-low",
        "A riser of the flight as it was built is lower than the rule set's least.",
        "Look at the schedule of shims and trims; if none does, the flight has to be rebuilt.",
    ),
    explained(
        "built-spread",
        "The risers of the flight as it was built differ by more than allowed: people trip over the odd one.",
        "Look at the schedule of shims and trims; if none does, the flight has to be rebuilt.",
    ),
    explained(
        "built-step",
        "Two neighbouring risers of the flight as it was built differ by more than allowed.",
        "Look at the schedule of shims and trims.",
    ),
    explained(
        "built-none-does",
        "No shims and trims inside the room that was given bring the flight inside its limits; both floors stay as they are.",
        "Give more room for shims or trims, change a finish at foot or head, or rebuild the flight.",
    ),
    explained(
        "built-rounding",
        "The schedule could not simply be rounded to sixteenths: it was solved anew, or stands in finer steps, or not at all.",
        "Use the schedule as printed; do not round it further.",
    ),
    explained(
        "built-shims",
        "Treads are to be moved so that every riser keeps its limit, by the least in all; thin shims are not avoided.",
        "Let every shim bear over the whole seat and fix it for good; ask whoever answers for the stair.",
    ),
    explained(
        "pattern-wear",
        "The pattern has shrunk or swollen by more than 1/64 in since its check lengths were marked.",
        "Make a new pattern, or let this one come back to the room it was made in and measure again.",
    ),
];
