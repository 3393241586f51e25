//! Heights of a built flight, as measured.

use crate::diagnostics::{Error, ErrorKind};
use crate::job::MOST_RISERS;
use crate::units::Length;

/// A built flight by the heights of its walking surfaces, all plumb over one datum: the lower floor
/// as it lay when the heights were measured.
#[derive(Clone, Debug, PartialEq)]
pub struct BuiltFlight {
    treads: Vec<Length>,
    lower: Length,
    upper: Length,
}

impl BuiltFlight {
    /// The flight whose finished tread tops stand at `treads` over the lower floor, from the bottom
    /// up, and whose upper floor stands at `upper`. A flush top tread is left out of `treads`: it
    /// is the upper floor.
    ///
    /// # Errors
    /// Where there is no tread, more than 200, or a height that isn't above the one below it.
    pub fn new(treads: Vec<Length>, upper: Length) -> Result<Self, Error> {
        if treads.is_empty() || treads.len() > MOST_RISERS {
            return Err(Error::new(
                ErrorKind::Input,
                "as-built heights need the treads between the two floors",
            )
            .found(format!("{} heights", treads.len()))
            .allowed(format!("1 to {MOST_RISERS}, from the bottom up"))
            .hint(
                "heights: every tread top over the lower floor, from the bottom up, as measured",
            ));
        }
        let flight = Self { treads, lower: Length::ZERO, upper };
        flight.rising().map(|()| flight)
    }

    /// With finish still to be laid on the lower floor and on the upper one. The heights stay as
    /// measured; the risers are those that will be walked on.
    ///
    /// # Errors
    /// Where the lower finish would bury the first tread, or a finish is less than nothing.
    pub fn with_finish_to_come(mut self, lower: Length, upper: Length) -> Result<Self, Error> {
        if lower < Length::ZERO || upper < Length::ZERO {
            return Err(Error::new(ErrorKind::Input, "finish to come is less than nothing")
                .found(format!("{lower} below, {upper} above"))
                .allowed("0 or more")
                .hint("measure finish_to_come again"));
        }
        self.lower = lower;
        self.upper = self.upper + upper;
        self.rising().map(|()| self)
    }

    fn rising(&self) -> Result<(), Error> {
        let surfaces = self.surfaces();
        let Some(k) = surfaces.windows(2).position(|pair| pair[1] <= pair[0]) else {
            return Ok(());
        };
        let name = |k: usize| match k {
            0 => "the finished lower floor".to_string(),
            k if k > self.treads.len() => "the upper floor".to_string(),
            k => format!("tread {k}"),
        };
        Err(Error::new(ErrorKind::Input, format!("{} is not above {}", name(k + 1), name(k)))
            .found(format!("{} over {}", surfaces[k + 1], surfaces[k]))
            .allowed("heights that rise from the bottom up, all over the lower floor")
            .hint("measure every tread from the lower floor, not from the tread below"))
    }

    /// Every walking surface from the lower floor to the upper one, over the datum.
    pub fn surfaces(&self) -> Vec<Length> {
        let mut surfaces = vec![self.lower];
        surfaces.extend(&self.treads);
        surfaces.push(self.upper);
        surfaces
    }

    /// Number of treads between the floors.
    pub fn treads(&self) -> usize {
        self.treads.len()
    }

    /// Every finished riser, from the bottom up: one more than treads.
    pub fn risers(&self) -> Vec<Length> {
        self.surfaces().windows(2).map(|pair| pair[1] - pair[0]).collect()
    }

    /// The risers with each tread raised by its figure in `moves`, or lowered where that is
    /// negative.
    pub fn risers_moved(&self, moves: &[Length]) -> Vec<Length> {
        let mut surfaces = self.surfaces();
        for (surface, by) in surfaces.iter_mut().skip(1).zip(moves).take(self.treads.len()) {
            *surface = *surface + *by;
        }
        surfaces.windows(2).map(|pair| pair[1] - pair[0]).collect()
    }
}
