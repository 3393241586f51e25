//! What a drawing that was read back says and leaves open, and how its shape lies to the part.

use std::fmt;

use super::super::code::findings;
use super::super::{Count, Figure, GEOMETRY, Millimetres, PRACTICE, Value};
use super::words::words;

words! {
    /// A unit that a drawing is taken in.
    DrawnIn { Inches "inches", Millimetres "millimetres" }
    /// What the unit is taken from.
    UnitBy { Comment "a comment of its \
        own", Measurement "$MEASUREMENT", Machine "the machine profile" }
    /// How what an entity says of the space that it lies in does not agree.
    SpaceDoubt {
        TwoOwners "says that two own it",
        InModelBlock "stands in the block of model space instead of among the entities",
        InPaperBlock "stands in the block of paper space instead of among the entities",
        InOtherBlock "stands in a block and says that it belongs to model space",
        OwnedByPaper "is flagged for model space and belongs to paper space",
        OwnedByBlock "stands among the entities and belongs to a block",
        OwnedByModel "is flagged for paper space and belongs to model space or a block",
        OwnedByNobody "is flagged for paper space and belongs to nothing in this file",
    }
    /// Why a shop does not see what a layer holds.
    HiddenBy { OffOrFrozen "off or frozen", NeverPlots "never plotted" }
    /// On which side of the part's edges those of a drawing run.
    KerfSide { Outside "outside", Inside "inside" }
    /// Whether an offset is this machine's own.
    KerfOf { Unknown "", ThisMachine ", as this machine's compensated line does" }
    /// Which way an edge is off: treads, risers, and all others.
    EdgeSide { High "high", Low "low", Forward "forward", Back "back", Out "out", In "in" }
}

/// How an edge is off at its other end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum OtherEnd {
    /// As at the first: it is not tilted.
    Same,
    /// By so much, to that side.
    Off(Millimetres, EdgeSide),
}

impl fmt::Display for OtherEnd {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Same => f.write_str("all along"),
            Self::Off(off, side) => write!(f, "at one end and {off} {side} at the other"),
        }
    }
}

impl From<OtherEnd> for Value {
    fn from(end: OtherEnd) -> Self {
        end.to_string().into()
    }
}

/// A circle of a drawing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Circle {
    /// Its diameter.
    pub wide: Millimetres,
    /// Where its middle is along X.
    pub x: Millimetres,
    /// Where its middle is along Y.
    pub y: Millimetres,
}

impl fmt::Display for Circle {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "circle {} wide at x {} y {}", self.wide, self.x, self.y)
    }
}

/// How the holes of a drawing are not the part's.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum HoleOff {
    /// The part has no such hole.
    Stray(Circle),
    /// What is drawn is no circle.
    NoCircle,
    /// The part has such a hole and the drawing has none.
    Missing(Circle),
}

impl fmt::Display for HoleOff {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Stray(circle) => write!(f, "the {circle} is no hole of the part"),
            Self::NoCircle => f.write_str(
                "this is no closed circle drawn once round, and every hole of a part is one",
            ),
            Self::Missing(circle) => {
                write!(f, "the part has a hole as a {circle}, which is not drawn")
            }
        }
    }
}

impl From<HoleOff> for Value {
    fn from(off: HoleOff) -> Self {
        off.to_string().into()
    }
}

/// Why what a drawing says of its unit is not taken.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum UnitDoubt {
    /// `$INSUNITS` stands more than once.
    Twice,
    /// `$MEASUREMENT` stands more than once and differs.
    TwoMeasurements,
    /// The drawing's comments name two units.
    TwoComments,
    /// A number of `$INSUNITS` that is none of the format's.
    NoUnit(i64),
    /// A unit of the format's in which no stair is drawn.
    NoStair(&'static str),
    /// A comment names a unit that is not known.
    Comment(String),
    /// `$INSUNITS` and the comment name different units.
    Apart(&'static str, &'static str),
}

impl fmt::Display for UnitDoubt {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Twice => f.write_str(
                "it says $INSUNITS more than once, and readers differ in which they take",
            ),
            Self::TwoMeasurements => {
                f.write_str("it says $MEASUREMENT more than once, and not the same")
            }
            Self::TwoComments => f.write_str("its comments say two units"),
            Self::NoUnit(number) => {
                write!(
                    f,
                    "$INSUNITS is {number}, which is no unit of the format: 1 is inches, 4 \
                    millimetres"
                )
            }
            Self::NoStair(name) => {
                write!(f, "it says that it is in {name}, and no stair is drawn in {name}")
            }
            Self::Comment(name) => {
                write!(f, "its comment says `{name}`, where inches or millimetres is expected")
            }
            Self::Apart(insunits, comment) => {
                write!(f, "$INSUNITS says {insunits} and its comment {comment}")
            }
        }
    }
}

impl From<UnitDoubt> for Value {
    fn from(doubt: UnitDoubt) -> Self {
        doubt.to_string().into()
    }
}

/// Where a thing that can be cut stands, and where nothing is drawn.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum StrayPlace {
    /// In a section that is for something else.
    Section(String),
    /// In the section of blocks, in none of them.
    BetweenBlocks,
    /// On paper, on a layer that is cut.
    Paper,
    /// A vertex that follows no polyline.
    NoPolyline,
}

impl fmt::Display for StrayPlace {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Section(name) => write!(f, "in section {name}, where nothing is drawn"),
            Self::BetweenBlocks => f.write_str("in the section of blocks and in none of them"),
            Self::Paper => f.write_str("on paper, on a layer that is cut"),
            Self::NoPolyline => f.write_str("where no polyline is that it belongs to"),
        }
    }
}

impl From<StrayPlace> for Value {
    fn from(place: StrayPlace) -> Self {
        place.to_string().into()
    }
}

/// What stands where words tell of a bar of a length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum BarDrawn {
    /// A bar of this length.
    Long(Millimetres),
    /// No line that is as long.
    Missing,
}

impl fmt::Display for BarDrawn {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Long(length) => write!(f, "the bar drawn there is {length} long"),
            Self::Missing => f.write_str("no bar of that length is drawn"),
        }
    }
}

impl From<BarDrawn> for Value {
    fn from(drawn: BarDrawn) -> Self {
        drawn.to_string().into()
    }
}

/// Where a thing begins, where it says so.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Begins(pub Option<(Millimetres, Millimetres)>);

impl fmt::Display for Begins {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0 {
            Some((x, y)) => write!(f, " at x {x} y {y}"),
            None => Ok(()),
        }
    }
}

impl From<Begins> for Value {
    fn from(at: Begins) -> Self {
        at.to_string().into()
    }
}

/// How what a drawing says of the depth of its pockets is not the job's.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum DepthWords {
    /// No text says it.
    Missing,
    /// A text says it, and nobody who opens the drawing sees it.
    Unseen,
    /// These words say another.
    Other(String),
}

impl fmt::Display for DepthWords {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Missing => f.write_str("no text of the drawing says how deep its pockets are"),
            Self::Unseen => f.write_str(
                "the text that says how deep the pockets are is not seen: on a layer that a shop \
                does not see, invisible, turned over, tiny, or far from the part",
            ),
            Self::Other(words) => write!(f, "a text says `{words}`"),
        }
    }
}

impl From<DepthWords> for Value {
    fn from(how: DepthWords) -> Self {
        how.to_string().into()
    }
}

/// Kinds of things on a layer and how many there are of each.
#[derive(Clone, Debug, PartialEq)]
pub struct Kinds(pub Vec<(String, usize)>);

impl fmt::Display for Kinds {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, (kind, count)) in self.0.iter().enumerate() {
            let comma = if i > 0 { ", " } else { "" };
            write!(f, "{comma}{count} {kind}")?;
        }
        Ok(())
    }
}

impl From<Kinds> for Value {
    fn from(kinds: Kinds) -> Self {
        kinds.to_string().into()
    }
}

// Of faults of the lines: `x` and `y` are in the drawing's own unit, with four decimals; `near` is
// the edge of the part nearest to it, or `an edge that was not recognised`. Turns are in `deg` with
// three decimals.
findings! {
    DrawingUnitsAssumed { unit: DrawnIn, by: UnitBy } "drawing-units-assumed" Advice Never PRACTICE,
        "the drawing does not say its unit with $INSUNITS; it is taken to be in {unit}, by {by}",
        "The drawing does not say its unit with $INSUNITS.",
        "Set $INSUNITS to 1 for inches or 4 for millimetres.";
    DrawingUnitsUnclear { doubt: UnitDoubt } "drawing-units-unclear" Refusal Never PRACTICE,
        "the unit of the drawing is not clear: {doubt}",
        "The drawing says a unit in which no stair is drawn, or says two.",
        "Set $INSUNITS once: to 1 for inches or 4 for millimetres.";
    DrawingUnitsApart { unit: String, measurement: DrawnIn }
        "drawing-units-apart" Warning Never PRACTICE,
        "the drawing is taken to be in {unit}, as $INSUNITS says, and its $MEASUREMENT goes with \
        {measurement}: a reader that goes by that makes the part many times too large or too small",
        "$INSUNITS says one system of units and $MEASUREMENT, which is for hatches and linetypes, \
        the other.",
        "Set $MEASUREMENT to 0 for inches or 1 for millimetres, or hold the size that the shop \
        sees against the part's.";
    DrawingSpace { entity: String, layer: String, doubt: SpaceDoubt }
        "drawing-space" Refusal Never PRACTICE,
        "{entity} on layer {layer} {doubt}: one shop sees it where another does not",
        "What an entity says of where it lies, in model space, on paper or in a block, does not \
        agree: one shop cuts what another does not see.",
        "Save the drawing again with all of the part in model space and nothing else in the file.";
    DrawingBlocksNotJudged { measured: Count, blocks: String, kinds: Kinds }
        "drawing-blocks-not-judged" Warning Never PRACTICE,
        "blocks that nothing in the drawing uses were not judged ({measured} in all): {blocks}, \
        holding {kinds}",
        "The file holds blocks that its drawing does not use; what is in them was not judged.",
        "Purge the drawing of blocks that are not used, or tell the shop to cut what is drawn \
        only.";
    DrawingStray { entity: String, layer: String, place: StrayPlace }
        "drawing-stray" Refusal Never PRACTICE,
        "{entity} on layer {layer} stands {place}: some readers cut it all the same",
        "What can be cut stands in the file where nothing is drawn: some readers pass over it, \
        others cut it.",
        "Save the drawing again with all of the part in model space and nothing else in the file.";
    DrawingPaperNotJudged { measured: Count, kinds: Kinds }
        "drawing-paper-not-judged" Warning Never PRACTICE,
        "what is on paper was not judged ({measured} in all): {kinds}",
        "The file has lines or more on a sheet of paper, beside model space; they were not judged, \
        and some readers take them for model space.",
        "Tell the shop to cut model space only, or save the drawing without its sheets of paper.";
    DrawingOpen { measured: Millimetres, x: Figure, y: Figure, near: String }
        "drawing-open" Refusal Never PRACTICE,
        "the shape has a gap of {measured} at x {x} y {y}, near {near}: it has to close",
        "A line of the shape does not close.",
        "Close the shape: its ends must meet within a thousandth of an inch.";
    DrawingSeveral { measured: Count } "drawing-several" Refusal Never PRACTICE,
        "the drawing holds {measured} shapes to cut, and the part is one of them at the most",
        "The drawing holds more than one shape to cut.",
        "Leave one closed shape on the layer CUT.";
    DrawingZeroLength { x: Figure, y: Figure, near: String }
        "drawing-zero-length" Refusal Never PRACTICE,
        "a segment at x {x} y {y}, near {near}, has no length, and many programs stumble over it",
        "A segment has no length; many programs stumble over it.",
        "Remove the repeated vertex.";
    DrawingDoubled { x: Figure, y: Figure, near: String } "drawing-doubled" Refusal Never PRACTICE,
        "a segment at x {x} y {y}, near {near}, is drawn twice, and a shop would cut it twice",
        "A segment is drawn twice: the shop would cut it twice.",
        "Remove one of the two.";
    DrawingCrossing { x: Figure, y: Figure, near: String }
        "drawing-crossing" Refusal Never PRACTICE,
        "the shape crosses itself at x {x} y {y}, near {near}, so what is inside it is not clear",
        "The shape crosses itself, so what is inside is not clear.",
        "Redraw the shape there as one line that does not cross itself.";
    TurnedPart { turn: Figure, x: Millimetres, y: Millimetres } "turned-part" Advice Never GEOMETRY,
        "the part lies turned by {turn} and moved by x {x} y {y}; its shape is judged where it \
        lies",
        "The part lies turned or moved in the drawing; its shape is judged where it lies.",
        "Nothing, if the shop may lay it as it likes; mind the grain.";
    // `off`: what every edge is off besides, mostly 0.
    DrawingMirrored { turn: Figure, off: Millimetres } "drawing-mirrored" Refusal Never GEOMETRY,
        "the shape is this part's mirror image, turned by {turn}, its edges off by {off}: no turn \
        makes it right",
        "The shape is this part's mirror image: the other hand, which no turn makes right.",
        "Flip the drawing back, or have it drawn again from the nominal drawing.";
    DrawingKerfApplied { measured: Millimetres, side: KerfSide, of: KerfOf, limit: Millimetres }
        "drawing-kerf-applied" Refusal Never GEOMETRY,
        "every edge runs {measured} {side} the part's{of}; no more than {limit} is allowed",
        "Every edge is off by one distance: the kerf or the cutter's radius is in the drawing \
        already.",
        "Send the nominal drawing, and let the offset be applied once, where it is cut.";
    // `measured`: at the end that is farther off.
    DrawingEdgeOff { measured: Millimetres, side: EdgeSide, end: OtherEnd, limit: Millimetres }
        "drawing-edge-off" Refusal Never GEOMETRY,
        "this edge as drawn is {measured} {side} {end}; no more than {limit} is allowed",
        "An edge of the drawing is not where the part's edge is.",
        "Have that edge corrected, and verify the drawing again.";
    // `entity`: with what is odd about it, `LWPOLYLINE with a width`.
    DrawingEntity { entity: String, layer: String } "drawing-entity" Refusal Never PRACTICE,
        "{entity} on layer {layer} is no plain line, arc, circle or polyline that all shops take \
        alike",
        "An entity is not a line, an arc, a circle or a polyline of them, or is one that shops \
        take differently: mirrored by its axis, invisible, with a width or a thickness, off the \
        plane, without a size or an end, with a value said twice or a count that is wrong, a \
        vertex of a curve, out of place within its classes, with the handle of another, or of a \
        kind that the file's version does not have.",
        "Draw the shape as one closed polyline without width in the plane.";
    DrawingHidden { layer: String, how: HiddenBy } "drawing-hidden" Refusal Never PRACTICE,
        "layer {layer} is {how}, so a shop does not see what the part has on it",
        "A layer with lines to cut, holes, pockets or marks is off, frozen or never plotted: a \
        shop does not see what the part has on it.",
        "Switch the layer on, thaw it and let it be plotted; draw nothing on layer DEFPOINTS.";
    DrawingDashed { layer: String, linetype: String } "drawing-dashed" Refusal Never PRACTICE,
        "a line on layer {layer} has linetype {linetype}, which is not known to be continuous: \
        some shops cut dashes",
        "A line of the part is dashed, or of a linetype that the file does not define: some shops \
        cut the dashes and leave the gaps.",
        "Set the linetype of the layer and of its lines to CONTINUOUS.";
    DrawingLayerSpelled { layer: String, other: String }
        "drawing-layer-spelled" Refusal Never PRACTICE,
        "the part's layer is written both {layer} and {other}: some readers take them for two \
        layers and cut one",
        "The name of a layer of the part is written in capitals here and in small letters there.",
        "Put all of it on one layer, its name written in one way.";
    DrawingOtherLayer { layer: String, x: Millimetres, y: Millimetres }
        "drawing-other-layer" Refusal Never GEOMETRY,
        "a line on layer {layer} touches the part or lies in it at x {x} y {y}: a shop that cuts \
        it spoils the part",
        "A line on a layer that is not the part's touches the part or lies inside it: a shop that \
        cuts it spoils the part.",
        "Remove it, or put what is no cut on the layers MARK, REF or STOCK.";
    // `begins`: with the word before it, or nothing.
    DrawingForPeople { entity: String, layer: String, begins: Begins }
        "drawing-for-people" Refusal Never PRACTICE,
        "{entity} on layer {layer}{begins} is neither a text, a point nor a plain line: some shops \
        draw out of it what they cut",
        "On the layers REF and STOCK, which are for people, something else stands than texts, \
        points and plain lines.",
        "Remove it, draw it again in plain lines, or put notes with dimensions on a layer of \
        another name.";
    DrawingClosed { layer: String, x: Millimetres, y: Millimetres }
        "drawing-closed" Refusal Never GEOMETRY,
        "lines on layer {layer} close round a place in the part, at x {x} y {y}: a shop that cuts \
        them spoils the part",
        "On the layers REF and STOCK, which are for people, lines that join to a closed shape \
        reach into the part.",
        "Remove it, or open it: what is drawn in the part for people is open lines.";
    DrawingBarOff { words: String, drawn: BarDrawn } "drawing-bar-off" Refusal Never GEOMETRY,
        "a text says `{words}`, and {drawn}: whoever sets the scale by it makes the part too large \
        or too small",
        "A text tells how long a bar is that is drawn for checking the scale, and the bar is not \
        as long.",
        "Make the drawing again from the job, or remove the bar and its text.";
    DrawingLayerNotJudged { layer: String, measured: Count, kinds: Kinds }
        "drawing-layer-not-judged" Warning Never PRACTICE,
        "layer {layer} holds what was not judged, beside the part ({measured} in all): {kinds}",
        "A layer beside the part was not judged.",
        "Read what its texts say, and tell the shop to cut the layer CUT only, or remove the \
        layer.";
    DrawingMarksMissing { measured: Count, limit: Count }
        "drawing-marks-missing" Warning Never GEOMETRY,
        "{measured} of the {limit} lines of this job's marks are not on layer MARK",
        "Marks or the hanging hole that the job's drawing has are missing on layer MARK: a pattern \
        that does not say what it is gets mistaken.",
        "Ask for the marks, if the shop is to make them, or mark the piece by hand from the bench \
        sheet.";
    DrawingWithoutMarks { limit: Count } "drawing-without-marks" Advice Never GEOMETRY,
        "the drawing has no marks on layer MARK, and the job has {limit} lines of them",
        "The job's marks and hanging hole are not in the drawing, as in a drawing for a shop that \
        only cuts.",
        "Nothing, if the piece is marked by hand from the bench sheet; else ask for a drawing with \
        marks.";
    DrawingMarkDoubled { measured: Count } "drawing-mark-doubled" Warning Never PRACTICE,
        "marks on layer MARK that are drawn again in the same place: {measured}",
        "A mark is drawn twice: the shop would go over it twice, which makes it deeper or darker.",
        "Remove one of the two.";
    DrawingMark { layer: String, x: Millimetres, y: Millimetres }
        "drawing-mark" Refusal Never GEOMETRY,
        "a line on layer {layer} lies on the part at x {x} y {y}, where the job declares none",
        "A line on layer MARK, or of a pocket on layer POCKET, is none that the job declares.",
        "Make the drawing again from the job.";
    DrawingNothing {} "drawing-nothing" Refusal Never PRACTICE,
        "no line to cut is in the drawing, and a part is one closed shape on layer CUT",
        "No line to cut is in the drawing.",
        "Draw the shape on the layer CUT.";
    PocketDepthWords { how: DepthWords, words: String } "pocket-depth-words" Refusal Never PRACTICE,
        "{how}: the job's pockets ask for `{words}`",
        "What the drawing says of the depth of its pockets is missing, or is not the job's; the \
        lines alone do not say it.",
        "Make the drawing again from the job, or write these words on layer REF and remove what \
        says another depth.";
    HoleDrawnOff { how: HoleOff } "hole-drawn-off" Refusal Never GEOMETRY,
        "{how}",
        "A hole of the part is missing on layer DRILL of the drawing, or one stands there that the \
        part does not have.",
        "Make the drawing again from the job, or ask who changed it.";
}
