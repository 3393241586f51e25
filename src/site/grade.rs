//! How steeply the ground falls away from the head.

use crate::diagnostics::{Error, ErrorKind};
use crate::units::{Length, trimmed};

/// The steepest ground that is read, either way: at a fall of one in one it is a wall, not ground.
const STEEPEST: f64 = 1.0;

/// Drop of the ground per level length away from the head, in the direction of the flight. Negative
/// where the ground rises away from the head. Finite, and less than one in one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grade(f64);

impl Grade {
    /// One down in `run` level; a negative `run` is ground that rises.
    ///
    /// # Errors
    /// Where the ground is one in one or steeper, or the figure is none.
    pub fn one_in(run: f64) -> Result<Self, Error> {
        Self::checked(1.0 / run, || format!("1 in {}", trimmed(run, 4)))
    }

    /// So many hundredths of the level length.
    ///
    /// # Errors
    /// As [`Grade::one_in`].
    pub fn percent(percent: f64) -> Result<Self, Error> {
        Self::checked(percent / 100.0, || format!("{} percent", trimmed(percent, 4)))
    }

    /// So many degrees from level.
    ///
    /// # Errors
    /// As [`Grade::one_in`].
    pub fn degrees(degrees: f64) -> Result<Self, Error> {
        // Beyond a quarter turn the tangent comes back as a gentle slope.
        let fall = if degrees.abs() < 90.0 { degrees.to_radians().tan() } else { f64::NAN };
        Self::checked(fall, || format!("{} degrees", trimmed(degrees, 4)))
    }

    /// The ground `over` level from the head lies `drop` lower than under it.
    ///
    /// # Errors
    /// As [`Grade::one_in`], and where `over` is nothing.
    pub fn drop_over(drop: Length, over: Length) -> Result<Self, Error> {
        let fall = if over > Length::ZERO { drop.as_mm() / over.as_mm() } else { f64::NAN };
        Self::checked(fall, || format!("{drop} over {over}"))
    }

    fn checked(fall: f64, found: impl Fn() -> String) -> Result<Self, Error> {
        if fall.is_finite() && fall.abs() < STEEPEST {
            return Ok(Self(fall));
        }
        Err(Error::new(ErrorKind::Input, "the slope of the ground means nothing")
            .found(found())
            .allowed(
                "less than 1 in 1 (100 percent, 45 degrees), and a drop over a length of more than \
                0",
            )
            .hint("measure the slope again"))
    }

    /// Drop per level length.
    pub fn fall(self) -> f64 {
        self.0
    }

    /// Angle from level, in degrees.
    pub fn degrees_from_level(self) -> f64 {
        self.0.atan().to_degrees()
    }

    /// Drop over a level length.
    pub fn drop(self, over: Length) -> Length {
        over * self.0
    }
}

impl std::fmt::Display for Grade {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let way = if self.0 < 0.0 { "up" } else { "down" };
        let percent = trimmed(self.0.abs() * 100.0, 2);
        f.pad(&format!("{way} {percent} percent away from the head"))
    }
}
