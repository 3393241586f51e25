//! The stringer as a beam; what trims and moisture take of it.

use super::super::code::findings;
use super::super::{Exact, Figure, GEOMETRY, PRACTICE};
use super::words::words;
use crate::units::Length;

words! {
    /// What shows that a stringer stands outdoors.
    OutdoorsBy {
        OnGround "the stair stands on the ground",
        Treated "the boards are treated",
    }
    /// Which risers move as the wood does.
    Ends {
        First "the first riser",
        Both "the first riser, and the last the other way,",
    }
}

findings! {
    BeamNotSawn { material: String } "beam-not-sawn" Warning Never PRACTICE,
        "the stringers are cut from {material}: design values are those of sawn boards, so no beam \
        figures are given",
        "The design values of the beam check are those of sawn boards; these stringers are cut \
        from a sheet.",
        "Ask a licensed designer, or cut the stringers from boards.";
    BeamHeldAlong {} "beam-held-along" Advice Never PRACTICE,
        "the stringers are held along their whole length, so there is no span and no beam figures \
        are given",
        "The job says that the stringers are fastened along their whole length, to a wall as a \
        rule: they do not span.",
        "Where they are held at foot and head only, write held = \"at-ends\" under [stair].";
    StringerOverstressed { what: &'static str, measured: Figure, limit: Figure, load: &'static str, times: Figure, enough: String }
        "stringer-overstressed" Refusal Waivable PRACTICE,
        "{what} is {measured} under {load}, {times} times the {limit} that it may be; {enough}",
        "Bending or shear in what stays whole behind the notches is more than the wood's design \
        value, all factors on it. Up to one and a half times what it may be it is a warning, \
        beyond that a refusal.",
        "Add stringers, double them, or support them in the middle; have a licensed designer \
        decide.";
    StringerDeflects { what: &'static str, measured: Figure, limit: Figure, load: &'static str, times: Figure, enough: String }
        "stringer-deflects" Refusal Waivable PRACTICE,
        "{what} is {measured} under {load}, {times} times the {limit} that it may be; {enough}",
        "The stringer bends further under its load than the limit: the stair feels soft and its \
        finishes crack. Up to one and a half times what it may be it is a warning, beyond that a \
        refusal.",
        "Add stringers, double them, or support them in the middle; have a licensed designer \
        decide.";
    FootNotchDeep { measured: Length, limit: Length, depth: Length } "foot-notch-deep" Warning Never
        "NDS 2018 3.2.3, 4.4.3 (check locally)",
        "the plate is let in {measured} deep, more than {limit}, a quarter of the {depth} there",
        "The plate is let into the stretched edge at the foot deeper than a quarter of the wood \
        there, with wood before it that bears.",
        "Let the plate in at the toe or less deep, or hold the foot with a bracket; have a \
        licensed designer decide.";
    FootNotchShear { what: &'static str, measured: Figure, limit: Figure, load: &'static str, times: Figure, enough: String }
        "foot-notch-shear" Refusal Waivable PRACTICE,
        "{what} is {measured} under {load}, {times} times the {limit} that it may be; {enough}",
        "Shear beside the notch at the foot is more than the reduced section may carry: it splits \
        from the corner. Up to one and a half times what it may be it is a warning, beyond that a \
        refusal.",
        "Let the plate in at the toe or less deep, or add stringers; have a licensed designer \
        decide.";
    HeadNotchDeep { measured: Length, limit: Length, depth: Length } "head-notch-deep" Warning Never
        "NDS 2018 3.2.3, 4.4.3 (check locally)",
        "the notch at the head is {measured} deep, more than {limit}, a quarter of the {depth} \
        there",
        "The notch at the head goes into the stretched edge deeper than a quarter of the wood \
        there: a hung stringer splits from such a corner.",
        "Use a lower ledger, or hang the head by its whole plumb cut; have a licensed designer \
        decide.";
    HeadShear { what: &'static str, measured: Figure, limit: Figure, load: &'static str, times: Figure, enough: String }
        "head-shear" Refusal Waivable PRACTICE,
        "{what} is {measured} under {load}, {times} times the {limit} that it may be; {enough}",
        "What carries of the plumb cut, above a notch or down to the lowest point that is held, is \
        too little for the shear there: the head splits along the grain. Up to one and a half \
        times what it may be it is a warning, beyond that a refusal.",
        "Hold the whole plumb cut: a deeper rim or header, a hanger board, no notch; or add \
        stringers. Have a licensed designer decide.";
    StringerBearingHigh { what: &'static str, measured: Figure, limit: Figure, load: &'static str, times: Figure, enough: String }
        "stringer-bearing-high" Refusal Waivable PRACTICE,
        "{what} is {measured} under {load}, {times} times the {limit} that it may be; {enough}",
        "The foot presses on its support with more than the wood's design value across the grain. \
        Up to one and a half times what it may be it is a warning, beyond that a refusal.",
        "Make the seat longer, or add stringers; have a licensed designer decide.";
    RisersMoveApart { change: Exact, ends: Ends, measured: Exact, limit: Length }
        "risers-move-apart" Warning Never PRACTICE,
        "{ends} will change by {change} as the wood does: risers then differ by {measured}, and \
        may by {limit}",
        "As the board dries or swells, all treads go down or up with it while the floors stay: the \
        first riser and the last come to differ.",
        "Let the board come to the moisture of the place before it is cut, or choose one sawn on \
        the quarter.";
    TrimThroat { trim: Exact, measured: Exact, limit: Length } "trim-throat" Refusal Never PRACTICE,
        "trimmed by {trim} here, the stringer keeps a throat of {measured}, and {limit} is asked \
        for",
        "What comes off under a tread comes off the throat below it: less wood is left than the \
        rule set asks for.",
        "Shim the other treads up instead (built.shim_most), trim less, or make the stringer anew.";
    TrimThroatKept { trim: Exact, measured: Exact, limit: Length }
        "trim-throat-kept" Advice Never GEOMETRY,
        "trimmed by {trim} here, the stringer keeps a throat of {measured}; {limit} is asked for",
        "What comes off under a tread comes off the throat below it; enough is left by the rule \
        set.",
        "Saw no deeper into the corner than the schedule says.";
    TrimAtNotch { trim: Exact, measured: Exact, limit: Length }
        "trim-at-notch" Warning Never PRACTICE,
        "trimmed by {trim} here, {measured} of wood stands above the plate notch and {limit} is \
        wanted",
        "What comes off under the first tread comes off the wood above the plate notch.",
        "Trim less, or hold the foot with a bracket and no notch.";
    ServiceNotSaid { shown: OutdoorsBy } "service-not-said" Warning Never PRACTICE,
        "{shown}, and the job does not say both board.wet and board.incised: what it leaves out is \
        figured as wet and incised, the lower values",
        "Wood that stands outdoors or was treated bears less where it gets wet and where it was \
        incised, and the job does not say which.",
        "Look at the stamp and the tag of the boards, then write wet = true or false and incised = \
        true or false under [board].";
}
