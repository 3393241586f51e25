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
    AsBuilt, Fingerprint, Job, LONGEST_TITLE, Order, OrderHead, OrderLine, order_of, read_built,
    read_job,
};
use crate::pipeline::set::{Entry, OrderFacts};
use crate::profile::reader::Reader;
use crate::profile::{Source, TextKind, embedded, is_path, kind_of_text, names_of};

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

/// A job as a command line or an order lists it.
struct Line {
    entry: Entry,
    /// What the order says of it, with the line's own customer; nothing of a job by itself.
    order: OrderHead,
    /// The job's file.
    file: PathBuf,
}

/// The jobs of job files and order files, in their order, and the files that they are read from; a
/// job that an order lists is found from the order's folder. What is listed twice for one order and
/// customer is made as often as both lines say; for several its titles say for which.
pub(super) fn entries_and_files(paths: &[PathBuf]) -> Result<FromFiles<Vec<Entry>>, Error> {
    let mut all = FromFiles { what: Vec::new(), files: Vec::new(), order: None, stock: None };
    let mut lines: Vec<Line> = Vec::new();
    let (mut orders, mut named) = (Vec::new(), Vec::new());
    let mut add = |read: FromFiles<Job>, file: PathBuf, times: usize, order: OrderHead| {
        all.files.extend(read.files);
        lines.push(Line { entry: Entry { job: read.what, times }, order, file });
    };
    for path in paths {
        let text = read_text(path)?;
        let Some(Order { head, stock, lines }) = order_of(&shown(path), &text)? else {
            add(job_of(path, &text)?, path.clone(), 1, OrderHead::default());
            continue;
        };
        for line in lines {
            let customer = line.customer.clone().or_else(|| head.customer.clone());
            let listed = beside(path, &line.file);
            let read = listed_job(path, &listed, &line)?;
            add(read, listed, line.count, OrderHead { customer, ..head.clone() });
        }
        named.extend(stock.map(|stock| beside(path, &stock)));
        orders.push(path.clone());
    }
    let is_ordered = !orders.is_empty();
    all.files.extend(orders);
    all.stock = one_stock(named)?;
    let lines = told_apart(merged(lines));
    one_title_each(&lines)?;
    let (entries, orders): (Vec<Entry>, Vec<OrderHead>) =
        lines.into_iter().map(|line| (line.entry, line.order)).unzip();
    all.order = is_ordered.then(|| OrderFacts::of(orders));
    all.what = entries;
    if let Some(first) = all.what.first() {
        first.job.tape.take_in_hand();
    }
    Ok(all)
}

/// A title is what tells the pieces apart once they are cut.
fn one_title_each(lines: &[Line]) -> Result<(), Error> {
    for (i, line) in lines.iter().enumerate() {
        let title = &line.entry.job.title;
        let Some(before) = lines[..i].iter().find(|of| of.entry.job.title == *title) else {
            continue;
        };
        let begin: String = title.chars().take(LONGEST_TITLE - 2).collect();
        return Err(Error::new(ErrorKind::Input, "two jobs of one set have the same title")
            .found(format!("\"{title}\" in {} and in {}", shown(&before.file), shown(&line.file)))
            .allowed("a title for each job: it is what tells the pieces apart")
            .hint(format!("title = \"{begin} 2\" in one of the two files")));
    }
    Ok(())
}

/// What an order lists: its jobs' files, and the stock file that it names.
pub(super) struct Listed {
    pub jobs: Vec<PathBuf>,
    pub stock: Option<PathBuf>,
}

/// What a file lists; none of what is no order, or cannot be read as one.
pub(super) fn listed(path: &Path) -> Option<Listed> {
    let order = order_of(&shown(path), &read_text(path).ok()?).ok()??;
    let jobs = order.lines.iter().map(|line| beside(path, &line.file)).collect();
    Some(Listed { jobs, stock: order.stock.map(|stock| beside(path, &stock)) })
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
fn listed_job(order: &Path, path: &Path, line: &OrderLine) -> Result<FromFiles<Job>, Error> {
    let text = read_text(path).map_err(|error| match error.kind() {
        ErrorKind::File => {
            Error::new(ErrorKind::File, format!("a job of this order {}", error.what()))
                .at(line.at.clone())
                .found(shown(path))
                .allowed("the path of a job file, from the order's folder")
                .hint("file = \"...\" as the job's file is called")
        }
        _ => error,
    })?;
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

/// The same job of the same order for the same customer is one, made as often as all its lines say.
fn merged(lines: Vec<Line>) -> Vec<Line> {
    let mut all: Vec<(Fingerprint, Line)> = Vec::new();
    for line in lines {
        let read = Fingerprint::as_read(&line.entry.job);
        match all.iter_mut().find(|(of, before)| *of == read && before.order == line.order) {
            Some((_, before)) => before.entry.times += line.entry.times,
            None => all.push((read, line)),
        }
    }
    all.into_iter().map(|(_, line)| line).collect()
}

/// Behind a title that is cut off.
const CUT: &str = "...";

/// Jobs of one title for several customers or orders, each with what tells it apart behind the
/// title.
fn told_apart(mut lines: Vec<Line>) -> Vec<Line> {
    let titles: Vec<String> = lines.iter().map(|line| line.entry.job.title.clone()).collect();
    let mut told: Vec<Option<String>> = vec![None; lines.len()];
    for (i, title) in titles.iter().enumerate() {
        let alike: Vec<usize> = (0..lines.len()).filter(|of| titles[*of] == *title).collect();
        let ways: [fn(&OrderHead) -> Option<String>; 3] = [
            |of| of.customer.clone(),
            |of| of.number.as_ref().map(|number| format!("order {number}")),
            |of| Some(of.in_a_line()).filter(|line| !line.is_empty()),
        ];
        let differ = |way: &&fn(&OrderHead) -> Option<String>| {
            let words: Vec<_> = alike.iter().map(|of| way(&lines[*of].order)).collect();
            (1..words.len()).all(|k| !words[..k].contains(&words[k]))
        };
        let way = Some(()).filter(|()| alike.len() > 1).and_then(|()| ways.iter().find(differ));
        told[i] = way.and_then(|way| way(&lines[i].order));
    }
    for (line, words) in lines.iter_mut().zip(told) {
        let Some(words) = words else { continue };
        let title = &mut line.entry.job.title;
        let room = LONGEST_TITLE.saturating_sub(words.chars().count() + 2);
        let begin: String = match title.chars().count() <= room {
            true => title.clone(),
            false if room > CUT.len() => {
                title.chars().take(room - CUT.len()).collect::<String>() + CUT
            }
            false => String::new(),
        };
        let whole = if begin.is_empty() { words } else { format!("{begin}, {words}") };
        *title = whole.chars().take(LONGEST_TITLE).collect();
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

/// What a `.toml` file is, told by its content; of one that cannot be read nothing is known.
pub(super) fn kind_of_file(path: &Path) -> TextKind {
    read_text(path).map_or(TextKind::Unknown, |text| kind_of_text(&text))
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
    Reader::new(&name, text).wants(TextKind::Job)?;
    let files = RefCell::new(vec![path.to_path_buf()]);
    let load = |reference: &str| {
        let profile = beside(path, reference);
        files.borrow_mut().push(profile.clone());
        Ok(Source { file: shown(&profile), text: read_text(&profile)? })
    };
    let job = read_job(&name, text, &load)?;
    Ok(FromFiles { what: job, files: files.into_inner(), order: None, stock: None })
}
