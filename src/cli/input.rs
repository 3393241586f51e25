//! Files that are read: the job, profiles by path, files to verify.

use std::cell::RefCell;
use std::fs::File;
use std::io::{self, Read};
use std::path::{Path, PathBuf};

use super::io_words::why;
use super::output_set::settled;
use super::stock_file::Rack;
use crate::diagnostics::visible::visible;
use crate::diagnostics::{Error, ErrorKind};
use crate::job::{
    AsBuilt, Fingerprint, Job, LONGEST_TITLE, Order, TextKind, kind_of_text, order_of, read_built,
    read_job,
};
use crate::pipeline::set::{Entry, OrderFacts};
use crate::profile::{Source, embedded, is_path, names_of};

/// The largest job or profile that is read.
pub(super) const LARGEST_TEXT: u64 = 1 << 20;

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

pub(super) fn read_text(path: &Path) -> Result<String, Error> {
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
    /// Whose it is, where it was read from an order file.
    pub order: Option<OrderFacts>,
    /// The stock file that an order names.
    pub stock: Option<PathBuf>,
}

impl<T> FromFiles<T> {
    /// Every file that nothing is written over, the rack that it is cut from among them.
    pub(super) fn inputs(&self, rack: Option<&Rack>) -> Vec<PathBuf> {
        self.files.iter().cloned().chain(rack.map(|rack| rack.path.clone())).collect()
    }
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

/// The jobs of job files and order files, in their order, and the files that they are read from; a
/// job that an order lists is found from the order's folder. What is listed twice is made as often as
/// both lines say; for two customers its titles say for whom.
pub(super) fn entries_and_files(paths: &[PathBuf]) -> Result<FromFiles<Vec<Entry>>, Error> {
    let mut all = FromFiles { what: Vec::new(), files: Vec::new(), order: None, stock: None };
    let mut lines: Vec<(Entry, Option<String>)> = Vec::new();
    let (mut heads, mut orders, mut named) = (Vec::new(), Vec::new(), Vec::new());
    let mut add = |read: FromFiles<Job>, times: usize, customer: Option<String>| {
        all.files.extend(read.files);
        lines.push((Entry { job: read.what, times }, customer));
    };
    for path in paths {
        let text = read_text(path)?;
        let Some(Order { head, stock, lines }) = order_of(&shown(path), &text)? else {
            add(job_of(path, &text)?, 1, None);
            continue;
        };
        for line in lines {
            let customer = line.customer.or_else(|| head.customer.clone());
            let listed = beside(path, &line.file);
            add(listed_job(path, &listed)?, line.count, customer);
        }
        named.extend(stock.map(|stock| beside(path, &stock)));
        orders.push(path.clone());
        heads.push(head);
    }
    all.files.extend(orders);
    all.stock = one_stock(named)?;
    let (entries, customers): (Vec<Entry>, Vec<_>) = told_apart(merged(lines)).into_iter().unzip();
    // What two orders say of themselves is said of none of their common sheets.
    let head = if let [_] = heads[..] { heads.pop() } else { None };
    all.order = (customers.iter().any(Option::is_some) || head.is_some())
        .then(|| OrderFacts { head: head.unwrap_or_default(), customers });
    all.what = entries;
    if let Some(first) = all.what.first() {
        first.job.tape.take_in_hand();
    }
    Ok(all)
}

/// The stock file of all orders.
fn one_stock(named: Vec<PathBuf>) -> Result<Option<PathBuf>, Error> {
    if let Some(other) = named.iter().find(|of| **of != named[0]) {
        return Err(Error::new(ErrorKind::Input, "two orders name different stock files")
            .found(format!("{} and {}", shown(&named[0]), shown(other)))
            .allowed("one stock file for what is cut together")
            .hint("--stock FILE is taken instead of both"));
    }
    Ok(named.into_iter().next())
}

/// A job that an order lists.
fn listed_job(order: &Path, path: &Path) -> Result<FromFiles<Job>, Error> {
    let text = read_text(path)?;
    if kind_of_text(&text) == TextKind::Order {
        return Err(Error::new(
            ErrorKind::Input,
            "an order lists jobs, and this is an order itself",
        )
        .in_file(&shown(path))
        .found(format!("listed in {}", shown(order)))
        .allowed("job files behind file =")
        .hint("copy its [[job]] tables over, or give both order files to one `seatcut make`"));
    }
    job_of(path, &text)
}

/// A job and for whom it is made.
type Line = (Entry, Option<String>);

/// The same job for the same customer is one, made as often as all its lines say.
fn merged(lines: Vec<Line>) -> Vec<Line> {
    let mut all: Vec<(Fingerprint, Line)> = Vec::new();
    for line in lines {
        let read = Fingerprint::as_read(&line.0.job);
        match all.iter_mut().find(|(of, (_, whose))| *of == read && *whose == line.1) {
            Some((_, (entry, _))) => entry.times += line.0.times,
            None => all.push((read, line)),
        }
    }
    all.into_iter().map(|(_, line)| line).collect()
}

/// Jobs of one title for several customers, each with its customer behind the title.
fn told_apart(mut lines: Vec<Line>) -> Vec<Line> {
    let titles: Vec<String> = lines.iter().map(|(entry, _)| entry.job.title.clone()).collect();
    let twice = |title: &String| titles.iter().filter(|of| *of == title).count() > 1;
    for ((entry, customer), title) in lines.iter_mut().zip(&titles) {
        let Some(customer) = customer.as_ref().filter(|_| twice(title)) else { continue };
        let room = LONGEST_TITLE.saturating_sub(customer.chars().count() + 2);
        let begin: String = title.chars().take(room).collect();
        let whole =
            if begin.is_empty() { customer.clone() } else { format!("{begin}, {customer}") };
        entry.job.title = whole.chars().take(LONGEST_TITLE).collect();
    }
    lines
}

/// A profile by its name, or of a file by its path, and the files it is read from.
pub(super) fn profile<T>(
    kind: &str,
    reference: &str,
    read: impl Fn(&str, &str, &str) -> Result<T, Error>,
) -> Result<FromFiles<T>, Error> {
    if is_path(reference) {
        let path = PathBuf::from(reference);
        let stem = path.file_stem().map_or(reference.into(), std::ffi::OsStr::to_string_lossy);
        let what = read(&visible(&stem), &shown(&path), &read_text(&path)?)?;
        return Ok(FromFiles { what, files: vec![path], order: None, stock: None });
    }
    let source = embedded(Some(kind), reference).ok_or_else(|| {
        Error::new(ErrorKind::Usage, format!("no {kind} of this name"))
            .found(reference)
            .allowed(format!("{}, or a path to a file of your own", names_of(kind).join(", ")))
            .hint("`seatcut profiles` says what each is")
    })?;
    let what = read(reference, &source.file, &source.text)?;
    Ok(FromFiles { what, files: Vec::new(), order: None, stock: None })
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

pub(super) fn shown(path: &Path) -> String {
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
    Ok(FromFiles { what: job, files: files.into_inner(), order: None, stock: None })
}
