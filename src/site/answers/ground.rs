//! Ground that falls: the job where its flight lands, and how the seat lies there.

use crate::diagnostics::Error;
use crate::diagnostics::{Degrees, Finding, codes};
use crate::job::{Ground, Job, Seat};
use crate::site::{FallingGround, Grade, Landed, SeatOnGround};
use crate::stair::{Flight, Reason, candidate_counts, chosen_count};

/// Where a flight lands on falling ground.
#[derive(Clone, Debug)]
pub struct GroundFit {
    /// The ground.
    pub ground: FallingGround,
    /// The landing of the chosen count, why, and every other count.
    pub landed: Landed,
    /// How the seat lies, and is cut.
    pub seat: SeatOnGround,
}

impl GroundFit {
    pub(super) fn findings(&self) -> Vec<Finding> {
        let mut findings = self.landed.findings.clone();
        if self.seat.lies == Seat::Follow {
            let (angle, toe, heel) =
                (Degrees(self.seat.angle_deg), self.seat.at_toe, self.seat.at_heel);
            findings.push(codes::SeatFollowsGround { angle, toe, heel }.at("foot"));
        }
        findings
    }
}

/// A job where its flight lands: the total rise there, its count forced. Where the ground does not
/// fall it is as it was asked.
#[derive(Clone, Debug)]
pub struct OnSite {
    /// The job; every figure of its flight is known.
    pub job: Job,
    /// The ground that falls, and where on it the flight lands.
    landed: Option<(FallingGround, Landed)>,
}

impl OnSite {
    /// Lands a job's flight. One that has landed lands where it is.
    ///
    /// # Errors
    /// Refused where no landing is ever reached, with the place in the text.
    pub fn of(asked: &Job) -> Result<Self, Error> {
        let mut site = Self::level(asked);
        if let Some(ground) = asked.around.ground {
            let (ground, landed) = super::at(asked, "ground", lands(asked, &ground))?;
            site.job = ground.job_at(asked, &landed.landing);
            site.landed = Some((ground, landed));
        }
        Ok(site)
    }

    /// A job taken as if its total rise were known as it stands.
    pub fn level(asked: &Job) -> Self {
        Self { job: asked.clone(), landed: None }
    }

    /// The count of risers and why.
    pub fn chosen(&self) -> (usize, Reason) {
        match &self.landed {
            Some((_, landed)) => (landed.landing.risers, landed.reason),
            None => chosen_count(&self.job),
        }
    }

    /// The job with every other count that a person could climb, and that count, fewest first.
    pub fn other_counts(&self) -> Vec<(Job, usize)> {
        let (chosen, _) = self.chosen();
        let all = match &self.landed {
            Some((ground, landed)) => landed
                .counts
                .iter()
                .map(|l| (ground.job_at(&self.job, l), l.risers))
                .collect::<Vec<_>>(),
            None => candidate_counts(&self.job)
                .into_iter()
                .map(|count| (self.job.clone(), count))
                .collect(),
        };
        all.into_iter().filter(|(_, count)| *count != chosen).collect()
    }
}

/// The ground of a job, and where a flight lands on it by the choice of the count as it was asked.
fn lands(job: &Job, asked: &Ground) -> Result<(FallingGround, Landed), Error> {
    let ground =
        FallingGround::new(asked.at_head, Grade::percent(asked.fall * 100.0)?, asked.edge_out)?;
    let mut choosing = job.clone();
    choosing.rise.risers = asked.choice;
    let landed = ground.choose(&choosing)?;
    Ok((ground, landed))
}

pub(super) fn ground(site: &OnSite, flight: &Flight) -> Result<Option<GroundFit>, Error> {
    let (Some(asked), Some((ground, landed))) = (&site.job.around.ground, &site.landed) else {
        return Ok(None);
    };
    let seat = ground.seat(&site.job, flight, asked.seat)?;
    Ok(Some(GroundFit { ground: *ground, landed: landed.clone(), seat }))
}
