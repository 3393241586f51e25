//! `square`: test squares for a machine, and what its measured figures say.

use std::path::{Path, PathBuf};

use super::Ending;
use super::args::SquareArguments;
use super::console::{Console, shown};
use super::input::{FromFiles, profile};
use super::made::in_place_all_the_same;
use super::output_set::{Existing, Goal, SetKind, Staging};
use super::told::{self, hung};
use crate::bundle::SquareSet;
use crate::cam::plan::{SquareProgram, plan_square};
use crate::cam::square::{Cut, Measured, Reading, Sizes};
use crate::diagnostics::{Error, ErrorKind, Finding, gathered};
use crate::output::bench;
use crate::output::report::VerifiedReport;
use crate::output::square::{bad_measure, reading_report, reckoned, steps, told as told_of};
use crate::profile::{Machine, Material};
use crate::units::{Bare, Length, Tape, minutes, read_length};

/// Writes a test square, or reads what was measured on one.
pub(super) fn square(arguments: &SquareArguments, console: &Console) -> Result<Ending, Error> {
    let FromFiles { what: machine, files, .. } =
        profile("machine", &arguments.machine, Machine::read)?;
    machine.units.tape().take_in_hand();
    match (&arguments.outside, &arguments.inside, &arguments.small) {
        (Some(outside), Some(inside), Some(small)) => {
            let diagonals = arguments.diagonals.as_deref();
            let measured = Measured {
                outside: pair("--outside", outside)?,
                inside: pair("--inside", inside)?,
                small: pair("--small", small)?,
                diagonals: diagonals.map(|typed| pair("--diagonals", typed)).transpose()?,
            };
            read(&machine, &measured, arguments.json, console)
        }
        _ => made(machine, files, arguments, console),
    }
}

/// What the figures say.
fn read(
    machine: &Machine,
    measured: &Measured,
    as_json: bool,
    console: &Console,
) -> Result<Ending, Error> {
    let cut = Cut { sizes: Sizes::of(machine.units), width: machine.tool.width() };
    let reading = Reading::of(&cut, measured).map_err(|problem| bad_measure(machine, &problem))?;
    if as_json {
        console.print(&reading_report(machine, &reading))?;
    } else {
        let told = told_of(machine, &cut, &reading);
        console.print(&told.iter().map(|line| hung(line, "  ")).collect::<String>())?;
    }
    Ok(Ending::Done)
}

/// Two lengths, X first.
fn pair(option: &str, typed: &str) -> Result<[Length; 2], Error> {
    let refused = |found: &str, what: &str| {
        Error::new(ErrorKind::Usage, format!("{option}: {what}"))
            .found(found)
            .allowed("two lengths with their units, X first")
            .hint(format!("{option} \"4.003 in x 4.001 in\""))
    };
    let Some((x, y)) = typed.split_once(" x ") else {
        return Err(refused(typed, "two figures are wanted, with ` x ` between them"));
    };
    let length = |text: &str| {
        let read = read_length(text.trim(), Bare::Refused).ok().map(|reading| reading.length);
        read.filter(|length| *length > Length::ZERO)
            .ok_or_else(|| refused(text.trim(), "this is no length with a unit"))
    };
    Ok([length(x)?, length(y)?])
}

fn made(
    machine: Machine,
    mut files: Vec<PathBuf>,
    arguments: &SquareArguments,
    console: &Console,
) -> Result<Ending, Error> {
    let (Some(material), Some(target)) = (&arguments.material, &arguments.output) else {
        return Err(Error::new(
            ErrorKind::Usage,
            "what is it cut from, and where do the files go?",
        )
        .allowed("a material and -o DIR; or --outside, --inside and --small with what was measured")
        .hint("seatcut square MACHINE MATERIAL -o DIR"));
    };
    let read = profile("material", material, Material::read)?;
    files.extend(read.files);
    let material = match &arguments.stock {
        Some(stock) => {
            let [length, width] = pair("--stock", stock)?;
            Material { length, width, ..read.what }
        }
        None => read.what,
    };
    let mut findings = Vec::new();
    let planned = gathered(plan_square(&machine, &material), &mut findings);
    let refused = findings.iter().any(Finding::refuses);
    let Some(square) = planned.filter(|_| !refused) else {
        console.print(&told::findings(&findings))?;
        console.tell("refused, nothing was written; `seatcut explain CODE` says what to do");
        return Ok(Ending::Refused);
    };
    written(&square, &findings, target, &files, arguments, console)
}

/// Writes the set, reads it back, proves it, and tells what to do with it.
fn written(
    square: &SquareProgram,
    findings: &[Finding],
    target: &Path,
    inputs: &[PathBuf],
    arguments: &SquareArguments,
    console: &Console,
) -> Result<Ending, Error> {
    let set = SquareSet::of(square, bench::paper(), &arguments.machine)?;
    let existing = if arguments.force { Existing::Replace } else { Existing::Keep };
    let (kind, revisions) = (SetKind::Made, vec![set.revision()]);
    let mut staging = Staging::begin(Goal { target, existing, kind, revisions, inputs })?;
    staging.write(set.artifacts())?;
    let verified = set.proven(|artifact| staging.read_back(artifact))?;
    let text = words(square, &set, &verified, findings, (target, &arguments.machine));
    let report = set.report(verified);
    staging.write(std::slice::from_ref(&report))?;
    staging.publish()?;
    let json = String::from_utf8_lossy(&report.bytes);
    console
        .print(if arguments.json { &json } else { &text })
        .map_err(|error| in_place_all_the_same(error, target))?;
    Ok(Ending::Done)
}

fn words(
    square: &SquareProgram,
    set: &SquareSet<'_>,
    verified: &VerifiedReport,
    findings: &[Finding],
    (target, name): (&Path, &str),
) -> String {
    let names: Vec<&str> = set.artifacts().iter().map(|file| file.name.as_str()).collect();
    let off = Tape::in_hand().finely(Length::mm(verified.gouge_mm.max(verified.left_mm)));
    let tabs = match square.program.tabs.len() {
        0 => String::new(),
        count => format!(" {count} tabs hold them."),
    };
    let proven = format!(
        "{}: cuts these two squares with the hole of one and nothing else, off by {off} at \
        most.{tabs} {}.",
        names[0],
        minutes(square.program.time_s)
    );
    let found = if findings.is_empty() { String::new() } else { told::findings(findings) };
    let order = match names.len() {
        3 => format!("At the machine run {} first, then {}.", names[1], names[0]),
        _ => format!("At the machine run {}.", names[0]),
    };
    let numbered = steps(square, name).into_iter().enumerate();
    let steps: String = numbered.map(|(i, step)| hung(&step, &format!("  {}. ", i + 1))).collect();
    let sums: String = reckoned(square).iter().map(|sum| hung(sum, "  ")).collect();
    format!(
        "{found}\nPROVEN, read back from disk\n{}\nFILES in {}\n{}\nNEXT\n{}{steps}\nSUMS, by the \
        numbers of the figures on the page\n{sums}",
        hung(&proven, "  "),
        shown(target),
        hung(&[&names[..], &["report.json"]].concat().join(", "), "  "),
        hung(&order, "  ")
    )
}
