//! What is wanted, what the yard sells, and why an order cannot be filled.

use crate::units::Length;
use std::fmt;

/// The most pieces that an order may have.
pub const MAX_COUNT: usize = 1_000_000;
/// The most kinds of piece, and of stock, that an order may have.
pub const MAX_KINDS: usize = 2_000;
/// The longest length that an order may name, in mm: a kilometre.
pub const MAX_LENGTH: f64 = 1e6;

/// A length and how often it is wanted.
#[derive(Clone, Debug)]
pub struct Wanted {
    /// The finished length.
    pub length: Length,
    /// How many.
    pub count: usize,
}

/// A length that boards come in.
#[derive(Clone, Debug)]
pub struct StockLength {
    /// The length as bought, ends untrimmed.
    pub length: Length,
    /// How many there are; `None` for as many as are wanted.
    pub available: Option<usize>,
    /// What one costs, in any unit, 0 to 1e6, taken to a millionth. Nothing for a board already in the shed.
    pub cost: f64,
}

impl StockLength {
    /// As many boards of this length as are wanted, at their length in feet.
    pub fn by_the_foot(length: Length) -> StockLength {
        StockLength { length, available: None, cost: length.as_inches() / 12.0 }
    }
}

/// An order of lengths to be cut from boards. Lengths are taken to a millionth of a millimetre.
#[derive(Clone, Debug)]
pub struct Problem {
    /// The pieces.
    pub lengths: Vec<Wanted>,
    /// The boards on offer.
    pub stock: Vec<StockLength>,
    /// What one saw cut takes.
    pub kerf: Length,
    /// What is cut off each end of a board before its first piece.
    pub end_trim: Length,
    /// How much work to spend: 0 takes the first fit and its bound, 1 is enough for most orders, 1000 is the most.
    pub effort: u32,
}

/// Why an order cannot be filled. Indices count the entries of the order from 0.
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
        /// How many an order may have.
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
    /// The boards on offer are fewer than the order needs.
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
        let inches = |length: &Length| length.as_inches();
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
                write!(f, "{what} {entry} is {} in, out of range", inches(length))
            }
            CuttingError::BadCost { stock, cost } => {
                write!(f, "stock {stock} costs {cost}, not a number from 0 to 1e6")
            }
            CuttingError::TooLong { wanted, length, longest } => {
                let (length, longest) = (inches(length), inches(longest));
                write!(
                    f,
                    "wanted length {wanted} is {length:.4} in, the longest board yields {longest:.4} in"
                )
            }
            CuttingError::TooFewBoards { wanted, offered, certainty } => {
                let sure = match certainty {
                    Certainty::Proven => "the boards are too few",
                    Certainty::NoneFound => "no way to saw the boards was found",
                };
                write!(
                    f,
                    "{sure}: {:.4} in wanted, {:.4} in on offer",
                    inches(wanted),
                    inches(offered)
                )
            }
        }
    }
}

impl std::error::Error for CuttingError {}
