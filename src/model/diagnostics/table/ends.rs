//! The ends of the flight as the site has them: a rise measured rough, what the foot stands on, how
//! far the upper finish reaches.

use super::super::code::findings;
use super::super::{GEOMETRY, PRACTICE};
use super::words::words;
use crate::units::Length;

words! {
    /// Why a head cannot be notched as its joint asks.
    HeadNotchFault {
        NoWood "the notch at the head takes all the wood under the tread above it",
        ReachesSeat "the notch at the head reaches the seat",
        NotReached "the lower edge passes above the framing that the head is to lie on",
        OutsideBoard "where it lies on the framing the head reaches below the lower edge of its \
            board",
    }
}

findings! {
    HeadNotched { length: Length, height: Length } "head-notched" Advice Never GEOMETRY,
        "the notch at the head is cut: {length} level, its upright face {height}",
        "The joint that the job asks for notches the head of the stringer, and the part is cut so.",
        "Hold the first piece in its place at the head before the others are cut.";
    HeadNotchThin { measured: Length, limit: Length } "head-notch-thin" Warning Never PRACTICE,
        "{measured} of wood is left above the notch at the head; behind its other notches the \
        stringer keeps {limit}",
        "The notch at the head leaves less wood, plumb up to the top tread, than is asked for \
        behind the notches of the steps.",
        "Take a lower ledger, a deeper board or another joint; have a licensed designer decide.";
    HeadNotchImpossible { why: HeadNotchFault, by: Length }
        "head-notch-impossible" Refusal Never GEOMETRY,
        "{why}, by {by}",
        "The joint that the job asks for cannot be cut into this stringer's head.",
        "Look at the sizes in head.joint, take a wider board, or another joint.";
    SeatReachesTread { measured: Length } "seat-reaches-tread" Refusal Never GEOMETRY,
        "the seat along the ground leaves {measured} under the first tread cut",
        "The ground comes up under the flight so steeply that a seat along it reaches the first \
        tread.",
        "Let the stringer stand on a level pad: seat = \"level\".";
    SeatNeverEnds {} "seat-never-ends" Refusal Never GEOMETRY,
        "the ground is as steep as the flight: a seat along it never meets the lower edge",
        "A seat along ground as steep as the flight runs parallel to the lower edge.",
        "Let the stringer stand on a level pad: seat = \"level\".";
    HeadOverhangAssumed { overhang: Length } "head-overhang-assumed" Advice Never PRACTICE,
        "head.overhang is not given: the upper finish is taken to reach {overhang} past the riser \
        at the head, as the treads do",
        "The last run goes from the top tread's nosing to the edge of the upper finish. Nobody \
        said how far that edge reaches.",
        "Measure it, or plan it, and give head.overhang; lay the upper finish so.";
    RiseFromRough { total: Length, rough: Length, upper: Length, come: Length, under: Length }
        "rise-from-rough" Advice Never GEOMETRY,
        "total rise {total}: {rough} measured rough, with {upper} of upper finish and {under} \
        under the seat, less {come} of finish to come",
        "The rise was measured from what the stringer will stand on to the top of the framing; the \
        finished rise follows from it.",
        "Look whether the tape really stood on what the stringer will stand on, and whether each \
        finish is as thick as given.";
    StandsOnTakesRiser { measured: Length, height: Length }
        "stands-on-takes-riser" Refusal Never GEOMETRY,
        "the first riser cut comes out at {measured}: {height} under the seat and the tread's \
        thickness take it away",
        "What the seat stands on and the tread on top are together as high as the first riser.",
        "Let the foot stand on something thinner, or on the lower surface itself, or choose fewer \
        risers.";
    FirstRiserThin { measured: Length, limit: Length } "first-riser-thin" Warning Never PRACTICE,
        "{measured} of wood is left of the first riser cut and {limit} is wanted: it splits off",
        "Little wood is left under the front of the first tread.",
        "Let the foot stand on something thinner, or on the lower surface itself.";
    TrimTakesRiser { trim: Length, riser: Length } "trim-takes-riser" Refusal Never GEOMETRY,
        "{trim} off the bottom takes the whole first riser cut of {riser}",
        "The floor is so far out of level that nothing is left of the foot of this stringer.",
        "Level the landing first, and measure again.";
    TrimReachesTread { trim: Length, by: Length } "trim-reaches-tread" Refusal Never GEOMETRY,
        "with {trim} off the bottom the plate notch, let in again, reaches the first tread cut by \
        {by}",
        "The plate keeps its height over the floor, so a trimmed stringer is notched deeper for \
        it, here right up to its tread.",
        "Level the landing, or take a thinner plate.";
    TrimThinsNotch { measured: Length, limit: Length } "trim-thins-notch" Warning Never PRACTICE,
        "after its trim {measured} of wood is left above the plate notch, and {limit} is wanted",
        "Little wood stands between the plate notch, let in again, and the first tread.",
        "Level the landing, or take a thinner plate.";
    TrimTakesNotch { trim: Length, height: Length } "trim-takes-notch" Warning Never GEOMETRY,
        "{trim} off the bottom takes away the whole plate notch, {height} high: mark it anew on \
        this stringer",
        "The trim is as deep as the notch that the pattern marks, so nothing of that notch is left \
        to deepen.",
        "Trim the bottom first, then mark the plate on it and cut its notch.";
    TrimDeepensNotch { height: Length, deepest: Length }
        "trim-deepens-notch" Warning Never GEOMETRY,
        "the pattern's plate notch is {height} high: a trimmed stringer is let in deeper by its \
        trim, up to {deepest} over the pattern's seat",
        "The plate keeps its height over the floor. A trimmed stringer that keeps the pattern's \
        notch rides on the plate, too high by its trim.",
        "Trim the bottom, then let the plate in again to the height that is listed for each \
        stringer.";
}
