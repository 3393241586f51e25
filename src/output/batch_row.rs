//! One job of many in a few figures, read from the report of its set: of one that was just made as
//! of one that stands since an earlier run.

#![allow(missing_docs, reason = "the names are the report's own and carry their units")]

use serde::{Deserialize, Serialize};

/// One job of many.
#[derive(Clone, Debug, Default, Serialize)]
pub struct BatchRow {
    pub job: String,
    pub folder: String,
    /// `made`, `unchanged`, `refused` or `failed`.
    pub outcome: &'static str,
    /// The codes of the findings that refused it.
    pub code: String,
    /// What they say, or the error.
    pub reason: String,
    pub title: String,
    pub fingerprint: String,
    pub material: String,
    pub risers: Option<usize>,
    pub unit_rise_mm: Option<f64>,
    pub throat_mm: Option<f64>,
    pub warnings: usize,
    pub programs: usize,
    pub pieces: usize,
    pub sheets: usize,
    pub board_ft: f64,
    pub time_s: f64,
    pub cost: Option<f64>,
    pub gouge_mm: Option<f64>,
}

/// What is read of a report, of one job or of several.
#[derive(Deserialize)]
struct Read {
    job: Option<Job>,
    flight: Option<Flight>,
    #[serde(default)]
    jobs: Vec<Self>,
    #[serde(default)]
    findings: Vec<Finding>,
    #[serde(default)]
    nests: Vec<Nest>,
    #[serde(default)]
    boards: Vec<Boards>,
    #[serde(default)]
    programs: Vec<Program>,
    cost: Option<Cost>,
}

#[derive(Deserialize)]
struct Cost {
    total: f64,
}

#[derive(Deserialize)]
struct Job {
    title: String,
    fingerprint: String,
    material: Option<String>,
}

#[derive(Deserialize)]
struct Flight {
    risers: Option<usize>,
    unit_rise_mm: Option<f64>,
    throat_cut_mm: Option<f64>,
}

#[derive(Deserialize)]
struct Finding {
    severity: String,
}

#[derive(Deserialize)]
struct Nest {
    sheets: usize,
}

#[derive(Deserialize)]
struct Boards {
    feet: f64,
}

#[derive(Deserialize)]
struct Program {
    offset_applied: String,
    placements: Vec<serde::de::IgnoredAny>,
    time_s: f64,
    times: usize,
    verified: Verified,
}

#[derive(Deserialize)]
struct Verified {
    gouge_mm: f64,
}

impl BatchRow {
    /// The figures of a report; none of what is no report.
    pub fn of_report(report: &str) -> Self {
        serde_json::from_str(report).map_or_else(|_| Self::default(), |read: Read| read.row())
    }
}

impl Read {
    fn row(&self) -> BatchRow {
        let members: Vec<&Self> = match &self.job {
            Some(_) => vec![self],
            None => self.jobs.iter().collect(),
        };
        let jobs = || members.iter().filter_map(|of| of.job.as_ref());
        let first = members.iter().find_map(|of| of.flight.as_ref());
        let own = self.jobs.iter().flat_map(|of| &of.findings).chain(&self.findings);
        let cuts = || self.programs.iter().filter(|program| program.offset_applied != "none");
        let laid_out: usize = self.nests.iter().map(|nest| nest.sheets).sum();
        // One piece on a sheet of its own is laid out with nothing.
        let alone = self.nests.is_empty() && self.boards.is_empty() && cuts().next().is_some();
        BatchRow {
            title: each_once(jobs().map(|job| job.title.as_str())),
            fingerprint: each_once(jobs().map(|job| job.fingerprint.as_str())),
            material: each_once(jobs().filter_map(|job| job.material.as_deref())),
            risers: first.and_then(|flight| flight.risers),
            unit_rise_mm: first.and_then(|flight| flight.unit_rise_mm),
            throat_mm: first.and_then(|flight| flight.throat_cut_mm),
            warnings: own.filter(|finding| finding.severity == "warning").count(),
            programs: self.programs.len(),
            pieces: cuts().map(|program| program.placements.len() * program.times).sum(),
            sheets: laid_out + usize::from(alone),
            board_ft: self.boards.iter().map(|plan| plan.feet).sum(),
            time_s: self.programs.iter().map(|of| of.time_s * of.times as f64).sum(),
            cost: self.cost.as_ref().map(|cost| cost.total),
            gouge_mm: self.programs.iter().map(|of| of.verified.gouge_mm).reduce(f64::max),
            ..BatchRow::default()
        }
    }
}

fn each_once<'t>(texts: impl Iterator<Item = &'t str>) -> String {
    let mut once: Vec<&str> = Vec::new();
    for text in texts {
        if !once.contains(&text) {
            once.push(text);
        }
    }
    once.join("; ")
}
