//! The ends of a cut stringer as the site asks for them: how its seat lies, and how its head meets
//! the framing.

use super::{Outline, Role};
use crate::geometry::tolerance::COINCIDENT_MM;
use crate::geometry::{Point, Vector};
use crate::job::{Job, Joint, Seat, Tie};
use crate::stair::Flight;
use crate::units::Length;

/// Vertices, each with the role of the edge that leaves it.
type Vertices = Vec<(Point, Role)>;

/// What is cut at foot and head.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Ends<'a> {
    /// The plate let into the foot.
    pub tie: Option<&'a Tie>,
    /// How the seat lies.
    pub seat: SeatLine,
    /// How the head is cut.
    pub head: HeadShape,
}

/// The line that the seat is cut along: level, or along ground that falls away from the head and
/// lies level with what the stringer stands on at the face of the first riser.
///
/// Elevation frame, in mm.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SeatLine {
    /// Height at the first riser cut.
    pub(super) at_toe: f64,
    /// Up per level length toward the head.
    pub(super) fall: f64,
}

/// How the head is cut.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) enum HeadShape {
    /// A plumb cut from the top tread to the lower edge.
    #[default]
    Plumb,
    /// A notch at the lower end of the plumb cut, for a ledger on the rim.
    Ledger { width: f64, height: f64 },
    /// The plumb cut ends on top of the framing, over which the head reaches on.
    Over { top: f64, bearing: f64 },
}

/// Why a head cannot be notched.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum HeadNotchProblem {
    /// The notch takes all the wood under a tread cut.
    #[error("the notch at the head leaves {0} of wood under the tread cut")]
    NoWood(Length),
    /// The notch reaches the seat.
    #[error("the notch at the head begins at {from}, and the seat ends at {seat}")]
    ReachesSeat {
        /// Where the notch begins, from the first riser cut.
        from: Length,
        /// Where the seat ends.
        seat: Length,
    },
    /// The head does not reach down to the framing that it is to lie on.
    #[error("the lower edge passes {0} above the framing that the head is to lie on")]
    NotReached(Length),
    /// Where it lies on the framing the head would reach below the board's lower edge.
    #[error("the head over the framing lies {0} outside the board")]
    OutsideBoard(Length),
}

impl<'a> Ends<'a> {
    /// Those of a job's cut stringer.
    pub(super) fn of(job: &'a Job, flight: &Flight) -> Self {
        let head = match job.around.joint {
            Some(Joint::LedgerNotch { width, height }) => {
                HeadShape::Ledger { width: width.as_mm(), height: height.as_mm() }
            }
            Some(Joint::TopOver { below, bearing }) => HeadShape::Over {
                top: (flight.framing_top_y() - below).as_mm(),
                bearing: bearing.as_mm(),
            },
            Some(Joint::AgainstRim | Joint::HangerBoard { .. } | Joint::DroppedHeader { .. })
            | None => HeadShape::Plumb,
        };
        Self { tie: job.plate(), seat: SeatLine::of(job), head }
    }
}

impl SeatLine {
    /// That of a job: the ground lies level with what the stringer stands on at the face of the
    /// first riser, a riser board before the riser cut. Geometry.
    pub fn of(job: &Job) -> Self {
        match job.around.ground {
            Some(ground) if ground.seat == Seat::Follow => {
                let at_toe = ground.fall * job.tread.riser_board.as_mm();
                Self { at_toe, fall: ground.fall }
            }
            _ => Self::default(),
        }
    }

    /// The same line, raised.
    pub(super) fn raised(self, by: f64) -> Self {
        Self { at_toe: self.at_toe + by, ..self }
    }

    /// Height of the line at x.
    pub fn at(self, x: f64) -> f64 {
        self.at_toe + self.fall * x
    }

    /// A point so far along the line from the first riser cut and so far square to it, into the
    /// wood.
    pub fn point(self, along: f64, into: f64) -> Point {
        let u = Vector::new(1.0, self.fall).normalize();
        Point::new(0.0, self.at_toe) + u * along + Vector::new(-u.y, u.x) * into
    }

    /// What lies so far square to the line, measured plumb.
    pub fn plumb(self, into: f64) -> f64 {
        into * self.fall.hypot(1.0)
    }

    /// Length along the line from the first riser cut to x.
    pub(super) fn length_to(self, x: f64) -> f64 {
        x * self.fall.hypot(1.0)
    }
}

impl HeadShape {
    /// The vertices from where the head leaves the lower edge to the lower end of the head cut,
    /// with that cut's place: `(vertices, x of the head cut)`.
    pub(super) fn vertices(
        self,
        flight: &Flight,
        seat_end: f64,
        (head_x, foot): (f64, f64),
    ) -> Result<(Vertices, f64), HeadNotchProblem> {
        let slope = flight.unit_rise.as_mm() / flight.unit_run.as_mm();
        match self {
            Self::Plumb => Ok((vec![(Point::new(head_x, foot), Role::HeadCut)], head_x)),
            Self::Ledger { width, height } => {
                let (from, top) = (head_x - width, foot + height);
                if from <= seat_end + COINCIDENT_MM {
                    let (from, seat) = (Length::mm(from), Length::mm(seat_end));
                    return Err(HeadNotchProblem::ReachesSeat { from, seat });
                }
                refuse_no_wood(flight, from, top)?;
                let vertices = vec![
                    (Point::new(from, foot - slope * width), Role::HeadNotch),
                    (Point::new(from, top), Role::HeadNotch),
                    (Point::new(head_x, top), Role::HeadCut),
                ];
                Ok((vertices, head_x))
            }
            Self::Over { top, bearing } => {
                if top <= foot + COINCIDENT_MM {
                    return Err(HeadNotchProblem::NotReached(Length::mm(foot - top)));
                }
                refuse_no_wood(flight, head_x, top)?;
                let end = head_x + bearing;
                let outside = flight.lower_edge_y(Length::mm(end)) - Length::mm(top);
                if outside.as_mm() > COINCIDENT_MM {
                    return Err(HeadNotchProblem::OutsideBoard(outside));
                }
                let vertices = vec![
                    (Point::new(head_x, foot), Role::HeadNotch),
                    (Point::new(head_x, top), Role::HeadNotch),
                    (Point::new(end, top), Role::HeadCut),
                ];
                Ok((vertices, end))
            }
        }
    }
}

/// The notch's upper corner at x stays under the tread cut above it.
fn refuse_no_wood(flight: &Flight, x: f64, top: f64) -> Result<(), HeadNotchProblem> {
    let above = (1..=flight.treads).rev().find(|&k| flight.nose_x(k).as_mm() < x - COINCIDENT_MM);
    let left = flight.tread_cut_y(above.unwrap_or(1)).as_mm() - top;
    if left <= COINCIDENT_MM { Err(HeadNotchProblem::NoWood(Length::mm(left))) } else { Ok(()) }
}

/// What of a stringer's head was notched.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeadNotch {
    /// Level length of the notch: what lies in it or what it lies on.
    pub length: Length,
    /// Its upright face.
    pub height: Length,
    /// Wood above it, plumb, up to the top tread cut.
    pub wood_above: Length,
    /// Whether the head reaches over the framing, and not a ledger into the head.
    pub over: bool,
}

impl Outline {
    /// Wood between the highest corner of the plate notch and the first tread cut, where a plate is
    /// let in.
    pub fn wood_above_notch(&self, flight: &Flight) -> Option<Length> {
        let corners = self.contour.edges().iter().filter(|edge| edge.role == Role::PlateNotch);
        let top = corners.map(|edge| edge.segment.from().y).reduce(f64::max)?;
        Some(flight.first_riser_cut() - Length::mm(top))
    }

    /// The notch at the head, where it has one.
    pub fn head_notch(&self) -> Option<HeadNotch> {
        let edges: Vec<_> =
            self.contour.edges().iter().filter(|edge| edge.role == Role::HeadNotch).collect();
        let [upright, level] = edges[..] else { return None };
        Some(HeadNotch {
            length: Length::mm(level.segment.length()),
            height: Length::mm(upright.segment.length()),
            wood_above: self.head_cut_length,
            over: self.head_over,
        })
    }
}

/// A notch for a plate on the seat's line: from, to, height, all along and square to it.
pub(super) struct NotchBox {
    pub from: f64,
    pub to: f64,
    pub height: f64,
}

impl NotchBox {
    /// The vertices from the toe along the seat, its end left out. A notch whose front would break
    /// out of the first riser cut takes the toe.
    pub(super) fn vertices(&self, seat: SeatLine) -> Vertices {
        let toe = (Point::new(0.0, seat.at_toe), Role::SeatCut);
        let front_top = seat.point(self.from, self.height);
        let mut vertices = Vec::new();
        if self.from > COINCIDENT_MM && front_top.x > COINCIDENT_MM {
            vertices.push(toe);
            vertices.push((seat.point(self.from, 0.0), Role::PlateNotch));
            vertices.push((front_top, Role::PlateNotch));
        } else {
            // The notch's top, run on to the riser cut.
            let top = seat.at_toe + seat.plumb(self.height);
            vertices.push((Point::new(0.0, top), Role::PlateNotch));
        }
        vertices.push((seat.point(self.to, self.height), Role::PlateNotch));
        vertices.push((seat.point(self.to, 0.0), Role::SeatCut));
        vertices
    }
}
