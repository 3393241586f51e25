//! A rule set: limits as data, each with its clause and source.

mod landing;
mod limit;
mod look;
mod measure;

use std::fmt;

use serde::Deserialize;

use super::live_load::LiveLoad;
use super::reader::{Len, Reader};
use crate::diagnostics::Error;
use crate::units::Length;

pub use landing::LandingRule;
pub use limit::{Breach, Held, Limit, ON_THE_LIMIT, Risers, SawnTo, Scope, When};
pub use look::{SiteMatter, Unchecked};
pub use measure::Measure;

/// A rule set. Its limits are advice to the owner: local code and licensed practice decide.
#[derive(Clone)]
pub struct Rules {
    /// The name it was asked for by.
    pub name: String,
    /// One line about it.
    pub about: String,
    /// Which edition its figures are of, where it says so.
    pub edition: Option<String>,
    /// The unit rise aimed at where the job names neither a count nor an aim.
    pub aim: Length,
    /// The limits.
    pub limits: Vec<Limit>,
    /// What cannot be seen from the job.
    pub unchecked: Vec<Unchecked>,
    /// What the stair is to carry, where the rule set says so.
    pub live_load: Option<LiveLoad>,
    /// How deep a landing between two flights has to be, where the rule set says so.
    pub landing: Option<LandingRule>,
}

/// A fingerprint is made of these words. What a landing or a rail has to be and what holds of solid
/// stringers is none of them: it is of jobs that have one, and stands with those.
#[allow(clippy::missing_fields_in_debug, reason = "a fingerprint's words stay as they are")]
impl fmt::Debug for Rules {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Rules")
            .field("name", &self.name)
            .field("about", &self.about)
            .field("edition", &self.edition)
            .field("aim", &self.aim)
            .field("limits", &self.of_every_job())
            .field("unchecked", &self.unchecked)
            .field("live_load", &self.live_load)
            .finish()
    }
}

impl Rules {
    /// Reads a rule set.
    ///
    /// # Errors
    /// With the place in `file`, what was found, what is allowed and what to type.
    pub fn read(name: &str, file: &str, text: &str) -> Result<Self, Error> {
        let reader = Reader::new(file, text);
        let raw: RulesFile = reader.parse_profile("rules", "rule set")?;
        Ok(Self {
            name: name.to_string(),
            about: raw.about,
            edition: raw.edition,
            aim: reader.positive("aim", &raw.aim)?,
            limits: raw
                .limit
                .iter()
                .map(|limit| limit.resolved(&reader))
                .collect::<Result<_, _>>()?,
            unchecked: raw
                .unchecked
                .into_iter()
                .map(|item| item.resolved(&reader))
                .collect::<Result<_, _>>()?,
            live_load: raw.live_load.map(|load| load.checked(&reader)).transpose()?,
            landing: raw.landing.map(|landing| landing.resolved(&reader)).transpose()?,
        })
    }

    /// The limits that jobs are held to without a rail and without solid stringers.
    fn of_every_job(&self) -> Vec<&Limit> {
        let is_of_all = |limit: &&Limit| {
            !limit.measure.is_of_rail() && limit.when.stringers != Some(SawnTo::Solid)
        };
        self.limits.iter().filter(is_of_all).collect()
    }

    /// The limits that a rail is held to.
    pub fn of_rail(&self) -> impl Iterator<Item = &Limit> {
        self.limits.iter().filter(|limit| limit.measure.is_of_rail())
    }

    /// The limits that hold of stringers sawn so only.
    pub fn of_stringers(&self, sawn: SawnTo) -> impl Iterator<Item = &Limit> {
        self.limits.iter().filter(move |limit| limit.when.stringers == Some(sawn))
    }

    /// The limits on one measure.
    pub fn limits_on(&self, measure: Measure) -> impl Iterator<Item = &Limit> {
        self.limits.iter().filter(move |limit| limit.measure == measure)
    }

    /// Its name, and its edition where the name does not say it.
    pub fn called(&self) -> String {
        match &self.edition {
            Some(edition) if !self.name.contains(edition.as_str()) => {
                format!("{} ({edition} edition)", self.name)
            }
            _ => self.name.clone(),
        }
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RulesFile {
    #[serde(rename = "kind")]
    _kind: String,
    about: String,
    edition: Option<String>,
    aim: Len,
    #[serde(default)]
    limit: Vec<limit::LimitFile>,
    #[serde(default)]
    unchecked: Vec<look::UncheckedFile>,
    live_load: Option<LiveLoad>,
    landing: Option<landing::LandingFile>,
}
