//! The beam of a job: what its stringer is, asked with what no job file says.

use super::input::{
    BeamInput, DEAD_PSF, DeflectionLimits, FootNotch, HeadEnd, Incising, Loads, Moisture, Sawn,
    Stringers,
};
use crate::diagnostics::{Error, ErrorKind};
use crate::job::{CleatHoles, Job, Load, Makes};
use crate::profile::{PointOn, TimberTable, Treatment};
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
    /// Whether the notch for a plate lies between what bears at the foot and the span.
    pub notch_in_span: bool,
    /// The plumb cut at the head, where it is known what holds it.
    pub head: Option<HeadEnd>,
}

/// Why a stringer is taken for wet and incised where the job says neither.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outdoors {
    /// It stands on ground that falls.
    OnGround,
    /// Its boards are treated.
    Treated,
}

/// Whether the wood stands outdoors or was treated, as far as the job shows.
fn outdoors(job: &Job) -> Option<Outdoors> {
    let treated =
        job.cut.makes == Makes::Stringers && job.cut.material.treatment == Treatment::Treated;
    let on_ground = job.around.ground.is_some();
    treated.then_some(Outdoors::Treated).or(on_ground.then_some(Outdoors::OnGround))
}

/// Whether wet or incised was taken for granted, for the job shows treated or outdoor wood and
/// does not say.
pub fn taken_for_wet(job: &Job) -> Option<Outdoors> {
    let said = job.board.wet.is_some() && job.board.incised.is_some();
    outdoors(job).filter(|_| !said)
}

/// The beam of a job's stringer, its throat as it will be cut.
///
/// # Errors
/// If the job names no species or grade or one without design values, or if no live load is known.
pub fn of_job(
    job: &Job,
    flight: &Flight,
    behind_relief: Length,
    ask: &Ask,
) -> Result<BeamInput, Error> {
    let names: Vec<&str> =
        TimberTable::all()?.iter().flat_map(TimberTable::species_names).collect();
    let species = given(
        job.board.species.as_deref(),
        "species",
        &names.join(", "),
        "species = \"southern-pine\"",
    )?;
    let lower = outdoors(job).is_some();
    let grade = given(job.board.grade.as_deref(), "grade", "as it is stamped", "grade = \"no2\"")?;
    let table = TimberTable::of_species(species)?;
    Ok(BeamInput {
        wood: table.wood(species, grade)?.clone(),
        factors: table.factors.clone(),
        board_width: job.board.width,
        thickness: job.board.thickness,
        sawn: match job.stringer.cleated() {
            Some(_) => Sawn::Solid,
            None => Sawn::Notched,
        },
        throat: depth(job, behind_relief),
        span: ask.load.clear_span.unwrap_or(flight.total_run()),
        pitch_rad: flight.pitch_rad(),
        middle: ask.load.middle,
        stringers: ask.stringers,
        loads: loads(job, ask)?,
        moisture: if job.board.wet.unwrap_or(lower) { Moisture::Wet } else { Moisture::Dry },
        incising: match job.board.incised.unwrap_or(lower) {
            true => Incising::Incised,
            false => Incising::None,
        },
        limits: DeflectionLimits::default(),
        foot_notch: job.plate().filter(|_| ask.notch_in_span).map(|tie| FootNotch {
            height: tie.height + tie.clearance,
            depth: flight.first_riser_cut().min(behind_relief),
        }),
        head: ask.head,
        seat: ask.seat,
    })
}

/// What carries: the throat as it will be cut; of a solid board all of it but a hole.
fn depth(job: &Job, behind_relief: Length) -> Length {
    let Some(cleated) = job.stringer.cleated() else { return behind_relief };
    let bored = if cleated.holes == CleatHoles::None { Length::ZERO } else { cleated.hole };
    job.board.width - bored
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
    let live_psf = ask.load.live_psf.or(rule.and_then(|load| load.psf)).ok_or_else(|| {
        Error::new(ErrorKind::Input, format!("the rule set {} names no live load", job.rules.name))
            .found("no live load")
            .allowed("pounds a square foot of the stair's horizontal projection")
            .hint("give the live load that the local code asks for")
    })?;
    let times = rule.and_then(|load| load.times);
    let source = match (ask.load.live_psf, rule) {
        (None, Some(load)) => load.source.clone(),
        (Some(_), Some(load)) if times.is_some() => {
            format!("as given; how many times it has to be borne: {}", load.source)
        }
        (Some(_), Some(load)) if load.point_lb.is_some() => {
            format!("spread: as given; point: {}", load.source)
        }
        _ => "as given".to_string(),
    };
    Ok(Loads {
        live_psf,
        times: times.unwrap_or(1.0),
        dead_psf: ask.load.dead_psf.unwrap_or(DEAD_PSF),
        point_lb: rule.and_then(|load| load.point_lb),
        point_on: rule.map_or(PointOn::default(), |load| load.point_on),
        source,
    })
}
