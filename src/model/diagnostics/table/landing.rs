//! Landings between the flights of a stair; the opening that a flight goes up through.

use super::super::code::findings;
use super::super::{GEOMETRY, PRACTICE, Value};
use crate::units::Length;

findings! {
    LandingsWouldDo { options: String } "landings-would-do" Advice Never PRACTICE,
        "it would do with {options}; depth and turn are yours to say, and the width of the stair",
        "One flight is too high, or has too many risers. These landings part it into flights that \
        keep the limit, all risers as they are.",
        "Write a table [[landing]] for each landing, with after, depth, finish and turn, and width \
        below [stair]; `seatcut new` shows them.";
    LandingShort { measured: Length, by: Value, limit: Length }
        "landing-short" Refusal Waivable PRACTICE,
        "the landing is {measured} deep, {by} too little: at least {limit} is asked for",
        "The landing is less deep, along the flight that arrives, than the rule set asks for.",
        "Make the landing deeper (landing.depth).";
    LandingTurnShort { measured: Length, limit: Length }
        "landing-turn-short" Refusal Never GEOMETRY,
        "the landing is {measured} deep, and the next flight turns off it {limit} wide: it does \
        not find room",
        "The next flight turns to a side of the landing that is shorter than that flight is wide.",
        "Make the landing as deep as the stair is wide, or deeper.";
    FlightsCross { other: String } "flights-cross" Warning Never GEOMETRY,
        "in plan it lies over {other}: whether somebody there has headroom under it is not looked \
        at here",
        "A part of the stair lies over another part of it.",
        "Measure the clear height between the two, or let the flights turn so that they lie beside \
        each other.";
    OpeningShort { length: Length, least: Length, by: Length, asked: Length }
        "opening-short" Advice Never GEOMETRY,
        "the opening is {length} long; {least} would do, {by} more, for the {asked} that are asked \
        for",
        "The opening in the upper floor is so short that the floor over the foot comes too near to \
        the line through the nosings.",
        "Make the opening as long as that, or longer; more risers or a shorter run bring the \
        flight nearer to the head.";
    OpeningBeyondFlight { length: Length, beyond: Length }
        "opening-beyond-flight" Advice Never GEOMETRY,
        "the opening is {length} long, {beyond} longer than the flight: nothing hangs over its \
        treads",
        "The opening reaches past the first nosing, so only the lower floor lies under the \
        ceiling.",
        "Look whether the opening was measured along the flight, from the face of the riser at its \
        head; a shorter one may do.";
    OpeningOffHead { from_head: Length } "opening-off-head" Refusal Never GEOMETRY,
        "the opening begins {from_head} before the head, and the floor there lies on the upper \
        treads",
        "Between the head and the opening the floor goes on over the treads, and nobody gets past \
        it.",
        "Begin the opening at the head (leave opening.from_head out), or give it as measured from \
        the face of the riser there.";
    CeilingLow { ceiling: Length, asked: Length } "ceiling-low" Advice Never GEOMETRY,
        "the ceiling lies {ceiling} over the lower floor, lower than the {asked} that are asked \
        for: no opening would do",
        "The ceiling over the lower floor is itself lower than the headroom that is asked for.",
        "Look at opening.depth again: from the upper finish down to the ceiling; else the room \
        below is too low.";
}
