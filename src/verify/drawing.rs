//! A drawing held against what is expected: the finished part itself, or the path of the tool's centre.

use super::boundary::{Boundary, Feature, NoBoundary};
use super::codes;
use super::dxf::{Drawing, Figure, read_drawing};
use super::expectation::Expectation;
use super::farthest::{Farthest, TooTangled};
use super::findings::Findings;
use super::limits::EXTENT_MM;
use super::placing::{Sides, fitting, misfit};
use super::proof::{Target, gouging, left_at, reach};
use super::rings::{Ring, join};
use super::shape::Shape;
use super::stroke::{Stroke, Work};
use super::verdict::{PlacedAt, Recognised, Verdict};
use crate::error::Error;
use crate::geometry::tolerance::PROOF_MM;
use crate::geometry::{Bounds, Edge, Placement, Segment};
use crate::measure::Corners;
use crate::outline::Role;
use crate::profile::Form;

/// The layer of the lines to cut.
const CUT: &str = "CUT";
/// Layers that are never cut.
const NOT_CUT: [&str; 3] = ["MARK", "STOCK", "REF"];
/// Entities that would be cut if they were read; others are notes.
const CURVES: [&str; 6] = ["SPLINE", "ELLIPSE", "INSERT", "MLINE", "HELIX", "HATCH"];

/// Holds a drawing against what is expected: as the finished part with sharp corners, or as the path of the tool's
/// centre, whichever fits. It may lie in the board frame or anywhere, turned by quarters. `file` names it in findings.
///
/// # Errors
/// Only if the bytes cannot be read as a text drawing at all; everything else is a finding.
pub fn verify_drawing(bytes: &[u8], file: &str, e: &Expectation) -> Result<Verdict, Error> {
    let drawing = read_drawing(bytes, file)?;
    let mut findings = Findings::new(file);
    let unit = unit_mm(&drawing, e, &mut findings);
    let drawing = drawing.scaled(unit);
    let rings = join(&to_cut(&drawing, &mut findings), &mut findings);
    let extent = e.part.bounds().width().hypot(e.part.bounds().height());
    let unproven = |findings: Findings| Verdict::unproven(Recognised::NominalDrawing, findings.finish(), extent);
    let rings = shapes(rings, e, &mut findings);
    if rings.is_empty() {
        findings.at_file(codes::DRAWING_NOTHING, "no line to cut", "one closed shape");
        return Ok(unproven(findings));
    }
    let boundary = match Boundary::new(e) {
        Ok(boundary) => boundary,
        Err(NoBoundary { code, place, measured, limit }) => {
            findings.at(code, place, measured, limit);
            return Ok(unproven(findings));
        }
    };
    let drawn = Drawn::new(rings);
    match drawn.best(e, &boundary) {
        Ok(Some(held)) => {
            for (code, place, measured) in held.wrongs {
                findings.at(code, place, measured, format!("{PROOF_MM:.4} mm"));
            }
            Ok(Verdict { findings: findings.finish(), ..held.verdict })
        }
        Ok(None) => {
            let (measured, nominal) = misfit(drawn.bounds, e.part.bounds());
            let (_, path) = misfit(drawn.bounds, boundary_box(&boundary).grown(radius(e)));
            findings.at_file(codes::NOT_THIS_PART, measured, format!("{nominal}, or {path} as a tool's path"));
            Ok(unproven(findings))
        }
        Err(TooTangled) => {
            findings.at_file(codes::TOO_TANGLED, "too many crossings", "");
            Ok(unproven(findings))
        }
    }
}

fn radius(e: &Expectation) -> f64 {
    e.machine.tool_radius().as_mm()
}

fn unit_mm(drawing: &Drawing, e: &Expectation, findings: &mut Findings) -> f64 {
    let name = |unit: f64| if unit > 1.0 { "inches" } else { "millimetres" };
    if let Some(unit) = drawing.insunits_mm {
        return unit;
    }
    let (unit, by) = match drawing.measurement_mm {
        Some(unit) => (unit, "$MEASUREMENT"),
        None => (e.machine.units.in_mm(), "the machine's unit"),
    };
    findings.at_file(codes::DRAWING_UNITS, format!("no $INSUNITS; {} by {by}", name(unit)), "$INSUNITS 1 or 4");
    unit
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
fn shapes(rings: Vec<Ring>, e: &Expectation, findings: &mut Findings) -> Vec<Ring> {
    let open = rings.iter().filter(|ring| !ring.is_closed()).count();
    if e.form == Form::Board && open == rings.len() {
        return rings;
    }
    for ring in rings.iter().filter(|ring| !ring.is_closed()) {
        let at = ring.segments[0].from();
        let measured = format!("a gap of {:.4} mm at x {:.3} y {:.3} mm", ring.gap(), at.x, at.y);
        findings.at_line(codes::DRAWING_OPEN, ring.line, measured, "a closed shape");
    }
    if rings.len() > 1 {
        findings.at_file(codes::DRAWING_SEVERAL, format!("{} shapes", rings.len()), "one");
    }
    let size = |ring: &Ring| {
        let bounds = ring.segments.iter().map(Segment::bounds).reduce(Bounds::joined);
        bounds.map_or(0.0, |b| b.width() * b.height())
    };
    rings.into_iter().max_by(|a, b| size(a).total_cmp(&size(b))).into_iter().collect()
}

fn boundary_box(boundary: &Boundary) -> Bounds {
    let first = boundary.edges[0].segment.bounds();
    boundary.edges.iter().fold(first, |all, edge| all.joined(edge.segment.bounds()))
}

/// What was drawn, to be held against the part.
struct Drawn {
    shape: Shape,
    strokes: Vec<Stroke>,
    bounds: Bounds,
}

/// One way to take the drawing, and what is wrong with it then.
struct Held {
    verdict: Verdict,
    wrongs: Vec<(&'static codes::Code, String, String)>,
    wrong_mm: f64,
}

impl Drawn {
    /// `rings` hold one segment or more.
    fn new(rings: Vec<Ring>) -> Drawn {
        let stroke = |path: &Segment, line| Stroke { path: *path, from_z: 0.0, to_z: 0.0, line, work: Work::Cutting };
        let strokes: Vec<Stroke> =
            rings.iter().flat_map(|ring| ring.segments.iter().map(|path| stroke(path, ring.line))).collect();
        let shape = Shape::new(strokes.iter().map(|stroke| stroke.path).collect());
        let origin = Bounds { min: crate::geometry::Point::origin(), max: crate::geometry::Point::origin() };
        Drawn { bounds: shape.bounds().unwrap_or(origin), shape, strokes }
    }

    /// The reading with the least wrong; `None` if no box fits.
    fn best(&self, e: &Expectation, boundary: &Boundary) -> Result<Option<Held>, TooTangled> {
        let mut best: Option<Held> = None;
        let mut keep = |held: Held| {
            if best.as_ref().is_none_or(|best| held.wrong_mm < best.wrong_mm) {
                best = Some(held);
            }
        };
        for placement in self.placements(|turn| Some(e.part.placed(turn).bounds()), 0.0, Sides::All) {
            keep(self.as_part(e, &placement)?);
        }
        let turned =
            |turn: &Placement| boundary.placed(turn).iter().map(|edge| edge.segment.bounds()).reduce(Bounds::joined);
        let closed = self.strokes.first().zip(self.strokes.last());
        let closed = closed.is_some_and(|(a, b)| (a.path.from() - b.path.to()).norm() <= super::limits::JOIN_MM);
        let sides = if closed || e.form == Form::Sheet { Sides::All } else { Sides::NotTheLower };
        for placement in self.placements(turned, radius(e), sides) {
            keep(self.as_path(e, boundary, &placement)?);
        }
        Ok(best)
    }

    /// The board frame itself first, then quarter turns that fit.
    fn placements(&self, turned: impl Fn(&Placement) -> Option<Bounds>, margin: f64, sides: Sides) -> Vec<Placement> {
        let home = turned(&Placement::identity()).map(|bounds| bounds.grown(margin));
        let at_home = home.is_some_and(|home| {
            let (low, high) = (home.min - self.bounds.min, home.max - self.bounds.max);
            low.amax() <= EXTENT_MM && high.amax() <= EXTENT_MM
        });
        let mut placements = if at_home { vec![Placement::identity()] } else { Vec::new() };
        placements.extend(fitting(turned, margin, self.bounds, sides));
        placements
    }

    /// Held as the tool centre's path, at full depth all along.
    fn as_path(&self, e: &Expectation, boundary: &Boundary, placement: &Placement) -> Result<Held, TooTangled> {
        let target = Target::new(boundary.placed(placement), boundary.edges.len());
        let needs = |feature| e.form == Form::Sheet || feature != Feature::Edge(Role::LowerEdge);
        let gouging = gouging(&target, &self.strokes, radius(e))?;
        let reach = reach(&target, &self.shape, radius(e), needs)?;
        let left = left_at(&target, &self.shape, radius(e), reach.uncut.iter().copied())?;
        let gouges = gouging.gouges.iter().map(|gouge| {
            let measured = format!("the path runs {:.4} mm too near", gouge.depth_mm);
            (codes::GOUGE, target.place(gouge.edge), measured)
        });
        let mut wrong_mm: f64 = gouging.gouges.iter().map(|gouge| gouge.depth_mm).sum();
        let mut wrongs: Vec<_> = gouges.collect();
        for uncut in &reach.uncut {
            let length = target.edges[uncut.edge].segment.length() * (uncut.to - uncut.from);
            wrong_mm += length;
            wrongs.push((codes::UNCUT, target.place(uncut.edge), format!("{length:.3} mm of its edge is not reached")));
        }
        let fillets = if e.corners == Corners::Fillet { boundary.inside_corners } else { 0 };
        let verdict = Verdict {
            gouge_mm: gouging.deepest_mm,
            left_mm: left.max(reach.left_mm),
            fillets,
            placements: vec![PlacedAt::from(placement)],
            ..Verdict::unproven(Recognised::CompensatedDrawing, Vec::new(), 0.0)
        };
        Ok(Held { verdict, wrongs, wrong_mm })
    }

    /// Held as the finished part: no point of either may be off the other. Figures within the tolerance stand on both
    /// sides alike.
    fn as_part(&self, e: &Expectation, placement: &Placement) -> Result<Held, TooTangled> {
        let part = e.part.placed(placement);
        let ideal = Shape::new(part.edges().iter().map(|edge| edge.segment).collect());
        let mut off = Off::default();
        let own = part.edges().iter().enumerate().map(|(i, edge)| (edge.segment, Some(i)));
        off.look(own, &self.shape, &ideal, part.edges(), Missing::WhereNotHeld)?;
        let drawn = self.shape.segments.iter().map(|segment| (*segment, None));
        off.look(drawn, &ideal, &ideal, part.edges(), Missing::WhereHeld)?;
        let verdict = Verdict {
            gouge_mm: off.missing.max(off.within),
            left_mm: off.excess.max(off.within),
            placements: vec![PlacedAt::from(placement)],
            ..Verdict::unproven(Recognised::NominalDrawing, Vec::new(), 0.0)
        };
        Ok(Held { verdict, wrongs: off.wrongs, wrong_mm: off.wrong_mm })
    }
}

/// What a point of one shape that lies in the other means.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Missing {
    /// The drawn line runs inside the part: material is missing.
    WhereHeld,
    /// The part's edge runs outside what was drawn: material is missing.
    WhereNotHeld,
}

/// How far a drawing and the part are off each other.
#[derive(Default)]
struct Off {
    missing: f64,
    excess: f64,
    within: f64,
    wrong_mm: f64,
    wrongs: Vec<(&'static codes::Code, String, String)>,
}

impl Off {
    /// Looks at segments that should lie on `other`; `ideal` and `edges` are the part, to name places.
    fn look(
        &mut self,
        segments: impl Iterator<Item = (Segment, Option<usize>)>,
        other: &Shape,
        ideal: &Shape,
        edges: &[Edge<Role>],
        missing: Missing,
    ) -> Result<(), TooTangled> {
        let mut farthest = Farthest::new(other);
        for (segment, edge) in segments {
            let stretches = farthest.beyond(&segment, PROOF_MM)?;
            if stretches.is_empty() {
                self.within = farthest.at_least(&segment, self.within)?;
            }
            for (from, to) in stretches {
                let piece = segment.piece(from, to);
                let middle = piece.point_at(0.5);
                let off = farthest.at_least(&piece, 0.0)?;
                let edge = edge.or_else(|| ideal.nearest(middle).map(|(edge, _)| edge));
                let place = edge.map_or_else(|| "the part".to_string(), |edge| edges[edge].role.to_string());
                self.wrong_mm += piece.length();
                if other.holds(middle) == (missing == Missing::WhereHeld) {
                    self.missing = self.missing.max(off);
                    self.wrongs.push((codes::GOUGE, place, format!("{off:.4} mm of the part is missing")));
                } else {
                    self.excess = self.excess.max(off);
                    self.wrongs.push((codes::UNCUT, place, format!("{off:.4} mm too much")));
                }
            }
        }
        Ok(())
    }
}
