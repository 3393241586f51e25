//! What there is to say about the tabs of a sheet, in figures.

use super::roomy_spacing;
use crate::cam::plan::program::Placed;
use crate::cam::plan::span::inside;
use crate::cam::plan::tabs::{FEWEST, Tab};
use crate::diagnostics::codes::{self, Pairs};
use crate::diagnostics::{Count, Finding, Numbered, Place};
use crate::geometry::Point;
use crate::profile::Machine;
use crate::units::Length;

/// The findings about tabs: which pieces are tied to which, have few, or have them all on one side.
pub(super) fn about(
    pieces: &[Placed],
    tabs: &[Vec<Tab>],
    centers: &[Point],
    ties: &[(usize, usize)],
    machine: &Machine,
) -> Vec<Finding> {
    let mut findings = Vec::new();
    if !ties.is_empty() {
        findings.push(tied_together(ties, machine));
    }
    for (i, piece) in pieces.iter().enumerate() {
        let place = Place::NthNamed(Numbered::Piece, i + 1, piece.name.clone());
        findings.extend(of_piece(place, &tabs[i], centers[i]));
    }
    findings
}

/// The finding about the tabs of one piece, where they are fewer than hold it or all on one side of
/// its centre of area.
pub(in crate::cam::plan) fn of_piece(
    place: impl Into<Place>,
    tabs: &[Tab],
    center: Point,
) -> Option<Finding> {
    let (depth, count) = (inside(tabs, center), Count::from(tabs.len()));
    if tabs.len() < FEWEST {
        return Some(codes::TabsFew { measured: count, limit: Count::from(FEWEST) }.at(place));
    }
    (depth < 0.0)
        .then(|| codes::TabsOneSided { measured: Length::mm(-depth), tabs: count }.at(place))
}

/// Said where pieces are tied to each other.
fn tied_together(ties: &[(usize, usize)], machine: &Machine) -> Finding {
    let mut pairs: Vec<(usize, usize)> =
        ties.iter().map(|&(a, b)| (a.min(b) + 1, a.max(b) + 1)).collect();
    pairs.sort_unstable();
    pairs.dedup();
    let (measured, roomy) = (Count::from(ties.len()), roomy_spacing(machine));
    codes::TiesBetweenPieces { measured, pairs: Pairs(pairs), roomy }.at("tabs")
}
