//! Programs and sheets: what a machine cannot do, what holds, what is laid out.

use std::fmt;

use super::super::code::findings;
use super::super::{Count, Figure, Fine, GEOMETRY, PRACTICE, Value};
use super::words::words;
use crate::units::Length;

words! {
    /// What is not cut in shifts.
    NotShifted {
        Beam "what a beam cuts",
        OwnEdges "a board whose own edges are the part's, without waste for pins,",
        Roughed "a part with a roughing cutter (router.rough)",
    }
    /// What is not cut with two cutters.
    NotRoughed {
        OwnEdges "a part that is cut on a board's own edges",
        Pockets "a housed stringer with its pockets",
    }
}

/// What no straight edge offers to a tool that comes in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LeadIn {
    /// Room beside it for a ramp of this length at least.
    Ramp(Length),
    /// A place for a beam to start.
    Start,
    /// A place for the tool to come in on, at any point of a sheet.
    OnSheet,
    /// The board's own edge.
    OwnEdge,
}

impl fmt::Display for LeadIn {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Ramp(length) => {
                write!(f, "of {length} or more has room for the tool to ramp in beside it")
            }
            Self::Start => f.write_str("has room for the beam to start beside it"),
            Self::OnSheet => f.write_str("has room for the tool to come in beside it"),
            Self::OwnEdge => f.write_str("is the board's lower edge, which the tool comes in over"),
        }
    }
}

impl From<LeadIn> for Value {
    fn from(how: LeadIn) -> Self {
        how.to_string().into()
    }
}

/// Pairs of pieces by their numbers, each once and in order.
#[derive(Clone, Debug, PartialEq)]
pub struct Pairs(pub Vec<(usize, usize)>);

/// So many pairs are named.
const PAIRS_NAMED: usize = 6;

impl fmt::Display for Pairs {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, (a, b)) in self.0.iter().take(PAIRS_NAMED).enumerate() {
            let comma = if i > 0 { ", " } else { "" };
            write!(f, "{comma}{a} to {b}")?;
        }
        match self.0.len().saturating_sub(PAIRS_NAMED) {
            0 => Ok(()),
            more => write!(f, ", {more} more pairs"),
        }
    }
}

impl From<Pairs> for Value {
    fn from(pairs: Pairs) -> Self {
        pairs.to_string().into()
    }
}

/// Lengths that are measured one after the other, each once.
#[derive(Clone, Debug, PartialEq)]
pub struct Lengths(pub Vec<Length>);

impl fmt::Display for Lengths {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let each: Vec<String> = self.0.iter().map(Length::to_string).collect();
        f.write_str(if each.is_empty() { "no places to measure" } else { "" })?;
        f.write_str(&each.join(" and "))
    }
}

impl From<Lengths> for Value {
    fn from(lengths: Lengths) -> Self {
        lengths.to_string().into()
    }
}

/// How many sheets a layout takes.
#[derive(Clone, Copy, Debug)]
pub struct SheetsTaken(
    /// `None` where a sheet has no place for a piece.
    pub Option<usize>,
);

impl fmt::Display for SheetsTaken {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        Value::from(*self).fmt(f)
    }
}

impl From<SheetsTaken> for Value {
    fn from(taken: SheetsTaken) -> Self {
        taken.0.map_or("no sheet holds a piece then".into(), |sheets| Self::Count(sheets.into()))
    }
}

/// What leaves nothing to hold a piece while it is cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unheld {
    /// No tabs on a table without vacuum.
    NoTabs,
    /// A skin on a table without vacuum.
    Skin,
    /// Neither tabs nor clamps hold what is moved between set-ups.
    Shifts,
}

impl fmt::Display for Unheld {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::NoTabs => "tabs = \"none\", and the machine's table does not hold by vacuum",
            Self::Skin => "a skin alone, and the machine's table does not hold by vacuum",
            Self::Shifts => "neither tabs nor clamps hold what is moved between two set-ups",
        })
    }
}

impl From<Unheld> for Value {
    fn from(how: Unheld) -> Self {
        how.to_string().into()
    }
}

findings! {
    NothingHolds { how: Unheld } "nothing-holds" Refusal Never PRACTICE,
        "nothing holds the pieces while they are cut: {how}",
        "Without tabs a piece comes loose when its cut closes, and the cutter throws it. Only a \
        table that holds by vacuum does without.",
        "Remove tabs = \"none\" or skin from the job; or write vacuum = true into the machine's \
        profile if its table holds by vacuum. What is cut in shifts keeps its tabs.";
    SkinThick { measured: Length, limit: Length } "skin-thick" Refusal Never GEOMETRY,
        "the skin of {measured} is more than {limit}: a pass, or half of the material",
        "The skin that is to stay below the cuts is thicker than a pass, or than half of the \
        material: that is a groove, not a cut.",
        "Give a thinner cut.skin: a skin that tears along a knife's line is half a millimetre \
        thick.";
    TabTall { measured: Length, limit: Length } "tab-tall" Refusal Never GEOMETRY,
        "tabs of {measured} are more than half of the material, {limit}",
        "A tab taller than half of the material is a part that is not cut out.",
        "Give a lower cut.tabs.height, or leave it out.";
    TabsNoRoom { measured: Count, limit: Count, edge: Length }
        "tabs-no-room" Refusal Never GEOMETRY,
        "{measured} tabs found room and {limit} are asked for; one stands on a straight edge of \
        {edge} or more",
        "Not all the tabs that the job asks for find a straight edge to stand on, away from \
        corners and from where the cutter comes in.",
        "Give a smaller cut.tabs.count or cut.tabs.width, or shape = \"square\", which takes less \
        room.";
    MarkUnmeasured { depth: Length, limit: Length } "mark-unmeasured" Refusal Never PRACTICE,
        "Z0 is on the bed, and marks {depth} deep would be cut from the {limit} of the material's \
        profile: a thinner sheet stays unmarked, a thicker one is cut deeper",
        "On a machine whose Z0 is on the bed a mark is only as deep as the thickness is known, and \
        nobody measured it.",
        "Measure the sheet and give cut.thickness, or say marks = \"none\" in [cut].";
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
        "material, cut-through and the greatest height of a rapid make {measured}, and the machine \
        travels {limit} up and down",
        "Material, cut-through and the greatest height of a rapid are more than the machine \
        travels up and down.",
        "Use thinner material, or a lower safe_height, clear_height or park.z.";
    LaserOnTreated { material: String, treatment: &'static str } "laser-on-treated" Refusal Never
        "never burn treated wood: National Pesticide Information Center; US Environmental \
        Protection Agency",
        "{material} is {treatment}: its smoke and ash are poisonous",
        "Burning preservative-treated wood makes poisonous smoke and ash. No laser program is \
        written for it, nor for wood of unknown treatment; this cannot be waived.",
        "Cut it with a router and mind the dust, or use material known to be untreated.";
    LaserTooThick { measured: Length, limit: Length } "laser-too-thick" Refusal Never GEOMETRY,
        "the material is {measured} thick, and this laser cuts {limit}",
        "The material is thicker than this laser cuts in one pass.",
        "Use thinner material, or a router.";
    NoLeadRoom { how: LeadIn } "no-lead-room" Refusal Never GEOMETRY,
        "no straight edge here {how}",
        "No straight edge of the path is long enough for the tool to come in beside it.",
        "Use a thinner cutter.";
    TiesBetweenPieces { measured: Count, pairs: Pairs, roomy: Length }
        "ties-between-pieces" Warning Never PRACTICE,
        "tabs that tie piece to piece, for no wood stays between their cuts: {measured} ({pairs}); \
        a cut.spacing of {roomy} ties each to the sheet",
        "The pieces lie so near to each other that no wood stays between their cuts: tabs tie \
        piece to piece, and one that comes loose takes others with it.",
        "Clamp the outermost pieces well, or give a larger cut.spacing.";
    MarkNoTool { strokes: Count } "mark-no-tool" Advice Never PRACTICE,
        "the machine profile has no pointed cutter for {strokes} strokes",
        "The machine profile has no pointed cutter: the marks are on layer MARK of the drawings \
        and in no program.",
        "Give the profile's [router] table a `mark`, or write the marks on by hand.";
    MarkShifted { strokes: Count } "mark-shifted" Advice Never PRACTICE,
        "{strokes} strokes are not marked: no set-up reaches all of such a stroke",
        "A stroke that no set-up reaches whole is not marked: it is on layer MARK of the drawings \
        only.",
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
        "The pattern has no place for a joint: a lap under the notches with its hook and its \
        dowels, an inch and a half from any notch corner, with both pieces short enough.",
        "Use a longer sheet, a thinner cutter, or cut.long = \"index\".";
    // `play`: what the holes are wider than the dowels; `across`: from cross to cross over the
    // joint.
    SplitWander { measured: Fine, apart: Length, dowel: Length, play: Fine, gap: Fine, across: Lengths } "split-wander" Advice Never PRACTICE,
        "with dowels of {dowel} {apart} apart in holes {play} wider the far tip may wander by \
        {measured}; the joint's gap is {gap}, and over it there are {across} from cross to cross",
        "The two pieces of a split pattern turn on their dowels by twice the holes' clearance over \
        the dowels' distance, each on the strap.",
        "Pin the strap with all four dowels and measure between the crosses on both sides of the \
        joint before you follow the pattern.";
    SplitMarkLeftOut { marks: String } "split-mark-left-out" Warning Never PRACTICE,
        "{marks}: across the joint or too near to it, and on neither piece",
        "A mark of the whole pattern would lie across the joint, or too near to it or to a dowel \
        hole: it is on neither piece.",
        "Write it on by hand once the pattern is pinned together.";
    IndexedShifts { measured: Count, by: Length } "indexed-shifts" Warning Never PRACTICE,
        "the part is cut in {measured} set-ups, and the stock is moved on by hand by {by} each \
        time",
        "The part is longer than the machine's travel: it is cut in several set-ups, and the stock \
        is moved by hand between them.",
        "Run the program that bores the table first, move the stock by exactly the distance that \
        each program says at its top, and check it before you start it.";
    // `each`, `all`: turns of one shift and of all together, in `rad`.
    ShiftTurn { measured: Fine, pin: Length, apart: Length, play: Fine, from: &'static str, each: Figure, all: Figure } "shift-turn" Advice Never PRACTICE,
        "with pins of {pin} {apart} apart in holes {play} wider ({from}) a shift may turn the \
        stock by {each}, all shifts by {all}: at the head all of them may be off by {measured}, \
        and no other number of set-ups is nearer",
        "Each shift may leave the stock off by the pins' play and turn it by twice that play over \
        their distance; what all shifts do adds up to the head. The number of set-ups is the one \
        with the least of it.",
        "Use pins that fit their holes well, measure their play and give pin_play, or use a wider \
        sheet so that they stand farther apart.";
    IndexNoBreak { limit: Count } "index-no-break" Refusal Never GEOMETRY,
        "no tread and lower edge to break the path at lie where two set-ups overlap, with up to \
        {limit} set-ups",
        "No tread and lower edge lie where two set-ups of the machine overlap, so that the path \
        could be broken there.",
        "Use a machine with more travel, or a thinner cutter.";
    IndexNoPins { limit: Count } "index-no-pins" Refusal Never GEOMETRY,
        "the waste has no room for two pins that two set-ups share, with up to {limit} set-ups",
        "The waste beside the part has no room for two pin holes that both set-ups reach.",
        "Use a wider sheet: the pins stand beside the part.";
    IndexRouterOnly { what: NotShifted } "index-router-only" Refusal Never PRACTICE,
        "{what} is not cut in shifts: a router without a roughing cutter and a sheet with waste \
        all round are",
        "Shifts on pins are made for a router and a part with waste all round it: a beam is not \
        planned in several set-ups, a board whose own edges are the part's has no waste for pins, \
        and two cutters would ask for every shift twice.",
        "Use a router and a sheet, leave router.rough out of the profile, or use a machine with \
        more travel.";
    RoughNotHere { what: NotRoughed } "rough-not-here" Refusal Never PRACTICE,
        "{what} is not cut with a roughing cutter first (router.rough): parts with waste all round \
        them are",
        "A roughing cutter goes round parts that lie in a sheet with waste all round: on a board's \
        own edges and in pockets no program is planned for it.",
        "Use a profile without router.rough for this job, or cut it from a sheet.";
    SpacingBelowCutter { measured: Length, limit: Length, chords: Fine }
        "spacing-below-cutter" Refusal Never GEOMETRY,
        "the spacing is {measured}, and the tool takes {limit}, {chords} of it for chords in place \
        of arcs: cutting one piece would cut the other",
        "Two pieces would lie so near that cutting one cuts the other.",
        "Give cut.spacing of the cutter's width or more; left out, it leaves wood between two \
        cuts.";
    SpacingBelowFinish { measured: Length, limit: Length, allowance: Length }
        "spacing-below-finish" Refusal Never GEOMETRY,
        "the spacing is {measured}, and the cutter with the finishing allowance of {allowance} on \
        both sides takes {limit}: roughing one piece would take of the other's allowance",
        "Two pieces would lie so near that the passes off the line of one come nearer to the other \
        than the finishing allowance.",
        "Give cut.spacing as much as the finding says, or a smaller router.finish.allowance.";
    SpacingBelowRough { measured: Length, limit: Length, cutter: Length, allowance: Length }
        "spacing-below-rough" Refusal Never GEOMETRY,
        "the spacing is {measured}, and the roughing cutter of {cutter} with its allowance of \
        {allowance} on both sides takes {limit}: roughing one piece would take of the other's \
        allowance",
        "Two pieces would lie so near that the roughing cutter, going round one, takes of what it \
        is to leave beside the other.",
        "Give cut.spacing as much as the finding says, or a thinner router.rough.cutter.";
    SpacingTight { measured: Length, web: Length, holds: Length, roomy: Length }
        "spacing-tight" Warning Never PRACTICE,
        "with {measured} between pieces as little as {web} of wood stays between two cuts, where \
        {holds} would hold: pieces and waste are tied to each other there, and {roomy} leaves wood \
        that holds between all",
        "Two cuts side by side leave nothing between them: fewer places for tabs, and pieces that \
        hold on by their ends.",
        "Leave cut.spacing out, or hold every piece down in another way too.";
    RoomForTies { roomy: Length, measured: SheetsTaken, now: Count }
        "room-for-ties" Advice Never PRACTICE,
        "a spacing of {roomy} would tie every piece to the sheet and none to another; sheets it \
        would take: {measured}, now: {now}",
        "What it would cost to leave wood between all cuts, so that every piece is tied to the \
        sheet.",
        "Give cut.spacing as much as the finding says, if that is worth it.";
    SearchEnded { measured: Count, limit: Count } "search-ended" Advice Never PRACTICE,
        "the search for fewer sheets was ended before it was through: {measured} sheets, {limit} \
        at the least. How far it came hangs on the machine, so another run may lay the pieces out \
        otherwise",
        "The search ended at the time given or at Ctrl-C, with the best layout found until then. \
        `verify` lays sheets out again and cannot follow that: it knows the programs of a search \
        that was through.",
        "Make it again without --time and let the search end by itself.";
    SheetCovered { length: Length, width: Length } "sheet-covered" Refusal Never GEOMETRY,
        "clamps and margins leave nothing to cut of a sheet of {length} by {width}",
        "Clamps and margins leave no place on the sheet that may be cut.",
        "Move the clamps to the sheet's edges, or hold it down in another way.";
}
