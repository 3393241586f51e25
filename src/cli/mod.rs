//! The command line: the only place that knows arguments, files, the terminal and exit codes.

mod args;
mod ask;
mod batch;
mod beside_stringer;
mod catalogue;
mod console;
mod diff;
mod draft;
mod explain;
mod fit;
mod given;
mod glossary;
mod input;
mod io_words;
mod judged;
mod key_words;
mod letter;
mod made;
mod make;
mod named;
mod nearest;
mod order;
mod output_file;
mod output_set;
mod pages;
mod place;
mod search;
mod sections;
mod solve;
mod square;
mod stock_file;
mod table;
mod taking;
mod told;
mod verify;

use std::path::Path;
use std::process::ExitCode;

use clap::{CommandFactory, Parser};

use crate::bundle::unmade_report;
use crate::diagnostics::{Error, ErrorKind, Finding, Severity};
use crate::pipeline::set::{Entry, Set};
use args::{Arguments, Command};
use console::Console;

/// How a command ended, when it ended well enough to have nothing to say on stderr.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Ending {
    Done,
    Refused,
    DeniedWarnings,
    NotThisPart,
}

/// Runs the command that the process was started with.
pub fn run() -> ExitCode {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(error) => {
            // Help and version are no errors; what cannot be printed is nobody's loss.
            if !error.use_stderr() {
                let _ = error.print();
                return ExitCode::SUCCESS;
            }
            let typed = std::env::args_os().nth(1).unwrap_or_default();
            match given::without_a_command(Path::new(&typed)) {
                Some(error) => Console::new().complain(&error),
                None => Console::new().complain_of_usage(&error.render().to_string()),
            }
            return ExitCode::from(2);
        }
    };
    let console = Console::new();
    output_set::clean_up_when_interrupted();
    let typed = std::env::args_os().skip(1).map(|word| word.to_string_lossy().into_owned());
    let of_its_kind = given::of_its_kind(&arguments.command, typed.collect());
    match of_its_kind.and_then(|()| dispatch(&arguments, &console)) {
        Ok(ending) => ExitCode::from(match ending {
            Ending::Done => 0,
            Ending::Refused => 4,
            Ending::DeniedWarnings => 5,
            Ending::NotThisPart => 6,
        }),
        Err(error) => {
            output_set::leave_to_the_signal();
            console.complain(&error);
            ExitCode::from(exit_code(error.kind()))
        }
    }
}

fn dispatch(arguments: &Arguments, console: &Console) -> Result<Ending, Error> {
    match &arguments.command {
        Command::New { file } => catalogue::new_job(file, console),
        Command::Ask { file } => ask::ask(file, console),
        Command::Draft { job, port, no_open } => {
            draft::draft(job.as_deref(), *port, !no_open, console)
        }
        Command::Solve { job, report } => solve::solve(job, report, console),
        Command::Make(make) => make::make(make, console),
        Command::Batch(batch) => batch::batch(batch, console),
        Command::Pages { job, flight, output, paper, force } => {
            let existing =
                if *force { output_set::Existing::Replace } else { output_set::Existing::Keep };
            pages::pages(job, flight.flight, output, paper.as_deref(), existing, console)
        }
        Command::Order(order) => order::order(order, console),
        Command::Square(square) => square::square(square, console),
        Command::Diff { old, new, flight, json } => {
            diff::diff((old, new), flight.flight, *json, console)
        }
        Command::Verify { job, effort, stock, files, report } => {
            verify::verify(job, (*effort, stock.as_deref()), files, report, console)
        }
        Command::Fit { job, measured, flight, report } => {
            fit::fit(job, flight.flight, measured.as_deref(), report, console)
        }
        Command::Profiles { name } => catalogue::profiles(name.as_deref(), console),
        Command::Explain { word } => explain::explain(&word.join(" "), console),
        Command::Completions { shell } => {
            let mut text = Vec::new();
            clap_complete::generate(*shell, &mut Arguments::command(), "seatcut", &mut text);
            console.print_bytes(&text)?;
            Ok(Ending::Done)
        }
        Command::Man => {
            let mut page = Vec::new();
            clap_mangen::Man::new(Arguments::command()).render(&mut page).map_err(|e| {
                Error::new(ErrorKind::Internal, format!("the manual page could not be made: {e}"))
            })?;
            console.print_bytes(&page)?;
            Ok(Ending::Done)
        }
    }
}

fn exit_code(kind: ErrorKind) -> u8 {
    match kind {
        ErrorKind::Internal => 1,
        ErrorKind::Usage => 2,
        ErrorKind::Input => 3,
        ErrorKind::Refused => 4,
        ErrorKind::NotThisPart => 6,
        ErrorKind::File | ErrorKind::Taken | ErrorKind::Foreign => 7,
    }
}

/// The ending that findings call for.
fn ending(findings: &[Finding], report: &args::ReportArguments) -> Ending {
    if findings.iter().any(Finding::refuses) {
        return Ending::Refused;
    }
    let warned = findings.iter().any(|f| f.severity == Severity::Warning);
    if warned && report.deny_warnings { Ending::DeniedWarnings } else { Ending::Done }
}

/// An error that stops jobs which mean something else than they say, with their report printed
/// where it was asked for: what refuses is in it.
fn reported(
    error: Error,
    entries: Vec<Entry>,
    report: &args::ReportArguments,
    console: &Console,
) -> Error {
    if !report.json || error.kind() != ErrorKind::Refused {
        return error;
    }
    match console.print(&unmade_report(&Set::refused_of(entries))) {
        Ok(()) => error,
        Err(unprinted) => unprinted,
    }
}
