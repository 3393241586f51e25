//! The beam of a job: what its stringer is, asked with what no job file says.

use super::input::{
    BeamInput, DEAD_PSF, DeflectionLimits, FootNotch, Incising, Loads, Moisture, Stringers,
};
use crate::diagnostics::{Error, ErrorKind};
use crate::job::{Job, Load};
use crate::profile::TimberTable;
use crate::stair::Flight;
use crate::units::Length;

/// What the beam check needs besides the job.
#[derive(Clone, Debug, PartialEq)]
pub struct Ask {
    /// How many stringers, how far apart.
    pub stringers: Stringers,
    /// What they carry, as the job has it.
    pub load: Load,
    /// Length of the seat on its support, where known.
    pub seat: Option<Length>,
}

/// The beam of a job's stringer, its throat as it will be cut.
///
/// # Errors
/// If the job names no species or grade or one without design values, or if no live load is known.
pub fn of_job(
    job: &Job,
    flight: &Flight,
    throat_cut: Length,
    ask: &Ask,
) -> Result<BeamInput, Error> {
    let table = TimberTable::standard()?;
    let names: Vec<&str> = table.species_names().collect();
    let species = given(
        job.board.species.as_deref(),
        "species",
        &names.join(", "),
        "species = \"southern-pine\"",
    )?;
    let grade = given(job.board.grade.as_deref(), "grade", "as it is stamped", "grade = \"no2\"")?;
    Ok(BeamInput {
        wood: table.wood(species, grade)?.clone(),
        factors: table.factors.clone(),
        board_width: job.board.width,
        thickness: job.board.thickness,
        throat: throat_cut,
        span: ask.load.clear_span.unwrap_or(flight.total_run()),
        pitch_rad: flight.pitch_rad(),
        middle: ask.load.middle,
        stringers: ask.stringers,
        loads: loads(job, ask)?,
        moisture: if job.board.wet == Some(true) { Moisture::Wet } else { Moisture::Dry },
        incising: if job.board.incised == Some(true) { Incising::Incised } else { Incising::None },
        limits: DeflectionLimits::default(),
        foot_notch: job.foot.tie_plate.as_ref().map(|tie| FootNotch {
            height: tie.height + tie.clearance,
            depth: flight.first_riser_cut().min(throat_cut),
        }),
        seat: ask.seat,
    })
}

fn given<'a>(
    value: Option<&'a str>,
    key: &str,
    allowed: &str,
    hint: &str,
) -> Result<&'a str, Error> {
    value.ok_or_else(|| {
        Error::new(
            ErrorKind::Input,
            format!("board.{key} is not given, and the beam check needs it"),
        )
        .found(format!("no `{key}`"))
        .allowed(allowed)
        .hint(hint)
    })
}

fn loads(job: &Job, ask: &Ask) -> Result<Loads, Error> {
    let rule = job.rules.live_load.as_ref();
    let live_psf = ask.load.live_psf.or(rule.map(|load| load.psf)).ok_or_else(|| {
        Error::new(ErrorKind::Input, format!("the rule set {} names no live load", job.rules.name))
            .found("no live load")
            .allowed("pounds a square foot of the stair's horizontal projection")
            .hint("give the live load that the local code asks for")
    })?;
    let source = match (ask.load.live_psf, rule) {
        (None, Some(load)) => load.source.clone(),
        (Some(_), Some(load)) if load.point_lb.is_some() => {
            format!("spread: as given; point: {}", load.source)
        }
        _ => "as given".to_string(),
    };
    Ok(Loads {
        live_psf,
        dead_psf: ask.load.dead_psf.unwrap_or(DEAD_PSF),
        point_lb: rule.and_then(|load| load.point_lb),
        source,
    })
}
