//! A sheet that two cutters cut, one after the other: the roughing one farther off every piece by
//! what it leaves, then the other on the line, over the same tabs.

use super::begin::Begin;
use super::route::{Errand, route};
use super::{Sheet, Tooled, Tour, cut_of, holes};
use crate::cam::compensate;
use crate::cam::plan::clamps::kept_clear;
use crate::cam::plan::program::{Placed, Program};
use crate::cam::plan::rough::{AFTER_MARKS, OnLine, Roughing};
use crate::cam::plan::router::Depth;
use crate::cam::plan::tabs::Tab;
use crate::diagnostics::codes::{self, LeadIn};
use crate::diagnostics::{Numbered, Place, Refusals};

/// The kinds as a roughing cutter goes round them, without marks and holes.
///
/// # Errors
/// The refusals, where it finds no room beside a piece.
pub(super) fn kinds(sheet: &Sheet<'_>, kinds: &[Tooled]) -> Result<Vec<Tooled>, Refusals> {
    let roughed = |kind: &Tooled| {
        let path = compensate::roughed(sheet.machine, &kind.path)?;
        Ok(Tooled {
            name: kind.name.clone(),
            piece: kind.piece.clone(),
            path,
            strokes: Vec::new(),
            holes: Vec::new(),
        })
    };
    kinds.iter().map(roughed).collect()
}

/// The same pieces without marks of their own.
pub(super) fn unmarked(pieces: &[Placed]) -> Vec<Placed> {
    pieces.iter().map(|piece| Placed { strokes: Vec::new(), ..piece.clone() }).collect()
}

/// What a roughing cutter does on a sheet.
pub(super) struct Roughed<'a> {
    /// With that cutter.
    pub sheet: &'a Sheet<'a>,
    pub kinds: &'a [Tooled],
    pub pieces: &'a [Placed],
    pub tour: Tour,
}

impl Roughed<'_> {
    /// Its program, kept off the clamps; run after one that marks, or first.
    ///
    /// # Errors
    /// The refusals, where that cannot be.
    pub(super) fn program(self, after_marks: bool) -> Result<Roughing, Refusals> {
        let words = if after_marks { &AFTER_MARKS[..] } else { &[] };
        let cut = cut_of(self.sheet, self.pieces, self.tour, (&[], words)).within_length()?;
        let cut = kept_clear(cut, self.sheet.clamps, self.sheet.machine)?;
        let ledger = self.kinds[0].path.ledger().clone();
        let machine = self.sheet.machine.clone();
        Ok(Roughing { machine, ledger, program: Program { roughs: true, ..cut } })
    }
}

/// What the cutter on the line does after that: holes first, then every outline beside where the
/// roughing cutter began it, in an order of its own.
///
/// # Errors
/// The refusals, where it finds no way in to a piece.
pub(super) fn on_the_line(
    sheet: &Sheet<'_>,
    kinds: &[Tooled],
    pieces: &[Placed],
    first: &Tour,
) -> Result<Tour, Refusals> {
    let depth = Depth::of(&sheet.machine.tool, sheet.material.thickness)
        .expect("a machine with a roughing cutter turns another one too");
    let begun = first.route.chosen_rounds(&first.errands, pieces.len());
    let mut errands = Vec::new();
    let mut tabs: Vec<Vec<Tab>> = Vec::new();
    let mut refusals = Vec::new();
    for (i, piece) in pieces.iter().enumerate() {
        let kind = &kinds[piece.kind];
        errands.extend(holes(sheet, kind, piece));
        let (path, placement, arcs) = (&kind.path, &piece.placement, sheet.machine.arcs);
        let line = match begun[i] {
            Begin::Cutter { round, entry, .. } => {
                OnLine { path, placement, arcs, depth }.beside((round, entry), &first.tabs[i])
            }
            Begin::Beam { .. } => None,
        };
        match line {
            Some((round, entry, own)) => {
                let ways = vec![Begin::Cutter { round, entry, rough: None, depth }];
                errands.push(Errand::Outline { piece: i, ways });
                tabs.push(own);
            }
            None => {
                let place = Place::NthNamed(Numbered::Piece, i + 1, piece.name.clone());
                refusals.push(codes::NoLeadRoom { how: LeadIn::OnSheet }.at(place));
            }
        }
    }
    if !refusals.is_empty() {
        return Err(refusals.into());
    }
    let route = route(&errands, sheet.effort);
    Ok(Tour { errands, route, tabs })
}
