//! The layers of a drawing beside the one to cut: what touches the part there is refused, the rest
//! is listed.
//!
//! Layers REF and STOCK are never cut, and are looked at beside these. Layer MARK may have what the
//! job declares, layer POCKET the pockets of a part that has some, layer DRILL its holes. Of what
//! cannot be read as lines, notes are listed and anything else is refused, for where it lies is not
//! known.

use std::collections::{BTreeMap, HashSet};

use super::contents::{Drawing, Figure, Odd};
use super::drawing::{CUT, POCKET};
use super::drilled::DRILL;
use super::expectation::{Expectation, Piece};
use super::farthest::{Farthest, TooTangled};
use super::findings::Findings;
use super::for_people;
use super::limits::{GAP_MM, JOIN_MM, MOST_PAIRS};
use super::pair::least_distance;
use super::rings;
use super::shape::Shape;
use super::verdict::{Recognised, Verdict};
use crate::diagnostics::codes::{self, Kinds, Tangle};
use crate::diagnostics::{Count, Millimetres};
use crate::geometry::tolerance::PROOF_MM;
use crate::geometry::{Placement, Point, Segment, Turn, Vector};

/// Layer of the marks.
pub(super) const MARK: &str = "MARK";
/// Layers that are never cut.
pub(super) const NEVER_CUT: [&str; 2] = ["STOCK", "REF"];
/// Entities that nobody cuts.
const NOTES: [&str; 14] = [
    "ACAD_PROXY_ENTITY",
    "ARC_DIMENSION",
    "ATTDEF",
    "ATTRIB",
    "DIMENSION",
    "IMAGE",
    "LEADER",
    "MTEXT",
    "MULTILEADER",
    "RTEXT",
    "TEXT",
    "TOLERANCE",
    "VIEWPORT",
    "WIPEOUT",
];

fn is(layer: &str, name: &str) -> bool {
    layer.eq_ignore_ascii_case(name)
}

/// Whether anything is on the layer of the lines to cut.
pub(super) fn is_named(drawing: &Drawing) -> bool {
    let mut layers =
        drawing.figures.iter().map(|f| &f.layer).chain(drawing.odd.iter().map(|o| &o.layer));
    layers.any(|layer| is(layer, CUT))
}

/// Whether a layer is to be cut: the one that is named so, or else any but those with names of
/// their own.
pub(super) fn is_to_cut(layer: &str, named: bool) -> bool {
    let known = [MARK, POCKET, DRILL].into_iter().chain(NEVER_CUT);
    if named { is(layer, CUT) } else { !known.into_iter().any(|name| is(layer, name)) }
}

/// What lies on layers that are judged: lines to cut, marks, pockets, holes.
pub(super) fn judged(drawing: &Drawing) -> impl Iterator<Item = &Figure> {
    let named = is_named(drawing);
    let is_judged = move |layer: &str| {
        is_to_cut(layer, named) || [MARK, POCKET, DRILL].iter().any(|name| is(layer, name))
    };
    drawing.figures.iter().filter(move |figure| is_judged(&figure.layer))
}

/// The names of layers that are judged, in capitals: those that are always, and where the part
/// lies.
pub(super) fn names_judged(drawing: &Drawing) -> HashSet<String> {
    let always = [CUT, MARK, POCKET, DRILL].into_iter().map(str::to_string);
    always.chain(judged(drawing).map(|figure| figure.layer.to_ascii_uppercase())).collect()
}

/// Tells each layer that is judged and that a shop does not see.
pub(super) fn tell_hidden(drawing: &Drawing, findings: &mut Findings<'_>) {
    let mut looked_at = HashSet::new();
    for figure in judged(drawing) {
        let is_first = looked_at.insert(figure.layer.to_ascii_uppercase());
        if let Some(how) = drawing.layers.hidden(&figure.layer).filter(|_| is_first) {
            let layer = figure.layer.escape_debug().to_string();
            findings.at_line(codes::DrawingHidden { layer, how }, figure.line);
        }
    }
}

/// Whether an entity that is no line is a note.
pub(super) fn is_note(odd: &Odd) -> bool {
    odd.how.is_empty() && NOTES.contains(&odd.kind.as_str())
}

/// The lines of notes that [`with_layers`] counts by their layer.
pub(super) fn lines_told_of(drawing: &Drawing) -> HashSet<usize> {
    let named = is_named(drawing);
    let is_told = |odd: &&Odd| is_note(odd) && is_beside(&odd.layer, named);
    drawing.odd.iter().filter(is_told).map(|odd| odd.line).collect()
}

/// Whether a layer is neither to be cut nor for people alone.
fn is_beside(layer: &str, named: bool) -> bool {
    !is_to_cut(layer, named) && !NEVER_CUT.iter().any(|name| is(layer, name))
}

/// The verdict with what the other layers give to say.
pub(super) fn with_layers(
    drawing: &Drawing,
    file: &str,
    e: &Expectation<'_>,
    piece: &Piece,
    mut verdict: Verdict,
) -> Verdict {
    let mut findings = Findings::new(file);
    let beside = Beside::new(drawing, e, piece, &verdict);
    if let Err(TooTangled) =
        beside.figures(&mut findings).and_then(|()| beside.missing(&mut findings))
    {
        findings.at_file(codes::TooTangled { what: Tangle::OtherLayers });
    }
    verdict.findings.extend(findings.finish());
    verdict
}

/// What lies on other layers, and what it is held against.
struct Beside<'a> {
    drawing: &'a Drawing,
    piece: &'a Piece,
    named: bool,
    /// The part where it was found; nothing where it was not.
    part: Shape,
    /// What may be on layer MARK.
    marks: Shape,
}

impl<'a> Beside<'a> {
    fn new(drawing: &'a Drawing, e: &Expectation<'_>, piece: &'a Piece, verdict: &Verdict) -> Self {
        let at = verdict.placements.first().map(Placement::from);
        let placed = |segments: Vec<Segment>| {
            let at = at.as_ref();
            Shape::new(at.iter().flat_map(|at| segments.iter().map(|s| s.placed(at))).collect())
        };
        let inset = match verdict.what {
            Recognised::CompensatedDrawing => e.machine.tool_radius().as_mm(),
            Recognised::NominalDrawing | Recognised::Program | Recognised::Marks => 0.0,
        };
        let part = placed(piece.part.edges().iter().map(|edge| edge.segment).collect());
        Beside {
            drawing,
            piece,
            named: is_named(drawing),
            part,
            marks: placed(declared(piece, inset)),
        }
    }

    fn figures(&self, findings: &mut Findings<'_>) -> Result<(), TooTangled> {
        let mut marks = Farthest::new(&self.marks);
        let mut listed: BTreeMap<&str, BTreeMap<&str, usize>> = BTreeMap::new();
        let mut pairs = 0;
        // Layer DRILL is held against the part's holes, circle by circle.
        let beside = |figure: &&Figure| self.is_beside(&figure.layer) && !is(&figure.layer, DRILL);
        for figure in self.drawing.figures.iter().filter(beside) {
            let is_mark = is(&figure.layer, MARK);
            if is_mark && is_on(&self.marks, &mut marks, figure)?
                || is(&figure.layer, POCKET) && !self.piece.pockets.is_empty()
            {
                continue;
            }
            match self.touched(figure, &mut pairs)? {
                Some(at) if is_mark || is(&figure.layer, POCKET) => {
                    let (layer, x, y) = on_layer(figure, at);
                    findings.at_line(codes::DrawingMark { layer, x, y }, figure.line);
                }
                Some(at) => {
                    let (layer, x, y) = on_layer(figure, at);
                    findings.at_line(codes::DrawingOtherLayer { layer, x, y }, figure.line);
                }
                None => *listed.entry(&figure.layer).or_default().entry("lines").or_default() += 1,
            }
        }
        for_people::tell(self.drawing, &self.part, &mut marks, findings)?;
        for odd in self.drawing.odd.iter().filter(|odd| self.is_beside(&odd.layer)) {
            if is_note(odd) {
                *listed.entry(&odd.layer).or_default().entry(&odd.kind).or_default() += 1;
            } else {
                let layer = odd.layer.escape_debug().to_string();
                findings.at_line(codes::DrawingEntity { entity: odd.told(), layer }, odd.line);
            }
        }
        for (layer, kinds) in listed {
            let (layer, measured) =
                (layer.escape_debug().to_string(), Count::from(kinds.values().sum::<usize>()));
            let kinds =
                Kinds(kinds.into_iter().map(|(kind, count)| (kind.to_string(), count)).collect());
            findings.at_file(codes::DrawingLayerNotJudged { layer, measured, kinds });
        }
        Ok(())
    }

    /// Tells how much of the declared marks is not drawn.
    fn missing(&self, findings: &mut Findings<'_>) -> Result<(), TooTangled> {
        let on_mark: Vec<&Figure> =
            self.drawing.figures.iter().filter(|figure| is(&figure.layer, MARK)).collect();
        let declared = || self.marks.segments.iter().filter(|segment| segment.length() > GAP_MM);
        // A drawing for a shop that only cuts has none, by design.
        if on_mark.is_empty() && declared().next().is_some() {
            let limit = Count::from(declared().count());
            findings.at_file(codes::DrawingWithoutMarks { limit });
            return Ok(());
        }
        let again = drawn_again(&on_mark);
        if again > 0 {
            findings.at_file(codes::DrawingMarkDoubled { measured: Count::from(again) });
        }
        let drawn = on_mark.iter().flat_map(|figure| figure.segments.iter().copied()).collect();
        let drawn = Shape::new(drawn);
        let mut drawn = Farthest::new(&drawn);
        let mut missing = 0;
        for segment in declared() {
            missing += usize::from(!drawn.beyond(segment, PROOF_MM)?.is_empty());
        }
        if missing > 0 {
            let (measured, limit) = (Count::from(missing), Count::from(declared().count()));
            findings.at_file(codes::DrawingMarksMissing { measured, limit });
        }
        Ok(())
    }

    fn is_beside(&self, layer: &str) -> bool {
        is_beside(layer, self.named)
    }

    /// Where a figure touches the part or lies in it.
    fn touched(&self, figure: &Figure, pairs: &mut usize) -> Result<Option<Point>, TooTangled> {
        let mut near = Vec::new();
        for segment in &figure.segments {
            self.part.near(segment.bounds().grown(JOIN_MM), &mut near);
            *pairs += near.len();
            if *pairs > MOST_PAIRS {
                return Err(TooTangled);
            }
            let touch = near.iter().map(|&i| least_distance(segment, &self.part.segments[i]));
            let touch = touch
                .filter(|(distance, _)| *distance <= JOIN_MM)
                .map(|(_, share)| segment.point_at(share));
            let middle = segment.point_at(0.5);
            let inside = Some(middle).filter(|&middle| self.part.holds(middle));
            if let Some(at) = touch.fold(inside, |found, at| found.or(Some(at))) {
                return Ok(Some(at));
            }
        }
        Ok(None)
    }
}

/// The layer of a figure, and where it touches the part.
fn on_layer(figure: &Figure, at: Point) -> (String, Millimetres, Millimetres) {
    (figure.layer.escape_debug().to_string(), Millimetres(at.x), Millimetres(at.y))
}

/// The strokes and circles that a piece may have on layer MARK; circles smaller by `inset`.
fn declared(piece: &Piece, inset: f64) -> Vec<Segment> {
    let line = |pair: &[Point]| Segment::Line { from: pair[0], to: pair[1] };
    let strokes = piece.drawn.strokes.iter().flat_map(|points| points.windows(2).map(line));
    let circles = piece.drawn.holes.iter().filter(|hole| hole.radius_mm > inset).flat_map(|hole| {
        let center = hole.center;
        let out = Vector::new(hole.radius_mm - inset, 0.0);
        [(center + out, center - out), (center - out, center + out)]
            .map(|(from, to)| Segment::Arc { from, to, center, turn: Turn::Left })
    });
    strokes.chain(circles).collect()
}

/// Whether all of a figure lies on declared marks; what has no length is where a tool goes down.
fn is_on(marks: &Shape, farthest: &mut Farthest<'_>, figure: &Figure) -> Result<bool, TooTangled> {
    let is_near = |p: Point| marks.nearest(p).is_some_and(|(_, far)| far <= PROOF_MM);
    for segment in &figure.segments {
        let is_off = match segment.length() > GAP_MM {
            true => !farthest.beyond(segment, PROOF_MM)?.is_empty(),
            false => !is_near(segment.from()),
        };
        if is_off {
            return Ok(false);
        }
    }
    Ok(true)
}

/// How many figures are drawn in the very place of one before them, whichever way round.
fn drawn_again(figures: &[&Figure]) -> usize {
    let mut seen = HashSet::new();
    let mut is_first = |figure: &&&Figure| {
        let mut places: Vec<_> = figure.segments.iter().map(rings::place_either_way).collect();
        places.sort_unstable();
        seen.insert(places)
    };
    figures.iter().filter(|figure| !is_first(figure)).count()
}
