//! Programs and sheets: what a machine cannot do, what holds, what is laid out.

use std::fmt;

use super::super::code::findings;
use super::super::{Count, Figure, Fine, GEOMETRY, PRACTICE, Value};
use crate::units::Length;

/// How many sheets a layout takes.
#[derive(Clone, Copy, Debug)]
pub struct SheetsTaken(
    /// `None` where a sheet has no place for a piece.
    pub Option<usize>,
);

impl fmt::Display for SheetsTaken {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        Value::from(*self).fmt(f)
    }
}

impl From<SheetsTaken> for Value {
    fn from(taken: SheetsTaken) -> Value {
        taken.0.map_or("no sheet holds a piece then".into(), |sheets| Value::Count(sheets.into()))
    }
}

findings! {
    CutterTooShort { measured: Length, limit: Length } "cutter-too-short" Refusal Never GEOMETRY,
        "material and cut-through make {measured}, and the cutter's edges are {limit} long",
        "The cutter's edges are shorter than the material is thick.",
        "Use a longer cutter in the machine profile, or thinner material.";
    SpeedTooFast { measured: Figure, limit: Figure } "speed-too-fast" Refusal Never GEOMETRY,
        "the profile asks for {measured}, and the spindle reaches {limit}",
        "The profile asks for a spindle speed that the machine does not reach.",
        "Lower speed_rpm in the machine profile.";
    FeedTooFast { measured: Length, limit: Length } "feed-too-fast" Refusal Never GEOMETRY,
        "the feed comes to {measured} a minute, and the machine reaches {limit} a minute",
        "Speed, cutting edges and chip load give a feed that the machine does not reach.",
        "Lower speed_rpm or chip_load in the machine profile, or the laser's feed.";
    TravelTooLow { measured: Length, limit: Length } "travel-too-low" Refusal Never GEOMETRY,
        "material, cut-through and safe height make {measured}, and the machine travels {limit} up and down",
        "Material, cut-through and safe height are more than the machine travels up and down.",
        "Use thinner material or a lower safe_height.";
    LaserOnTreated { material: String, treatment: &'static str } "laser-on-treated" Refusal Never
        "never burn treated wood: National Pesticide Information Center; US Environmental Protection Agency",
        "{material} is {treatment}: its smoke and ash are poisonous",
        "Burning preservative-treated wood makes poisonous smoke and ash. No laser program is written for it, nor for wood of unknown treatment; this cannot be waived.",
        "Cut it with a router and mind the dust, or use material known to be untreated.";
    LaserTooThick { measured: Length, limit: Length } "laser-too-thick" Refusal Never GEOMETRY,
        "the material is {measured} thick, and this laser cuts {limit}",
        "The material is thicker than this laser cuts in one pass.",
        "Use thinner material, or a router.";
    NoLeadRoom {} "no-lead-room" Refusal Never GEOMETRY,
        "no straight edge here has room for the tool to come in beside it",
        "No straight edge of the path is long enough for the tool to come in beside it.",
        "Use a thinner cutter.";
    TiesBetweenPieces { measured: Count, roomy: Length } "ties-between-pieces" Warning Never PRACTICE,
        "{measured} tabs tie piece to piece, for no wood stays between their cuts; a spacing of {roomy} ties each to the sheet",
        "The pieces lie so near to each other that no wood stays between their cuts: tabs tie piece to piece, and one that comes loose takes others with it.",
        "Clamp the outermost pieces well, or give a larger cut.spacing.";
    MarkNoTool { strokes: Count } "mark-no-tool" Advice Never PRACTICE,
        "the machine profile has no pointed cutter for {strokes} strokes",
        "The machine profile has no pointed cutter: the marks are on layer MARK of the drawings and in no program.",
        "Give the profile's [router] table a `mark`, or write the marks on by hand.";
    MarkShifted { strokes: Count } "mark-shifted" Advice Never PRACTICE,
        "{strokes} strokes are not marked: the part is cut in several set-ups",
        "A program in several set-ups does not mark: the marks are on layer MARK of the drawings only.",
        "Write the marks on by hand.";
    MarkTooDeep { measured: Length, limit: Length } "mark-too-deep" Refusal Never PRACTICE,
        "the marks are {measured} deep, more than {limit}, half of the material",
        "The marks would be deeper than half the material: they would weaken the pattern.",
        "Give `mark` a smaller depth in the machine profile.";
    SplitStringer {} "split-stringer" Refusal Never PRACTICE,
        "a stringer carries load, and a joint in it would carry less than the board",
        "A stringer carries load and is never split; only a pattern is.",
        "Use a longer board and machine, cut.long = \"index\", or makes = \"pattern\".";
    SplitNoRoom { why: String, limit: Length } "split-no-room" Refusal Never GEOMETRY,
        "{why}; two pieces of {limit} at the most are wanted",
        "The pattern has no place for a joint: a lap under the notches with its hook and its dowels, an inch and a half from any notch corner, with both pieces short enough.",
        "Use a longer sheet, a thinner cutter, or cut.long = \"index\".";
    SplitWander { measured: Length, clearance: Length } "split-wander" Advice Never PRACTICE,
        "the tip may wander by {measured} with {clearance} of clearance in the dowel holes",
        "The two pieces of a split pattern turn on their dowels by twice the holes' clearance over the dowels' distance, each on the strap.",
        "Pin the strap with all four dowels and measure between the crosses on both sides of the joint before you follow the pattern.";
    SplitMarkLeftOut { marks: String } "split-mark-left-out" Warning Never PRACTICE,
        "{marks}: across the joint or too near to it, and on neither piece",
        "A mark of the whole pattern would lie across the joint, or too near to it or to a dowel hole: it is on neither piece.",
        "Write it on by hand once the pattern is pinned together.";
    IndexedShifts { measured: Count, shift: String } "indexed-shifts" Warning Never PRACTICE,
        "the part is cut in {measured} set-ups, and the stock is moved by hand {shift}",
        "The part is longer than the machine's travel: it is cut in several set-ups, and the stock is moved by hand between them.",
        "Bore the table for the pins first, move the stock by exactly the distance that the program says, and check it before you go on.";
    ShiftTurn { measured: Length, apart: Length } "shift-turn" Advice Never PRACTICE,
        "with pins {apart} apart the far end may be off by {measured}",
        "Each shift may turn the stock by twice the pins' clearance over their distance; the turns of all shifts add up.",
        "Use pins that fit their holes well, and a wider sheet so that they stand farther apart.";
    IndexNoBreak { shift: String } "index-no-break" Refusal Never GEOMETRY,
        "no tread and lower edge lie where two set-ups overlap, {shift}",
        "No tread and lower edge lie where two set-ups of the machine overlap, so that the path could be broken there.",
        "Use a machine with more travel, or a thinner cutter.";
    IndexNoPins { shift: String } "index-no-pins" Refusal Never GEOMETRY,
        "the waste has no room for two pins that two set-ups share, {shift}",
        "The waste beside the part has no room for two pin holes that both set-ups reach.",
        "Use a wider sheet: the pins stand beside the part.";
    IndexRouterOnly { what: &'static str } "index-router-only" Refusal Never PRACTICE,
        "{what} is not cut in shifts: a router and a sheet with waste all round are",
        "Shifts on pins are made for a router and a part with waste all round it: a beam is not planned in several set-ups, and a board whose own edges are the part's has no waste for pins.",
        "Use a router and a sheet, or a machine with more travel.";
    SpacingBelowCutter { measured: Length, limit: Length, chords: Fine } "spacing-below-cutter" Refusal Never GEOMETRY,
        "the spacing is {measured}, and the tool takes {limit}, {chords} of it for chords in place of arcs: cutting one piece \
         would cut the other",
        "Two pieces would lie so near that cutting one cuts the other.",
        "Give cut.spacing of the cutter's width or more; left out, it leaves wood between two cuts.";
    SpacingTight { measured: Length, web: Length, holds: Length, roomy: Length } "spacing-tight" Warning Never PRACTICE,
        "with {measured} between pieces as little as {web} of wood stays between two cuts, where {holds} would hold: pieces and waste are tied \
         to each other there, and {roomy} leaves wood that holds between all",
        "Two cuts side by side leave nothing between them: fewer places for tabs, and pieces that hold on by their ends.",
        "Leave cut.spacing out, or hold every piece down in another way too.";
    RoomForTies { roomy: Length, measured: SheetsTaken, now: Count } "room-for-ties" Advice Never PRACTICE,
        "a spacing of {roomy} would tie every piece to the sheet and none to another; sheets it would take: {measured}, now: {now}",
        "What it would cost to leave wood between all cuts, so that every piece is tied to the sheet.",
        "Leave cut.spacing out if that is worth it.";
    SheetCovered { length: Length, width: Length } "sheet-covered" Refusal Never GEOMETRY,
        "clamps and margins leave nothing to cut of a sheet of {length} by {width}",
        "Clamps and margins leave no place on the sheet that may be cut.",
        "Move the clamps to the sheet's edges, or hold it down in another way.";
}
