//! The piece on the machine: the part itself, or the pattern that something will follow.

use crate::diagnostics::{Finding, GEOMETRY, codes};
use crate::geometry::{Contour, OffsetProblem, inset_sharp};
use crate::measure::{Follow, Makes};
use crate::outline::Role;
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
pub(super) fn piece(part: &Contour<Role>, makes: Makes) -> Result<Contour<Role>, Vec<Finding>> {
    let inset = inset_of(makes);
    if inset <= Length::ZERO {
        return Ok(part.clone());
    }
    inset_sharp(part, inset.as_mm()).map_err(|problem| {
        let place = match problem {
            OffsetProblem::EdgeVanishes(role) => role.to_string(),
            OffsetProblem::NoContour => "outline".to_string(),
        };
        vec![
            Finding::about(codes::Interference::CODE, place)
                .figures(format!("a pattern smaller by {inset} loses this edge"), "every edge kept")
                .source(GEOMETRY),
        ]
    })
}

/// What following the pattern does to the part.
pub(super) fn followed(makes: Makes, notch_width: Option<Length>) -> Vec<Finding> {
    let Makes::Pattern(Follow::Bushing { outside, bit }) = makes else { return Vec::new() };
    let inset = (outside - bit) / 2.0;
    let rounded = format!("rounded to a radius of {inset}, {} short at the tip", inset * (2f64.sqrt() - 1.0));
    let mut findings = vec![
        Finding::about(codes::NoseRounded::CODE, "noses").figures(rounded, "sharp").source(GEOMETRY),
        Finding::about(codes::CornerRounded::CODE, "inside corners")
            .figures(format!("no tighter than the bit's radius of {}", bit / 2.0), "square")
            .source(GEOMETRY),
    ];
    if let Some(width) = notch_width.filter(|width| *width < bit) {
        findings.push(
            Finding::about(codes::BitTooWide::CODE, "plate notch")
                .figures(format!("bit {bit}"), format!("at most the notch's {width}"))
                .source(GEOMETRY),
        );
    }
    findings
}
