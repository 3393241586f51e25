//! The tool's radius and what follows a pattern; marks and holes.

use std::fmt;

use super::super::code::findings;
use super::super::{Figure, GEOMETRY, Millimetres, PRACTICE, Value};
use crate::units::{Length, trimmed};

/// Why there is no way for a tool round a part, or no pattern of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Clash {
    /// A pattern smaller by this all round has nothing left of an edge.
    EdgeLost(Length),
    /// The tool does not fit between two corners.
    NoRoom,
    /// The tool's way does not close.
    Open,
    /// The tool's centre comes this near to an edge that its radius has to keep it from.
    Near(Millimetres, Millimetres),
    /// A second construction of the way finds this many ways.
    Ways(usize),
    /// A second construction of the way has another number of corners.
    Corners(usize, usize),
    /// A second construction of the way goes round an area that differs by this, in square
    /// millimetres.
    Area(f64),
    /// A second construction of the way has a corner that lies off by this.
    Corner(Millimetres),
}

impl fmt::Display for Clash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::EdgeLost(inset) => {
                write!(f, "a pattern that is {inset} smaller all round loses this edge")
            }
            Self::NoRoom => write!(f, "the tool does not fit between the corners here"),
            Self::Open => write!(f, "the tool's way does not close here"),
            Self::Near(near, radius) => {
                write!(
                    f,
                    "the middle of the tool would come within {near} of this edge, less than its \
                    radius of {radius}"
                )
            }
            Self::Ways(ways) => write!(f, "{AGAIN} comes out as {ways} ways"),
            Self::Corners(one, other) => write!(f, "{AGAIN} has {other} corners instead of {one}"),
            Self::Area(area) => {
                write!(f, "{AGAIN} goes round {} mm2 more or less", trimmed(*area, 4))
            }
            Self::Corner(off) => write!(f, "{AGAIN} is {off} off at a corner"),
        }
    }
}

/// How it is said that two constructions, which have to agree, do not.
const AGAIN: &str = "worked out a second time, the tool's way";

impl From<Clash> for Value {
    fn from(clash: Clash) -> Self {
        clash.to_string().into()
    }
}

/// A character, shown with its number: it may look like another, or like nothing.
#[derive(Clone, Copy, Debug)]
pub struct Character(pub char);

impl fmt::Display for Character {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "`{}` (U+{:04X})", self.0, u32::from(self.0))
    }
}

impl From<Character> for Value {
    fn from(character: Character) -> Self {
        character.to_string().into()
    }
}

findings! {
    NoseRounded { radius: Length, short: Length } "nose-rounded" Advice Never GEOMETRY,
        "the noses come out rounded to a radius of {radius}, {short} short at the tip",
        "A bushing that rolls round the pattern's nose leaves the part's nose round.",
        "Square the noses by hand if the joint asks for it, or follow with a bearing bit.";
    CornerRounded { radius: Length } "corner-rounded" Advice Never GEOMETRY,
        "inside corners come out no tighter than the bit's radius of {radius}",
        "The bit that follows the pattern leaves its own radius in every inside corner.",
        "Square the corners with a chisel or a handsaw.";
    BitTooWide { measured: Length, limit: Length } "bit-too-wide" Refusal Never GEOMETRY,
        "the bit is {measured} wide and the part's plate notch {limit}",
        "The bit that will follow the pattern is wider than the part's plate notch.",
        "Follow with a thinner bit, or cut the notch by hand.";
    FilletLeft { radius: Length, off: Length } "fillet-left" Advice Never GEOMETRY,
        "a round of radius {radius} stays in inside corners: a square board stands {off} off the \
        corner",
        "The tool's own round is left in every inside corner, so a square board stands off it.",
        "Ease the boards' corners, square the corners by hand, or choose another cut.corners.";
    CutterTooWide { measured: Length, limit: Length } "cutter-too-wide" Refusal Never GEOMETRY,
        "the cutter with its clearance takes {measured} and the plate notch is {limit} wide",
        "The cutter is wider than the plate notch: it would be skipped in silence, so it is \
        refused.",
        "Use a thinner cutter in the machine profile, a wider notch, or no notch.";
    Interference { why: Clash } "interference" Refusal Never GEOMETRY,
        "{why}",
        "The tool's path round one feature runs into another, or a pattern this much smaller loses \
        an edge.",
        "Use a thinner cutter, or follow the pattern with something that asks for less.";
    ReliefOverlap { measured: Length, limit: Length } "relief-overlap" Refusal Never GEOMETRY,
        "the reliefs of inside corners take {measured} of this edge, which is {limit} long",
        "The reliefs at the two ends of an edge would meet and take the whole edge away.",
        "Use a thinner cutter, or corners = \"fillet\".";
    ReliefBreakthrough { measured: Length, behind: String }
        "relief-breakthrough" Refusal Never GEOMETRY,
        "the relief here leaves {measured} of wood before it comes to the {behind}",
        "A relief of an inside corner would break through the wood behind it.",
        "Use a thinner cutter, or corners = \"fillet\".";
    // `limit`: what the passes off the line ask for between two sides.
    FinishNoRoom { measured: Length, limit: Length } "finish-no-room" Refusal Never GEOMETRY,
        "the passes that stay off the line by the finishing allowance of {measured} find no room \
        between two sides of the part: they take {limit}",
        "A notch of the part, or another place between two of its sides, is too narrow for a \
        cutter that stays off the line on both sides.",
        "Give router.finish a smaller allowance, use a thinner cutter, or leave router.finish out.";
    FinishCoarse { measured: Length, limit: Length } "finish-coarse" Refusal Never GEOMETRY,
        "a finishing allowance of {measured} cannot be told from the chords that this machine cuts \
        in place of arcs: {limit} can",
        "Chords stand off the true line by as much as the machine's profile lets them: an \
        allowance of about that much may be gone before the pass on the line.",
        "Give router.finish a larger allowance, or the machine a smaller chord_tolerance.";
    // `limit`: what the roughing cutter asks for between two sides.
    RoughNoRoom { measured: Length, allowance: Length, limit: Length }
        "rough-no-room" Refusal Never GEOMETRY,
        "the roughing cutter of {measured} with its allowance of {allowance} on both sides finds \
        no room between two sides of the part: it takes {limit}",
        "A notch of the part, or another place between two of its sides, is too narrow for the \
        roughing cutter, which stays off the line on both sides.",
        "Give router.rough a thinner cutter or a smaller allowance, or leave router.rough out.";
    MarkUnknownCharacter { character: Character } "mark-unknown-character" Refusal Never PRACTICE,
        "{character} cannot be marked: the letters that are cut are A to Z, digits and common \
        marks",
        "The title has a character that the single-stroke letters do not have: it cannot be marked \
        on the pattern.",
        "Write the title in plain letters, digits and common marks.";
    MarkTitleCut { kept: String } "mark-title-cut" Warning Never PRACTICE,
        "only \"{kept}\" of the title finds room in readable letters",
        "The title is too long for the pattern even in the smallest readable letters: its end was \
        left off the pattern.",
        "Give the job a shorter title; the fingerprint beside it still tells which job it is.";
    MarkLeftOut {} "mark-left-out" Warning Never PRACTICE,
        "this mark finds no room on the pattern in readable letters",
        "The pattern has no room for this mark in readable letters.",
        "Write it on by hand from the report, or mark with a finer point.";
    HoleMoved { measured: Length, limit: Length } "hole-moved" Advice Never GEOMETRY,
        "the hanging hole lies {measured} across the board from the balance point, to stay {limit} \
        inside the cut line",
        "The balance point lies too near the edge for the hanging hole: the hole was moved \
        straight across the board.",
        "Nothing: the pattern still hangs level, a little less willingly.";
    HoleLeftOut { limit: Length } "hole-left-out" Warning Never GEOMETRY,
        "no place straight across from the balance point is {limit} inside the cut line: there is \
        no hanging hole",
        "No place straight across the board from the balance point is far enough from the edge for \
        a hanging hole.",
        "Hang the pattern by a clamp, or drill a hole where it does no harm.";
    DowelTooSmall { measured: Length, limit: Length, tool: Length }
        "dowel-too-small" Refusal Never GEOMETRY,
        "the dowel is {measured}, and a hole takes {limit}: the tool's {tool} and room to go round",
        "The tool does not fit into the holes that bring the layers over each other.",
        "Give cut.dowel the cutter's own diameter, bored straight down, or a larger one; or use a \
        thinner cutter.";
    NoDowelRoom { dowel: Length, round: Figure } "no-dowel-room" Refusal Never PRACTICE,
        "no two holes of {dowel} find room in the strip behind the notches, with {round} diameters \
        of wood round each",
        "Two dowel holes with wood enough round them find no place in the strip that no notch \
        reaches.",
        "Give cut.dowel a smaller diameter, or use wider material.";
}
