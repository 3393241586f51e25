//! `new` and `profiles`.

use std::fs::OpenOptions;
use std::io::Write;
use std::path::{Path, PathBuf};

use super::Ending;
use super::console::{Console, shown};
use super::io_words::why;
use crate::diagnostics::{Error, ErrorKind};
use crate::job::STARTER;
use crate::profile::{embedded, embedded_names};

/// Writes the starter job to a file that does not exist yet.
pub(super) fn new_job(file: &Path, console: &Console) -> Result<Ending, Error> {
    if file == Path::new("-") {
        console.print(STARTER)?;
        return Ok(Ending::Done);
    }
    let file = &job_named(file)?;
    write_new(file, STARTER)?;
    let name = shown(file);
    console.print(&format!(
        "{name}: a starter job. Put your measurements in, then: seatcut solve {name}\n"
    ))?;
    Ok(Ending::Done)
}

/// The folder of a job's files: beside the job, its name without `.toml`.
///
/// # Errors
/// As [`own_name`].
pub(super) fn folder_beside(job: &Path) -> Result<PathBuf, Error> {
    own_name(job).map(|_| job.with_extension(""))
}

/// A job's name without `.toml`, of which the names of its folders are made.
///
/// # Errors
/// If nothing but dots is left of it, as of `...toml`: to a system that is the folder itself or the
/// one above it.
pub(super) fn own_name(job: &Path) -> Result<String, Error> {
    let stem = job.file_stem().map(|stem| stem.to_string_lossy().into_owned());
    stem.filter(|stem| !stem.trim_matches(['.', ' ']).is_empty()).ok_or_else(|| {
        Error::new(ErrorKind::Usage, "no folder can be named after this job; nothing was written")
            .found(shown(job))
            .allowed("a name with more before .toml than dots and spaces")
            .hint("give the job another name, stair.toml say")
    })
}

/// The file of a job by what was typed: `.toml` goes behind a bare name, so that the set of files
/// beside it can have the name alone.
///
/// # Errors
/// Where a name ends in something else, and no file of that name is there.
pub(super) fn job_named(typed: &Path) -> Result<PathBuf, Error> {
    let is_job = typed.extension().is_some_and(|of| of.eq_ignore_ascii_case("toml"));
    if (is_job && !typed.is_dir()) || typed.is_file() {
        own_name(typed)?;
        return Ok(typed.to_path_buf());
    }
    let named = typed.file_name().map(|name| {
        let mut name = name.to_os_string();
        name.push(".toml");
        typed.with_file_name(name)
    });
    match (named, typed.extension()) {
        (Some(named), None) => own_name(&named).map(|_| named),
        (Some(named), Some(_)) => {
            Err(Error::new(ErrorKind::Usage, "the name of a job ends in .toml")
                .found(shown(typed))
                .allowed("a name of its own, with .toml behind it or nothing")
                .hint(format!(
                    "type {}, if that is meant; it need not be there yet",
                    shown(&named)
                )))
        }
        (None, _) => Err(Error::new(ErrorKind::Usage, "this is no name of a job")
            .found(shown(typed))
            .allowed("a file, stair.toml say; it need not be there yet")
            .hint("give the name of a file, stair.toml say")),
    }
}

/// Writes a job to a file that does not exist yet, whole or not at all.
pub(super) fn write_new(file: &Path, text: &str) -> Result<(), Error> {
    let name = file.display().to_string();
    let failed = |e: std::io::Error| {
        Error::new(ErrorKind::File, format!("cannot be written: {}", why(&e)))
            .in_file(&name)
            .hint("give the name of a file that does not exist yet")
    };
    let mut out = OpenOptions::new().write(true).create_new(true).open(file).map_err(failed)?;
    if let Err(e) = out.write_all(text.as_bytes()).and_then(|()| out.sync_all()) {
        // Half a job is worse than none; that it cannot be removed is told by the first error too.
        let _ = std::fs::remove_file(file);
        return Err(failed(e));
    }
    Ok(())
}

/// Lists the profiles, or prints one.
pub(super) fn profiles(name: Option<&str>, console: &Console) -> Result<Ending, Error> {
    let Some(name) = name else {
        let lines: Vec<String> = embedded_names().map(|(kind, name)| line(kind, name)).collect();
        console.print(&format!("{}\n", lines.join("\n")))?;
        return Ok(Ending::Done);
    };
    let source = embedded(None, name).ok_or_else(|| {
        let names: Vec<&str> = embedded_names().map(|(_, name)| name).collect();
        Error::new(ErrorKind::Usage, "no profile of this name")
            .found(name)
            .allowed(names.join(", "))
            .hint("seatcut profiles")
    })?;
    console.print(&source.text)?;
    Ok(Ending::Done)
}

fn line(kind: &str, name: &str) -> String {
    let text = embedded(Some(kind), name).expect("only embedded profiles are listed").text;
    let about = text.lines().find_map(|line| line.strip_prefix("about = "));
    let about = about.expect("an embedded profile says what it is").trim_matches('"');
    format!("{kind:<9} {name:<20} {about}")
}
