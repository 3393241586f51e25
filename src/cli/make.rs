//! `make`: work up, lay out, write every file, read each back from disk and prove it, then publish
//! the set.

use std::path::{Path, PathBuf};

use super::args::{MakeArguments, ReportArguments};
use super::console::{Console, shown};
use super::made::{Made, row};
use super::output_set::{Existing, Goal, SetKind, Staging};
use super::{Ending, ending, input, reported, sections, table};
use crate::bundle::{Bundle, names, unmade_report};
use crate::diagnostics::Finding;
use crate::diagnostics::{Error, ErrorKind};
use crate::job::Job;
use crate::output::batch_table::BatchRow;
use crate::output::content::asked;
use crate::output::dxf::DxfVersion;
use crate::output::report::ProgramReport;
use crate::output::set_text::{sheet_line, totals};
use crate::pipeline::set::{Entry, Set};
use crate::units::trimmed;

/// Makes the set of one job, or of several that are cut together, and prints what came of it.
pub(super) fn make(arguments: &MakeArguments, console: &Console) -> Result<Ending, Error> {
    let read = input::entries_and_files(&arguments.jobs)?;
    let order = Making {
        output: &arguments.output.output,
        existing: if arguments.output.force { Existing::Replace } else { Existing::Keep },
        dxf: arguments.output.dxf.version(),
        effort: arguments.effort,
        report: &arguments.report,
        inputs: &read.files,
        console,
    };
    make_entries(read.what.clone(), &order)
        .map_err(|error| reported(error, read.what, &arguments.report, console))?
        .tell(arguments.report.json, console)
}

/// Where and how a set is made.
pub(super) struct Making<'a> {
    pub output: &'a Path,
    pub existing: Existing,
    pub dxf: DxfVersion,
    pub effort: u32,
    pub report: &'a ReportArguments,
    /// The files that the set is made from.
    pub inputs: &'a [PathBuf],
    /// For the colours of what is told.
    pub console: &'a Console,
}

impl<'a> Making<'a> {
    /// A place for the set of jobs with these fingerprints.
    pub(super) fn staging(&self, revisions: Vec<String>) -> Result<Staging<'a>, Error> {
        let Making { output: target, existing, inputs, .. } = *self;
        Staging::begin(Goal { target, existing, kind: SetKind::Made, revisions, inputs })
    }
}

/// Makes the set of one job, or of several that are cut together.
pub(super) fn make_entries(entries: Vec<Entry>, order: &Making<'_>) -> Result<Made, Error> {
    let set = Set::of(entries, order.effort)?;
    let findings: Vec<Finding> = set.all_findings().cloned().collect();
    let end = ending(&findings, order.report);
    let said = words(&set, &findings, order.console);
    if end != Ending::Done {
        return Ok(Made::unwritten(end, unmade_report(&set), said, &findings, row_of(&set, &[])));
    }
    let bundle = Bundle::of(&set, order.dxf)?;
    let revisions = set.members.iter().map(|member| member.workup.fingerprint.to_string());
    let mut staging = order.staging(revisions.collect())?;
    staging.write(bundle.artifacts())?;
    let programs = bundle.proven(|artifact| staging.read_back(artifact))?;
    let row = row_of(&set, &programs);
    let text = [said, lines(&set, &programs), totals(&set), listed(&bundle, order.output)].concat();
    let report = bundle.report(programs);
    staging.write(std::slice::from_ref(&report))?;
    staging.publish()?;
    let json = String::from_utf8_lossy(&report.bytes).into_owned();
    Ok(Made::written(json, text, row, order.output))
}

fn row_of(set: &Set, programs: &[ProgramReport]) -> BatchRow {
    row(&set.members.iter().map(|member| &member.workup).collect::<Vec<_>>(), programs)
}

/// A housed stringer is only made alone.
///
/// # Errors
/// If the job has one.
pub(super) fn cut_only(job: &Job, what: &str) -> Result<(), Error> {
    if !job.stringer.is_made_alone() {
        return Ok(());
    }
    Err(Error::new(ErrorKind::Refused, format!("a {} is not {what}", job.stringer.name()))
        .found(job.title.as_str())
        .allowed("a cut stringer: a job without a [housed] table")
        .hint("seatcut make JOB -o DIR"))
}

/// The layout of every job and all findings.
fn words(set: &Set, all: &[Finding], console: &Console) -> String {
    let mut text = String::new();
    for member in &set.members {
        text.push_str(&table::layout(&member.workup));
        text.push_str(&sections::sections(&asked(&member.workup)));
        if set.members.len() > 1 {
            text.push_str(&table::findings(&member.workup.findings, console));
            text.push('\n');
        }
    }
    // With several jobs each has had its own said below its layout.
    let rest = if set.members.len() == 1 { all } else { &set.findings };
    text + &table::findings(rest, console)
}

/// What came of each program and each sheet.
fn lines(set: &Set, programs: &[ProgramReport]) -> String {
    let sheets = set.sheets.iter().enumerate();
    let of_sheets =
        sheets.map(|(i, run)| format!("{}: {}\n", names::sheet_picture(i), sheet_line(run)));
    programs.iter().map(program_line).chain(of_sheets).collect()
}

/// Where the set lies, and its files.
fn listed(bundle: &Bundle<'_>, place: &Path) -> String {
    let names =
        bundle.artifacts().iter().map(|artifact| artifact.name.as_str()).chain([names::REPORT]);
    format!("{}: {}\n", shown(place), names.collect::<Vec<_>>().join(", "))
}

/// One line about a program that was proven.
fn program_line(program: &ProgramReport) -> String {
    let proven = &program.verified;
    let gouge = trimmed(proven.gouge_mm, 5);
    let times =
        if program.times > 1 { format!(" a run, {} runs", program.times) } else { String::new() };
    let time = format!("{} s{times}", trimmed(program.time_s, 0));
    if program.offset_applied == "none" {
        let marks = proven.marks;
        let file = &program.file;
        return format!(
            "\n{file}: proven from disk: {marks} strokes in place and depth, gouge {gouge} mm; about {time}\n"
        );
    }
    format!(
        "\n{}: proven from disk: gouge {gouge} mm, left {} mm, held by {} tabs ({} mm uncut); about {time}\n",
        program.file,
        trimmed(proven.left_mm, 5),
        program.tabs.len(),
        trimmed(proven.boundary_uncut_mm, 1),
    )
}
