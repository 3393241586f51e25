//! How a program that was read back moves: feeds, heights, depths, travel, clamps, shifts of the
//! stock.

use std::fmt;

use super::super::code::findings;
use super::super::{Count, Feed, Figure, GEOMETRY, Millimetres, PRACTICE, Value};
use super::proof_language::PROFILE;
use super::words::words;

words! {
    /// A move of which no line said where it begins.
    Blind {
        RapidAtNoHeight "goes sideways before any line has said how high the tool is: Z comes \
            first",
        FirstNotUp "is the first and does not lift the tool: G0 to the safe height comes first",
        FeedFromNowhere "feeds from a place that no line has said: X, Y and Z come first",
        BeamFromNowhere "burns from a place that no line has said: X and Y come first",
    }
    /// How a cutter goes down, and the key that says how fast.
    Descent {
        Moving "while it moves (on a ramp, in a hole, from a tab)",
        Steep "while it moves, steeper than ramp_deg of the profile,",
        Straight "straight down",
    }
    /// An axis of the machine.
    Axis { X "X", Y "Y", Z "Z" }
}

/// How high the tool is over the material, where the program said it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Height {
    /// Over the top; below 0 in the material.
    Over(Millimetres),
    /// No line has said it.
    NotSaid,
}

impl fmt::Display for Height {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        Value::from(*self).fmt(f)
    }
}

impl From<Height> for Value {
    fn from(height: Height) -> Self {
        match height {
            Height::Over(height) => height.into(),
            Height::NotSaid => "not said by any line".into(),
        }
    }
}

/// How high a tool passes over a clamp without touching it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Clears {
    /// So high over the top of the material.
    Over(Millimetres),
    /// The clamp's height was not said.
    Unknown,
}

impl fmt::Display for Clears {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Over(safe) => write!(f, "lower than {safe} over the top"),
            Self::Unknown => {
                f.write_str("and its height was not said, so nothing may pass over it")
            }
        }
    }
}

impl From<Clears> for Value {
    fn from(clears: Clears) -> Self {
        clears.to_string().into()
    }
}

// Heights are over the top of the material and may be below 0; depths are
// below it.
findings! {
    FeedRange { measured: Feed, limit: Feed } "feed-range" Refusal Never PROFILE,
        "the feed is {measured}, and it has to be above 0 and at most {limit}, which is what the \
        machine can do",
        "The feed is not above 0, or above what the machine can do.",
        "Correct F, or the profile.";
    FeedFast { measured: Feed, limit: Feed } "feed-fast" Refusal Never PROFILE,
        "the feed in the material is {measured}, and with the profile's tool {limit} is the most",
        "The feed in material is above what the profile's tool allows.",
        "Correct F, or the profile.";
    // Both in times the profile's chip, without a unit.
    ChipThick { measured: Figure, limit: Figure } "chip-thick" Warning Never PROFILE,
        "feed and speed together take {measured} times the profile's chip on every edge of the \
        cutter; {limit} times is the most",
        "Feed and speed are each near the profile's, but together every cutting edge takes a \
        thicker chip than its chip load: the cutter may break, and the edge tears.",
        "Raise S, or lower F.";
    EntryFeedFast { measured: Feed, how: Descent, limit: Feed }
        "entry-feed-fast" Refusal Never PROFILE,
        "the cutter goes down into the material {how} at {measured}, and {limit} is the most",
        "The cutter goes down in the material faster than the profile lets it: on ramps, in holes \
        and down from tabs, or steeper than a ramp, or straight down.",
        "Correct F, or entry_feed and plunge_feed of the profile.";
    // `measured`: off the line. `limit`: the finishing allowance.
    AllowanceMissed { measured: Millimetres, limit: Millimetres }
        "allowance-missed" Refusal Never PROFILE,
        "this cut is {measured} off the line of the part: the profile's finishing allowance keeps \
        passes {limit} off it, and the pass on the line takes no more than they left",
        "The profile asks for a finishing pass: all passes stay off the line by its allowance but \
        the last, which only takes what they left. A pass comes nearer, or the last one takes \
        more.",
        "Have the program written by `make` with this profile, or leave router.finish out of it.";
    AllowanceLeft { measured: Millimetres } "allowance-left" Refusal Never PROFILE,
        "a pass stays {measured} off the line of the part here, and no pass on the line goes as \
        deep beside it",
        "The profile asks for a finishing pass: what the passes before it leave standing beside \
        the part is taken by one on the line, over the tabs too. Here it is left.",
        "Have the program written by `make` with this profile, or leave router.finish out of it.";
    FeedSlow { measured: Feed, limit: Feed } "feed-slow" Warning Never PROFILE,
        "the feed in the material is {measured}: below {limit} a cutter rubs and a beam burns",
        "The feed in material is far below the profile's: a cutter rubs and a beam burns.",
        "Correct F.";
    UnknownStart { how: Blind } "unknown-start" Refusal Never PRACTICE,
        "this move {how}",
        "The tool moves sideways or cuts before the program has said how high or where it is.",
        "Begin with G0 and a safe Z, then X and Y.";
    // `measured`: how deep.
    RapidInMaterial { measured: Millimetres } "rapid-in-material" Refusal Never PRACTICE,
        "a rapid goes through the material {measured} below its top; only straight up may one \
        start in the cut",
        "A rapid goes through material.",
        "Lift the tool first, or make it a feed move.";
    RapidLow { measured: Millimetres, limit: Millimetres } "rapid-low" Refusal Never PROFILE,
        "this rapid comes down to {measured} over the top of the material, and {limit} is the \
        least",
        "A rapid moves sideways below the safe height, or comes down too near to the material.",
        "Lift the tool to the profile's safe height first.";
    BeyondReach { measured: Millimetres, limit: Millimetres } "beyond-reach" Refusal Never GEOMETRY,
        "the tool goes {measured} beyond the box of this program's motion, which the frame goes \
        round and the head of the file says; {limit} may be printed digits",
        "The tool goes where this program was not planned to go, and what stands there was not \
        cleared.",
        "Make the program again from the job.";
    SkimsFace { measured: Millimetres, along: Millimetres, limit: Millimetres }
        "skims-face" Warning Never PRACTICE,
        "the cutter goes {along} across at {measured} over the top of the material: no sheet is \
        flat to less than {limit}, and the face is scratched",
        "The cutter goes along above the material, lower than a sheet is flat.",
        "Lift it to the safe height, or cut there.";
    TravelLow { measured: Height, limit: Millimetres } "travel-low" Refusal Never PROFILE,
        "the tool's height over the material is {measured} in this rapid, and the profile's \
        clear_height is {limit}: the first, the last and all long rapids go at it",
        "A long rapid, or one before or after the cut, goes lower than the clear height of the \
        machine profile.",
        "Lift the tool to clear_height before it goes far, or make the program for this machine.";
    NotParked { x: Millimetres, y: Millimetres, z: Millimetres } "not-parked" Refusal Never PROFILE,
        "the program does not leave the tool where the machine profile parks it: X {x}, Y {y}, {z} \
        over the material",
        "The program ends with the tool at another place than the machine profile's `park`.",
        "End with a rapid to park, or make the program for this machine.";
    BelowFloor { measured: Millimetres, limit: Millimetres } "below-floor" Refusal Never PROFILE,
        "the tool goes {measured} below the underside of the material, and the profile's \
        cut_through is {limit}",
        "The tool goes deeper below the material than the profile's `cut_through`.",
        "Correct Z, or the thickness of the material.";
    SkinCut { measured: Millimetres, limit: Millimetres } "skin-cut" Refusal Never PROFILE,
        "the cutter goes {measured} into the skin of {limit} that has to stay",
        "The cutter goes deeper than the skin that the job leaves below every cut.",
        "Correct Z, or the thickness of the material.";
    DeeperThanCutter { measured: Millimetres, limit: Millimetres }
        "deeper-than-cutter" Refusal Never PROFILE,
        "the cutter goes {measured} deep, and its cutting edges are only {limit} long",
        "The cutter goes deeper than it can cut.",
        "Use a longer cutter, or thinner material.";
    // `measured` is a depth below the top, `limit` a depth below what was cut before: of both rows.
    Plunge { measured: Millimetres, limit: Millimetres } "plunge" Warning Never PRACTICE,
        "the cutter is let straight down to {measured} below the top, more than {limit} into uncut \
        wood",
        "The cutter is let straight down into material; many cannot cut with their middle.",
        "Enter by a ramp.";
    PassTooDeep { measured: Millimetres, limit: Millimetres } "pass-too-deep" Refusal Never PROFILE,
        "this pass goes down to {measured} below the top, more than {limit} below what was cut \
        before",
        "One pass takes more depth than the profile allows.",
        "Add passes, or correct the profile.";
    EndsLow { measured: Millimetres, limit: Millimetres } "ends-low" Refusal Never PROFILE,
        "the program ends with the tool {measured} over the top of the material, and {limit} is \
        the safe height",
        "The program ends with the cutter below the safe height.",
        "Lift the tool before M5 and before the end.";
    OutsideTravel { axis: Axis, measured: Millimetres, limit: Millimetres }
        "outside-travel" Refusal Never PROFILE,
        "the program needs {measured} of travel along {axis}, and the machine has {limit}",
        "The program needs more travel than the machine has.",
        "Turn or split the part, or use a larger machine.";
    // `place`: where it goes to; `measured`: how far that is beyond the work.
    FarOffTheWork { axis: Axis, place: Millimetres, measured: Millimetres }
        "far-off-the-work" Refusal Never PRACTICE,
        "the program goes to {axis} {place}, {measured} farther than anything that it has to do \
        there",
        "The tool goes far off the stock, its clamps, X0 Y0 and the place to park: the machine may \
        run into its stops there.",
        "Correct the coordinates, or name the place in the profile's park.";
    OutsideStock { measured: Millimetres, limit: Millimetres }
        "outside-stock" Refusal Never PRACTICE,
        "the tool works {measured} outside the material, and {limit} is the most: clamps and the \
        bed are there",
        "The tool cuts well outside the material, where clamps and the bed are.",
        "Correct the coordinates or the size of the material.";
    // `measured` is below 0 where the cut leaves the material.
    CutOutsideMargin { measured: Millimetres, limit: Millimetres }
        "cut-outside-margin" Refusal Never GEOMETRY,
        "with the tool's whole width this cut stays {measured} inside the edge of the material; \
        {limit} was asked for",
        "A cut, with the tool's whole width, comes nearer to the edge of the material than was \
        asked for.",
        "Lay the pieces farther in, or ask for a smaller margin.";
    // `measured`: from the clamp to the tool's centre; `limit`: the tool's radius.
    ClampHit { clamp: Count, measured: Millimetres, limit: Millimetres, safe: Clears }
        "clamp-hit" Refusal Never GEOMETRY,
        "the tool's centre comes within {measured} of clamp {clamp}, {safe}; the tool's radius is \
        {limit}",
        "The tool runs into a clamp, or passes over it below the safe height. A rapid may come \
        anywhere in the rectangle between its ends, for not every machine goes straight.",
        "Do not run this program; move the clamp and make it again.";
    // `measured`: from the zone to the tool's centre; `limit`: the tool's radius.
    ClampZoneHit { measured: Millimetres, limit: Millimetres }
        "clamp-zone-hit" Refusal Never GEOMETRY,
        "the tool's centre comes within {measured} of where the board is clamped; the tool's \
        radius is {limit}, and nothing may come there",
        "The tool goes where the header and the sheet have the board clamped: the clamps there are \
        as high as they are.",
        "Do not run this program; make it again from the job.";
    FirstWayUnsaid {} "first-way-unsaid" Refusal Never GEOMETRY,
        "this move across begins nobody knows where, and clamps stand in its way where it begins \
        behind them",
        "Neither a move nor a comment says over which place the tool is brought before the program \
        starts, and it is not higher than the clamps.",
        "Lift the tool over the clamps before it, or bring it over the X and Y of this line and \
        write that before it as a comment, in the program's unit: (TOOL OVER X 0 Y 0)";
    SectionsDiffer { measured: Count, limit: Count } "sections-differ" Refusal Never GEOMETRY,
        "programs given: {measured}, set-ups of the stock: {limit}, and each has one",
        "There are more or fewer programs than set-ups of the stock.",
        "Do not run these programs; make them again from the job.";
}
