//! A laser as a machine profile gives it.

use serde::Deserialize;

use super::ranges::{
    CUT_POWER, KERF, LASER_PASSES, LEAD, LEAST_MARK_WORD, MARK_POWER, POWER, SPEED,
};
use super::reader::{Len, Rate, Reader};
use crate::diagnostics::Error;
use crate::units::{Length, trimmed};

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
    /// How the power goes with the speed; which word says it is in the machine's
    /// [`Words`](super::Words).
    pub power: BeamPower,
    /// Feed along the lead-in, in mm/min: slow enough to pierce while moving, for the beam never
    /// stands still.
    pub pierce_feed_mm_min: f64,
    /// Distance of the pierce from the part's edge, and radius of the lead-in.
    pub lead: Length,
    /// The thickest material it cuts.
    pub max_thickness: Length,
    /// Share of full power that it cuts with.
    pub cut_power: f64,
    /// How many times it goes round.
    pub passes: u32,
    /// How each thickness is cut, the thinnest first; empty where all are cut alike. Feed, power
    /// and passes are those of the row that was chosen.
    pub rows: Vec<LaserCut>,
    /// Share of full power that scores a mark and does not cut.
    pub mark_power: f64,
}

/// How material up to a thickness is cut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LaserCut {
    /// Material as thick as this, or thinner.
    pub thickness: Length,
    /// Feed in mm/min.
    pub feed_mm_min: f64,
    /// Share of full power.
    pub power: f64,
    /// How many times round.
    pub passes: u32,
}

impl Laser {
    /// The same beam as it cuts a thickness: by the first row of its table that is as thick, or by
    /// the last where none is, which the plan refuses.
    pub(super) fn cutting(self, thickness: Length) -> Self {
        // A thickness that is typed in the other unit is the same figure to the last bits only.
        let takes = |row: &&LaserCut| row.thickness.as_mm() * (1.0 + 1e-9) >= thickness.as_mm();
        match self.rows.iter().find(takes).or(self.rows.last()).copied() {
            Some(LaserCut { feed_mm_min, power, passes, .. }) => {
                Self { feed_mm_min, cut_power: power, passes, ..self }
            }
            None => self,
        }
    }

    /// The S word that it cuts with.
    pub fn cut_s(&self) -> f64 {
        self.full_power * self.cut_power
    }

    /// What scoring puts into each mm of its way, against what cutting does.
    pub fn score_share(&self) -> f64 {
        self.mark_power / self.cut_power
    }
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
    feed: Option<Rate>,
    full_power: f64,
    max_power: Option<f64>,
    power: BeamPower,
    pierce_feed: Rate,
    lead: Len,
    max_thickness: Option<Len>,
    mark_power: Option<f64>,
    /// Of a cutter only.
    finish: Option<serde::de::IgnoredAny>,
    rough: Option<serde::de::IgnoredAny>,
    #[serde(default)]
    cut: Vec<LaserCutFile>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct LaserCutFile {
    thickness: Len,
    feed: Rate,
    power: f64,
    #[serde(default = "once")]
    passes: u32,
}

fn once() -> u32 {
    1
}

impl LaserCutFile {
    fn resolved(&self, reader: &Reader<'_>) -> Result<LaserCut, Error> {
        let (least, most) = LASER_PASSES;
        let passes = reader.number("laser.cut.passes", f64::from(self.passes), least, most)?;
        Ok(LaserCut {
            thickness: reader.positive("laser.cut.thickness", &self.thickness)?,
            feed_mm_min: reader.rate_in("laser.cut.feed", &self.feed, SPEED)?,
            power: reader.number("laser.cut.power", self.power, CUT_POWER.0, CUT_POWER.1)?,
            passes: passes as u32,
        })
    }
}

impl LaserFile {
    pub(super) fn resolved(&self, reader: &Reader<'_>) -> Result<Laser, Error> {
        let full_power = reader.number("laser.full_power", self.full_power, POWER.0, POWER.1)?;
        let rows = self.rows(reader)?;
        let (feed_mm_min, max_thickness) = self.alike(reader, &rows)?;
        let mark_power = self.mark_power(reader, full_power)?;
        check_score(reader, mark_power, &rows)?;
        for (key, given) in [("finish", &self.finish), ("rough", &self.rough)] {
            if given.is_some() {
                return Err(reader
                    .error(
                        &format!(
                            "laser.{key} does nothing: a beam leaves nothing beside its line to \
                            finish"
                        ),
                        &format!("{key} in [laser]"),
                        &format!("the table [laser] without {key}"),
                    )
                    .allowed(format!("{key} in the table [router]")));
            }
        }
        let laser = Laser {
            kerf: reader.length_in("laser.kerf", &self.kerf, KERF)?,
            feed_mm_min,
            full_power,
            max_power: match self.max_power {
                Some(most) => Some(reader.number("laser.max_power", most, POWER.0, POWER.1)?),
                None => None,
            },
            power: self.power,
            pierce_feed_mm_min: self.pierce_feed(reader, feed_mm_min, &rows)?,
            lead: reader.length_in("laser.lead", &self.lead, LEAD)?,
            max_thickness,
            mark_power,
            cut_power: 1.0,
            passes: 1,
            rows,
        };
        Ok(laser.cutting(Length::ZERO))
    }

    /// The table of thicknesses, each thicker than the one above it.
    fn rows(&self, reader: &Reader<'_>) -> Result<Vec<LaserCut>, Error> {
        let rows: Vec<LaserCut> =
            self.cut.iter().map(|row| row.resolved(reader)).collect::<Result<_, _>>()?;
        for (above, (row, raw)) in rows.iter().zip(rows.iter().zip(&self.cut).skip(1)) {
            if row.thickness <= above.thickness {
                return Err(reader.out_of_range(
                    "laser.cut.thickness",
                    raw.thickness.span(),
                    &row.thickness.to_string(),
                    &format!("more than the {} of the row above it", above.thickness),
                ));
            }
        }
        Ok(rows)
    }

    /// Feed and greatest thickness: of the keys where all is cut alike, else of the table.
    fn alike(&self, reader: &Reader<'_>, rows: &[LaserCut]) -> Result<(f64, Length), Error> {
        match (&self.feed, &self.max_thickness, rows.last()) {
            (Some(feed), Some(most), None) => Ok((
                reader.rate_in("laser.feed", feed, SPEED)?,
                reader.positive("laser.max_thickness", most)?,
            )),
            (None, None, Some(thickest)) => Ok((rows[0].feed_mm_min, thickest.thickness)),
            (_, _, Some(_)) => Err(reader.error(
                "[[laser.cut]] says feed and thickness, and laser.feed or laser.max_thickness too",
                "both",
                "the rows of [[laser.cut]], or feed and max_thickness for all that is cut alike",
            )),
            (feed, _, None) => Err(reader.error(
                &format!(
                    "the key `{}` is missing",
                    if feed.is_none() { "laser.feed" } else { "laser.max_thickness" }
                ),
                "neither it nor a row of [[laser.cut]]",
                "feed = \"15 mm/s\" and max_thickness = \"6.5 mm\", or rows of [[laser.cut]]",
            )),
        }
    }

    /// A beam goes through faster than it cuts nowhere.
    fn pierce_feed(
        &self,
        reader: &Reader<'_>,
        feed_mm_min: f64,
        rows: &[LaserCut],
    ) -> Result<f64, Error> {
        let pierce = reader.rate_in("laser.pierce_feed", &self.pierce_feed, SPEED)?;
        let slowest = rows.iter().map(|row| row.feed_mm_min).fold(feed_mm_min, f64::min);
        if pierce <= slowest {
            return Ok(pierce);
        }
        let allowed = match &self.feed {
            Some(feed) => format!("at most the {} of laser.feed", feed.get_ref()),
            None => {
                format!("at most {} mm/min, the slowest of laser.cut.feed", trimmed(slowest, 1))
            }
        };
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

/// From half of what cuts on a beam that scores may go through.
fn check_score(reader: &Reader<'_>, mark_power: f64, rows: &[LaserCut]) -> Result<(), Error> {
    let weakest = rows.iter().map(|row| row.power).fold(1.0, f64::min);
    if mark_power <= weakest * MARK_POWER.1 {
        return Ok(());
    }
    Err(reader
        .error(
            "laser.mark_power is more than half of what a row of [[laser.cut]] cuts with",
            &format!("mark_power = {mark_power} beside power = {weakest}"),
            &format!("mark_power = {}", trimmed(weakest * MARK_POWER.1, 3)),
        )
        .allowed("half of the least laser.cut.power, or less"))
}
