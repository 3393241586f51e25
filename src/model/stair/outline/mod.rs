//! Stage 3: the finished part as a contour. It knows nothing of tools.

mod board_frame;
mod cleated;
mod construct;
mod ends;
mod housed;
mod pocket;
mod role;
mod skirt;
mod split;

pub use cleated::{
    Cleat, CleatMark, HOLES_APART, Met, PlumbLine, cleat_marks, depth_on_board, least_length,
    nose_front,
};
pub use construct::{NotchProblem, Outline, OutlineProblem};
pub use ends::{HeadNotch, HeadNotchProblem, SeatLine};
pub use housed::{HousedProblem, Wedge, WedgeUnder, wedges};
pub use pocket::{Cell, Pocket, PocketRole};
pub use role::{Role, SHOWN};
pub use skirt::{Skirt, SkirtProblem};
pub use split::{
    CheckAcross, DOWEL_CLEARANCE_IN, DowelHole, JOINT_CLEARANCE_IN, NoSplit, Piece as SplitPiece,
    Split, Splitting, split,
};
