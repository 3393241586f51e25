//! The skirt: the finished board that covers a stringer's outer face.

use super::ends::{Ends, SeatLine};
use super::{Outline, OutlineProblem, Role};
use crate::geometry::Contour;
use crate::job::Job;
use crate::stair::Flight;

/// The finished board over the outer face of a stringer, from the same flight: the same tread cuts,
/// riser cuts, head cut and lower edge, so that one pattern marks both. It stands on the finished
/// lower surface, wherever the stringer stands, and no plate notch goes through it.
///
/// Common practice, no source.
#[derive(Clone, Debug)]
pub struct Skirt {
    outline: Outline,
}

impl Skirt {
    /// The skirt of a job's flight; where the seat follows the ground, so does the skirt.
    ///
    /// # Errors
    /// If the flight has none: no stringer, or nothing left of the first riser over the finish to
    /// come.
    pub fn of(job: &Job, flight: &Flight) -> Result<Self, OutlineProblem> {
        Self::seated(SeatLine::of(job), flight)
    }

    /// The skirt of a flight on level ground.
    ///
    /// # Errors
    /// Those of [`Skirt::of`].
    pub fn new(flight: &Flight) -> Result<Self, OutlineProblem> {
        Self::seated(SeatLine::default(), flight)
    }

    fn seated(seat: SeatLine, flight: &Flight) -> Result<Self, OutlineProblem> {
        let seat = seat.raised(flight.base().as_mm());
        Ok(Self { outline: Outline::ending(flight, &Ends { seat, ..Ends::default() })? })
    }

    /// The skirt as an outline, with its seat, its head cut and its blank length.
    pub fn outline(&self) -> &Outline {
        &self.outline
    }

    /// The contour in the elevation frame of the stringer.
    pub fn contour(&self) -> &Contour<Role> {
        self.outline.contour()
    }

    /// The contour in its own board frame: turned as the stringer is, its own box at 0,0.
    pub fn in_board_frame(&self) -> Contour<Role> {
        self.outline.in_board_frame()
    }
}
