//! `order`: solve, check, write the finished outlines and the order sheet, prove the drawings from disk, then publish.

use super::args::MakeArguments;
use super::console::Console;
use super::make::{held, unwritten};
use super::output_set::{Existing, NamedFile, Staging};
use super::{Ending, ending, input, table};
use crate::error::Error;
use crate::export::dxf::{DxfVersion, nominal, nominal_skirt};
use crate::export::order::{OrderSheet, OrderedPart, sha256sums};
use crate::export::report::Report;
use crate::export::{Stamp, file_report};
use crate::measure::Job;
use crate::outline::{Outline, Skirt};
use crate::proof;
use crate::workup::Workup;

/// Writes the order of a job. What `make` refuses is not ordered either.
pub(super) fn order(arguments: &MakeArguments, console: &Console) -> Result<Ending, Error> {
    let job = input::job(&arguments.job)?;
    let workup = Workup::of(&job);
    let mut report = Report::of(&job, &workup);
    let (Some(_), Some(outline)) = (&workup.planned, &workup.outline) else {
        return unwritten(&job, &workup, &report, &arguments.report, console, Ending::Refused);
    };
    if ending(&workup.findings, &arguments.report) == Ending::DeniedWarnings {
        return unwritten(&job, &workup, &report, &arguments.report, console, Ending::DeniedWarnings);
    }
    let existing = if arguments.force { Existing::Replace } else { Existing::Keep };
    let staging = Staging::begin(&arguments.output, existing)?;
    let files = files(&job, &workup, outline, arguments.dxf.version());
    staging.write(&files)?;
    prove(&staging, &files, &job, &workup, outline)?;
    let names: Vec<String> = files.iter().map(|(name, _)| name.clone()).collect();
    staging.publish(&names)?;
    report.files = files.iter().map(|(name, bytes)| file_report(name, bytes)).collect();
    if arguments.report.json {
        console.print(&report.to_json())?;
    } else {
        let findings = table::findings(&workup.findings, console);
        let dir = arguments.output.display();
        console.print(&format!("{}{findings}\n{dir}: {}\n", table::layout(&job, &workup), names.join(", ")))?;
    }
    Ok(Ending::Done)
}

/// The whole set; the digests come last, over everything before them.
fn files(job: &Job, workup: &Workup, outline: &Outline, version: DxfVersion) -> Vec<NamedFile> {
    let stamp = Stamp::of(job);
    let units = job.cut.machine.units;
    let skirt = Skirt::new(&workup.flight).ok();
    let mut parts = vec![(OrderedPart::Stringer, outline)];
    let mut files = vec![named("nominal.dxf", nominal(&stamp, outline, units).write(version))];
    if let Some(skirt) = &skirt {
        parts.push((OrderedPart::Skirt, skirt.outline()));
        files.push(named("skirt.dxf", nominal_skirt(&stamp, skirt, units).write(version)));
    }
    let drawings: Vec<_> = parts.iter().zip(&files).map(|((part, outline), file)| (*part, *outline, file)).collect();
    let sheets = sheets(&OrderSheet::of(job, workup, &drawings));
    files.extend(sheets);
    let digests = sha256sums(&files);
    files.push(named("SHA256SUMS", digests));
    files
}

/// Every form of the sheet. A dimensioned `order.pdf` goes here.
fn sheets(sheet: &OrderSheet) -> Vec<NamedFile> {
    vec![named("order.txt", sheet.to_text()), named("order.csv", sheet.to_csv())]
}

fn named(name: &str, text: String) -> NamedFile {
    (name.to_string(), text.into_bytes())
}

/// Reads every file back from disk and holds every drawing against its part.
fn prove(staging: &Staging, files: &[NamedFile], job: &Job, workup: &Workup, outline: &Outline) -> Result<(), Error> {
    let skirt = Skirt::new(&workup.flight).ok();
    for (name, written) in files {
        let bytes = staging.read_back(name, written)?;
        let part = match name.as_str() {
            "nominal.dxf" => Some(outline),
            "skirt.dxf" => skirt.as_ref().map(Skirt::outline),
            _ => None,
        };
        if let Some(part) = part {
            held(&bytes, name, &proof::anybodys(job, part))?;
        }
    }
    Ok(())
}
