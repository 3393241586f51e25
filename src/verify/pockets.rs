//! Pockets: parts of the face that are cut down to one depth, held against their sides, their floor
//! and their depth.
//!
//! A stroke is in a pocket if it lies inside its sides, nowhere nearer to them than R - tau, and no
//! deeper than the floor; only such strokes may lie on the part. Left: every point of the sides
//! lies within R + tau of a stroke at the floor. Floor: so does every point between the sides. For
//! that it is enough to look along the border of what each stroke sweeps: whoever walks from a
//! point that stands to the nearest stroke comes across a point just beyond R + tau of all strokes,
//! and it lies on such a border; the walk does not leave the pocket, for the sides are reached. So
//! the floor is proven to tau, and no grid is needed. Where the tool may run beside a stroke, R of
//! that stroke is less by so much. The sides have formulas of their own here,
//! reliefs for any corner angle.

use std::f64::consts::FRAC_PI_2;

use super::boundary::{Boundary, Feature, NoBoundary, does_not_fit};
use super::expectation::{Expectation, Laid, Pocket};
use super::farthest::{Farthest, TooTangled};
use super::findings::Findings;
use super::levels::Levels;
use super::limits::{FIGURE_MM, GAP_MM};
use super::proof::{Target, left_at, nearing, reach};
use super::shape::Shape;
use super::stroke::{Stroke, Work};
use crate::diagnostics::codes::{self, PocketLeft};
use crate::diagnostics::{Finding, Millimetres, Place};
use crate::geometry::tolerance::PROOF_MM;
use crate::geometry::{Edge, Point, Segment, Turn, Vector, cross, left_of};
use crate::job::Corners;

/// What the pockets of all copies give.
pub(super) struct Pocketed {
    /// The strokes that are in no pocket: held against the part as ever.
    pub rest: Vec<Stroke>,
    /// Pockets that are as declared.
    pub found: usize,
    pub gouge_mm: f64,
    pub left_mm: f64,
    /// Ranks layouts.
    pub wrong_mm: f64,
    wrongs: Vec<Finding>,
}

impl Pocketed {
    /// Tells what is wrong.
    pub(crate) fn tell(&self, findings: &mut Findings<'_>) {
        self.wrongs.iter().for_each(|wrong| findings.add(wrong.clone()));
    }

    fn wrong(&mut self, wrong: Finding, by_mm: f64) {
        self.wrongs.push(wrong);
        self.wrong_mm += by_mm;
    }
}

/// The sides of every pocket of every kind of piece, in the board frame.
pub(super) type Sides = Vec<Vec<Edge<Feature>>>;

/// The sides of a piece's pockets.
pub(super) fn sides(pockets: &[Pocket], choice: Corners, radius: f64) -> Result<Sides, NoBoundary> {
    pockets.iter().map(|pocket| sides_of(pocket, choice, radius)).collect()
}

/// Holds the strokes against the pockets of all copies; `boundaries` has the sides of those of each
/// kind of piece.
pub(super) fn check(
    e: &Expectation<'_>,
    boundaries: &[Boundary],
    laid: &[Laid],
    strokes: &[Stroke],
    (levels, file): (&Levels, &str),
) -> Result<Pocketed, TooTangled> {
    let (gouge_mm, left_mm, wrong_mm) = (0.0, 0.0, 0.0);
    let rest = strokes.to_vec();
    let mut pocketed = Pocketed { rest, found: 0, gouge_mm, left_mm, wrong_mm, wrongs: Vec::new() };
    for Laid { piece, placement } in laid {
        for (pocket, sides) in e.pieces[*piece].pockets.iter().zip(&boundaries[*piece].pockets) {
            let placed = |edge: &Edge<Feature>| Edge {
                segment: edge.segment.placed(placement),
                role: edge.role,
            };
            let target = Target::single(sides.iter().map(placed).collect());
            let floor = levels.top - pocket.depth_mm;
            let one = One { target, floor, levels, radius: e.machine.tool_radius().as_mm(), file };
            one.hold(&mut pocketed)?;
        }
    }
    Ok(pocketed)
}

/// One pocket where it lies.
struct One<'a> {
    target: Target,
    floor: f64,
    levels: &'a Levels,
    radius: f64,
    file: &'a str,
}

impl One<'_> {
    fn hold(&self, pocketed: &mut Pocketed) -> Result<(), TooTangled> {
        let wrong_before = pocketed.wrongs.len();
        let own = self.own(pocketed)?;
        pocketed.gouge_mm =
            pocketed.gouge_mm.max(nearing(&self.target, &own, self.radius)?.0.deepest_mm);
        let cutting = own.iter().filter(|stroke| stroke.work == Work::Cutting);
        let floor: Vec<Stroke> =
            cutting.filter_map(|stroke| stroke.cut_at(self.floor + self.levels.near)).collect();
        if floor.is_empty() {
            pocketed.wrong(self.floor_uncut().at("pocket"), self.extent());
            return Ok(());
        }
        let paths = Shape::of_strokes(&floor);
        self.hold_sides(&paths, pocketed)?;
        self.hold_floor(&paths, pocketed)?;
        pocketed.found += usize::from(pocketed.wrongs.len() == wrong_before);
        Ok(())
    }

    /// Takes the strokes that are in this pocket out of the rest; deeper ones are told, and stay
    /// where they go through.
    fn own(&self, pocketed: &mut Pocketed) -> Result<Vec<Stroke>, TooTangled> {
        let (_, close) = nearing(&self.target, &pocketed.rest, self.radius)?;
        let (mut own, mut rest, mut deepest) = (Vec::new(), Vec::new(), None::<Stroke>);
        for (stroke, is_close) in pocketed.rest.drain(..).zip(close) {
            let is_in = !is_close && self.target.shape.holds(stroke.path.point_at(0.5));
            let is_deep = stroke.lowest() < self.floor - self.levels.near;
            if is_in && is_deep && deepest.is_none_or(|deepest| stroke.lowest() < deepest.lowest())
            {
                deepest = Some(stroke);
            }
            let is_through = stroke.lowest() < self.levels.bottom + self.levels.near;
            if is_in && !(is_deep && is_through) { own.push(stroke) } else { rest.push(stroke) }
        }
        pocketed.rest = rest;
        if let Some(stroke) = deepest {
            let (measured, limit) = (self.depth(stroke.lowest()), self.depth(self.floor));
            let line = Place::Line { file: self.file.to_string(), line: stroke.line };
            pocketed.gouge_mm = pocketed.gouge_mm.max(self.floor - stroke.lowest());
            pocketed.wrong(
                codes::PocketDeep { measured, limit }.at(line),
                self.floor - stroke.lowest(),
            );
        }
        Ok(own)
    }

    fn depth(&self, z: f64) -> Millimetres {
        Millimetres(self.levels.top - z)
    }

    /// All wood of the pocket stands, for no cut is at its floor.
    fn floor_uncut(&self) -> codes::PocketUncut {
        let along = self.target.edges.iter().map(|edge| edge.segment.length()).sum();
        codes::PocketUncut {
            measured: self.depth(self.floor),
            how: PocketLeft::Floor,
            along: Millimetres(along),
            limit: Millimetres(PROOF_MM),
        }
    }

    fn hold_sides(&self, paths: &Shape, pocketed: &mut Pocketed) -> Result<(), TooTangled> {
        let reach = reach(&self.target, paths, self.radius, |_| true)?;
        pocketed.left_mm = pocketed.left_mm.max(reach.left_mm);
        for uncut in reach.uncut {
            let left_mm = left_at(&self.target, paths, self.radius, [uncut].into_iter())?;
            pocketed.left_mm = pocketed.left_mm.max(left_mm);
            let length = (uncut.to - uncut.from) * self.target.edges[uncut.edge].segment.length();
            let uncut_side = codes::PocketUncut {
                measured: Millimetres(left_mm),
                how: PocketLeft::Side,
                along: Millimetres(length),
                limit: Millimetres(PROOF_MM),
            };
            pocketed.wrong(uncut_side.at(self.target.place(uncut.edge)), length);
        }
        Ok(())
    }

    fn hold_floor(&self, paths: &Shape, pocketed: &mut Pocketed) -> Result<(), TooTangled> {
        let mut farthest = Farthest::new(paths);
        for (i, path) in paths.segments.iter().enumerate() {
            for border in border(path, self.radius + PROOF_MM - paths.off(i) + FIGURE_MM) {
                for (from, to) in farthest.beyond(&border, self.radius + PROOF_MM)? {
                    let middle = border.point_at(f64::midpoint(from, to));
                    if self.target.shape.holds(middle) {
                        self.tell_standing(middle, (to - from) * border.length(), pocketed);
                    }
                }
            }
        }
        Ok(())
    }

    fn tell_standing(&self, at: Point, length: f64, pocketed: &mut Pocketed) {
        let place = format!("pocket floor, x {:.2} y {:.2} mm", at.x, at.y);
        let (measured, limit) = (Millimetres(length), Millimetres(self.radius + PROOF_MM));
        pocketed.wrong(codes::PocketFloor { measured, limit }.at(place), length.max(PROOF_MM));
    }

    fn extent(&self) -> f64 {
        self.target.shape.bounds().map_or(0.0, |bounds| bounds.width().hypot(bounds.height()))
    }
}

/// The border of what lies within `reach` of a path: its parallels on both sides and circles about
/// its ends. Points of the circles that lie nearer to the path's inside are covered by it and do no
/// harm.
fn border(path: &Segment, reach: f64) -> Vec<Segment> {
    let mut border = Vec::with_capacity(6);
    if path.length() > GAP_MM {
        border.extend([reach, -reach].into_iter().filter_map(|off| parallel(path, off)));
    }
    for center in [path.from(), path.to()] {
        let (right, left) = (center + Vector::new(reach, 0.0), center - Vector::new(reach, 0.0));
        border.extend([(right, left), (left, right)].map(|(from, to)| Segment::Arc {
            from,
            to,
            center,
            turn: Turn::Left,
        }));
    }
    border
}

/// The parallel of a path `off` to its left; none where an arc is too tight for one.
fn parallel(path: &Segment, off: f64) -> Option<Segment> {
    match *path {
        Segment::Line { from, to } => {
            let out = left_of((to - from).normalize()) * off;
            Some(Segment::Line { from: from + out, to: to + out })
        }
        Segment::Arc { from, to, center, turn } => {
            let radius = (from - center).norm();
            let moved = radius - off * turn.sign();
            let at = |p: Point| center + (p - center) * (moved / radius);
            (moved > GAP_MM).then(|| Segment::Arc { from: at(from), to: at(to), center, turn })
        }
    }
}

/// A corner of a pocket: V, unit directions of the arriving and the leaving side; the pocket lies
/// to the left of both.
struct Corner {
    at: Point,
    arriving: Vector,
    leaving: Vector,
    /// Whether the arriving side is the level one of the two.
    arrives_level: bool,
}

/// What takes the place of a pocket's corner, from a point on one side to one on the other.
struct Relief {
    from: Point,
    to: Point,
    pieces: Vec<Segment>,
}

impl Corner {
    /// With a the angle between the sides, e and f the directions along them away from V, b halfway
    /// between, R the radius. Fillet: touches both at R / tan(a / 2) from V. The others are what a
    /// tool clears that walks out from the fillet's centre and back: to V + R b, or to V + R n with
    /// n the normal of the side that is kept whole. That is the disc about where it turns back,
    /// which cuts the sides at 2 R cos(a / 2), or the bitten one at 2 R sin(a); in a sharper corner
    /// than a square one the way itself cuts farther: to R / sin(a / 2), or to 2 R / sin(a).
    fn relief(&self, choice: Corners, radius: f64) -> Option<Relief> {
        if cross(self.arriving, self.leaving) <= 0.0 {
            return None;
        }
        let (e, f) = (-self.arriving, self.leaving);
        let angle = cross(f, e).atan2(e.dot(&f));
        let (arriving_side, leaving_side) = (left_of(self.arriving), left_of(self.leaving));
        Some(match (choice, self.arrives_level) {
            (Corners::Fillet, _) => {
                let touch = radius / (angle / 2.0).tan();
                let (from, to) = (self.at + e * touch, self.at + f * touch);
                let center = from + arriving_side * radius;
                Relief::new(from, vec![Segment::Arc { from, to, center, turn: Turn::Left }], to)
            }
            (Corners::Bisector, _) => self.along_bisector(e, f, angle, radius),
            (Corners::Riser, true) | (Corners::Tread, false) => {
                // The arriving side is kept whole and touched at V, the leaving one is bitten.
                let (center, far) =
                    (self.at + arriving_side * radius, self.at + arriving_side * (2.0 * radius));
                let bitten = |at: f64| self.at + f * at;
                if angle < FRAC_PI_2 {
                    let to = bitten(2.0 * radius / angle.sin());
                    let arc = Segment::Arc { from: self.at, to: far, center, turn: Turn::Left };
                    Relief::new(self.at, vec![arc, Segment::Line { from: far, to }], to)
                } else {
                    let to = bitten(2.0 * radius * angle.sin());
                    let arc = Segment::Arc { from: self.at, to, center, turn: Turn::Left };
                    Relief::new(self.at, vec![arc], to)
                }
            }
            (Corners::Riser, false) | (Corners::Tread, true) => {
                let (center, far) =
                    (self.at + leaving_side * radius, self.at + leaving_side * (2.0 * radius));
                let bitten = |at: f64| self.at + e * at;
                if angle < FRAC_PI_2 {
                    let from = bitten(2.0 * radius / angle.sin());
                    let arc = Segment::Arc { from: far, to: self.at, center, turn: Turn::Left };
                    Relief::new(from, vec![Segment::Line { from, to: far }, arc], self.at)
                } else {
                    let from = bitten(2.0 * radius * angle.sin());
                    let arc = Segment::Arc { from, to: self.at, center, turn: Turn::Left };
                    Relief::new(from, vec![arc], self.at)
                }
            }
        })
    }

    fn along_bisector(&self, e: Vector, f: Vector, angle: f64, radius: f64) -> Relief {
        let bisector = (e + f).normalize();
        let center = self.at + bisector * radius;
        if angle >= FRAC_PI_2 {
            let cut = 2.0 * radius * (angle / 2.0).cos();
            let (from, to) = (self.at + e * cut, self.at + f * cut);
            return Relief::new(
                from,
                vec![Segment::Arc { from, to, center, turn: Turn::Left }],
                to,
            );
        }
        let cut = radius / (angle / 2.0).sin();
        let (from, to) = (self.at + e * cut, self.at + f * cut);
        let (near_e, near_f) =
            (center + left_of(bisector) * radius, center - left_of(bisector) * radius);
        let arc = Segment::Arc { from: near_e, to: near_f, center, turn: Turn::Left };
        Relief::new(
            from,
            vec![Segment::Line { from, to: near_e }, arc, Segment::Line { from: near_f, to }],
            to,
        )
    }
}

impl Relief {
    /// Arcs come in halves: none here turns more than half way round. Pieces of no length, as in
    /// square corners, go.
    fn new(from: Point, pieces: Vec<Segment>, to: Point) -> Self {
        let halves = |piece: Segment| match piece {
            Segment::Line { .. } => vec![piece],
            Segment::Arc { .. } => vec![piece.piece(0.0, 0.5), piece.piece(0.5, 1.0)],
        };
        let pieces =
            pieces.into_iter().filter(|piece| piece.length() > GAP_MM).flat_map(halves).collect();
        Self { from, to, pieces }
    }
}

fn sides_of(
    pocket: &Pocket,
    choice: Corners,
    radius: f64,
) -> Result<Vec<Edge<Feature>>, NoBoundary> {
    let edges = pocket.boundary.edges();
    let before = |i: usize| &edges[(i + edges.len() - 1) % edges.len()];
    let corner = |i: usize| Corner {
        at: edges[i].segment.from(),
        arriving: before(i).segment.direction_at(1.0),
        leaving: edges[i].segment.direction_at(0.0),
        arrives_level: !before(i).role.is_upright(),
    };
    let reliefs: Vec<Option<Relief>> =
        (0..edges.len()).map(|i| corner(i).relief(choice, radius)).collect();
    let mut sides = Vec::with_capacity(3 * edges.len());
    for (i, edge) in edges.iter().enumerate() {
        let (relief, next) = (&reliefs[i], &reliefs[(i + 1) % edges.len()]);
        for piece in relief.iter().flat_map(|relief| &relief.pieces) {
            sides.push(Edge {
                segment: *piece,
                role: Feature::PocketCorner(before(i).role, edge.role),
            });
        }
        let from = relief.as_ref().map_or(edge.segment.from(), |relief| relief.to);
        let to = next.as_ref().map_or(edge.segment.to(), |relief| relief.from);
        let room = (to - from).dot(&edge.segment.direction_at(0.0));
        if room < -GAP_MM {
            return Err(does_not_fit(Feature::Pocket(edge.role), room));
        }
        if room > GAP_MM {
            sides.push(Edge {
                segment: Segment::Line { from, to },
                role: Feature::Pocket(edge.role),
            });
        }
    }
    Ok(sides)
}
