//! Why lengths cannot be cut, with the figures that say so.

use crate::units::Length;
use std::fmt;

/// The most pieces that a problem may have.
pub const MAX_COUNT: usize = 1_000_000;
/// The most kinds of piece, and of stock, that a problem may have.
pub const MAX_KINDS: usize = 2_000;
/// The longest length that a problem may name, in mm: a kilometre.
pub const MAX_LENGTH: f64 = 1e6;

/// Why lengths cannot be cut. Indices count the entries of the problem from 0.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum CuttingError {
    /// No piece is wanted.
    NothingWanted,
    /// No board is on offer.
    NothingOffered,
    /// An entry asks for no pieces.
    NoneOf {
        /// The entry.
        wanted: usize,
    },
    /// The pieces are more than [`MAX_COUNT`].
    TooMany {
        /// How many pieces are wanted.
        pieces: usize,
        /// How many a problem may have.
        most: usize,
    },
    /// The entries are more than [`MAX_KINDS`].
    TooManyKinds {
        /// How many entries there are.
        kinds: usize,
        /// How many there may be.
        most: usize,
    },
    /// A length is not above nothing, a kerf or trim is below it, or any is beyond [`MAX_LENGTH`].
    BadLength {
        /// Which length.
        what: &'static str,
        /// Its entry; 0 where there is only one.
        entry: usize,
        /// The length.
        length: Length,
    },
    /// A board's cost is no number from 0 to 1e6.
    BadCost {
        /// The stock entry.
        stock: usize,
        /// Its cost.
        cost: f64,
    },
    /// A wanted length is longer than any board on offer leaves between its trims.
    TooLong {
        /// The entry.
        wanted: usize,
        /// Its length.
        length: Length,
        /// The longest length that a board on offer yields.
        longest: Length,
    },
    /// The boards on offer are fewer than are needed.
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

impl fmt::Display for CuttingError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            CuttingError::NothingWanted => write!(f, "no length is wanted"),
            CuttingError::NothingOffered => write!(f, "no board is on offer"),
            CuttingError::NoneOf { wanted } => write!(f, "wanted length {wanted} has a count of 0"),
            CuttingError::TooMany { pieces, most } => {
                write!(f, "{pieces} pieces are wanted, at most {most} are allowed")
            }
            CuttingError::TooManyKinds { kinds, most } => {
                write!(f, "{kinds} entries, at most {most} are allowed")
            }
            CuttingError::BadLength { what, entry, length } => {
                write!(f, "{what} {entry} is {} in, out of range", length.as_inches())
            }
            CuttingError::BadCost { stock, cost } => {
                write!(f, "stock {stock} costs {cost}, not a number from 0 to 1e6")
            }
            CuttingError::TooLong { wanted, length, longest } => {
                let (length, longest) = (length.as_inches(), longest.as_inches());
                write!(f, "wanted length {wanted} is {length:.4} in, the longest board yields {longest:.4} in")
            }
            CuttingError::TooFewBoards { wanted, offered, certainty } => {
                let sure = match certainty {
                    Certainty::Proven => "the boards are too few",
                    Certainty::NoneFound => "no way to saw the boards was found",
                };
                write!(f, "{sure}: {:.4} in wanted, {:.4} in on offer", wanted.as_inches(), offered.as_inches())
            }
        }
    }
}

impl std::error::Error for CuttingError {}
