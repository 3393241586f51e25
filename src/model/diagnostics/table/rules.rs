//! The limits of a rule set: a row below and a row above each.

use super::super::code::findings;
use super::super::{Count, Degrees, Figure, PRACTICE, Slope, Value};
use super::words::words;
use crate::units::Length;

words! {
    /// How a limit stands: nobody forbids what only advice is given on.
    Standing {
        Allowed "allowed",
        AskedFor "asked for",
        Usual "usual",
    }
    /// What the job shows of a rail that is wanted.
    RailShown {
        No "",
        Held "; the rail of the job is held against what the rule set has figures for",
    }
}

findings! {
    UnitRiseLow { measured: Length, by: Value, limit: Length, standing: Standing }
        "unit-rise-low" Refusal Waivable PRACTICE,
        "the risers are {measured} high, {by} too little: at least {limit} is {standing}",
        "The risers are lower than the rule set's least.",
        "Choose fewer risers.";
    UnitRiseHigh { measured: Length, by: Value, limit: Length, standing: Standing }
        "unit-rise-high" Refusal Waivable PRACTICE,
        "the risers are {measured} high, {by} too much: at most {limit} is {standing}",
        "The risers are higher than the rule set's most.",
        "Choose more risers.";
    UnitRunLow { measured: Length, by: Value, limit: Length, standing: Standing }
        "unit-run-low" Refusal Waivable PRACTICE,
        "the run of a tread is {measured}, {by} too little: at least {limit} is {standing}",
        "The run of a tread, nose to nose, is less than the rule set's least.",
        "Cut the treads deeper.";
    UnitRunHigh { measured: Length, by: Value, limit: Length, standing: Standing }
        "unit-run-high" Refusal Waivable PRACTICE,
        "the run of a tread is {measured}, {by} too much: at most {limit} is {standing}",
        "The run of a tread is more than the rule set's most.",
        "Cut the treads shallower.";
    RiserSpreadLow { measured: Length, by: Value, limit: Length, standing: Standing }
        "riser-spread-low" Refusal Waivable PRACTICE,
        "the finished risers differ by {measured}, {by} too little: at least {limit} is {standing}",
        "The finished risers differ by less than the rule set's least.",
        "Look at the rule set: this limit is unusual.";
    RiserSpreadHigh { measured: Length, by: Value, limit: Length, standing: Standing }
        "riser-spread-high" Refusal Waivable PRACTICE,
        "the finished risers differ by {measured}, {by} too much: at most {limit} is {standing}",
        "The finished risers of the flight differ by more than allowed: people trip over the odd \
        one.",
        "Check the finishes at foot and head.";
    RunSpreadLow { measured: Length, by: Value, limit: Length, standing: Standing }
        "run-spread-low" Refusal Waivable PRACTICE,
        "the finished runs differ by {measured}, {by} too little: at least {limit} is {standing}",
        "The finished runs differ by less than the rule set's least.",
        "Look at the rule set: this limit is unusual.";
    RunSpreadHigh { measured: Length, by: Value, limit: Length, standing: Standing }
        "run-spread-high" Refusal Waivable PRACTICE,
        "the finished runs differ by {measured}, {by} too much: at most {limit} is {standing}",
        "The finished runs of the flight differ by more than allowed.",
        "Check the riser boards and the spacer at the head.";
    RiserStepLow { measured: Length, by: Value, limit: Length, standing: Standing }
        "riser-step-low" Refusal Waivable PRACTICE,
        "two neighbouring finished risers differ by {measured}, {by} too little: at least {limit} \
        is {standing}",
        "Two neighbouring finished risers differ by less than the rule set's least.",
        "Look at the rule set: this limit is unusual.";
    RiserStepHigh { measured: Length, by: Value, limit: Length, standing: Standing }
        "riser-step-high" Refusal Waivable PRACTICE,
        "two neighbouring finished risers differ by {measured}, {by} too much: at most {limit} is \
        {standing}",
        "Two neighbouring finished risers differ by more than allowed: people trip over the odd \
        one.",
        "Check the finishes at foot and head.";
    RunStepLow { measured: Length, by: Value, limit: Length, standing: Standing }
        "run-step-low" Refusal Waivable PRACTICE,
        "two neighbouring finished runs differ by {measured}, {by} too little: at least {limit} is \
        {standing}",
        "Two neighbouring finished runs differ by less than the rule set's least.",
        "Look at the rule set: this limit is unusual.";
    RunStepHigh { measured: Length, by: Value, limit: Length, standing: Standing }
        "run-step-high" Refusal Waivable PRACTICE,
        "two neighbouring finished runs differ by {measured}, {by} too much: at most {limit} is \
        {standing}",
        "Two neighbouring finished runs differ by more than allowed.",
        "Check the riser boards, the spacer and the nosing at the head.";
    NosingLow { measured: Length, by: Value, limit: Length, standing: Standing }
        "nosing-low" Refusal Waivable PRACTICE,
        "the nosing is {measured}, {by} too little: at least {limit} is {standing}",
        "The tread reaches less over its riser than the rule set's least.",
        "Give the treads more overhang, or a deeper run.";
    NosingHigh { measured: Length, by: Value, limit: Length, standing: Standing }
        "nosing-high" Refusal Waivable PRACTICE,
        "the nosing is {measured}, {by} too much: at most {limit} is {standing}",
        "The tread reaches further over its riser than the rule set's most.",
        "Give the treads less overhang.";
    TreadOverRunLow { measured: Length, by: Value, limit: Length, standing: Standing }
        "tread-over-run-low" Refusal Waivable PRACTICE,
        "the tread is {measured} deeper than its run, {by} too little: at least {limit} is \
        {standing}",
        "The tread is deeper than its run by less than the rule set's least.",
        "Give the treads more overhang.";
    TreadOverRunHigh { measured: Length, by: Value, limit: Length, standing: Standing }
        "tread-over-run-high" Refusal Waivable PRACTICE,
        "the tread is {measured} deeper than its run, {by} too much: at most {limit} is {standing}",
        "The tread is deeper than its run by more than the rule set's most.",
        "Give the treads less overhang.";
    OverlapLow { measured: Length, by: Value, limit: Length, standing: Standing }
        "overlap-low" Refusal Waivable PRACTICE,
        "each tread reaches {measured} over the one below, {by} too little: at least {limit} is \
        {standing}",
        "With open risers a tread reaches less over the one below than the rule set's least: a \
        foot can slip through.",
        "Give the treads more overhang, or close the risers.";
    OverlapHigh { measured: Length, by: Value, limit: Length, standing: Standing }
        "overlap-high" Refusal Waivable PRACTICE,
        "each tread reaches {measured} over the one below, {by} too much: at most {limit} is \
        {standing}",
        "With open risers a tread reaches further over the one below than the rule set's most.",
        "Give the treads less overhang.";
    TreadThicknessLow { measured: Length, by: Value, limit: Length, standing: Standing }
        "tread-thickness-low" Refusal Waivable PRACTICE,
        "the treads are {measured} thick, {by} too little: at least {limit} is {standing}",
        "The treads are thinner than the rule set's least.",
        "Use thicker treads, close the risers, or stand the stringers closer.";
    TreadThicknessHigh { measured: Length, by: Value, limit: Length, standing: Standing }
        "tread-thickness-high" Refusal Waivable PRACTICE,
        "the treads are {measured} thick, {by} too much: at most {limit} is {standing}",
        "The treads are thicker than the rule set's most.",
        "Use thinner treads.";
    TreadSlopeLow { measured: Slope, limit: Slope } "tread-slope-low" Refusal Waivable PRACTICE,
        "the tread cuts are {measured}, and the treads have to slope {limit} or more",
        "The tread cuts slope less than the rule set's least.",
        "Pack the treads to the slope by hand, or look at the rule set: this limit is unusual.";
    TreadSlopeHigh { measured: Slope, limit: Slope } "tread-slope-high" Refusal Waivable PRACTICE,
        "the treads will slope {measured}, and may slope {limit}",
        "The treads come to slope by more than the rule set allows a tread to.",
        "Let the board come to the moisture of the place before it is cut, or choose one sawn on \
        the quarter.";
    FlightRiseLow { measured: Length, by: Value, limit: Length, standing: Standing }
        "flight-rise-low" Refusal Waivable PRACTICE,
        "the flight rises {measured}, {by} too little: at least {limit} is {standing} without a \
        landing",
        "The flight rises less than the rule set's least.",
        "Look at the rule set: this limit is unusual.";
    FlightRiseHigh { measured: Length, by: Value, limit: Length, standing: Standing }
        "flight-rise-high" Refusal Waivable PRACTICE,
        "the flight rises {measured}, {by} too much: at most {limit} is {standing} without a \
        landing",
        "One flight rises further than allowed without a landing.",
        "Put a landing between two flights.";
    PitchLow { measured: Degrees, by: Figure, limit: Degrees, standing: Standing }
        "pitch-low" Refusal Waivable PRACTICE,
        "the pitch is {measured}, {by} too little: at least {limit} is {standing}",
        "The stair is flatter than the rule set's least angle.",
        "Choose fewer risers or a shorter run.";
    PitchHigh { measured: Degrees, by: Figure, limit: Degrees, standing: Standing }
        "pitch-high" Refusal Waivable PRACTICE,
        "the pitch is {measured}, {by} too much: at most {limit} is {standing}",
        "The stair is steeper than the rule set's greatest angle.",
        "Choose more risers or a deeper run.";
    StepSumLow { measured: Length, by: Value, limit: Length, standing: Standing }
        "step-sum-low" Refusal Waivable PRACTICE,
        "two rises and a run make {measured}, {by} too little: at least {limit} is {standing}",
        "Twice the rise and one run is less than a comfortable or allowed step.",
        "Cut the treads deeper, or choose fewer risers.";
    StepSumHigh { measured: Length, by: Value, limit: Length, standing: Standing }
        "step-sum-high" Refusal Waivable PRACTICE,
        "two rises and a run make {measured}, {by} too much: at most {limit} is {standing}",
        "Twice the rise and one run is more than a comfortable or allowed step.",
        "Cut the treads shallower, or choose more risers.";
    RiseRunSumLow { measured: Length, by: Value, limit: Length, standing: Standing }
        "rise-run-sum-low" Refusal Waivable PRACTICE,
        "a rise and a run make {measured}, {by} too little: at least {limit} is {standing}",
        "One rise and one run is less than a comfortable step.",
        "Cut the treads deeper, or choose fewer risers.";
    RiseRunSumHigh { measured: Length, by: Value, limit: Length, standing: Standing }
        "rise-run-sum-high" Refusal Waivable PRACTICE,
        "a rise and a run make {measured}, {by} too much: at most {limit} is {standing}",
        "One rise and one run is more than a comfortable step.",
        "Cut the treads shallower, or choose more risers.";
    OpenGapLow { measured: Length, by: Value, limit: Length, standing: Standing }
        "open-gap-low" Refusal Waivable PRACTICE,
        "the gap between two treads is {measured}, {by} too little: at least {limit} is {standing}",
        "The gap between treads is less than the rule set's least.",
        "Look at the rule set: this limit is unusual.";
    OpenGapHigh { measured: Length, by: Value, limit: Length, standing: Standing }
        "open-gap-high" Refusal Waivable PRACTICE,
        "the gap between two treads is {measured}, {by} too much: at most {limit} is {standing}",
        "A child can slip through the open risers: the gap is the unit rise less the tread's \
        thickness.",
        "Close the risers, use thicker treads, or put a bar across.";
    RiserCountLow { measured: Count, limit: Count } "riser-count-low" Refusal Waivable PRACTICE,
        "the flight has {measured} risers, and {limit} or more are asked for",
        "The flight has fewer risers than the rule set's least.",
        "Choose more risers.";
    RiserCountHigh { measured: Count, limit: Count } "riser-count-high" Refusal Waivable PRACTICE,
        "the flight has {measured} risers, and {limit} are the most without a landing",
        "The flight has more risers than the rule set allows without a landing.",
        "Put a landing between two flights, or choose fewer risers.";
    HandrailWanted { risers: Count, rise: Length, asks: String, shown: RailShown }
        "handrail-wanted" Advice Never PRACTICE,
        "a handrail is wanted for this flight of {risers} risers over {rise}: {asks}{shown}",
        "The rule set wants a handrail for a flight of this many risers or of this height; nothing \
        of it is cut here.",
        "Plan the handrail and the posts it stands on before the treads go on.";
    GuardWanted { rise: Length, asks: String, shown: RailShown }
        "guard-wanted" Advice Never PRACTICE,
        "guards are wanted beside this flight, which rises {rise}: {asks}{shown}",
        "The rule set wants guards at open sides of a flight of this height; nothing of them is \
        cut here.",
        "Plan the guards and what holds their posts before the treads go on.";
    ThroatLow { measured: Length, by: Value, limit: Length, standing: Standing }
        "throat-low" Refusal Waivable PRACTICE,
        "{measured} of wood is left behind the notches, {by} too little: at least {limit} is \
        {standing}",
        "Too little wood is left behind the notches: the stringer is weak there.",
        "Use a wider board, lower risers or shorter treads; measure the board, its name is wider \
        than it is.";
    ThroatHigh { measured: Length, by: Value, limit: Length, standing: Standing }
        "throat-high" Refusal Waivable PRACTICE,
        "{measured} of wood is left behind the notches, {by} too much: at most {limit} is \
        {standing}",
        "More wood is left behind the notches than the rule set's most.",
        "Look at the rule set: this limit is unusual.";
    BoardDepthLow { measured: Length, by: Value, limit: Length, standing: Standing }
        "board-depth-low" Refusal Waivable PRACTICE,
        "the board is {measured} wide, {by} too little: at least {limit} is {standing}",
        "The board is narrower than the rule set's least.",
        "Use a wider board.";
    BoardDepthHigh { measured: Length, by: Value, limit: Length, standing: Standing }
        "board-depth-high" Refusal Waivable PRACTICE,
        "the board is {measured} wide, {by} too much: at most {limit} is {standing}",
        "The board is wider than the rule set's most.",
        "Use a narrower board.";
    BoardThicknessLow { measured: Length, by: Value, limit: Length, standing: Standing }
        "board-thickness-low" Refusal Waivable PRACTICE,
        "the board is {measured} thick, {by} too little: at least {limit} is {standing}",
        "The board is thinner than the rule set's least.",
        "Use a thicker board, or double it.";
    BoardThicknessHigh { measured: Length, by: Value, limit: Length, standing: Standing }
        "board-thickness-high" Refusal Waivable PRACTICE,
        "the board is {measured} thick, {by} too much: at most {limit} is {standing}",
        "The board is thicker than the rule set's most.",
        "Use a thinner board.";
    StringerSpanLow { measured: Length, by: Value, limit: Length, standing: Standing }
        "stringer-span-low" Refusal Waivable PRACTICE,
        "the stringer runs {measured} without support, {by} too little: at least {limit} is \
        {standing}",
        "The stringer is shorter than the rule set's least.",
        "Look at the rule set: this limit is unusual.";
    StringerSpanHigh { measured: Length, by: Value, limit: Length, standing: Standing }
        "stringer-span-high" Refusal Waivable PRACTICE,
        "the stringer runs {measured} without support, {by} too much: at most {limit} is \
        {standing}",
        "A stringer of this length needs support on the way; a solid one may run farther than a \
        cut one.",
        "Put a post or a wall under it and say so (load.mid_support), or ask a licensed designer.";
    StringerSpacingLow { measured: Length, by: Value, limit: Length, standing: Standing }
        "stringer-spacing-low" Refusal Waivable PRACTICE,
        "the stringers stand {measured} apart, centre to centre, {by} too little: at least {limit} \
        is {standing}",
        "The stringers stand closer than the rule set's least.",
        "Use fewer stringers, or look at the rule set: this limit is unusual.";
    StringerSpacingHigh { measured: Length, by: Value, limit: Length, standing: Standing }
        "stringer-spacing-high" Refusal Waivable PRACTICE,
        "the stringers stand {measured} apart, centre to centre, {by} too much: at most {limit} is \
        {standing}",
        "The stringers stand further apart than the rule set's most.",
        "Use more stringers: set stair.most_spacing to the limit.";
    ClearWidthLow { measured: Length, by: Value, limit: Length, standing: Standing }
        "clear-width-low" Refusal Waivable PRACTICE,
        "the stair is {measured} wide, {by} too little: at least {limit} is {standing}",
        "The stair is narrower than the clear width that the rule set asks for.",
        "Make the stair wider; skirts, walls and handrails take from the clear width.";
    ClearWidthHigh { measured: Length, by: Value, limit: Length, standing: Standing }
        "clear-width-high" Refusal Waivable PRACTICE,
        "the stair is {measured} wide, {by} too much: at most {limit} is {standing}",
        "The stair is wider than the rule set's most for one flight.",
        "Divide the flight with a handrail, or make it narrower.";
    HeadroomLow { measured: Length, by: Value, limit: Length, standing: Standing }
        "headroom-low" Refusal Waivable PRACTICE,
        "the headroom over the nose line is {measured}, {by} too little: at least {limit} is \
        {standing}",
        "Less headroom is left over the nose line than the rule set's least.",
        "Make the opening longer, move the flight, or choose a shorter run.";
    HeadroomHigh { measured: Length, by: Value, limit: Length, standing: Standing }
        "headroom-high" Refusal Waivable PRACTICE,
        "the headroom over the nose line is {measured}, {by} too much: at most {limit} is \
        {standing}",
        "More headroom is left over the nose line than the rule set's most.",
        "Look at the rule set: this limit is unusual.";
    LandingLevel { measured: Slope, limit: Slope } "landing-level" Refusal Waivable PRACTICE,
        "the ground is {measured} where the flight lands, and a landing has to slope {limit} or \
        more",
        "The ground where the flight lands is flatter than the rule set's least.",
        "Look at the rule set: this limit is unusual.";
    LandingSteep { measured: Slope, limit: Slope } "landing-steep" Refusal Waivable PRACTICE,
        "the ground slopes {measured} where the flight lands, and a landing may slope {limit}: it \
        has to be levelled there",
        "The ground where the flight lands is steeper than a landing may be.",
        "Level a landing there first, and measure the rise to it.";
    RailHeightLow { measured: Length, by: Value, limit: Length, standing: Standing }
        "rail-height-low" Refusal Waivable PRACTICE,
        "the rail stands {measured} over the line through the nosings, {by} too little: at least \
        {limit} is {standing}",
        "The rail of the job is lower than the rule set's least for a handrail, or for a guard \
        where one is wanted.",
        "Raise rail.height.";
    RailHeightHigh { measured: Length, by: Value, limit: Length, standing: Standing }
        "rail-height-high" Refusal Waivable PRACTICE,
        "the rail stands {measured} over the line through the nosings, {by} too much to hold on \
        to: at most {limit} is {standing}",
        "The rail of the job is higher than a hand is to find it.",
        "Lower rail.height, or fasten a handrail of its own to the posts, within the limits.";
    BalusterOpeningLow { measured: Length, by: Value, limit: Length, standing: Standing }
        "baluster-opening-low" Refusal Waivable PRACTICE,
        "the widest opening between balusters is {measured}, {by} too little: at least {limit} is \
        {standing}",
        "The openings between balusters are narrower than the rule set's least.",
        "Look at the rule set: this limit is unusual.";
    BalusterOpeningHigh { measured: Length, by: Value, limit: Length, standing: Standing }
        "baluster-opening-high" Refusal Waivable PRACTICE,
        "the widest opening between balusters is {measured}, {by} too much: at most {limit} is \
        {standing}",
        "A ball as wide as the rule set says, or a child's head, passes between two balusters.",
        "Make rail.most_gap less.";
}
