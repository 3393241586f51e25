//! The report of a set: one job's where there is one, else that of all.

use super::{Artifact, Bundle, names};
use crate::diagnostics::Finding;
use crate::output::cost_report::CostReport;
use crate::output::file_report;
use crate::output::judged_report::JudgedReport;
use crate::output::report::{AskedReport, ProgramReport, Report, UNSEALED};
use crate::output::set_report::{SetReport, SheetReport, sheet_report};
use crate::pipeline::set::{Set, SheetRun};

impl Bundle<'_> {
    /// The report that seals the set, once its programs are proven.
    pub fn report(&self, programs: Vec<ProgramReport>) -> Artifact<'static> {
        self.set.tape().tells(|| self.written_report(programs))
    }

    fn written_report(&self, programs: Vec<ProgramReport>) -> Artifact<'static> {
        let report = SetReport {
            sheets: self.sheets(),
            programs,
            files: self.artifacts.iter().map(|file| file_report(&file.name, &file.bytes)).collect(),
            asked: Some(AskedReport::of(&self.set.asked, self.form)),
            digest: Some(UNSEALED),
            cost: self.set.cost(self.machine_s()).map(CostReport::from),
            machine_time_s: Some(self.machine_s()).filter(|_| !self.programs.is_empty()),
            ..SetReport::of(self.set)
        };
        Artifact::document(names::REPORT, as_json(report))
    }

    /// How each sheet lies, with the names of its programs.
    fn sheets(&self) -> Vec<SheetReport> {
        let of = |(i, run): (usize, &SheetRun)| {
            let own = self.programs.iter().filter(|program| program.is_of(run));
            sheet_report(
                run,
                &names::sheet_picture(i),
                own.map(|program| program.name.clone()).collect(),
            )
        };
        self.set.sheets.iter().enumerate().map(of).collect()
    }
}

/// The report of a set of which nothing was made.
pub fn unmade_report(set: &Set) -> String {
    as_json(SetReport::of(set))
}

/// The report of files that were held against a set: what was found in them, and nothing of the
/// making.
pub fn judged_report(set: &Set, findings: Vec<Finding>, judged: Vec<JudgedReport>) -> String {
    let mut report = SetReport { findings, judged, ..SetReport::of(set) };
    if let [only] = &mut report.jobs[..] {
        only.findings.clear();
    }
    as_json(report)
}

/// One job's report where there is one job, else the report of the set.
fn as_json(mut report: SetReport) -> String {
    if report.jobs.len() != 1 {
        return report.to_json();
    }
    let mut findings = std::mem::take(&mut report.findings);
    let mut job: Report = report.jobs.remove(0);
    job.findings.append(&mut findings);
    job.nests = report.nests;
    job.sheets = report.sheets;
    job.boards = report.boards;
    job.cost = report.cost;
    job.machine_time_s = report.machine_time_s;
    job.programs = report.programs;
    job.judged = report.judged;
    job.asked = report.asked;
    job.files = report.files;
    job.digest = report.digest;
    job.to_json()
}
