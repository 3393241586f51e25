//! The opening in the upper floor that a flight goes up through. From the job file to the job.

use super::around_file::OpeningFile;
use super::parts::MOST_TOTAL_RISE_MM;
use super::resolve::Resolver;
use crate::diagnostics::{Error, ErrorKind};
use crate::units::Length;

/// The most that floor and ceiling are deep, in mm.
const MOST_DEPTH_MM: f64 = 3_000.0;

/// An opening in the upper floor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Opening {
    /// Level, along the flight, from where it begins to the edge of the floor over the foot.
    pub length: Length,
    /// From the face of the riser at the head to where it begins.
    pub from_head: Length,
    /// From the upper finish down to the ceiling under it.
    pub depth: Length,
}

impl Resolver<'_> {
    /// The opening, where the job has one.
    pub(super) fn opening(
        &mut self,
        raw: Option<&OpeningFile>,
        total: Length,
    ) -> Result<Option<Opening>, Error> {
        let Some(raw) = raw else { return Ok(None) };
        let length = self.positive("opening.length", &raw.length, MOST_TOTAL_RISE_MM)?;
        let from_head =
            self.optional("opening.from_head", &raw.from_head, MOST_TOTAL_RISE_MM, Length::ZERO)?;
        let depth =
            self.within("opening.depth", &raw.depth, Length::ZERO, Length::mm(MOST_DEPTH_MM))?;
        if depth >= total {
            return Err(Error::new(
                ErrorKind::Input,
                "the ceiling lies on the lower floor or below it",
            )
            .at(self.place(raw.depth.span()))
            .found(format!("floor and ceiling {depth} deep, and a total rise of {total}"))
            .allowed("less than the total rise")
            .hint(
                "look at opening.depth again: from the upper finish down to the ceiling under it, \
                no more",
            ));
        }
        Ok(Some(Opening { length, from_head, depth }))
    }
}
