//! The wood that the notches leave.

use std::f64::consts::FRAC_PI_4;

use crate::job::{Corners, Job};
use crate::stair::Flight;
use crate::units::Length;

/// The throat as it will be cut. A housed board has no notches to leave one, a single tread has
/// none above it.
pub fn throat(job: &Job, flight: &Flight) -> Option<Length> {
    let has_corner = job.stringer.has_steps() && flight.treads > 1;
    has_corner.then(|| behind_relief(job, flight))
}

/// Board that notches leave after the inside-corner relief that the job's tool cuts: what the
/// geometry leaves less R (1 - cos(angle between the relief's direction and the board's depth)); a
/// fillet takes nothing.
///
/// A pattern's relief is counted in full, for whoever follows its very edge follows the relief too.
pub fn behind_relief(job: &Job, flight: &Flight) -> Length {
    let radius = job.cut.machine.tool_radius();
    let pitch = flight.pitch_rad();
    let taken = match job.cut.corners {
        Corners::Fillet => 0.0,
        Corners::Bisector => 1.0 - (FRAC_PI_4 - pitch).cos(),
        Corners::Riser => 1.0 - pitch.cos(),
        Corners::Tread => 1.0 - pitch.sin(),
    };
    flight.behind_notches() - radius * taken
}
