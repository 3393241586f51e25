//! Where the stair stands: ground, floor, head joint; moisture.

use super::super::code::findings;
use super::super::{Count, Degrees, Exact, Figure, GEOMETRY, PRACTICE};
use crate::units::Length;

findings! {
    LandingReading { out: Length, expected: Length } "landing-reading" Advice Never PRACTICE,
        "measure again {out} out from the rim at the head: the total rise, down to what the \
        stringer will stand on, should read {expected}",
        "On falling ground the total rise is computed for where the flight lands, from the slope \
        that was given.",
        "Measure the total rise again at that distance; if it reads otherwise, the ground does not \
        fall evenly.";
    GroundTooSteep { measured: Figure, rise: Length, run: Length }
        "ground-too-steep" Warning Never GEOMETRY,
        "the ground falls {measured} away from the head, and a stair of {rise} over {run} does not \
        gain on it",
        "The ground falls as steeply as the steepest stair that is allowed, so every count of \
        risers is too steep.",
        "Cut a level landing into the slope, shorten the run, or turn the flight.";
    GroundRises { measured: Figure } "ground-rises" Advice Never PRACTICE,
        "the ground rises {measured} away from the head",
        "The ground rises away from the head, so each riser more lands higher.",
        "Look whether the slope was given the right way round, and where the water will go.";
    BottomRiserSpread { riser: Length, measured: Exact, limit: Length }
        "bottom-riser-spread" Refusal Waivable PRACTICE,
        "the bottom riser is {riser} here, {measured} off the others, and may be {limit} off them",
        "On a floor out of level the bottom riser differs by more than allowed at one side: people \
        trip over the odd one.",
        "Level the landing, or share the difference between the two sides if half of it is \
        allowed.";
    BottomRiserLow { measured: Exact, limit: Length } "bottom-riser-low" Refusal Waivable PRACTICE,
        "the bottom riser is {measured} here, less than the least of {limit}",
        "On a floor out of level the bottom riser is lower than the rule set's least.",
        "Level the landing.";
    BottomRiserHigh { measured: Exact, limit: Length }
        "bottom-riser-high" Refusal Waivable PRACTICE,
        "the bottom riser is {measured} here, more than the most of {limit}",
        "On a floor out of level the bottom riser is higher than the rule set's most.",
        "Choose more risers, or level the landing.";
    ReadingBeyond { stringers: Count, first: Length, last: Length }
        "reading-beyond" Advice Never PRACTICE,
        "stringers outside the readings at {first} and {last}: {stringers}",
        "A stringer stands outside the readings, so its trim runs on from them in a straight line.",
        "Measure at both sides of the stair.";
    HeadNoContact { joint: &'static str } "head-no-contact" Refusal Waivable PRACTICE,
        "{joint}: the plumb cut meets nothing and rests on nothing",
        "With this joint the head meets nothing and rests on nothing.",
        "Choose another joint, a deeper rim or header, or a wider board.";
    HeadNoWood { joint: &'static str } "head-no-wood" Refusal Never GEOMETRY,
        "{joint}: no wood is left between the notch at the head and the top tread cut",
        "With this joint the notch at the head takes all the wood under the top tread cut.",
        "Choose another joint, or drop the header further.";
    FlushHandrail {} "flush-handrail" Advice Never PRACTICE,
        "the top tread is part of the floor, one run out from its framing: handrail and guard \
        reach out to the top nosing, fixed where no floor framing lies below",
        "A flush top tread is part of the floor but lies out from its framing: the last riser is \
        one run further out.",
        "Plan handrail and guard out to the top nosing, with blocking for the posts.";
    SeatFollowsGround { angle: Degrees, toe: Length, heel: Length }
        "seat-follows-ground" Advice Never GEOMETRY,
        "the seat is cut along the ground: {angle}, {toe} off a level one at the toe and {heel} at \
        the heel",
        "The job wants a seat along the ground, and the part is cut so: it fits ground that falls \
        as evenly as was measured.",
        "Stand the first piece on the ground at its height before the others are cut; scribe it \
        there where the ground is uneven.";
    LedgerBelowRim { measured: Length } "ledger-below-rim" Warning Never PRACTICE,
        "the ledger reaches {measured} below the rim, and nothing holds it there",
        "The ledger lies at the lower end of the plumb cut, and the rim does not reach down to it: \
        nothing holds it there.",
        "Take a deeper rim or a hanger board, or another joint.";
    StringerCount { measured: Count, asked: Count } "stringer-count" Advice Never PRACTICE,
        "stringers that this job cuts: {measured}; width and spacing ask for {asked}",
        "The width and the spacing of the stair ask for another number of stringers than this job \
        cuts.",
        "Set cut.quantity, or stairs = ... where it is for more than one stair, or look at \
        stair.width and stair.most_spacing again.";
    NotWorkedOut { why: String } "not-worked-out" Refusal Never GEOMETRY,
        "{why}",
        "Something that the job asks beyond the stringer means nothing, so nothing of it was \
        worked out.",
        "Mend the table that it is about.";
    MoistureOutsideRange { now: Figure, service: Figure }
        "moisture-outside-range" Advice Never PRACTICE,
        "{now} now and {service} in service: beyond 6 to 14% the figure is approximate",
        "Moisture now or in service lies outside 6 to 14 %, where shrinkage is a straight line; \
        the figure is approximate.",
        "Let the board dry near to what it will have in service before it is measured and cut.";
    TreadTilts { measured: Figure, limit: Figure }
        "tread-tilts" Warning Never "International Residential Code 2021 R311.7.7",
        "the tread cuts will slope 1 in {measured}; 1 in {limit} is allowed",
        "As the board dries or swells its tread cuts will slope by more than the rule set allows a \
        tread to.",
        "Let the board come to the moisture of the place before it is cut, or choose one sawn on \
        the quarter.";
}
