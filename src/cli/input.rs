//! Files that are read: the job, profiles by path, files to verify.

use std::fs::File;
use std::io::{self, Read};
use std::path::{Path, PathBuf};

use crate::error::{Error, ErrorKind};
use crate::measure::{AsBuilt, Job, order_of, read_built, read_job};
use crate::profile::Source;
use crate::set::Entry;
use crate::surround::ready;

/// The largest job or profile that is read.
const LARGEST_TEXT: u64 = 1 << 20;

/// The bytes of a file, or of standard input for `-`, up to a size.
pub(super) fn read_bytes(path: &Path, largest: u64) -> Result<Vec<u8>, Error> {
    let name = path.display().to_string();
    let failed = |e: io::Error| {
        Error::new(ErrorKind::File, format!("cannot be read: {e}"))
            .in_file(&name)
            .hint("check the path and its permissions; `-` reads standard input")
    };
    let mut bytes = Vec::new();
    let reader: Box<dyn Read> =
        if path == Path::new("-") { Box::new(io::stdin()) } else { Box::new(File::open(path).map_err(failed)?) };
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

/// The job of a file, its profiles by path read too.
pub(super) fn job(path: &Path) -> Result<Job, Error> {
    job_of(&shown(path), &read_text(path)?)
}

/// The jobs of job files and order files, in their order; a job that an order lists is found from the order's folder.
pub(super) fn entries(paths: &[PathBuf]) -> Result<Vec<Entry>, Error> {
    let mut entries = Vec::new();
    for path in paths {
        let name = shown(path);
        let text = read_text(path)?;
        let Some(listed) = order_of(&name, &text)? else {
            entries.push(Entry { job: job_of(&name, &text)?, times: 1 });
            continue;
        };
        let folder = path.parent().unwrap_or(Path::new(""));
        for line in listed {
            entries.push(Entry { job: job(&folder.join(&line.file))?, times: line.count });
        }
    }
    Ok(entries)
}

/// The as-built measurements of a file of their own.
pub(super) fn built(path: &Path) -> Result<AsBuilt, Error> {
    read_built(&shown(path), &read_text(path)?)
}

fn shown(path: &Path) -> String {
    if path == Path::new("-") { "standard input".to_string() } else { path.display().to_string() }
}

fn job_of(name: &str, text: &str) -> Result<Job, Error> {
    let load = |reference: &str| Ok(Source { file: reference.to_string(), text: read_text(Path::new(reference))? });
    ready(&read_job(name, text, &load)?).map_err(|error| error.in_file(name))
}
