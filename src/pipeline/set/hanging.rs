//! What is done where a layout would leave something that comes loose.

use crate::diagnostics::{Finding, Outcome, codes};
use crate::units::Length;

/// How much farther apart pieces are laid, in inches, where they would leave an offcut on too
/// little wood otherwise (by trial: another spacing is another layout, and seldom leaves one too).
const FARTHER_IN: [f64; 3] = [0.0625, 0.125, 0.25];

/// Laid out at the usual spacing, or where something would come loose there, a little farther
/// apart: nobody asked for just this one. What is refused at each is told of the usual one.
pub(super) fn where_all_hangs<T>(
    usual: Length,
    laid_out: impl Fn(Length) -> Outcome<T>,
) -> Outcome<T> {
    let said = |spacing| codes::LaidFarther { spacing, usual }.at("sheets");
    let refusals = match laid_out(usual) {
        Err(refusals) if refusals.are_all(is_loose) => refusals,
        done => return done,
    };
    let farther = FARTHER_IN.map(|more| usual + Length::inches(more));
    let done = |spacing| laid_out(spacing).ok().map(|done| done.and_say([said(spacing)]));
    farther.into_iter().find_map(done).ok_or(refusals)
}

/// Whether a finding says that something would come loose.
pub(super) fn is_loose(finding: &Finding) -> bool {
    finding.is::<codes::OffcutLoose>() || finding.is::<codes::PieceLoose>()
}
