//! What came of many jobs, as a table: RFC 4180, and the same rows as JSON.

#![allow(missing_docs, reason = "the names are the report's own and carry their units")]

use serde::Serialize;

use super::csv::{record, text};
use super::file_report;
use super::report::{FileReport, UNSEALED, json};
use crate::units::trimmed;

/// One job of many.
#[derive(Clone, Debug, Default, Serialize)]
pub struct BatchRow {
    pub job: String,
    pub folder: String,
    /// `made`, `refused` or `failed`.
    pub outcome: &'static str,
    /// The codes of what refused it, or the error.
    pub reason: String,
    pub title: String,
    pub fingerprint: String,
    pub risers: Option<usize>,
    pub unit_rise_mm: Option<f64>,
    pub throat_mm: Option<f64>,
    pub warnings: usize,
    pub programs: usize,
    pub pieces: usize,
    pub time_s: f64,
    pub gouge_mm: Option<f64>,
}

/// Name and version of the schema of many jobs.
pub const BATCH_SCHEMA: &str = "seatcut.batch/1";

#[derive(Serialize)]
struct Table<'a> {
    schema: &'static str,
    tool: &'static str,
    made: usize,
    refused: usize,
    failed: usize,
    jobs: &'a [BatchRow],
    files: Vec<FileReport>,
    digest: &'static str,
}

/// How many rows have an outcome.
pub fn count(rows: &[BatchRow], outcome: &str) -> usize {
    rows.iter().filter(|row| row.outcome == outcome).count()
}

/// The rows as JSON, sealed, with the digest of the file that holds them as comma-separated values.
pub fn to_json(rows: &[BatchRow], csv_name: &str) -> String {
    json(&Table {
        schema: BATCH_SCHEMA,
        tool: super::Stamp::tool(),
        made: count(rows, "made"),
        refused: count(rows, "refused"),
        failed: count(rows, "failed"),
        jobs: rows,
        files: vec![file_report(csv_name, to_csv(rows).as_bytes())],
        digest: UNSEALED,
    })
}

const COLUMNS: [&str; 14] = [
    "job",
    "folder",
    "outcome",
    "reason",
    "title",
    "fingerprint",
    "risers",
    "unit_rise_mm",
    "throat_mm",
    "warnings",
    "programs",
    "pieces",
    "time_s",
    "gouge_mm",
];

/// The rows as comma-separated values.
pub fn to_csv(rows: &[BatchRow]) -> String {
    let mut table = record(COLUMNS.iter().map(|column| column.to_string()));
    for row in rows {
        let mm = |value: Option<f64>| value.map(|mm| trimmed(mm, 4)).unwrap_or_default();
        let fields = [
            text(&row.job),
            text(&row.folder),
            row.outcome.to_string(),
            text(&row.reason),
            text(&row.title),
            text(&row.fingerprint),
            row.risers.map(|n| n.to_string()).unwrap_or_default(),
            mm(row.unit_rise_mm),
            mm(row.throat_mm),
            row.warnings.to_string(),
            row.programs.to_string(),
            row.pieces.to_string(),
            trimmed(row.time_s, 1),
            mm(row.gouge_mm),
        ];
        table.push_str(&record(fields.into_iter()));
    }
    table
}
