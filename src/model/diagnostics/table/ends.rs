//! The ends of the flight as the site has them: a rise measured rough, what the foot stands on, how
//! far the upper finish reaches.

use super::super::code::findings;
use super::super::{GEOMETRY, PRACTICE};
use crate::units::Length;

findings! {
    HeadOverhangAssumed { overhang: Length } "head-overhang-assumed" Advice Never PRACTICE,
        "head.overhang is not given: the upper finish is taken to reach {overhang} past the riser at the head, as the treads do",
        "The last run goes from the top tread's nosing to the edge of the upper finish. Nobody said how far that edge reaches.",
        "Measure it, or plan it, and give head.overhang; lay the upper finish so.";
    RiseFromRough { total: Length, rough: Length, upper: Length, come: Length, under: Length }
        "rise-from-rough" Advice Never GEOMETRY,
        "total rise {total}: {rough} measured rough, with {upper} of upper finish and {under} under the seat, less {come} of finish to come",
        "The rise was measured from what the stringer will stand on to the top of the framing; the finished rise follows from it.",
        "Look whether the tape really stood on what the stringer will stand on, and whether each finish is as thick as given.";
    StandsOnTakesRiser { measured: Length, height: Length } "stands-on-takes-riser" Refusal Never GEOMETRY,
        "the first riser cut comes out at {measured}: {height} under the seat and the tread's thickness take it away",
        "What the seat stands on and the tread on top are together as high as the first riser.",
        "Let the foot stand on something thinner, or on the lower surface itself, or choose fewer risers.";
    FirstRiserThin { measured: Length, limit: Length } "first-riser-thin" Warning Never PRACTICE,
        "{measured} of wood is left of the first riser cut and {limit} is wanted: it splits off",
        "Little wood is left under the front of the first tread.",
        "Let the foot stand on something thinner, or on the lower surface itself.";
}
