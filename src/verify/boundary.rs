//! The boundary that the tool must leave: the part made smaller by its inset, with a relief at
//! every inside corner. Built from formulas of its own, so that a mistake in the making of programs
//! cannot agree with itself.

use std::fmt;

use super::expectation::{Hole, Wanted};
use super::limits::GAP_MM;
use crate::diagnostics::{Figure, Finding, Millimetres, Numbered, Place, codes};
use crate::geometry::{Contour, Edge, Placement, Point, Segment, Turn, Vector, cross};
use crate::job::Corners;
use crate::stair::outline::{PocketRole, Role};

/// Sines of angles this small are straight, and cosines this small are square.
const ANGLE: f64 = 1e-6;

/// What a piece of the boundary is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Feature {
    /// A stretch of an edge.
    Edge(Role),
    /// The relief, or the round left standing, at the inside corner of two edges.
    Corner(Role, Role),
    /// What a roughing cutter leaves about the outside corner at the end of an edge. What it leaves
    /// there besides is the next program's.
    Beside(Role),
    /// A round hole through the part, numbered where there are several.
    Hole(Option<usize>),
    /// A round hole in the waste, by its number.
    Pin(usize),
    /// A stretch of a pocket's side.
    Pocket(PocketRole),
    /// The relief, or the round left standing, at the corner of two sides of a pocket.
    PocketCorner(PocketRole, PocketRole),
}

impl fmt::Display for Feature {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Edge(role) => write!(f, "{role}"),
            Self::Corner(a, b) if a == b => write!(f, "inside corner of {a}"),
            Self::Beside(role) => write!(f, "outside corner at the end of {role}"),
            Self::Hole(None) => f.write_str("hanging hole"),
            Self::Hole(Some(number)) => write!(f, "hole {number}"),
            Self::Pin(number) => write!(f, "pin hole {number}"),
            Self::Corner(a, b) => write!(f, "inside corner of {a} and {b}"),
            Self::Pocket(side) => write!(f, "{side}"),
            Self::PocketCorner(a, b) => write!(f, "corner of {a} and {b}"),
        }
    }
}

impl From<Feature> for Place {
    fn from(feature: Feature) -> Self {
        match feature {
            Feature::Edge(Role::Tread(number)) => Self::Nth(Numbered::Tread, number),
            Feature::Edge(Role::Riser(number)) => Self::Nth(Numbered::Riser, number),
            other => Self::Part(other.to_string()),
        }
    }
}

/// Why there is no such boundary.
#[derive(Debug)]
pub(super) struct NoBoundary(pub Box<Finding>);

/// The boundary of one part in the board frame and the number of its inside corners.
pub(super) struct Boundary {
    pub edges: Vec<Edge<Feature>>,
    /// The piece's outline with sharp corners, as it is laid out.
    pub ring: Vec<Segment>,
    pub inside_corners: usize,
    /// The sides of each pocket, pocket to the left, with what reliefs do to them.
    pub pockets: Vec<Vec<Edge<Feature>>>,
}

impl Boundary {
    /// The boundary of what is expected.
    pub(crate) fn new(e: &Wanted<'_>) -> Result<Self, NoBoundary> {
        let level = level_direction(e.part);
        let Round { edges, ring, inside_corners } =
            Round::new(e.part.edges(), e.inset.as_mm(), e, level)?;
        Ok(Self { edges, ring, inside_corners, pockets: Vec::new() })
    }

    /// The boundary with the part's openings: the solid lies round each.
    pub(crate) fn with_openings(
        mut self,
        openings: &[Contour<Role>],
        e: &Wanted<'_>,
    ) -> Result<Self, NoBoundary> {
        let level = level_direction(e.part);
        for opening in openings {
            let turned = opening.edges().iter().rev();
            let sides: Vec<Edge<Role>> = turned
                .map(|side| Edge { segment: side.segment.reversed(), role: side.role })
                .collect();
            let round = Round::new(&sides, 0.0, e, level)?;
            self.edges.extend(round.edges);
            self.ring.extend(round.ring);
            self.inside_corners += round.inside_corners;
        }
        Ok(self)
    }

    /// The boundary with the part's round holes.
    pub(crate) fn with_holes(mut self, holes: &[Hole]) -> Self {
        for (i, hole) in holes.iter().enumerate() {
            let number = (holes.len() > 1).then_some(i + 1);
            self.edges.extend(around(*hole, Feature::Hole(number)));
        }
        self
    }

    /// The boundary turned and moved.
    pub(crate) fn placed(&self, placement: &Placement) -> Vec<Edge<Feature>> {
        self.edges
            .iter()
            .map(|e| Edge { segment: e.segment.placed(placement), role: e.role })
            .collect()
    }
}

/// One closed way round solid that lies to its left, with a relief at every inside corner.
struct Round {
    edges: Vec<Edge<Feature>>,
    /// With sharp corners.
    ring: Vec<Segment>,
    inside_corners: usize,
}

impl Round {
    fn new(
        sides: &[Edge<Role>],
        inset: f64,
        e: &Wanted<'_>,
        level: Vector,
    ) -> Result<Self, NoBoundary> {
        let left = e.left.as_mm();
        let (sharp, corners) = (corners(sides, inset), corners(sides, inset - left));
        let radius = e.machine.tool_radius().as_mm();
        let taken = |(corner, sharp): (&Corner, &Corner)| match corner.is_inside() {
            true => corner.relief(corner.choice(e), radius, level).map(Some),
            // As far off a corner of the piece as off its edges.
            false => Ok((left > 0.0 && sharp.is_outside()).then(|| sharp.rounded(left))),
        };
        let reliefs: Vec<Option<Relief>> =
            corners.iter().zip(&sharp).map(taken).collect::<Result<_, _>>()?;
        let inside_corners = corners.iter().filter(|corner| corner.is_inside()).count();
        let mut edges = Vec::with_capacity(corners.len() + inside_corners);
        for (i, corner) in corners.iter().enumerate() {
            let next = (i + 1) % corners.len();
            let role = sides[i].role;
            if let Some(relief) = &reliefs[i] {
                let role = match corner.is_inside() {
                    true => Feature::Corner(corner.roles.0, corner.roles.1),
                    false => Feature::Beside(corner.roles.0),
                };
                edges.push(Edge { segment: relief.segment(), role });
            }
            let from = reliefs[i].as_ref().map_or(corner.at, |relief| relief.to);
            let to = reliefs[next].as_ref().map_or(corners[next].at, |relief| relief.from);
            let room = (to - from).dot(&corner.leaving);
            if room < -GAP_MM {
                return Err(does_not_fit(Feature::Edge(role), room));
            }
            if room > GAP_MM {
                edges.push(Edge { segment: Segment::Line { from, to }, role: Feature::Edge(role) });
            }
        }
        let next = sharp.iter().cycle().skip(1);
        let ring =
            sharp.iter().zip(next).map(|(a, b)| Segment::Line { from: a.at, to: b.at }).collect();
        Ok(Self { edges, ring, inside_corners })
    }
}

/// The edge of a round hole: clockwise, for the solid lies to the left.
///
/// In thirds: the chords of halves would go through the middle, where a tool stands that goes
/// straight down, and of a point on a chord it is not known on which side of it it lies.
pub(super) fn around(hole: Hole, role: Feature) -> [Edge<Feature>; 3] {
    let Hole { center, radius_mm } = hole;
    let at = |degrees: f64| {
        let (sin, cos) = degrees.to_radians().sin_cos();
        center + Vector::new(cos, sin) * radius_mm
    };
    let third = |(from, to): (f64, f64)| {
        let segment = Segment::Arc { from: at(from), to: at(to), center, turn: Turn::Right };
        Edge { segment, role }
    };
    [(90.0, -30.0), (-30.0, -150.0), (-150.0, 90.0)].map(third)
}

/// An edge that is too short for the tool by what its room is below 0.
pub(super) fn does_not_fit(edge: Feature, room_mm: f64) -> NoBoundary {
    NoBoundary(Box::new(codes::CornerDoesNotFit { measured: Millimetres(-room_mm) }.at(edge)))
}

/// Which way a level line runs in the frame of the part: along a tread, toward the foot. Level
/// where it has no tread.
fn level_direction(part: &Contour<Role>) -> Vector {
    let tread = part.edges().iter().find(|edge| matches!(edge.role, Role::Tread(_)));
    tread.map_or(Vector::new(-1.0, 0.0), |edge| edge.segment.direction_at(0.0))
}

/// A corner of the inset polygon. The solid lies to the left of both edges.
struct Corner {
    at: Point,
    arriving: Vector,
    leaving: Vector,
    roles: (Role, Role),
}

/// The corners after every edge has moved `inset` into the solid.
fn corners(edges: &[Edge<Role>], inset: f64) -> Vec<Corner> {
    (0..edges.len())
        .map(|i| {
            let (before, after) = (&edges[(i + edges.len() - 1) % edges.len()], &edges[i]);
            let (a, b) = (before.segment.direction_at(1.0), after.segment.direction_at(0.0));
            // The point whose distance from both lines is `inset` to the left: two linear
            // equations.
            let turn = cross(a, b);
            let moved = if turn.abs() > ANGLE {
                (b - a) * (inset / turn)
            } else {
                Vector::new(-a.y, a.x) * inset
            };
            let at = after.segment.from() + moved;
            Corner { at, arriving: a, leaving: b, roles: (before.role, after.role) }
        })
        .collect()
}

/// An arc that takes the place of a corner.
struct Relief {
    from: Point,
    to: Point,
    center: Point,
    turn: Turn,
}

impl Relief {
    /// Of an inside corner: the tool's disc lies to the right of the boundary, so the arc turns
    /// right.
    fn inside(from: Point, to: Point, center: Point) -> Self {
        Self { from, to, center, turn: Turn::Right }
    }

    fn segment(&self) -> Segment {
        Segment::Arc { from: self.from, to: self.to, center: self.center, turn: self.turn }
    }
}

fn right_of(direction: Vector) -> Vector {
    Vector::new(direction.y, -direction.x)
}

impl Corner {
    fn is_inside(&self) -> bool {
        cross(self.arriving, self.leaving) < -ANGLE
    }

    fn is_outside(&self) -> bool {
        cross(self.arriving, self.leaving) > ANGLE
    }

    /// The arc so far off an outside corner as both of its edges have moved.
    fn rounded(&self, off: f64) -> Relief {
        let beside = |direction: Vector| self.at + right_of(direction) * off;
        Relief {
            from: beside(self.arriving),
            to: beside(self.leaving),
            center: self.at,
            turn: Turn::Left,
        }
    }

    /// What is done there: one of a joint is always cleared, for the sharp corner of the other
    /// piece goes in; a roughing cutter leaves it to the one after it.
    fn choice(&self, e: &Wanted<'_>) -> Corners {
        let is_joint = self.roles == (Role::Joint, Role::Joint);
        if is_joint && e.left.as_mm() == 0.0 { Corners::Bisector } else { e.corners }
    }

    /// The relief of a square corner V with normals m (arriving edge) and n (leaving edge) into the
    /// waste. The arriving edge is V + t n, the leaving edge V + t m.
    /// Fillet: touches both edges, about V + R (m + n). Bisector: about V + R b, through V, cuts
    /// each edge at sqrt(2) R. Along an edge: about V + R times that edge's normal, half a disc out
    /// of the other edge.
    fn relief(&self, choice: Corners, radius: f64, level: Vector) -> Result<Relief, NoBoundary> {
        let sine = self.arriving.dot(&self.leaving);
        if sine.abs() > ANGLE {
            let measured = Figure { value: sine.asin().to_degrees(), unit: "deg", digits: 5 };
            let corner = Feature::Corner(self.roles.0, self.roles.1);
            return Err(NoBoundary(Box::new(codes::CornerNotSquare { measured }.at(corner))));
        }
        let (m, n) = (right_of(self.arriving), right_of(self.leaving));
        let at = |along_arriving: f64, along_leaving: f64| {
            self.at + n * along_arriving + m * along_leaving
        };
        let into_arriving = Relief::inside(at(2.0 * radius, 0.0), self.at, at(radius, 0.0));
        let into_leaving = Relief::inside(self.at, at(0.0, 2.0 * radius), at(0.0, radius));
        let half = radius / 2.0_f64.sqrt();
        Ok(match (choice, self.arriving_is_upright(level)) {
            (Corners::Fillet, _) => {
                Relief::inside(at(radius, 0.0), at(0.0, radius), at(radius, radius))
            }
            (Corners::Bisector, _) => {
                Relief::inside(at(2.0 * half, 0.0), at(0.0, 2.0 * half), at(half, half))
            }
            (Corners::Riser, true) | (Corners::Tread, false) => into_arriving,
            (Corners::Riser, false) | (Corners::Tread, true) => into_leaving,
        })
    }

    fn arriving_is_upright(&self, level: Vector) -> bool {
        match self.roles.0 {
            Role::Riser(_) => true,
            Role::Tread(_) => false,
            // Which of two is the upright one: they may lie askew along ground that falls.
            _ => self.arriving.dot(&level).abs() < std::f64::consts::FRAC_1_SQRT_2,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::shape::Shape;
    use super::super::testing;
    use super::*;

    fn area(edges: &[Edge<Feature>]) -> f64 {
        edges.iter().map(|edge| edge.segment.doubled_area()).sum::<f64>() / 2.0
    }

    fn boundary(corners: Corners) -> (f64, Boundary, f64) {
        let job = testing::job();
        let e = testing::expectation(&job, corners);
        (
            e.pieces[0].part.area(),
            Boundary::new(&e.wanted(&e.pieces[0])).unwrap(),
            e.machine.tool_radius().as_mm(),
        )
    }

    #[test]
    fn the_very_middle_of_a_hole_is_in_it_however_the_piece_lies() {
        for (i, radius_mm) in (0..720).zip([3.175, 6.35, 1.0].into_iter().cycle()) {
            let turn =
                Placement::new(Vector::new(f64::from(i), 7.0), f64::from(i).to_radians() / 2.0);
            let center = Point::new(f64::from(i) * 25.4, 100.0);
            let edges = around(Hole { center, radius_mm }, Feature::Pin(1));
            let edges: Vec<Segment> = edges.iter().map(|e| e.segment.placed(&turn)).collect();
            let hole = Shape::new(edges.clone());
            assert!(hole.holds(turn * center), "{i}");
            // Once round, and its own middle, whatever is rounded off.
            let sweep: f64 = edges.iter().map(Segment::sweep).sum();
            assert!((sweep + std::f64::consts::TAU).abs() < 1e-9, "{sweep}");
            assert!(!hole.holds(turn * (center + Vector::new(radius_mm * 1.01, 0.0))));
        }
    }

    #[test]
    fn each_relief_takes_or_leaves_the_area_of_its_formula() {
        let (part, fillet, r) = boundary(Corners::Fillet);
        let count = fillet.inside_corners as f64;
        assert!(
            (area(&fillet.edges) - part - count * (1.0 - std::f64::consts::FRAC_PI_4) * r * r)
                .abs()
                < 1e-6
        );
        // Bisector: half the disc, less the triangle that was waste before (legs sqrt 2 R).
        let bisector = area(&boundary(Corners::Bisector).1.edges);
        let bite = std::f64::consts::FRAC_PI_2 * r * r + r * r - 2.0 * r * r;
        assert!((part - bisector - count * bite).abs() < 1e-6);
        for choice in [Corners::Riser, Corners::Tread] {
            let along = area(&boundary(choice).1.edges);
            assert!((part - along - count * std::f64::consts::FRAC_PI_2 * r * r).abs() < 1e-6);
        }
    }

    #[test]
    fn the_riser_choice_keeps_every_tread_and_the_level_face_of_the_notch_whole() {
        for (choice, whole) in [(Corners::Riser, "tread 1"), (Corners::Tread, "riser 2")] {
            let job = testing::job();
            let e = testing::expectation(&job, choice);
            let length = |label: &str| {
                let edges = Boundary::new(&e.wanted(&e.pieces[0])).unwrap().edges;
                edges.iter().find(|edge| edge.role.to_string() == label).unwrap().segment.length()
            };
            let sharp = e.pieces[0]
                .part
                .edges()
                .iter()
                .find(|edge| edge.role.to_string() == whole)
                .unwrap();
            assert!((length(whole) - sharp.segment.length()).abs() < 1e-9, "{whole}");
        }
    }

    #[test]
    fn what_is_left_beside_a_part_lies_as_far_off_its_corners_as_off_its_edges() {
        let job = testing::job();
        let mut e = testing::expectation(&job, Corners::Fillet);
        let (part, left) = (e.pieces[0].part.clone(), 0.75);
        e.pieces[0].left = crate::units::Length::mm(left);
        let boundary = Boundary::new(&e.wanted(&e.pieces[0])).unwrap();
        // Steiner: A + P a + sum over outside corners of theta a^2 / 2; of a square inside corner
        // a^2 is counted twice, and the cutter leaves (1 - pi / 4) R^2 there.
        let r = e.machine.tool_radius().as_mm();
        let (count, square) = (boundary.inside_corners as f64, std::f64::consts::FRAC_PI_2);
        let outside = std::f64::consts::TAU + count * square;
        let wanted = part.area() + part.perimeter() * left + outside * left * left / 2.0
            - count * left * left
            + count * (1.0 - std::f64::consts::FRAC_PI_4) * r * r;
        assert!((area(&boundary.edges) - wanted).abs() < 1e-6, "{}", area(&boundary.edges));
        let joined = boundary.edges.iter().zip(boundary.edges.iter().cycle().skip(1));
        assert!(joined.clone().all(|(a, b)| (a.segment.to() - b.segment.from()).norm() < 1e-6));
    }

    #[test]
    fn an_inset_moves_every_edge_into_the_solid() {
        let job = testing::job();
        let mut e = testing::expectation(&job, Corners::Fillet);
        let before = Boundary::new(&e.wanted(&e.pieces[0])).unwrap();
        e.pieces[0].inset = crate::units::Length::mm(0.5);
        let after = Boundary::new(&e.wanted(&e.pieces[0])).unwrap();
        let longest = |b: &Boundary| {
            b.edges.iter().map(|edge| edge.segment.bounds().max.x).fold(0.0, f64::max)
        };
        assert!(area(&after.edges) < area(&before.edges) - 0.4 * e.pieces[0].part.perimeter());
        assert!(longest(&after) < longest(&before));
    }
}
