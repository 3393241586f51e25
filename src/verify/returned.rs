//! A drawing that somebody else drew anew: turned, mirrored, with the kerf in it, or with edges
//! that are off.

use super::boundary::{Boundary, Feature};
use super::deviation::deviation;
use super::expectation::Wanted;
use super::farthest::TooTangled;
use super::fit::{Fit, Offset, Straightened, best_fit};
use super::holding::{Drawn, Held, TOLERANCE, Wrong, turn};
use super::limits::KERF_MM;
use super::verdict::{PlacedAt, Recognised, Verdict};
use crate::diagnostics::Millimetres;
use crate::diagnostics::codes::{self, KerfOf, KerfSide};
use crate::geometry::tolerance::PROOF_MM;

/// Judges a closed shape where it fits best; `plain` is how it is judged by its box, and stays if
/// nothing fits better.
pub(super) fn returned(
    drawn: &Drawn,
    file: &str,
    e: &Wanted<'_>,
    boundary: &Boundary,
    plain: Option<Held>,
) -> Result<Option<Held>, TooTangled> {
    let ring = Straightened::new(&drawn.shape.segments).filter(|_| drawn.is_closed());
    let Some(ring) = ring else { return Ok(plain) };
    match likely(&ring, e) {
        Some(fit) if fit.offset_mm.abs() > 0.0 => {
            let is_path = (fit.offset_mm - path_offset(e)).abs() <= PROOF_MM;
            if is_path
                && plain
                    .as_ref()
                    .is_some_and(|held| held.verdict.what == Recognised::CompensatedDrawing)
            {
                return Ok(plain);
            }
            let path =
                if is_path { Some(drawn.as_path(e, boundary, &fit.placement)?) } else { None };
            let path = path.filter(|path| path.wrongs.is_empty());
            Ok(Some(path.unwrap_or_else(|| offset(&fit, file, e)).with_its_turn(file)))
        }
        Some(fit) => Ok(Some(off(drawn.as_part(e, &fit.placement)?, &fit, e).with_its_turn(file))),
        None => Ok(likely(&ring.mirrored(), e).map(|fit| mirrored(&fit, file, e)).or(plain)),
    }
}

/// The fit that makes the ring this part: edge on edge, or all of them off by one distance.
fn likely(ring: &Straightened, e: &Wanted<'_>) -> Option<Fit> {
    let plain = best_fit(ring, e.part, Offset::None);
    if plain.as_ref().is_some_and(Fit::is_exact) {
        return plain;
    }
    let is_kerf = |fit: &Fit| {
        fit.offset_mm.abs() >= KERF_MM.0 && fit.offset_mm.abs() <= KERF_MM.1 && fit.is_likely()
    };
    let even = best_fit(ring, e.part, Offset::Uniform).filter(is_kerf);
    let is_better = |even: &Fit| plain.as_ref().is_none_or(|plain| even.cost < plain.cost / 2.0);
    even.filter(is_better).or(plain.filter(Fit::is_likely))
}

/// How far outside the part this machine's tool runs.
fn path_offset(e: &Wanted<'_>) -> f64 {
    e.machine.tool_radius().as_mm() - e.inset.as_mm()
}

/// What is off, edge by edge; of what else was found, that which no edge explains.
fn off(mut held: Held, fit: &Fit, e: &Wanted<'_>) -> Held {
    let count = fit.off.len();
    let worst = |i: usize| fit.off[i % count].map_or(0.0, |[a, b]| a.abs().max(b.abs()));
    let explained = |i: usize| [i + count - 1, i, i + 1].into_iter().map(worst).fold(0.0, f64::max);
    let is_explained = |(edge, off): (usize, f64)| {
        let by = explained(edge);
        by > PROOF_MM && off <= 1.5 * by + PROOF_MM
    };
    held.wrongs.retain(|wrong| !wrong.edge.is_some_and(is_explained));
    held.wrongs.extend(edges(fit, e));
    held
}

fn edges<'a>(fit: &'a Fit, e: &'a Wanted<'a>) -> impl Iterator<Item = Wrong> + 'a {
    let told = fit
        .off
        .iter()
        .zip(e.part.edges())
        .filter_map(|(off, edge)| Some((edge.role, deviation(edge.role, *off)?)));
    told.map(|(role, off)| Wrong::from(off.at(Feature::Edge(role))))
}

fn unproven(fit: &Fit, e: &Wanted<'_>) -> Verdict {
    let bounds = e.part.bounds();
    let extent = bounds.width().hypot(bounds.height());
    let placements = vec![PlacedAt::from(&fit.placement)];
    Verdict { placements, ..Verdict::unproven(Recognised::NominalDrawing, Vec::new(), extent) }
}

fn offset(fit: &Fit, file: &str, e: &Wanted<'_>) -> Held {
    let d = fit.offset_mm;
    let side = if d > 0.0 { KerfSide::Outside } else { KerfSide::Inside };
    let of =
        if (d - path_offset(e)).abs() <= PROOF_MM { KerfOf::ThisMachine } else { KerfOf::Unknown };
    let applied =
        codes::DrawingKerfApplied { measured: Millimetres(d.abs()), side, of, limit: TOLERANCE };
    let mut wrongs = vec![Wrong::from(applied.at(file))];
    wrongs.extend(edges(fit, e));
    let worst = |sign: f64| fit.worst().map(|off| sign * (off + d)).fold(0.0, f64::max);
    let verdict = Verdict { gouge_mm: worst(-1.0), left_mm: worst(1.0), ..unproven(fit, e) };
    Held { verdict, placement: Some(fit.placement), wrongs, wrong_mm: fit.cost }
}

fn mirrored(fit: &Fit, file: &str, e: &Wanted<'_>) -> Held {
    let turn = turn(PlacedAt::from(&fit.placement).turn_deg);
    let mut wrongs = vec![Wrong::from(
        codes::DrawingMirrored { turn, off: Millimetres(fit.offset_mm) }.at(file),
    )];
    wrongs.extend(edges(fit, e));
    Held {
        verdict: Verdict { placements: Vec::new(), ..unproven(fit, e) },
        placement: None,
        wrongs,
        wrong_mm: fit.cost,
    }
}
