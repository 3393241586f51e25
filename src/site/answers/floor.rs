//! The width of the stair: where the stringers stand, and the floor out of level across it.

use crate::diagnostics::{Error, ErrorKind};
use crate::job::Job;
use crate::site::{AcrossFit, Basis, Readings, StringerLayout};
use crate::stair::Flight;
use crate::units::{Length, trimmed};

/// The total rise of a job may be off the greatest reading by this, in mm: it is typed with a few
/// digits.
const SAME_RISE_MM: f64 = 0.01;

pub(super) fn stringers(job: &Job) -> Result<Option<StringerLayout>, Error> {
    let Some(stair) = &job.around.stair else { return Ok(None) };
    let Some(most) = stair.most_spacing else { return Ok(None) };
    StringerLayout::new(stair.width, job.board.thickness, most, stair.outsides).map(Some)
}

pub(super) fn across(
    job: &Job,
    flight: &Flight,
    layout: Option<&StringerLayout>,
) -> Result<Option<AcrossFit>, Error> {
    let (Some(stair), false) = (&job.around.stair, job.around.across.is_empty()) else {
        return Ok(None);
    };
    let readings = Readings::new(stair.width, job.around.across.clone(), &job.rules)?;
    let positions: Vec<Length> = match layout {
        Some(layout) => layout.centres.clone(),
        None => job.around.across.iter().map(|given| given.offset).collect(),
    };
    let fit = readings.fit(job, flight.risers, &positions, Basis::Greatest)?;
    if !fit.greatest.is_within(Length::mm(SAME_RISE_MM), job.rise.total) {
        return Err(Error::new(
            ErrorKind::Input,
            "rise.total is not the greatest rise across the stair",
        )
        .found(format!("rise.total {}, readings up to {}", job.rise.total, fit.greatest))
        .allowed("the greatest of them: wood only ever comes off the bottom of a stringer")
        .hint(format!("total = \"{} in\"", trimmed(fit.greatest.as_inches(), 4))));
    }
    Ok(Some(fit))
}
