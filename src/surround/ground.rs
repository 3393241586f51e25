//! Ground that falls: the job where its flight lands, and how the seat lies there.

use crate::diagnostics::{Degrees, Finding, codes};
use crate::error::Error;
use crate::measure::{Ground, Job, Seat};
use crate::site::{FallingGround, Grade, Landed, SeatLies, SeatOnGround};
use crate::solve::Flight;

/// Where a flight lands on falling ground.
#[derive(Clone, Debug)]
pub struct GroundFit {
    /// The ground.
    pub ground: FallingGround,
    /// The landing of the chosen count, why, and every other count.
    pub landed: Landed,
    /// How the seat lies. The part is cut with a level seat either way.
    pub seat: SeatOnGround,
}

impl GroundFit {
    /// Where a landed job lands; `None` where its ground does not fall.
    ///
    /// # Errors
    /// Refused where no landing is ever reached.
    pub fn of(job: &Job) -> Result<Option<(FallingGround, Landed)>, Error> {
        let Some(asked) = &job.around.ground else { return Ok(None) };
        let ground = FallingGround::new(asked.at_head, Grade::percent(asked.fall * 100.0)?, asked.edge_out)?;
        let landed = ground.choose(&choosing(job, asked))?;
        Ok(Some((ground, landed)))
    }

    pub(super) fn findings(&self) -> Vec<Finding> {
        let mut findings = self.landed.findings.clone();
        if self.seat.lies == SeatLies::WithGround {
            let (angle, toe, heel) = (Degrees(self.seat.angle_deg), self.seat.at_toe, self.seat.at_heel);
            findings.push(codes::SeatFollowsGround { angle, toe, heel }.at("foot"));
        }
        findings
    }
}

/// The job before its flight landed: with the choice of the count as it was asked.
fn choosing(job: &Job, asked: &Ground) -> Job {
    let mut choosing = job.clone();
    choosing.rise.risers = asked.choice;
    choosing
}

/// The job where its flight lands: the total rise there, its count forced. A job on level ground stays as it is, and one
/// that has landed too.
///
/// # Errors
/// Refused where no landing is ever reached, with the place in the text.
pub fn landed(job: &Job) -> Result<Job, Error> {
    let found = super::at(job, "ground", GroundFit::of(job))?;
    Ok(found.map_or_else(|| job.clone(), |(ground, landed)| ground.job_at(job, &landed.landing)))
}

pub(super) fn ground(job: &Job, flight: &Flight) -> Result<Option<GroundFit>, Error> {
    let (Some(asked), Some((ground, landed))) = (&job.around.ground, GroundFit::of(job)?) else { return Ok(None) };
    let lies = match asked.seat {
        Seat::Level => SeatLies::Level,
        Seat::Follow => SeatLies::WithGround,
    };
    let seat = ground.seat(job, flight, lies)?;
    Ok(Some(GroundFit { ground, landed, seat }))
}
