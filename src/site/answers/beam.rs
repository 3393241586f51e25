//! The stringer of a job as a beam.

use crate::diagnostics::Error;
use crate::job::{Job, Load, Makes, Outsides};
use crate::profile::Form;
use crate::site::StringerLayout;
use crate::site::beam::{Ask, BeamInput, Strength, Stringers, check, of_job};
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
    throat_cut: Length,
    layout: &StringerLayout,
) -> Result<Option<Beam>, Error> {
    let Some(load) = job.around.load.as_ref().filter(|_| is_sawn(job)) else { return Ok(None) };
    let input = of_job(job, flight, throat_cut, &ask(job, load, outline, layout))?;
    let strength = check(&input)?;
    let dead_source = match load.dead_psf {
        Some(_) => "as given",
        None => "usual weight of treads, risers and stringers: common practice, no source",
    };
    Ok(Some(Beam { input, dead_source, strength }))
}

/// Whether the stringers are sawn boards, as the design values are; a pattern says nothing against
/// it.
pub(super) fn is_sawn(job: &Job) -> bool {
    job.cut.makes != Makes::Stringers || job.cut.material.form == Form::Board
}

fn ask(job: &Job, load: &Load, outline: &Outline, layout: &StringerLayout) -> Ask {
    let outsides = job.around.stair.map_or(Outsides::Single, |stair| stair.outsides);
    let (doublers, outer_plies) = match outsides {
        Outsides::Single => (0, 1),
        Outsides::Doubled => (2, 2),
    };
    let notch = job.foot.tie_plate.as_ref().map_or(Length::ZERO, |tie| tie.width + tie.clearance);
    let seat = outline.seat_length() - notch;
    Ask {
        stringers: Stringers {
            count: layout.count() - doublers,
            spacing: layout.spacing,
            inner_plies: 1,
            outer_plies,
        },
        load: *load,
        seat: (seat > Length::ZERO).then_some(seat),
    }
}
