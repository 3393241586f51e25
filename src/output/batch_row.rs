//! One job of many in a few figures, read from the report of its set: of one that was just made as
//! of one that stands since an earlier run.

#![allow(missing_docs, reason = "the names are the report's own and carry their units")]

use serde::{Deserialize, Serialize, Serializer};

use crate::job::OrderHead;

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
    /// The order's number, for whom, when it is due; of several orders each once.
    pub order: String,
    pub customer: String,
    pub due: String,
    pub fingerprint: String,
    pub material: String,
    /// The figure of one job; a list of figures where several are cut together.
    #[serde(serialize_with = "one_or_each")]
    pub risers: Vec<usize>,
    #[serde(serialize_with = "one_or_each")]
    pub unit_rise_mm: Vec<f64>,
    #[serde(serialize_with = "one_or_each")]
    pub throat_mm: Vec<f64>,
    pub warnings: usize,
    pub programs: usize,
    pub pieces: usize,
    pub sheets: usize,
    pub offcuts: usize,
    pub board_ft: f64,
    pub time_s: f64,
    pub cost: Option<f64>,
    pub gouge_mm: Option<f64>,
}

impl BatchRow {
    /// Whether nothing was made of it.
    pub fn is_unmade(&self) -> bool {
        ["refused", "failed"].contains(&self.outcome)
    }

    /// The same of what is not made: nothing is cut or bought for it.
    pub fn unmade(self) -> Self {
        Self { sheets: 0, offcuts: 0, board_ft: 0.0, time_s: 0.0, cost: None, ..self }
    }
}

fn one_or_each<T: Serialize, S: Serializer>(of: &[T], serializer: S) -> Result<S::Ok, S::Error> {
    match of {
        [] => serializer.serialize_none(),
        [one] => one.serialize(serializer),
        each => each.serialize(serializer),
    }
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
    machine_time_s: Option<f64>,
    asked: Option<Asked>,
}

#[derive(Deserialize)]
struct Cost {
    total: Option<f64>,
}

#[derive(Deserialize)]
struct Asked {
    #[serde(default)]
    orders: Vec<OrderHead>,
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
    #[serde(default)]
    offcut_mm: Option<[f64; 2]>,
}

#[derive(Deserialize)]
struct Boards {
    feet: f64,
}

#[derive(Deserialize)]
struct Program {
    offset_applied: String,
    placements: Vec<serde::de::IgnoredAny>,
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
        let flights = || members.iter().filter_map(|of| of.flight.as_ref());
        let orders = || self.asked.iter().flat_map(|asked| &asked.orders);
        let own = self.jobs.iter().flat_map(|of| &of.findings).chain(&self.findings);
        let cuts = || self.programs.iter().filter(|program| program.offset_applied != "none");
        let laid_out = |on_offcuts: bool| {
            let own = self.nests.iter().filter(|nest| nest.offcut_mm.is_some() == on_offcuts);
            own.map(|nest| nest.sheets).sum::<usize>()
        };
        // One piece on a sheet of its own is laid out with nothing.
        let alone = self.nests.is_empty() && self.boards.is_empty() && cuts().next().is_some();
        BatchRow {
            title: each_once(jobs().map(|job| job.title.as_str())),
            fingerprint: each_once(jobs().map(|job| job.fingerprint.as_str())),
            material: each_once(jobs().filter_map(|job| job.material.as_deref())),
            order: each_once(orders().filter_map(|of| of.number.as_deref())),
            customer: each_once(orders().filter_map(|of| of.customer.as_deref())),
            due: each_once(orders().filter_map(|of| of.due.as_deref())),
            risers: flights().filter_map(|flight| flight.risers).collect(),
            unit_rise_mm: flights().filter_map(|flight| flight.unit_rise_mm).collect(),
            throat_mm: flights().filter_map(|flight| flight.throat_cut_mm).collect(),
            warnings: own.filter(|finding| finding.severity == "warning").count(),
            programs: self.programs.len(),
            pieces: cuts().map(|program| program.placements.len() * program.times).sum(),
            sheets: laid_out(false) + usize::from(alone),
            offcuts: laid_out(true),
            // The sum of nothing is less than nothing by its sign.
            board_ft: self.boards.iter().map(|plan| plan.feet).fold(0.0, |a, b| a + b),
            time_s: self.machine_time_s.unwrap_or(0.0),
            cost: self.cost.as_ref().and_then(|cost| cost.total),
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
