//! The differences between two jobs as JSON of the schema `seatcut.diff/1`.

#![allow(missing_docs, reason = "the names are the report's own and carry their units")]

use serde::ser::SerializeMap;
use serde::{Serialize, Serializer};

use super::Stamp;
use super::report::JobReport;
use crate::diagnostics::Finding;
use crate::pipeline::diff::{Diff, EdgeMove, Moved, Setting};
use crate::pipeline::numbers::Value;
use crate::pipeline::workup::Workup;
use crate::units::Length;

/// Name and version of the schema.
pub const SCHEMA: &str = "seatcut.diff/1";

/// Everything that differs; lengths in mm, unrounded. Key order is stable: it is the order of the
/// fields.
#[derive(Clone, Debug, Serialize)]
pub struct DiffReport {
    /// Name and version of the schema.
    pub schema: &'static str,
    /// Name and version of this program.
    pub tool: &'static str,
    /// The old job.
    pub old: JobReport,
    /// The new job.
    pub new: JobReport,
    /// Whether no dimension moved.
    pub nothing_moved: bool,
    /// What can be said of a pattern made for the old job.
    pub pattern: PatternReport,
    /// Figures of the flight that moved, under the report's keys.
    #[serde(serialize_with = "by_key")]
    pub flight: Vec<Moved>,
    /// Edges of the outline that moved.
    pub outline: Vec<EdgeReport>,
    /// What is asked for otherwise.
    pub settings: Vec<SettingReport>,
    /// Findings that came or went.
    pub findings: FindingsReport,
}

/// What can be said of a pattern made for the old job.
#[derive(Clone, Debug, Serialize)]
pub struct PatternReport {
    pub usable: bool,
    pub outline_equal: bool,
    pub largest_move_mm: Option<f64>,
    pub but: Vec<String>,
}

/// One figure of one edge: its `length`, its `height`, its `x` or its `distance`.
#[derive(Clone, Debug, Serialize)]
pub struct EdgeReport {
    pub edge: String,
    pub figure: &'static str,
    pub old_mm: Option<f64>,
    pub new_mm: Option<f64>,
    pub by_mm: Option<f64>,
}

/// What is asked for otherwise, under the job file's key.
#[derive(Clone, Debug, Serialize)]
pub struct SettingReport {
    pub key: &'static str,
    pub old: String,
    pub new: String,
}

/// Findings that only one job has.
#[derive(Clone, Debug, Serialize)]
pub struct FindingsReport {
    pub came: Vec<Finding>,
    pub went: Vec<Finding>,
}

#[derive(Serialize)]
struct Values<'a> {
    old: Option<&'a Value>,
    new: Option<&'a Value>,
    by: Option<By>,
}

/// A count is written as a whole number, anything else as it is.
#[derive(Serialize)]
#[serde(untagged)]
enum By {
    Whole(i64),
    Real(f64),
}

impl By {
    fn between(old: &Value, new: &Value) -> Option<Self> {
        let by = new.number()? - old.number()?;
        Some(if matches!(new, Value::Count(_)) { Self::Whole(by as i64) } else { Self::Real(by) })
    }
}

impl DiffReport {
    /// The report of a comparison.
    pub fn of(old: &Workup, new: &Workup, diff: &Diff) -> Self {
        Self {
            schema: SCHEMA,
            tool: Stamp::tool(),
            old: job(old),
            new: job(new),
            nothing_moved: diff.nothing_moved(),
            pattern: PatternReport {
                usable: diff.pattern.usable(),
                outline_equal: diff.pattern.outline_equal,
                largest_move_mm: diff.pattern.largest_move.map(Length::as_mm),
                but: diff.pattern.but.clone(),
            },
            flight: diff.flight.clone(),
            outline: diff.outline.iter().map(edge).collect(),
            settings: diff.settings.iter().map(setting).collect(),
            findings: FindingsReport { came: diff.came.clone(), went: diff.went.clone() },
        }
    }

    /// The report as indented JSON with a newline at its end.
    pub fn to_json(&self) -> String {
        super::report::json(self)
    }
}

fn job(workup: &Workup) -> JobReport {
    JobReport::of(&workup.job, &workup.fingerprint)
}

fn edge(moved: &EdgeMove) -> EdgeReport {
    let (old_mm, new_mm) = (moved.old.map(Length::as_mm), moved.new.map(Length::as_mm));
    EdgeReport {
        edge: moved.edge.clone(),
        figure: moved.figure.key(),
        old_mm,
        new_mm,
        by_mm: old_mm.zip(new_mm).map(|(old, new)| new - old),
    }
}

fn setting(setting: &Setting) -> SettingReport {
    SettingReport { key: setting.key, old: setting.old.clone(), new: setting.new.clone() }
}

fn by_key<S: Serializer>(moved: &[Moved], serializer: S) -> Result<S::Ok, S::Error> {
    let mut map = serializer.serialize_map(Some(moved.len()))?;
    for figure in moved {
        let (old, new) = (figure.old.as_ref(), figure.new.as_ref());
        let by = old.zip(new).and_then(|(old, new)| By::between(old, new));
        map.serialize_entry(figure.key, &Values { old, new, by })?;
    }
    map.end()
}
