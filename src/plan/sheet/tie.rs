//! What holds every piece while it is cut: tabs to wood that stays, and where none stays between two pieces, ties from one
//! to the other that both cuts leave.

use super::LEAST_WEB_IN;
use super::around::Around;
use super::begin::Begin;
use super::tied_together;
use crate::finding::{Finding, Severity};
use crate::geometry::Point;
use crate::plan::program::Placed;
use crate::plan::router::{Depth, Entry};
use crate::plan::tabs::{self, FEWEST, Tab};
use crate::units::Length;

/// The chosen rounds with what lies round them.
pub(super) struct Tied<'a> {
    around: &'a Around<'a>,
    depth: Depth,
    begins: Vec<&'a Begin>,
}

/// From one place that is looked at for a tie to the next, in mm.
const LOOK_MM: f64 = 10.0;
/// How far the two cuts of a tie may be from square over each other, in mm.
const SQUARE_MM: f64 = 1.0;
/// The least distance between the middles of two tabs, in footprints.
const LEAST_STEP: f64 = 1.25;

impl<'a> Tied<'a> {
    pub fn new(around: &'a Around<'a>, depth: Depth, begins: Vec<&'a Begin>) -> Tied<'a> {
        Tied { around, depth, begins }
    }

    /// The tabs of every piece, and what there is to say about them.
    pub fn tabs(&self, pieces: &[Placed]) -> (Vec<Vec<Tab>>, Vec<Finding>) {
        let mut tabs: Vec<Vec<Tab>> = (0..self.begins.len()).map(|i| self.to_the_sheet(i)).collect();
        let mut ties = 0;
        for piece in 0..tabs.len() {
            if tabs[piece].len() < FEWEST {
                ties += self.tie(piece, &mut tabs);
            }
        }
        let mut findings = Vec::new();
        if ties > 0 {
            findings.push(tied_together(ties, self.around.machine()));
        }
        for (piece, tabs) in tabs.iter_mut().enumerate() {
            tabs.sort_by(|a, b| a.along_mm.total_cmp(&b.along_mm));
            if tabs.len() < FEWEST {
                let place = format!("piece {}, {}", piece + 1, pieces[piece].name);
                let finding = Finding::new("tabs-few", Severity::Warning, place);
                let words = format!("{} tabs found room on straight edges", tabs.len());
                findings.push(finding.figures(words, "3 or more: hold the piece down"));
            }
        }
        (tabs, findings)
    }

    fn entry(&self, piece: usize) -> Option<&Entry> {
        match self.begins[piece] {
            Begin::Cutter { entry, .. } => Some(entry),
            Begin::Beam { .. } => None,
        }
    }

    fn keep_clear(&self, piece: usize) -> (f64, f64) {
        self.entry(piece).map_or((0.0, 0.0), |entry| entry.keep_clear(self.depth.cutter / 2.0))
    }

    /// Tabs to wood that no cut takes.
    fn to_the_sheet(&self, piece: usize) -> Vec<Tab> {
        let (cutter, web) = (self.depth.cutter, Length::inches(LEAST_WEB_IN).as_mm());
        // From the tool's path: half its own kerf, the web, and the neighbour's whole kerf.
        let to_others = 0.5 * cutter + web + cutter;
        let to_edge = 0.5 * cutter + web;
        let holds = |p: Point| {
            self.around.to_others(p, piece, 2.0 * to_others) >= to_others - SAME_MM
                && self.around.to_edge(p) >= to_edge - SAME_MM
        };
        tabs::place(self.begins[piece].round(), self.depth.shape, cutter, self.keep_clear(piece), &holds)
    }

    /// Ties a piece to its neighbours until it is held; how many.
    fn tie(&self, piece: usize, tabs: &mut [Vec<Tab>]) -> usize {
        let footprint = self.depth.shape.footprint();
        let mut ties = 0;
        let spots = tabs::spots(
            self.begins[piece].round(),
            self.depth.shape,
            self.depth.cutter,
            self.keep_clear(piece),
            LOOK_MM,
        );
        for spot in spots {
            if tabs[piece].len() >= FEWEST {
                break;
            }
            if !is_apart(&tabs[piece], spot.along_mm, footprint) {
                continue;
            }
            let Some((neighbour, twin)) = self.twin(piece, &spot) else { continue };
            if is_apart(&tabs[neighbour], twin.along_mm, footprint) {
                tabs[piece].push(spot);
                tabs[neighbour].push(twin);
                ties += 1;
            }
        }
        ties
    }

    /// The tab on the neighbour's path that leaves the same wood.
    fn twin(&self, piece: usize, spot: &Tab) -> Option<(usize, Tab)> {
        let neighbour = self.around.nearest(spot.at, piece, 3.0 * self.depth.cutter)?;
        let round = self.begins[neighbour].round();
        let clear = self.keep_clear(neighbour);
        let spots = tabs::spots(round, self.depth.shape, self.depth.cutter, clear, LOOK_MM);
        let foot = round.foot(spot.at)?;
        let (at, along_mm, role) = foot;
        // Its whole footprint must stand where tabs may stand: between two spots of the same edge.
        let before = spots.iter().any(|s| s.role == role && s.along_mm <= along_mm && along_mm - s.along_mm <= LOOK_MM);
        let behind = spots.iter().any(|s| s.role == role && s.along_mm >= along_mm && s.along_mm - along_mm <= LOOK_MM);
        let square = round.is_square(spot.at, along_mm, SQUARE_MM);
        (before && behind && square).then_some((neighbour, Tab { at, along_mm, role, ..*spot }))
    }
}

/// Rounding of distances along a path, in mm.
const SAME_MM: f64 = 1e-6;

fn is_apart(tabs: &[Tab], along: f64, footprint: f64) -> bool {
    tabs.iter().all(|tab| (tab.along_mm - along).abs() >= LEAST_STEP * footprint)
}
