//! What to type where a file is of another kind than is wanted.

use std::path::{Path, PathBuf};

use super::is::{Is, job_beside, jobs_in, of_kind_in};
use super::line::{Line, quoted};
use super::{Given, Place};
use crate::cli::input::{listed, read_text};
use crate::diagnostics::Error;
use crate::profile::{FileKind, TextKind, is_path, names_in_cut};

/// The most files that are named.
const MOST_NAMED: usize = 8;

/// The error with what to type.
pub(super) fn instead(error: Error, given: &[Given], wrong: usize, line: &Line) -> Error {
    let one = &given[wrong];
    if let Is::Near(meant) = &one.is {
        return error.hint(line.with(&[(&one.typed, &shown(meant))]).to_string());
    }
    let typed = Slip { given, one, line };
    match one.place {
        Place::Job | Place::JobOrOrder | Place::JobOrFolder => typed.for_a_job(error),
        Place::Held => typed.to_be_held(error),
        Place::Measured => typed.for_measurements(error),
        Place::Rack => typed.for_a_rack(error),
        Place::Profile(kind) => typed.for_a_profile(error, kind),
    }
}

/// A command that takes a file.
pub(super) fn command_for(one: &Given) -> String {
    let line = Line::new(vec!["solve".to_string(), one.typed.clone()]);
    let slip = Slip { given: std::slice::from_ref(one), one, line: &line };
    let (job, file) = (slip.job(), slip.file());
    match &one.is {
        Is::File(FileKind::Typed(TextKind::Job)) => {
            format!("seatcut solve {file}, or seatcut make {file} -o DIR")
        }
        Is::File(FileKind::Typed(kind)) => slip.goes(*kind),
        Is::File(kind) if kind.is_held() => format!("seatcut verify {job} {file}"),
        Is::Profile(kind) if kind == "machine" => format!("seatcut square {file} MATERIAL -o DIR"),
        Is::Folder => format!("seatcut batch {file} -o DIR, for a folder of jobs"),
        _ => slip.with_its_job(),
    }
}

/// A file that is none of its place, with all that was typed.
struct Slip<'a> {
    given: &'a [Given],
    one: &'a Given,
    line: &'a Line,
}

impl Slip<'_> {
    /// The job that was given beside it, or that lies beside it; else the word for one.
    fn job(&self) -> String {
        match self.other_job() {
            Some(job) => quoted(&job.typed),
            None => quoted(&shown(&self.job_that_lies_there())),
        }
    }

    /// The job that was given beside it.
    fn other_job(&self) -> Option<&Given> {
        let is_job = |of: &&Given| of.is == Is::File(FileKind::Typed(TextKind::Job));
        self.given.iter().filter(|of| of.typed != self.one.typed).find(is_job)
    }

    /// The one that lies beside it and was not given; else the word for one.
    fn job_that_lies_there(&self) -> PathBuf {
        let given: Vec<&Path> = self.given.iter().map(Given::path).collect();
        job_beside(self.one.path(), &given).unwrap_or(PathBuf::from("JOB"))
    }

    fn file(&self) -> String {
        quoted(&self.one.typed)
    }

    /// The line with another file in this one's place.
    fn with(&self, file: &Path) -> String {
        self.line.with(&[(&self.one.typed, &shown(file))]).to_string()
    }

    /// The line with the one job that lies beside the file in its place.
    fn with_its_job(&self) -> String {
        self.with(&self.job_that_lies_there())
    }

    fn for_a_job(&self, error: Error) -> Error {
        match &self.one.is {
            Is::File(FileKind::Typed(TextKind::Order)) => self.of_the_order(error),
            Is::Folder => self.of_the_folder(error),
            Is::Profile(kind) => error.hint(self.named_in_a_job(kind)),
            Is::Named(kind) => error.hint(self.named_in_a_job(kind)),
            Is::File(FileKind::Typed(kind)) => error.hint(self.in_place_of_a_job(*kind)),
            Is::File(kind) if kind.is_held() && self.other_job().is_some() => {
                error.hint(format!("seatcut verify {} {}", self.job(), self.file()))
            }
            _ => error.hint(self.with_its_job()),
        }
    }

    /// One of this program's own texts where a job is wanted: the line with a job, and where the
    /// text goes.
    fn in_place_of_a_job(&self, kind: TextKind) -> String {
        let (job, line) = (self.job(), self.with_its_job());
        let takes_rack = matches!(self.line.command(), "make" | "verify");
        let bare = self.line.without(&self.one.typed);
        match kind {
            TextKind::Stock if takes_rack && !self.line.has("--stock") => {
                let begin = if self.is_one_of_several() { bare.to_string() } else { line };
                format!("{begin} --stock {}", self.file())
            }
            TextKind::Stock => format!("{line}; the stock file: {}", self.goes(kind)),
            TextKind::Measurements if matches!(self.line.command(), "solve" | "diff") => {
                format!("seatcut fit {job} {}", self.file())
            }
            TextKind::Measurements => format!("{line}; the measurements: {}", self.goes(kind)),
            _ => line,
        }
    }

    /// Where one of this program's own texts goes.
    fn goes(&self, kind: TextKind) -> String {
        let (job, file) = (self.job(), self.file());
        match kind {
            TextKind::Stock => format!("seatcut make {job} -o DIR --stock {file}"),
            TextKind::Measurements => format!("seatcut fit {job} {file}"),
            TextKind::Order => format!("seatcut make {file} -o DIR"),
            _ => self.with_its_job(),
        }
    }

    fn is_one_of_several(&self) -> bool {
        self.given.iter().filter(|of| of.place == self.one.place).count() > 1
    }

    /// An order where one job is wanted: the first of its jobs.
    fn of_the_order(&self, error: Error) -> Error {
        let jobs = listed(self.one.path()).map(|listed| listed.jobs).unwrap_or_default();
        match jobs.first() {
            None => error.hint(self.with_its_job()),
            Some(first) => error.found(format!("it lists {}", named(&jobs))).hint(format!(
                "{}; all of them: seatcut make {} -o DIR",
                self.with(first),
                self.file()
            )),
        }
    }

    fn of_the_folder(&self, error: Error) -> Error {
        let jobs = jobs_in(self.one.path());
        match jobs.first() {
            Some(first) => {
                let mut hint = self.with(first);
                if self.one.place == Place::JobOrOrder && self.line.command() == "make" {
                    hint += &format!(
                        "; all of it, each job by itself: seatcut batch {} -o DIR",
                        self.file()
                    );
                }
                error.found(format!("in it {}", named(&jobs))).hint(hint)
            }
            None => {
                let made = of_kind_in(self.one.path(), FileKind::is_held);
                let found = match made.is_empty() {
                    true => "no job in it".to_string(),
                    false => "files that were made from a job, and no job".to_string(),
                };
                error.found(found).hint(self.with_its_job())
            }
        }
    }

    /// The line with a job, and the key of a job under which a profile stands.
    fn named_in_a_job(&self, kind: &str) -> String {
        format!("{}{}", self.with_its_job(), self.as_its_key(kind))
    }

    fn as_its_key(&self, kind: &str) -> String {
        let own = match (&self.one.is, is_path(&self.one.typed)) {
            (Is::Profile(_), false) => format!("./{}", self.one.typed),
            _ => self.one.typed.clone(),
        };
        match kind {
            "rules" => format!("; a line rules = \"{own}\" at the top of a job names this profile"),
            "machine" | "material" => {
                format!("; a line {kind} = \"{own}\" below [cut] in a job names this profile")
            }
            _ => String::new(),
        }
    }

    fn to_be_held(&self, error: Error) -> Error {
        let job = self.job();
        match &self.one.is {
            Is::File(FileKind::Typed(TextKind::Job)) => {
                error.hint(format!("seatcut diff {job} {}", self.file()))
            }
            Is::File(FileKind::Typed(TextKind::Empty)) => error.hint(format!(
                "seatcut make {job} -o DIR writes programs and drawings, and proves them"
            )),
            Is::File(FileKind::Typed(kind)) => error.hint(self.goes(*kind)),
            Is::Profile(kind) => {
                error.hint(format!("seatcut make {job} -o DIR{}", self.as_its_key(kind)))
            }
            Is::Folder => self.of_its_files(error, self.one.path()),
            _ => self.of_its_files(error, self.one.path().parent().unwrap_or(Path::new(""))),
        }
    }

    /// What lies in a folder and can be held, in place of the file.
    fn of_its_files(&self, error: Error, folder: &Path) -> Error {
        let held = of_kind_in(folder, FileKind::is_held);
        if held.is_empty() {
            let job = self.job();
            let hint =
                format!("seatcut make {job} -o DIR writes programs and drawings, and proves them");
            return error
                .found(format!("no program and no DXF drawing in {}", place(folder)))
                .hint(hint);
        }
        let files: Vec<String> =
            held.iter().take(MOST_NAMED).map(|of| quoted(&shown(of))).collect();
        let others: Vec<&Given> = self.given.iter().filter(|of| of.place == Place::Held).collect();
        let begin = others.iter().fold(self.line.clone(), |line, of| line.without(&of.typed));
        let more = match held.len() - files.len() {
            0 => String::new(),
            more => format!("; and {more} more that lie there"),
        };
        error.hint(format!("{begin} {}{more}", files.join(" ")))
    }

    fn for_measurements(&self, error: Error) -> Error {
        let (job, file) = (self.job(), self.file());
        match &self.one.is {
            Is::File(kind) if kind.is_held() => error.hint(format!("seatcut verify {job} {file}")),
            Is::File(FileKind::Typed(TextKind::Job)) if self.is_twice() => {
                error.hint(self.line.without(&self.one.typed).to_string())
            }
            Is::File(FileKind::Typed(TextKind::Job)) => {
                error.hint(format!("seatcut diff {job} {file}"))
            }
            Is::File(FileKind::Typed(TextKind::Stock)) => error
                .found("a rack says nothing of a stair as built")
                .hint(self.goes(TextKind::Stock)),
            Is::Folder => self.in_the_folder(error, TextKind::Measurements),
            _ => error.hint(format!(
                "{}, with FIT a file of a line [built] and below it heights: every tread top over \
                the lower floor, as measured",
                self.with(Path::new("FIT"))
            )),
        }
    }

    fn for_a_rack(&self, error: Error) -> Error {
        let (job, file) = (self.job(), self.file());
        match &self.one.is {
            Is::File(kind) if kind.is_held() => error.hint(format!("seatcut verify {job} {file}")),
            Is::File(FileKind::Typed(TextKind::Measurements)) => {
                error.hint(format!("seatcut fit {job} {file}"))
            }
            Is::Folder => self.in_the_folder(error, TextKind::Stock),
            Is::File(FileKind::Typed(TextKind::Job)) if self.is_twice() => {
                error.hint(self.line.without_option("--stock").to_string())
            }
            Is::File(FileKind::Typed(TextKind::Order)) if self.stock_of_the_order().is_some() => {
                let stock = self.stock_of_the_order().unwrap_or_default();
                error
                    .found(format!("it names the stock file {}", shown(&stock)))
                    .hint(self.line.with_option("--stock", &shown(&stock)).to_string())
            }
            _ => error.hint(format!(
                "{}, with STOCK a file of a table [[board]] or [[sheet]] for each kind at hand: \
                its material, length, count",
                self.line.with_option("--stock", "STOCK")
            )),
        }
    }

    fn stock_of_the_order(&self) -> Option<PathBuf> {
        listed(self.one.path())?.stock
    }

    /// The one file of a kind in a folder, in its place.
    fn in_the_folder(&self, error: Error, kind: TextKind) -> Error {
        let files = of_kind_in(self.one.path(), |of| of == FileKind::Typed(kind));
        match files.first() {
            Some(first) => error.found(format!("in it {}", named(&files))).hint(self.with(first)),
            None => error
                .found(format!("in it {} is not", kind.called()))
                .hint(self.with(Path::new("FILE"))),
        }
    }

    fn is_twice(&self) -> bool {
        self.given.iter().filter(|of| of.typed == self.one.typed).count() > 1
    }

    /// A profile for `square`: of a job the one that it names.
    fn for_a_profile(&self, error: Error, kind: &str) -> Error {
        let word = kind.to_uppercase();
        let of_job = match &self.one.is {
            Is::File(FileKind::Typed(TextKind::Job)) => self.of_the_job(kind),
            _ => None,
        };
        match of_job {
            Some(named) => error
                .found(format!("it names {kind} = \"{named}\""))
                .hint(self.line.with(&[(&self.one.typed, &named)]).to_string()),
            None => error.hint(format!(
                "{}, with {word} one of those that seatcut profiles lists, or your own",
                self.line.with(&[(&self.one.typed, &word)])
            )),
        }
    }

    /// The profile that a job names, as it is reached from here.
    fn of_the_job(&self, kind: &str) -> Option<String> {
        let named = names_in_cut(&read_text(self.one.path()).ok()?, kind)?;
        let folder = self.one.path().parent().unwrap_or(Path::new(""));
        let from_here = |named: &str| match folder == Path::new("") {
            true => named.to_string(),
            false => shown(&folder.join(named)),
        };
        Some(if is_path(&named) { from_here(&named) } else { named })
    }
}

fn shown(path: &Path) -> String {
    path.to_string_lossy().into_owned()
}

fn place(folder: &Path) -> String {
    if folder == Path::new("") { "this folder".to_string() } else { shown(folder) }
}

/// Files by their names, not too many.
fn named(files: &[PathBuf]) -> String {
    let few: Vec<String> = files.iter().take(MOST_NAMED).map(|of| shown(of)).collect();
    let more = if files.len() > few.len() { " and more" } else { "" };
    few.join(", ") + more
}
