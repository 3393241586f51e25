//! How a program that was read back uses its spindle or its beam.

use std::fmt;

use super::super::code::findings;
use super::super::{Count, Figure, Millimetres, PRACTICE, Value};
use super::proof_language::{LANGUAGE, PROFILE};
use super::words::words;

words! {
    /// Why a spindle does not turn.
    Still { Off "the spindle is off", NoSpeed "the spindle has no speed (S of 0 or less)" }
    /// On which side of a limit a figure has to be.
    Bound { AtLeast "at least", AtMost "at most" }
    /// A word that switches the spindle or the beam.
    Switch {
        Clockwise "M3",
        CounterClockwise "M4",
        Off "M5",
    }
    /// A word that switches coolant on.
    Coolant { Mist "M7", Flood "M8" }
}

/// For how long something stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum StandsFor {
    /// For the time of a dwell.
    Dwell(Figure),
    /// Until the operator goes on.
    TheOperator,
}

impl fmt::Display for StandsFor {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        Value::from(*self).fmt(f)
    }
}

impl From<StandsFor> for Value {
    fn from(stands: StandsFor) -> Self {
        match stands {
            StandsFor::Dwell(time) => time.into(),
            StandsFor::TheOperator => "as long as the operator takes (M0)".into(),
        }
    }
}

// Speeds of a spindle are in `rpm`, times in `s`. The S word of a beam has no unit: an empty one.
findings! {
    SpindleOffInMaterial { why: Still } "spindle-off-in-material" Refusal Never PRACTICE,
        "{why}, and the cutter is pushed into the material: M3 with S comes first",
        "The cutter is pushed into material without turning.",
        "Write M3 with S before the first cut.";
    SpindleWrongWay {} "spindle-wrong-way" Refusal Never PRACTICE,
        "the spindle turns counter-clockwise (M4) in the material, and a right-hand cutter needs \
        M3",
        "The spindle turns counter-clockwise: a right-hand cutter rubs and burns.",
        "Write M3.";
    // In `rpm` for a spindle, without a unit for a beam.
    SpindleSpeed { measured: Figure, bound: Bound, limit: Figure }
        "spindle-speed" Refusal Never PROFILE,
        "the S word asks for {measured}, and on this machine it has to be {bound} {limit}",
        "The S word is below 0, or asks for more speed than the spindle has.",
        "Correct S, or the profile.";
    SpeedNotSaid {} "speed-not-said" Refusal Never LANGUAGE,
        "the tool is switched on here and no S was said: it runs, or burns, as the program before \
        left it",
        "The spindle or the beam is switched on before any S word: its speed or power is what an \
        earlier program left.",
        "Write S on this line or before it.";
    SpindleSlow { measured: Figure, limit: Figure } "spindle-slow" Warning Never PROFILE,
        "the spindle turns at {measured} in the material; below {limit} each chip is far too thick",
        "The spindle turns far slower than the profile's speed, so each chip is far thicker.",
        "Correct S.";
    SpindleStalled { measured: Figure, limit: Figure } "spindle-stalled" Refusal Never PRACTICE,
        "the spindle turns at {measured} in the material; below {limit} the cutter is pushed \
        through it and breaks",
        "The spindle turns at less than half of the profile's speed in material: the cutter is \
        pushed through the wood and breaks.",
        "Correct S.";
    ToolSwitchedInMaterial { word: Switch } "tool-switched-in-material" Refusal Never PRACTICE,
        "{word} switches the spindle while the cutter is below the top of the material, or on a \
        line that takes it there",
        "The spindle is started, turned round or stopped while the cutter is in material, or on \
        one line with a move there: controllers differ in which of the two comes first.",
        "Lift the tool first; start it again above the material, with its time to spin up.";
    SwitchOnTheWay { word: Switch } "switch-on-the-way" Refusal Never LANGUAGE,
        "{word} stands on one line with a move: some controllers switch the beam before the move, \
        others after it, and it burns all the way or not at all",
        "The beam is switched on or off on a line that also moves the head: controllers differ in \
        which of the two comes first.",
        "Write the M word on a line of its own.";
    StopInMaterial {} "stop-in-material" Refusal Never PRACTICE,
        "the program stops with M0 and waits for the operator while the cutter is in the material",
        "The program stops and waits for the operator with the cutter in material.",
        "Lift the tool before M0.";
    StopTurning {} "stop-turning" Refusal Never PRACTICE,
        "the program stops with M0 and calls the operator to a tool that still turns or burns: M0 \
        does not stop it",
        "M0 waits for the operator and leaves the spindle turning, or the beam lit.",
        "Write M5 before M0, and M3 with its dwell after it.";
    SpindleReversed {} "spindle-reversed" Refusal Never PRACTICE,
        "M4 turns the spindle the other way round: the cutter rubs, and what holds it may come \
        loose",
        "The spindle is turned the other way round than a cutter cuts.",
        "Write M3.";
    StandsInMaterial { measured: Figure, limit: Figure }
        "stands-in-material" Refusal Never PRACTICE,
        "the turning cutter stands still in the material for {measured}; after {limit} the wood \
        burns",
        "The cutter stands in material so long that the wood burns.",
        "Lift the tool before the dwell.";
    DwellInMaterial { measured: Figure } "dwell-in-material" Warning Never PRACTICE,
        "the turning cutter stands still in the material for {measured} and heats it",
        "The cutter stands in material and heats it.",
        "Lift the tool before the dwell.";
    CoolantOn { word: Coolant } "coolant-on" Warning Never PRACTICE,
        "{word} switches the coolant on, and wood that gets wet swells: it is cut dry",
        "Coolant is switched on: wood swells with it.",
        "Remove M7 and M8.";
    SpinUpShort { measured: Figure, limit: Figure } "spin-up-short" Refusal Never PROFILE,
        "the spindle has {measured} of dwell before the cutter enters the material, and the \
        profile gives it {limit}",
        "The cutter enters material before the spindle had the time that the profile gives it.",
        "Write a dwell after M3.";
    SpindleOnAtEnd { measured: Figure } "spindle-on-at-end" Warning Never PRACTICE,
        "the program ends with the spindle set to {measured} and relies on the controller to stop \
        it",
        "The program ends with the spindle turning and relies on the controller to stop it.",
        "Write M5 before the end.";
    BeamOnRapid { measured: Figure } "beam-on-rapid" Refusal Never PRACTICE,
        "the beam is on with S{measured} during a rapid, which is too fast to cut and burns a line",
        "The beam is on during a rapid.",
        "Write S0 or M5 before it.";
    BeamStands { measured: StandsFor } "beam-stands" Refusal Never PRACTICE,
        "the beam stands still for {measured} while it is on: a fire can start",
        "The beam stands still while it is on: a fire can start.",
        "Remove the dwell, or switch the beam off before it.";
    PierceOnPart {} "pierce-on-part" Refusal Never PRACTICE,
        "the beam pierces on the part here, and a pierce has to lie in the waste",
        "The beam pierces on the part instead of the waste.",
        "Pierce in the waste and lead in.";
    BeamPower { measured: Figure, limit: Figure } "beam-power" Refusal Never PROFILE,
        "the beam cuts with S{measured}, and S{limit} is the most that the profile gives it",
        "The beam's S word is not what the profile gives for this cut.",
        "Correct S, or the profile.";
    BeamWord { found: Switch, named: Switch } "beam-word" Refusal Never PROFILE,
        "the beam is lit with {found} and the profile names {named}: its power follows the speed \
        in one of them only",
        "The beam is lit by another word than the profile names: its power follows the speed where \
        it must not, or does not where it must.",
        "Write the profile's word.";
    // Both in times the profile's, without a unit.
    BeamBurns { measured: Figure, along: Millimetres, limit: Figure }
        "beam-burns" Warning Never PROFILE,
        "the beam puts {measured} times the profile's energy into {along} of the part's edge; \
        {limit} times is the most",
        "The beam puts more than a tenth more energy into each mm of the part's edge than the \
        profile's power and feed do.",
        "Correct S and F together.";
    // Both in times the profile's, without a unit.
    BeamFire { measured: Figure, along: Millimetres, limit: Figure }
        "beam-fire" Refusal Never PRACTICE,
        "the beam puts {measured} times the profile's energy into {along} of its way; from {limit} \
        times on wood catches fire",
        "The beam goes so slowly, or burns so strongly, that what it goes along catches fire.",
        "Correct S and F together, or make the program again from the job.";
    PierceNearPart { measured: Millimetres, limit: Millimetres }
        "pierce-near-part" Warning Never PRACTICE,
        "the beam is lit {measured} from the part's edge; {limit} is the least",
        "The beam is lit for the first time beside the part's edge: a pierce is wider than the \
        kerf, and its pit is seen in the edge and felt by what follows it.",
        "Light it in the waste, as far off as lead = of the profile, and lead in.";
    // `times`: how often at least; `limit`: the profile's rounds, 1 of a mark.
    BeamAgain { times: Count, along: Millimetres, limit: Count }
        "beam-again" Refusal Never PRACTICE,
        "the beam goes along {along} {times} times or more, and {limit} is as often as it is to: \
        it burns there, and a fire can start",
        "The beam goes over the same edge, hole, mark or way in more often than it is to: it chars \
        the wood, and a fire can start.",
        "Remove the repeated moves, or make the program again from the job.";
    LooseWorked {} "loose-worked" Refusal Never PRACTICE,
        "this is cut or scored on a piece that lies loose: all of its outline is cut through by \
        then",
        "A beam leaves no tabs: once its outline is cut a piece lies loose and may have moved or \
        tipped.",
        "Score and cut what lies inside a piece before its outline.";
    BeamHeight {} "beam-height" Refusal Never PROFILE,
        "a Z word moves the beam's head up or down, and no height is planned for it: it travels \
        low",
        "The program moves the head of a beam up or down, where nothing is planned: it runs into \
        the material, or out of focus.",
        "Remove the Z words.";
    BeamOnAtEnd { measured: Figure } "beam-on-at-end" Refusal Never PRACTICE,
        "the program ends with the beam on at S{measured}: neither S0 nor M5 stands before the end",
        "The program ends with the beam on.",
        "Write M5 before the end.";
}
