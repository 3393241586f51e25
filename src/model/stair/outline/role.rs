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
    /// Where the two pieces of a split pattern meet.
    Joint,
    /// An edge of the strap that joins them.
    Strap,
    /// The upper edge of a housed stringer.
    UpperEdge,
    /// The plumb cut before the first nosing of a housed stringer.
    FootCut,
}

impl fmt::Display for Role {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Role::Tread(k) => write!(f, "tread {k}"),
            Role::Riser(k) => write!(f, "riser {k}"),
            Role::HeadCut => write!(f, "top plumb cut"),
            Role::SeatCut => write!(f, "seat cut"),
            Role::LowerEdge => write!(f, "lower edge"),
            Role::PlateNotch => write!(f, "plate notch"),
            Role::Joint => write!(f, "joint"),
            Role::Strap => write!(f, "strap"),
            Role::UpperEdge => write!(f, "upper edge"),
            Role::FootCut => write!(f, "foot plumb cut"),
        }
    }
}
