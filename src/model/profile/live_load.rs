//! What a rule set has a stair carry. Only the beam check reads it.

use serde::Deserialize;

use super::reader::{Reader, printed};
use crate::diagnostics::Error;

/// What a load on one spot is asked of.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum PointOn {
    /// Of a tread alone: what its stringers make of it is shown and held against nothing.
    Tread,
    /// Of the stair at any point, so of a stringer by itself too: the stricter reading, taken where
    /// a rule set does not say.
    #[default]
    Stringer,
}

/// The live load that a rule set has a stair carry.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LiveLoad {
    /// Spread evenly, in pounds a square foot of the stair's horizontal projection; none where the
    /// rule set leaves it to what will be carried, which the job then has to say.
    pub psf: Option<f64>,
    /// The stair has to bear this many times the spread load; once where it is left out.
    pub times: Option<f64>,
    /// On one spot, in pounds; not together with the spread one.
    pub point_lb: Option<f64>,
    /// What the load on one spot is asked of.
    #[serde(default)]
    pub point_on: PointOn,
    /// Edition and table.
    pub source: String,
}

impl LiveLoad {
    pub(super) fn checked(self, reader: &Reader<'_>) -> Result<Self, Error> {
        let loads = [("live_load.psf", self.psf), ("live_load.point_lb", self.point_lb)];
        for (key, load) in loads {
            load.map(|load| reader.number(key, load, 0.0, MOST_LIVE_LOAD)).transpose()?;
        }
        self.times
            .map(|times| reader.number("live_load.times", times, 1.0, MOST_TIMES))
            .transpose()?;
        Ok(Self { source: printed(&self.source), ..self })
    }
}

/// In psf and in pounds: several times what any code asks of a stair.
const MOST_LIVE_LOAD: f64 = 1000.0;
/// Twice what any rule set here asks.
pub const MOST_TIMES: f64 = 10.0;
