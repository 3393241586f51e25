//! What an edge of the part is for.

use std::fmt;

/// The role of an edge. Treads and risers count from 1 at the foot.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// The level cut that tread `k` lies on.
    Tread(usize),
    /// The plumb cut below tread `k`.
    Riser(usize),
    /// The plumb cut at the upper end.
    HeadCut,
    /// The level cut at the foot.
    SeatCut,
    /// The board's lower edge.
    LowerEdge,
    /// The notch for the tie plate.
    PlateNotch,
    /// The notch at the head, for a ledger or over the framing.
    HeadNotch,
    /// Where the two pieces of a split pattern meet.
    Joint,
    /// An edge of the strap that joins them.
    Strap,
    /// The level cut at the head of a cleated stringer, under the upper finish.
    HeadLevel,
    /// The upper edge of a housed or cleated stringer.
    UpperEdge,
    /// The plumb cut before the first nosing of a housed or cleated stringer.
    FootCut,
    /// A side of the test square, by its name.
    TestSide(&'static str),
    /// A side of a tread or of a riser board, by its name.
    PieceSide(&'static str),
}

/// The sides of treads, riser boards and wall skirts that show: the nosing, the upper edge.
pub const SHOWN: [&str; 2] = ["nosing", "top"];

impl Role {
    /// Whether it is a side of a piece that shows.
    pub fn is_shown(self) -> bool {
        matches!(self, Self::PieceSide(side) if SHOWN.contains(&side))
    }
}

impl fmt::Display for Role {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Tread(k) => write!(f, "tread {k}"),
            Self::Riser(k) => write!(f, "riser {k}"),
            Self::HeadCut => write!(f, "top plumb cut"),
            Self::SeatCut => write!(f, "seat cut"),
            Self::LowerEdge => write!(f, "lower edge"),
            Self::HeadLevel => write!(f, "level cut at the head"),
            Self::PlateNotch => write!(f, "plate notch"),
            Self::HeadNotch => write!(f, "notch at the head"),
            Self::Joint => write!(f, "joint"),
            Self::Strap => write!(f, "strap"),
            Self::UpperEdge => write!(f, "upper edge"),
            Self::FootCut => write!(f, "foot plumb cut"),
            Self::TestSide(name) | Self::PieceSide(name) => f.write_str(name),
        }
    }
}
