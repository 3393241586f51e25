//! What came of making a set: how it ended, its report, what people are told.

use std::path::{Path, PathBuf};

use super::Ending;
use super::console::Console;
use super::table::named;
use crate::diagnostics::Error;
use crate::diagnostics::{Code, Finding, Severity};
use crate::output::batch_table::BatchRow;
use crate::output::report::ProgramReport;
use crate::pipeline::workup::Workup;

/// What came of making a set.
pub(super) struct Made {
    pub ending: Ending,
    /// The report.
    pub json: String,
    /// What is printed instead, for people.
    pub words: String,
    /// Why nothing was written.
    pub complaint: Option<String>,
    /// All of it in a few figures.
    pub row: BatchRow,
    /// Where it was put, if it was.
    pub place: Option<PathBuf>,
}

/// What could not be printed, of a set that is in its place all the same.
pub(super) fn in_place_all_the_same(error: Error, place: &Path) -> Error {
    Error::new(error.kind(), format!("{}; the set was put in place all the same", error.what()))
        .in_file(&place.display().to_string())
        .hint("nothing is missing but the text; report.json of a `make` holds what it says")
}

impl Made {
    /// A set that was written and proven.
    pub(super) fn written(json: String, words: String, row: BatchRow, place: &Path) -> Self {
        let (row, place) = (BatchRow { outcome: "made", ..row }, Some(place.to_path_buf()));
        Self { ending: Ending::Done, json, words, complaint: None, row, place }
    }

    /// Nothing was written.
    pub(super) fn unwritten(
        ending: Ending,
        json: String,
        words: String,
        findings: &[Finding],
        row: BatchRow,
    ) -> Self {
        let weighs = |finding: &&Finding| match ending {
            Ending::DeniedWarnings => finding.severity == Severity::Warning,
            _ => finding.refuses(),
        };
        let mut codes: Vec<Code> = Vec::new();
        for finding in findings.iter().filter(weighs) {
            if !codes.contains(&finding.code) {
                codes.push(finding.code);
            }
        }
        let codes = named(&codes);
        let complaint = format!(
            "refused, nothing was written: {codes}; `seatcut explain CODE` says what to do"
        );
        let figures =
            findings.iter().filter(weighs).map(|f| format!("{}: {}", f.subject(), f.sentence()));
        let row =
            BatchRow { outcome: "refused", reason: figures.collect::<Vec<_>>().join("; "), ..row };
        Self { ending, json, words, complaint: Some(complaint), row, place: None }
    }

    /// Prints it.
    pub(super) fn tell(self, as_json: bool, console: &Console) -> Result<Ending, Error> {
        let printed = console.print(if as_json { &self.json } else { &self.words });
        printed.map_err(|error| match &self.place {
            Some(place) => in_place_all_the_same(error, place),
            None => error,
        })?;
        if let Some(complaint) = &self.complaint {
            console.tell(complaint);
        }
        Ok(self.ending)
    }
}

/// A set in a few figures.
pub(super) fn row(workups: &[&Workup], programs: &[ProgramReport]) -> BatchRow {
    let flights = || workups.iter().map(|workup| &workup.flight);
    let warnings = workups
        .iter()
        .flat_map(|workup| &workup.findings)
        .filter(|f| f.severity == Severity::Warning);
    BatchRow {
        title: workups
            .iter()
            .map(|workup| workup.job.title.as_str())
            .collect::<Vec<_>>()
            .join("; "),
        fingerprint: workups
            .iter()
            .map(|workup| workup.fingerprint.to_string())
            .collect::<Vec<_>>()
            .join("; "),
        risers: flights().map(|flight| flight.risers).next(),
        unit_rise_mm: flights().map(|flight| flight.unit_rise.as_mm()).next(),
        throat_mm: workups.iter().map(|workup| workup.behind_relief.as_mm()).next(),
        warnings: warnings.count(),
        programs: programs.len(),
        pieces: programs
            .iter()
            .filter(|p| p.offset_applied != "none")
            .map(|p| p.placements.len() * p.times)
            .sum(),
        time_s: programs.iter().map(|program| program.time_s * program.times as f64).sum(),
        gouge_mm: programs.iter().map(|program| program.verified.gouge_mm).reduce(f64::max),
        ..BatchRow::default()
    }
}
