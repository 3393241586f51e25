//! What a file that was read back makes of the part: its edges, marks and pockets, and whether that
//! could be judged.

use std::fmt;

use super::super::code::findings;
use super::super::{Count, Figure, GEOMETRY, Millimetres, PRACTICE, Value};
use super::words::words;

words! {
    /// How a stretch of an edge is left.
    Left {
        ByProgram "of this edge is not cut free and is no accepted tab",
        ByPath "of this edge is not reached by the drawn way of the tool",
        ByOutline "of wood too much stands at this edge as it is drawn",
    }
    /// What a file of 1/25.4 or 25.4 times the size suggests.
    UnitHint {
        None "",
        Small ": 1/25.4 of it, as if millimetres were written where inches were meant",
        Large ": 25.4 times as much, as if the unit were wrong",
    }
    /// How a mark is not as declared; its depth follows.
    MarkOff {
        Deeper "is the depth of this stroke, and a mark here is at most",
        Stretch "of this mark has another depth than it was declared with:",
    }
    /// Where wood stands in a pocket.
    PocketLeft {
        Side "of wood stands at this side of the pocket",
        Floor "of wood stands on the floor of the pocket, which no cut reaches,",
    }
    /// What makes a proof take too long.
    Tangle { Crossings "the lines of the file cross too often", OtherLayers "too many lines lie on \
        other layers" }
}

/// Why a file is not the part's though nothing else was found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Unproven {
    /// It was not judged to its end.
    NotJudged,
    /// So much is cut into the part, and so much is left on it.
    Off(Millimetres, Millimetres),
}

impl fmt::Display for Unproven {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotJudged => f.write_str("was not judged to its end"),
            Self::Off(gouge, left) => {
                write!(f, "cuts {gouge} into the part and leaves {left} on it")
            }
        }
    }
}

impl From<Unproven> for Value {
    fn from(why: Unproven) -> Self {
        why.to_string().into()
    }
}

/// What cuts into the part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Gouger {
    /// The tool, in this line of the program.
    Line(usize),
    /// The tool, on the way that is drawn for its centre.
    DrawnWay,
    /// The outline, as it is drawn.
    Outline,
}

impl fmt::Display for Gouger {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Line(line) => write!(f, "line {line} of the program"),
            Self::DrawnWay => f.write_str("the drawn way of the tool"),
            Self::Outline => f.write_str("the drawn outline"),
        }
    }
}

impl From<Gouger> for Value {
    fn from(by: Gouger) -> Self {
        by.to_string().into()
    }
}

/// The size that a drawing may have too: of the way of the tool's centre.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum AsWay {
    /// The sizes said are of the way already, as in a program.
    Same,
    /// Its extents, the longer one first.
    Of(Millimetres, Millimetres),
}

impl fmt::Display for AsWay {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Same => Ok(()),
            Self::Of(long, short) => write!(f, ", or {long} by {short} as a tool's way"),
        }
    }
}

impl From<AsWay> for Value {
    fn from(way: AsWay) -> Self {
        way.to_string().into()
    }
}

findings! {
    // `limit`: the tolerance of the proof, in this part of the table.
    Gouge { by: Gouger, measured: Millimetres, limit: Millimetres } "gouge" Refusal Never GEOMETRY,
        "{by} cuts {measured} into the part here, and no more than {limit} is allowed",
        "The tool cuts into the part.",
        "Do not run this program; make it again from the job.";
    // `measured`: of an outline how far it is off, else the length of the stretch. `x`, `y`: where
    // the stretch begins.
    Uncut { measured: Millimetres, how: Left, limit: Millimetres, x: Millimetres, y: Millimetres }
        "uncut" Refusal Never GEOMETRY,
        "{measured} {how}, beginning at x {x} y {y}; no more than {limit} may be left",
        "A stretch of the part's edge is not cut free, and it is no accepted tab.",
        "Do not run this program; make it again from the job.";
    // The program's Z of the underside.
    NothingCut { limit: Millimetres } "nothing-cut" Refusal Never GEOMETRY,
        "no cut goes down to Z {limit}, the underside of the material: nothing is cut out",
        "Nothing in the file goes through the material.",
        "Check the thickness of the material and the tool's words.";
    // `measured` and `limit` are the longer extents, 0 where nothing touches the material.
    NotThisPart {
        measured: Millimetres,
        width: Millimetres,
        limit: Millimetres,
        limit_width: Millimetres,
        as_way: AsWay,
        hint: UnitHint,
    } "not-this-part" Refusal Never GEOMETRY,
        "what the file cuts is {measured} by {width}, and this job's part is {limit} by \
        {limit_width}{as_way}{hint}",
        "What the file cuts has another size than this job's part.",
        "Check that file and job belong together, and the unit of the file.";
    NotProven { why: Unproven, limit: Millimetres } "not-proven" Refusal Never GEOMETRY,
        "the file {why}; no more than {limit} may be cut into the part or left on it",
        "The file was not judged to its end, or a figure of the proof is beyond the tolerance, \
        though nothing else was found.",
        "Do not run it; please report it with the file.";
    // `made` and `missing` are names of pieces; `missing` is `the others` where only one was looked
    // for.
    NotAllPieces { measured: Count, limit: Count, made: String, missing: String }
        "not-all-pieces" Refusal Never GEOMETRY,
        "{measured} of {limit} pieces are made, {made}; not made, or not judged: {missing}",
        "Some of the pieces are made and others are not; what else the file cuts was not judged.",
        "Make the program again from the job, or have every piece in it.";
    OtherLayout {} "other-layout" Refusal Never GEOMETRY,
        "the file carries this set's fingerprint and is none of its programs as the pieces are \
        laid out now: give the --effort it was made with, and --stock with the cut-from.toml of \
        its \
        folder where it has one; or make it again",
        "The file carries this set's fingerprint and is none of its programs as the pieces are \
        laid out now.",
        "Give the --effort that it was made with, and --stock with the cut-from.toml that lies \
        beside it; or make it again.";
    CutUnplanned { measured: Millimetres, deep: Millimetres, x: Millimetres, y: Millimetres }
        "cut-unplanned" Refusal Never GEOMETRY,
        "a cut of {measured} from x {x} y {y}, {deep} deep, is neither along a piece nor on a \
        planned way",
        "The tool cuts where nothing is planned: neither along a piece, nor in a hole or pocket, \
        nor on a way in or out.",
        "Do not run this program; make it again from the job.";
    CutInWaste { measured: Millimetres, x: Millimetres, y: Millimetres }
        "cut-in-waste" Advice Never PRACTICE,
        "the program also cuts through the waste, {measured} in all from x {x} y {y} on, away from \
        the part and its tabs",
        "The program cuts through in the waste too, away from the part and its tabs.",
        "Look whether these cuts are meant.";
    MarkMissing { measured: Millimetres } "mark-missing" Refusal Never GEOMETRY,
        "{measured} of this mark is not made: a pattern that does not say what it is gets mistaken",
        "A declared mark, or a stretch of it, is not made: a pattern that does not say what it is \
        gets mistaken.",
        "Make the program again from the job.";
    MarkUndeclared { x: Millimetres, y: Millimetres, limit: Millimetres }
        "mark-undeclared" Refusal Never GEOMETRY,
        "the shallow stroke from x {x} y {y} does not lie within {limit} of any declared mark",
        "A shallow stroke lies where no mark was declared.",
        "Make the program again from the job.";
    // `measured`: a depth or the length of a stretch, as `how` says; `limit`: the declared depth.
    MarkDepth { measured: Millimetres, how: MarkOff, limit: Millimetres }
        "mark-depth" Refusal Never GEOMETRY,
        "{measured} {how} {limit} deep",
        "A mark is deeper or shallower than declared, or a beam scores it with another power.",
        "Make the program again from the job.";
    PocketDeep { measured: Millimetres, limit: Millimetres } "pocket-deep" Refusal Never GEOMETRY,
        "the pocket is cut {measured} deep and was declared {limit} deep: the board behind it is \
        weaker",
        "A pocket is cut deeper than it was declared: the board behind it is weaker than was asked \
        for.",
        "Do not run this program; make it again from the job.";
    // Where no cut is at the floor: `measured` is the declared depth, `along` the length of all
    // sides.
    PocketUncut { measured: Millimetres, how: PocketLeft, along: Millimetres, limit: Millimetres }
        "pocket-uncut" Refusal Never GEOMETRY,
        "{measured} {how} along {along}, and no more than {limit} is allowed",
        "A stretch of a pocket's side is not cut down to its floor: the tread or the riser does \
        not go in.",
        "Do not run this program; make it again from the job.";
    // `limit`: the tool's radius and the tolerance.
    PocketFloor { measured: Millimetres, limit: Millimetres } "pocket-floor" Refusal Never GEOMETRY,
        "wood stands on the floor of the pocket along {measured} of a cut: none passes within \
        {limit} of it",
        "Wood stands on the floor of a pocket between its sides: the tread or the riser does not \
        go home.",
        "Do not run this program; make it again from the job.";
    PocketDrawnOff { measured: Millimetres, limit: Millimetres }
        "pocket-drawn-off" Refusal Never GEOMETRY,
        "{measured} of lines on layer POCKET is missing, or is more than {limit} off the part's \
        pockets",
        "The pockets on layer POCKET of the drawing are missing, or are not the part's.",
        "Make the drawing again from the job.";
    ExpectationUnclear { why: &'static str } "expectation-unclear" Refusal Never PRACTICE,
        "the file cannot be held against what is expected, for that is not one program: {why}",
        "What is expected is not one program: nothing can be held against it.",
        "Name every piece with its place, and cut all pieces or only mark them.";
    // In `deg`, with five decimals: hundredths of a degree would print as 0.
    CornerNotSquare { measured: Figure } "corner-not-square" Refusal Never GEOMETRY,
        "this inside corner is {measured} off square, and a relief is known for square ones only",
        "An inside corner of the part is not square; no relief is known for it.",
        "Nothing: the part cannot be proven.";
    CornerDoesNotFit { measured: Millimetres } "corner-does-not-fit" Refusal Never GEOMETRY,
        "the edge beside this inside corner is {measured} too short for the tool to clear the \
        corner",
        "An edge beside an inside corner is too short for the tool.",
        "Use a smaller tool, or another choice for inside corners.";
    TooTangled { what: Tangle } "too-tangled" Refusal Never PRACTICE,
        "{what}: to prove the file would take minutes, so it was not judged",
        "The file crosses itself so often that proving it would take minutes.",
        "Simplify the file.";
}
