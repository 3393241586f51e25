//! What there is to say about the tabs of a sheet, in figures.

use super::roomy_spacing;
use crate::diagnostics::{Finding, PRACTICE, codes};
use crate::geometry::Point;
use crate::plan::program::Placed;
use crate::plan::span::inside;
use crate::plan::tabs::{FEWEST, Tab};
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
        let place = format!("piece {}, {}", i + 1, piece.name);
        findings.extend(of_piece(&place, &tabs[i], centers[i]));
    }
    findings
}

/// The finding about the tabs of one piece, where they are fewer than hold it or all on one side of its centre of area.
pub(in crate::plan) fn of_piece(place: &str, tabs: &[Tab], center: Point) -> Option<Finding> {
    let depth = inside(tabs, center);
    if tabs.len() < FEWEST {
        let words = format!("{} tabs found room on straight edges", tabs.len());
        let finding = Finding::about(codes::TabsFew::CODE, place);
        return Some(finding.figures(words, format!("{FEWEST} or more: hold it down")));
    }
    (depth < 0.0).then(|| {
        let words =
            format!("its centre of area lies {} outside the hull of its {} tabs", Length::mm(-depth), tabs.len());
        let finding = Finding::about(codes::TabsOneSided::CODE, place);
        finding.figures(words, "inside it: hold the far side down").source(PRACTICE)
    })
}

/// Said where pieces are tied to each other.
fn tied_together(ties: &[(usize, usize)], machine: &Machine) -> Finding {
    let mut pairs: Vec<(usize, usize)> = ties.iter().map(|&(a, b)| (a.min(b) + 1, a.max(b) + 1)).collect();
    pairs.sort_unstable();
    pairs.dedup();
    const SHOWN: usize = 6;
    let mut named: Vec<String> = pairs.iter().take(SHOWN).map(|(a, b)| format!("{a} to {b}")).collect();
    if pairs.len() > SHOWN {
        named.push(format!("{} more pairs", pairs.len() - SHOWN));
    }
    let count = if ties.len() == 1 { "1 tie".to_string() } else { format!("{} ties", ties.len()) };
    Finding::about(codes::TiesBetweenPieces::CODE, "tabs")
        .figures(
            format!("{count} between pieces ({}): no wood that holds stays between their cuts", named.join(", ")),
            format!("a cut.spacing of {} ties each to the sheet", roomy_spacing(machine)),
        )
        .source(PRACTICE)
}
