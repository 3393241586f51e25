//! What the job and the shape of the part show: head, foot, notch, waivers, what only the site can
//! show.

use super::super::code::findings;
use super::super::{GEOMETRY, PRACTICE};
use super::words::words;
use crate::units::Length;

words! {
    /// Whether the job says something of what the rule set asks for and nothing here can look at.
    Shown {
        InJob "the job says something of it that is not held against this, look",
        NotInJob "the job does not show it, look on site",
        RailHeld "the rail of the job is held against what the rule set has figures for, look at \
            the rest",
        OverStringers "over its stringers the stair keeps it; what stands beside it is not in the \
            job, look on site",
    }
    /// Why a waiver did nothing.
    WaiverIdle {
        NothingRefuses "no such refusal here",
        CannotBe "this refusal cannot be waived",
    }
}

findings! {
    NotChecked { asks: String, shown: Shown } "not-checked" Advice Never PRACTICE,
        "the rule set asks this: {asks}; {shown}",
        "The rule set asks for this and no measurement in the job can show it.",
        "Look on site, with your local code in hand.";
    FeetAndInches { typed: String, read: Length } "feet-and-inches" Warning Never PRACTICE,
        "{typed} is read as {read}; 12 in or more behind feet may be a slip",
        "12 in or more stand after feet: it can be read, but it may be a slip of the pen.",
        "Write the feet and the rest, or inches alone.";
    OddFraction { typed: String, read: Length, nearest: Length }
        "odd-fraction" Warning Never PRACTICE,
        "{typed} is read as {read}; no tape has a line there, and the nearest is {nearest}",
        "The fraction is none that a tape has lines for: a tape has halves, quarters, eighths, \
        sixteenths, at the finest sixty-fourths of an inch.",
        "Type what the tape says; where the figure was divided and not measured, type it as a \
        decimal: 10.333 in.";
    WaiverUnused { why: WaiverIdle } "waiver-unused" Warning Never PRACTICE,
        "{why}",
        "A [[waive]] names a code that refuses nothing here, or one that cannot be waived.",
        "Remove it, or give the code of a refusal as printed.";
    NoFirstRiser { measured: Length } "no-first-riser" Refusal Never GEOMETRY,
        "the first riser cut comes out at {measured}: the tread's thickness takes it away",
        "The tread's thickness takes the whole first riser away at the foot.",
        "Choose fewer risers or thinner treads.";
    NoThroat { measured: Length } "no-throat" Refusal Never GEOMETRY,
        "the throat comes out at {measured}: the notches go through the board",
        "The notches go right through the board.",
        "Use a wider board, lower risers or shorter treads.";
    NoSeat {} "no-seat" Refusal Never GEOMETRY,
        "the lower edge passes above the toe: the board is too narrow to reach the floor",
        "The board is too narrow to reach the floor under the first riser.",
        "Use a wider board, or lay less finish at the foot.";
    NoTopTread { measured: Length } "no-top-tread" Refusal Never GEOMETRY,
        "the top tread cut comes out at {measured}: spacer and riser boards leave none",
        "Spacer and riser boards leave no top tread cut.",
        "Check head.spacer, head.riser_board and head.top_tread.";
    TopTreadLong { measured: Length } "top-tread-long" Refusal Never GEOMETRY,
        "the top tread cut of {measured} runs past the lower edge: nothing is left under its end",
        "The top tread runs past the board's lower edge: nothing is left under its end.",
        "Give a shorter head.top_tread or a wider board.";
    NotchBeyondSeat { measured: Length, limit: Length } "notch-beyond-seat" Refusal Never GEOMETRY,
        "the plate notch ends {measured} from the first riser cut and the seat ends at {limit}",
        "The tie-plate notch reaches the end of the seat.",
        "Use a narrower plate or a smaller set_back; the seat's length is in the layout.";
    NotchReachesTread { measured: Length, limit: Length }
        "notch-reaches-tread" Refusal Never GEOMETRY,
        "the plate notch is {measured} high and the first riser cut is {limit}",
        "The tie-plate notch reaches the first tread cut.",
        "Use a thinner plate: the first riser cut is the unit rise less the drop.";
    NotchThinToe { measured: Length, limit: Length } "notch-thin-toe" Warning Never PRACTICE,
        "{measured} of wood stands in front of the plate notch and {limit} is wanted: it splits \
        off",
        "Little wood stands in front of the plate notch and will split off.",
        "Set the plate at the toe (set_back 0) or further back.";
    NotchThinTop { measured: Length, limit: Length } "notch-thin-top" Warning Never PRACTICE,
        "{measured} of wood stands above the plate notch and {limit} is wanted",
        "Little wood stands between the plate notch and the first tread.",
        "Use a thinner plate.";
    NotchThinHeel { measured: Length, limit: Length } "notch-thin-heel" Warning Never PRACTICE,
        "{measured} of seat is left behind the plate notch and {limit} is wanted",
        "Little seat is left behind the plate notch.",
        "Use a narrower plate or a smaller set_back.";
    HeadContactUnknown { limit: Length } "head-contact-unknown" Advice Never PRACTICE,
        "head.rim_depth is not given: whether {limit} of the plumb cut bears on the rim is not \
        known",
        "Without the rim's depth nobody can say whether the top of the stringer bears on it.",
        "Measure the rim and give head.rim_depth.";
    HeadContactNone { on: &'static str, limit: Length }
        "head-contact-none" Refusal Waivable PRACTICE,
        "the plumb cut misses the {on}: the head bears on nothing, and {limit} is wanted",
        "The top plumb cut passes what it is to stand against: the stringer hangs on nothing.",
        "Give head.joint a hanger board or a dropped header that reaches it, or meet the floor \
        flush; waive this where something else carries the head.";
    HeadContactSmall { measured: Length, limit: Length, on: &'static str }
        "head-contact-small" Warning Never PRACTICE,
        "only {measured} of the plumb cut at the head touches the {on}; {limit} is wanted",
        "The top of the stringer barely touches what it stands against.",
        "Give head.joint a hanger board or a dropped header that reaches lower.";
    DropNegative { finish: Length, tread: Length } "drop-negative" Advice Never PRACTICE,
        "{finish} of finish is still to come on a tread of {tread}: the foot is lengthened, not \
        dropped",
        "More finish is still to come at the foot than the tread is thick: the stringer's foot \
        gets longer.",
        "Check rise.finish_to_come.";
}
