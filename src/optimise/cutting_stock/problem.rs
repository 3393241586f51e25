//! What is wanted, what the yard sells, and how it is sawn: checked once, then whole numbers.

use super::error::{CuttingError, MAX_COUNT, MAX_KINDS, MAX_LENGTH};
use super::instance::{Instance, steps};
use super::offer::{Saw, StockLength, Wanted};
use crate::units::Length;

/// The most that a board may cost.
const MAX_COST: f64 = 1e6;

/// Lengths to be cut from boards. Lengths are taken to a millionth of a millimetre.
///
/// Counts, lengths and costs are in range, every wanted length goes on some board on offer, and the
/// boards on offer are together long enough.
#[derive(Clone, Debug)]
pub struct Problem {
    instance: Instance,
}

impl Problem {
    /// Wanted lengths, the boards on offer, and what a saw takes of them.
    ///
    /// # Errors
    /// With the first entry that is out of range, or that no board holds; or if the boards are too
    /// short in all.
    pub fn new(wanted: &[Wanted], stock: &[StockLength], saw: Saw) -> Result<Self, CuttingError> {
        refuse_bad_counts(wanted, stock)?;
        refuse_bad_figures(wanted, stock, saw)?;
        Ok(Self { instance: Instance::new(wanted, stock, saw)? })
    }

    /// The same in whole numbers.
    pub(super) fn instance(&self) -> &Instance {
        &self.instance
    }
}

fn refuse_bad_counts(wanted: &[Wanted], stock: &[StockLength]) -> Result<(), CuttingError> {
    if wanted.is_empty() {
        return Err(CuttingError::NothingWanted);
    }
    if stock.is_empty() {
        return Err(CuttingError::NothingOffered);
    }
    let kinds = wanted.len().max(stock.len());
    if kinds > MAX_KINDS {
        return Err(CuttingError::TooManyKinds { kinds, most: MAX_KINDS });
    }
    if let Some(wanted) = wanted.iter().position(|w| w.count == 0) {
        return Err(CuttingError::NoneOf { wanted });
    }
    let pieces = wanted.iter().fold(0_usize, |sum, w| sum.saturating_add(w.count));
    if pieces > MAX_COUNT {
        return Err(CuttingError::TooMany { pieces, most: MAX_COUNT });
    }
    Ok(())
}

fn refuse_bad_figures(
    wanted: &[Wanted],
    stock: &[StockLength],
    saw: Saw,
) -> Result<(), CuttingError> {
    for (what, length) in [("kerf", saw.kerf), ("end trim", saw.end_trim)] {
        if !is_in_range(length) {
            return Err(CuttingError::BadLength { what, entry: 0, length });
        }
    }
    for (entry, wanted) in wanted.iter().enumerate() {
        refuse_no_length("wanted length", entry, wanted.length)?;
    }
    for (entry, board) in stock.iter().enumerate() {
        refuse_no_length("stock length", entry, board.length)?;
        if !(0.0..=MAX_COST).contains(&board.cost) {
            return Err(CuttingError::BadCost { stock: entry, cost: board.cost });
        }
    }
    Ok(())
}

fn refuse_no_length(what: &'static str, entry: usize, length: Length) -> Result<(), CuttingError> {
    if is_in_range(length) && steps(length) > 0 {
        return Ok(());
    }
    Err(CuttingError::BadLength { what, entry, length })
}

fn is_in_range(length: Length) -> bool {
    length.as_mm() >= 0.0 && length.as_mm() <= MAX_LENGTH
}
