//! What the page may ask for, and nothing else: the job's fields, its folder's jobs by their names,
//! the set that was made here. No path comes from the page.

use std::cell::RefCell;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

use serde::Deserialize;

use super::document::Document;
use super::http::{Answer, MADE, Request};
use super::typed::with_field;
use super::view::{State, state};
use crate::bundle::names::{self, free_of};
use crate::cli::args::ReportArguments;
use crate::cli::catalogue::folder_beside;
use crate::cli::{input, verify};
use crate::diagnostics::{Error, ErrorKind};
use crate::job::{PARTS, Part, QUESTIONS, Question, Step, Wanted, begun};
use crate::pipeline::set::Entry;
use crate::units::Tape;

const PAGE: &str = include_str!("page.html");
const STYLE: &str = include_str!("draft.css");
const SCRIPT: &str = include_str!("draft.js");
/// The longest body that a field's text comes in, in bytes.
const LONGEST_FIELD: usize = 64 << 10;
/// The longest drawing or program that is held against the job here, in bytes.
const LONGEST_FILE: usize = 32 << 20;
/// The most characters of a dropped file's name that are shown.
const LONGEST_NAME: usize = 100;
/// The effort of a `make` that names none.
const USUAL_EFFORT: u32 = 1;
/// The most jobs of a folder that are listed.
const MOST_JOBS: usize = 200;

/// A job on the bench, and who may touch it.
pub(super) struct Bench {
    /// What stands in the address: whoever has it may work here.
    token: String,
    /// The address without it, as a browser names it.
    host: String,
    open: Mutex<Open>,
}

struct Open {
    document: Document,
    /// Where the last set was put, and the names of its files.
    made: Option<(PathBuf, Vec<String>)>,
}

/// What a field was changed to.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Field {
    key: String,
    value: String,
    /// The job that it was typed for: another page may have opened another since.
    of: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Begin {
    tape: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Named {
    name: String,
}

/// A set to make: whether it takes the place of one that seatcut made there for another measure.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Asked {
    replace: bool,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Nothing {}

impl Bench {
    pub(super) fn new(document: Document, token: String, port: u16) -> Self {
        // A browser leaves the usual port out of what it sends.
        let host = if port == 80 { "127.0.0.1".to_string() } else { format!("127.0.0.1:{port}") };
        Self { token, host, open: Mutex::new(Open { document, made: None }) }
    }

    /// The address to open.
    pub(super) fn address(&self) -> String {
        format!("http://{}/{}/", self.host, self.token)
    }

    /// How long the body of a request may be; who may not ask at all is told before he sends it.
    pub(super) fn longest(&self, request: &Request) -> Result<usize, Answer> {
        self.guard(request)?;
        Ok(match (request.method.as_str(), self.within(request)) {
            ("POST", Some("verify")) => LONGEST_FILE,
            ("POST", _) => LONGEST_FIELD,
            _ => 0,
        })
    }

    /// Whether a request comes from the page that this is, and no other.
    fn guard(&self, request: &Request) -> Result<(), Answer> {
        if request.header("host") != Some(&self.host) {
            return Err(Answer::refused(403, "this address is not served here"));
        }
        let origin = format!("http://{}", self.host);
        let from_here = match request.has("origin") {
            true => request.header("origin") == Some(&origin),
            false => request.method == "GET",
        };
        let site = request.header("sec-fetch-site");
        let same_site = !request.has("sec-fetch-site")
            || site == Some("same-origin")
            || site == Some("none") && request.method == "GET";
        if !from_here || !same_site {
            return Err(Answer::refused(403, "asked from elsewhere"));
        }
        if !matches!(request.method.as_str(), "GET" | "POST") {
            return Err(Answer::refused(405, "neither asked for nor sent"));
        }
        if self.within(request).is_none() {
            return Err(Answer::refused(404, "there is nothing here"));
        }
        let kind = match self.within(request) {
            Some("verify") => "application/octet-stream",
            _ => "application/json",
        };
        if request.method == "POST" && request.header("content-type") != Some(kind) {
            return Err(Answer::refused(400, "this is no field"));
        }
        Ok(())
    }

    /// What stands in the address behind the token; none without the token.
    fn within<'r>(&self, request: &'r Request) -> Option<&'r str> {
        let (token, rest) = request.path().strip_prefix('/')?.split_once('/')?;
        let same = token.len() == self.token.len();
        // Every letter is compared, so that how long it takes tells nothing of how many are right.
        let differ = token.bytes().zip(self.token.bytes()).fold(0, |all, (a, b)| all | (a ^ b));
        (same && differ == 0).then_some(rest)
    }

    /// Answers a request.
    pub(super) fn answer(&self, request: &Request) -> Answer {
        if let Err(refused) = self.guard(request) {
            return refused;
        }
        let what = self.within(request).unwrap_or_default();
        if request.method == "POST" {
            return self.change(what, request);
        }
        match what {
            "" => Answer::new("text/html; charset=utf-8", PAGE),
            "draft.css" => Answer::new("text/css; charset=utf-8", STYLE),
            "draft.js" => Answer::new("text/javascript; charset=utf-8", SCRIPT),
            "questions" => json(&questions()),
            "state" => {
                let mut open = self.open();
                let looked = open.document.look();
                shown(&open, looked.err(), String::new())
            }
            "revision" => {
                let mut open = self.open();
                let _ = open.document.look();
                json(&serde_json::json!({ "revision": open.document.revision }))
            }
            _ => self.made(what.strip_prefix("made/").unwrap_or_default()),
        }
    }

    fn open(&self) -> MutexGuard<'_, Open> {
        // Every change of a document is whole before anything that could end badly.
        self.open.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// A file of the set that was made here, by its name.
    fn made(&self, name: &str) -> Answer {
        let open = self.open();
        let known = open.made.as_ref().and_then(|(folder, names)| {
            names.iter().find(|own| *own == name).map(|own| folder.join(own))
        });
        let read = known.and_then(|path| fs::read(path).ok());
        let Some(bytes) = read else {
            return Answer::refused(404, "there is nothing here");
        };
        let kind = match name.rsplit('.').next() {
            Some("html") => {
                let page = Answer::new("text/html; charset=utf-8", bytes);
                return Answer { policy: MADE, ..page };
            }
            Some("svg") => "image/svg+xml",
            Some("pdf") => "application/pdf",
            Some("json") => "application/json",
            _ => "text/plain; charset=utf-8",
        };
        Answer::new(kind, bytes)
    }

    fn change(&self, what: &str, request: &Request) -> Answer {
        let (mut open, body) = (self.open(), &request.body);
        let mut said = String::new();
        let mut tell = |words: String| said = words;
        let done = match what {
            "set" => read(body).and_then(|field| set(&mut open.document, &field)),
            "rest" => read::<Nothing>(body).map(|_| open.document.rest()),
            "undo" => read::<Nothing>(body).and_then(|_| open.document.undo()),
            "redo" => read::<Nothing>(body).and_then(|_| open.document.redo()),
            "save" => read::<Nothing>(body).and_then(|_| open.document.save()),
            "theirs" => read::<Nothing>(body).and_then(|_| open.document.take_theirs()),
            "ours" => read::<Nothing>(body).and_then(|_| open.document.keep_ours()),
            "new" => read(body).and_then(|of: Begin| open.begin(&of.tape)),
            "open" => read(body).and_then(|of: Named| open.take_up(&of.name)),
            "make" => read(body).and_then(|of: Asked| open.make(of.replace).map(&mut tell)),
            "order" => read(body).and_then(|of: Asked| open.order(of.replace).map(&mut tell)),
            "verify" => {
                let name = request.queried("name").unwrap_or_default();
                held(&open.document, &name, body).map(&mut tell)
            }
            _ => return Answer::refused(404, "there is nothing here"),
        };
        shown(&open, done.err(), said)
    }
}

impl Open {
    /// The set of the job, as the command makes it: saved first, so that the file is what was made.
    fn make(&mut self, replace: bool) -> Result<String, Error> {
        self.document.save()?;
        let job = self.document.path();
        let folder = folder_beside(&job)?;
        let made = super::made(&job, &folder, replace).map_err(on_the_page)?;
        self.made = made.place.as_ref().map(|folder| (folder.clone(), listed(&made.json)));
        Ok([made.words, made.complaint.unwrap_or_default()].concat())
    }

    /// The order of the job, beside it.
    fn order(&mut self, replace: bool) -> Result<String, Error> {
        self.document.save()?;
        let job = self.document.path();
        let mut folder = folder_beside(&job)?.into_os_string();
        folder.push("-order");
        let ordered = super::ordered(&job, Path::new(&folder), replace).map_err(on_the_page)?;
        Ok([ordered.words, ordered.complaint.unwrap_or_default()].concat())
    }

    /// Another job of the folder.
    fn take_up(&mut self, name: &str) -> Result<(), Error> {
        if !jobs(self.document.folder()).iter().any(|job| job == name) {
            return Err(Error::new(ErrorKind::Input, "no job of this name lies in the folder"));
        }
        if name == self.document.name() {
            return Ok(());
        }
        self.put(Document::open(self.document.folder(), name)?);
        Ok(())
    }

    /// A new job under a name that is free.
    fn begin(&mut self, tape: &str) -> Result<(), Error> {
        let tape = match tape {
            "in" => Tape::Inches,
            "mm" => Tape::Metric,
            _ => return Err(Error::new(ErrorKind::Input, "a tape is in or mm")),
        };
        let folder = self.document.folder().to_path_buf();
        let name = free_name(&folder);
        let mut document = Document::open(&folder, &name)?;
        document.change(begun(name.trim_end_matches(".toml"), tape), None)?;
        self.put(document);
        Ok(())
    }

    fn put(&mut self, mut document: Document) {
        // A page that shows the job before must not take the other for it.
        document.revision += self.document.revision;
        (self.document, self.made) = (document, None);
    }
}

/// A name that no job of the folder has, saved or not.
pub(super) fn free_name(folder: &Path) -> String {
    let lies = |name: String| folder.join(name).symlink_metadata().is_ok();
    let is_taken = |name: &str| {
        lies(format!("{name}.toml"))
            || lies(format!(".{name}.toml.draft"))
            || lies(format!(".{name}.toml.draft-lock"))
    };
    free_of("stair", is_taken) + ".toml"
}

fn set(document: &mut Document, field: &Field) -> Result<(), Error> {
    if field.of.as_ref().is_some_and(|of| *of != document.name()) {
        return Err(Error::new(
            ErrorKind::Input,
            "another job was opened meanwhile, on another page",
        )
        .found(field.value.as_str())
        .hint("open the job anew that this is for, and type it there"));
    }
    let Some(text) = with_field(document.text(), &field.key, &field.value) else {
        return Err(Error::new(ErrorKind::Input, "the job's text cannot be changed from here")
            .hint("mend it in the file; it is read again at once"));
    };
    document.change(text, Some(&field.key))
}

/// What the command says of a set that cannot be written, with what can be done about it here.
fn on_the_page(error: Error) -> Error {
    match error.kind() {
        ErrorKind::Taken => error.hint("tick Replace below the buttons, or move that folder away"),
        ErrorKind::Foreign => error.hint("move what is named there to another place"),
        _ => error,
    }
}

/// A file that was dropped on the page, held against the job as it stands there.
fn held(document: &Document, name: &str, bytes: &[u8]) -> Result<String, Error> {
    let job = input::job_of(&document.path(), document.text())?.what;
    job.tape.take_in_hand();
    // It is a name to be called by, and no place.
    let name = name.rsplit(['/', '\\']).next().unwrap_or_default();
    let name: String = name.chars().take(LONGEST_NAME).collect();
    let mut files = std::iter::once(Ok((name, bytes.to_vec())));
    let complaints = RefCell::new(String::new());
    let complain = |error: &Error| complaints.borrow_mut().push_str(&format!("{error}\n"));
    let entries = (vec![Entry { job, times: 1 }], None, (USUAL_EFFORT, None));
    let (text, _) = verify::held(entries, &mut files, &ReportArguments::default(), &complain)?;
    Ok(complaints.into_inner() + &text)
}

/// The names of the files that a report lists, and its own.
fn listed(report: &str) -> Vec<String> {
    let report: serde_json::Value = serde_json::from_str(report).unwrap_or_default();
    let files = report["files"].as_array().cloned().unwrap_or_default();
    let name = |file: &serde_json::Value| file["name"].as_str().map(str::to_string);
    files.iter().filter_map(name).chain([names::REPORT.to_string()]).collect()
}

fn read<'b, T: Deserialize<'b>>(body: &'b [u8]) -> Result<T, Error> {
    serde_json::from_slice(body).map_err(|_| Error::new(ErrorKind::Input, "this is no field"))
}

fn json(value: &impl serde::Serialize) -> Answer {
    Answer::new("application/json", serde_json::to_vec(value).expect("plain types are written"))
}

/// The state, with what went wrong.
fn shown(open: &Open, wrong: Option<Error>, said: String) -> Answer {
    let made = open.made.as_ref().map_or(Vec::new(), |(_, names)| names.clone());
    let wrong = wrong.map_or(String::new(), |error| error.to_string());
    let jobs = jobs(open.document.folder());
    let mut state: State = state(&open.document);
    (state.wrong, state.said, state.jobs, state.made) = (wrong, said, jobs, made);
    json(&state)
}

/// The jobs of a folder, by name.
fn jobs(folder: &Path) -> Vec<String> {
    let Ok(there) = fs::read_dir(folder) else { return Vec::new() };
    let mut names: Vec<String> = there.flatten().filter_map(job_of_entry).collect();
    names.sort();
    names.dedup();
    names.truncate(MOST_JOBS);
    names
}

/// The job that a file is, or that was typed and never saved where it is hidden. What a link leads
/// to is drafted by its own name.
fn job_of_entry(entry: fs::DirEntry) -> Option<String> {
    let name = entry.file_name().into_string().ok()?;
    let name = match name.strip_prefix('.') {
        Some(hidden) => hidden.strip_suffix(".draft")?.to_string(),
        None => name,
    };
    let is_file = entry.file_type().is_ok_and(|of| of.is_file());
    (is_file && name.ends_with(".toml")).then_some(name)
}

/// The form, as the page builds it.
fn questions() -> serde_json::Value {
    let field = |asked: &Question| {
        let kind = match asked.wanted {
            Wanted::Length => "length",
            Wanted::Count => "count",
            Wanted::Word(_) | Wanted::Profile(_) => "choice",
            Wanted::Text => "text",
        };
        serde_json::json!({
            "key": asked.key, "asks": asked.asks, "means": asked.means, "kind": kind,
            "choices": asked.choices(),
            "usual": [asked.usual_by(Tape::Inches), asked.usual_by(Tape::Metric)],
        })
    };
    let step = |step: &Step| {
        let own = |part: Option<&Part>| -> Vec<_> {
            let of = |asked: &&Question| asked.step == *step && asked.part() == part;
            QUESTIONS.iter().filter(of).map(field).collect()
        };
        let parts = PARTS.iter().map(|part| (part, own(Some(part))));
        let part = |(part, fields): (&Part, Vec<serde_json::Value>)| serde_json::json!({ "table": part.table, "word": part.word, "asks": part.asks, "means": part.means, "fields": fields });
        let parts = parts.filter(|(_, fields)| !fields.is_empty()).map(part);
        serde_json::json!({ "title": step.title(), "fields": own(None), "parts": parts.collect::<Vec<_>>() })
    };
    Step::ALL.iter().map(step).collect()
}
