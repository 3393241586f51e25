//! The report of a set: one job's where there is one, else that of all.

use super::{Artifact, Bundle, names};
use crate::output::file_report;
use crate::output::report::{ProgramReport, Report, UNSEALED};
use crate::output::set_report::SetReport;
use crate::pipeline::set::Set;

impl Bundle<'_> {
    /// The report that seals the set, once its programs are proven.
    pub fn report(&self, programs: Vec<ProgramReport>) -> Artifact<'static> {
        let report = SetReport {
            sheets: self.sheets.clone(),
            programs,
            files: self.artifacts.iter().map(|file| file_report(&file.name, &file.bytes)).collect(),
            digest: Some(UNSEALED),
            ..SetReport::of(self.set)
        };
        Artifact::document(names::REPORT, as_json(report))
    }
}

/// The report of a set of which nothing was made.
pub fn unmade_report(set: &Set) -> String {
    as_json(SetReport::of(set))
}

/// One job's report where there is one job, else the report of the set.
pub fn as_json(mut report: SetReport) -> String {
    if report.jobs.len() != 1 {
        return report.to_json();
    }
    let mut findings = std::mem::take(&mut report.findings);
    let mut job: Report = report.jobs.remove(0);
    job.findings.append(&mut findings);
    job.nests = report.nests;
    job.sheets = report.sheets;
    job.boards = report.boards;
    job.programs = report.programs;
    job.judged = report.judged;
    job.files = report.files;
    job.digest = report.digest;
    job.to_json()
}
