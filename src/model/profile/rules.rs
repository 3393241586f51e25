//! A rule set: limits as data, each with its clause and source.

use serde::Deserialize;

use super::live_load::LiveLoad;
use super::reader::{Len, RawLength, Reader};
use crate::diagnostics::Error;
use crate::diagnostics::{Code, Severity, codes};
use crate::units::Length;

/// What a limit is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Measure {
    /// Height of every finished riser.
    UnitRise,
    /// Going: nose to nose.
    UnitRun,
    /// Largest less smallest finished riser of the flight.
    RiserSpread,
    /// Largest less smallest finished run of the flight.
    RunSpread,
    /// Overhang of the tread beyond the riser face.
    Nosing,
    /// Rise of the whole flight.
    FlightRise,
    /// Angle of the nose line, in degrees.
    Pitch,
    /// Twice the unit rise and one unit run.
    StepSum,
    /// One unit rise and one unit run.
    RiseRunSum,
    /// Height of the gap between treads where there are no riser boards.
    OpenGap,
    /// Number of risers.
    RiserCount,
    /// Wood left behind the notches, after the relief that will be cut.
    Throat,
    /// Width of the board.
    BoardDepth,
    /// Thickness of the board.
    BoardThickness,
    /// Horizontal length of the stringer.
    StringerSpan,
}

impl Measure {
    /// The codes of a finding below the least and above the most.
    pub fn codes(self) -> (Code, Code) {
        match self {
            Self::UnitRise => (codes::UnitRiseLow::CODE, codes::UnitRiseHigh::CODE),
            Self::UnitRun => (codes::UnitRunLow::CODE, codes::UnitRunHigh::CODE),
            Self::RiserSpread => (codes::RiserSpreadLow::CODE, codes::RiserSpreadHigh::CODE),
            Self::RunSpread => (codes::RunSpreadLow::CODE, codes::RunSpreadHigh::CODE),
            Self::Nosing => (codes::NosingLow::CODE, codes::NosingHigh::CODE),
            Self::FlightRise => (codes::FlightRiseLow::CODE, codes::FlightRiseHigh::CODE),
            Self::Pitch => (codes::PitchLow::CODE, codes::PitchHigh::CODE),
            Self::StepSum => (codes::StepSumLow::CODE, codes::StepSumHigh::CODE),
            Self::RiseRunSum => (codes::RiseRunSumLow::CODE, codes::RiseRunSumHigh::CODE),
            Self::OpenGap => (codes::OpenGapLow::CODE, codes::OpenGapHigh::CODE),
            Self::RiserCount => (codes::RiserCountLow::CODE, codes::RiserCountHigh::CODE),
            Self::Throat => (codes::ThroatLow::CODE, codes::ThroatHigh::CODE),
            Self::BoardDepth => (codes::BoardDepthLow::CODE, codes::BoardDepthHigh::CODE),
            Self::BoardThickness => {
                (codes::BoardThicknessLow::CODE, codes::BoardThicknessHigh::CODE)
            }
            Self::StringerSpan => (codes::StringerSpanLow::CODE, codes::StringerSpanHigh::CODE),
        }
    }

    /// Whether its figures are lengths; the others are a plain angle or count.
    pub fn is_length(self) -> bool {
        !matches!(self, Self::Pitch | Self::RiserCount)
    }
}

/// One limit of a rule set. Its figures are mm, degrees or a count, by its measure.
#[derive(Clone, Debug)]
pub struct Limit {
    /// What it is about.
    pub measure: Measure,
    /// The least allowed.
    pub at_least: Option<f64>,
    /// The most allowed.
    pub at_most: Option<f64>,
    /// What a breach weighs.
    pub severity: Severity,
    /// Edition and clause.
    pub source: String,
    /// It holds only for a unit run below this, in mm.
    pub unless_run_at_least: Option<Length>,
    /// It holds only where a walking surface is higher than this, in mm.
    pub where_higher_than: Option<Length>,
}

/// A computed figure may lie this far beyond a limit and still count as on it: far above the
/// rounding of a double, far below anything that can be cut. In mm, degrees or counts.
pub const ON_THE_LIMIT: f64 = 1e-6;

/// How a figure breaks a limit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Breach {
    /// It is below the least, which is this.
    Below(f64),
    /// It is above the most, which is this.
    Above(f64),
}

impl Limit {
    /// Whether and how a figure in the limit's kind (mm, degrees or a count) breaks it.
    pub fn breach(&self, figure: f64) -> Option<Breach> {
        match (self.at_least, self.at_most) {
            (Some(least), _) if figure < least - ON_THE_LIMIT => Some(Breach::Below(least)),
            (_, Some(most)) if figure > most + ON_THE_LIMIT => Some(Breach::Above(most)),
            _ => None,
        }
    }
}

/// What a requirement is about that only the site can show.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum SiteMatter {
    /// Width of the stair between what stands beside it.
    ClearWidth,
    /// Height over the nose line.
    Headroom,
    /// A rail to hold on to.
    Handrail,
    /// What keeps people from falling off the side.
    Guards,
    /// Level floor at foot and head.
    Landing,
    /// Slope of the landing.
    LandingSlope,
    /// Distance between stringers.
    StringerSpacing,
    /// What the stair is to carry.
    LiveLoad,
    /// Light on the treads.
    Lighting,
    /// How the treads hold a foot.
    TreadSurface,
    /// Anything else, which the item's `what` says.
    Other,
}

impl SiteMatter {
    /// As it is said.
    pub fn words(self) -> &'static str {
        match self {
            Self::ClearWidth => "clear width",
            Self::Headroom => "headroom",
            Self::Handrail => "handrail",
            Self::Guards => "guards",
            Self::Landing => "landing",
            Self::LandingSlope => "landing slope",
            Self::StringerSpacing => "stringer spacing",
            Self::LiveLoad => "live load",
            Self::Lighting => "lighting",
            Self::TreadSurface => "tread surface",
            Self::Other => "on site",
        }
    }
}

/// A requirement that no measurement in the job can show.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Unchecked {
    /// What it is about: the one thing about it that the code goes by.
    pub about: SiteMatter,
    /// What to look at on site, where the rule set has words of its own for it.
    what: Option<String>,
    /// What it must be.
    pub limit: String,
    /// Edition and clause.
    pub source: String,
}

impl Unchecked {
    /// What to look at on site, for people.
    pub fn what(&self) -> &str {
        self.what.as_deref().unwrap_or(self.about.words())
    }

    fn checked(self, reader: &Reader<'_>) -> Result<Self, Error> {
        if self.about == SiteMatter::Other && self.what.is_none() {
            return Err(reader.error(
                "an unchecked item that does not say what to look at",
                "about = \"other\" without `what`",
                "what = \"gate at the head\"",
            ));
        }
        Ok(self)
    }
}

/// A rule set. Its limits are advice to the owner: local code and licensed practice decide.
#[derive(Clone, Debug)]
pub struct Rules {
    /// The name it was asked for by.
    pub name: String,
    /// One line about it.
    pub about: String,
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
            aim: reader.positive("aim", &raw.aim)?,
            limits: raw
                .limit
                .iter()
                .map(|limit| limit.resolved(&reader))
                .collect::<Result<_, _>>()?,
            unchecked: raw
                .unchecked
                .into_iter()
                .map(|item| item.checked(&reader))
                .collect::<Result<_, _>>()?,
            live_load: raw.live_load.map(|load| load.checked(&reader)).transpose()?,
        })
    }

    /// The limits on one measure.
    pub fn limits_on(&self, measure: Measure) -> impl Iterator<Item = &Limit> {
        self.limits.iter().filter(move |limit| limit.measure == measure)
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RulesFile {
    #[serde(rename = "kind")]
    _kind: String,
    about: String,
    aim: Len,
    #[serde(default)]
    limit: Vec<LimitFile>,
    #[serde(default)]
    unchecked: Vec<Unchecked>,
    live_load: Option<LiveLoad>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct LimitFile {
    measure: Measure,
    at_least: Option<Len>,
    at_most: Option<Len>,
    severity: Severity,
    source: String,
    unless_run_at_least: Option<Len>,
    where_higher_than: Option<Len>,
}

impl LimitFile {
    fn resolved(&self, reader: &Reader<'_>) -> Result<Limit, Error> {
        if self.at_least.is_none() && self.at_most.is_none() {
            return Err(reader.error(
                "a limit without a figure",
                "neither at_least nor at_most",
                "at_most = \"7 3/4 in\"",
            ));
        }
        let length =
            |raw: &Option<Len>, key| raw.as_ref().map(|raw| reader.length(key, raw)).transpose();
        Ok(Limit {
            measure: self.measure,
            at_least: self.figure(reader, "limit.at_least", &self.at_least)?,
            at_most: self.figure(reader, "limit.at_most", &self.at_most)?,
            severity: self.severity,
            source: self.source.clone(),
            unless_run_at_least: length(&self.unless_run_at_least, "limit.unless_run_at_least")?,
            where_higher_than: length(&self.where_higher_than, "limit.where_higher_than")?,
        })
    }

    /// A figure in the kind of its measure: a length with its unit, or a bare angle in degrees or
    /// count.
    fn figure(
        &self,
        reader: &Reader<'_>,
        key: &str,
        raw: &Option<Len>,
    ) -> Result<Option<f64>, Error> {
        let Some(raw) = raw else { return Ok(None) };
        match raw.get_ref() {
            _ if self.measure.is_length() => {
                reader.length(key, raw).map(|length| Some(length.as_mm()))
            }
            RawLength::Number(number) => Ok(Some(*number)),
            RawLength::Text(text) => Err(reader.out_of_range(
                key,
                raw.span(),
                text,
                "a plain number: degrees or a count",
            )),
        }
    }
}
