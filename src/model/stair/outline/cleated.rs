//! A cleated stringer: a solid board, plumb before the first nosing and at the head, level at the
//! floor and under the upper finish, and the cleats on its inner face that the treads lie on.
//!
//! The frame is the elevation's for a left-hand stringer; a right-hand one is constructed the other
//! way round, as a housed one is.

use super::construct::NotchState;
use super::housed::{across, polygon};
use super::{Outline, OutlineProblem, Role};
use crate::geometry::tolerance::COINCIDENT_MM;
use crate::geometry::{Placement, Point};
use crate::job::{CleatHoles, Cleated, Hand, Job, Meets};
use crate::stair::Flight;
use crate::units::Length;

/// The least from hole to hole in a cleat, in diameters (common practice, no source).
pub const HOLES_APART: f64 = 3.0;

/// One cleat or steel angle as it lies on the stringer's face.
#[derive(Clone, Debug, PartialEq)]
pub struct Cleat {
    /// Which tread lies on it, from 1 at the foot.
    pub number: usize,
    /// Its corners: front and back of its underside, back and front of the line that the tread's
    /// underside lies on.
    pub corners: [Point; 4],
    /// The middles of its holes, from the front; none where none are asked for or none fit.
    pub holes: Vec<Point>,
}

impl Cleat {
    /// The cleats of a flight from the bottom up, in the elevation frame.
    ///
    /// The top of each lies the tread's thickness under that tread's top: at the tread cut of a cut
    /// stringer, the drop taken off the foot once.
    pub fn all(job: &Job, flight: &Flight, cleated: &Cleated) -> Vec<Self> {
        (1..=flight.treads).map(|k| Self::nth(k, job, flight, cleated)).collect()
    }

    fn nth(k: usize, job: &Job, flight: &Flight, cleated: &Cleated) -> Self {
        let front = (nose_front(job, flight, k) + cleated.set_back).as_mm();
        let back = front + length(k, job, flight, cleated).as_mm();
        let top = flight.tread_cut_y(k).as_mm();
        let bottom = top - cleated.height.as_mm();
        let y = (top - cleated.with.leg_above().as_mm() + bottom) / 2.0;
        let corners = [(front, bottom), (back, bottom), (back, top), (front, top)];
        let holes = places(back - front, cleated);
        Self {
            number: k,
            corners: corners.map(|(x, y)| Point::new(x, y)),
            holes: holes.into_iter().map(|along| Point::new(front + along, y)).collect(),
        }
    }

    /// How long it is.
    pub fn length(&self) -> Length {
        Length::mm((self.corners[1] - self.corners[0]).norm())
    }

    fn map(&self, to: impl Fn(Point) -> Point) -> Self {
        Self {
            number: self.number,
            corners: self.corners.map(&to),
            holes: self.holes.iter().map(|p| to(*p)).collect(),
        }
    }
}

/// Where a carpenter marks a cleat from the stringer's upper edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CleatMark {
    /// Which tread lies on it.
    pub number: usize,
    /// Along the board from the toe end of the blank to where the line of the cleat's top meets the
    /// upper edge.
    pub along: Length,
    /// Along that line, which is level, from the edge to the front end of the cleat.
    pub front: Length,
    /// How long the cleat is.
    pub length: Length,
    /// Its top over what the stringer stands on.
    pub top: Length,
}

/// The front of the nosing of tread `k`.
pub fn nose_front(job: &Job, flight: &Flight, k: usize) -> Length {
    flight.nose_x(k) - job.tread.riser_board - job.tread.overhang
}

/// How deep tread `k` is from its nosing to its back, or to the end of the stringer where that
/// comes first.
pub fn depth_on_board(k: usize, job: &Job, flight: &Flight) -> Length {
    let front = nose_front(job, flight, k);
    let to_head = flight.head_cut_x - front;
    match job.head.meets {
        Meets::Flush if k == flight.treads => to_head,
        Meets::Flush | Meets::OneDown => flight.tread_finish.min(to_head),
    }
}

fn length(k: usize, job: &Job, flight: &Flight, cleated: &Cleated) -> Length {
    let usual = || (depth_on_board(k, job, flight) - cleated.set_back).max(Length::ZERO);
    cleated.length.unwrap_or_else(usual)
}

/// The least length of a cleat in which its holes find room.
pub fn least_length(cleated: &Cleated) -> Length {
    cleated.end * 2.0 + cleated.hole * (HOLES_APART * f64::from(cleated.count - 1))
}

/// The middles of the holes from the front end of a cleat of a length, in mm.
fn places(length: f64, cleated: &Cleated) -> Vec<f64> {
    let least = least_length(cleated).as_mm();
    if cleated.holes == CleatHoles::None || length < least - COINCIDENT_MM {
        return Vec::new();
    }
    let (end, count) = (cleated.end.as_mm(), cleated.count);
    let between = length - 2.0 * end;
    let nth = |i: u32| end + between * f64::from(i) / f64::from(count - 1);
    if count == 1 { vec![length / 2.0] } else { (0..count).map(nth).collect() }
}

pub(super) struct Draft<'a> {
    pub job: &'a Job,
    pub flight: &'a Flight,
    pub cleated: &'a Cleated,
}

/// A vertex and the role of the side that leaves it.
type Vertex = (Point, Role);

impl Draft<'_> {
    pub(super) fn outline(&self) -> Result<Outline, OutlineProblem> {
        let (first, top) = (self.flight.first_riser_cut(), self.flight.top_tread_cut);
        if first.as_mm() <= COINCIDENT_MM {
            return Err(OutlineProblem::NoFirstRiser(first));
        }
        if top.as_mm() <= COINCIDENT_MM {
            return Err(OutlineProblem::NoTopTread(top));
        }
        let (vertices, seat_length, head_cut_length) = self.board()?;
        let hand = self.cleated.hand;
        let contour = polygon(&vertices, hand).ok_or(OutlineProblem::NoSeat)?;
        let handed = |p: Point| if hand == Hand::Right { across(p) } else { p };
        let cleats = Cleat::all(self.job, self.flight, self.cleated);
        let pitch_rad = self.flight.pitch_rad();
        Ok(Outline {
            contour,
            seat_length: Length::mm(seat_length),
            head_cut_length: Length::mm(head_cut_length),
            pitch_rad,
            turn_rad: if hand == Hand::Right { -pitch_rad } else { pitch_rad },
            notch: NotchState::None,
            head_over: false,
            pockets: Vec::new(),
            cleats: cleats.iter().map(|cleat| cleat.map(handed)).collect(),
        })
    }

    /// Rise over run.
    fn slope(&self) -> f64 {
        self.flight.unit_rise.as_mm() / self.flight.unit_run.as_mm()
    }

    /// Height of the board's upper edge: parallel to the line through the finished nosings.
    fn upper_y(&self, x: f64) -> f64 {
        let over = self.cleated.edge_above.as_mm() * self.slope().hypot(1.0);
        let nosing = (self.flight.tread_cut_y(1) + self.flight.tread_thickness).as_mm();
        nosing + self.slope() * (x - self.foot_x()) + over
    }

    fn lower_y(&self, x: f64) -> f64 {
        self.upper_y(x) - self.job.board.width.as_mm() * self.slope().hypot(1.0)
    }

    /// The plumb cut at the foot stands at the front of the first nosing.
    fn foot_x(&self) -> f64 {
        nose_front(self.job, self.flight, 1).as_mm()
    }

    /// The level cut at the head: the framing's top, on which the upper finish lies; beside a top
    /// tread that is level with that finish, its top.
    fn level_y(&self) -> f64 {
        let finish = match self.job.head.meets {
            Meets::OneDown => Length::ZERO,
            Meets::Flush => self.flight.head_finish,
        };
        (self.flight.framing_top_y() + finish).as_mm()
    }

    /// Where the level cut at the head begins, once the upper edge has come up to it.
    fn level_x(&self) -> f64 {
        let below = self.upper_y(self.foot_x()) - self.level_y();
        self.foot_x() + (-below / self.slope()).max(0.0)
    }

    /// The board, with the lengths of seat and plumb cut at the head.
    fn board(&self) -> Result<(Vec<Vertex>, f64, f64), OutlineProblem> {
        let (foot_x, head_x) = (self.foot_x(), self.flight.head_cut_x.as_mm());
        if self.lower_y(foot_x) >= -COINCIDENT_MM || self.upper_y(foot_x) <= COINCIDENT_MM {
            return Err(OutlineProblem::NoSeat);
        }
        let seat_x = (foot_x - self.lower_y(foot_x) / self.slope()).min(head_x);
        let head_y = self.lower_y(head_x).max(0.0);
        let top = self.upper_y(head_x).min(self.level_y());
        if top <= head_y + COINCIDENT_MM {
            return Err(OutlineProblem::TopTreadTooLong(self.flight.top_tread_cut));
        }
        let mut vertices = vec![(Point::new(foot_x, 0.0), Role::SeatCut)];
        if head_y > COINCIDENT_MM {
            vertices.push((Point::new(seat_x, 0.0), Role::LowerEdge));
        }
        vertices.push((Point::new(head_x, head_y), Role::HeadCut));
        let level_x = head_x - (self.upper_y(head_x) - top) / self.slope();
        if level_x < head_x - COINCIDENT_MM {
            vertices.push((Point::new(head_x, top), Role::HeadLevel));
        }
        if level_x > foot_x + COINCIDENT_MM {
            vertices.push((Point::new(level_x, top), Role::UpperEdge));
            vertices.push((Point::new(foot_x, self.upper_y(foot_x)), Role::FootCut));
        } else {
            vertices.push((Point::new(foot_x, top), Role::FootCut));
        }
        Ok((vertices, seat_x - foot_x, top - head_y))
    }

    /// Along the board.
    fn along(&self, p: Point) -> f64 {
        let pitch = self.flight.pitch_rad();
        p.x * pitch.cos() + p.y * pitch.sin()
    }

    /// The toe end of the blank, along the board.
    fn toe_end(&self) -> f64 {
        self.along(Point::new(self.foot_x(), 0.0))
    }

    /// The marks along the upper edge, for somebody who lays the board out by hand.
    pub(super) fn marks(&self) -> Vec<CleatMark> {
        let toe_end = self.toe_end();
        let mark = |cleat: Cleat| {
            let top = cleat.corners[3];
            let met = self.foot_x() + (top.y - self.upper_y(self.foot_x())) / self.slope();
            CleatMark {
                number: cleat.number,
                along: Length::mm(self.along(Point::new(met, top.y)) - toe_end),
                front: Length::mm(top.x - met),
                length: cleat.length(),
                top: Length::mm(top.y),
            }
        };
        Cleat::all(self.job, self.flight, self.cleated).into_iter().map(mark).collect()
    }
}

/// Where something meets the upper side of a solid board.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Met {
    /// On the upper edge: along it from the toe end of the blank.
    Edge(Length),
    /// On the level cut at the head: along that from the corner where the upper edge ends.
    LevelCut(Length),
}

/// A plumb line across the face of a solid board, so far behind the first riser cut: what is
/// fastened to its outer face is set to it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlumbLine {
    /// Where it meets the board's upper side.
    pub met: Met,
    /// Its lower end, at the lower edge or at the seat, over what the stringer stands on.
    pub lower: Length,
}

impl PlumbLine {
    /// That of a cleated stringer at `x`.
    pub fn of(job: &Job, flight: &Flight, cleated: &Cleated, x: Length) -> Self {
        let draft = Draft { job, flight, cleated };
        let (x, upper) = (x.as_mm(), draft.upper_y(x.as_mm()));
        let is_cut_level = upper > draft.level_y() + COINCIDENT_MM;
        let from_toe = draft.along(Point::new(x, upper)) - draft.toe_end();
        Self {
            met: match is_cut_level {
                true => Met::LevelCut(Length::mm(x - draft.level_x())),
                false => Met::Edge(Length::mm(from_toe)),
            },
            lower: Length::mm(draft.lower_y(x).max(0.0)),
        }
    }
}

/// Where the cleats of a job are marked from the upper edge; none on another stringer.
pub fn cleat_marks(job: &Job, flight: &Flight) -> Vec<CleatMark> {
    let cleated = job.stringer.cleated();
    cleated.map_or_else(Vec::new, |cleated| Draft { job, flight, cleated }.marks())
}

impl Outline {
    /// The cleats of a cleated stringer, in the frame of the contour; none on another.
    pub fn cleats(&self) -> &[Cleat] {
        &self.cleats
    }

    /// The upper end of the plumb cut at the head, over what the stringer stands on.
    pub fn head_top(&self) -> Option<Length> {
        let head = self.contour.edges().iter().filter(|edge| edge.role == Role::HeadCut);
        let ends = head.flat_map(|edge| [edge.segment.from().y, edge.segment.to().y]);
        ends.reduce(f64::max).map(Length::mm)
    }

    /// The cleats in the board frame.
    pub fn cleats_in_board_frame(&self) -> Vec<Cleat> {
        let to_board: Placement = self.to_board();
        self.cleats.iter().map(|cleat| cleat.map(|p| to_board * p)).collect()
    }
}
