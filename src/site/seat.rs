//! The seat of a stringer that stands on sloping ground.

use super::falling::FallingGround;
use crate::diagnostics::{Error, ErrorKind};
use crate::job::{Job, Seat};
use crate::stair::Flight;
use crate::units::Length;

/// A seat on sloping ground. Heights count from the level of the ground at the face of the first
/// riser; one below it is negative, where the ground rises away from the head.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SeatOnGround {
    /// How it lies.
    pub lies: Seat,
    /// Angle of the seat from level, in degrees; up toward the head where positive.
    pub angle_deg: f64,
    /// Level length of the seat from the toe back.
    pub length: Length,
    /// How high the ground stands at the toe. With a seat along the ground this comes off the first
    /// riser cut.
    pub at_toe: Length,
    /// How high the ground stands where the seat ends: what is dug away for a level seat, or cut
    /// off the heel for one along the ground.
    pub at_heel: Length,
}

impl SeatOnGround {
    /// Length of the seat along it.
    pub fn along(&self) -> Length {
        self.length / self.angle_deg.to_radians().cos()
    }
}

impl FallingGround {
    /// The seat of a flight. With first tread cut y1, board depth W, unit rise r, unit run g,
    /// hypotenuse L, riser board p and fall f, the ground is y = f (x + p) and the lower edge y =
    /// y1 + r x / g - W L / g; the seat ends where they meet (f = 0 for a level seat), at the plumb
    /// cut at the latest. Formulas: geometry of the part.
    ///
    /// # Errors
    /// Refused where a seat along the ground never meets the lower edge: the ground is as steep as
    /// the flight.
    pub fn seat(&self, job: &Job, flight: &Flight, lies: Seat) -> Result<SeatOnGround, Error> {
        let cut_fall = match lies {
            Seat::Level => 0.0,
            Seat::Follow => self.grade().fall(),
        };
        let (rise, run) = (flight.unit_rise.as_mm(), flight.unit_run.as_mm());
        let closing = rise / run - cut_fall;
        if closing <= 0.0 {
            return Err(Error::new(
                ErrorKind::Refused,
                "a seat along the ground never meets the stringer's lower edge",
            )
            .found(format!("ground {}", self.grade()))
            .allowed(format!("less than {} over {}", flight.unit_rise, flight.unit_run))
            .hint("let the stringer stand on a level pad"));
        }
        let board = job.tread.riser_board;
        let edge_at_toe = flight.lower_edge_y(Length::ZERO);
        let meets = (cut_fall * board.as_mm() - edge_at_toe.as_mm()) / closing;
        let length = Length::mm(meets).max(Length::ZERO).min(flight.head_cut_x);
        Ok(SeatOnGround {
            lies,
            angle_deg: cut_fall.atan().to_degrees(),
            length,
            at_toe: self.grade().drop(board),
            at_heel: self.grade().drop(board + length),
        })
    }
}
