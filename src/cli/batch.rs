//! `batch`: many jobs, each a set of its own, in parallel; one that fails does not stop the others.

use std::collections::{HashMap, HashSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

use super::args::BatchArguments;
use super::catalogue::own_name;
use super::console::{Console, shown};
use super::input::{FromFiles, Listed};
use super::io_words::why;
use super::made::in_place_all_the_same;
use super::make::{Making, make_entries};
use super::output_set::{Existing, Goal, SetKind, Staging, standing_list};
use super::stock_file::Rack;
use super::{Ending, exit_code, input};
use crate::bundle::Artifact;
use crate::bundle::names::free_of;
use crate::diagnostics::visible::visible;
use crate::diagnostics::{Error, ErrorKind, codes};
use crate::output::Stamp;
use crate::output::batch_row::BatchRow;
use crate::output::batch_table::{Totals, count, counts, to_csv, to_json};
use crate::output::content::run_of;
use crate::output::report::{AskedReport, asked_of};
use crate::pipeline::set::{Asked, Entry};
use crate::profile::TextKind;
use crate::units::{counted, minutes};

/// The table's files.
const TABLES: [&str; 2] = ["summary.csv", "summary.json"];

/// The most jobs that are told of one by one.
const MOST_TOLD: usize = 20;

/// One job of the batch and the folder of its set.
struct Task {
    job: PathBuf,
    folder: String,
}

/// How one job ended.
enum Outcome {
    Ended(Ending),
    Failed(u8),
}

/// Makes every job, and prints what came of them.
pub(super) fn batch(arguments: &BatchArguments, console: &Console) -> Result<Ending, Error> {
    let Found { jobs, others } = found(&arguments.jobs)?;
    if !others.is_empty() {
        let others: Vec<String> =
            others.iter().map(|(path, what)| format!("{} ({what})", shown(path))).collect();
        console.tell(&format!("no job, passed over: {}", others.join(", ")));
    }
    let tasks = named(jobs)?;
    let orders = Orders::among(&tasks);
    for (job, order) in tasks.iter().filter_map(|of| Some((&of.job, orders.listing(&of.job)?))) {
        console.tell(&format!("{} is made by itself, and in {} too", shown(job), shown(order)));
    }
    let existing = if arguments.output.force { Existing::Replace } else { Existing::Keep };
    let output = &arguments.output.output;
    fs::create_dir_all(output).map_err(|e| cannot(output, &e))?;
    let inputs: Vec<PathBuf> = tasks.iter().map(|task| task.job.clone()).collect();
    let goal = Goal {
        target: output,
        existing,
        kind: SetKind::Batch,
        revisions: Vec::new(),
        inputs: &inputs,
    };
    // Begun before the jobs are: what will be in the way of the tables is told before the work is
    // done.
    let mut staging = Staging::begin(goal)?;
    let bar = progress(tasks.len());
    let results = in_parallel(&tasks, |task| {
        let folder = output.join(&task.folder);
        let done = one(task, &folder, existing, arguments);
        bar.inc(1);
        done
    });
    bar.finish_and_clear();
    let (rows, outcomes): (Vec<BatchRow>, Vec<Outcome>) = results.into_iter().unzip();
    let tables = [to_csv(&rows), to_json(&rows, TABLES[0])];
    let files =
        TABLES.into_iter().zip(&tables).map(|(name, text)| Artifact::document(name, text.as_str()));
    staging.write(&files.collect::<Vec<_>>())?;
    staging.publish()?;
    let mut others = rows.iter().filter(|row| row.is_unmade());
    for row in others.by_ref().take(MOST_TOLD) {
        let code = if row.code.is_empty() { String::new() } else { format!("{}: ", row.code) };
        let (job, reason) = (visible(&row.job), visible(&row.reason));
        console.tell(&format!("{job}: {}: {code}{reason}", row.outcome));
    }
    let more = others.count();
    if more > 0 {
        console.tell(&format!("and {more} more: see {}", TABLES[0]));
    }
    let words = format!(
        "{}: {} jobs: {}; {}\n{}{}{}",
        shown(output),
        rows.len(),
        counts(&rows),
        TABLES.join(", "),
        in_all(&rows),
        orders.sharing_stock(),
        older(output, &rows)
    );
    let printed = console.print(if arguments.report.json { &tables[1] } else { &words });
    printed.map_err(|error| in_place_all_the_same(error, output))?;
    worst(&outcomes, count(&rows, "failed"))
}

fn one(
    task: &Task,
    folder: &Path,
    existing: Existing,
    arguments: &BatchArguments,
) -> (BatchRow, Outcome) {
    let named = |row: BatchRow| BatchRow {
        job: task.job.display().to_string(),
        folder: task.folder.clone(),
        ..row
    };
    let read = input::entries_and_files(std::slice::from_ref(&task.job));
    let read = read.and_then(|read| {
        let rack = read.stock.as_deref().map(Rack::of_order).transpose()?;
        Ok((read, rack))
    });
    let stands = read.as_ref().ok().and_then(|of| unchanged(folder, of, arguments));
    if let Some(row) = stands {
        return (named(row), Outcome::Ended(Ending::Done));
    }
    let made = read.and_then(|(read, rack)| {
        let inputs = read.inputs(rack.as_ref());
        let order = Making {
            output: folder,
            existing,
            dxf: arguments.output.dxf.version(),
            paper: None,
            effort: arguments.effort,
            time: arguments.time,
            is_alone: false,
            report: &arguments.report,
            inputs: &inputs,
            order: read.order.clone(),
            rack: rack.as_ref(),
            take: false,
        };
        make_entries(read.what, &order)
    });
    match made {
        Ok(made) => {
            let row = BatchRow::of_report(&made.json);
            let row = match made.refused {
                Some(by) => {
                    let row = row.unmade();
                    BatchRow { outcome: "refused", code: by.codes, reason: by.say, ..row }
                }
                None => BatchRow { outcome: "made", ..row },
            };
            (named(row), Outcome::Ended(made.ending))
        }
        Err(error) => {
            let outcome = if error.kind() == ErrorKind::Refused { "refused" } else { "failed" };
            let code = code_of(error.kind()).to_string();
            let row = BatchRow { outcome, code, reason: one_line(&error), ..BatchRow::default() };
            (named(row), Outcome::Failed(exit_code(error.kind())))
        }
    }
}

/// The row of a job whose set stands already: whole, as it was written, by this version of the
/// tool, of just what is asked now. Made anew it would be the same to the byte.
fn unchanged(
    folder: &Path,
    (read, rack): &(FromFiles<Vec<Entry>>, Option<Rack>),
    arguments: &BatchArguments,
) -> Option<BatchRow> {
    let report = standing_list(folder, SetKind::Made)?;
    let asked = Asked::of(&read.what, arguments.effort).out_of(rack.as_ref().map(|of| &of.stock));
    let asked = Asked { order: read.order.clone(), ..asked };
    let asked = AskedReport::of(&asked, (arguments.output.dxf.version(), None));
    if asked_of(&report)? != (Stamp::tool().to_string(), asked) {
        return None;
    }
    // A search that was ended early may come to fewer sheets now.
    if report.contains(&format!("\"{}\"", codes::SearchEnded::CODE)) {
        return None;
    }
    let row = BatchRow { outcome: "unchanged", ..BatchRow::of_report(&report) };
    (row.warnings == 0 || !arguments.report.deny_warnings).then_some(row)
}

/// The orders of a batch: the jobs that each lists and the stock file that it names.
struct Orders {
    /// Every job that an order lists, and the first order that does.
    lists: HashMap<PathBuf, PathBuf>,
    /// Every stock file, and the orders that name it.
    racks: Vec<(PathBuf, Vec<PathBuf>)>,
}

impl Orders {
    fn among(tasks: &[Task]) -> Self {
        let (mut lists, mut racks) = (HashMap::new(), Vec::<(PathBuf, Vec<PathBuf>)>::new());
        for order in tasks.iter().map(|task| &task.job) {
            let Some(Listed { jobs, stock }) = input::listed(order) else { continue };
            for job in jobs {
                lists.entry(real(&job)).or_insert_with(|| order.clone());
            }
            let Some(stock) = stock.as_deref().map(real) else { continue };
            match racks.iter_mut().find(|(rack, _)| *rack == stock) {
                Some((_, orders)) => orders.push(order.clone()),
                None => racks.push((stock, vec![order.clone()])),
            }
        }
        Self { lists, racks }
    }

    /// The order that lists a job which is a set of its own too.
    fn listing(&self, job: &Path) -> Option<&Path> {
        self.lists.get(&real(job)).map(PathBuf::as_path)
    }

    /// Said where several orders are cut from one rack: each is laid out as if all of it were its
    /// own.
    fn sharing_stock(&self) -> String {
        let mut text = String::new();
        for (rack, orders) in self.racks.iter().filter(|(_, orders)| orders.len() > 1) {
            let orders: Vec<String> = orders.iter().map(|order| shown(order)).collect();
            text += &format!(
                "of {} each of {} is cut as if all of it were its own: what they take together may \
                be more than lies there; one `seatcut make` of them all holds them to it\n",
                shown(rack),
                orders.join(", ")
            );
        }
        text
    }
}

/// Sets that stand in the folder of a batch and are none of this run's: of jobs that are no longer
/// there, and of those that were not made now.
fn older(output: &Path, rows: &[BatchRow]) -> String {
    let stands = |folder: &str| standing_list(&output.join(folder), SetKind::Made).is_some();
    let unmade = rows.iter().filter(|row| row.is_unmade());
    let of_others: Vec<String> =
        unmade.map(|row| row.folder.clone()).filter(|folder| stands(folder)).collect();
    let here = fs::read_dir(output)
        .into_iter()
        .flatten()
        .filter_map(|entry| Some(entry.ok()?.file_name().to_str()?.to_string()));
    let is_of_none = |folder: &String| {
        let mut parts = rows.iter().filter_map(|row| Path::new(&row.folder).iter().next());
        !parts.any(|part| part == folder.as_str()) && stands(folder)
    };
    let mut of_none: Vec<String> = here.filter(is_of_none).collect();
    of_none.sort();
    let told = |folders: &[String], are: &str| match folders {
        [] => String::new(),
        _ => format!("{are}: {}\n", visible(&folders.join(", "))),
    };
    told(&of_others, "not made now, what lies in these folders is older")
        + &told(
            &of_none,
            "folders with a set of no job of this run, of one that is gone or renamed",
        )
}

/// A path by which one file is one, however it was named.
fn real(path: &Path) -> PathBuf {
    path.canonicalize().unwrap_or_else(|_| path.to_path_buf())
}

/// What all sets take together, where anything is cut.
fn in_all(rows: &[BatchRow]) -> String {
    let all = Totals::of(rows);
    if all.programs == 0 {
        return String::new();
    }
    let mut all_of_it = vec![counted(all.pieces, "piece")];
    if all.sheets > 0 {
        all_of_it.push(counted(all.sheets, "sheet"));
    }
    if all.offcuts > 0 {
        all_of_it.push(counted(all.offcuts, "offcut"));
    }
    if all.board_ft > 0.0 {
        all_of_it.push(format!("{} of board", run_of(all.board_ft)));
    }
    format!("in all {}, {} of machine time\n", all_of_it.join(", "), minutes(all.time_s))
}

/// What the column of codes says of an error, which has none of a finding's.
fn code_of(kind: ErrorKind) -> &'static str {
    match kind {
        ErrorKind::Internal => "bug",
        ErrorKind::Usage | ErrorKind::Input => "input",
        ErrorKind::Refused | ErrorKind::NotThisPart => "refused",
        ErrorKind::File | ErrorKind::Taken | ErrorKind::Foreign => "file",
    }
}

/// An error on one line of a table.
fn one_line(error: &Error) -> String {
    let text = error.to_string();
    text.lines().map(str::trim).filter(|line| !line.is_empty()).collect::<Vec<_>>().join("; ")
}

/// What was found for a batch.
struct Found {
    jobs: Vec<PathBuf>,
    /// Files beside the jobs of a folder that are none, and what they are.
    others: Vec<(PathBuf, &'static str)>,
}

/// The job files and order files of paths and folders; in a folder, what they are is told by their
/// content.
fn found(paths: &[PathBuf]) -> Result<Found, Error> {
    let mut all = Found { jobs: Vec::new(), others: Vec::new() };
    for path in paths {
        if !path.is_dir() {
            all.jobs.push(path.clone());
            continue;
        }
        let entries = fs::read_dir(path).map_err(|e| cannot(path, &e))?;
        let is_toml = |path: &PathBuf| {
            path.extension().is_some_and(|ending| ending == "toml") && path.is_file()
        };
        let entries = entries.filter_map(|entry| Some(entry.ok()?.path()));
        let (mut files, rest): (Vec<PathBuf>, Vec<PathBuf>) = entries.partition(is_toml);
        files.sort();
        let before = (all.jobs.len(), all.others.len());
        for file in files {
            match input::kind_of_file(&file) {
                TextKind::Job | TextKind::Order | TextKind::Unknown => all.jobs.push(file),
                other => all.others.push((file, other.called())),
            }
        }
        if all.jobs.len() == before.0 {
            return Err(no_job(path, &all.others[before.1..], &rest));
        }
    }
    Ok(all)
}

/// The most files of a folder without a job that are told by name.
const TOLD: usize = 3;

/// A folder that holds files of other kinds, and what does not end in .toml.
fn no_job(folder: &Path, others: &[(PathBuf, &'static str)], rest: &[PathBuf]) -> Error {
    let name = |path: &Path| shown(Path::new(path.file_name().unwrap_or_default()));
    let mut told: Vec<String> =
        others.iter().take(TOLD).map(|(file, kind)| format!("{}, {kind}", name(file))).collect();
    let more = others.len().saturating_sub(TOLD);
    if more > 0 {
        told.push(format!("{more} more such files"));
    }
    let below = rest.iter().find(|path| path.is_dir());
    let others = rest.iter().filter(|path| !path.is_dir()).count();
    if others > 0 {
        told.push(format!(
            "{} that {} not in .toml",
            counted(others, "file"),
            if others == 1 { "ends" } else { "end" }
        ));
    }
    if let Some(below) = below {
        told.push(format!("a folder {}, which is not looked into", name(below)));
    }
    let error = Error::new(ErrorKind::Input, "no job in this folder")
        .in_file(&shown(folder))
        .found(if told.is_empty() { "nothing".to_string() } else { told.join("; ") })
        .allowed("jobs, or orders, in files that end in .toml");
    match below {
        Some(below) => error.hint(format!("seatcut batch {} -o OUT", shown(below))),
        None => error.hint(format!("seatcut new {}", shown(&folder.join("FILE.toml")))),
    }
}

/// Every job with a folder name of its own, none that a table has.
///
/// # Errors
/// If no folder can be named after a job.
fn named(jobs: Vec<PathBuf>) -> Result<Vec<Task>, Error> {
    let mut taken: HashSet<String> = TABLES.map(str::to_string).into();
    let named = |job: PathBuf| {
        let stem = own_name(&job)?;
        // Some disks take names that differ in case only for one.
        let folder = free_of(&stem, |name| taken.contains(&name.to_lowercase()));
        taken.insert(folder.to_lowercase());
        Ok(Task { job, folder })
    };
    jobs.into_iter().map(named).collect()
}

fn cannot(path: &Path, error: &std::io::Error) -> Error {
    Error::new(ErrorKind::File, format!("cannot be used: {}", why(error)))
        .in_file(&path.display().to_string())
        .hint("check the path and its permissions")
}

/// On a terminal only.
fn progress(count: usize) -> ProgressBar {
    let bar = ProgressBar::with_draw_target(Some(count as u64), ProgressDrawTarget::stderr());
    match ProgressStyle::with_template("{bar:40} {pos}/{len} jobs, {eta} left") {
        Ok(style) => bar.with_style(style),
        Err(_) => bar,
    }
}

/// Does every task on as many threads as the machine has cores; results in the order of the tasks.
fn in_parallel<R: Send>(tasks: &[Task], work: impl Fn(&Task) -> R + Sync) -> Vec<R> {
    let next = AtomicUsize::new(0);
    let results: Mutex<Vec<Option<R>>> = Mutex::new((0..tasks.len()).map(|_| None).collect());
    let threads =
        std::thread::available_parallelism().map_or(1, usize::from).min(tasks.len().max(1));
    std::thread::scope(|scope| {
        for _ in 0..threads {
            scope.spawn(|| {
                loop {
                    let i = next.fetch_add(1, Ordering::Relaxed);
                    let Some(task) = tasks.get(i) else { break };
                    let result = work(task);
                    results.lock().expect("nothing panics that holds the results")[i] =
                        Some(result);
                }
            });
        }
    });
    let results = results.into_inner().expect("nothing panics that holds the results");
    results.into_iter().map(|result| result.expect("every task was taken and done")).collect()
}

/// What the whole batch ends with: a bug first, then files, input, refusals, denied warnings.
/// `failed` is how many rows of the table say so.
fn worst(outcomes: &[Outcome], failed: usize) -> Result<Ending, Error> {
    for code in [1, 7, 3] {
        if outcomes.iter().any(|outcome| matches!(outcome, Outcome::Failed(of) if *of == code)) {
            let kind = match code {
                1 => ErrorKind::Internal,
                7 => ErrorKind::File,
                _ => ErrorKind::Input,
            };
            return Err(Error::new(kind, format!("{failed} of {} jobs failed", outcomes.len()))
                .hint("see summary.csv"));
        }
    }
    let any =
        |ending: Ending| outcomes.iter().any(|o| matches!(o, Outcome::Ended(of) if *of == ending));
    let refused = any(Ending::Refused) || outcomes.iter().any(|o| matches!(o, Outcome::Failed(_)));
    Ok(if refused {
        Ending::Refused
    } else if any(Ending::DeniedWarnings) {
        Ending::DeniedWarnings
    } else {
        Ending::Done
    })
}
