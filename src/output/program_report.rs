//! What a report tells of each program.

#![allow(missing_docs, reason = "the names are the report's own and carry their units")]

use serde::Serialize;

use super::report::VerifiedReport;

/// One program.
#[derive(Clone, Debug, Serialize)]
pub struct ProgramReport {
    pub file: String,
    pub machine: String,
    pub process: &'static str,
    pub cutter_mm: f64,
    pub stock: StockReport,
    pub z_zero: &'static str,
    pub offset_applied: &'static str,
    pub ledger: Vec<LedgerReport>,
    /// What a roughing program leaves beside the line for the program after it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub leaves_mm: Option<f64>,
    pub placements: Vec<PlacementReport>,
    pub tabs: Vec<TabReport>,
    pub holes: Vec<HoleReport>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub set_up: Option<SetUpReport>,
    /// Where the stock lies in its set-up, machine less stock; only where there are several.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub setups_mm: Vec<[f64; 2]>,
    /// The holes for pins that it bores: in the stock, or in the table.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub pins: Vec<HoleReport>,
    pub marks: Option<MarksReport>,
    pub cut_length_mm: f64,
    pub rapid_length_mm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rapid_across: Option<RapidReport>,
    pub time_s: f64,
    pub times: usize,
    pub verified: VerifiedReport,
}

/// One of several set-ups; 0: the table is bored before the first.
#[derive(Clone, Debug, Serialize)]
pub struct SetUpReport {
    pub number: usize,
    pub of: usize,
}

/// What lies on the machine, along X, Y and Z.
#[derive(Clone, Debug, Serialize)]
pub struct StockReport {
    pub length_mm: f64,
    pub width_mm: f64,
    pub thickness_mm: f64,
}

/// One compensation.
#[derive(Clone, Debug, Serialize)]
pub struct LedgerReport {
    pub what: &'static str,
    pub amount_mm: f64,
    pub side: &'static str,
}

/// Where a part lies: turned about 0,0, then moved.
#[derive(Clone, Debug, Serialize)]
pub struct PlacementReport {
    pub part: String,
    pub x_mm: f64,
    pub y_mm: f64,
    pub turn_deg: f64,
}

/// One tab: its middle on the tool's path, the boundary it leaves uncut, the height of its wood.
#[derive(Clone, Debug, Serialize)]
pub struct TabReport {
    pub x_mm: f64,
    pub y_mm: f64,
    pub length_mm: f64,
    pub height_mm: f64,
}

/// The hanging hole as it is cut, in the stock frame.
#[derive(Clone, Debug, Serialize)]
pub struct HoleReport {
    pub x_mm: f64,
    pub y_mm: f64,
    pub diameter_mm: f64,
}

/// The marks of one program, in the stock frame; their depth is 0 where a beam scores them.
#[derive(Clone, Debug, Serialize)]
pub struct MarksReport {
    pub width_mm: f64,
    pub depth_mm: f64,
    pub strokes_mm: Vec<Vec<[f64; 2]>>,
}

/// Rapid travel across between holes and outlines: as planned, and what it is at least.
#[derive(Clone, Debug, Serialize)]
pub struct RapidReport {
    pub length_mm: f64,
    pub bound_mm: f64,
}
