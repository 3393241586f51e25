//! A flight as built, as JSON of the schema `seatcut.fit/1`: lengths in mm.

#![allow(missing_docs, reason = "the names are the report's own and carry their units")]

use serde::Serialize;

use super::Stamp;
use super::report::{JobReport, json};
use crate::diagnostics::Finding;
use crate::job::{Fingerprint, Job};
use crate::site::answers::{Fit, Verdict};
use crate::site::as_built::{OutOfReach, Remedy, Rounded, Schedule, Worn};
use crate::units::Length;

/// The whole report. Key order is stable: it is the order of the fields.
#[derive(Clone, Debug, Serialize)]
pub struct FitReport {
    pub schema: &'static str,
    pub tool: &'static str,
    pub job: JobReport,
    pub verdict: &'static str,
    pub risers_mm: Vec<f64>,
    pub schedule: Option<ScheduleReport>,
    pub out_of_reach: Option<OutOfReachReport>,
    pub pattern: Option<WornReport>,
    pub findings: Vec<Finding>,
}

/// Moves of the treads from the bottom up: shims positive, trims negative.
#[derive(Clone, Debug, Serialize)]
pub struct ScheduleReport {
    pub moves_mm: Vec<f64>,
    pub risers_mm: Vec<f64>,
    pub total_mm: f64,
    pub rounded: Option<RoundedReport>,
}

/// The same in parts of an inch.
#[derive(Clone, Debug, Serialize)]
pub struct RoundedReport {
    pub parts_of_an_inch: u32,
    pub moves_mm: Vec<f64>,
    pub risers_mm: Vec<f64>,
    pub total_mm: f64,
}

/// How near the limits the flight can be brought, each figure on its own.
#[derive(Clone, Debug, Serialize)]
pub struct OutOfReachReport {
    pub least_spread_mm: f64,
    pub least_step_mm: f64,
    pub lowest_largest_mm: f64,
    pub highest_smallest_mm: f64,
}

/// What a worn pattern would be off by.
#[derive(Clone, Debug, Serialize)]
pub struct WornReport {
    pub along_permille: f64,
    pub across_permille: f64,
    pub length_off_mm: f64,
    pub width_off_mm: f64,
    pub unit_rise_off_mm: f64,
    pub rise_off_mm: f64,
    pub throat_off_mm: f64,
    pub tread_tilt_mm: f64,
}

impl FitReport {
    /// The report of a flight as built.
    pub fn of(job: &Job, fit: &Fit) -> Self {
        let (schedule, out_of_reach) = match &fit.remedy {
            Some(Remedy::Schedule(found)) => (Some(schedule(found)), None),
            Some(Remedy::NoneDoes(reach)) => (None, Some(out_of_reach(reach))),
            None => (None, None),
        };
        Self {
            schema: "seatcut.fit/1",
            tool: Stamp::tool(),
            job: JobReport::of(job, &Fingerprint::of(job)),
            verdict: match fit.verdict {
                Verdict::NotMeasured => "not-measured",
                Verdict::Keeps => "keeps",
                Verdict::Schedule => "schedule",
                Verdict::NoneDoes => "none-does",
            },
            risers_mm: all(&fit.risers),
            schedule,
            out_of_reach,
            pattern: fit.worn.as_ref().map(worn),
            findings: fit.findings.clone(),
        }
    }

    /// The report as indented JSON with a newline at its end.
    pub fn to_json(&self) -> String {
        json(self)
    }
}

/// In mm, a zero without its sign.
fn mm(length: Length) -> f64 {
    length.as_mm() + 0.0
}

fn all(lengths: &[Length]) -> Vec<f64> {
    lengths.iter().copied().map(mm).collect()
}

fn schedule(schedule: &Schedule) -> ScheduleReport {
    ScheduleReport {
        moves_mm: all(&schedule.moves),
        risers_mm: all(&schedule.risers),
        total_mm: mm(schedule.total),
        rounded: schedule.on_tape.rounded().map(rounded),
    }
}

fn rounded(rounded: &Rounded) -> RoundedReport {
    RoundedReport {
        parts_of_an_inch: rounded.grid.parts(),
        moves_mm: all(&rounded.moves),
        risers_mm: all(&rounded.risers),
        total_mm: mm(rounded.total),
    }
}

fn out_of_reach(reach: &OutOfReach) -> OutOfReachReport {
    OutOfReachReport {
        least_spread_mm: mm(reach.least_spread),
        least_step_mm: mm(reach.least_step),
        lowest_largest_mm: mm(reach.lowest_largest),
        highest_smallest_mm: mm(reach.highest_smallest),
    }
}

fn worn(worn: &Worn) -> WornReport {
    WornReport {
        along_permille: worn.along_permille,
        across_permille: worn.across_permille,
        length_off_mm: mm(worn.length_off),
        width_off_mm: mm(worn.width_off),
        unit_rise_off_mm: mm(worn.unit_rise_off),
        rise_off_mm: mm(worn.rise_off),
        throat_off_mm: mm(worn.throat_off),
        tread_tilt_mm: mm(worn.tread_tilt),
    }
}
