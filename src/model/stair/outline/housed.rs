//! A housed stringer: a board with parallel edges, and the pockets for treads and risers on its
//! inner face.
//!
//! The frame is the elevation's for a left-hand stringer. A right-hand one is constructed the other
//! way round, point by point: x runs toward the lower floor there. Nothing made is ever mirrored
//! afterwards.

use super::cleated;
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
    /// The outline of a job's stringer, cut, housed or with cleats.
    ///
    /// # Errors
    /// If the flight has no such stringer.
    pub fn of(job: &Job, flight: &Flight) -> Result<Self, OutlineProblem> {
        match &job.stringer {
            Stringer::Cut => Self::ending(flight, &Ends::of(job, flight)),
            Stringer::Housed(housed) => Draft { job, flight, housed }.outline(),
            Stringer::Cleated(cleated) => cleated::Draft { job, flight, cleated }.outline(),
        }
    }

    /// The pockets of a housed stringer, in the frame of the contour; none on a cut one.
    pub fn pockets(&self) -> &[Pocket] {
        &self.pockets
    }

    /// The upper corner of the nosing of every tread's pocket in the board frame, from the foot up.
    pub fn nosings_in_board_frame(&self) -> Vec<Point> {
        let mut nosings = Vec::new();
        for pocket in self.pockets_in_board_frame() {
            for edge in pocket.contour.edges() {
                if let PocketRole::Nosing(k) = edge.role {
                    let (a, b) = (edge.segment.from(), edge.segment.to());
                    nosings.push((k, if b.y > a.y { b } else { a }));
                }
            }
        }
        nosings.sort_by_key(|(k, _)| *k);
        nosings.into_iter().map(|(_, corner)| corner).collect()
    }

    /// The pockets in the board frame.
    pub fn pockets_in_board_frame(&self) -> Vec<Pocket> {
        let to_board = self.to_board();
        self.pockets.iter().map(|pocket| pocket.placed(&to_board)).collect()
    }
}

/// What a wedge holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WedgeUnder {
    /// Tread `k` against the top of its pocket.
    Tread(usize),
    /// Riser board `k` against the front of its pocket.
    Riser(usize),
}

/// A wedge that fills what a pocket is wider than its board, for one stringer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wedge {
    /// What it holds.
    pub under: WedgeUnder,
    /// Along the board that it holds.
    pub length: Length,
    /// Square to the stringer's face: as deep as the pocket.
    pub width: Length,
    /// Its thickness at the thin end.
    pub thin: Length,
    /// And at the thick end.
    pub thick: Length,
}

/// The wedges of one housed stringer, from the foot up, treads first; none where its pockets have
/// parallel sides.
///
/// Under a tread from behind the riser board below it, where there is one, else from the nosing, to
/// the pocket's end; behind a riser board from its foot up to the tread. A wedge is as thick as the
/// pocket is wider than the board there: the clearance, and of the wedge what the place has.
pub fn wedges(job: &Job, flight: &Flight) -> Vec<Wedge> {
    let Some(housed) = job.stringer.housed().filter(|of| of.wedge > Length::ZERO) else {
        return Vec::new();
    };
    let draft = Draft { job, flight, housed };
    let wedge = |under, length: f64, thin: f64| Wedge {
        under,
        length: Length::mm(length),
        width: housed.depth,
        thin: Length::mm(thin),
        thick: housed.clearance + housed.wedge,
    };
    let treads = (1..=draft.treads()).map(|k| {
        let (begin, end) = (draft.wedge_begin(k), draft.tread_end(k));
        let [a, b] = [begin, end].map(|x| Point::new(x, draft.underside(k, x)));
        let thin = flight.tread_cut_y(k).as_mm() - a.y;
        wedge(WedgeUnder::Tread(k), (b - a).norm(), thin)
    });
    let risers = (1..=draft.treads()).filter(|_| draft.is_closed()).map(|k| {
        let length = (draft.back_top(k) - draft.back_foot(k)).norm();
        wedge(WedgeUnder::Riser(k), length, housed.clearance.as_mm())
    });
    treads.chain(risers).filter(|of| of.length > Length::ZERO).collect()
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
            cleats: Vec::new(),
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

    /// Where the wedge under tread `k` begins: behind the riser board, or at the nosing.
    fn wedge_begin(&self, k: usize) -> f64 {
        if self.is_closed() { self.back_top(k).x } else { self.nose_front(k) }
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

pub(super) fn across(p: Point) -> Point {
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::read_job;

    /// An invented stair: risers of 7 1/2 in, runs of 10 in, treads 1 1/4 in thick, riser boards
    /// 3/4 in, nosings 1 in, wedges of 3/8 in, clearance 1/16 in.
    fn found(riser_board: &str) -> Vec<Wedge> {
        let text = format!(
            "rules = \"us-irc-2021\"\n[rise]\ntotal = \"30 in\"\nrisers = 4\n[tread]\ncut = \"10 \
                in\"\noverhang = \"1 in\"\n\
             thickness = \"1 1/4 in\"\nriser_board = \"{riser_board}\"\n[head]\nmeets \
             = \"one-down\"\nfinish = \"1 in\"\n\
             [board]\nwidth = \"15 in\"\nthickness = \"1 1/2 in\"\n[housed]\nhand \
             = \"left\"\ndepth = \"1/2 in\"\n\
             wedge = \"3/8 in\"\nclearance = \"1/16 in\"\nland = \"1/2 in\"\n"
        );
        let job = read_job("job.toml", &text, &|path| panic!("{path}")).unwrap();
        wedges(&job, &Flight::new(&job, 4))
    }

    fn of(wedges: &[Wedge], under: WedgeUnder) -> [f64; 4] {
        let wedge = wedges.iter().find(|wedge| wedge.under == under).unwrap();
        [wedge.length, wedge.width, wedge.thin, wedge.thick].map(Length::as_inches)
    }

    fn close(found: [f64; 4], wanted: [f64; 4]) {
        let off = |(a, b): (&f64, &f64)| (a - b).abs() < 1e-9;
        assert!(found.iter().zip(&wanted).all(off), "{found:?} for {wanted:?}");
    }

    #[test]
    fn wedges_of_open_risers_are_as_long_as_the_tread() {
        let found = found("0 in");
        assert_eq!(found.len(), 3);
        // From the nosing 1 in before the riser's line to the next one's 10 in behind it; the last
        // one stops by the land before the plumb cut.
        let slope = |level: f64| level.hypot(0.375);
        close(of(&found, WedgeUnder::Tread(1)), [slope(11.0), 0.5, 0.0625, 0.4375]);
        close(of(&found, WedgeUnder::Tread(3)), [slope(10.5), 0.5, 0.0625, 0.4375]);
    }

    #[test]
    fn behind_riser_boards_wedges_stand_and_those_of_treads_begin() {
        let found = found("3/4 in");
        assert_eq!(found.len(), 6);
        // The pocket of tread 2 is 1 + 3/4 + 10 + 1/16 + 3/8 long; 1 + 3/4 + 1/16 of it are before
        // the wedge, so that much of the 3/8 in is there already.
        let (whole, before): (f64, f64) = (12.1875, 1.8125);
        let thin = 0.0625 + 0.375 * before / whole;
        let (level, fall) = (whole - before, 0.375 * (whole - before) / whole);
        close(of(&found, WedgeUnder::Tread(2)), [level.hypot(fall), 0.5, thin, 0.4375]);
        // Riser 2 stands in the pocket of tread 1 down to its end, 7 1/2 in lower there, and leans
        // by the wedge; at its top the pocket of tread 2 is 0.0558 in lower than at the nosing.
        let up = 7.5 + 0.375 - 0.375 * before / whole;
        close(of(&found, WedgeUnder::Riser(2)), [up.hypot(0.375), 0.5, 0.0625, 0.4375]);
        // The lowest one from the land over the seat up to the first tread, its cut at 6 1/4 in.
        let up = 6.25 - 0.0625 - 0.375 * before / whole - 0.5;
        close(of(&found, WedgeUnder::Riser(1)), [up.hypot(0.375), 0.5, 0.0625, 0.4375]);
    }

    #[test]
    fn pockets_with_parallel_sides_have_no_wedges() {
        let text = "[rise]\ntotal = \"30 in\"\n[tread]\ncut = \"10 in\"\nthickness = \"1 \
            in\"\n[head]\nfinish = \"1 in\"\n\
                    [board]\nwidth = \"15 in\"\nthickness = \"1 1/2 in\"\n[housed]\nhand \
                    = \"left\"\ndepth = \"1/2 in\"\n";
        let job = read_job("job.toml", text, &|path| panic!("{path}")).unwrap();
        assert_eq!(wedges(&job, &Flight::new(&job, 4)), []);
    }
}
