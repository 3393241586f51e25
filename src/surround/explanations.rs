//! What each finding about the stair where it stands means and what to do, for `seatcut explain`.

use crate::finding::{Explanation, explained};

/// Every code that can be found around the stringer.
pub const EXPLANATIONS: &[Explanation] = &[
    explained(
        "seat-follows-ground",
        "The job wants a seat along the ground; the part is cut with a level one, which has all the wood that it needs.",
        "Stand the stringer at its height, scribe the seat to the ground and cut it by hand.",
    ),
    explained(
        "head-joint-by-hand",
        "The joint that the job asks for changes the head of the stringer; the part is cut as for a plain plumb cut.",
        "Leave the head long enough and cut the joint by hand after its drawing, on one stringer first.",
    ),
    explained(
        "ledger-below-rim",
        "The ledger lies at the lower end of the plumb cut, and the rim does not reach down to it: nothing holds it there.",
        "Take a deeper rim or a hanger board, or another joint.",
    ),
    explained(
        "stringer-count",
        "The width and the spacing of the stair ask for another number of stringers than this job cuts.",
        "Set cut.quantity, or look at stair.width and stair.most_spacing again.",
    ),
    explained(
        "beam-not-sawn",
        "The design values of the beam check are those of sawn boards; these stringers are cut from a sheet.",
        "Ask a licensed designer, or cut the stringers from boards.",
    ),
    explained(
        "landing-steep",
        "The ground where the flight lands is steeper than a landing may be.",
        "Level a landing there first, and measure the rise to it.",
    ),
    explained(
        "not-worked-out",
        "Something that the job asks beyond the stringer means nothing, so nothing of it was worked out.",
        "Mend the table that it is about.",
    ),
];
