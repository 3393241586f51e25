//! `solve`: the layout numbers, the riser counts, the findings; no file is written.

use std::path::Path;

use super::args::ReportArguments;
use super::console::Console;
use super::{Ending, ending, input, sections, table};
use crate::error::Error;
use crate::export::report::Report;
use crate::workup::Workup;

/// Solves a job and prints what follows from it.
pub(super) fn solve(path: &Path, report: &ReportArguments, console: &Console) -> Result<Ending, Error> {
    let job = input::job(path)?;
    let workup = Workup::of(&job);
    if report.json {
        console.print(&Report::of(&job, &workup).to_json())?;
    } else {
        let parts = [
            table::layout(&job, &workup),
            table::counts(&workup),
            sections::sections(&job, &workup.around),
            table::findings(&workup.findings, console),
        ];
        console.print(&parts.concat())?;
    }
    Ok(ending(&workup.findings, report))
}
