//! `solve`: the layout numbers, the riser counts, the findings; no file is written.

use std::path::Path;

use super::args::ReportArguments;
use super::console::Console;
use super::{Ending, ending, input, reported, sections, table, told};
use crate::bundle::unmade_report;
use crate::diagnostics::Error;
use crate::diagnostics::Finding;
use crate::output::content::asked;
use crate::output::set_text::totals;
use crate::pipeline::set::{Entry, Member, Set};
use crate::pipeline::workup::Workup;

/// Solves a job and prints what follows from it; of several pieces what they take, quickly laid
/// out, stands at the end.
pub(super) fn solve(
    path: &Path,
    report: &ReportArguments,
    console: &Console,
) -> Result<Ending, Error> {
    let job = input::job(path)?;
    let entries = vec![Entry { job, times: 1 }];
    let set = Set::of(entries.clone(), QUICKLY)
        .map_err(|error| reported(error, entries, report, console))?;
    let findings: Vec<Finding> = set.all_findings().cloned().collect();
    if report.json {
        console.print(&unmade_report(&set))?;
    } else {
        // What is found of one flight of several stands below its figures.
        let several = set.members.len() > 1;
        let of_job = |member: &Member| match several {
            true => figures(&member.workup) + &told::findings(&member.workup.findings) + "\n",
            false => figures(&member.workup),
        };
        let of_jobs: String = set.members.iter().map(of_job).collect();
        let rest = match (several, &set.findings[..]) {
            (false, _) => told::findings(&findings),
            // Each flight's findings stand below it: nothing is left to say.
            (true, []) => String::new(),
            (true, of_all) => format!("\nOF ALL TOGETHER\n{}", told::findings(of_all)),
        };
        console
            .print(&[sections::whole_stairs(&set), of_jobs, totals(&set, 0.0), rest].concat())?;
    }
    Ok(ending(&findings, report))
}

/// The effort of a layout that is not made.
const QUICKLY: u32 = 0;

fn figures(workup: &Workup) -> String {
    let counts = match workup.job.flight_of {
        Some(_) => "\n".to_string(),
        None => table::counts(workup),
    };
    [table::layout(workup), counts, sections::sections(&asked(workup))].concat()
}
