//! `draft`: the job on a page of the browser, served to this computer alone.

mod bench;
mod document;
mod http;
mod typed;
mod view;

use std::ffi::OsStr;
use std::net::{Ipv4Addr, TcpListener, TcpStream};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;
use std::time::Duration;

use clap::Parser;

use self::bench::{Bench, free_name};
use self::document::Document;
use self::http::Answer;
use super::Ending;
use super::args::{Arguments, Command};
use super::catalogue::job_named;
use super::console::{Console, shown};
use super::io_words::why;
use super::made::Made;
use super::output_set::parent_of;
use super::{make, order};
use crate::diagnostics::{Error, ErrorKind};

/// So many connections at once; a browser opens six.
const MOST_CONNECTIONS: usize = 32;

/// Serves a job until the process is ended.
pub(super) fn draft(
    job: Option<&Path>,
    port: u16,
    opens: bool,
    console: &Console,
) -> Result<Ending, Error> {
    let (folder, name) = placed(job)?;
    let document = Document::open(&folder, &name)?;
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port)).map_err(|e| {
        Error::new(ErrorKind::File, format!("no page can be served: {}", why(&e)))
            .found(format!("port {port}"))
            .hint("leave --port out: a free one is taken")
    })?;
    let port = listener.local_addr().map_or(port, |address| address.port());
    let bench = Arc::new(Bench::new(document, token()?, port));
    let address = bench.address();
    console.print(&format!(
        "{name}: {address}\nOnly this computer reaches that page; whoever has the address can \
        change the job. What you type is kept as you type it. Ctrl-C ends it.\n"
    ))?;
    if opens && let Err(e) = open::that_detached(&address) {
        console.tell(&format!("no browser could be opened ({}): open that address", why(&e)));
    }
    serve(&listener, &bench)
}

/// The set of a job, made with what the command takes where nothing else is said.
fn made(job: &Path, folder: &Path, replace: bool) -> Result<Made, Error> {
    match typed("make", job, folder, replace)? {
        Command::Make(arguments) => make::made(&arguments),
        _ => Err(not_typed()),
    }
}

/// The order of a job, likewise.
fn ordered(job: &Path, folder: &Path, replace: bool) -> Result<Made, Error> {
    match typed("order", job, folder, replace)? {
        Command::Order(arguments) => order::ordered(&arguments),
        _ => Err(not_typed()),
    }
}

/// A command as if it had been typed.
fn typed(command: &str, job: &Path, folder: &Path, replace: bool) -> Result<Command, Error> {
    let force = replace.then_some(OsStr::new("--force"));
    let words = ["seatcut", command].map(OsStr::new).into_iter().chain(force);
    let words =
        words.chain([OsStr::new("-o"), folder.as_os_str(), OsStr::new("--"), job.as_os_str()]);
    Arguments::try_parse_from(words).map(|arguments| arguments.command).map_err(|_| not_typed())
}

fn not_typed() -> Error {
    Error::new(ErrorKind::Internal, "a command of this program is not read by it")
}

/// The folder and the name of a job that may not be there yet.
fn placed(job: Option<&Path>) -> Result<(PathBuf, String), Error> {
    let folder = |of: &Path| {
        of.canonicalize().map_err(|e| {
            Error::new(ErrorKind::File, format!("cannot be read: {}", why(&e)))
                .in_file(&shown(of))
                .hint("give a job in a folder that is there")
        })
    };
    let Some(job) = job else {
        let folder = folder(Path::new("."))?;
        let name = free_name(&folder);
        return Ok((folder, name));
    };
    let job = &job_named(job)?;
    // Behind a link the file itself is drafted, and what is hidden lies beside it.
    let whole = job.canonicalize().unwrap_or_else(|_| job.to_path_buf());
    let name = whole.file_name().and_then(|name| name.to_str()).filter(|_| !whole.is_dir());
    let name = name.ok_or_else(|| {
        Error::new(ErrorKind::Usage, "this is no name of a job")
            .found(shown(job))
            .hint("give a file, stair.toml say; it need not be there yet")
    })?;
    Ok((folder(parent_of(&whole))?, name.to_string()))
}

/// What stands in the address and cannot be guessed.
fn token() -> Result<String, Error> {
    let mut bytes = [0; 24];
    getrandom::fill(&mut bytes).map_err(|e| {
        Error::new(ErrorKind::File, format!("the system gives no random numbers: {e}"))
            .hint("seatcut ask and an editor do without them")
    })?;
    Ok(bytes.iter().map(|byte| format!("{byte:02x}")).collect())
}

fn serve(listener: &TcpListener, bench: &Arc<Bench>) -> ! {
    let busy = Arc::new(AtomicUsize::new(0));
    loop {
        let Ok((stream, _)) = listener.accept() else {
            // Out of what a connection takes: those that are open end soon.
            thread::sleep(Duration::from_millis(50));
            continue;
        };
        if busy.load(Ordering::SeqCst) >= MOST_CONNECTIONS {
            drop(stream);
            continue;
        }
        let work = (stream, bench.clone(), Counted::one(&busy));
        // Where no thread can be had the connection ends: the page asks again.
        let _ = thread::Builder::new().spawn(move || {
            let (stream, bench, _counted) = &work;
            one(stream, bench);
        });
    }
}

/// One connection, counted as long as it is open.
struct Counted(Arc<AtomicUsize>);

impl Counted {
    fn one(busy: &Arc<AtomicUsize>) -> Self {
        busy.fetch_add(1, Ordering::SeqCst);
        Self(busy.clone())
    }
}

impl Drop for Counted {
    fn drop(&mut self) {
        self.0.fetch_sub(1, Ordering::SeqCst);
    }
}

fn one(stream: &TcpStream, bench: &Bench) {
    let request = http::read(stream, |head| bench.longest(head));
    let answer = request.map_or_else(
        |refused| refused,
        |request| {
            // A bug of this program ends one answer, not the draft.
            catch_unwind(AssertUnwindSafe(|| bench.answer(&request)))
                .unwrap_or_else(|_| Answer::refused(500, "this went wrong inside seatcut"))
        },
    );
    http::write(stream, &answer);
}
