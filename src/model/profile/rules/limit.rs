//! One limit: its figures, where it holds, what a breach weighs and where it comes from.

use serde::Deserialize;

use super::measure::{Kind, Measure};
use crate::diagnostics::{Error, Severity};
use crate::profile::reader::{Len, RawLength, Reader, printed};
use crate::units::{Length, trimmed};

/// One limit of a rule set. Its figures are mm, degrees, a count or a slope, by its measure.
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
    /// How far it reaches.
    pub over: Scope,
    /// Where it holds.
    pub when: When,
}

/// How far a limit reaches.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Scope {
    /// One flight by itself.
    #[default]
    Flight,
    /// All flights of a stairway together; a job knows one of them.
    Stairway,
}

/// Where a limit holds: everywhere, but for what is given here. All of it has to be so.
#[derive(Clone, Copy, Default, PartialEq)]
pub struct When {
    /// Only where the unit run is below this.
    pub run_below: Option<Length>,
    /// Only higher than this: of a gap, where its upper end lies higher over the lower floor; of
    /// anything else, where a tread does.
    pub higher_than: Option<Length>,
    /// Only with open risers, or only with closed ones.
    pub risers: Option<Risers>,
    /// Only where the stringers are held so.
    pub held: Option<Held>,
    /// Only where stringers stand further apart than this, centre to centre.
    pub spacing_over: Option<Length>,
    /// Only of stringers that are sawn so.
    pub stringers: Option<SawnTo>,
    /// Only of flights of this many risers or more.
    pub from_risers: Option<usize>,
}

/// A fingerprint is made of these words, as those of a rule set are. What holds of solid stringers
/// only, or not of them, a job that has some says beside them.
#[allow(clippy::missing_fields_in_debug, reason = "a fingerprint's words stay as they are")]
impl std::fmt::Debug for When {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let mut words = f.debug_struct("When");
        words
            .field("run_below", &self.run_below)
            .field("higher_than", &self.higher_than)
            .field("risers", &self.risers)
            .field("held", &self.held)
            .field("spacing_over", &self.spacing_over);
        if let Some(risers) = self.from_risers {
            words.field("from_risers", &risers);
        }
        words.finish()
    }
}

/// What stringers are sawn to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum SawnTo {
    /// Notched for the steps.
    Cut,
    /// Whole boards, housed or with cleats.
    Solid,
}

/// Whether riser boards close the gaps between treads.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Risers {
    /// There are none.
    Open,
    /// They do.
    Closed,
}

/// How stringers are held.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Held {
    /// At foot and head, and in between at the most in one place.
    #[default]
    AtEnds,
    /// Along their whole length.
    Along,
}

/// A computed figure may lie this far beyond a limit and still count as on it: far above the
/// rounding of a double, far below anything that can be cut. In mm, degrees, counts or slopes.
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
    /// Whether and how a figure in the limit's kind breaks it.
    pub fn breach(&self, figure: f64) -> Option<Breach> {
        match (self.at_least, self.at_most) {
            (Some(least), _) if figure < least - ON_THE_LIMIT => Some(Breach::Below(least)),
            (_, Some(most)) if figure > most + ON_THE_LIMIT => Some(Breach::Above(most)),
            _ => None,
        }
    }

    /// What it asks for, in words: `at least 80 in (2032.0 mm)`.
    pub fn asks(&self) -> String {
        let figure = |figure: f64| match self.measure.kind() {
            Kind::Length => Length::mm(figure).to_string(),
            Kind::Degrees => format!("{} deg", trimmed(figure, 2)),
            Kind::Count => trimmed(figure, 0),
            Kind::Slope => format!("1:{}", trimmed(1.0 / figure, 1)),
        };
        let least = self.at_least.map(|least| format!("at least {}", figure(least)));
        let most = self.at_most.map(|most| format!("at most {}", figure(most)));
        let asked: Vec<String> = least.into_iter().chain(most).collect();
        asked.join(", ")
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct LimitFile {
    measure: Measure,
    at_least: Option<Len>,
    at_most: Option<Len>,
    severity: Severity,
    source: String,
    #[serde(default)]
    over: Scope,
    unless_run_at_least: Option<Len>,
    where_higher_than: Option<Len>,
    where_risers: Option<Risers>,
    where_held: Option<Held>,
    where_spacing_over: Option<Len>,
    where_stringers: Option<SawnTo>,
    from_risers: Option<usize>,
}

impl LimitFile {
    pub(super) fn resolved(&self, reader: &Reader<'_>) -> Result<Limit, Error> {
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
            source: printed(&self.source),
            over: self.over,
            when: When {
                run_below: length(&self.unless_run_at_least, "limit.unless_run_at_least")?,
                higher_than: length(&self.where_higher_than, "limit.where_higher_than")?,
                risers: self.where_risers,
                held: self.where_held,
                spacing_over: length(&self.where_spacing_over, "limit.where_spacing_over")?,
                stringers: self.where_stringers,
                from_risers: self.from_risers,
            },
        })
    }

    /// A figure in the kind of its measure: a length with its unit, a bare angle in degrees or
    /// count, or a slope.
    fn figure(
        &self,
        reader: &Reader<'_>,
        key: &str,
        raw: &Option<Len>,
    ) -> Result<Option<f64>, Error> {
        let Some(raw) = raw else { return Ok(None) };
        let kind = self.measure.kind();
        let refused = |found: &str, allowed| reader.out_of_range(key, raw.span(), found, allowed);
        match (kind, raw.get_ref()) {
            (Kind::Length, _) => reader.length(key, raw).map(|length| Some(length.as_mm())),
            (Kind::Slope, RawLength::Text(text)) => slope(text)
                .map(Some)
                .ok_or_else(|| refused(text, "a slope such as \"1:48\", from 1:1 to 1:1000")),
            (Kind::Slope, RawLength::Number(number)) => {
                Err(refused(&number.to_string(), "a slope in quotes such as \"1:48\""))
            }
            // Nothing is ever beyond a figure that is no number.
            (_, RawLength::Number(number)) if !(0.0..=MOST_PLAIN).contains(number) => {
                Err(refused(&number.to_string(), "degrees or a count from 0 to 1000"))
            }
            (_, RawLength::Number(number)) => Ok(Some(*number)),
            (_, RawLength::Text(text)) => Err(refused(text, "a plain number: degrees or a count")),
        }
    }
}

/// More degrees or risers than any flight has.
const MOST_PLAIN: f64 = 1000.0;

/// `1:48` as fall per length.
fn slope(text: &str) -> Option<f64> {
    let (one, over) = text.split_once(':')?;
    let over: f64 = over.trim().parse().ok().filter(|over| (1.0..=1000.0).contains(over))?;
    (one.trim() == "1").then_some(1.0 / over)
}
