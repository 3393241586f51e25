//! A finding: the work went on, but look at this. Findings are data, and all of them are always
//! returned.

use std::fmt;

use serde::ser::SerializeStruct;

use super::table::cleats::CleatFasteners;
use super::table::rules::{GuardWanted, HandrailWanted};
use super::table::stair::NotChecked;
use super::{Code, Kind, Place, Value};

/// How much a finding weighs.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize,
)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Good to know: a note, as people read it. Files of rules and reports say `advice`.
    Advice,
    /// Likely a mistake.
    Warning,
    /// Nothing is made unless the owner waives it with a reason.
    Refusal,
}

impl fmt::Display for Severity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.word())
    }
}

impl Severity {
    fn word(self) -> &'static str {
        match self {
            Self::Advice => "note",
            Self::Warning => "warning",
            Self::Refusal => "refusal",
        }
    }
}

/// One thing that was looked at and found worth saying.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// What it is about: a row of the table.
    pub code: Code,
    /// How much it weighs here: a rule set says that of its own limits.
    pub severity: Severity,
    /// Where.
    pub place: Place,
    /// The values of its sentence by name.
    values: Vec<(&'static str, Value)>,
    /// The source of its limit.
    pub source: String,
    /// The owner's reason, where a refusal was waived.
    pub waived: Option<String>,
    /// How many more like it were counted and not listed.
    more: usize,
}

/// The source given for a fact of the trade.
pub const PRACTICE: &str = "common practice, no source";
/// The source given for a limit that follows from the geometry of the part itself.
pub const GEOMETRY: &str = "geometry of the part";

impl Finding {
    pub(super) fn with(code: Code, place: Place, values: Vec<(&'static str, Value)>) -> Self {
        let row = code.row();
        let (severity, source) = (row.severity, row.source.into());
        Self { code, severity, place, values, source, waived: None, more: 0 }
    }

    /// A finding of a row without its values, for tests that walk the table.
    #[cfg(any(test, feature = "testing"))]
    pub fn of_row(code: Code) -> Self {
        Self::with(code, Place::from("somewhere"), Vec::new())
    }

    /// With another weight than the table's.
    pub fn weighing(mut self, severity: Severity) -> Self {
        self.severity = severity;
        self
    }

    /// With the source of the limit, where a profile names it.
    pub fn source(mut self, source: impl Into<String>) -> Self {
        self.source = source.into();
        self
    }

    /// With how many more like it there were.
    pub fn and_more(mut self, more: usize) -> Self {
        self.more = more;
        self
    }

    /// Whether it says the same as another, wherever that is.
    pub fn says_as(&self, other: &Self) -> bool {
        (self.code, self.severity, &self.values, &self.source, &self.waived)
            == (other.code, other.severity, &other.values, &other.source, &other.waived)
    }

    /// Whether it is of this kind.
    pub fn is<K: Kind>(&self) -> bool {
        self.code == K::CODE
    }

    /// Whether this stops the work: a refusal that nobody took on.
    pub fn refuses(&self) -> bool {
        self.severity == Severity::Refusal && self.waived.is_none()
    }

    /// A value of its sentence.
    pub fn value(&self, name: &str) -> Option<&Value> {
        self.values.iter().find(|(of, _)| *of == name).map(|(_, value)| value)
    }

    /// The sentence for people: the table's, with the values in it.
    pub fn sentence(&self) -> String {
        let mut said = String::new();
        let mut rest = self.code.row().say;
        while let Some((before, from_name)) = rest.split_once('{') {
            let (name, after) =
                from_name.split_once('}').expect("the macro has formatted the sentence");
            said.push_str(before);
            // The macro has held every name against the fields of the kind.
            if let Some(value) = self.value(name) {
                said.push_str(&value.to_string());
            }
            rest = after;
        }
        said.push_str(rest);
        if self.more > 0 {
            said.push_str(&format!(" (and {} more like this)", self.more));
        }
        said
    }
}

/// What has to be looked at where the stair is built, for no figure of the job can show it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SiteItem {
    /// What to look at: `headroom`.
    pub what: String,
    /// What is asked of it: `at least 80 in (2032.0 mm)`.
    pub asks: String,
    /// Whose limit it is.
    pub source: String,
}

/// Findings as they are told to people: what was found, worst first, and what is to be looked at on
/// site, each once.
pub fn told(findings: &[Finding]) -> (Vec<&Finding>, Vec<SiteItem>) {
    let mut on_site: Vec<SiteItem> = Vec::new();
    for item in findings.iter().filter_map(Finding::site_item) {
        if !on_site.contains(&item) {
            on_site.push(item);
        }
    }
    let mut found: Vec<&Finding> =
        findings.iter().filter(|finding| finding.site_item().is_none()).collect();
    // A stable sort: within a weight they stand as they were found, from the foot to the machine.
    // What was refused and taken on stands before other warnings.
    found.sort_by_key(|finding| std::cmp::Reverse((finding.weight(), finding.waived.is_some())));
    (found, on_site)
}

/// How a finding is put to people. Everything that prints one prints these words.
impl Finding {
    /// How much it weighs beside others: a refusal that was taken on no more than a warning.
    fn weight(&self) -> Severity {
        match self.waived {
            Some(_) => Severity::Warning,
            None => self.severity,
        }
    }

    /// What it asks to look at on site; `None` where it tells of this stair. A rule's own asking is
    /// no fault that was found: it goes on a list of its own.
    pub fn site_item(&self) -> Option<SiteItem> {
        let is_looked_at = self.is::<NotChecked>()
            || self.is::<HandrailWanted>()
            || self.is::<GuardWanted>()
            || self.is::<CleatFasteners>();
        let asks = self.value("asks").filter(|_| is_looked_at)?;
        let (what, asks) = (self.place.to_string(), asks.to_string());
        Some(SiteItem { what, asks, source: self.source.clone() })
    }

    /// How much it weighs as things stand: that of a refusal which the owner took on is told apart.
    pub fn standing(&self) -> &'static str {
        match self.waived {
            Some(_) => "WAIVED",
            None => self.severity.word(),
        }
    }

    /// What it is about and where: `throat-low at tread 3`.
    pub fn subject(&self) -> String {
        format!("{} at {}", self.code, self.place)
    }

    /// All but where its limit comes from: `warning throat-low at tread 3: ...`.
    pub fn line(&self) -> String {
        format!("{} {}: {}", self.standing(), self.subject(), self.sentence())
    }

    /// Where its limit comes from, and the reason of who took it on.
    pub fn note(&self) -> String {
        match &self.waived {
            Some(reason) => format!("reason given: {reason} [{}]", self.source),
            None => self.source.clone(),
        }
    }
}

/// The line of the terminal, its weight first so that it can be coloured.
impl fmt::Display for Finding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{:<8} {}: {} [{}]",
            self.severity,
            self.subject(),
            self.sentence(),
            self.source
        )?;
        match &self.waived {
            Some(reason) => write!(f, " WAIVED: {reason}"),
            None => Ok(()),
        }
    }
}

/// A figure as a script reads it.
#[derive(serde::Serialize)]
struct Measured {
    value: f64,
    unit: &'static str,
}

impl serde::Serialize for Finding {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let figure = |name| {
            self.value(name).and_then(Value::measured).map(|(value, unit)| Measured { value, unit })
        };
        let mut out = serializer.serialize_struct("Finding", 8)?;
        out.serialize_field("code", &self.code)?;
        out.serialize_field("severity", &self.severity)?;
        out.serialize_field("place", &self.place)?;
        out.serialize_field("say", &self.sentence())?;
        out.serialize_field("measured", &figure("measured"))?;
        out.serialize_field("limit", &figure("limit"))?;
        out.serialize_field("source", &self.source)?;
        out.serialize_field("waived", &self.waived)?;
        out.end()
    }
}

#[cfg(test)]
mod tests {
    use super::super::table::boards::BoardNarrow;
    use super::*;
    use crate::units::Length;

    #[test]
    fn a_sentence_is_made_of_its_values() {
        let finding = BoardNarrow { measured: Length::inches(11.0), limit: Length::inches(11.25) }
            .at("board 1");
        assert!(
            finding.sentence().starts_with("the board is 11 in (279.4 mm) wide"),
            "{}",
            finding.sentence()
        );
        assert!(finding.is::<BoardNarrow>() && finding.refuses());
        let json = serde_json::to_value(&finding).unwrap();
        assert_eq!(json["measured"]["unit"], "mm");
    }

    #[test]
    fn what_is_good_to_know_is_a_note_to_people_and_advice_in_files() {
        let note = BoardNarrow { measured: Length::inches(11.0), limit: Length::inches(11.25) }
            .at("board 1")
            .weighing(Severity::Advice);
        assert!(note.line().starts_with("note board-narrow at board 1"), "{}", note.line());
        assert!(note.to_string().starts_with("note     board-narrow"), "{note}");
        assert_eq!(serde_json::to_value(&note).unwrap()["severity"], "advice");
    }
}
