//! What each finding of the beam check means and what to do, for `seatcut explain`.

use crate::finding::{Explanation, explained};

/// Every code that the beam check can find.
pub const EXPLANATIONS: &[Explanation] = &[
    explained(
        "stringer-overstressed",
        "Bending or shear in what stays whole behind the notches is more than the wood's design value, all factors on it.",
        "Add stringers, double them, or support them in the middle; have a licensed designer decide.",
    ),
    explained(
        "stringer-deflects",
        "The stringer bends further under its load than the limit: the stair feels soft and its finishes crack.",
        "Add stringers, double them, or support them in the middle; have a licensed designer decide.",
    ),
    explained(
        "foot-notch-deep",
        "The plate is let into the stretched edge at the foot deeper than a quarter of the wood there.",
        "Let the plate in less, or hold the foot with a bracket; have a licensed designer decide.",
    ),
    explained(
        "foot-notch-shear",
        "Shear beside the notch at the foot is more than the reduced section may carry: it splits from the corner.",
        "Let the plate in less, or add stringers; have a licensed designer decide.",
    ),
    explained(
        "stringer-bearing-high",
        "The foot presses on its support with more than the wood's design value across the grain.",
        "Make the seat longer, or add stringers; have a licensed designer decide.",
    ),
];
