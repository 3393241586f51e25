//! `order`: solve, check, write the finished outlines and the order sheet, prove the drawings from disk, then publish.

use super::args::OrderArguments;
use super::console::Console;
use super::made::{Made, row};
use super::make::cut_only;
use super::make::held;
use super::output_set::{Existing, NamedFile, Staging};
use super::pages::no_letter;
use super::{Ending, ending, input, table};
use crate::error::Error;
use crate::export::drawing::{self, Subject};
use crate::export::dxf::{DxfVersion, nominal, nominal_skirt};
use crate::export::order::{OrderDrawing, OrderSheet, OrderedPart, sha256sums};
use crate::export::paper::pdf;
use crate::export::report::Report;
use crate::export::sheet::to_page;
use crate::export::{Stamp, file_report};
use crate::measure::Job;
use crate::outline::{Outline, Skirt};
use crate::proof;
use crate::workup::Workup;

/// Writes the order of a job. What `make` refuses is not ordered either.
pub(super) fn order(arguments: &OrderArguments, console: &Console) -> Result<Ending, Error> {
    let job = input::job(&arguments.job)?;
    cut_only(&job, "ordered: its pockets are not on the order's sheets")?;
    let workup = Workup::of(&job);
    let mut report = Report::of(&job, &workup);
    let end = ending(&workup.findings, &arguments.report);
    let (Some(_), Some(outline), Ending::Done) = (&workup.planned, &workup.outline, end) else {
        let words = [table::layout(&job, &workup), table::findings(&workup.findings, console)].concat();
        let end = if end == Ending::Done { Ending::Refused } else { end };
        let made = Made::unwritten(end, report.to_json(), words, &workup.findings, row(&[(&job, &workup)], &[]));
        return made.tell(arguments.report.json, console);
    };
    let existing = if arguments.output.force { Existing::Replace } else { Existing::Keep };
    let staging = Staging::begin(&arguments.output.output, existing)?;
    let skirt = Skirt::new(&workup.flight).ok();
    let drawings = drawings(&job, outline, skirt.as_ref(), arguments.output.dxf.version());
    let order = OrderSheet::of(&job, &workup, &drawings);
    let files = files(sheets(&order, dimensioned(&job, &workup, outline)?), &drawings);
    staging.write(&files)?;
    prove(&staging, &files, &drawings, &job)?;
    let names: Vec<String> = files.iter().map(|(name, _)| name.clone()).collect();
    staging.publish(&names)?;
    report.files = files.iter().map(|(name, bytes)| file_report(name, bytes)).collect();
    if arguments.report.json {
        console.print(&report.to_json())?;
    } else {
        let findings = table::findings(&workup.findings, console);
        let dir = arguments.output.output.display();
        console.print(&format!("{}{findings}\n{dir}: {}\n", table::layout(&job, &workup), names.join(", ")))?;
    }
    Ok(Ending::Done)
}

fn drawings<'a>(
    job: &Job,
    outline: &'a Outline,
    skirt: Option<&'a Skirt>,
    version: DxfVersion,
) -> Vec<OrderDrawing<'a>> {
    let stamp = Stamp::of(job);
    let units = job.cut.machine.units;
    let file = named("nominal.dxf", nominal(&stamp, outline, units).write(version));
    let stringer = OrderDrawing { part: OrderedPart::Stringer, outline, file };
    let skirt = skirt.map(|skirt| OrderDrawing {
        part: OrderedPart::Skirt,
        outline: skirt.outline(),
        file: named("skirt.dxf", nominal_skirt(&stamp, skirt, units).write(version)),
    });
    [Some(stringer), skirt].into_iter().flatten().collect()
}

/// The whole set; the digests come last, over everything before them.
fn files(sheets: Vec<NamedFile>, drawings: &[OrderDrawing]) -> Vec<NamedFile> {
    let mut files: Vec<NamedFile> = drawings.iter().map(|drawing| drawing.file.clone()).collect();
    files.extend(sheets);
    let digests = named("SHA256SUMS", sha256sums(&files));
    files.push(digests);
    files
}

/// Every form of the sheet, and the dimensioned drawing.
fn sheets(sheet: &OrderSheet, drawing: Vec<u8>) -> Vec<NamedFile> {
    vec![named("order.txt", sheet.to_text()), named("order.csv", sheet.to_csv()), ("order.pdf".to_string(), drawing)]
}

/// The drawing of the stringer with its dimensions, as a PDF.
fn dimensioned(job: &Job, workup: &Workup, outline: &Outline) -> Result<Vec<u8>, Error> {
    let subject = Subject {
        job,
        fingerprint: &workup.fingerprint,
        flight: &workup.flight,
        outline,
        throat_cut: workup.throat_cut,
        findings: &workup.findings,
    };
    let page = to_page(&drawing::sheet(&subject)).map_err(no_letter)?;
    Ok(pdf(&Stamp::of(job), &[page]))
}

fn named(name: &str, text: String) -> NamedFile {
    (name.to_string(), text.into_bytes())
}

/// Reads every file back from disk and holds every drawing against its part.
fn prove(staging: &Staging, files: &[NamedFile], drawings: &[OrderDrawing], job: &Job) -> Result<(), Error> {
    for (name, written) in files {
        let bytes = staging.read_back(name, written)?;
        if let Some(drawing) = drawings.iter().find(|drawing| drawing.file.0 == *name) {
            held(&bytes, name, &proof::anybodys(job, drawing.outline))?;
        }
    }
    Ok(())
}
