//! `order`: solve, check, write the finished outlines and the order sheet, prove the drawings from disk, then publish.

use super::args::OrderArguments;
use super::console::{Console, shown};
use super::input::FromFiles;
use super::made::{Made, in_place_all_the_same, row};
use super::make::cut_only;
use super::make::held;
use super::output_set::{Existing, Goal, NamedFile, SetKind, Staging};
use super::pages::no_letter;
use super::{Ending, ending, input, table};
use crate::diagnostics::Finding;
use crate::error::Error;
use crate::export::drawing::{self, Subject};
use crate::export::dxf::{DxfVersion, nominal, nominal_skirt};
use crate::export::order::{OrderDrawing, OrderSheet, OrderedPart, OrderedPiece, sha256sums};
use crate::export::paper::pdf;
use crate::export::report::Report;
use crate::export::sheet::to_page;
use crate::export::{Stamp, file_report};
use crate::measure::{Job, Makes};
use crate::outline::{Outline, Skirt};
use crate::proof;
use crate::set::{Entry, Kind, Member, kinds};
use crate::units::Length;
use crate::workup::Workup;

/// Writes the order of a job. What `make` refuses is not ordered either.
pub(super) fn order(arguments: &OrderArguments, console: &Console) -> Result<Ending, Error> {
    let FromFiles { what: job, files: inputs } = input::job_and_files(&arguments.job)?;
    cut_only(&job, "ordered: its pockets are not on the order's sheets")?;
    let mut workup = Workup::of(&job);
    let mut report = Report::of(&job, &workup);
    let end = ending(&workup.findings, &arguments.report);
    let pieces = pieces(&job);
    if let Err(refusals) = &pieces {
        workup.findings.extend(refusals.iter().cloned());
        report.findings.extend(refusals.iter().cloned());
    }
    let end = if pieces.is_err() { Ending::Refused } else { end };
    let (Some(_), Some(outline), Ok(pieces), Ending::Done) = (&workup.planned, &workup.outline, pieces, end) else {
        let words = [table::layout(&job, &workup), table::findings(&workup.findings, console)].concat();
        let end = if end == Ending::Done { Ending::Refused } else { end };
        let made = Made::unwritten(end, report.to_json(), words, &workup.findings, row(&[(&job, &workup)], &[]));
        return made.tell(arguments.report.json, console);
    };
    let existing = if arguments.output.force { Existing::Replace } else { Existing::Keep };
    let target = &arguments.output.output;
    let revisions = vec![workup.fingerprint.to_string()];
    let goal = Goal { target, existing, kind: SetKind::Ordered, revisions, inputs: &inputs };
    let mut staging = Staging::begin(goal)?;
    let skirt = Skirt::new(&workup.flight).ok();
    let drawings = drawings(&job, outline, pieces, skirt.as_ref(), arguments.output.dxf.version());
    let order = OrderSheet::of(&job, &workup, &drawings);
    let files = files(sheets(&order, dimensioned(&job, &workup, outline)?), &drawings);
    staging.write(&files)?;
    prove(&staging, &files, &drawings, &job)?;
    let names: Vec<String> = files.iter().map(|(name, _)| name.clone()).collect();
    staging.publish()?;
    report.files = files.iter().map(|(name, bytes)| file_report(name, bytes)).collect();
    let text = if arguments.report.json {
        report.to_json()
    } else {
        let findings = table::findings(&workup.findings, console);
        format!("{}{findings}\n{}: {}\n", table::layout(&job, &workup), shown(target), names.join(", "))
    };
    console.print(&text).map_err(|error| in_place_all_the_same(error, target))?;
    Ok(Ending::Done)
}

/// The kinds of pieces that are cut, each with its dowel holes.
///
/// # Errors
/// The refusals of `make`: layers that cannot be brought over each other.
fn pieces(job: &Job) -> Result<Vec<OrderedPiece>, Vec<Finding>> {
    let sharing = &job.cut.sharing;
    let whole =
        |name: &str, count: u32| OrderedPiece { name: name.to_string(), count: count as usize, holes: Vec::new() };
    if let Makes::Pattern(_) = job.cut.makes {
        return Ok(vec![whole("stringer pattern", job.cut.quantity)]);
    }
    if sharing.layers == 1 {
        let doublers = job.cut.pieces() as u32 - job.cut.quantity;
        let doublers = (doublers > 0).then(|| whole("doubler", doublers));
        return Ok([whole("stringer", job.cut.quantity)].into_iter().chain(doublers).collect());
    }
    let member = Member::of(Entry { job: job.clone(), times: 1 });
    let kinds = kinds(0, &member, &mut Vec::new())?;
    let piece = |kind: Kind| OrderedPiece {
        name: format!("stringer, {}", kind.tooled.name),
        count: kind.count,
        holes: kind.tooled.holes,
    };
    Ok(kinds.into_iter().map(piece).collect())
}

fn drawings<'a>(
    job: &Job,
    outline: &'a Outline,
    pieces: Vec<OrderedPiece>,
    skirt: Option<&'a Skirt>,
    version: DxfVersion,
) -> Vec<OrderDrawing<'a>> {
    let stamp = Stamp::of(job);
    let units = job.cut.machine.units;
    let holes = pieces.first().map_or(&[][..], |piece| &piece.holes);
    let drawn = nominal(&stamp, outline, units).with_holes(holes, Length::ZERO);
    let file = named("nominal.dxf", drawn.write(version));
    let stringer = OrderDrawing { part: OrderedPart::Stringer, outline, pieces, file };
    let skirt = skirt.map(|skirt| OrderDrawing {
        part: OrderedPart::Skirt,
        outline: skirt.outline(),
        pieces: Vec::new(),
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
            let holes = drawing.pieces.first().map_or(&[][..], |piece| &piece.holes);
            held(&bytes, name, &proof::drilled(proof::anybodys(job, drawing.outline), holes))?;
        }
    }
    Ok(())
}
