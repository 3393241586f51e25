//! The polygon of a cut stringer, one construction for long and short flights. Elevation frame,
//! millimetres.

use super::Role;
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
    pub(super) pockets: Vec<Pocket>,
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

/// The notch as a rectangle on the seat: from, to, height.
struct NotchBox {
    from: f64,
    to: f64,
    height: f64,
}

impl Outline {
    /// The outline of a flight, with a notch for `tie` if one is given. A notch that cannot be cut
    /// is left out and told by [`Outline::notch_problem`].
    ///
    /// # Errors
    /// If the flight has no stringer at all.
    pub fn new(flight: &Flight, tie: Option<&Tie>) -> Result<Self, OutlineProblem> {
        Self::standing_at(Length::ZERO, flight, tie)
    }

    /// The outline of a flight's board whose seat lies at this level, over the surface the stringer
    /// stands on.
    pub(super) fn standing_at(
        level: Length,
        flight: &Flight,
        tie: Option<&Tie>,
    ) -> Result<Self, OutlineProblem> {
        refuse_impossible(level, flight)?;
        let level = level.as_mm();
        let (seat_end, head_foot) = lower_end(level, flight)?;
        let notch_box = tie.map(|tie| notch_box(level, tie, flight, seat_end));
        let (notch, state) = match notch_box {
            None => (None, NotchState::None),
            Some(Ok(notch)) => (Some(notch), NotchState::Cut),
            Some(Err(problem)) => (None, NotchState::LeftOut(problem)),
        };
        let mut vertices = seat(level, seat_end, notch.as_ref());
        if head_foot > level + COINCIDENT_MM {
            vertices.push((Point::new(seat_end, level), Role::LowerEdge));
        }
        let head_x = flight.head_cut_x.as_mm();
        vertices.push((Point::new(head_x, head_foot), Role::HeadCut));
        vertices.extend(steps(flight));
        let contour = Contour::polygon(&vertices).map_err(|_| OutlineProblem::NoSeat)?;
        Ok(Self {
            contour,
            seat_length: Length::mm(seat_end),
            head_cut_length: flight.tread_cut_y(flight.treads) - Length::mm(head_foot),
            pitch_rad: flight.pitch_rad(),
            turn_rad: flight.pitch_rad(),
            notch: state,
            pockets: Vec::new(),
        })
    }

    /// The contour in the elevation frame.
    pub fn contour(&self) -> &Contour<Role> {
        &self.contour
    }

    /// From the first riser cut to the end of the seat, a notch included.
    pub fn seat_length(&self) -> Length {
        self.seat_length
    }

    /// Length of the top plumb cut.
    pub fn head_cut_length(&self) -> Length {
        self.head_cut_length
    }

    /// Angle of the nose line, in radians.
    pub fn pitch_rad(&self) -> f64 {
        self.pitch_rad
    }

    /// Why the notch was left out, if it was.
    pub fn notch_problem(&self) -> Option<NotchProblem> {
        match self.notch {
            NotchState::LeftOut(problem) => Some(problem),
            NotchState::None | NotchState::Cut => None,
        }
    }
}

fn refuse_impossible(level: Length, flight: &Flight) -> Result<(), OutlineProblem> {
    let first_riser = flight.first_riser_cut() - level;
    if first_riser.as_mm() <= COINCIDENT_MM {
        return Err(OutlineProblem::NoFirstRiser(first_riser));
    }
    // A stringer of one tread has no inside corner on its upper side: any board is wide enough
    // there.
    if flight.treads > 1 && flight.throat().as_mm() <= COINCIDENT_MM {
        return Err(OutlineProblem::NoThroat(flight.throat()));
    }
    if flight.top_tread_cut.as_mm() <= COINCIDENT_MM {
        return Err(OutlineProblem::NoTopTread(flight.top_tread_cut));
    }
    Ok(())
}

/// Where the seat ends and where the plumb cut does: the lower edge runs parallel to the nose line,
/// the board's depth below it. With one or two treads it may pass below the foot of the plumb cut;
/// then the seat runs to the head.
fn lower_end(level: f64, flight: &Flight) -> Result<(f64, f64), OutlineProblem> {
    let (rise, run) = (flight.unit_rise.as_mm(), flight.unit_run.as_mm());
    let plumb_depth = flight.board_depth.as_mm() * rise.hypot(run) / run;
    let edge_at_toe = flight.first_riser_cut().as_mm() - plumb_depth;
    let head_x = flight.head_cut_x.as_mm();
    let edge_at_head = edge_at_toe + rise / run * head_x;
    if edge_at_toe >= level - COINCIDENT_MM {
        return Err(OutlineProblem::NoSeat);
    }
    if edge_at_head >= flight.tread_cut_y(flight.treads).as_mm() - COINCIDENT_MM {
        return Err(OutlineProblem::TopTreadTooLong(flight.top_tread_cut));
    }
    if edge_at_head <= level + COINCIDENT_MM {
        return Ok((head_x, level));
    }
    Ok(((level - edge_at_toe) * run / rise, edge_at_head))
}

fn notch_box(
    level: f64,
    tie: &Tie,
    flight: &Flight,
    seat_end: f64,
) -> Result<NotchBox, NotchProblem> {
    let notch = NotchBox {
        from: tie.set_back.as_mm(),
        to: (tie.set_back + tie.width + tie.clearance).as_mm(),
        height: (tie.height + tie.clearance).as_mm(),
    };
    if notch.to >= seat_end - COINCIDENT_MM {
        return Err(NotchProblem::BeyondSeat {
            end: Length::mm(notch.to),
            seat: Length::mm(seat_end),
        });
    }
    let tread = flight.first_riser_cut() - Length::mm(level);
    if notch.height >= tread.as_mm() - COINCIDENT_MM {
        return Err(NotchProblem::ReachesTread { height: Length::mm(notch.height), tread });
    }
    Ok(notch)
}

/// The vertices from the toe along the seat, its end left out; each with the role of the edge that
/// leaves it.
fn seat(level: f64, seat_end: f64, notch: Option<&NotchBox>) -> Vec<(Point, Role)> {
    debug_assert!(seat_end > 0.0);
    let toe = (Point::new(0.0, level), Role::SeatCut);
    let Some(notch) = notch else { return vec![toe] };
    let top = level + notch.height;
    let mut vertices = Vec::new();
    if notch.from > COINCIDENT_MM {
        vertices.push(toe);
        vertices.push((Point::new(notch.from, level), Role::PlateNotch));
        vertices.push((Point::new(notch.from, top), Role::PlateNotch));
    } else {
        vertices.push((Point::new(0.0, top), Role::PlateNotch));
    }
    vertices.push((Point::new(notch.to, top), Role::PlateNotch));
    vertices.push((Point::new(notch.to, level), Role::SeatCut));
    vertices
}

/// The sawtooth from the top of the plumb cut down to the first nose point.
fn steps(flight: &Flight) -> Vec<(Point, Role)> {
    let mut vertices = Vec::with_capacity(2 * flight.treads);
    let mut x = flight.head_cut_x.as_mm();
    for k in (1..=flight.treads).rev() {
        let y = flight.tread_cut_y(k).as_mm();
        vertices.push((Point::new(x, y), Role::Tread(k)));
        x = flight.nose_x(k).as_mm();
        vertices.push((Point::new(x, y), Role::Riser(k)));
    }
    vertices
}
