//! A housed stringer: a board with parallel edges, and the pockets for treads and risers on its
//! inner face.
//!
//! The frame is the elevation's for a left-hand stringer. A right-hand one is constructed the other
//! way round, point by point: x runs toward the lower floor there. Nothing made is ever mirrored
//! afterwards.

use super::construct::NotchState;
use super::ends::Ends;
use super::pocket::{Cell, Pocket, PocketRole};
use super::{Outline, OutlineProblem, Role};
use crate::geometry::tolerance::COINCIDENT_MM;
use crate::geometry::{Contour, Point, Vector};
use crate::job::{Hand, Housed, Job, Stringer};
use crate::stair::Flight;
use crate::units::Length;

/// Why a flight has no housed stringer.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum HousedProblem {
    /// Too little wood stays between a pocket and an edge of the board.
    #[error("{left} of wood stays at {place}, {land} is asked for")]
    Thin {
        /// The side of the pocket and the edge.
        place: String,
        /// What stays.
        left: Length,
        /// What was asked for.
        land: Length,
        /// The width of board that would do, where a wider one helps.
        width: Option<Length>,
    },
    /// The boards do not fit between each other: a pocket would cross itself.
    #[error("the boards do not fit between each other: a pocket would cross itself")]
    NoPocket,
}

impl Outline {
    /// The outline of a job's stringer, cut or housed.
    ///
    /// # Errors
    /// If the flight has no such stringer.
    pub fn of(job: &Job, flight: &Flight) -> Result<Self, OutlineProblem> {
        match &job.stringer {
            Stringer::Cut => Self::ending(flight, &Ends::of(job, flight)),
            Stringer::Housed(housed) => Draft { job, flight, housed }.outline(),
        }
    }

    /// The pockets of a housed stringer, in the frame of the contour; none on a cut one.
    pub fn pockets(&self) -> &[Pocket] {
        &self.pockets
    }

    /// The pockets in the board frame.
    pub fn pockets_in_board_frame(&self) -> Vec<Pocket> {
        let to_board = self.to_board();
        self.pockets.iter().map(|pocket| pocket.placed(&to_board)).collect()
    }
}

/// A vertex and the role of the side that leaves it.
type Vertex<R> = (Point, R);

struct Draft<'a> {
    job: &'a Job,
    flight: &'a Flight,
    housed: &'a Housed,
}

impl Draft<'_> {
    fn outline(&self) -> Result<Outline, OutlineProblem> {
        self.refuse_impossible()?;
        let (vertices, seat_length, head_cut_length) = self.board()?;
        let contour = polygon(&vertices, self.housed.hand).ok_or(OutlineProblem::NoSeat)?;
        let pockets = self.pockets().ok_or(OutlineProblem::Housed(HousedProblem::NoPocket))?;
        if let Some(problem) = self.thin(&contour, &pockets) {
            return Err(OutlineProblem::Housed(problem));
        }
        let pitch_rad = self.flight.pitch_rad();
        let turn_rad = match self.housed.hand {
            Hand::Left => pitch_rad,
            Hand::Right => -pitch_rad,
        };
        let (seat_length, head_cut_length) = (Length::mm(seat_length), Length::mm(head_cut_length));
        Ok(Outline {
            contour,
            seat_length,
            head_cut_length,
            pitch_rad,
            turn_rad,
            notch: NotchState::None,
            head_over: false,
            pockets,
        })
    }

    fn refuse_impossible(&self) -> Result<(), OutlineProblem> {
        let (first, top) = (self.flight.first_riser_cut(), self.flight.top_tread_cut);
        if first.as_mm() <= COINCIDENT_MM {
            return Err(OutlineProblem::NoFirstRiser(first));
        }
        if top.as_mm() <= COINCIDENT_MM {
            return Err(OutlineProblem::NoTopTread(top));
        }
        Ok(())
    }

    fn treads(&self) -> usize {
        self.flight.treads
    }

    fn riser_board(&self) -> f64 {
        self.job.tread.riser_board.as_mm()
    }

    /// Whether risers have boards, so that all pockets are one.
    fn is_closed(&self) -> bool {
        self.riser_board() > 0.0
    }

    /// Rise over run.
    fn slope(&self) -> f64 {
        self.flight.unit_rise.as_mm() / self.flight.unit_run.as_mm()
    }

    fn nose_front(&self, k: usize) -> f64 {
        self.flight.nose_x(k).as_mm() - self.riser_board() - self.job.tread.overhang.as_mm()
    }

    fn tread_top(&self, k: usize) -> f64 {
        (self.flight.tread_cut_y(k) + self.flight.tread_thickness).as_mm()
    }

    /// Height of the board's upper edge: parallel to the line through the finished nosings.
    fn upper_y(&self, x: f64) -> f64 {
        let over = self.housed.edge_above.as_mm() * self.slope().hypot(1.0);
        self.tread_top(1) + self.slope() * (x - self.nose_front(1)) + over
    }

    fn lower_y(&self, x: f64) -> f64 {
        self.upper_y(x) - self.job.board.width.as_mm() * self.slope().hypot(1.0)
    }

    /// The board: plumb before the first nosing and at the head, level at the floor. With length of
    /// seat and head cut.
    fn board(&self) -> Result<(Vec<Vertex<Role>>, f64, f64), OutlineProblem> {
        let foot_x = self.nose_front(1) - self.housed.land.as_mm();
        let head_x = self.flight.head_cut_x.as_mm();
        if self.lower_y(foot_x) >= -COINCIDENT_MM || self.upper_y(foot_x) <= COINCIDENT_MM {
            return Err(OutlineProblem::NoSeat);
        }
        let seat_x = (foot_x - self.lower_y(foot_x) / self.slope()).min(head_x);
        let head_y = self.lower_y(head_x).max(0.0);
        let mut vertices = vec![(Point::new(foot_x, 0.0), Role::SeatCut)];
        if head_y > COINCIDENT_MM {
            vertices.push((Point::new(seat_x, 0.0), Role::LowerEdge));
        }
        vertices.push((Point::new(head_x, head_y), Role::HeadCut));
        vertices.push((Point::new(head_x, self.upper_y(head_x)), Role::UpperEdge));
        vertices.push((Point::new(foot_x, self.upper_y(foot_x)), Role::FootCut));
        Ok((vertices, seat_x - foot_x, self.upper_y(head_x) - head_y))
    }

    /// Where the pocket of tread `k` ends.
    fn tread_end(&self, k: usize) -> f64 {
        if k == self.treads() {
            return self.flight.head_cut_x.as_mm() - self.housed.land.as_mm();
        }
        let back = self.flight.nose_x(k + 1).as_mm();
        if self.is_closed() {
            back + self.housed.clearance.as_mm() + self.housed.wedge.as_mm()
        } else {
            back
        }
    }

    /// The underside of the pocket of tread `k`: as far below the tread's top as it is thick and
    /// the clearance wide at the nosing, a wedge more at its end.
    fn underside(&self, k: usize, x: f64) -> f64 {
        let (front, end) = (self.nose_front(k), self.tread_end(k));
        let wedge = self.housed.wedge.as_mm() * (x - front) / (end - front);
        self.flight.tread_cut_y(k).as_mm() - self.housed.clearance.as_mm() - wedge
    }

    fn riser_front(&self, k: usize) -> f64 {
        self.flight.nose_x(k).as_mm() - self.riser_board()
    }

    /// Upper end of the back of riser pocket `k`.
    fn back_top(&self, k: usize) -> Point {
        let x = self.flight.nose_x(k).as_mm() + self.housed.clearance.as_mm();
        Point::new(x, self.underside(k, x))
    }

    /// Lower end of it: a wedge farther back.
    fn back_foot(&self, k: usize) -> Point {
        if k == 1 {
            let x = self.back_top(1).x + self.housed.wedge.as_mm();
            return Point::new(x, self.first_riser_foot());
        }
        Point::new(self.tread_end(k - 1), self.underside(k - 1, self.tread_end(k - 1)))
    }

    /// The first riser stands on the finished floor, but its pocket stays off the seat.
    fn first_riser_foot(&self) -> f64 {
        self.housed.land.max(self.flight.base()).as_mm()
    }

    fn pockets(&self) -> Option<Vec<Pocket>> {
        if (1..=self.treads()).any(|k| self.tread_end(k) <= self.nose_front(k) + COINCIDENT_MM) {
            return None;
        }
        if self.is_closed() {
            if (1..=self.treads()).any(|k| self.has_no_riser(k)) {
                return None;
            }
            let treads = (1..=self.treads()).map(|k| self.tread_cell(k));
            let cells = treads.chain((1..=self.treads()).map(|k| self.riser_cell(k))).collect();
            return Some(vec![self.pocket(&self.trench(), cells)?]);
        }
        (1..=self.treads())
            .map(|k| self.pocket(&self.tread_pocket(k), vec![self.tread_cell(k)]))
            .collect()
    }

    /// Whether nothing of riser `k` is left between what it stands on and the tread over it.
    fn has_no_riser(&self, k: usize) -> bool {
        let foot = if k == 1 { self.first_riser_foot() } else { self.tread_top(k - 1) };
        foot >= self.underside(k, self.riser_front(k)).min(self.back_top(k).y) - COINCIDENT_MM
    }

    fn pocket(&self, vertices: &[Vertex<PocketRole>], cells: Vec<Cell>) -> Option<Pocket> {
        let contour = polygon(vertices, self.housed.hand).filter(Contour::is_simple_polygon)?;
        let cells = cells.into_iter().map(|cell| handed(cell, self.housed.hand)).collect();
        Some(Pocket { contour, cells, depth: self.housed.depth })
    }

    /// The pocket of one tread without risers.
    fn tread_pocket(&self, k: usize) -> Vec<Vertex<PocketRole>> {
        let (front, end, top) = (self.nose_front(k), self.tread_end(k), self.tread_top(k));
        vec![
            (Point::new(front, self.underside(k, front)), PocketRole::TreadUnderside(k)),
            (Point::new(end, self.underside(k, end)), PocketRole::TreadEnd(k)),
            (Point::new(end, top), PocketRole::TreadTop(k)),
            (Point::new(front, top), PocketRole::Nosing(k)),
        ]
    }

    /// All treads and risers as one pocket: where a riser meets a tread their pockets meet.
    fn trench(&self) -> Vec<Vertex<PocketRole>> {
        let mut vertices = vec![(
            Point::new(self.riser_front(1), self.first_riser_foot()),
            PocketRole::RiserFoot(1),
        )];
        for k in 1..=self.treads() {
            vertices.push((self.back_foot(k), PocketRole::RiserBack(k)));
            vertices.push((self.back_top(k), PocketRole::TreadUnderside(k)));
        }
        let (last, end) = (self.treads(), self.tread_end(self.treads()));
        vertices.push((Point::new(end, self.underside(last, end)), PocketRole::TreadEnd(last)));
        vertices.push((Point::new(end, self.tread_top(last)), PocketRole::TreadTop(last)));
        for k in (1..=self.treads()).rev() {
            let (front, riser) = (self.nose_front(k), self.riser_front(k));
            vertices.push((Point::new(front, self.tread_top(k)), PocketRole::Nosing(k)));
            if riser - front > COINCIDENT_MM {
                vertices.push((
                    Point::new(front, self.underside(k, front)),
                    PocketRole::TreadUnderside(k),
                ));
                vertices
                    .push((Point::new(riser, self.underside(k, riser)), PocketRole::RiserFace(k)));
            }
            if k > 1 {
                vertices
                    .push((Point::new(riser, self.tread_top(k - 1)), PocketRole::TreadTop(k - 1)));
            }
        }
        vertices
    }

    fn tread_cell(&self, k: usize) -> Cell {
        let (front, end, top) = (self.nose_front(k), self.tread_end(k), self.tread_top(k));
        let back =
            if self.is_closed() && k < self.treads() { self.back_at(k + 1, top) } else { end };
        let corners = vec![
            Point::new(front, self.underside(k, front)),
            Point::new(end, self.underside(k, end)),
            Point::new(back, top),
            Point::new(front, top),
        ];
        Cell { name: format!("tread pocket {k}"), corners, along: Vector::x() }
    }

    /// Up into the tread's pocket, so that the two overlap.
    fn riser_cell(&self, k: usize) -> Cell {
        let (front, top, foot) = (self.riser_front(k), self.tread_top(k), self.back_foot(k));
        let front_foot = if k == 1 { foot.y } else { self.underside(k - 1, front) };
        let corners = vec![
            Point::new(front, front_foot),
            foot,
            Point::new(self.back_at(k, top), top),
            Point::new(front, top),
        ];
        Cell { name: format!("riser pocket {k}"), corners, along: Vector::y() }
    }

    /// Where the line of the back of riser pocket `k` passes at a height.
    fn back_at(&self, k: usize, y: f64) -> f64 {
        let (foot, top) = (self.back_foot(k), self.back_top(k));
        top.x + (foot.x - top.x) * (y - top.y) / (foot.y - top.y)
    }

    /// The thinnest place between a pocket and an edge, if it is thinner than asked for.
    fn thin(&self, board: &Contour<Role>, pockets: &[Pocket]) -> Option<HousedProblem> {
        let mut thinnest: Option<(f64, PocketRole, Role)> = None;
        for edge in board.edges() {
            let (from, along) = (edge.segment.from(), edge.segment.direction_at(0.0));
            for side in pockets.iter().flat_map(|pocket| pocket.contour.edges()) {
                // The board is convex: it lies to the left of the line of each of its edges.
                let left = crate::geometry::cross(along, side.segment.from() - from);
                if thinnest.as_ref().is_none_or(|(least, ..)| left < *least) {
                    thinnest = Some((left, side.role, edge.role));
                }
            }
        }
        let (left, side, edge) = thinnest?;
        let land = self.housed.land;
        if left >= land.as_mm() - COINCIDENT_MM {
            return None;
        }
        let width =
            (edge == Role::LowerEdge).then(|| self.job.board.width + land - Length::mm(left));
        Some(HousedProblem::Thin {
            place: format!("{side} over {edge}"),
            left: Length::mm(left),
            land,
            width,
        })
    }
}

/// The contour through vertices given counter-clockwise for a left-hand stringer; constructed the
/// other way round for a right-hand one.
pub(super) fn polygon<R: Copy>(vertices: &[Vertex<R>], hand: Hand) -> Option<Contour<R>> {
    match hand {
        Hand::Left => Contour::polygon(vertices).ok(),
        Hand::Right => {
            let count = vertices.len();
            let turned = |i: usize| (across(vertices[i].0), vertices[(i + count - 1) % count].1);
            Contour::polygon(&(0..count).rev().map(turned).collect::<Vec<_>>()).ok()
        }
    }
}

fn across(p: Point) -> Point {
    Point::new(-p.x, p.y)
}

fn handed(cell: Cell, hand: Hand) -> Cell {
    match hand {
        Hand::Left => cell,
        Hand::Right => {
            Cell { corners: cell.corners.iter().rev().map(|p| across(*p)).collect(), ..cell }
        }
    }
}
