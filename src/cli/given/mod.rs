//! What was given to a command: whether each file is of the kind that is wanted where it stands,
//! told before anything is read in earnest. Who exchanges two of them, gives the folder for the
//! file or a page for the program is told what it is, what is wanted there, and the whole line to
//! type.

mod instead;
mod is;
mod line;

use std::path::Path;

use super::args::{Command, SquareArguments};
use crate::diagnostics::{Error, ErrorKind};
use crate::profile::{FileKind, TextKind, kind_of_bytes};
use is::{Is, what_is};
use line::Line;

/// Where a file stands in a command.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Place {
    /// One job.
    Job,
    /// A job, or an order of several.
    JobOrOrder,
    /// A job, an order, or a folder of them.
    JobOrFolder,
    /// What is held against a job.
    Held,
    /// A stair as built.
    Measured,
    /// What lies in a rack.
    Rack,
    /// The profile of a kind: of a machine, of a material.
    Profile(&'static str),
}

impl Place {
    /// What is wanted there.
    fn wants(self) -> String {
        match self {
            Self::Job => "a job".to_string(),
            Self::JobOrOrder => "a job or an order".to_string(),
            Self::JobOrFolder => "a job, an order, or a folder of jobs".to_string(),
            Self::Held => "a machine's program or a DXF drawing".to_string(),
            Self::Measured => TextKind::Measurements.called().to_string(),
            Self::Rack => TextKind::Stock.called().to_string(),
            Self::Profile(kind) => is::profile_of(kind),
        }
    }

    /// Whether something may stand there. What is not known is let through: its reader says more.
    fn takes(self, is: &Is) -> bool {
        let typed = |wanted: TextKind| match is {
            Is::File(FileKind::Typed(kind)) => {
                *kind == wanted || matches!(kind, TextKind::Empty | TextKind::Unknown)
            }
            _ => false,
        };
        match (self, is) {
            (_, Is::Unread) => true,
            (Self::Held, Is::File(kind)) => {
                kind.is_held() || matches!(kind, FileKind::Typed(TextKind::Unknown))
            }
            (Self::Job, _) => typed(TextKind::Job),
            (Self::JobOrOrder, _) => typed(TextKind::Job) || typed(TextKind::Order),
            (Self::JobOrFolder, _) => {
                typed(TextKind::Job) || typed(TextKind::Order) || *is == Is::Folder
            }
            (Self::Measured, _) => typed(TextKind::Measurements),
            (Self::Rack, _) => typed(TextKind::Stock),
            (Self::Profile(kind), Is::Profile(of)) => kind == of,
            (Self::Profile(kind), Is::Named(of)) => kind == *of,
            (Self::Profile(_), _) => typed(TextKind::Profile),
            (Self::Held, _) => false,
        }
    }
}

/// A file as it was given.
#[derive(Clone, Debug)]
struct Given {
    place: Place,
    /// As it was typed.
    typed: String,
    is: Is,
}

impl Given {
    fn new(place: Place, path: &Path) -> Self {
        Self { place, typed: path.to_string_lossy().into_owned(), is: what_is(path) }
    }

    fn fits(&self) -> bool {
        self.place.takes(&self.is)
    }

    fn path(&self) -> &Path {
        Path::new(&self.typed)
    }
}

/// The files of a command, in the order in which they are typed.
fn files_of(command: &Command) -> Vec<Given> {
    let job = |path: &Path| Given::new(Place::Job, path);
    match command {
        Command::Solve { job: path, .. } | Command::Pages { job: path, .. } => vec![job(path)],
        Command::Order(order) => vec![job(&order.job)],
        // What is not there yet is begun.
        Command::Draft { job: Some(path), .. } if path.is_file() => vec![job(path)],
        Command::Diff { old, new, .. } => vec![job(old), job(new)],
        Command::Fit { job: path, measured, .. } => {
            let measured = measured.iter().map(|path| Given::new(Place::Measured, path));
            [job(path)].into_iter().chain(measured).collect()
        }
        Command::Make(make) => {
            let jobs = make.jobs.iter().map(|path| Given::new(Place::JobOrOrder, path));
            jobs.chain(make.stock.iter().map(|path| Given::new(Place::Rack, path))).collect()
        }
        Command::Batch(batch) => {
            batch.jobs.iter().map(|path| Given::new(Place::JobOrFolder, path)).collect()
        }
        Command::Verify { job: path, files, stock, .. } => {
            let held = files.iter().map(|path| Given::new(Place::Held, path));
            let rack = stock.iter().map(|path| Given::new(Place::Rack, path));
            [Given::new(Place::JobOrOrder, path)].into_iter().chain(held).chain(rack).collect()
        }
        Command::Square(square) => of_square(square),
        _ => Vec::new(),
    }
}

fn of_square(square: &SquareArguments) -> Vec<Given> {
    let machine = Given::new(Place::Profile("machine"), Path::new(&square.machine));
    let material = square.material.as_ref();
    let material = material.map(|of| Given::new(Place::Profile("material"), Path::new(of)));
    [machine].into_iter().chain(material).collect()
}

/// That what a command was given is of the kinds that it wants. Where `verify` has something to
/// hold, it tells of the rest itself.
///
/// # Errors
/// If one is not: what it is, what is wanted, and the line to type.
pub(super) fn of_its_kind(command: &Command, arguments: Vec<String>) -> Result<(), Error> {
    let given = files_of(command);
    // Who asks for a report gets one of what is not held too.
    let is_reported = matches!(command, Command::Verify { report, .. } if report.json);
    let is_held = is_reported || given.iter().any(|of| of.place == Place::Held && of.fits());
    let may_pass = |of: &Given| of.place == Place::Held && is_held && matches!(of.is, Is::File(_));
    match given.iter().position(|one| !one.fits() && !may_pass(one)) {
        Some(wrong) => Err(told(&given, wrong, &Line::new(arguments))),
        None => Ok(()),
    }
}

/// What is said where a file stands in the place of the command; none where nothing is there that
/// can be read.
pub(super) fn without_a_command(file: &Path) -> Option<Error> {
    let one = Given::new(Place::Job, file);
    if matches!(one.is, Is::Unread | Is::Near(_) | Is::Named(_)) {
        return None;
    }
    let error =
        Error::new(ErrorKind::Usage, format!("this is {}, and no command", one.is.called()));
    let hint = instead::command_for(&one);
    Some(
        error
            .in_file(&one.typed)
            .allowed("a command before its files: `seatcut help` lists them")
            .hint(hint),
    )
}

/// What the bytes of a file are that can not be held against a job; none of what can.
pub(super) fn not_held(bytes: &[u8]) -> Option<String> {
    let is = Is::File(kind_of_bytes(bytes));
    (!Place::Held.takes(&is)).then(|| is.called())
}

/// What is said of files that nothing can be held of, each by its name and what it is.
pub(super) fn passed_over(over: &[(String, String)]) -> Error {
    let wants = Place::Held.wants();
    if let [(name, is)] = over {
        let error = Error::new(ErrorKind::NotThisPart, format!("this is {is}, not {wants}"));
        return error.in_file(name).hint("give `verify` the programs and the DXF drawings alone");
    }
    let mut kinds: Vec<(&str, Vec<&str>)> = Vec::new();
    for (name, is) in over {
        match kinds.iter_mut().find(|(of, _)| of == is) {
            Some((_, names)) => names.push(name),
            None => kinds.push((is, vec![name])),
        }
    }
    let all: Vec<String> =
        kinds.iter().map(|(is, names)| format!("{is}: {}", names.join(", "))).collect();
    Error::new(ErrorKind::NotThisPart, format!("{} of these files are passed over", over.len()))
        .found(all.join("; "))
        .allowed(wants)
        .hint("give `verify` the programs and the DXF drawings alone")
}

/// What is said of a file that is none of its place.
fn told(given: &[Given], wrong: usize, line: &Line) -> Error {
    let one = &given[wrong];
    let (is, wants) = (one.is.called(), one.place.wants());
    let kind = match (one.place, &one.is) {
        (_, Is::Near(_) | Is::Folder) => ErrorKind::File,
        (Place::Held, _) => ErrorKind::NotThisPart,
        _ => ErrorKind::Input,
    };
    let is_exchanged = line.exchanged(given);
    let what = match (&one.is, &is_exchanged) {
        (Is::Near(_), _) => "cannot be read: there is no such file".to_string(),
        (_, Some(_)) => format!("this is {is}, not {wants}: two files are exchanged"),
        _ => format!("this is {is}, not {wants}"),
    };
    let error = Error::new(kind, what).in_file(&one.typed);
    match is_exchanged {
        Some(line) => error.hint(line),
        None => instead::instead(error, given, wrong, line),
    }
}
