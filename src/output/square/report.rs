//! The report of a test square, which lists its files and seals itself.

use serde::Serialize;

use super::words::key;
use crate::cam::plan::SquareProgram;
use crate::output::Stamp;
use crate::output::report::{FileReport, JobReport, UNSEALED, VerifiedReport, json};

/// The whole report.
#[derive(Clone, Debug, Serialize)]
pub struct SquareReport {
    schema: &'static str,
    tool: &'static str,
    job: JobReport,
    outside_mm: f64,
    inside_mm: f64,
    small_mm: f64,
    machine: String,
    key: &'static str,
    width_mm: f64,
    program: String,
    time_s: f64,
    verified: VerifiedReport,
    files: Vec<FileReport>,
    digest: &'static str,
}

/// The report as JSON.
pub fn square_report(
    square: &SquareProgram,
    stamp: &Stamp,
    program: &str,
    verified: VerifiedReport,
    files: Vec<FileReport>,
) -> String {
    json(&SquareReport {
        schema: "seatcut.square/1",
        tool: Stamp::tool(),
        job: JobReport {
            title: stamp.title.clone(),
            fingerprint: stamp.fingerprint.to_string(),
            material: Some(square.material.name.clone()),
        },
        outside_mm: square.sizes.outside.as_mm(),
        inside_mm: square.sizes.inside.as_mm(),
        small_mm: square.sizes.small.as_mm(),
        machine: square.machine.name.clone(),
        key: key(&square.machine).0,
        width_mm: square.machine.tool.width().as_mm(),
        program: program.to_string(),
        time_s: square.program.time_s,
        verified,
        files,
        digest: UNSEALED,
    })
}
