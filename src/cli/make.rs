//! `make`: work up, lay out, write every file, read each back from disk and prove it, then publish
//! the set.

use std::path::{Path, PathBuf};

use super::args::{MakeArguments, PaperArgument, ReportArguments};
use super::console::{Console, shown};
use super::input::FromFiles;
use super::made::Made;
use super::output_set::{Existing, Goal, SetKind, Staging};
use super::search::watched;
use super::stock_file::Rack;
use super::told::hung;
use super::{Ending, ending, input, reported, sections, table, told};
use crate::bundle::{Artifact, Bundle, names, unmade_report};
use crate::diagnostics::Finding;
use crate::diagnostics::{Error, ErrorKind};
use crate::job::Job;
use crate::output::content::RunOf;
use crate::output::drawing::Paper;
use crate::output::dxf::DxfVersion;
use crate::output::report::ProgramReport;
use crate::output::set_text::{sheet_line, totals};
use crate::pipeline::set::{Entry, OrderFacts, Set, is_laid_out};
use crate::profile::Form;
use crate::units::{Length, Tape, on_tape};

/// Makes the set of one job, or of several that are cut together, and prints what came of it.
pub(super) fn make(arguments: &MakeArguments, console: &Console) -> Result<Ending, Error> {
    let read = input::entries_and_files(&arguments.jobs)?;
    making(arguments, &read, true)
        .map_err(|error| reported(error, read.what, &arguments.report, console))?
        .tell(arguments.report.json, console)
}

/// The same without a word: what came of it is for whoever asked.
pub(super) fn made(arguments: &MakeArguments) -> Result<Made, Error> {
    making(arguments, &input::entries_and_files(&arguments.jobs)?, false)
}

fn making(
    arguments: &MakeArguments,
    read: &FromFiles<Vec<Entry>>,
    is_alone: bool,
) -> Result<Made, Error> {
    let rack = Rack::of(arguments.stock.as_deref(), read.stock.as_deref())?;
    if arguments.take && rack.is_none() {
        return Err(Error::new(ErrorKind::Usage, "--take has no stock file to write")
            .hint("--stock FILE, or stock = \"FILE\" in the order"));
    }
    let inputs = read.inputs(rack.as_ref());
    let order = Making {
        output: &arguments.output.output,
        existing: if arguments.output.force { Existing::Replace } else { Existing::Keep },
        dxf: arguments.output.dxf.version(),
        paper: arguments.paper.map(PaperArgument::paper),
        effort: arguments.effort,
        time: arguments.time,
        is_alone,
        report: &arguments.report,
        inputs: &inputs,
        order: read.order.clone(),
        rack: rack.as_ref(),
        take: arguments.take,
    };
    make_entries(read.what.clone(), &order)
}

/// Where and how a set is made.
pub(super) struct Making<'a> {
    pub output: &'a Path,
    pub existing: Existing,
    pub dxf: DxfVersion,
    pub paper: Option<Paper>,
    pub effort: u32,
    /// Seconds after which the search for few sheets ends.
    pub time: Option<f64>,
    /// Whether no other set is made beside it: then its search is shown, and Ctrl-C ends it.
    pub is_alone: bool,
    pub report: &'a ReportArguments,
    /// The files that the set is made from.
    pub inputs: &'a [PathBuf],
    /// Whose it is, where an order file says so.
    pub order: Option<OrderFacts>,
    /// The stock file that it is cut from.
    pub rack: Option<&'a Rack>,
    /// Whether what is used is taken off it.
    pub take: bool,
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
    if entries.len() > 1 {
        entries.iter().try_for_each(|entry| cut_named(&entry.job))?;
    }
    let broken_off = order.rack.map(|rack| rack.broken_off(order.take, order.output));
    let broken_off = broken_off.transpose()?.flatten();
    let stock = order.rack.map(|rack| rack.stock.clone());
    let is_searched = is_searched(&entries);
    let set = watched(order.time, order.is_alone && is_searched, |watch| {
        Set::out_of(entries, order.effort, stock, watch)
    })?
    .for_order(order.order.clone());
    let findings: Vec<Finding> = set.all_findings().cloned().collect();
    let end = ending(&findings, order.report);
    let said = broken_off.unwrap_or_default() + &words(&set, &findings);
    if end != Ending::Done {
        return Ok(Made::unwritten(end, unmade_report(&set), said, &findings));
    }
    // What cannot be taken off is known before the set is written.
    let after = order.rack.filter(|_| order.take).map(|rack| Ok((rack, rack.after(&set)?)));
    let after = after.transpose()?;
    let bundle = Bundle::on_paper(&set, order.dxf, order.paper)?;
    let revisions = set.members.iter().map(|member| member.workup.fingerprint.to_string());
    let mut staging = order.staging(revisions.collect())?;
    staging.write(bundle.artifacts())?;
    let programs = bundle.proven(|artifact| staging.read_back(artifact))?;
    let text = [
        said,
        proven(&bundle, &set, &programs),
        totals(&set, bundle.machine_s()),
        listed((&set, &bundle), order.output),
    ]
    .concat();
    let report = bundle.report(programs);
    staging.write(std::slice::from_ref(&report))?;
    if let Some((rack, _)) = &after {
        rack.begin_taking(order.output, &report.bytes)?;
    }
    staging.publish()?;
    let text = match after {
        Some((rack, after)) => text + &rack.take(&set, &after)?,
        None => text,
    };
    let json = String::from_utf8_lossy(&report.bytes).into_owned();
    Ok(Made::written(json, text, order.output))
}

/// Whether sheets are searched for: of boards the best cuts are known at once.
fn is_searched(entries: &[Entry]) -> bool {
    let of_sheets =
        |entry: &&Entry| !entry.job.by_hand && entry.job.cut.material.form == Form::Sheet;
    let mut on_sheets = entries.iter().filter(of_sheets);
    on_sheets.clone().count() > 1 || on_sheets.any(|entry| is_laid_out(&entry.job))
}

/// What is cut together, or by a shop, is cut on a machine from a material: a job laid out by hand
/// names neither.
///
/// # Errors
/// If the job has no table `[cut]`.
pub(super) fn cut_named(job: &Job) -> Result<(), Error> {
    if !job.by_hand {
        return Ok(());
    }
    Err(Error::new(
        ErrorKind::Refused,
        "this job is laid out by hand: no machine and no material are named for what is asked",
    )
    .found(job.title.as_str())
    .allowed("a job with a table [cut]")
    .hint(
        "`seatcut make` of it alone writes its drawing and bench sheet; for the rest a line [cut], \
        and below it its keys: makes, machine, material",
    ))
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

/// Each job in a line or two, and all findings.
fn words(set: &Set, all: &[Finding]) -> String {
    if let ([only], true) = (&set.members[..], set.stairways.is_empty()) {
        return table::heading(&only.workup) + &told::findings(all);
    }
    let mut text = sections::whole_stairs(set);
    for (own, member) in set.members.iter().enumerate() {
        text.push_str(&table::heading(&member.workup));
        text.push_str(&told::rows(&found_in(set, &[own])));
        text.push('\n');
    }
    // What is found in several jobs is said once, behind them.
    for several in shared(set).iter().filter(|several| several.len() < set.members.len()) {
        let titles: Vec<&str> =
            several.iter().map(|i| set.members[*i].job().title.as_str()).collect();
        text.push_str(&hung(&titles.join("; "), "OF "));
        text.push_str(&told::rows(&found_in(set, several)));
        text.push('\n');
    }
    let every: Vec<usize> = (0..set.members.len()).collect();
    let mut rest = found_in(set, &every);
    rest.extend(set.findings.iter().cloned());
    text + &format!("OF EVERY JOB, AND OF ALL TOGETHER\n{}", told::findings(&rest))
}

/// The jobs of a set that a finding is found in.
fn jobs_with(set: &Set, finding: &Finding) -> Vec<usize> {
    let has = |i: &usize| set.members[*i].workup.findings.contains(finding);
    (0..set.members.len()).filter(has).collect()
}

/// What is found in just these jobs.
fn found_in(set: &Set, jobs: &[usize]) -> Vec<Finding> {
    let first = jobs.iter().take(1).flat_map(|first| &set.members[*first].workup.findings);
    first.filter(|finding| jobs_with(set, finding) == jobs).cloned().collect()
}

/// Every several jobs that have a finding in common which no other has.
fn shared(set: &Set) -> Vec<Vec<usize>> {
    let mut all: Vec<Vec<usize>> = Vec::new();
    for finding in set.members.iter().flat_map(|member| &member.workup.findings) {
        let jobs = jobs_with(set, finding);
        if jobs.len() > 1 && !all.contains(&jobs) {
            all.push(jobs);
        }
    }
    all
}

/// What was proven of each program and each sheet.
fn proven(bundle: &Bundle<'_>, set: &Set, programs: &[ProgramReport]) -> String {
    let sheets = set.sheets.iter().enumerate();
    let of_sheets =
        sheets.map(|(i, run)| hung(&sheet_line(run), &name_column(&names::sheet_picture(i))));
    let mut lines: String = programs.iter().map(program_line).chain(of_sheets).collect();
    if lines.is_empty() {
        let parts = bundle.artifacts().iter().filter(|of| of.name.ends_with(names::NOMINAL));
        let line = |of: &Artifact<'_>| {
            hung("The finished part's outline, to the last corner.", &name_column(&of.name))
        };
        lines = parts.map(line).collect();
    }
    for artifact in bundle.artifacts().iter().filter(|of| names::is_skirt(&of.name)) {
        lines += &hung("The skirt's outline, to the last corner.", &name_column(&artifact.name));
    }
    format!("\nPROVEN, read back from disk and held against the part\n{lines}")
}

/// Where the set lies, its files, and what to do next.
fn listed((set, bundle): (&Set, &Bundle<'_>), place: &Path) -> String {
    let own = bundle.artifacts().iter().map(|artifact| artifact.name.as_str());
    let names: Vec<&str> = own.chain([names::REPORT]).collect();
    let (folder, files) = (shown(place), hung(&names.join(", "), "  "));
    let sheets =
        [names::WORK_LIST_PAGE, names::BENCH_PAGE, names::BENCH_PRINT, names::DRAWING_PRINT];
    let sheet = sheets.iter().find_map(|of| names.iter().find(|name| name.ends_with(of)));
    let read = sheet.map(|name| hung(&format!("Open {folder}/{name} and check it."), "  "));
    let all = bundle.runs();
    let run = |run: &RunOf<'_>| hung(&run.told_among(&all), &name_column(&run.file));
    let runs: String = all.iter().map(run).collect();
    let next = match runs.is_empty() {
        true if set.members.iter().all(|of| of.job().stringer.has_steps()) => {
            "  Lay the stringer out by its numbers, or trace the drawing printed at full size\n  \
            (`seatcut pages`).\n"
                .to_string()
        }
        true => "  Lay the stringer out by its numbers.\n".to_string(),
        false => format!("  At the machine run in this order:\n{runs}"),
    };
    format!("\nFILES in {folder}\n{files}\nNEXT\n{}{next}", read.unwrap_or_default())
}

fn name_column(name: &str) -> String {
    format!("  {name:<15} ")
}

/// What was proven of a program.
fn program_line(program: &ProgramReport) -> String {
    let proven = &program.verified;
    let figure = |mm: f64| Tape::in_hand().finely(Length::mm(mm));
    let what = if program.offset_applied == "none" {
        format!("All {} marks where and as deep as planned, nothing else touched.", proven.marks)
    } else {
        let off = figure(proven.gouge_mm.max(proven.left_mm));
        let tabs = program.tabs.len();
        let held = if tabs == 0 { String::new() } else { format!(" {tabs} tabs hold it.") };
        let parts = match program.placements.len() {
            0 => "the table's holes for pins".to_string(),
            1 => "this part".to_string(),
            count => format!("these {count} parts"),
        };
        match program.leaves_mm {
            Some(left) => {
                let left = on_tape(Length::mm(left));
                format!(
                    "Roughs out {parts}, leaves {left} beside the line, off by {off} at most.{held}"
                )
            }
            None => format!("Cuts {parts} and nothing else, off by {off} at most.{held}"),
        }
    };
    hung(&what, &name_column(&program.file))
}
