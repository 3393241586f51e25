//! Why lengths cannot be cut, with the figures that say so.

use crate::units::Length;

/// The most pieces that a problem may have.
pub const MAX_COUNT: usize = 1_000_000;
/// The most kinds of piece, and of stock, that a problem may have.
pub const MAX_KINDS: usize = 2_000;
/// The longest length that a problem may name, in mm: a kilometre.
pub const MAX_LENGTH: f64 = 1e6;

/// Why lengths cannot be cut. Indices count the entries of the problem from 0.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum CuttingError {
    /// No piece is wanted.
    #[error("no length is wanted")]
    NothingWanted,
    /// No board is on offer.
    #[error("no board is on offer")]
    NothingOffered,
    /// An entry asks for no pieces.
    #[error("wanted length {wanted} has a count of 0")]
    NoneOf {
        /// The entry.
        wanted: usize,
    },
    /// The pieces are more than [`MAX_COUNT`].
    #[error("{pieces} pieces are wanted, at most {most} are allowed")]
    TooMany {
        /// How many pieces are wanted.
        pieces: usize,
        /// How many a problem may have.
        most: usize,
    },
    /// The entries are more than [`MAX_KINDS`].
    #[error("{kinds} entries, at most {most} are allowed")]
    TooManyKinds {
        /// How many entries there are.
        kinds: usize,
        /// How many there may be.
        most: usize,
    },
    /// A length is not above nothing, a kerf or trim is below it, or any is beyond [`MAX_LENGTH`].
    #[error("{what} {entry} is {} in, out of range", .length.as_inches())]
    BadLength {
        /// Which length.
        what: &'static str,
        /// Its entry; 0 where there is only one.
        entry: usize,
        /// The length.
        length: Length,
    },
    /// A board's cost is no number from 0 to 1e6.
    #[error("stock {stock} costs {cost}, not a number from 0 to 1e6")]
    BadCost {
        /// The stock entry.
        stock: usize,
        /// Its cost.
        cost: f64,
    },
    /// A wanted length is longer than any board on offer leaves between its trims.
    #[error(
        "wanted length {wanted} is {:.4} in, the longest board yields {:.4} in",
        .length.as_inches(),
        .longest.as_inches()
    )]
    TooLong {
        /// The entry.
        wanted: usize,
        /// Its length.
        length: Length,
        /// The longest length that a board on offer yields.
        longest: Length,
    },
    /// The boards on offer are fewer than are needed.
    #[error("{certainty}: {:.4} in wanted, {:.4} in on \
        offer", .wanted.as_inches(), .offered.as_inches())]
    TooFewBoards {
        /// The length of all pieces together, without kerfs.
        wanted: Length,
        /// The length of all boards on offer between their trims.
        offered: Length,
        /// Whether that is certain.
        certainty: Certainty,
    },
}

/// Whether boards are too few for certain, or no way to saw them was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Certainty {
    /// No way exists.
    Proven,
    /// The search found no way.
    NoneFound,
}

impl std::fmt::Display for Certainty {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Proven => "the boards are too few",
            Self::NoneFound => "no way to saw the boards was found",
        })
    }
}
