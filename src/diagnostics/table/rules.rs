//! The limits of a rule set: a row below and a row above each.

use super::super::code::findings;
use super::super::{Count, Degrees, PRACTICE};
use crate::units::Length;

findings! {
    UnitRiseLow { measured: Length, limit: Length } "unit-rise-low" Refusal Waivable PRACTICE,
        "the risers are {measured} high, less than the least that is asked for, {limit}",
        "The risers are lower than the rule set's least.",
        "Choose fewer risers.";
    UnitRiseHigh { measured: Length, limit: Length } "unit-rise-high" Refusal Waivable PRACTICE,
        "the risers are {measured} high, more than the most that is allowed, {limit}",
        "The risers are higher than the rule set's most.",
        "Choose more risers.";
    UnitRunLow { measured: Length, limit: Length } "unit-run-low" Refusal Waivable PRACTICE,
        "the run of a tread is {measured}, less than the least that is asked for, {limit}",
        "The run of a tread, nose to nose, is less than the rule set's least.",
        "Cut the treads deeper.";
    UnitRunHigh { measured: Length, limit: Length } "unit-run-high" Refusal Waivable PRACTICE,
        "the run of a tread is {measured}, more than the most that is allowed, {limit}",
        "The run of a tread is more than the rule set's most.",
        "Cut the treads shallower.";
    RiserSpreadLow { measured: Length, limit: Length } "riser-spread-low" Refusal Waivable PRACTICE,
        "the finished risers differ by {measured}, less than the least that is asked for, {limit}",
        "The finished risers differ by less than the rule set's least.",
        "Look at the rule set: this limit is unusual.";
    RiserSpreadHigh { measured: Length, limit: Length } "riser-spread-high" Refusal Waivable PRACTICE,
        "the finished risers differ by {measured}, more than the most that is allowed, {limit}",
        "The finished risers of the flight differ by more than allowed: people trip over the odd one.",
        "Check the finishes at foot and head.";
    RunSpreadLow { measured: Length, limit: Length } "run-spread-low" Refusal Waivable PRACTICE,
        "the finished runs differ by {measured}, less than the least that is asked for, {limit}",
        "The finished runs differ by less than the rule set's least.",
        "Look at the rule set: this limit is unusual.";
    RunSpreadHigh { measured: Length, limit: Length } "run-spread-high" Refusal Waivable PRACTICE,
        "the finished runs differ by {measured}, more than the most that is allowed, {limit}",
        "The finished runs of the flight differ by more than allowed.",
        "Check the riser boards and the spacer at the head.";
    NosingLow { measured: Length, limit: Length } "nosing-low" Refusal Waivable PRACTICE,
        "the nosing is {measured}, less than the least that is asked for, {limit}",
        "The tread reaches less over its riser than the rule set's least.",
        "Give the treads more overhang, or a deeper run.";
    NosingHigh { measured: Length, limit: Length } "nosing-high" Refusal Waivable PRACTICE,
        "the nosing is {measured}, more than the most that is allowed, {limit}",
        "The tread reaches further over its riser than the rule set's most.",
        "Give the treads less overhang.";
    FlightRiseLow { measured: Length, limit: Length } "flight-rise-low" Refusal Waivable PRACTICE,
        "the flight rises {measured}, less than the least that is asked for, {limit} without a landing",
        "The flight rises less than the rule set's least.",
        "Look at the rule set: this limit is unusual.";
    FlightRiseHigh { measured: Length, limit: Length } "flight-rise-high" Refusal Waivable PRACTICE,
        "the flight rises {measured}, more than the most that is allowed, {limit} without a landing",
        "One flight rises further than allowed without a landing.",
        "Put a landing between two flights.";
    PitchLow { measured: Degrees, limit: Degrees } "pitch-low" Refusal Waivable PRACTICE,
        "the pitch is {measured}, less than the least that is asked for, {limit}",
        "The stair is flatter than the rule set's least angle.",
        "Choose fewer risers or a shorter run.";
    PitchHigh { measured: Degrees, limit: Degrees } "pitch-high" Refusal Waivable PRACTICE,
        "the pitch is {measured}, more than the most that is allowed, {limit}",
        "The stair is steeper than the rule set's greatest angle.",
        "Choose more risers or a deeper run.";
    StepSumLow { measured: Length, limit: Length } "step-sum-low" Refusal Waivable PRACTICE,
        "two rises and a run make {measured}, less than the least that is asked for, {limit}",
        "Twice the rise and one run is less than a comfortable or allowed step.",
        "Cut the treads deeper, or choose fewer risers.";
    StepSumHigh { measured: Length, limit: Length } "step-sum-high" Refusal Waivable PRACTICE,
        "two rises and a run make {measured}, more than the most that is allowed, {limit}",
        "Twice the rise and one run is more than a comfortable or allowed step.",
        "Cut the treads shallower, or choose more risers.";
    RiseRunSumLow { measured: Length, limit: Length } "rise-run-sum-low" Refusal Waivable PRACTICE,
        "a rise and a run make {measured}, less than the least that is asked for, {limit}",
        "One rise and one run is less than a comfortable step.",
        "Cut the treads deeper, or choose fewer risers.";
    RiseRunSumHigh { measured: Length, limit: Length } "rise-run-sum-high" Refusal Waivable PRACTICE,
        "a rise and a run make {measured}, more than the most that is allowed, {limit}",
        "One rise and one run is more than a comfortable step.",
        "Cut the treads shallower, or choose more risers.";
    OpenGapLow { measured: Length, limit: Length } "open-gap-low" Refusal Waivable PRACTICE,
        "the gap between two treads is {measured}, less than the least that is asked for, {limit}",
        "The gap between treads is less than the rule set's least.",
        "Look at the rule set: this limit is unusual.";
    OpenGapHigh { measured: Length, limit: Length } "open-gap-high" Refusal Waivable PRACTICE,
        "the gap between two treads is {measured}, more than the most that is allowed, {limit}",
        "A child can slip through the open risers: the gap is the unit rise less the tread's thickness.",
        "Close the risers, use thicker treads, or put a bar across.";
    RiserCountLow { measured: Count, limit: Count } "riser-count-low" Refusal Waivable PRACTICE,
        "the flight has {measured} risers, less than the least that is asked for, {limit}",
        "The flight has fewer risers than the rule set's least.",
        "Choose more risers.";
    RiserCountHigh { measured: Count, limit: Count } "riser-count-high" Refusal Waivable PRACTICE,
        "the flight has {measured} risers, more than the most that is allowed, {limit}",
        "The flight has more risers than this limit; in the dwelling rules it tells when a handrail is wanted.",
        "Plan the handrail, or see the rule set's clause.";
    ThroatLow { measured: Length, limit: Length } "throat-low" Refusal Waivable PRACTICE,
        "{measured} of wood is left behind the notches, less than the least that is asked for, {limit}",
        "Too little wood is left behind the notches: the stringer is weak there.",
        "Use a wider board, lower risers or shorter treads; measure the board, its name is wider than it is.";
    ThroatHigh { measured: Length, limit: Length } "throat-high" Refusal Waivable PRACTICE,
        "{measured} of wood is left behind the notches, more than the most that is allowed, {limit}",
        "More wood is left behind the notches than the rule set's most.",
        "Look at the rule set: this limit is unusual.";
    BoardDepthLow { measured: Length, limit: Length } "board-depth-low" Refusal Waivable PRACTICE,
        "the board is {measured} wide, less than the least that is asked for, {limit}",
        "The board is narrower than the rule set's least.",
        "Use a wider board.";
    BoardDepthHigh { measured: Length, limit: Length } "board-depth-high" Refusal Waivable PRACTICE,
        "the board is {measured} wide, more than the most that is allowed, {limit}",
        "The board is wider than the rule set's most.",
        "Use a narrower board.";
    BoardThicknessLow { measured: Length, limit: Length } "board-thickness-low" Refusal Waivable PRACTICE,
        "the board is {measured} thick, less than the least that is asked for, {limit}",
        "The board is thinner than the rule set's least.",
        "Use a thicker board, or double it.";
    BoardThicknessHigh { measured: Length, limit: Length } "board-thickness-high" Refusal Waivable PRACTICE,
        "the board is {measured} thick, more than the most that is allowed, {limit}",
        "The board is thicker than the rule set's most.",
        "Use a thinner board.";
    StringerSpanLow { measured: Length, limit: Length } "stringer-span-low" Refusal Waivable PRACTICE,
        "the stringer runs {measured} without support, less than the least that is asked for, {limit}",
        "The stringer is shorter than the rule set's least.",
        "Look at the rule set: this limit is unusual.";
    StringerSpanHigh { measured: Length, limit: Length } "stringer-span-high" Refusal Waivable PRACTICE,
        "the stringer runs {measured} without support, more than the most that is allowed, {limit}",
        "A cut stringer of this length needs support on the way.",
        "Put a post or a wall under it, or ask a licensed designer.";
}
