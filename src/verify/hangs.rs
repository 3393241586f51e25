//! What hangs together when the program has run: every piece, and all waste larger than a coin,
//! must hang by wood of a least width on what holds the stock. From the cuts of the file alone.
//!
//! A cut only takes wood away, so that with the same hold the end is the worst moment. Clamps stand
//! on the table: after a shift they hold other wood, so that the end of every set-up is looked at,
//! with all that was cut until then. It is asked of cutters only: what a beam frees lies on the bed
//! by its own weight, and nothing pushes it.

use super::boundary::Boundary;
use super::expectation::{Expectation, Laid, Tabs};
use super::farthest::TooTangled;
use super::findings::Findings;
use super::limits::FEWEST_TABS;
use super::proof::Target;
use super::roughing::First;
use super::sections::Sections;
use super::stroke::Stroke;
use super::verdict::{Component, Holding};
use crate::diagnostics::codes::{self, LooseBy};
use crate::diagnostics::{Count, Figure, Millimetres, Numbered, Place};
use crate::geometry::hanging::{Anchor, Cutting, Loose, Piece};
use crate::geometry::tolerance::{COIN_MM2, LEAST_WEB_MM};
use crate::geometry::{Bounds, Segment};
use crate::profile::Form;

/// A piece within this of the stock's edge has that for an edge of its own, in mm.
const OWN_EDGE_MM: f64 = 1.0;
/// Wood that holds is so wide.
const LEAST_WEB: Millimetres = Millimetres(LEAST_WEB_MM);

/// Where a program leaves nothing that holds.
pub(super) struct Cuts<'a> {
    pub parting: &'a [Stroke],
    pub sections: &'a Sections,
    /// What a roughing program has cut before, with its own cutter.
    pub first: Option<&'a First>,
}

/// Follows what hangs together and tells what does not: of several set-ups the first in which
/// something does not.
pub(super) fn check(
    e: &Expectation<'_>,
    boundaries: &[Boundary],
    laid: &[Laid],
    target: &Target,
    cuts: &Cuts<'_>,
    findings: &mut Findings<'_>,
) -> Result<Holding, TooTangled> {
    let bodies = rings(boundaries, laid);
    let last = e.setups.len() - 1;
    // The rim, and a board's own edges, hold in every set-up what they hold in the last.
    let before = if e.clamps.is_empty() { last..last } else { 0..last };
    for setup in before {
        let holding = at_end_of(setup, e, &bodies, target, cuts, findings)?;
        if !holding.holds_all() {
            return Ok(holding);
        }
    }
    at_end_of(last, e, &bodies, target, cuts, findings)
}

/// The edges of every copy where it lies.
pub(super) fn rings(boundaries: &[Boundary], laid: &[Laid]) -> Vec<Vec<Segment>> {
    let ring = |copy: &Laid| {
        boundaries[copy.piece].ring.iter().map(|side| side.placed(&copy.placement)).collect()
    };
    laid.iter().map(ring).collect()
}

/// What hangs together at the end of a set-up; tells what does not.
fn at_end_of(
    setup: usize,
    e: &Expectation<'_>,
    bodies: &[Vec<Segment>],
    target: &Target,
    cuts: &Cuts<'_>,
    findings: &mut Findings<'_>,
) -> Result<Holding, TooTangled> {
    let cut_by_then =
        cuts.parting.iter().filter(|stroke| cuts.sections.setup_of(stroke.line) <= setup);
    let ways: Vec<Segment> = cut_by_then.map(|stroke| stroke.path).collect();
    let on_own_edges =
        e.form == Form::Board && bodies.iter().all(|ring| comes_to_edge(ring, e.stock.bounds()));
    let on_stock =
        |pad: Bounds| Bounds { min: pad.min - e.setups[setup], max: pad.max - e.setups[setup] };
    let clamps: Vec<Bounds> = e.clamps.iter().map(|clamp| on_stock(clamp.pad)).collect();
    let (anchor, held_by) = match &clamps[..] {
        [] if on_own_edges => (Anchor::Bodies, "the clamped board"),
        [] => (Anchor::Edge, "the stock's rim"),
        clamps => (Anchor::Under(clamps), "the clamped wood"),
    };
    let cutting = Cutting {
        plate: e.stock.bounds(),
        ways: &ways,
        radius: e.machine.tool_radius().as_mm(),
        before: cuts.first.map(|first| (&first.ways[..], first.radius)),
        bodies,
        anchor,
        web: LEAST_WEB_MM,
        crumb: COIN_MM2,
    };
    let hanging = cutting.hanging().ok_or(TooTangled)?;
    let several = (e.setups.len() > 1).then_some(setup + 1);
    let told = Told { promised: Promised::of(e), held_by, setup: several };
    let labels = (0..bodies.len()).map(|i| target.label(i));
    let pieces: Vec<(String, bool)> = labels.zip(hanging.bodies).collect();
    for (label, _) in pieces.iter().filter(|(_, hangs)| !hangs) {
        told.part(label.clone(), findings);
    }
    for (waste, how) in &hanging.loose {
        told.waste(waste, *how, findings);
    }
    let component = |(part, held): &(Piece, bool)| Component {
        area_mm2: part.area,
        bounds: part.bounds,
        held: *held,
    };
    let by_thin_wood = hanging.loose.iter().filter(|(_, how)| *how == Loose::ByThinWood);
    Ok(Holding {
        setup: several,
        least_web_mm: LEAST_WEB_MM,
        coin_mm2: COIN_MM2,
        held_by,
        pieces,
        components: hanging.parts.iter().map(component).collect(),
        by_thin_wood: by_thin_wood.map(|(part, _)| component(&(*part, false))).collect(),
    })
}

fn comes_to_edge(ring: &[Segment], stock: Bounds) -> bool {
    let bounds = ring.iter().map(Segment::bounds).reduce(Bounds::joined);
    bounds.is_some_and(|bounds| super::clamps::room_in(stock, bounds) < OWN_EDGE_MM)
}

/// Whether the file promises to hold what it cuts: one that declares its tabs does; of any other
/// nobody knows what else holds the work.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Promised {
    Yes,
    No,
}

impl Promised {
    fn of(e: &Expectation<'_>) -> Self {
        match e.tabs {
            Tabs::Declared(_) => Self::Yes,
            Tabs::ByRule => Self::No,
        }
    }
}

struct Told {
    promised: Promised,
    held_by: &'static str,
    /// Where there are several.
    setup: Option<usize>,
}

impl Told {
    fn part(&self, label: String, findings: &mut Findings<'_>) {
        let (to, place) = (self.held_by, self.place(label));
        match self.promised {
            Promised::Yes => findings.at(codes::PartCutFree { to, limit: LEAST_WEB }, place),
            Promised::No => {
                let (measured, limit) = (Count(0), Count::from(FEWEST_TABS));
                findings.at(codes::LoosePart { measured, to, limit }, place);
            }
        }
    }

    fn place(&self, what: String) -> Place {
        match self.setup {
            Some(setup) => Place::NthNamed(Numbered::SetUp, setup, what),
            None => what.into(),
        }
    }

    fn waste(&self, waste: &Piece, how: Loose, findings: &mut Findings<'_>) {
        let how = match how {
            Loose::Free => LooseBy::AllRound,
            Loose::ByThinWood => LooseBy::ThinWood,
        };
        let whole = |value, unit| Figure { value, unit, digits: 0 };
        let (length, width) =
            (whole(waste.bounds.width(), "mm"), whole(waste.bounds.height(), "mm"));
        let (measured, to, limit) = (whole(waste.area, "mm2"), self.held_by, LEAST_WEB);
        let place =
            self.place(format!("waste at x {:.0} y {:.0} mm", waste.within.x, waste.within.y));
        match self.promised {
            Promised::Yes => {
                findings.at(codes::WasteCutFree { measured, length, width, how, to, limit }, place);
            }
            Promised::No => {
                findings.at(codes::WasteLoose { measured, length, width, how, to, limit }, place);
            }
        }
    }
}
