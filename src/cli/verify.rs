//! `verify`: files that anybody made, held against a job.

use std::cell::OnceCell;
use std::path::{Path, PathBuf};

use super::args::ReportArguments;
use super::beside_stringer::{as_skirt, as_step};
use super::console::Console;
use super::judged;
use super::letter::{
    Given, Letter, OwnTexts, of_whole_sheets, strange_words, to_the_letter, together_are,
};
use super::make::cut_named;
use super::named::{Named, lines};
use super::nearest::{cuts_nothing, drawing_of_set, hold, hold_to_set, stage_of};
use super::stock_file::Rack;
use super::table::refusing;
use super::told::hung;
use super::{Ending, ending, given, input, told};
use crate::bundle::{Stage, Together, frame_faults, held_in_set_ups, judged_report};
use crate::diagnostics::visible::visible;
use crate::diagnostics::{Error, ErrorKind, Finding, codes};
use crate::job::Stock;
use crate::optimise::nesting::Watch;
use crate::output::judged_report::JudgedReport;
use crate::output::report::Report;
use crate::pipeline::proof;
use crate::pipeline::set::{Entry, OrderFacts, Set, is_laid_out};
use crate::pipeline::workup::Workup;
use crate::stair::outline::Outline;
use crate::verify::Verdict;

/// The largest file that is read.
const LARGEST_FILE: u64 = 64 << 20;

/// Verifies files against a job, or against jobs that are cut together.
pub(super) fn verify(
    path: &Path,
    (effort, stock): (u32, Option<&Path>),
    files: &[PathBuf],
    report: &ReportArguments,
    console: &Console,
) -> Result<Ending, Error> {
    let asked = input::entries_and_files(&[path.to_path_buf()])?;
    let rack = match Rack::of(stock, asked.stock.as_deref()) {
        // What an order was cut from may be gone: it is in the numbers of pieces alone.
        Err(error) if stock.is_none() && error.kind() == ErrorKind::File => None,
        read => read?.map(|rack| rack.stock),
    };
    let read = |file: &PathBuf| {
        let bytes = input::read_bytes(file, LARGEST_FILE)?;
        Ok((file.display().to_string(), bytes))
    };
    let mut files = files.iter().map(read);
    let told = held((asked.what, asked.order, (effort, rack)), &mut files, report, &|error| {
        console.complain(error);
    })?;
    console.print(&told.0)?;
    Ok(told.1)
}

/// How what is held was laid out: how hard it was searched, and the rack that it was cut from.
pub(super) type Laid = (u32, Option<Stock>);

/// The set of jobs as it was laid out. A rack that has too little by now, for what was made was
/// taken off it, lays out nothing: then it is as if there were none.
fn set_of(entries: Vec<Entry>, (effort, rack): &Laid) -> Result<Set, Error> {
    let Some(rack) = rack else { return Set::of(entries, *effort) };
    let set = Set::out_of(entries.clone(), *effort, Some(rack.clone()), &Watch::nobody())?;
    let lacks = |found: &Finding| {
        found.is::<codes::StockWithout>()
            || found.is::<codes::StockSheets>()
            || found.is::<codes::StockUsedUp>()
            || found.is::<codes::StockShort>()
    };
    if set.refused() && set.findings.iter().any(lacks) {
        Set::of(entries, *effort)
    } else {
        Ok(set)
    }
}

/// Files on their way in, each with its name.
type Files<'a> = &'a mut dyn Iterator<Item = Result<(String, Vec<u8>), Error>>;

/// Holds files against jobs that are read: what is said of them, and how it ended. What cannot be
/// read as a file of its kind is complained of.
pub(super) fn held(
    (mut entries, order, laid): (Vec<Entry>, Option<OrderFacts>, Laid),
    files: Files<'_>,
    report: &ReportArguments,
    complain: &dyn Fn(&Error),
) -> Result<(String, Ending), Error> {
    if entries.len() > 1 {
        entries.iter().try_for_each(|entry| cut_named(&entry.job))?;
    }
    let alone = match &entries[..] {
        [only] => is_alone(only, &laid)?,
        _ => false,
    };
    match entries.pop() {
        Some(Entry { job, .. }) if alone => {
            let workup = Workup::designed(&job)?;
            let outline = part_of(&workup)?;
            let whole =
                |findings, judged| Report { findings, judged, ..Report::of(&workup) }.to_json();
            let laid_out = OnceCell::new();
            let alone = || match laid_out.get() {
                Some(set) => Ok(set),
                None => {
                    let set = set_of(vec![Entry { job: job.clone(), times: 1 }], &laid)?;
                    let set = set.for_order(order.clone());
                    Ok(laid_out.get_or_init(|| set))
                }
            };
            let frame = |bytes: &[u8], name: &str| frame_faults(bytes, name, alone()?);
            let own = OwnTexts::default();
            let letter = |bytes: &[u8], name: &str| match proof::is_drawing(bytes, name) {
                true => Ok(of_drawing(strange_words(bytes, name, || alone().ok()))),
                false => Ok(to_the_letter(bytes, alone()?, &own)),
            };
            let roll = |given: &[Given]| Ok(together_are(given, alone()?, &own));
            let set_ups = workup.planned.as_ref().is_some_and(|planned| planned.set_ups.is_some());
            let roughed = workup.planned.as_ref().is_some_and(|planned| planned.rough.is_some());
            let given = taken_first(set_ups || roughed, files)?;
            let together = together(&given, alone)?;
            let of_set_up =
                |bytes: &[u8], name: &str| held_in_set_ups((bytes, name), alone()?, &together);
            let files = &mut given.iter().cloned().map(Ok).chain(files);
            judge(files, report, complain, (whole, frame, letter, roll), |bytes, name| {
                let is_drawing = proof::is_drawing(bytes, name);
                if set_ups
                    && !is_drawing
                    && let Some((what, verdict)) = of_set_up(bytes, name)?
                {
                    return Ok((Some(Named::SetUp(what)), verdict));
                }
                if roughed
                    && !is_drawing
                    && let Some(held) = stage_of(bytes, name, alone()?, &together)?
                {
                    return Ok(held);
                }
                let verdict = of_whole_sheets(bytes, name, hold(bytes, name, &workup, outline)?);
                if is_drawing && let Some((skirt, as_skirt)) = as_skirt(bytes, name, &workup)? {
                    // A butted skirt may have the very outline of the stringer.
                    return Ok(match verdict.is_this_part() {
                        true => (Some(Named::AlsoSkirt(skirt)), verdict),
                        false => (Some(Named::Skirt(skirt)), as_skirt),
                    });
                }
                if is_drawing
                    && !verdict.is_this_part()
                    && let Some((step, as_step)) = as_step(bytes, name, &workup)?
                {
                    return Ok((Some(Named::Step(step)), as_step));
                }
                Ok((None, verdict))
            })
        }
        last => {
            entries.extend(last);
            let set = set_of(entries, &laid)?.for_order(order);
            for member in &set.members {
                part_of(&member.workup)?;
            }
            let has_stages =
                set.members.iter().any(|member| member.job().cut.machine.roughing().is_some());
            let given = taken_first(has_stages, files)?;
            let together = together(&given, || Ok(&set))?;
            let files = &mut given.iter().cloned().map(Ok).chain(files);
            let whole = |findings, judged| judged_report(&set, findings, judged);
            let frame = |bytes: &[u8], name: &str| frame_faults(bytes, name, &set);
            let own = OwnTexts::default();
            let letter = |bytes: &[u8], name: &str| match proof::is_drawing(bytes, name) {
                true => Ok(of_drawing(strange_words(bytes, name, || Some(&set)))),
                false => Ok(to_the_letter(bytes, &set, &own)),
            };
            let roll = |given: &[Given]| Ok(together_are(given, &set, &own));
            judge(files, report, complain, (whole, frame, letter, roll), |bytes, name| {
                if proof::is_drawing(bytes, name) {
                    return drawing_of_set(bytes, name, &set);
                }
                if let Some(held) = stage_of(bytes, name, &set, &together)? {
                    return Ok(held);
                }
                hold_to_set(bytes, name, &set)
            })
        }
    }
}

/// Whether a job is one piece on stock of its own.
fn is_alone(only: &Entry, laid: &Laid) -> Result<bool, Error> {
    let Entry { job, times } = only;
    if *times > 1 || is_laid_out(job) || !job.landings.is_empty() {
        return Ok(false);
    }
    Ok(laid.1.is_none() || !set_of(vec![only.clone()], laid)?.is_on_offcuts())
}

/// All files at once, where they may belong together; else none, and they come one by one.
fn taken_first(all: bool, files: Files<'_>) -> Result<Vec<(String, Vec<u8>)>, Error> {
    if all { files.collect() } else { Ok(Vec::new()) }
}

/// The programs among files that were given together; one alone belongs with nothing.
fn together<'a, 's>(
    given: &'a [(String, Vec<u8>)],
    set: impl FnOnce() -> Result<&'s Set, Error>,
) -> Result<Together<'a>, Error> {
    if given.len() < 2 {
        return Ok(Together::default());
    }
    let files = given.iter().map(|(name, bytes)| (name.as_str(), bytes.as_slice()));
    Together::of(files.filter(|(name, bytes)| !proof::is_drawing(bytes, name)), set()?)
}

fn part_of(workup: &Workup) -> Result<&Outline, Error> {
    workup.outline.as_ref().ok_or_else(|| {
        let what =
            format!("this job has no part to hold a file against: {}", refusing(&workup.findings));
        Error::new(ErrorKind::Refused, what).hint("seatcut solve JOB")
    })
}

/// What is said of a drawing's words; it is no program.
fn of_drawing(words: String) -> Letter {
    Letter { words, is: None }
}

/// Holds every file: what came of it.
fn judge(
    files: Files<'_>,
    report: &ReportArguments,
    complain: &dyn Fn(&Error),
    (whole, frame, letter, roll): (
        impl FnOnce(Vec<Finding>, Vec<JudgedReport>) -> String,
        impl Fn(&[u8], &str) -> Result<Option<Vec<Finding>>, Error>,
        impl Fn(&[u8], &str) -> Result<Letter, Error>,
        impl FnOnce(&[Given]) -> Result<String, Error>,
    ),
    hold: impl Fn(&[u8], &str) -> Result<(Option<Named>, Verdict), Error>,
) -> Result<(String, Ending), Error> {
    let mut all: Vec<Finding> = Vec::new();
    let (mut text, mut told, mut over) = (String::new(), Vec::new(), Vec::new());
    // Which of the job's programs each program is.
    let mut programs: Vec<Given> = Vec::new();
    let mut failed = Ending::Done;
    for file in files {
        let (name, bytes) = file?;
        if let Some(is) = given::not_held(&bytes) {
            over.push((name.clone(), is));
            told.push(judged::unread(&name));
            failed = Ending::NotThisPart;
            continue;
        }
        match hold(&bytes, &name) {
            // The set's frame is no part, and said so.
            Ok((_, verdict))
                if !verdict.is_this_part() && frame(&bytes, &name)? == Some(Vec::new()) =>
            {
                text += &format!("{}: the frame of this set, it cuts nothing\n", visible(&name));
                let Letter { words, is } = letter(&bytes, &name)?;
                text += &words;
                programs.push((name.clone(), is));
                told.push(judged::frame(&name));
            }
            Ok((named, verdict)) => {
                if !verdict.is_this_part() {
                    failed = Ending::NotThisPart;
                }
                text.push_str(&lines(&visible(&name), named.as_ref(), &verdict));
                if cuts_nothing(&verdict)
                    && let Some(faults) = frame(&bytes, &name)?
                {
                    text += &hung("as the frame that goes round before the programs:", "  ");
                    text.extend(faults.iter().map(told::finding));
                }
                let is_program = verdict.what.is_program();
                let mut is_own = None;
                if verdict.is_this_part() || !is_program {
                    let Letter { words, is } = letter(&bytes, &name)?;
                    text += &words;
                    is_own = is;
                }
                programs.extend(is_program.then(|| (name.clone(), is_own)));
                let which = match named {
                    Some(Named::Skirt(skirt)) => (Some(skirt), None, None),
                    Some(Named::Step(step)) => (None, Some(step), None),
                    Some(Named::Stage(Stage::Roughing)) => (None, None, Some("roughing")),
                    Some(Named::Stage(Stage::OnLine)) => (None, None, Some("on-the-line")),
                    Some(Named::SetUp(_) | Named::Part(..) | Named::AlsoSkirt(_)) | None => {
                        (None, None, None)
                    }
                };
                told.push(judged::report(&name, which, &verdict));
                all.extend(verdict.findings);
            }
            Err(error) if error.kind() == ErrorKind::NotThisPart => {
                complain(&error);
                told.push(judged::unread(&name));
                failed = Ending::NotThisPart;
            }
            Err(error) => return Err(error),
        }
    }
    if !over.is_empty() {
        complain(&given::passed_over(&over));
    }
    if programs.len() > 1 {
        text += &roll(&programs)?;
    }
    let end = match ending(&all, report) {
        Ending::Refused => Ending::NotThisPart,
        _ if failed == Ending::NotThisPart => Ending::NotThisPart,
        other => other,
    };
    Ok((if report.json { whole(all, told) } else { text }, end))
}
