//! The piece on the machine: the part itself, or the pattern that something will follow.

use super::tool_path::{interference, place_of};
use crate::diagnostics::codes::{self, Clash};
use crate::diagnostics::{Finding, Refusals};
use crate::geometry::{Contour, OffsetProblem, inset_sharp};
use crate::job::{Follow, Makes};
use crate::stair::outline::Role;
use crate::units::Length;

/// How much smaller than the part the piece is, all round.
pub(super) fn inset_of(makes: Makes) -> Length {
    match makes {
        Makes::Pattern(follow) => follow.inset(),
        Makes::Stringers => Length::ZERO,
    }
}

/// The part made smaller by what follows its edge, corners kept sharp.
///
/// # Errors
/// A refusal if an edge of the part is too short for it.
pub(super) fn piece(part: &Contour<Role>, makes: Makes) -> Result<Contour<Role>, Refusals> {
    let inset = inset_of(makes);
    if inset <= Length::ZERO {
        return Ok(part.clone());
    }
    inset_sharp(part, inset.as_mm()).map_err(|problem| {
        let place = match problem {
            OffsetProblem::EdgeVanishes(role) => place_of(role),
            OffsetProblem::NoContour => "outline".into(),
        };
        interference(place, Clash::EdgeLost(inset))
    })
}

/// What following the pattern does to the part.
pub(super) fn followed(makes: Makes, notch_width: Option<Length>) -> Vec<Finding> {
    let Makes::Pattern(Follow::Bushing { outside, bit }) = makes else { return Vec::new() };
    let inset = (outside - bit) / 2.0;
    let mut findings = vec![
        codes::NoseRounded { radius: inset, short: inset * (2_f64.sqrt() - 1.0) }.at("noses"),
        codes::CornerRounded { radius: bit / 2.0 }.at("inside corners"),
    ];
    if let Some(width) = notch_width.filter(|width| *width < bit) {
        findings.push(codes::BitTooWide { measured: bit, limit: width }.at("plate notch"));
    }
    findings
}
