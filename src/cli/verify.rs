//! `verify`: files that anybody made, held against a job.

use std::cell::OnceCell;
use std::path::{Path, PathBuf};

use super::args::ReportArguments;
use super::beside_stringer::{as_skirt, as_step};
use super::console::Console;
use super::judged;
use super::letter::{carries, of_whole_sheets, strange_words, to_the_letter};
use super::make::cut_named;
use super::named::{Named, lines};
use super::stock_file::Rack;
use super::table::refusing;
use super::told::hung;
use super::{Ending, ending, given, input, told};
use crate::bundle::{
    Stage, Together, drawing_expectation, expectations, frame_faults, held_in_set_ups,
    held_in_stages, judged_report,
};
use crate::diagnostics::visible::visible;
use crate::diagnostics::{Error, ErrorKind, Finding, codes};
use crate::job::Stock;
use crate::optimise::nesting::Watch;
use crate::output::judged_report::JudgedReport;
use crate::output::report::Report;
use crate::pipeline::proof;
use crate::pipeline::set::{Entry, Member, OrderFacts, Set, is_laid_out};
use crate::pipeline::workup::Workup;
use crate::stair::outline::Outline;
use crate::verify::{Expectation, Recognised, Verdict};

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
            let letter = |bytes: &[u8], name: &str| match proof::is_drawing(bytes, name) {
                true => Ok(strange_words(bytes, name, || alone().ok())),
                false => Ok(to_the_letter(bytes, alone()?)),
            };
            let set_ups = workup.planned.as_ref().is_some_and(|planned| planned.set_ups.is_some());
            let roughed = workup.planned.as_ref().is_some_and(|planned| planned.rough.is_some());
            let given = taken_first(set_ups || roughed, files)?;
            let together = together(&given, alone)?;
            let of_set_up =
                |bytes: &[u8], name: &str| held_in_set_ups((bytes, name), alone()?, &together);
            let files = &mut given.iter().cloned().map(Ok).chain(files);
            judge(files, report, complain, (whole, frame, letter), |bytes, name| {
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
            let letter = |bytes: &[u8], name: &str| match proof::is_drawing(bytes, name) {
                true => Ok(strange_words(bytes, name, || Some(&set))),
                false => Ok(to_the_letter(bytes, &set)),
            };
            judge(files, report, complain, (whole, frame, letter), |bytes, name| {
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

/// A program as one of two that cut with a cutter each, held together with the other as planned:
/// where it is one, or says that it is of this set and is nearest to one. Any other may be
/// anybody's.
fn stage_of(
    bytes: &[u8],
    name: &str,
    set: &Set,
    together: &Together<'_>,
) -> Result<Option<(Option<Named>, Verdict)>, Error> {
    let held = if set.refused() { None } else { held_in_stages((bytes, name), set, together)? };
    let is_cut = |verdict: &Verdict| !verdict.findings.iter().any(|f| f.is::<codes::NothingCut>());
    let taken = held
        .filter(|(_, verdict)| verdict.is_this_part() || is_cut(verdict) && carries(bytes, set));
    Ok(taken.map(|(stage, verdict)| (Some(Named::Stage(stage)), verdict)))
}

/// A drawing as the part of one of a set's jobs, or as a skirt of one; where it is neither, against
/// what it is least off. Other pieces of its sheets have no drawing of their own.
fn drawing_of_set(bytes: &[u8], name: &str, set: &Set) -> Result<(Option<Named>, Verdict), Error> {
    let mut least = Least::default();
    for (i, member) in set.members.iter().enumerate() {
        let of_job = |skirt: String| match &set.members[..] {
            [_] => skirt,
            _ => format!("{skirt} of {}", member.job().title),
        };
        let verdict = proof::hold(bytes, name, &drawing_expectation(set, i))?;
        let skirt = as_skirt(bytes, name, &member.workup)?;
        match (verdict.is_this_part(), skirt) {
            (true, None) => return Ok((None, verdict)),
            (true, Some((skirt, _))) => {
                return Ok((Some(Named::AlsoSkirt(of_job(skirt))), verdict));
            }
            (false, Some((skirt, verdict))) => {
                return Ok((Some(Named::Skirt(of_job(skirt))), verdict));
            }
            (false, None) => {
                if let Some((step, verdict)) = as_step(bytes, name, &member.workup)? {
                    return Ok((Some(Named::Step(of_job(step))), verdict));
                }
                least.note(verdict);
            }
        }
    }
    // Pieces of a split pattern, layers: what its programs cut, where it cuts no steps.
    if set.members.iter().all(|member| member.workup.beside.from_sheet.is_empty()) {
        let (_, verdict) = hold_to_set(bytes, name, set)?;
        if verdict.is_this_part() {
            return Ok((None, verdict));
        }
    }
    Ok((None, least.0.ok_or_else(nothing_to_make)?))
}

fn part_of(workup: &Workup) -> Result<&Outline, Error> {
    workup.outline.as_ref().ok_or_else(|| {
        let what =
            format!("this job has no part to hold a file against: {}", refusing(&workup.findings));
        Error::new(ErrorKind::Refused, what).hint("seatcut solve JOB")
    })
}

/// Holds every file: what came of it.
fn judge(
    files: Files<'_>,
    report: &ReportArguments,
    complain: &dyn Fn(&Error),
    (whole, frame, letter): (
        impl FnOnce(Vec<Finding>, Vec<JudgedReport>) -> String,
        impl Fn(&[u8], &str) -> Result<Option<Vec<Finding>>, Error>,
        impl Fn(&[u8], &str) -> Result<String, Error>,
    ),
    hold: impl Fn(&[u8], &str) -> Result<(Option<Named>, Verdict), Error>,
) -> Result<(String, Ending), Error> {
    let mut all: Vec<Finding> = Vec::new();
    let (mut text, mut told, mut over) = (String::new(), Vec::new(), Vec::new());
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
                text += &letter(&bytes, &name)?;
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
                if verdict.is_this_part() || verdict.what != Recognised::Program {
                    text += &letter(&bytes, &name)?;
                }
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
    let end = match ending(&all, report) {
        Ending::Refused => Ending::NotThisPart,
        _ if failed == Ending::NotThisPart => Ending::NotThisPart,
        other => other,
    };
    Ok((if report.json { whole(all, told) } else { text }, end))
}

/// Whether a file may be a frame: no part is made, and nothing is cut.
fn cuts_nothing(verdict: &Verdict) -> bool {
    let uncut = |finding: &Finding| finding.is::<codes::NothingCut>();
    verdict.what == Recognised::Program
        && !verdict.is_this_part()
        && verdict.findings.iter().any(uncut)
}

/// As one of the set's programs, else as the plain part of one of its jobs; where nothing fits,
/// against what it is least off. A program that carries the set's fingerprint has to be one of its
/// programs. A plain part is one piece of several: that is said, and is not what was asked for.
fn hold_to_set(bytes: &[u8], name: &str, set: &Set) -> Result<(Option<Named>, Verdict), Error> {
    let mut least = Least::default();
    let several: usize = set.members.iter().map(Member::pieces).sum();
    for expectation in expectations(set) {
        let verdict = proof::hold(bytes, name, &expectation)?;
        if verdict.is_this_part() {
            let pieces = verdict.placements.len();
            let some = (pieces < several).then_some(Named::Part(pieces, several));
            return Ok((some, verdict));
        }
        least.note(verdict);
    }
    let is_drawing = proof::is_drawing(bytes, name);
    if !is_drawing && carries(bytes, set) {
        let verdict = least.0.ok_or_else(nothing_to_make)?;
        let verdict =
            if some_piece_is_made(&verdict) { verdict } else { verdict.of_another_layout(name) };
        return Ok((None, verdict));
    }
    if !is_drawing && several == 1 {
        for expectation in proof::laid_elsewhere(set) {
            let verdict = proof::hold(bytes, name, &expectation)?;
            if verdict.is_this_part() {
                return Ok((None, verdict));
            }
            least.note(verdict);
        }
    }
    for (i, member) in set.members.iter().enumerate() {
        let verdict = proof::hold(bytes, name, &drawing_expectation(set, i))?;
        if verdict.is_this_part() {
            let is_whole = is_drawing || several == 1;
            let verdict = if is_whole {
                verdict
            } else {
                verdict.of_one_among(several, &member.job().title, name)
            };
            return Ok((None, verdict));
        }
        // Of several pieces the figures of one say nothing.
        if is_drawing || several == 1 {
            least.note(verdict);
        }
    }
    let verdict = least.0.ok_or_else(nothing_to_make)?;
    let told = if set.is_on_offcuts() { verdict } else { of_whole_sheets(bytes, name, verdict) };
    Ok((None, told))
}

fn nothing_to_make() -> Error {
    Error::new(ErrorKind::Refused, "nothing of this set can be made").hint("seatcut make says why")
}

fn some_piece_is_made(verdict: &Verdict) -> bool {
    verdict.findings.iter().any(|finding| finding.is::<codes::NotAllPieces>())
}

/// The verdict with the fewest refusals so far.
#[derive(Default)]
struct Least(Option<Verdict>);

impl Least {
    fn note(&mut self, verdict: Verdict) {
        if self.0.as_ref().is_none_or(|least| verdict.wrongs() < least.wrongs()) {
            self.0 = Some(verdict);
        }
    }
}

/// First as if it were a program planned here, each of them in turn. A file that carries this job's
/// fingerprint has to be just one of those; any other may lie elsewhere and be tied otherwise, with
/// the job's hole and marks or as the plain part. Where nothing fits, the marks' program explains a
/// file that cuts nothing, and the cut's any other.
fn hold(bytes: &[u8], name: &str, workup: &Workup, outline: &Outline) -> Result<Verdict, Error> {
    let job = &workup.job;
    if !proof::is_drawing(bytes, name) {
        // A program is held against what a machine can do.
        cut_named(job)?;
    }
    let marks = workup.planned.as_ref().and_then(|planned| planned.marks.as_ref());
    let anybodys = proof::drawing(job, outline, marks);
    let is_drawing = proof::is_drawing(bytes, name);
    let Some(planned) = workup.planned.as_ref().filter(|_| !is_drawing) else {
        let mut verdict = proof::hold(bytes, name, &anybodys)?;
        if !is_drawing {
            // What is not to be cut at all, on this machine or of this wood, no program cuts.
            let refusals = workup.findings.iter().filter(|finding| finding.refuses());
            verdict.findings.extend(refusals.cloned());
        }
        return Ok(verdict);
    };
    let (mut held, mut least): (Vec<Verdict>, _) = (Vec::new(), Least::default());
    for program in planned.programs() {
        let of_program = proof::of_program(job, outline, planned, program);
        held.push(proof::hold(bytes, name, &of_program)?);
    }
    if let Some(taken) = held.iter().position(Verdict::is_this_part) {
        return Ok(held.swap_remove(taken));
    }
    let says_ours = String::from_utf8_lossy(bytes).contains(&workup.fingerprint.to_string());
    if !says_ours {
        let on_line = planned.programs().filter(|program| !program.roughs);
        let mut elsewhere: Vec<_> =
            on_line.map(|program| proof::elsewhere(job, outline, program)).collect();
        // Whoever wrote it: a board is clamped where the job has it clamped.
        let zone = elsewhere.iter().find_map(|e| Some((e.clamp_zone?, e.zone_of?)));
        let (clamp_zone, zone_of) = zone.unzip();
        elsewhere.push(Expectation { clamp_zone, zone_of, ..anybodys });
        for expectation in elsewhere {
            let verdict = proof::hold(bytes, name, &expectation)?;
            if verdict.is_this_part() {
                return Ok(verdict);
            }
            least.note(verdict);
        }
    }
    // The cut comes last, and is the one that asks for a cut.
    let is_uncut = held.last().is_some_and(cuts_nothing);
    // Of a file that may lie anywhere the reasons are those of the place that it fits best.
    let fits_best = |least: &Verdict| held.iter().all(|of| least.wrongs() < of.wrongs());
    if let Some(least) = least.0.filter(|least| !is_uncut && fits_best(least)) {
        return Ok(least);
    }
    // Else those of the program that it is least off; of two alike of the later one, which cuts.
    let nearest = (0..held.len()).rev().min_by_key(|&i| held[i].wrongs());
    Ok(held.swap_remove(nearest.filter(|_| !is_uncut).unwrap_or(0)))
}
