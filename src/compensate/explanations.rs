//! What each finding of this stage means and what to do, for `seatcut explain`.

use crate::finding::{Explanation, explained};

/// Every code that compensation can find.
pub const EXPLANATIONS: &[Explanation] = &[
    explained(
        "nose-rounded",
        "A bushing that rolls round the pattern's nose leaves the part's nose round.",
        "Square the noses by hand if the joint asks for it, or follow with a bearing bit.",
    ),
    explained(
        "corner-rounded",
        "The bit that follows the pattern leaves its own radius in every inside corner.",
        "Square the corners with a chisel or a handsaw.",
    ),
    explained(
        "bit-too-wide",
        "The bit that will follow the pattern is wider than the part's plate notch.",
        "Follow with a thinner bit, or cut the notch by hand.",
    ),
    explained(
        "fillet-left",
        "The tool's own round is left in every inside corner, so a square board stands off it.",
        "Ease the boards' corners, square the corners by hand, or choose another cut.corners.",
    ),
    explained(
        "cutter-too-wide",
        "The cutter is wider than the plate notch: it would be skipped in silence, so it is refused.",
        "Use a thinner cutter in the machine profile, a wider notch, or no notch.",
    ),
    explained(
        "interference",
        "The tool's path round one feature runs into another, or a pattern this much smaller loses an edge.",
        "Use a thinner cutter, or follow the pattern with something that asks for less.",
    ),
    explained(
        "relief-overlap",
        "The reliefs at the two ends of an edge would meet and take the whole edge away, or a relief would break through the wood behind it.",
        "Use a thinner cutter, or corners = \"fillet\".",
    ),
    explained(
        "pocket-narrow",
        "A pocket of a housed stringer is narrower than the cutter and its clearance.",
        "Use a thinner cutter, or thicker treads and risers.",
    ),
];
