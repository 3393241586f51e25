//! What a program that was read back holds and where it lays the pieces: tabs, loose wood,
//! distances, clamps, pins.

use std::fmt;

use super::super::code::findings;
use super::super::{Count, Figure, GEOMETRY, Millimetres, PRACTICE, Value};
use super::words::words;

words! {
    /// How a declared tab is gone.
    TabGone { NoEdge "no straight edge lies beside it", CutAway "the tool cuts it away" }
    /// A measure of a tab.
    TabMeasure {
        Start "start along its edge",
        End "end along its edge",
        Height "height",
        WoodHeight "height where it is cut lowest",
        FromCorner "distance from a corner",
    }
    /// What a limit of a tab is.
    TabRule { Declared "was declared", Most "is the most", Least "is the least" }
    /// How waste comes loose.
    LooseBy { AllRound "is cut free all round", ThinWood "hangs by thinner wood only" }
}

/// How far a centre of area lies out of a hull.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum OutOfHull {
    /// By so much.
    By(Millimetres),
    /// The hull is a line or a point, and nothing lies in it.
    Wholly,
}

impl fmt::Display for OutOfHull {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        Value::from(*self).fmt(f)
    }
}

impl From<OutOfHull> for Value {
    fn from(out: OutOfHull) -> Self {
        match out {
            OutOfHull::By(out) => out.into(),
            OutOfHull::Wholly => "wholly".into(),
        }
    }
}

// `to`: what the wood has to hang on, `the stock's rim`, `the clamped wood`.
findings! {
    TabFound { measured: Millimetres, height: Millimetres, limit: Millimetres }
        "tab-found" Advice Never PRACTICE,
        "a stretch {measured} long and {height} high is left and taken for a tab; {limit} is the \
        longest for one",
        "A short stretch is left standing low and is taken for a tab.",
        "Cut it by hand and clean the edge.";
    RoughTabMissing { x: Millimetres, y: Millimetres } "rough-tab-missing" Refusal Never PRACTICE,
        "the finishing program leaves a tab at x {x} y {y}, and the roughing program, which is run \
        before it, takes of its wood",
        "The two programs leave their tabs at the same places, so that the piece hangs on the same \
        wood after either of them. Here roughing leaves none, or a shorter or a lower one.",
        "Make both programs again from the job.";
    TabUndeclared { measured: Millimetres, x: Millimetres, y: Millimetres }
        "tab-undeclared" Refusal Never PRACTICE,
        "{measured} of this edge is left standing like a tab from x {x} y {y}, where none was \
        declared",
        "A tab stands where none was declared.",
        "Make the program again from the job.";
    // `limit`: the declared length.
    TabMissing { limit: Millimetres, how: TabGone } "tab-missing" Refusal Never PRACTICE,
        "a tab {limit} long was declared here and {how}: the part may come loose",
        "A declared tab is cut away: the part may come loose.",
        "Make the program again from the job.";
    // Places along an edge count from its start; where both ends are off, the one that is farther
    // off.
    TabDiffers { what: TabMeasure, measured: Millimetres, limit: Millimetres, rule: TabRule }
        "tab-differs" Refusal Never PRACTICE,
        "this tab is not as it has to be: its {what} is {measured}, and {limit} {rule}",
        "A tab has another place, length or height than was declared, or is not low and short \
        enough to be one.",
        "Make the program again from the job.";
    CutBesideTab { measured: Millimetres, edge: String, limit: Millimetres }
        "cut-beside-tab" Refusal Never PRACTICE,
        "this cut leaves {measured} of wood behind the tab on {edge}, and a tab needs {limit} to \
        hang on",
        "A cut in the waste runs so near to a tab's outer side that the tab hangs on a strip, if \
        on anything.",
        "Leave the waste about the tabs whole.";
    // `measured`: tabs that end in wood which is held, 0 where the part hangs on nothing.
    LoosePart { measured: Count, to: &'static str, limit: Count }
        "loose-part" Warning Never PRACTICE,
        "when it is cut free, {measured} tabs tie the part to {to}, and it takes {limit} to keep \
        it still",
        "The part is held by fewer than three tabs when it is cut free, or hangs on nothing that \
        is clamped, unless something else holds it.",
        "Add tabs, or hold the part down by other means.";
    // `tabs`: how many there are; `measured`: how far out of their hull the centre lies.
    TabsOffCentre { measured: OutOfHull, tabs: Count } "tabs-off-centre" Refusal Never PRACTICE,
        "its centre of area lies {measured} out of the hull of the {tabs} tabs that hold it",
        "All tabs of a part that end in wood which is held stand on one side of its centre of \
        area, or on one line: it tips on them.",
        "Put a tab on the far side, off the line of the back.";
    PartCutFree { to: &'static str, limit: Millimetres } "part-cut-free" Refusal Never GEOMETRY,
        "when the program has run, no wood {limit} wide or wider ties this part to {to}",
        "The program declares tabs, but when it has run no wood of the least width ties this part \
        to what holds the stock: not every tab ends in wood that hangs.",
        "Make the program again from the job; with a cut that was added, leave it out.";
    // `measured` in `mm2` and the box in `mm`, all without decimals.
    WasteLoose { measured: Figure, length: Figure, width: Figure, how: LooseBy, to: &'static str, limit: Millimetres }
        "waste-loose" Warning Never PRACTICE,
        "{measured} of waste, {length} by {width}, {how}: no wood {limit} wide ties it to {to}, \
        and it may fly",
        "A piece of waste larger than a coin is cut free, or hangs by less wood than the least \
        width: it may fly, unless something else holds it.",
        "Clamp it, or stop before the last pass and saw it off.";
    WasteCutFree { measured: Figure, length: Figure, width: Figure, how: LooseBy, to: &'static str, limit: Millimetres }
        "waste-cut-free" Refusal Never GEOMETRY,
        "{measured} of waste, {length} by {width}, {how}: no wood {limit} wide ties it to {to}, \
        and it may fly",
        "A piece of waste larger than a coin is cut free, or hangs by less wood than the least \
        width: it may fly.",
        "Make the program again from the job; with a cut that was added, leave it out.";
    PiecesOverlap {} "pieces-overlap" Refusal Never GEOMETRY,
        "these two pieces lie on each other or touch, and no cut can make both of them",
        "Two pieces lie on each other or touch: no cut can make both.",
        "Lay them apart.";
    PiecesNear { measured: Millimetres, limit: Millimetres } "pieces-near" Refusal Never GEOMETRY,
        "these two pieces lie {measured} apart, and a spacing of {limit} was asked for",
        "Two pieces lie nearer to each other than was asked for.",
        "Lay them apart, or ask for less spacing.";
    OutsideMargin { measured: Millimetres, limit: Millimetres }
        "outside-margin" Refusal Never GEOMETRY,
        "the piece lies {measured} inside the edge of the material, and a margin of {limit} was \
        asked for",
        "A piece comes nearer to the edge of the material than was asked for.",
        "Lay it farther in, or ask for a smaller margin.";
    PieceOffStock { measured: Millimetres } "piece-off-stock" Refusal Never GEOMETRY,
        "the piece lies {measured} outside the material, so it cannot be cut whole",
        "A piece lies partly outside the material: it cannot be whole.",
        "Lay it farther in.";
    ClampOnPiece { clamp: Count } "clamp-on-piece" Refusal Never GEOMETRY,
        "clamp {clamp} stands where this piece lies, and the tool has to go round the piece",
        "A clamp stands where a piece lies.",
        "Move the clamp or the piece.";
    PinMissing { measured: Millimetres } "pin-missing" Refusal Never GEOMETRY,
        "{measured} of the edge of this hole for a registration pin is not cut, and all of it has \
        to be",
        "A hole for a registration pin, or a stretch of its edge, is not cut.",
        "Do not run this program; make it again from the job.";
    PinDiffers { line: Count, measured: Millimetres, limit: Millimetres }
        "pin-differs" Refusal Never GEOMETRY,
        "line {line} cuts this hole for a registration pin {measured} too wide, and {limit} is \
        allowed",
        "A hole for a registration pin is cut too wide or beside its place: the stock would shift \
        askew.",
        "Do not run this program; make it again from the job.";
    PinOtherSetUp { line: Count, now: Count, own: Count } "pin-other-set-up" Refusal Never GEOMETRY,
        "line {line} cuts in this hole for a registration pin in set-up {now}: it is cut in set-up \
        {own}, and a pin may stand in it at any other time",
        "A hole for a registration pin is cut in another set-up than its own: there is nothing to \
        locate the stock by then, or the cutter runs into a pin.",
        "Do not run these programs; make them again from the job.";
    PinOnPiece { measured: Millimetres, piece: String } "pin-on-piece" Refusal Never GEOMETRY,
        "this hole for a registration pin goes {measured} into {piece}, and it has to lie in the \
        waste",
        "A hole for a registration pin touches a piece.",
        "Put the pin into the waste.";
}
