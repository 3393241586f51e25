//! Files that are read: the job, profiles by path, files to verify.

use std::cell::RefCell;
use std::fs::File;
use std::io::{self, Read};
use std::path::{Path, PathBuf};

use super::io_words::why;
use super::output_set::settled;
use crate::diagnostics::{Error, ErrorKind};
use crate::job::{AsBuilt, Job, TextKind, kind_of_text, order_of, read_built, read_job};
use crate::pipeline::set::Entry;
use crate::profile::Source;

/// The largest job or profile that is read.
const LARGEST_TEXT: u64 = 1 << 20;

/// The bytes of a file, or of standard input for `-`, up to a size.
pub(super) fn read_bytes(path: &Path, largest: u64) -> Result<Vec<u8>, Error> {
    let name = path.display().to_string();
    let failed = |e: io::Error| {
        Error::new(ErrorKind::File, format!("cannot be read: {}", why(&e)))
            .in_file(&name)
            .hint("check the path and its permissions; `-` reads standard input")
    };
    if path != Path::new("-") {
        settled(path)?;
    }
    let mut bytes = Vec::new();
    let reader: Box<dyn Read> = if path == Path::new("-") {
        Box::new(io::stdin())
    } else {
        Box::new(File::open(path).map_err(failed)?)
    };
    reader.take(largest + 1).read_to_end(&mut bytes).map_err(failed)?;
    Ok(bytes)
}

fn read_text(path: &Path) -> Result<String, Error> {
    let name = path.display().to_string();
    let bytes = read_bytes(path, LARGEST_TEXT)?;
    if bytes.len() as u64 > LARGEST_TEXT {
        return Err(Error::new(ErrorKind::Input, "this is no job or profile")
            .in_file(&name)
            .found("more than 1 MiB")
            .allowed("a TOML text of at most 1 MiB")
            .hint("`seatcut new FILE` writes a job to start from"));
    }
    String::from_utf8(bytes).map_err(|_| {
        Error::new(ErrorKind::Input, "this is no text")
            .in_file(&name)
            .found("bytes that are no UTF-8")
            .allowed("a TOML text in UTF-8")
            .hint("`seatcut new FILE` writes a job to start from")
    })
}

/// What was read, and every file that it was read from: none of them is ever written to.
pub(super) struct FromFiles<T> {
    pub what: T,
    pub files: Vec<PathBuf>,
}

/// The job of a file, its profiles by path read too.
pub(super) fn job(path: &Path) -> Result<Job, Error> {
    Ok(job_and_files(path)?.what)
}

/// The job of a file, and the files that it is read from.
pub(super) fn job_and_files(path: &Path) -> Result<FromFiles<Job>, Error> {
    let read = job_of(path, &read_text(path)?)?;
    read.what.tape.take_in_hand();
    Ok(read)
}

/// The jobs of job files and order files, in their order; a job that an order lists is found from
/// the order's folder.
pub(super) fn entries(paths: &[PathBuf]) -> Result<Vec<Entry>, Error> {
    Ok(entries_and_files(paths)?.what)
}

/// The jobs of job files and order files, and the files that they are read from.
pub(super) fn entries_and_files(paths: &[PathBuf]) -> Result<FromFiles<Vec<Entry>>, Error> {
    let mut all = FromFiles { what: Vec::new(), files: Vec::new() };
    let mut add = |read: FromFiles<Job>, times: usize| {
        all.what.push(Entry { job: read.what, times });
        all.files.extend(read.files);
    };
    let mut orders = Vec::new();
    for path in paths {
        let text = read_text(path)?;
        let Some(listed) = order_of(&shown(path), &text)? else {
            add(job_of(path, &text)?, 1);
            continue;
        };
        for line in listed {
            add(job_and_files(&beside(path, &line.file))?, line.count);
        }
        orders.push(path.clone());
    }
    all.files.extend(orders);
    if let Some(first) = all.what.first() {
        first.job.tape.take_in_hand();
    }
    Ok(all)
}

/// What a `.toml` file is, told by its content; one that cannot be read is taken for a job, so that
/// its error is told.
pub(super) fn kind_of_file(path: &Path) -> TextKind {
    read_text(path).map_or(TextKind::Job, |text| kind_of_text(&text))
}

/// The as-built measurements of a file of their own.
pub(super) fn built(path: &Path) -> Result<AsBuilt, Error> {
    read_built(&shown(path), &read_text(path)?)
}

fn shown(path: &Path) -> String {
    if path == Path::new("-") { "standard input".to_string() } else { path.display().to_string() }
}

/// A file that is named in another one, taken from that one's folder. From standard input names
/// count from the current folder.
fn beside(naming: &Path, named: &str) -> PathBuf {
    let folder = if naming == Path::new("-") {
        Path::new("")
    } else {
        naming.parent().unwrap_or(Path::new(""))
    };
    let path: PathBuf = folder.join(named).components().collect();
    // A file called `-` is a file; only on the command line it stands for standard input.
    if path == Path::new("-") { Path::new(".").join(path) } else { path }
}

/// The job of a text as if it stood in a file of this path.
pub(super) fn job_of(path: &Path, text: &str) -> Result<FromFiles<Job>, Error> {
    let name = shown(path);
    let files = RefCell::new(vec![path.to_path_buf()]);
    let load = |reference: &str| {
        let profile = beside(path, reference);
        files.borrow_mut().push(profile.clone());
        Ok(Source { file: shown(&profile), text: read_text(&profile)? })
    };
    let job = read_job(&name, text, &load)?;
    Ok(FromFiles { what: job, files: files.into_inner() })
}
