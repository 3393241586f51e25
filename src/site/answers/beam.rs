//! The stringer of a job as a beam.

use crate::diagnostics::{Error, Finding, codes};
use crate::job::{Job, Joint, Load, Outsides};
use crate::profile::Held;
use crate::site::beam::{
    Ask, BeamInput, HeadEnd, Outdoors, Strength, Stringers, check, of_job, taken_for_wet,
};
use crate::site::{HeadJoint, StringerLayout};
use crate::stair::Flight;
use crate::stair::outline::Outline;
use crate::units::Length;

/// What was put to the beam check, and what it says.
#[derive(Clone, Debug)]
pub struct Beam {
    /// Everything that the check read.
    pub input: BeamInput,
    /// Where the dead load comes from.
    pub dead_source: &'static str,
    /// What it says.
    pub strength: Strength,
}

pub(super) fn beam(
    job: &Job,
    flight: &Flight,
    outline: &Outline,
    behind_relief: Length,
    layout: &StringerLayout,
) -> Result<Option<Beam>, Error> {
    let asked = job.around.load.as_ref().filter(|_| job.cut.is_of_boards() && !held_along(job));
    let Some(load) = asked else { return Ok(None) };
    let ask = ask(job, load, outline, layout, head(job, flight)?);
    let input = of_job(job, flight, behind_relief, &ask)?;
    let mut strength = check(&input)?;
    strength.findings.extend(service_not_said(job));
    let dead_source = match load.dead_psf {
        Some(_) => "as given",
        None => "usual weight of treads, risers and stringers: common practice, no source",
    };
    Ok(Some(Beam { input, dead_source, strength }))
}

/// Whether the stringers are held along their whole length: they have no span.
pub(super) fn held_along(job: &Job) -> bool {
    job.around.stair.is_some_and(|stair| stair.held == Held::Along)
}

/// The plumb cut at the head as the job has it held; a housed stringer's goes up past the floor.
fn head(job: &Job, flight: &Flight) -> Result<Option<HeadEnd>, Error> {
    if !job.stringer.has_steps() {
        return Ok(None);
    }
    let joint = job.around.joint.unwrap_or(Joint::AgainstRim);
    Ok(HeadJoint::new(job, flight, joint)?.end())
}

fn service_not_said(job: &Job) -> Option<Finding> {
    let shown = match taken_for_wet(job)? {
        Outdoors::OnGround => codes::OutdoorsBy::OnGround,
        Outdoors::Treated => codes::OutdoorsBy::Treated,
    };
    Some(codes::ServiceNotSaid { shown }.at("board"))
}

fn ask(
    job: &Job,
    load: &Load,
    outline: &Outline,
    layout: &StringerLayout,
    head: Option<HeadEnd>,
) -> Ask {
    let outsides = job.around.stair.map_or(Outsides::Single, |stair| stair.outsides);
    let (doublers, outer_plies) = match outsides {
        Outsides::Single => (0, 1),
        Outsides::Doubled => (2, 2),
    };
    let notch = job.plate().map_or(Length::ZERO, |tie| tie.width + tie.clearance);
    let before = job.plate().map_or(Length::ZERO, |tie| tie.set_back);
    let seat = outline.seat_length() - notch;
    // Let in at the toe, the plate lies before all that bears: no shear crosses its notch.
    let behind = seat - before;
    let notch_in_span = before > Length::ZERO || behind <= Length::ZERO;
    Ask {
        stringers: Stringers {
            count: layout.count() - doublers,
            spacing: layout.spacing,
            edge: job.board.thickness * (outer_plies as f64 - 0.5),
            inner_plies: 1,
            outer_plies,
        },
        load: *load,
        seat: (seat > Length::ZERO).then_some(seat),
        notch_in_span,
        head,
    }
}
