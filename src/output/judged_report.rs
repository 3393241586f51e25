//! What `verify --json` says of each file that was held against the job.

#![allow(missing_docs, reason = "the names are the report's own and carry their units")]

use serde::Serialize;

use super::report::{PlacementReport, VerifiedReport};

/// One file and what came of it. Of a file that is no part of the job the figures are those of what
/// it is least off.
#[derive(Clone, Debug, Serialize)]
pub struct JudgedReport {
    /// As it was named.
    pub file: String,
    /// Whether it is the job's, wholly.
    pub is_this_part: bool,
    /// What it was taken for: "program", "marks", "nominal-drawing", "compensated-drawing" or
    /// "frame"; none of a file that could not be read.
    pub taken_for: Option<&'static str>,
    /// Which skirt of the job it is, where it is one and not the stringer.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub skirt: Option<String>,
    /// Which tread or riser board of the job it is, where it is one and not the stringer.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub step: Option<String>,
    /// Which of two programs with a cutter each it is, or is nearest to: "roughing", "on-the-line".
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stage: Option<&'static str>,
    /// Where each piece was found.
    pub placements: Vec<PlacementReport>,
    /// The tabs that were found and accepted.
    pub tabs: Vec<FoundTabReport>,
    /// The figures, and what hangs on what; none of a file that could not be read.
    pub verified: Option<VerifiedReport>,
}

/// A tab as it was found: its middle on the tool's path in the stock frame, what it leaves uncut,
/// how much of it stands.
#[derive(Clone, Debug, Serialize)]
pub struct FoundTabReport {
    pub edge: String,
    pub x_mm: f64,
    pub y_mm: f64,
    pub length_mm: f64,
    pub height_mm: f64,
}
