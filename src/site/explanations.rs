//! What each finding about the site means and what to do, for `seatcut explain`.

use crate::finding::{Explanation, explained};

/// Every code that the site can find.
pub const EXPLANATIONS: &[Explanation] = &[
    explained(
        "landing-reading",
        "On falling ground the total rise is computed for where the flight lands, from the slope that was given.",
        "Measure the total rise again at that distance; if it reads otherwise, the ground does not fall evenly.",
    ),
    explained(
        "ground-too-steep",
        "The ground falls as steeply as the steepest stair that is allowed, so every count of risers is too steep.",
        "Cut a level landing into the slope, shorten the run, or turn the flight.",
    ),
    explained(
        "ground-rises",
        "The ground rises away from the head, so each riser more lands higher.",
        "Look whether the slope was given the right way round, and where the water will go.",
    ),
    explained(
        "bottom-riser-spread",
        "On a floor out of level the bottom riser differs by more than allowed at one side: people trip over the odd one.",
        "Level the landing, or share the difference between the two sides if half of it is allowed.",
    ),
    explained(
        "bottom-riser-low",
        "On a floor out of level the bottom riser is lower than the rule set's least.",
        "Level the landing.",
    ),
    explained(
        "bottom-riser-high",
        "On a floor out of level the bottom riser is higher than the rule set's most.",
        "Choose more risers, or level the landing.",
    ),
    explained(
        "reading-beyond",
        "A stringer stands outside the readings, so its trim runs on from them in a straight line.",
        "Measure at both sides of the stair.",
    ),
    explained(
        "head-no-contact",
        "With this joint the head meets nothing and rests on nothing.",
        "Choose another joint, a deeper rim or header, or a wider board.",
    ),
    explained(
        "head-no-wood",
        "With this joint the notch at the head takes all the wood under the top tread cut.",
        "Choose another joint, or drop the header further.",
    ),
    explained(
        "flush-handrail",
        "A flush top tread is part of the floor but lies out from its framing: the last riser is one run further out.",
        "Plan handrail and guard out to the top nosing, with blocking for the posts.",
    ),
];
