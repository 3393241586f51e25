//! The tool's radius and what follows a pattern; marks and holes.

use super::super::code::findings;
use super::super::{GEOMETRY, PRACTICE};
use crate::units::Length;

findings! {
    NoseRounded { radius: Length, short: Length } "nose-rounded" Advice Never GEOMETRY,
        "the noses come out rounded to a radius of {radius}, {short} short at the tip",
        "A bushing that rolls round the pattern's nose leaves the part's nose round.",
        "Square the noses by hand if the joint asks for it, or follow with a bearing bit.";
    CornerRounded { radius: Length } "corner-rounded" Advice Never GEOMETRY,
        "inside corners come out no tighter than the bit's radius of {radius}",
        "The bit that follows the pattern leaves its own radius in every inside corner.",
        "Square the corners with a chisel or a handsaw.";
    BitTooWide { measured: Length, limit: Length } "bit-too-wide" Refusal Never GEOMETRY,
        "the bit is {measured} wide and the part's plate notch {limit}",
        "The bit that will follow the pattern is wider than the part's plate notch.",
        "Follow with a thinner bit, or cut the notch by hand.";
    FilletLeft { radius: Length, off: Length } "fillet-left" Advice Never GEOMETRY,
        "a round of radius {radius} stays in inside corners: a square board stands {off} off the corner",
        "The tool's own round is left in every inside corner, so a square board stands off it.",
        "Ease the boards' corners, square the corners by hand, or choose another cut.corners.";
    CutterTooWide { measured: Length, limit: Length } "cutter-too-wide" Refusal Never GEOMETRY,
        "the cutter with its clearance takes {measured} and the plate notch is {limit} wide",
        "The cutter is wider than the plate notch: it would be skipped in silence, so it is refused.",
        "Use a thinner cutter in the machine profile, a wider notch, or no notch.";
    Interference { why: String } "interference" Refusal Never GEOMETRY,
        "{why}",
        "The tool's path round one feature runs into another, or a pattern this much smaller loses an edge.",
        "Use a thinner cutter, or follow the pattern with something that asks for less.";
    ReliefOverlap { measured: Length, limit: Length } "relief-overlap" Refusal Never GEOMETRY,
        "the reliefs of inside corners take {measured} where {limit} of wood stands",
        "The reliefs at the two ends of an edge would meet and take the whole edge away, or a relief would break through the wood behind it.",
        "Use a thinner cutter, or corners = \"fillet\".";
    MarkUnknownCharacter { character: String } "mark-unknown-character" Refusal Never PRACTICE,
        "{character} cannot be marked: the letters that are cut are A to Z, digits and common marks",
        "The title has a character that the single-stroke letters do not have: it cannot be marked on the pattern.",
        "Write the title in plain letters, digits and common marks.";
    MarkTitleCut { kept: String } "mark-title-cut" Warning Never PRACTICE,
        "only \"{kept}\" of the title finds room in readable letters",
        "The title is too long for the pattern even in the smallest readable letters: its end was left off the pattern.",
        "Give the job a shorter title; the fingerprint beside it still tells which job it is.";
    MarkLeftOut {} "mark-left-out" Warning Never PRACTICE,
        "this mark finds no room on the pattern in readable letters",
        "The pattern has no room for this mark in readable letters.",
        "Write it on by hand from the report, or mark with a finer point.";
    HoleMoved { measured: Length } "hole-moved" Advice Never GEOMETRY,
        "the hanging hole lies {measured} across the board from the balance point",
        "The balance point lies too near the edge for the hanging hole: the hole was moved straight across the board.",
        "Nothing: the pattern still hangs level, a little less willingly.";
    HoleLeftOut { limit: Length } "hole-left-out" Warning Never GEOMETRY,
        "no place straight across from the balance point keeps {limit} from the edge: there is no hanging hole",
        "No place straight across the board from the balance point is far enough from the edge for a hanging hole.",
        "Hang the pattern by a clamp, or drill a hole where it does no harm.";
    DowelTooSmall { measured: Length, limit: Length } "dowel-too-small" Refusal Never GEOMETRY,
        "the dowel is {measured} and the tool {limit}: it does not fit into the hole",
        "The tool does not fit into the holes that bring the layers over each other.",
        "Give cut.dowel the cutter's own diameter, bored straight down, or a larger one; or use a thinner cutter.";
    NoDowelRoom { dowel: Length } "no-dowel-room" Refusal Never PRACTICE,
        "two holes of {dowel} with wood enough round each find no room in the strip behind the notches",
        "Two dowel holes with wood enough round them find no place in the strip that no notch reaches.",
        "Give cut.dowel a smaller diameter, or use wider material.";
}
