//! The cut stringer after its board has dried or swollen.
//!
//! The nose points lie on a line along the grain, so they stay as far apart as they were, and the
//! stringer is taken to keep its pitch, held at foot and head. A line at an angle a to the grain
//! comes to lie at atan((1 + e) tan a), e the change across the grain: with the pitch p, a tread
//! cut then slopes by p - atan((1 + e) tan p).

use super::change::{Change, Method, width_change};
use crate::check::breaches;
use crate::diagnostics::{Error, ErrorKind, Exact, Figure, Finding, codes};
use crate::job::{Job, Meets, MoistureContent};
use crate::profile::{Measure, Movement, ON_THE_LIMIT, Rules, TimberTable};
use crate::site::as_built::RiserLimits;
use crate::stair::Flight;
use crate::units::Length;

/// Steepest slope of a tread where the rule set has none, level over plumb: International
/// Residential Code 2021 R311.7.7.
const LEVEL_OVER_PLUMB: f64 = 48.0;

/// The figures of a stringer that move.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sawtooth {
    /// Width of the board.
    pub width: Length,
    /// Wood behind the notches.
    pub throat: Length,
    /// Plumb from tread cut to tread cut.
    pub unit_rise: Length,
    /// Level from riser cut to riser cut.
    pub unit_run: Length,
    /// Plumb from the seat to the first tread cut.
    pub first_riser_cut: Length,
    /// Whether a last riser goes up to a floor that does not move with the stringer: the top tread
    /// of a flush head has none above it.
    pub floor_above: bool,
}

impl Sawtooth {
    /// The stringer of a job as it is cut.
    pub fn of(job: &Job, flight: &Flight, behind_relief: Length) -> Self {
        Self {
            width: job.board.width,
            throat: behind_relief,
            unit_rise: flight.unit_rise,
            unit_run: flight.unit_run,
            first_riser_cut: flight.first_riser_cut(),
            floor_above: job.head.meets == Meets::OneDown,
        }
    }
}

/// A stringer after its wood has come to the moisture it will have in service.
#[derive(Clone, Debug)]
pub struct Moved {
    /// The wood whose figures were taken.
    pub wood: String,
    /// Where they stand.
    pub source: String,
    /// The change across the grain.
    pub change: Change,
    /// Width of the board then.
    pub width: Length,
    /// Throat then.
    pub throat: Length,
    /// Slope of a tread then, radians: more than 0 where it falls toward the nose.
    pub tread_tilt_rad: f64,
    /// Nose to nose, plumb: as before.
    pub unit_rise: Length,
    /// Plumb height of a riser cut then, from the inside corner to the nose above it: r (1 + e
    /// cos^2 p).
    pub riser_at_face: Length,
    /// Plumb height of the first riser cut then. It alone is measured from the seat, so it changes,
    /// and every tread with it: the last riser, up to the floor, changes the other way.
    pub first_riser_cut: Length,
    /// What to look at.
    pub findings: Vec<Finding>,
}

impl Moved {
    /// By how much the first riser changes: every tread rises by it, or falls.
    pub fn first_riser_change(&self, before: &Sawtooth) -> Length {
        self.first_riser_cut - before.first_riser_cut
    }

    /// By how much the largest riser comes to exceed the smallest: the first riser changes one way
    /// and the last, where a floor lies above it, the other.
    pub fn riser_spread(&self, before: &Sawtooth) -> Length {
        let change = self.first_riser_change(before);
        change.max(-change) * if before.floor_above { 2.0 } else { 1.0 }
    }

    /// Risers that come to differ by more than the rule set lets them.
    pub fn apart(&self, before: &Sawtooth, rules: &Rules) -> Option<Finding> {
        let limits = RiserLimits::of(rules);
        let change = self.first_riser_change(before);
        // Its neighbour moves with the treads and stays as high as it was.
        let asked =
            [(limits.spread, self.riser_spread(before)), (limits.step, change.max(-change))];
        let mut broken = asked.into_iter().filter_map(|(bound, measured)| {
            bound.filter(|bound| bound.is_exceeded_by(measured)).map(|bound| (bound, measured))
        });
        let (bound, measured) = broken.next()?;
        let ends = if before.floor_above { codes::Ends::Both } else { codes::Ends::First };
        let (change, measured, limit) = (Exact(change), Exact(measured), bound.figure);
        let found = codes::RisersMoveApart { change, ends, measured, limit };
        Some(found.at("risers").source(bound.source))
    }

    /// Slope of a tread then, fall per depth, either way.
    fn tread_slope(&self) -> f64 {
        self.tread_tilt_rad.tan().abs()
    }

    /// Treads that come to slope by more than is usual.
    pub(super) fn tilts(&self) -> Option<Finding> {
        let slope = self.tread_slope();
        let one_in = |value| Figure { value, unit: "", digits: 1 };
        let (measured, limit) = (one_in(1.0 / slope), one_in(LEVEL_OVER_PLUMB));
        let tilts = || codes::TreadTilts { measured, limit }.at("treads");
        (slope > 1.0 / LEVEL_OVER_PLUMB + ON_THE_LIMIT).then(tilts)
    }
}

/// The stringer after the change.
///
/// # Errors
/// If a length is not more than 0, or a moisture content is none that wood has.
pub fn moved(
    saw: &Sawtooth,
    movement: &Movement,
    moisture: &MoistureContent,
) -> Result<Moved, Error> {
    let lengths = [saw.width, saw.throat, saw.unit_rise, saw.unit_run, saw.first_riser_cut];
    if lengths.iter().any(|length| *length <= Length::ZERO) {
        return Err(Error::new(ErrorKind::Input, "a stringer with nothing to move")
            .found(lengths.map(|length| length.to_string()).join(", "))
            .allowed("width, throat, rise, run and first riser cut of more than 0")
            .hint("solve the stair first"));
    }
    let MoistureContent { now_percent, service_percent, grain } = *moisture;
    let change = width_change(movement, grain, now_percent, service_percent)?;
    let pitch = saw.unit_rise.as_mm().atan2(saw.unit_run.as_mm());
    let plumb = |length: Length| length * (1.0 + change.share * pitch.cos().powi(2));
    let mut moved = Moved {
        wood: movement.wood.clone(),
        source: movement.source.clone(),
        change,
        width: saw.width * (1.0 + change.share),
        throat: saw.throat * (1.0 + change.share),
        tread_tilt_rad: pitch - ((1.0 + change.share) * pitch.tan()).atan(),
        unit_rise: saw.unit_rise,
        riser_at_face: plumb(saw.unit_rise),
        first_riser_cut: plumb(saw.first_riser_cut),
        findings: Vec::new(),
    };
    moved.findings.extend(outside_range(&moved, moisture));
    Ok(moved)
}

/// The stringer of a job, so before the change, after it, held against the job's rule set.
///
/// # Errors
/// If the job names no species or one whose movement is not known, or a moisture content is none
/// that wood has.
pub fn of_job(
    job: &Job,
    flight: &Flight,
    before: &Sawtooth,
    moisture: &MoistureContent,
) -> Result<Moved, Error> {
    let names: Vec<&str> =
        TimberTable::all()?.iter().flat_map(TimberTable::species_names).collect();
    let species = job.board.species.as_deref().ok_or_else(|| {
        Error::new(
            ErrorKind::Input,
            "board.species is not given, and the movement with moisture needs it",
        )
        .found("no `species`")
        .allowed(names.join(", "))
        .hint("species as it is stamped on the board")
    })?;
    let mut moved = moved(before, TimberTable::of_species(species)?.movement(species)?, moisture)?;
    moved.findings.extend(match job.rules.limits_on(Measure::TreadSlope).next() {
        Some(_) => breaches(job, flight, Measure::TreadSlope, moved.tread_slope()),
        None => moved.tilts().into_iter().collect(),
    });
    moved.findings.extend(moved.apart(before, &job.rules));
    Ok(moved)
}

fn outside_range(moved: &Moved, moisture: &MoistureContent) -> Option<Finding> {
    let percent = |value| Figure { value, unit: "%", digits: 2 };
    let (now, service) = (percent(moisture.now_percent), percent(moisture.service_percent));
    let outside = codes::MoistureOutsideRange { now, service };
    let method = moved.change.method;
    (method == Method::FromGreen).then(|| outside.at("stringer").source(method.source()))
}
