//! The polygon of a cut stringer, one construction for long and short flights. Elevation frame,
//! millimetres.

use super::Role;
use super::cleated::Cleat;
use super::ends::{Ends, HeadNotchProblem, HeadShape, NotchBox, SeatLine};
use super::housed::HousedProblem;
use super::pocket::Pocket;
use crate::geometry::tolerance::COINCIDENT_MM;
use crate::geometry::{Contour, Point};
use crate::job::Tie;
use crate::stair::Flight;
use crate::units::Length;

/// The finished part: simple, closed, counter-clockwise, straight edges, no vertex on a straight
/// line.
#[derive(Clone, Debug)]
pub struct Outline {
    pub(super) contour: Contour<Role>,
    pub(super) seat_length: Length,
    pub(super) head_cut_length: Length,
    pub(super) pitch_rad: f64,
    /// Angle of the board in the frame of the contour.
    pub(super) turn_rad: f64,
    pub(super) notch: NotchState,
    /// Whether the head reaches over the framing.
    pub(super) head_over: bool,
    pub(super) pockets: Vec<Pocket>,
    pub(super) cleats: Vec<Cleat>,
}

/// Why a flight has no stringer.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum OutlineProblem {
    /// The drop is as much as the first riser or more: nothing is left below the first tread.
    #[error("the drop takes the whole first riser: {0} is left of it")]
    NoFirstRiser(Length),
    /// The notches go through the board: the throat is 0 or less.
    #[error("the notches go through the board: the throat is {0}")]
    NoThroat(Length),
    /// The lower edge passes above the toe: the board is too narrow to stand on the floor.
    #[error("the board is too narrow to stand on the floor")]
    NoSeat,
    /// The spacer and boards leave no top tread cut.
    #[error("spacer and boards leave no top tread cut: {0}")]
    NoTopTread(Length),
    /// The lower edge meets the top tread before the plumb cut does.
    #[error("the lower edge meets the top tread cut of {0} before the plumb cut does")]
    TopTreadTooLong(Length),
    /// A seat along the ground comes up to the first tread cut.
    #[error("the seat along the ground leaves {0} under the first tread cut")]
    SeatReachesTread(Length),
    /// Ground as steep as the flight: a seat along it never meets the lower edge.
    #[error("a seat along the ground never meets the lower edge")]
    SeatNeverEnds,
    /// The head cannot be notched as its joint asks.
    #[error(transparent)]
    HeadNotch(#[from] HeadNotchProblem),
    /// The pockets of a housed stringer do not fit on its board.
    #[error(transparent)]
    Housed(#[from] HousedProblem),
}

/// Why a tie-plate notch cannot be cut.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum NotchProblem {
    /// It reaches the lower edge or the head: the seat ends before it does.
    #[error("the notch ends at {end}, the seat at {seat}")]
    BeyondSeat {
        /// Where the notch ends.
        end: Length,
        /// Where the seat ends.
        seat: Length,
    },
    /// It reaches the first tread cut.
    #[error("the notch is {height} high, the first tread cut {tread}")]
    ReachesTread {
        /// Height of the notch.
        height: Length,
        /// Height of the first tread cut.
        tread: Length,
    },
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum NotchState {
    None,
    Cut,
    LeftOut(NotchProblem),
}

impl Outline {
    /// The outline of a flight on a level seat under a plumb head, with a notch for `tie` if one is
    /// given. A notch that cannot be cut is left out and told by [`Outline::notch_problem`].
    ///
    /// # Errors
    /// If the flight has no stringer at all.
    pub fn new(flight: &Flight, tie: Option<&Tie>) -> Result<Self, OutlineProblem> {
        Self::ending(flight, &Ends { tie, ..Ends::default() })
    }

    /// The outline of a flight with these ends.
    pub(super) fn ending(flight: &Flight, ends: &Ends<'_>) -> Result<Self, OutlineProblem> {
        let Ends { tie, seat, head } = *ends;
        refuse_impossible(seat, flight)?;
        let (seat_end, head_foot) = lower_end(seat, flight)?;
        refuse_seat_at_tread(seat, seat_end, flight)?;
        let notch_box = tie.map(|tie| notch_box(seat, tie, flight, seat_end));
        let (mut vertices, notch) = match notch_box {
            None => (vec![(Point::new(0.0, seat.at_toe), Role::SeatCut)], NotchState::None),
            Some(Ok(notch)) => (notch.vertices(seat), NotchState::Cut),
            Some(Err(problem)) => {
                (vec![(Point::new(0.0, seat.at_toe), Role::SeatCut)], NotchState::LeftOut(problem))
            }
        };
        if head_foot > seat.at(seat_end) + COINCIDENT_MM {
            vertices.push((Point::new(seat_end, seat.at(seat_end)), Role::LowerEdge));
        }
        let at = (flight.head_cut_x.as_mm(), head_foot);
        let (at_head, end) = head.vertices(flight, seat_end, at)?;
        let cut_foot = at_head.last().map_or(head_foot, |(point, _)| point.y);
        vertices.extend(at_head);
        vertices.extend(steps(flight, end));
        let contour = Contour::polygon(&vertices).map_err(|_| OutlineProblem::NoSeat)?;
        Ok(Self {
            contour,
            seat_length: Length::mm(seat.length_to(seat_end)),
            head_cut_length: flight.tread_cut_y(flight.treads) - Length::mm(cut_foot),
            pitch_rad: flight.pitch_rad(),
            turn_rad: flight.pitch_rad(),
            notch,
            head_over: matches!(head, HeadShape::Over { .. }),
            pockets: Vec::new(),
            cleats: Vec::new(),
        })
    }

    /// The contour in the elevation frame.
    pub fn contour(&self) -> &Contour<Role> {
        &self.contour
    }

    /// From the first riser cut to the end of the seat along it, a notch included.
    pub fn seat_length(&self) -> Length {
        self.seat_length
    }

    /// Length of the top plumb cut, what a notch at the head takes left out.
    pub fn head_cut_length(&self) -> Length {
        self.head_cut_length
    }

    /// Angle of the nose line, in radians.
    pub fn pitch_rad(&self) -> f64 {
        self.pitch_rad
    }

    /// Angle of the board in the frame of the contour, in radians: the pitch, or less than nothing
    /// where the part is seen from the side on which it rises to the left.
    pub fn turn_rad(&self) -> f64 {
        self.turn_rad
    }

    /// Why the notch was left out, if it was.
    pub fn notch_problem(&self) -> Option<NotchProblem> {
        match self.notch {
            NotchState::LeftOut(problem) => Some(problem),
            NotchState::None | NotchState::Cut => None,
        }
    }
}

fn refuse_impossible(seat: SeatLine, flight: &Flight) -> Result<(), OutlineProblem> {
    let first_riser = flight.first_riser_cut() - Length::mm(seat.at_toe);
    if first_riser.as_mm() <= COINCIDENT_MM {
        return Err(OutlineProblem::NoFirstRiser(first_riser));
    }
    // A stringer of one tread has no inside corner on its upper side: any board is wide enough
    // there.
    if flight.treads > 1 && flight.behind_notches().as_mm() <= COINCIDENT_MM {
        return Err(OutlineProblem::NoThroat(flight.behind_notches()));
    }
    if flight.top_tread_cut.as_mm() <= COINCIDENT_MM {
        return Err(OutlineProblem::NoTopTread(flight.top_tread_cut));
    }
    if flight.unit_rise.as_mm() <= seat.fall * flight.unit_run.as_mm() + COINCIDENT_MM {
        return Err(OutlineProblem::SeatNeverEnds);
    }
    Ok(())
}

/// A seat along ground that comes up under the flight stays below the first tread cut, and so below
/// all others: it is less steep than the flight.
fn refuse_seat_at_tread(
    seat: SeatLine,
    seat_end: f64,
    flight: &Flight,
) -> Result<(), OutlineProblem> {
    let run = if flight.treads > 1 { flight.unit_run } else { flight.head_cut_x };
    let left = flight.first_riser_cut() - Length::mm(seat.at(seat_end.min(run.as_mm())));
    let reaches = seat.fall > 0.0 && left.as_mm() <= COINCIDENT_MM;
    if reaches { Err(OutlineProblem::SeatReachesTread(left)) } else { Ok(()) }
}

/// Where the seat ends and where the plumb cut does: the lower edge runs parallel to the nose line,
/// the board's depth below it. With one or two treads it may pass below the foot of the plumb cut;
/// then the seat runs to the head.
fn lower_end(seat: SeatLine, flight: &Flight) -> Result<(f64, f64), OutlineProblem> {
    let (rise, run) = (flight.unit_rise.as_mm(), flight.unit_run.as_mm());
    let edge_at_toe = flight.lower_edge_y(Length::ZERO).as_mm();
    let edge_at_head = flight.lower_edge_y(flight.head_cut_x).as_mm();
    let head_x = flight.head_cut_x.as_mm();
    if edge_at_toe >= seat.at_toe - COINCIDENT_MM {
        return Err(OutlineProblem::NoSeat);
    }
    if edge_at_head >= flight.tread_cut_y(flight.treads).as_mm() - COINCIDENT_MM {
        return Err(OutlineProblem::TopTreadTooLong(flight.top_tread_cut));
    }
    if edge_at_head <= seat.at(head_x) + COINCIDENT_MM {
        return Ok((head_x, seat.at(head_x)));
    }
    Ok(((seat.at_toe - edge_at_toe) / (rise / run - seat.fall), edge_at_head))
}

fn notch_box(
    seat: SeatLine,
    tie: &Tie,
    flight: &Flight,
    seat_end: f64,
) -> Result<NotchBox, NotchProblem> {
    let notch = NotchBox {
        from: tie.set_back.as_mm(),
        to: (tie.set_back + tie.width + tie.clearance).as_mm(),
        height: (tie.height + tie.clearance).as_mm(),
    };
    let end = seat.length_to(seat_end);
    if notch.to >= end - COINCIDENT_MM {
        return Err(NotchProblem::BeyondSeat { end: Length::mm(notch.to), seat: Length::mm(end) });
    }
    let highest = [notch.from, notch.to]
        .map(|along| seat.point(along, notch.height).y)
        .into_iter()
        .fold(seat.at_toe + notch.height, f64::max);
    let tread = flight.first_riser_cut();
    if highest >= tread.as_mm() - COINCIDENT_MM {
        let low = Length::mm(seat.at_toe);
        return Err(NotchProblem::ReachesTread {
            height: Length::mm(highest) - low,
            tread: tread - low,
        });
    }
    Ok(notch)
}

/// The sawtooth from the top of the head cut at `end` down to the first nose point.
fn steps(flight: &Flight, end: f64) -> Vec<(Point, Role)> {
    let mut vertices = Vec::with_capacity(2 * flight.treads);
    let mut x = end;
    for k in (1..=flight.treads).rev() {
        let y = flight.tread_cut_y(k).as_mm();
        vertices.push((Point::new(x, y), Role::Tread(k)));
        x = flight.nose_x(k).as_mm();
        vertices.push((Point::new(x, y), Role::Riser(k)));
    }
    vertices
}
