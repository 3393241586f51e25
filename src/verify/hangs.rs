//! What hangs together when the program has run: every piece, and all waste larger than a coin, must hang by wood of a
//! least width on what holds the stock. From the cuts of the file alone.
//!
//! A cut only takes wood away, so that with the same hold the end is the worst moment; a shift takes the clamps along. It is
//! asked of cutters only: what a beam frees lies on the bed by its own weight, and nothing pushes it.

use super::boundary::Boundary;
use super::expectation::{Expectation, Laid, Tabs};
use super::farthest::TooTangled;
use super::findings::Findings;
use super::proof::Target;
use super::stroke::Stroke;
use super::verdict::{Component, Holding};
use crate::diagnostics::{Code, codes};
use crate::geometry::hanging::{Anchor, Cutting, Loose, Piece};
use crate::geometry::tolerance::{COIN_MM2, LEAST_WEB_MM};
use crate::geometry::{Bounds, Segment};
use crate::profile::Form;

/// A piece within this of the stock's edge has that for an edge of its own, in mm.
const OWN_EDGE_MM: f64 = 1.0;

/// Follows what hangs together and tells what does not.
pub(super) fn check(
    e: &Expectation,
    boundaries: &[Boundary],
    laid: &[Laid],
    target: &Target,
    through: &[Stroke],
    findings: &mut Findings,
) -> Result<Holding, TooTangled> {
    let ring = |copy: &Laid| boundaries[copy.piece].ring.iter().map(|side| side.placed(&copy.placement)).collect();
    let bodies: Vec<Vec<Segment>> = laid.iter().map(ring).collect();
    let ways: Vec<Segment> = through.iter().map(|stroke| stroke.path).collect();
    let on_own_edges = e.form == Form::Board && bodies.iter().all(|ring| comes_to_edge(ring, e.stock.bounds()));
    let clamps: Vec<Bounds> = e.clamps.iter().map(|clamp| clamp.place).collect();
    let (anchor, held_by) = match &clamps[..] {
        [] if on_own_edges => (Anchor::Bodies, "the clamped board"),
        [] => (Anchor::Edge, "the stock's rim"),
        clamps => (Anchor::Under(clamps), "the clamped wood"),
    };
    let cutting = Cutting {
        plate: e.stock.bounds(),
        ways: &ways,
        radius: e.machine.tool_radius().as_mm(),
        bodies: &bodies,
        anchor,
        web: LEAST_WEB_MM,
        crumb: COIN_MM2,
    };
    let hanging = cutting.hanging().ok_or(TooTangled)?;
    let told = Told { codes: Promised::of(e), held_by };
    let labels = (0..laid.len()).map(|i| target.label(i));
    let pieces: Vec<(String, bool)> = labels.zip(hanging.bodies).collect();
    for (label, _) in pieces.iter().filter(|(_, hangs)| !hangs) {
        told.part(label.clone(), findings);
    }
    for (waste, how) in &hanging.loose {
        told.waste(waste, *how, findings);
    }
    let component = |(part, held): &(Piece, bool)| Component { area_mm2: part.area, bounds: part.bounds, held: *held };
    let by_thin_wood = hanging.loose.iter().filter(|(_, how)| *how == Loose::ByThinWood);
    Ok(Holding {
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

/// Whether the file promises to hold what it cuts: one that declares its tabs does; of any other nobody knows what else
/// holds the work.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Promised {
    Yes,
    No,
}

impl Promised {
    fn of(e: &Expectation) -> Promised {
        match e.tabs {
            Tabs::Declared(_) => Promised::Yes,
            Tabs::ByRule => Promised::No,
        }
    }
}

struct Told {
    codes: Promised,
    held_by: &'static str,
}

impl Told {
    fn limit(&self) -> String {
        format!("wood {LEAST_WEB_MM:.2} mm wide or wider to {}", self.held_by)
    }

    fn code(&self, promised: Code, else_: Code) -> Code {
        if self.codes == Promised::Yes { promised } else { else_ }
    }

    fn part(&self, label: String, findings: &mut Findings) {
        let code = self.code(codes::PartCutFree::CODE, codes::LoosePart::CODE);
        findings.at(code, label, format!("nothing ties it to {}", self.held_by), self.limit());
    }

    fn waste(&self, waste: &Piece, how: Loose, findings: &mut Findings) {
        let code = self.code(codes::WasteCutFree::CODE, codes::WasteLoose::CODE);
        let how = match how {
            Loose::Free => "cut free all round",
            Loose::ByThinWood => "held by thinner wood only",
        };
        let (w, h) = (waste.bounds.width(), waste.bounds.height());
        let measured = format!("{:.0} mm2 in a box of {w:.0} by {h:.0} mm, {how}", waste.area);
        findings.at(
            code,
            format!("waste at x {:.0} y {:.0} mm", waste.within.x, waste.within.y),
            measured,
            self.limit(),
        );
    }
}
