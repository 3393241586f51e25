//! Layers REF and STOCK, which are for people. Texts, points and open lines are let be there, and
//! what goes round the part or lies beside it; whatever else reaches into the part is refused, for
//! not every shop leaves these layers out.

use std::collections::HashSet;

use super::closing::closing;
use super::contents::{Drawing, Figure};
use super::farthest::{Farthest, TooTangled};
use super::findings::Findings;
use super::layers::NEVER_CUT;
use super::limits::{GAP_MM, JOIN_MM};
use super::shape::Shape;
use crate::diagnostics::Millimetres;
use crate::diagnostics::codes::{self, Begins};
use crate::geometry::Point;
use crate::geometry::Segment;
use crate::geometry::tolerance::PROOF_MM;

/// What may stand there beside lines.
const LET_BE: [&str; 3] = ["MTEXT", "POINT", "TEXT"];

fn is_for_people(layer: &str) -> bool {
    NEVER_CUT.iter().any(|name| layer.eq_ignore_ascii_case(name))
}

/// Tells what does not belong there. `part` is where the part was found, `marks` what may be marked
/// on it, which a shop that leaves marks out may have moved here.
pub(super) fn tell(
    drawing: &Drawing,
    part: &Shape,
    marks: &mut Farthest<'_>,
    findings: &mut Findings<'_>,
) -> Result<(), TooTangled> {
    for odd in drawing.odd.iter().filter(|odd| is_for_people(&odd.layer)) {
        if !LET_BE.contains(&odd.kind.as_str()) {
            let begins = Begins(odd.at.map(|at| (Millimetres(at.x), Millimetres(at.y))));
            let (entity, layer) = (odd.told(), odd.layer.escape_debug().to_string());
            findings.at_line(codes::DrawingForPeople { entity, layer, begins }, odd.line);
        }
    }
    let figures: Vec<&Figure> =
        drawing.figures.iter().filter(|figure| is_for_people(&figure.layer)).collect();
    let (mut edges, mut told) = (Farthest::new(part), HashSet::new());
    for (number, segment) in closing(&figures)? {
        if told.contains(&number) {
            continue;
        }
        if let Some(at) = within(segment, part, &mut edges, marks)? {
            told.insert(number);
            let layer = figures[number].layer.escape_debug().to_string();
            let (x, y) = (Millimetres(at.x), Millimetres(at.y));
            findings.at_line(codes::DrawingClosed { layer, x, y }, figures[number].line);
        }
    }
    Ok(())
}

/// Where a segment that is no mark lies within the part, off its edges.
fn within(
    segment: &Segment,
    part: &Shape,
    edges: &mut Farthest<'_>,
    marks: &mut Farthest<'_>,
) -> Result<Option<Point>, TooTangled> {
    let off = edges.beyond(segment, JOIN_MM)?;
    let middles = off.iter().map(|(from, to)| segment.point_at(f64::midpoint(*from, *to)));
    let Some(at) = middles.into_iter().find(|at| part.holds(*at)) else { return Ok(None) };
    let is_mark = segment.length() > GAP_MM && marks.beyond(segment, PROOF_MM)?.is_empty();
    Ok(Some(at).filter(|_| !is_mark))
}
