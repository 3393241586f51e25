//! What was drawn, held against the part where it is taken to lie: as the finished part, or as the
//! tool centre's path.

use super::boundary::{Boundary, Feature};
use super::expectation::Wanted;
use super::farthest::{Farthest, TooTangled};
use super::limits::{EXTENT_MM, JOIN_MM, TURN_RAD};
use super::placing::{Sides, fitting};
use super::proof::{Target, gouging, left_at, reach};
use super::rings::Ring;
use super::shape::Shape;
use super::stroke::{Stroke, Work};
use super::verdict::{Judged, PlacedAt, Recognised, Verdict};
use crate::diagnostics::codes::{self, Gouger, Left};
use crate::diagnostics::{Figure, Finding, Millimetres, Place};
use crate::geometry::tolerance::PROOF_MM;
use crate::geometry::{Bounds, Edge, Placement, Point, Segment};
use crate::job::Corners;
use crate::profile::Form;
use crate::stair::outline::Role;

/// What was drawn, to be held against the part.
pub(super) struct Drawn {
    pub shape: Shape,
    pub strokes: Vec<Stroke>,
    pub bounds: Bounds,
}

/// One way to take the drawing, and what is wrong with it then.
pub(super) struct Held {
    pub verdict: Verdict,
    /// From the board frame to the drawing; `None` if no turn and move do it.
    pub placement: Option<Placement>,
    pub wrongs: Vec<Wrong>,
    pub wrong_mm: f64,
}

/// One thing that is wrong, or worth saying.
pub(super) struct Wrong {
    pub finding: Finding,
    /// The edge of the part and how far it is off there, where one is.
    pub edge: Option<(usize, f64)>,
}

impl From<Finding> for Wrong {
    fn from(finding: Finding) -> Self {
        Self { finding, edge: None }
    }
}

/// A turn, in degrees.
pub(super) fn turn(deg: f64) -> Figure {
    Figure { value: deg, unit: "deg", digits: 3 }
}

/// How far a figure of the proof may be off.
pub(super) const TOLERANCE: Millimetres = Millimetres(PROOF_MM);

impl Held {
    /// With a word about where the part lies, if that is not where it was drawn. A tool's path lies
    /// on the machine, so that only another turn than by quarters is worth saying.
    pub(crate) fn with_its_turn(mut self, file: &str) -> Self {
        let Some(placement) = self.placement else { return self };
        let at = PlacedAt::from(&placement);
        let turned = placement.rotation.angle().abs() > TURN_RAD;
        let quarters = at.turn_deg.to_radians() / std::f64::consts::FRAC_PI_2;
        let by_quarters = (quarters - quarters.round()).abs() <= TURN_RAD;
        let moved = placement.translation.vector.norm() > PROOF_MM;
        let is_path = self.verdict.what == Recognised::CompensatedDrawing;
        if (turned || moved) && !(is_path && by_quarters) {
            let (x, y) = (Millimetres(at.x_mm), Millimetres(at.y_mm));
            self.wrongs
                .insert(0, codes::TurnedPart { turn: turn(at.turn_deg), x, y }.at(file).into());
        }
        self
    }
}

impl Drawn {
    /// `rings` hold one segment or more.
    pub(crate) fn new(rings: Vec<Ring>) -> Self {
        let stroke = |path: &Segment, line| Stroke {
            path: *path,
            from_z: 0.0,
            to_z: 0.0,
            line,
            work: Work::Cutting,
            off_mm: 0.0,
            energy: 1.0,
        };
        let strokes: Vec<Stroke> = rings
            .iter()
            .flat_map(|ring| ring.segments.iter().map(|path| stroke(path, ring.line)))
            .collect();
        let shape = Shape::new(strokes.iter().map(|stroke| stroke.path).collect());
        let origin = Bounds { min: Point::origin(), max: Point::origin() };
        Self { bounds: shape.bounds().unwrap_or(origin), shape, strokes }
    }

    /// The reading with the least wrong; `None` if no box fits.
    pub(crate) fn best(
        &self,
        e: &Wanted<'_>,
        boundary: &Boundary,
    ) -> Result<Option<Held>, TooTangled> {
        let mut best: Option<Held> = None;
        let mut keep = |held: Held| {
            if best.as_ref().is_none_or(|best| held.wrong_mm < best.wrong_mm) {
                best = Some(held);
            }
        };
        for placement in self.placements(|turn| Some(e.part.placed(turn).bounds()), 0.0, Sides::All)
        {
            keep(self.as_part(e, &placement)?);
        }
        let turned = |turn: &Placement| {
            boundary.placed(turn).iter().map(|edge| edge.segment.bounds()).reduce(Bounds::joined)
        };
        let sides =
            if self.is_closed() || e.form == Form::Sheet { Sides::All } else { Sides::NotTheLower };
        for placement in self.placements(turned, radius(e), sides) {
            keep(self.as_path(e, boundary, &placement)?);
        }
        Ok(best)
    }

    /// Whether the line comes back to where it starts.
    pub(crate) fn is_closed(&self) -> bool {
        let ends = self.strokes.first().zip(self.strokes.last());
        ends.is_some_and(|(a, b)| (a.path.from() - b.path.to()).norm() <= JOIN_MM)
    }

    /// The board frame itself first, then quarter turns that fit.
    fn placements(
        &self,
        turned: impl Fn(&Placement) -> Option<Bounds>,
        margin: f64,
        sides: Sides,
    ) -> Vec<Placement> {
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
    pub(crate) fn as_path(
        &self,
        e: &Wanted<'_>,
        boundary: &Boundary,
        placement: &Placement,
    ) -> Result<Held, TooTangled> {
        let target = Target::single(boundary.placed(placement));
        let needs = |feature| e.form == Form::Sheet || feature != Feature::Edge(Role::LowerEdge);
        let gouging = gouging(&target, &self.strokes, radius(e))?;
        let reach = reach(&target, &self.shape, radius(e), needs)?;
        let left = left_at(&target, &self.shape, radius(e), reach.uncut.iter().copied())?;
        let gouges = gouging.gouges.iter().map(|gouge| {
            let (by, measured) = (Gouger::DrawnWay, Millimetres(gouge.depth_mm));
            Wrong::from(
                codes::Gouge { by, measured, limit: TOLERANCE }.at(target.place(gouge.edge)),
            )
        });
        let mut wrong_mm: f64 = gouging.gouges.iter().map(|gouge| gouge.depth_mm).sum();
        let mut wrongs: Vec<_> = gouges.collect();
        for uncut in &reach.uncut {
            let segment = target.edges[uncut.edge].segment;
            let length = segment.length() * (uncut.to - uncut.from);
            wrong_mm += length;
            let found = uncut_from(segment.point_at(uncut.from), length, Left::ByPath);
            wrongs.push(found.at(target.place(uncut.edge)).into());
        }
        let fillets = if e.corners == Corners::Fillet { boundary.inside_corners } else { 0 };
        let verdict = Verdict {
            gouge_mm: gouging.deepest_mm,
            left_mm: left.max(reach.left_mm),
            fillets,
            placements: vec![PlacedAt::from(placement)],
            judged: Judged::ToTheEnd,
            ..Verdict::unproven(Recognised::CompensatedDrawing, Vec::new(), 0.0)
        };
        Ok(Held { verdict, placement: Some(*placement), wrongs, wrong_mm })
    }

    /// Held as the finished part: no point of either may be off the other. Figures within the
    /// tolerance stand on both sides alike.
    pub(crate) fn as_part(
        &self,
        e: &Wanted<'_>,
        placement: &Placement,
    ) -> Result<Held, TooTangled> {
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
            judged: Judged::ToTheEnd,
            ..Verdict::unproven(Recognised::NominalDrawing, Vec::new(), 0.0)
        };
        Ok(Held {
            verdict,
            placement: Some(*placement),
            wrongs: off.wrongs,
            wrong_mm: off.wrong_mm,
        })
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
    wrongs: Vec<Wrong>,
}

impl Off {
    /// Looks at segments that should lie on `other`; `ideal` and `edges` are the part, to name
    /// places.
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
                let place = edge
                    .map_or(Place::from("the part"), |edge| Feature::Edge(edges[edge].role).into());
                self.wrong_mm += piece.length();
                let finding = if other.holds(middle) == (missing == Missing::WhereHeld) {
                    self.missing = self.missing.max(off);
                    codes::Gouge {
                        by: Gouger::Outline,
                        measured: Millimetres(off),
                        limit: TOLERANCE,
                    }
                    .at(place)
                } else {
                    self.excess = self.excess.max(off);
                    uncut_from(piece.from(), off, Left::ByOutline).at(place)
                };
                self.wrongs.push(Wrong { finding, edge: edge.map(|edge| (edge, off)) });
            }
        }
        Ok(())
    }
}

/// Wood that is left from a point on.
pub(super) fn uncut_from(from: Point, mm: f64, how: Left) -> codes::Uncut {
    let (x, y) = (Millimetres(from.x), Millimetres(from.y));
    codes::Uncut { measured: Millimetres(mm), how, limit: TOLERANCE, x, y }
}

fn radius(e: &Wanted<'_>) -> f64 {
    e.machine.tool_radius().as_mm()
}
