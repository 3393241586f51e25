//! The width of the stair: where the stringers stand, and the floor out of level across it.

use crate::check::LEAST_AT_NOTCH_IN;
use crate::diagnostics::{Error, ErrorKind, codes};
use crate::job::{Job, RiseAcross};
use crate::site::{AcrossFit, Basis, Readings, StringerLayout};
use crate::stair::Flight;
use crate::stair::outline::{Outline, SeatLine};
use crate::units::{Length, trimmed};

/// The total rise of a job may be off the greatest reading by this, in mm: it is typed with a few
/// digits.
const SAME_RISE_MM: f64 = 0.01;

/// The floor across the width where the flight lands. On ground that falls the readings are those
/// of the place where the rise at the head was measured: the ground falls alike everywhere, so each
/// rise grows by as much as that one. Geometry.
pub(super) fn across(
    job: &Job,
    flight: &Flight,
    outline: Option<&Outline>,
    layout: Option<&StringerLayout>,
) -> Result<Option<AcrossFit>, Error> {
    let (Some(stair), false) = (&job.around.stair, job.around.across.is_empty()) else {
        return Ok(None);
    };
    let lower_by = job.around.ground.map_or(Length::ZERO, |ground| job.rise.total - ground.at_head);
    let landed = |given: &RiseAcross| RiseAcross { total: given.total + lower_by, ..*given };
    let given = job.around.across.iter().map(landed).collect();
    let readings = Readings::new(stair.width, given, &job.rules)?;
    let positions: Vec<Length> = match layout {
        Some(layout) => layout.centres.clone(),
        None => job.around.across.iter().map(|given| given.offset).collect(),
    };
    let mut fit = readings.fit(job, flight.risers, &positions, Basis::Greatest)?;
    if !fit.greatest.is_within(Length::mm(SAME_RISE_MM), job.rise.total) {
        return Err(not_the_greatest(job, fit.greatest - lower_by));
    }
    fit.lower_by = lower_by;
    at_the_foot(job, flight, outline, &mut fit);
    Ok(Some(fit))
}

fn not_the_greatest(job: &Job, greatest: Length) -> Error {
    // As it was typed: what a rough rise gains by its finishes, the readings have already.
    let (key, given, gained) = match (job.around.ground, job.rise.rough) {
        (Some(ground), _) => ("ground.at_head", ground.at_head, Length::ZERO),
        (None, Some(rough)) => ("rise.rough", rough, job.rise.total - rough),
        (None, None) => ("rise.total", job.rise.total, Length::ZERO),
    };
    let greatest = greatest - gained;
    let short = key.rsplit('.').next().unwrap_or(key);
    Error::new(ErrorKind::Input, format!("{key} is not the greatest rise across the stair"))
        .found(format!("{key} {given}, readings up to {greatest}"))
        .allowed("the greatest of them: wood only ever comes off the bottom of a stringer")
        .hint(format!("{short} = \"{} in\"", trimmed(greatest.as_inches(), 4)))
}

/// What each trim does at the foot: the plate keeps its height over the floor, so its notch is let
/// in again, deeper by the trim; and some of the first riser cut has to be left. All of it plumb,
/// as the trim is, also where the seat lies along the ground.
fn at_the_foot(job: &Job, flight: &Flight, outline: Option<&Outline>, fit: &mut AcrossFit) {
    let above = outline.and_then(|outline| outline.wood_above_notch(flight));
    let seat = SeatLine::of(job);
    let plumb = |square: Length| Length::mm(seat.plumb(square.as_mm()));
    let height = job.plate().map(|tie| plumb(tie.height + tie.clearance));
    let notch = above.and_then(|above| Some((above, height?)));
    let limit = Length::inches(LEAST_AT_NOTCH_IN);
    let riser = flight.first_riser_cut() - Length::mm(seat.at(0.0));
    for (i, trim) in fit.trims.iter_mut().enumerate() {
        let place = format!("stringer {}", i + 1);
        let off = trim.trim;
        if off >= riser {
            fit.findings.push(codes::TrimTakesRiser { trim: off, riser }.at(place.as_str()));
            continue;
        }
        let Some((above, height)) = notch else { continue };
        trim.notch_top = Some(height + off);
        let left = above - off;
        let found = if left <= Length::ZERO {
            Some(codes::TrimReachesTread { trim: off, by: -left }.at(place.as_str()))
        } else if left < limit && off > Length::ZERO {
            Some(codes::TrimThinsNotch { measured: left, limit }.at(place.as_str()))
        } else {
            None
        };
        fit.findings.extend(found);
        let gone = off >= height;
        fit.findings
            .extend(gone.then(|| codes::TrimTakesNotch { trim: off, height }.at(place.as_str())));
    }
    let deepest =
        fit.trims.iter().filter_map(|trim| trim.notch_top).fold(Length::ZERO, Length::max);
    let trimmed = fit.trims.iter().any(|trim| trim.trim > Length::ZERO);
    if let (Some((_, height)), true) = (notch, trimmed) {
        fit.findings.push(codes::TrimDeepensNotch { height, deepest }.at("plate notch"));
    }
}
