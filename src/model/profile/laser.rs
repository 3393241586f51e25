//! A laser as a machine profile gives it.

use serde::Deserialize;

use super::ranges::{KERF, LEAD, LEAST_MARK_WORD, MARK_POWER, POWER, SPEED};
use super::reader::{Len, Rate, Reader};
use crate::diagnostics::Error;
use crate::units::Length;

/// A beam and how it may be driven.
#[derive(Clone, Debug, PartialEq)]
pub struct Laser {
    /// Full width of what the beam takes away.
    pub kerf: Length,
    /// Cutting feed in mm/min.
    pub feed_mm_min: f64,
    /// The S word of full power.
    pub full_power: f64,
    /// The greatest S word that the controller takes, where the profile says it.
    pub max_power: Option<f64>,
    /// How the power goes with the speed; which word says it is in the machine's [`Words`](super::Words).
    pub power: BeamPower,
    /// Feed along the lead-in, in mm/min: slow enough to pierce while moving, for the beam never
    /// stands still.
    pub pierce_feed_mm_min: f64,
    /// Distance of the pierce from the part's edge, and radius of the lead-in.
    pub lead: Length,
    /// The thickest material it cuts in one pass.
    pub max_thickness: Length,
    /// Share of full power that scores a mark and does not cut.
    pub mark_power: f64,
}

/// How the beam's power goes with the head's speed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum BeamPower {
    /// The same everywhere.
    Steady,
    /// Less where the head is slow.
    FollowsSpeed,
}

/// The share of full power that scores, where a profile does not say (common practice, no source).
const USUAL_MARK_POWER: f64 = 0.15;
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct LaserFile {
    kerf: Len,
    feed: Rate,
    full_power: f64,
    max_power: Option<f64>,
    power: BeamPower,
    pierce_feed: Rate,
    lead: Len,
    max_thickness: Len,
    mark_power: Option<f64>,
}

impl LaserFile {
    pub(super) fn resolved(&self, reader: &Reader<'_>) -> Result<Laser, Error> {
        let full_power = reader.number("laser.full_power", self.full_power, POWER.0, POWER.1)?;
        let feed_mm_min = reader.rate_in("laser.feed", &self.feed, SPEED)?;
        Ok(Laser {
            kerf: reader.length_in("laser.kerf", &self.kerf, KERF)?,
            feed_mm_min,
            full_power,
            max_power: match self.max_power {
                Some(most) => Some(reader.number("laser.max_power", most, POWER.0, POWER.1)?),
                None => None,
            },
            power: self.power,
            pierce_feed_mm_min: self.pierce_feed(reader, feed_mm_min)?,
            lead: reader.length_in("laser.lead", &self.lead, LEAD)?,
            max_thickness: reader.positive("laser.max_thickness", &self.max_thickness)?,
            mark_power: self.mark_power(reader, full_power)?,
        })
    }

    /// A beam goes through faster than it cuts nowhere.
    fn pierce_feed(&self, reader: &Reader<'_>, feed_mm_min: f64) -> Result<f64, Error> {
        let pierce = reader.rate_in("laser.pierce_feed", &self.pierce_feed, SPEED)?;
        if pierce <= feed_mm_min {
            return Ok(pierce);
        }
        let allowed = format!("at most the {} of laser.feed", self.feed.get_ref());
        Err(reader.out_of_range(
            "laser.pierce_feed",
            self.pierce_feed.span(),
            self.pierce_feed.get_ref(),
            &allowed,
        ))
    }

    fn mark_power(&self, reader: &Reader<'_>, power: f64) -> Result<f64, Error> {
        let share = self.mark_power.unwrap_or(USUAL_MARK_POWER);
        let least = MARK_POWER.0.max(LEAST_MARK_WORD / power);
        reader.number("laser.mark_power", share, least, MARK_POWER.1)
    }
}
