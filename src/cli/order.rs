//! `order`: solve, check, write the finished outlines and the order sheet, prove the drawings from
//! disk, then publish.

use super::args::OrderArguments;
use super::console::{Console, shown};
use super::input::FromFiles;
use super::made::Made;
use super::make::{cut_named, cut_only};
use super::output_set::{Existing, Goal, SetKind, Staging};
use super::{Ending, ending, input, table, told};
use crate::bundle::{Ordered, Reference, ordered_pieces};
use crate::diagnostics::Error;
use crate::diagnostics::gathered;
use crate::output::file_report;
use crate::output::report::Report;
use crate::pipeline::set::one_flight;
use crate::pipeline::workup::Workup;

/// Writes the order of a job. What `make` refuses is not ordered either.
pub(super) fn order(arguments: &OrderArguments, console: &Console) -> Result<Ending, Error> {
    ordered(arguments)?.tell(arguments.report.json, console)
}

/// The same without a word: what came of it is for whoever asked.
pub(super) fn ordered(arguments: &OrderArguments) -> Result<Made, Error> {
    let FromFiles { what: job, files: inputs, .. } = input::job_and_files(&arguments.job)?;
    let job = one_flight(job, arguments.flight.flight, "ordered")?;
    cut_named(&job)?;
    cut_only(&job, "ordered: its pockets are not on the order's sheets")?;
    let mut workup = Workup::designed(&job)?;
    let pieces = if workup.refused() {
        None
    } else {
        gathered(ordered_pieces(&workup), &mut workup.findings)
    };
    let mut report = Report::of(&workup);
    let end = ending(&workup.findings, &arguments.report);
    if end != Ending::Done {
        let words = [table::layout(&workup), told::findings(&workup.findings)].concat();
        return Ok(Made::unwritten(end, report.to_json(), words, &workup.findings));
    }
    let pieces = pieces.expect("a job that nothing refuses has its pieces");
    let existing = if arguments.output.force { Existing::Replace } else { Existing::Keep };
    let target = &arguments.output.output;
    let revisions = vec![workup.fingerprint.to_string()];
    let goal = Goal { target, existing, kind: SetKind::Ordered, revisions, inputs: &inputs };
    let mut staging = Staging::begin(goal)?;
    let reference = if arguments.reference { Reference::Drawn } else { Reference::LeftOut };
    let form = (arguments.output.dxf.version(), reference);
    let order = Ordered::of(&workup, pieces, form)?;
    staging.write(order.artifacts())?;
    order.proven(|artifact| staging.read_back(artifact))?;
    let names: Vec<&str> = order.artifacts().iter().map(|file| file.name.as_str()).collect();
    staging.publish()?;
    report.files =
        order.artifacts().iter().map(|file| file_report(&file.name, &file.bytes)).collect();
    let findings = told::findings(&workup.findings);
    let layout = table::layout(&workup);
    let words = format!("{layout}{findings}\n{}: {}\n", shown(target), names.join(", "));
    Ok(Made::written(report.to_json(), words, target))
}
