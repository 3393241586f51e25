//! What there is to say about the tabs of a sheet, in figures.

use super::roomy_spacing;
use crate::cam::plan::program::Placed;
use crate::cam::plan::span::inside;
use crate::cam::plan::tabs::{FEWEST, Tab, TabShape};
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
    (machine, shape): (&Machine, TabShape),
) -> Vec<Finding> {
    let mut findings = Vec::new();
    if !ties.is_empty() {
        findings.push(tied_together(ties, machine));
    }
    for (i, piece) in pieces.iter().enumerate() {
        let place = Place::NthNamed(Numbered::Piece, i + 1, piece.name.clone());
        findings.extend(of_piece(place, &tabs[i], centers[i], machine, shape));
    }
    findings
}

/// What there is to say of the tabs of one piece, where tabs hold it: they are fewer than the job
/// asks for or than hold it, or all on one side of its centre of area.
pub(in crate::cam::plan) fn of_piece(
    place: impl Into<Place>,
    tabs: &[Tab],
    center: Point,
    machine: &Machine,
    shape: TabShape,
) -> Vec<Finding> {
    let (depth, count) = (inside(tabs, center), Count::from(tabs.len()));
    let found = match shape.count.filter(|asked| tabs.len() < *asked) {
        _ if !machine.tool.ties() => None,
        Some(asked) => {
            let edge = Length::mm(shape.edge(2.0 * machine.tool_radius().as_mm()));
            let limit = Count::from(asked);
            Some(codes::TabsNoRoom { measured: count, limit, edge }.at(place))
        }
        None if tabs.len() < FEWEST => {
            Some(codes::TabsFew { measured: count, limit: Count::from(FEWEST) }.at(place))
        }
        None => (depth < 0.0)
            .then(|| codes::TabsOneSided { measured: Length::mm(-depth), tabs: count }.at(place)),
    };
    found.into_iter().collect()
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
