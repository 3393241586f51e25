//! Registration holes in the waste: round, whole, and where they were declared.

use super::boundary::around;
use super::expectation::{Expectation, Pin};
use super::farthest::TooTangled;
use super::findings::Findings;
use super::proof::{Target, left_at, nearing, reach};
use super::sections::Sections;
use super::shape::Shape;
use super::stroke::Stroke;
use crate::diagnostics::{Count, Millimetres, codes};
use crate::geometry::distance_to_segment;
use crate::geometry::tolerance::PROOF_MM;

/// How far the pin holes are off, in mm.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct PinFigures {
    pub gouge_mm: f64,
    pub left_mm: f64,
}

/// A hole for a pin is cut before the pin is in it: nothing is cut there in any other set-up.
fn check_setups(
    e: &Expectation<'_>,
    cuts: &[Stroke],
    sections: &Sections,
    findings: &mut Findings<'_>,
) {
    for (i, Pin { hole, setup }) in e.pins.iter().enumerate() {
        let elsewhere = cuts.iter().find(|stroke| {
            sections.setup_of(stroke.line) != *setup
                && distance_to_segment(hole.center, &stroke.path) < hole.radius_mm
        });
        if let Some(stroke) = elsewhere {
            let line = Count::from(sections.own(stroke.line));
            let [now, own] = [sections.setup_of(stroke.line), *setup].map(|of| Count::from(of + 1));
            findings.at(codes::PinOtherSetUp { line, now, own }, format!("pin hole {}", i + 1));
        }
    }
}

/// Holds every pin hole against the tool's path, as the boundary of a piece is held. `through` is
/// the path that goes through the material, `cuts` all that touches it.
pub(super) fn check(
    e: &Expectation<'_>,
    cuts: &[Stroke],
    (through, sections): (&Shape, &Sections),
    radius: f64,
    findings: &mut Findings<'_>,
) -> Result<PinFigures, TooTangled> {
    if e.pins.is_empty() || !e.cuts() {
        return Ok(PinFigures::default());
    }
    check_setups(e, cuts, sections, findings);
    let edge = |(i, pin): (usize, &Pin)| around(pin.hole, super::boundary::Feature::Pin(i + 1));
    let target = Target::single(e.pins.iter().enumerate().flat_map(edge).collect());
    let (gouging, _) = nearing(&target, cuts, radius)?;
    for gouge in &gouging.gouges {
        let (measured, limit) = (Millimetres(gouge.depth_mm), Millimetres(PROOF_MM));
        let found =
            codes::PinDiffers { line: Count::from(sections.own(gouge.line)), measured, limit };
        findings.at(found, target.place(gouge.edge));
    }
    let reach = reach(&target, through, radius, |_| true)?;
    for uncut in &reach.uncut {
        let length = target.edges[uncut.edge].segment.length() * (uncut.to - uncut.from);
        findings.at(codes::PinMissing { measured: Millimetres(length) }, target.place(uncut.edge));
    }
    let left = left_at(&target, through, radius, reach.uncut.iter().copied())?;
    Ok(PinFigures { gouge_mm: gouging.deepest_mm, left_mm: left.max(reach.left_mm) })
}
