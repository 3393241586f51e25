//! Solid stringers with cleats or steel angles.

use super::super::Count;
use super::super::code::findings;
use super::super::{GEOMETRY, PRACTICE};
use super::words::words;
use crate::units::Length;

words! {
    /// What a job wants of a cleated stringer that is made without it.
    CleatedWithout {
        Layers "gluing it of several layers (cut.layers) is",
        Long "cutting it in shifts or in two (cut.long) is",
        Plate "a notch for a tie plate (foot.tie_plate) is",
        Joint "a notch at the head (head.joint) is",
        Ground "a seat along the ground (ground.seat) is",
        Moisture "what moisture changes ([moisture]) is",
    }
    /// A cut that a cleat reaches past.
    CleatEnd {
        Foot "the plumb cut at the foot",
        Seat "the seat cut",
        Head "the plumb cut at the head",
        Level "the level cut at the head",
        Upper "the upper edge",
    }
}

findings! {
    CleatTaken { keys: String } "cleat-taken" Advice Never PRACTICE,
        "left out, and taken as is common: {keys}; check locally what your fasteners ask for",
        "The job says nothing of some sizes of the cleats, and what is common was taken.",
        "Nothing, or write the keys with the figures of your fasteners.";
    CleatFasteners { asks: String } "cleat-fasteners" Advice Never PRACTICE,
        "not worked out here, look on site: {asks}",
        "How strong the fasteners are that hold a cleat, and the wood round them, is worked out by \
        nobody here.",
        "Have them chosen by somebody who is licensed to, or by the tables of your local code.";
    CleatMiddle { count: Count, bays: Count, wide: String } "cleat-middle" Warning Never GEOMETRY,
        "{count} stringers part the stair into {bays} side by side{wide}: their boards stand over \
        the treads between the nosings, and have cleats on both faces",
        "Treads on cleats end at each solid stringer, a middle one too, so that every tread and \
        riser board is several pieces and people climb on one side of it or the other.",
        "Nothing, where that is meant: the pieces, cleats and fasteners are counted so. For treads \
        in one piece leave the middle stringers out, take thicker treads, or cut the stringers.";
    CleatTall { measured: Length, limit: Length } "cleat-tall" Refusal Never GEOMETRY,
        "it is {measured} high, and under the tread there is room for {limit}",
        "A cleat is higher than what is free under its tread: it reaches down to the tread below, \
        or to the floor.",
        "Make cleat.height less.";
    CleatsMeet { measured: Length, limit: Length } "cleats-meet" Refusal Never GEOMETRY,
        "it is {measured} high and lies over the one below it, which leaves it {limit}",
        "Two cleats that lie over each other meet: the upper one reaches down to the top of the \
        lower.",
        "Make cleat.height or cleat.length less.";
    CleatLong { measured: Length, limit: Length } "cleat-long" Refusal Never GEOMETRY,
        "it reaches back to {measured} behind the nosing, and the tread to {limit}",
        "A cleat is longer than its tread: it shows behind it, or stands in the way of what is \
        there.",
        "Make cleat.length or cleat.set_back less, or leave cleat.length out.";
    CleatNoLength { measured: Length, limit: Length } "cleat-no-length" Refusal Never GEOMETRY,
        "the set-back of {measured} leaves no cleat under a tread {limit} deep",
        "The set-back is as deep as the tread: nothing is left for the cleat.",
        "Make cleat.set_back less.";
    CleatAtRiser { measured: Length, limit: Length } "cleat-at-riser" Refusal Never GEOMETRY,
        "it begins {measured} behind the nosing, and the riser board there takes up to {limit}",
        "The riser board under the front of a tread stands where the cleat begins.",
        "Make cleat.set_back as much as the finding says, or leave it out.";
    CleatOff { end: CleatEnd, measured: Length } "cleat-off" Refusal Never GEOMETRY,
        "it reaches {measured} past {end}",
        "A cleat does not lie on the board: a cut at the foot or at the head takes the wood behind \
        it.",
        "Change cleat.length, cleat.set_back or cleat.height, or head.top_tread where it is the \
        top one.";
    CleatNarrow { measured: Length, wider: Length } "cleat-narrow" Refusal Never GEOMETRY,
        "it reaches {measured} past the lower edge: a board {wider} wide would hold it",
        "The board is so narrow that a cleat, or the tread on it, reaches past its lower edge.",
        "Take a board of the width that the finding says, or make cleat.edge_above, cleat.length \
        or cleat.height less.";
    CleatTreadPast { measured: Length, wider: Length } "cleat-tread-past" Warning Never PRACTICE,
        "the back of the tread reaches {measured} past the lower edge: a board {wider} wide would \
        cover its end",
        "The end of a tread shows under the stringer: the board is narrower than the tread on it \
        asks for.",
        "Take a board of the width that the finding says, or make cleat.edge_above less.";
    CleatHoleAtEdge { measured: Length, limit: Length } "cleat-hole-at-edge" Refusal Never PRACTICE,
        "a hole is {measured} from an edge of the board, and {limit} is wanted",
        "A hole lies so near to an edge or an end of the board that the wood splits there.",
        "Make cleat.end more, cleat.height or cleat.edge_above different, or take a wider board; \
        cleat.edge is what is wanted.";
    CleatShort { measured: Length, limit: Length } "cleat-short" Refusal Never PRACTICE,
        "it is {measured} long, and its holes take {limit}",
        "A cleat or angle is too short for its holes, their distance from its ends and from each \
        other.",
        "Make cleat.length more, or cleat.count, cleat.end or cleat.hole less.";
    CleatLow { measured: Length, limit: Length } "cleat-low" Refusal Never PRACTICE,
        "it has {measured} for a hole, and with the wood or steel round it a hole takes {limit}",
        "A cleat is too low, or the leg of an angle on the stringer too short, for a hole and what \
        has to stay round it.",
        "Make cleat.height more, or cleat.edge or cleat.hole less.";
    CleatLeg { measured: Length, limit: Length } "cleat-leg" Refusal Never GEOMETRY,
        "the steel is {measured} thick, and the shorter leg is {limit} long",
        "The steel of an angle is as thick as its leg is long: there is no leg.",
        "Look at cleat.thickness, cleat.leg and cleat.height again.";
    CleatHoleSmall { measured: Length, limit: Length, tool: Length }
        "cleat-hole-small" Refusal Never GEOMETRY,
        "the holes are {measured} wide and the tool {tool}: it makes them as wide as itself where \
        it goes straight down, or {limit} and wider",
        "The tool does not fit into the holes of the cleats, or has no room to go round in them.",
        "Make cleat.hole as wide as the cutter or as the finding says, take a thinner cutter, or \
        set cleat.holes = \"marked\".";
    CleatedNot { what: CleatedWithout } "cleated-not" Refusal Never GEOMETRY,
        "{what} asked for, and a cleated stringer is made without it",
        "A cleated stringer is a solid board: plumb and level at both ends, in one piece, of one \
        thickness.",
        "Leave out the key that the finding names.";
}
