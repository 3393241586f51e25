//! A drawing held against what is expected: the finished part itself, or the path of the tool's centre.

use super::boundary::{Boundary, NoBoundary};
use super::codes;
use super::crossing::crossings;
use super::drilled::{DRILL, with_holes};
use super::dxf::{Drawing, Figure, read_drawing};
use super::expectation::{Expectation, Piece, Wanted};
use super::farthest::TooTangled;
use super::faults::{Fault, Unit, tell};
use super::findings::Findings;
use super::fit::Straightened;
use super::holding::{Drawn, Held};
use super::limits::SLIP_MM;
use super::placing::{misfit, unit_hint};
use super::pocket_drawing::{off_as_part, off_as_path};
use super::pockets;
use super::returned::returned;
use super::rings::{Ring, join};
use super::verdict::{Recognised, Verdict};
use crate::error::Error;
use crate::geometry::tolerance::PROOF_MM;
use crate::geometry::{Bounds, Placement, Segment, Vector};
use crate::profile::Form;

/// The layer of the lines to cut.
const CUT: &str = "CUT";
/// The layer of the sides of pockets.
const POCKET: &str = "POCKET";
/// Layers that are never cut.
const NOT_CUT: [&str; 5] = [DRILL, "MARK", "POCKET", "STOCK", "REF"];
/// Shapes whose boxes have areas nearer than this share are alike in size.
const ALIKE_SIZE: f64 = 0.999;
/// Entities that would be cut if they were read; others are notes.
const CURVES: [&str; 6] = ["SPLINE", "ELLIPSE", "INSERT", "MLINE", "HELIX", "HATCH"];

/// Holds a drawing against what is expected: as the finished part with sharp corners, or as the path of the tool's
/// centre, whichever fits. It may lie in the board frame or anywhere, turned by any angle. `file` names it in findings.
/// Of several kinds of pieces it may be any: the first that it is, or else the first of all.
///
/// # Errors
/// Only if the bytes cannot be read as a text drawing at all; everything else is a finding.
pub fn verify_drawing(bytes: &[u8], file: &str, e: &Expectation) -> Result<Verdict, Error> {
    let mut first = None;
    for piece in &e.pieces {
        let verdict = held(bytes, file, &e.wanted(piece))?;
        let verdict = with_pockets(bytes, file, e, piece, verdict)?;
        let drawing = read_drawing(bytes, file)?;
        let unit = unit_of(&drawing, &e.wanted(piece), &mut Findings::new(file));
        let verdict = with_holes(&drawing.scaled(unit.mm), file, e, piece, verdict);
        if verdict.is_this_part() {
            return Ok(verdict);
        }
        first.get_or_insert(verdict);
    }
    Ok(first.unwrap_or_else(|| {
        let mut findings = Findings::new(file);
        findings.at_file(codes::EXPECTATION, "no piece", "a piece");
        Verdict::unproven(Recognised::NominalDrawing, findings.finish(), 0.0)
    }))
}

/// The verdict with what layer POCKET gives to say, where the piece has pockets and its outline was recognised.
fn with_pockets(
    bytes: &[u8],
    file: &str,
    e: &Expectation,
    piece: &Piece,
    mut verdict: Verdict,
) -> Result<Verdict, Error> {
    let Some(at) = verdict.placements.first().filter(|_| !piece.pockets.is_empty()) else { return Ok(verdict) };
    let at = Placement::new(Vector::new(at.x_mm, at.y_mm), at.turn_deg.to_radians());
    let drawing = read_drawing(bytes, file)?;
    let unit = unit_of(&drawing, &e.wanted(piece), &mut Findings::new(file));
    let drawing = drawing.scaled(unit.mm);
    let figures: Vec<&Figure> = drawing.figures.iter().filter(|f| f.layer.eq_ignore_ascii_case(POCKET)).collect();
    let drawn: Vec<Segment> = join(&figures, &mut Vec::new()).into_iter().flat_map(|ring| ring.segments).collect();
    let mut findings = Findings::new(file);
    let radius = e.machine.tool_radius().as_mm();
    let off = match verdict.what {
        Recognised::CompensatedDrawing => match pockets::sides(&piece.pockets, piece.corners, radius) {
            Ok(sides) => off_as_path(drawn, &sides, &at, radius),
            Err(NoBoundary { code, place, measured, limit }) => {
                findings.at(code, place, measured, limit);
                Ok(0.0)
            }
        },
        Recognised::NominalDrawing | Recognised::Program => off_as_part(drawn, &piece.pockets, &at),
    };
    match off {
        Ok(off) if off > 0.0 => {
            let limit = format!("within {PROOF_MM:.4} mm everywhere");
            findings.at(codes::POCKET_DRAWN, "layer POCKET", format!("{off:.3} mm of lines missing or off"), limit);
        }
        Ok(_) => verdict.pockets = piece.pockets.len(),
        Err(TooTangled) => findings.at_file(codes::TOO_TANGLED, "too many crossings", ""),
    }
    verdict.findings.extend(findings.finish());
    Ok(verdict)
}

/// A drawing held against one piece.
fn held(bytes: &[u8], file: &str, e: &Wanted) -> Result<Verdict, Error> {
    let drawing = read_drawing(bytes, file)?;
    let mut findings = Findings::new(file);
    let unit = unit_of(&drawing, e, &mut findings);
    let drawing = drawing.scaled(unit.mm);
    let mut faults = Vec::new();
    let rings = join(&to_cut(&drawing, &mut findings), &mut faults);
    let extent = e.part.bounds().width().hypot(e.part.bounds().height());
    let unproven = |findings: Findings| Verdict::unproven(Recognised::NominalDrawing, findings.finish(), extent);
    let rings = shapes(rings, e, &mut faults, &mut findings);
    if rings.is_empty() {
        tell(&faults, unit, None, &mut findings);
        findings.at_file(codes::DRAWING_NOTHING, "no line to cut", "one closed shape");
        return Ok(unproven(findings));
    }
    let drawn = Drawn::new(rings);
    faults.extend(crossings(&drawn.shape).into_iter().map(|(segment, at)| crossed(drawn.strokes[segment].line, at)));
    let boundary = match Boundary::new(e) {
        Ok(boundary) => boundary,
        Err(NoBoundary { code, place, measured, limit }) => {
            tell(&faults, unit, None, &mut findings);
            findings.at(code, place, measured, limit);
            return Ok(unproven(findings));
        }
    };
    let judged = judge(&drawn, file, e, &boundary);
    let placement = judged.as_ref().ok().and_then(|held| held.as_ref()?.placement);
    tell(&faults, unit, placement.map(|placement| e.part.placed(&placement)).as_ref(), &mut findings);
    match judged {
        Ok(Some(held)) => {
            for wrong in held.wrongs {
                findings.at(wrong.code, wrong.place, wrong.measured, wrong.limit);
            }
            Ok(Verdict { findings: findings.finish(), ..held.verdict })
        }
        Ok(None) => {
            let (measured, nominal) = misfit(drawn.bounds, e.part.bounds());
            let (_, path) = misfit(drawn.bounds, boundary_box(&boundary).grown(e.machine.tool_radius().as_mm()));
            let turned = if measured.contains("25.4") { "" } else { unit_hint(scale(&drawn, e)) };
            let limit = format!("{nominal}, or {path} as a tool's path");
            findings.at_file(codes::NOT_THIS_PART, format!("{measured}{turned}"), limit);
            Ok(unproven(findings))
        }
        Err(TooTangled) => {
            findings.at_file(codes::TOO_TANGLED, "too many crossings", "");
            Ok(unproven(findings))
        }
    }
}

/// As it lies if nothing is wrong with it there, or else by the best fit.
fn judge(drawn: &Drawn, file: &str, e: &Wanted, boundary: &Boundary) -> Result<Option<Held>, TooTangled> {
    let plain = drawn.best(e, boundary)?;
    match plain {
        Some(held) if held.wrongs.is_empty() => Ok(Some(held.with_its_turn(file))),
        plain => returned(drawn, file, e, boundary, plain),
    }
}

/// How many times the part the drawing is, by their areas: that needs no turn.
fn scale(drawn: &Drawn, e: &Wanted) -> f64 {
    Straightened::new(&drawn.shape.segments).map_or(0.0, |ring| (ring.area / e.part.area()).sqrt())
}

fn crossed(line: usize, at: crate::geometry::Point) -> Fault {
    let limit = "a shape that does not cross itself";
    Fault { code: codes::DRAWING_CROSSING, line, at, what: String::new(), limit }
}

fn unit_of(drawing: &Drawing, e: &Wanted, findings: &mut Findings) -> Unit {
    let name = |unit: f64| if unit > 1.0 { "inches" } else { "millimetres" };
    if let Some(mm) = drawing.insunits_mm {
        return Unit { mm };
    }
    let (mm, by) = match drawing.measurement_mm {
        Some(mm) => (mm, "$MEASUREMENT"),
        None => (e.machine.units.in_mm(), "the machine's unit"),
    };
    findings.at_file(codes::DRAWING_UNITS, format!("no $INSUNITS; {} by {by}", name(mm)), "$INSUNITS 1 or 4");
    Unit { mm }
}

/// The figures on the layer to cut, or, where there is none, on any layer but the ones never cut.
fn to_cut<'d>(drawing: &'d Drawing, findings: &mut Findings) -> Vec<&'d Figure> {
    let is = |layer: &str, name: &str| layer.eq_ignore_ascii_case(name);
    let layers = drawing.figures.iter().map(|f| &f.layer).chain(drawing.odd.iter().map(|o| &o.layer));
    let named = layers.into_iter().any(|layer| is(layer, CUT));
    let chosen = |layer: &str| {
        if named { is(layer, CUT) } else { !NOT_CUT.iter().any(|name| is(layer, name)) }
    };
    for odd in drawing.odd.iter().filter(|odd| chosen(&odd.layer)) {
        let is_curve = CURVES.iter().any(|kind| odd.kind == *kind) || odd.kind.contains(' ');
        if named || is_curve {
            findings.at_line(codes::DRAWING_ENTITY, odd.line, odd.kind.clone(), "lines, arcs and polylines");
        }
    }
    drawing.figures.iter().filter(|figure| chosen(&figure.layer)).collect()
}

/// The shape to hold against the part. More than one, or an open one, is told; only a board's path may be open.
fn shapes(rings: Vec<Ring>, e: &Wanted, faults: &mut Vec<Fault>, findings: &mut Findings) -> Vec<Ring> {
    let open = rings.iter().filter(|ring| !ring.is_closed()).count();
    if e.form == Form::Board && open == rings.len() && rings.iter().all(|ring| ring.gap() > SLIP_MM) {
        return rings;
    }
    faults.extend(rings.iter().filter(|ring| !ring.is_closed()).map(Ring::opening));
    if rings.len() > 1 {
        findings.at_file(codes::DRAWING_SEVERAL, format!("{} shapes", rings.len()), "one");
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
