//! The stair where it stands: what a job asks beyond the stringer itself, put to the engines that
//! answer it. The ground, the floor across the width, the head joint, the stringers side by side,
//! their strength, their moisture.
//!
//! Nothing is worked out that the job does not ask for. Advice throughout: local code and licensed
//! practice decide.

mod as_built;
mod beam;
mod floor;
mod ground;
mod head;
mod trims;

use crate::diagnostics::Error;
use crate::diagnostics::{Finding, Warned, codes};
use crate::job::{Job, Makes};
use crate::site::moisture::{self, Moved, Sawtooth};
use crate::site::{AcrossFit, StringerLayout};
use crate::stair::Flight;
use crate::stair::outline::Outline;
use crate::units::Length;

pub use as_built::{Fit, Verdict, fit};
pub use beam::Beam;
pub use ground::{GroundFit, OnSite};
pub use head::{HeadComparison, JointRow, Sizes};

/// The moved stringer with the figures it had before.
#[derive(Clone, Debug)]
pub struct Movement {
    /// As it is cut.
    pub before: Sawtooth,
    /// As it will be.
    pub moved: Moved,
}

/// What a job asks beyond the stringer, answered; each part only where it is asked for.
#[derive(Clone, Debug, Default)]
pub struct Surroundings {
    /// Where the flight lands on falling ground, and how its seat lies.
    pub ground: Option<GroundFit>,
    /// One pattern on a floor out of level.
    pub across: Option<AcrossFit>,
    /// The head joint beside the others.
    pub head: Option<HeadComparison>,
    /// Where the stringers stand.
    pub stringers: Option<StringerLayout>,
    /// The stringer as a beam.
    pub beam: Option<Beam>,
    /// The stringer after its wood has dried or swollen.
    pub movement: Option<Movement>,
}

impl Surroundings {
    /// What a job asks, answered. Strength and movement are left out where there is no part.
    ///
    /// # Errors
    /// Where something that is asked means nothing, with the place in the text, where it is known.
    pub fn of(
        site: &OnSite,
        flight: &Flight,
        outline: Option<&Outline>,
        behind_relief: Length,
    ) -> Result<Warned<Self>, Error> {
        let job = &site.job;
        let ground = at(job, "ground", ground::ground(site, flight))?;
        let stringers = at(job, "stair", StringerLayout::of(job))?;
        let across = at(job, "across", floor::across(job, flight, outline, stringers.as_ref()))?;
        let head = at(job, "joint", head::head(job, flight))?;
        let beam = match (outline, &stringers) {
            (Some(outline), Some(layout)) => {
                at(job, "load", beam::beam(job, flight, outline, behind_relief, layout))?
            }
            _ => None,
        };
        let movement = match outline {
            Some(_) => at(job, "moisture", movement(job, flight, behind_relief))?,
            None => None,
        };
        let around = Self { ground, across, head, stringers, beam, movement };
        let findings = around.findings(job);
        Ok(Warned::new(around, findings))
    }

    /// Nothing answered, and the refusal that says what of the asked means nothing; no waiver
    /// reaches it.
    pub fn not_worked_out(error: &Error) -> Warned<Self> {
        let refusal = codes::NotWorkedOut { why: error.sentence() }.at("job");
        Warned::new(Self::default(), vec![refusal])
    }

    fn findings(&self, job: &Job) -> Vec<Finding> {
        let mut findings = Vec::new();
        findings.extend(self.ground.iter().flat_map(GroundFit::findings));
        findings.extend(self.across.iter().flat_map(|across| across.findings.clone()));
        findings.extend(self.head.iter().flat_map(|head| head.findings.clone()));
        findings.extend(self.stringers.as_ref().and_then(|layout| other_count(job, layout)));
        findings.extend(self.beam.iter().flat_map(|beam| beam.strength.findings.clone()));
        findings.extend(not_sawn(job));
        findings.extend(no_span(job));
        findings.extend(self.movement.iter().flat_map(|movement| movement.moved.findings.clone()));
        findings
    }
}

/// The beam check knows sawn boards only.
fn not_sawn(job: &Job) -> Option<Finding> {
    let asked = job.around.load.is_some() && !job.cut.is_of_boards();
    asked.then(|| codes::BeamNotSawn { material: job.cut.material.name.clone() }.at("load"))
}

/// A stringer that is held all along has no span to figure.
fn no_span(job: &Job) -> Option<Finding> {
    let asked = job.around.load.is_some() && job.cut.is_of_boards() && beam::held_along(job);
    asked.then(|| codes::BeamHeldAlong {}.at("load"))
}

/// An error with the place of the table it is about.
fn at<T>(job: &Job, table: &str, result: Result<T, Error>) -> Result<T, Error> {
    result.map_err(|error| match (error.place(), job.around.place(table)) {
        (None, Some(place)) => error.at(place.clone()),
        _ => error,
    })
}

fn movement(job: &Job, flight: &Flight, behind_relief: Length) -> Result<Option<Movement>, Error> {
    // A solid board has no steps that turn as it dries; its check says that nothing is worked out.
    let asked = job.around.moisture.as_ref().filter(|_| job.stringer.cleated().is_none());
    let Some(moisture) = asked else { return Ok(None) };
    let before = Sawtooth::of(job, flight, behind_relief);
    let moved = moisture::of_job(job, flight, &before, moisture)?;
    Ok(Some(Movement { before, moved }))
}

/// A job that cuts another number of stringers than the width asks for.
fn other_count(job: &Job, layout: &StringerLayout) -> Option<Finding> {
    let (cut, asked) = (job.cut.stringers(), layout.count() * job.cut.stairs as usize);
    let found =
        || codes::StringerCount { measured: cut.into(), asked: asked.into() }.at("stringers");
    let counted = job.cut.makes == Makes::Stringers && !job.by_hand;
    (counted && cut != asked).then(found)
}
