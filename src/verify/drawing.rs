//! A drawing held against what is expected: the finished part itself, or the path of the tool's
//! centre.

use super::boundary::{Boundary, NoBoundary};
use super::check_bar;
use super::contents::{Drawing, Figure};
use super::crossing::crossings;
use super::depth_words;
use super::drilled::with_holes;
use super::dxf::read_drawing;
use super::expectation::{Expectation, Piece, Wanted};
use super::farthest::TooTangled;
use super::faults::{Fault, Unit, Wrong, tell};
use super::findings::Findings;
use super::fit::Straightened;
use super::holding::{Drawn, Held};
use super::layers;
use super::limits::SLIP_MM;
use super::placing::{misfit, unit_hint};
use super::pocket_drawing::{off_as_part, off_as_path};
use super::pockets;
use super::returned::returned;
use super::rings::{Ring, join};
use super::said_of_lines;
use super::spaces;
use super::unit_said::{By, Stated};
use super::verdict::{Recognised, Verdict};
use crate::diagnostics::Error;
use crate::diagnostics::codes::{self, AsWay, DrawnIn, Tangle, UnitBy, UnitHint};
use crate::diagnostics::{Count, Millimetres};
use crate::geometry::tolerance::PROOF_MM;
use crate::geometry::{Bounds, Placement, Segment};
use crate::profile::Form;

/// The layer of the lines to cut.
pub(super) const CUT: &str = "CUT";
/// The layer of the sides of pockets.
pub(super) const POCKET: &str = "POCKET";
/// Shapes whose boxes have areas nearer than this share are alike in size.
const ALIKE_SIZE: f64 = 0.999;

/// Holds a drawing against what is expected: as the finished part with sharp corners, or as the
/// path of the tool's centre, whichever fits. It may lie in the board frame or anywhere, turned by
/// any angle. `file` names it in findings. Of several kinds of pieces it may be any: the first that
/// it is, or else the first of all.
///
/// # Errors
/// Only if the bytes cannot be read as a text drawing at all; everything else is a finding.
pub fn verify_drawing(bytes: &[u8], file: &str, e: &Expectation<'_>) -> Result<Verdict, Error> {
    let drawing = read_drawing(bytes, file)?;
    let stated = drawing.unit.stated();
    let unit = unit_of(&stated, e);
    let drawing = drawing.scaled(unit.mm);
    let mut first = None;
    for piece in &e.pieces {
        let mut findings = Findings::new(file);
        tell_unit(&stated, unit, &mut findings);
        spaces::tell(&drawing, &mut findings);
        layers::tell_hidden(&drawing, &mut findings);
        said_of_lines::tell(&drawing, &mut findings);
        check_bar::tell(&drawing, &mut findings);
        let verdict = held(&drawing, unit, file, &e.wanted(piece), findings);
        let verdict = with_pockets(&drawing, unit, (file, e), piece, verdict);
        let verdict = with_holes(&drawing, file, e, piece, verdict);
        let verdict = layers::with_layers(&drawing, file, e, piece, verdict).settled(file);
        if verdict.is_this_part() {
            return Ok(verdict);
        }
        first.get_or_insert(verdict);
    }
    Ok(first.unwrap_or_else(|| {
        let mut findings = Findings::new(file);
        findings.at_file(codes::ExpectationUnclear { why: "no piece" });
        Verdict::unproven(Recognised::NominalDrawing, findings.finish(), 0.0)
    }))
}

/// Every text and comment of a drawing, in the order they stand: nobody's is judged but the depth
/// of pockets and the unit.
///
/// # Errors
/// If the bytes cannot be read as a text drawing.
pub fn drawing_words(bytes: &[u8], file: &str) -> Result<Vec<DrawnWords>, Error> {
    let drawing = read_drawing(bytes, file)?;
    let told = layers::lines_told_of(&drawing);
    let words = drawing.words.into_iter();
    Ok(words.map(|of| DrawnWords { told: told.contains(&of.line), text: of.text }).collect())
}

/// A text or comment of a drawing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DrawnWords {
    /// What it says.
    pub text: String,
    /// Whether a finding on its layer counts it: who tells of it again tells of it twice.
    pub told: bool,
}

/// The verdict with what layer POCKET gives to say, where the piece has pockets and its outline was
/// recognised.
fn with_pockets(
    drawing: &Drawing,
    unit: Unit,
    (file, e): (&str, &Expectation<'_>),
    piece: &Piece,
    mut verdict: Verdict,
) -> Verdict {
    let Some(at) = verdict.placements.first().filter(|_| !piece.pockets.is_empty()) else {
        return verdict;
    };
    let at = Placement::from(at);
    let figures: Vec<&Figure> =
        drawing.figures.iter().filter(|f| f.layer.eq_ignore_ascii_case(POCKET)).collect();
    let (mut findings, mut faults) = (Findings::new(file), Vec::new());
    let rings = join(&figures, &mut faults);
    tell(&faults, unit, Some(&piece.part.placed(&at)), &mut findings);
    let drawn: Vec<Segment> = rings.into_iter().flat_map(|ring| ring.segments).collect();
    let radius = e.machine.tool_radius().as_mm();
    let off = match verdict.what {
        Recognised::CompensatedDrawing => {
            match pockets::sides(&piece.pockets, piece.corners, radius) {
                Ok(sides) => off_as_path(drawn, &sides, &at, radius),
                Err(NoBoundary(finding)) => {
                    findings.add(*finding);
                    Ok(0.0)
                }
            }
        }
        Recognised::NominalDrawing | Recognised::Program | Recognised::Marks => {
            off_as_part(drawn, &piece.pockets, &at)
        }
    };
    match off {
        Ok(off) if off > 0.0 => {
            let (measured, limit) = (Millimetres(off), Millimetres(PROOF_MM));
            findings.at(codes::PocketDrawnOff { measured, limit }, "layer POCKET");
        }
        Ok(_) => verdict.pockets = piece.pockets.len(),
        Err(TooTangled) => findings.at_file(codes::TooTangled { what: Tangle::Crossings }),
    }
    depth_words::tell(drawing, &piece.pockets, verdict.what, &mut findings);
    verdict.findings.extend(findings.finish());
    verdict
}

/// A drawing held against one piece.
fn held(
    drawing: &Drawing,
    unit: Unit,
    file: &str,
    e: &Wanted<'_>,
    mut findings: Findings<'_>,
) -> Verdict {
    let mut faults = Vec::new();
    let rings = join(&to_cut(drawing, &mut findings), &mut faults);
    let extent = e.part.bounds().width().hypot(e.part.bounds().height());
    let unproven = |findings: Findings<'_>| {
        Verdict::unproven(Recognised::NominalDrawing, findings.finish(), extent)
    };
    let rings = shapes(rings, e, &mut faults, &mut findings);
    if rings.is_empty() {
        tell(&faults, unit, None, &mut findings);
        findings.at_file(codes::DrawingNothing {});
        return unproven(findings);
    }
    let drawn = Drawn::new(rings);
    faults.extend(
        crossings(&drawn.shape)
            .into_iter()
            .map(|(segment, at)| crossed(drawn.strokes[segment].line, at)),
    );
    let boundary = match Boundary::new(e) {
        Ok(boundary) => boundary,
        Err(NoBoundary(finding)) => {
            tell(&faults, unit, None, &mut findings);
            findings.add(*finding);
            return unproven(findings);
        }
    };
    let judged = judge(&drawn, file, e, &boundary);
    let placement = judged.as_ref().ok().and_then(|held| held.as_ref()?.placement);
    tell(
        &faults,
        unit,
        placement.map(|placement| e.part.placed(&placement)).as_ref(),
        &mut findings,
    );
    match judged {
        Ok(Some(held)) => {
            held.wrongs.into_iter().for_each(|wrong| findings.add(wrong.finding));
            Verdict { findings: findings.finish(), ..held.verdict }
        }
        Ok(None) => {
            let found = misfit(drawn.bounds, e.part.bounds());
            let path = misfit(
                drawn.bounds,
                boundary_box(&boundary).grown(e.machine.tool_radius().as_mm()),
            );
            // A drawing that lies askew has a box of its own; its area still tells the unit.
            let hint =
                if found.hint == UnitHint::None { unit_hint(scale(&drawn, e)) } else { found.hint };
            let as_way = AsWay::Of(path.limit, path.limit_width);
            findings.at_file(codes::NotThisPart { hint, as_way, ..found });
            unproven(findings)
        }
        Err(TooTangled) => {
            findings.at_file(codes::TooTangled { what: Tangle::Crossings });
            unproven(findings)
        }
    }
}

/// As it lies if nothing is wrong with it there, or else by the best fit.
fn judge(
    drawn: &Drawn,
    file: &str,
    e: &Wanted<'_>,
    boundary: &Boundary,
) -> Result<Option<Held>, TooTangled> {
    let plain = drawn.best(e, boundary)?;
    match plain {
        Some(held) if held.wrongs.is_empty() => Ok(Some(held.with_its_turn(file))),
        plain => returned(drawn, file, e, boundary, plain),
    }
}

/// How many times the part the drawing is, by their areas: that needs no turn.
fn scale(drawn: &Drawn, e: &Wanted<'_>) -> f64 {
    Straightened::new(&drawn.shape.segments).map_or(0.0, |ring| (ring.area / e.part.area()).sqrt())
}

fn crossed(line: usize, at: crate::geometry::Point) -> Fault {
    Fault { wrong: Wrong::Crossing, line, at }
}

fn unit_of(stated: &Stated, e: &Expectation<'_>) -> Unit {
    Unit { mm: stated.mm.unwrap_or_else(|| e.machine.units.in_mm()) }
}

/// Says by what the unit was taken, where the drawing does not say it as usual, and what speaks
/// against it.
fn tell_unit(stated: &Stated, unit: Unit, findings: &mut Findings<'_>) {
    if let Some(doubt) = stated.doubt.clone() {
        findings.at_file(codes::DrawingUnitsUnclear { doubt });
        return;
    }
    if let Some((name, measurement)) = stated.apart {
        let unit = name.to_string();
        findings.at_file(codes::DrawingUnitsApart { unit, measurement });
    }
    let by = match stated.by {
        By::Insunits => return,
        By::Comment => UnitBy::Comment,
        By::Measurement => UnitBy::Measurement,
        By::Nothing => UnitBy::Machine,
    };
    let unit = if unit.mm > 1.0 { DrawnIn::Inches } else { DrawnIn::Millimetres };
    findings.at_file(codes::DrawingUnitsAssumed { unit, by });
}

/// The figures on the layer to cut, or, where there is none, on any layer but the ones never cut.
fn to_cut<'d>(drawing: &'d Drawing, findings: &mut Findings<'_>) -> Vec<&'d Figure> {
    let named = layers::is_named(drawing);
    let chosen = |layer: &str| layers::is_to_cut(layer, named);
    for odd in drawing.odd.iter().filter(|odd| chosen(&odd.layer)) {
        if named || !layers::is_note(odd) {
            let layer = odd.layer.escape_debug().to_string();
            findings.at_line(codes::DrawingEntity { entity: odd.told(), layer }, odd.line);
        }
    }
    drawing.figures.iter().filter(|figure| chosen(&figure.layer)).collect()
}

/// The shape to hold against the part. More than one, or an open one, is told; only a board's path
/// may be open.
fn shapes(
    rings: Vec<Ring>,
    e: &Wanted<'_>,
    faults: &mut Vec<Fault>,
    findings: &mut Findings<'_>,
) -> Vec<Ring> {
    let open = rings.iter().filter(|ring| !ring.is_closed()).count();
    if e.form == Form::Board && open == rings.len() && rings.iter().all(|ring| ring.gap() > SLIP_MM)
    {
        return rings;
    }
    faults.extend(rings.iter().filter(|ring| !ring.is_closed()).map(Ring::opening));
    if rings.len() > 1 {
        findings.at_file(codes::DrawingSeveral { measured: Count::from(rings.len()) });
    }
    let most = rings.iter().map(Ring::size).fold(0.0, f64::max);
    // Of two that are alike the first.
    let largest = rings.into_iter().find(|ring| ring.size() >= ALIKE_SIZE * most);
    largest.map(Ring::slip_closed).into_iter().collect()
}

fn boundary_box(boundary: &Boundary) -> Bounds {
    let first = boundary.edges[0].segment.bounds();
    boundary.edges.iter().fold(first, |all, edge| all.joined(edge.segment.bounds()))
}
