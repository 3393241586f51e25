//! A rule set: limits as data, each with its clause and source.

mod limit;
mod look;
mod measure;

use serde::Deserialize;

use super::live_load::LiveLoad;
use super::reader::{Len, Reader};
use crate::diagnostics::Error;
use crate::units::Length;

pub use limit::{Breach, Held, Limit, ON_THE_LIMIT, Risers, Scope, When};
pub use look::{SiteMatter, Unchecked};
pub use measure::Measure;

/// A rule set. Its limits are advice to the owner: local code and licensed practice decide.
#[derive(Clone, Debug)]
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
        })
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
}
