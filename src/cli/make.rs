//! `make`: solve, check, write every file, read each back from disk and verify it, then publish the set.

use std::path::{Path, PathBuf};

use super::args::{MakeArguments, ReportArguments};
use super::console::{Console, shown};
use super::made::{Made, row};
use super::output_set::{Existing, Goal, NamedFile, SetKind, Staging};
use super::pages::no_letter;
use super::set::make_set;
use super::{Ending, ending, input, sections, table};
use crate::diagnostics::{Severity, codes};
use crate::error::{Error, ErrorKind};
use crate::export::bench;
use crate::export::drawing::{drawing, head_joint};
use crate::export::dxf::{Drawing, DxfVersion, compensated, nominal};
use crate::export::gcode::gcode;
use crate::export::report::{
    ComponentReport, HeldReport, HoldingReport, ProgramReport, Report, UNSEALED, VerifiedReport,
};
use crate::export::{Stamp, file_report, program_report};
use crate::measure::Job;
use crate::outline::Outline;
use crate::plan::Program;
use crate::proof;
use crate::set::{Entry, is_laid_out};
use crate::units::{Length, trimmed};
use crate::verify::{Component, Expectation, Holding, Verdict};
use crate::workup::{Planned, Workup};

/// The name of a program that is alone.
const PROGRAM: &str = "program.nc";
/// The names of the program that marks and of the one that then cuts.
const MARKS_AND_CUT: [&str; 2] = ["program-1.nc", "program-2.nc"];

/// The programs of a cut with their names, in the order they are run.
fn programs(planned: &Planned) -> Vec<(&'static str, &Program)> {
    match &planned.mark_program {
        Some(marks) => MARKS_AND_CUT.into_iter().zip([marks, &planned.program]).collect(),
        None => vec![(PROGRAM, &planned.program)],
    }
}

/// The name of the program that cuts.
fn cutting(planned: &Planned) -> &'static str {
    if planned.mark_program.is_some() { MARKS_AND_CUT[1] } else { PROGRAM }
}

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
    make_entries(read.what, &order)?.tell(arguments.report.json, console)
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
    pub fn staging(&self, revisions: Vec<String>) -> Result<Staging<'a>, Error> {
        let Making { output: target, existing, inputs, .. } = *self;
        Staging::begin(Goal { target, existing, kind: SetKind::Made, revisions, inputs })
    }
}

/// Makes the set of one job, or of several that are cut together.
pub(super) fn make_entries(mut entries: Vec<Entry>, order: &Making) -> Result<Made, Error> {
    match entries.pop() {
        Some(Entry { job, times: 1 }) if entries.is_empty() && is_alone(&job) => alone(&job, order),
        last => {
            entries.extend(last);
            make_set(entries, order)
        }
    }
}

/// A housed stringer is only made alone.
///
/// # Errors
/// If the job has one.
pub(super) fn cut_only(job: &Job, what: &str) -> Result<(), Error> {
    match &job.housed {
        None => Ok(()),
        Some(_) => Err(Error::new(ErrorKind::Refused, format!("a housed stringer is not {what}"))
            .found(job.title.as_str())
            .allowed("a cut stringer: a job without a [housed] table")
            .hint("seatcut make JOB -o DIR")),
    }
}

/// Whether a job is one piece that shares its material with nothing.
pub(super) fn is_alone(job: &Job) -> bool {
    job.cut.pieces() == 1 && !is_laid_out(job)
}

/// Makes the set of one piece.
fn alone(job: &Job, order: &Making) -> Result<Made, Error> {
    let workup = Workup::of(job);
    let mut report = Report::of(job, &workup);
    let end = ending(&workup.findings, order.report);
    let (Some(planned), Some(outline), Ending::Done) = (&workup.planned, &workup.outline, end) else {
        let words = [table::layout(job, &workup), table::findings(&workup.findings, order.console)].concat();
        let end = if end == Ending::Done { Ending::Refused } else { end };
        let row = row(&[(job, &workup)], &report.programs);
        return Ok(Made::unwritten(end, report.to_json(), words, &workup.findings, row));
    };
    let mut staging = order.staging(vec![workup.fingerprint.to_string()])?;
    let files = files(job, &workup, planned, outline, order.dxf)?;
    staging.write(&files)?;
    let verified = prove(&staging, &files, job, planned, outline)?;
    for ((name, program), proven) in programs(planned).into_iter().zip(verified) {
        report.programs.push(program_report(name, job, planned.path.ledger(), program, 1, proven));
    }
    report.files = files.iter().map(|(name, bytes)| file_report(name, bytes)).collect();
    report.digest = Some(UNSEALED);
    let json = report.to_json();
    staging.write(&[("report.json".to_string(), json.clone().into_bytes())])?;
    let mut names: Vec<String> = files.into_iter().map(|(name, _)| name).collect();
    names.push("report.json".to_string());
    staging.publish()?;
    let words = summary(job, &workup, &report, &names, order);
    Ok(Made::written(json, words, row(&[(job, &workup)], &report.programs), order.output))
}

fn files(
    job: &Job,
    workup: &Workup,
    planned: &Planned,
    outline: &Outline,
    version: DxfVersion,
) -> Result<Vec<NamedFile>, Error> {
    let stamp = Stamp::of(job);
    let machine = &job.cut.machine;
    let ledger = planned.path.ledger();
    let marked = |drawing: Drawing, hole_inset: Length| match &planned.marks {
        Some(marks) => drawing.with_marks(marks, hole_inset),
        None => drawing,
    };
    let nominal = marked(nominal(&stamp, outline, machine.units), Length::ZERO);
    let compensated = compensated(&stamp, &planned.path, ledger, &planned.program, machine.units);
    let compensated = marked(compensated, machine.tool_radius());
    let mut texts = vec![("nominal.dxf", nominal.write(version)), ("compensated.dxf", compensated.write(version))];
    texts.extend(programs(planned).into_iter().map(|(name, program)| (name, gcode(&stamp, machine, ledger, program))));
    texts.push((
        "drawing.svg",
        drawing(job, &workup.fingerprint, &workup.flight, outline, workup.throat_cut, &workup.findings),
    ));
    if let Some(head) = &workup.around.head {
        texts.push(("head-joint.svg", head_joint(job, &workup.fingerprint, &workup.flight, head)));
    }
    if job.housed.is_some() {
        // The bench sheet is that of a sawtooth: steps to lay out, a throat, a hang line. A housed board has none of them.
        return Ok(texts.into_iter().map(|(name, text)| (name.to_string(), text.into_bytes())).collect());
    }
    texts.push(("bench.html", bench::page(job, workup, planned, &[planned.piece_on_stock()], cutting(planned))));
    let printed = bench::printed(&bench::bench_sheet(job, workup), bench::paper(job)).map_err(no_letter)?;
    let texts = texts.into_iter().map(|(name, text)| (name.to_string(), text.into_bytes()));
    Ok(texts.chain([("bench.pdf".to_string(), printed)]).collect())
}

/// Reads every drawing and program back from disk and holds it against the job; the figures of each program in order.
fn prove(
    staging: &Staging,
    files: &[NamedFile],
    job: &Job,
    planned: &Planned,
    outline: &Outline,
) -> Result<Vec<VerifiedReport>, Error> {
    let drawing = proof::drawing(job, outline, planned.marks.as_ref());
    let programs = programs(planned);
    let mut verified = Vec::new();
    for (name, written) in files {
        let bytes = staging.read_back(name, written)?;
        if [".svg", ".html", ".pdf"].iter().any(|ending| name.ends_with(ending)) {
            continue;
        }
        let Some((_, program)) = programs.iter().find(|(program, _)| program == name) else {
            held(&bytes, name, &drawing)?;
            continue;
        };
        let verdict = held(&bytes, name, &proof::planned(job, outline, program))?;
        verified.push(proven(&verdict));
    }
    Ok(verified)
}

/// Holds a file made here against what it must be; a fault is a bug, and nothing may be published.
pub(super) fn held(bytes: &[u8], name: &str, expectation: &Expectation) -> Result<Verdict, Error> {
    let verdict = proof::hold(bytes, name, expectation)?;
    // That a small part has room for too few tabs was said when it was planned; anything else is a fault of this program.
    match verdict.findings.iter().find(|f| f.severity != Severity::Advice && !f.is::<codes::LoosePart>()) {
        Some(fault) => Err(unproven(name, fault.to_string())),
        None if !verdict.is_this_part() => Err(unproven(name, format!("gouge {} mm", verdict.gouge_mm))),
        None => Ok(verdict),
    }
}

/// The figures of a proof.
pub(super) fn proven(verdict: &Verdict) -> VerifiedReport {
    VerifiedReport {
        gouge_mm: verdict.gouge_mm,
        left_mm: verdict.left_mm,
        boundary_uncut_mm: verdict.boundary_uncut_mm,
        marks: verdict.marks,
        pockets: verdict.pockets,
        holding: verdict.holding.as_ref().map(holding_report),
    }
}

fn holding_report(holding: &Holding) -> HoldingReport {
    let tenth = |of: f64| (of * 10.0).round() / 10.0 + 0.0;
    let component = |of: &Component| ComponentReport {
        area_mm2: of.area_mm2.round(),
        box_mm: [of.bounds.min.x, of.bounds.min.y, of.bounds.max.x, of.bounds.max.y].map(tenth),
        held: of.held,
    };
    HoldingReport {
        least_web_mm: holding.least_web_mm,
        coin_mm2: holding.coin_mm2,
        held_by: holding.held_by,
        pieces: holding.pieces.iter().map(|(name, held)| HeldReport { name: name.clone(), held: *held }).collect(),
        components: holding.components.iter().map(component).collect(),
        by_thin_wood: holding.by_thin_wood.iter().map(component).collect(),
    }
}

fn unproven(name: &str, found: String) -> Error {
    Error::new(ErrorKind::Internal, "a file made here did not pass its own proof; nothing was written")
        .in_file(name)
        .found(found)
        .hint("this is a bug of seatcut: please report it with the job file")
}

fn summary(job: &Job, workup: &Workup, report: &Report, names: &[String], order: &Making) -> String {
    let sections = sections::sections(job, &workup.around);
    let mut text = [table::layout(job, workup), sections, table::findings(&workup.findings, order.console)].concat();
    let dir = shown(order.output);
    for program in &report.programs {
        text.push_str(&program_line(program));
    }
    text.push_str(&format!("{dir}: {}\n", names.join(", ")));
    text
}

/// One line about a program that was proven.
pub(super) fn program_line(program: &ProgramReport) -> String {
    let proven = &program.verified;
    let gouge = trimmed(proven.gouge_mm, 5);
    let times = if program.times > 1 { format!(" a run, {} runs", program.times) } else { String::new() };
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
