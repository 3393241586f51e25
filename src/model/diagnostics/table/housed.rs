//! Housed stringers and their pockets.

use super::super::code::findings;
use super::super::{Count, GEOMETRY, PRACTICE};
use super::words::words;
use crate::units::Length;

words! {
    /// What a job wants of a housed stringer beside making it alone.
    Together {
        Pieces "several pieces or layers are",
        Spacing "a spacing between pieces is",
        Long "cutting it in shifts or in two is",
        Set "cutting it together with other jobs is",
    }
}

findings! {
    HousedTooDeep { measured: Length, limit: Length, thickness: Length }
        "housed-too-deep" Refusal Waivable PRACTICE,
        "the pockets are {measured} deep, more than {limit}, half of the board's {thickness}",
        "The pockets take more than half of the board: what is left behind them splits.",
        "Make housed.depth less, or take a thicker board.";
    HousedShallow { measured: Length, limit: Length } "housed-shallow" Warning Never PRACTICE,
        "the pockets are {measured} deep and {limit} is wanted",
        "The pockets are so shallow that a tread that shrinks comes out of them.",
        "Make housed.depth more.";
    HousedNoWedge {} "housed-no-wedge" Advice Never PRACTICE,
        "the pockets have parallel sides: treads and risers are glued, no wedge presses them home",
        "The pockets have parallel sides: treads and risers are only glued in.",
        "Give housed.wedge for pockets that widen toward their far end.";
    HousedEnds { land: Length } "housed-ends" Advice Never PRACTICE,
        "the pockets are closed all round: cut first riser and top tread back by {land} where they \
        go in",
        "The pockets are closed all round: the foot of the first riser and the back of the top \
        tread are notched at their ends where the pocket stops short.",
        "Nothing, or change housed.land.";
    HousedLaser {} "housed-laser" Refusal Never GEOMETRY,
        "the machine is a laser, and a beam makes no pocket of a depth",
        "A beam has no depth that can be trusted: it makes no pockets.",
        "Use a machine with a cutter.";
    HousedPattern {} "housed-pattern" Refusal Never GEOMETRY,
        "cut.makes asks for a pattern, and a pattern carries no pockets",
        "A pattern carries an outline, not pockets of a depth.",
        "Set cut.makes = \"stringers\".";
    HousedBoard {} "housed-board" Refusal Never GEOMETRY,
        "the material is a board whose own edges are the part's; a housed stringer is cut out with \
        waste all round",
        "A housed stringer is cut out of its material with waste all round; it is not made on a \
        board whose own edges are the part's.",
        "Copy the material profile of the board as one with form = \"sheet\", a little wider and \
        longer than the part.";
    HousedPlate {} "housed-plate" Refusal Never GEOMETRY,
        "the job lets a tie plate into the foot, and a housed stringer is made without that notch",
        "A housed stringer is made without a notch for a tie plate.",
        "Leave foot.tie_plate out.";
    HousedSeveral { asked: Together, pieces: Count } "housed-several" Refusal Never GEOMETRY,
        "{asked} asked for, and {pieces} housed in all: a program makes one housed stringer, in \
        one set-up, alone on its sheet",
        "A program makes one housed stringer, alone on its sheet: the pockets are not laid out \
        with others.",
        "Take out what the finding names, with cut.quantity = 1, and run the program once a piece; \
        each hand is a job of its own, made on its own or by `batch`.";
    HousedNoPocket {} "housed-no-pocket" Refusal Never GEOMETRY,
        "a pocket crosses itself: treads, risers and wedges leave no wood between them",
        "The pockets of this flight would cross themselves: boards, wedges and land leave no room.",
        "Use thinner treads or risers, a smaller wedge or less land.";
    HousedThin { measured: Length, limit: Length } "housed-thin" Refusal Never GEOMETRY,
        "{measured} of wood stays between pocket and edge, less than the land of {limit}",
        "Too little wood stays between a pocket and an edge of the board.",
        "Take more housed.edge_above, a smaller wedge, or less housed.land.";
    HousedNarrow { measured: Length, limit: Length, wider: Length }
        "housed-narrow" Refusal Never GEOMETRY,
        "{measured} of wood stays between pocket and lower edge, less than the land of {limit}: a \
        board {wider} wide would do",
        "The board is so narrow that too little wood stays between a pocket and its lower edge.",
        "Take a board of the width that the finding says, a smaller wedge, or less housed.land.";
    PocketNarrow { measured: Length, limit: Length } "pocket-narrow" Refusal Never GEOMETRY,
        "the pocket is {measured} wide and the cutter with its clearance needs {limit}",
        "A pocket of a housed stringer is narrower than the cutter and its clearance.",
        "Use a thinner cutter, or thicker treads and risers.";
}
