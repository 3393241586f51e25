//! `make` of several pieces: work up, lay out, write every file, read each back from disk and prove it, publish the set.

use super::console::{Console, shown};
use super::made::{Made, row};
use super::make::{Making, held, program_line, proven};
use super::output_set::{NamedFile, Staging};
use super::pages::no_letter;
use super::{Ending, table};
use crate::diagnostics::Finding;
use crate::error::Error;
use crate::export::batch_table::BatchRow;
use crate::export::bench;
use crate::export::drawing::{drawing, head_joint};
use crate::export::dxf::{DxfVersion, compensated, nominal};
use crate::export::gcode::gcode;
use crate::export::report::{ProgramReport, Report, UNSEALED};
use crate::export::set_report::{SetReport, SheetReport, sheet_report};
use crate::export::set_text::{saw_list, sheet_line, totals};
use crate::export::sheet_picture::sheet_picture;
use crate::export::{Stamp, file_report, program_report};
use crate::geometry::Contour;
use crate::mark::Hole;
use crate::outline::Role;
use crate::plan::{Placed, Program};
use crate::proof;
use crate::set::{Entry, Member, Set, SheetRun};
use crate::units::Length;
use crate::workup::Planned;

/// One program of a set: its name, and where it comes from.
struct Named<'a> {
    name: String,
    program: &'a Program,
    member: usize,
    times: usize,
    /// The sheet it is cut from; none where it is cut from a blank.
    run: Option<&'a SheetRun>,
}

/// Makes the set of several pieces.
pub(super) fn make_set(entries: Vec<Entry>, order: &Making) -> Result<Made, Error> {
    let mut set = Set::of(entries, order.effort)?;
    show_in_documents(&mut set);
    let mut report = SetReport::of(&set);
    let findings: Vec<Finding> = set.all_findings().cloned().collect();
    let end = if set.refused() { Ending::Refused } else { super::ending(&findings, order.report) };
    // Before the findings of the set are those of its one job too: each is printed once.
    let said = words(&set, order.console);
    if end != Ending::Done {
        let row = row_of(&set, &[]);
        return Ok(Made::unwritten(end, as_json(report), said, &findings, row));
    }
    if let [only] = &mut set.members[..] {
        // The documents of one job tell what is to say of its sheets too.
        only.workup.findings.extend(set.findings.iter().cloned());
    }
    let revisions = set.members.iter().map(|member| member.workup.fingerprint.to_string());
    let mut staging = order.staging(revisions.collect())?;
    let programs = named_programs(&set);
    let (files, sheets) = files(&set, &programs, order.dxf)?;
    staging.write(&files)?;
    report.sheets = sheets;
    report.programs = prove(&staging, &files, &set, &programs)?;
    report.files = files.iter().map(|(name, bytes)| file_report(name, bytes)).collect();
    let row = row_of(&set, &report.programs);
    let mut lines: Vec<String> = report.programs.iter().map(program_line).collect();
    let of_sheets = set.sheets.iter().zip(&report.sheets);
    lines.extend(of_sheets.map(|(run, sheet)| format!("{}: {}\n", sheet.picture, sheet_line(run))));
    report.digest = Some(UNSEALED);
    let json = as_json(report);
    staging.write(&[("report.json".to_string(), json.clone().into_bytes())])?;
    let mut names: Vec<String> = files.into_iter().map(|(name, _)| name).collect();
    names.push("report.json".to_string());
    staging.publish()?;
    let dir = shown(order.output);
    let text = [said, lines.concat(), totals(&set)].concat();
    Ok(Made::written(json, format!("{text}{dir}: {}\n", names.join(", ")), row, order.output))
}

fn row_of(set: &Set, programs: &[ProgramReport]) -> BatchRow {
    row(&set.members.iter().map(|member| (&member.job, &member.workup)).collect::<Vec<_>>(), programs)
}

/// A job laid out on sheets is shown in its documents by the first program that cuts a piece of it.
fn show_in_documents(set: &mut Set) {
    for i in 0..set.members.len() {
        let run = set.sheets.iter().find(|run| first_piece(run, i).is_some());
        let Some(run) = run else { continue };
        let (cut, marks) = (run.programs.cut.clone(), run.programs.marks.clone());
        let member = &mut set.members[i];
        let Some(tooling) = &member.tooling else { continue };
        member.workup.planned = Some(Planned {
            path: tooling.path.clone(),
            program: cut,
            marks: tooling.marks.clone(),
            mark_program: marks,
        });
    }
}

/// The number of the first piece on a sheet that belongs to a member.
fn first_piece(run: &SheetRun, member: usize) -> Option<usize> {
    run.programs.cut.pieces.iter().position(|piece| run.kinds[piece.kind].member == member)
}

/// One job's report where there is one job, else the report of the set.
pub(super) fn as_json(mut report: SetReport) -> String {
    if report.jobs.len() != 1 {
        return report.to_json();
    }
    let mut findings = std::mem::take(&mut report.findings);
    let mut job: Report = report.jobs.remove(0);
    job.findings.append(&mut findings);
    job.nests = report.nests;
    job.sheets = report.sheets;
    job.boards = report.boards;
    job.programs = report.programs;
    job.files = report.files;
    job.digest = report.digest;
    job.to_json()
}

/// The layout of every job and all findings.
fn words(set: &Set, console: &Console) -> String {
    let mut text = String::new();
    for member in &set.members {
        text.push_str(&table::layout(&member.job, &member.workup));
        if set.members.len() > 1 {
            text.push_str(&table::findings(&member.workup.findings, console));
            text.push('\n');
        }
    }
    let mut findings: Vec<Finding> = Vec::new();
    if set.members.len() == 1 {
        findings.extend(set.members[0].workup.findings.iter().cloned());
    }
    findings.extend(set.findings.iter().cloned());
    text + &table::findings(&findings, console)
}

/// Every program in the order they are run: sheet by sheet, marks before the cut; then one for every job cut from boards.
fn named_programs(set: &Set) -> Vec<Named<'_>> {
    let mut programs: Vec<Named> = Vec::new();
    for run in &set.sheets {
        let member = run.programs.cut.pieces.first().map_or(0, |piece| run.kinds[piece.kind].member);
        for program in run.programs.marks.iter().chain([&run.programs.cut]) {
            programs.push(Named { name: String::new(), program, member, times: run.times, run: Some(run) });
        }
    }
    let of_boards = |member: &&Member| !crate::set::on_sheets(&member.job);
    for (i, member) in set.members.iter().enumerate().filter(|(_, member)| of_boards(member)) {
        if let Some(planned) = &member.workup.planned {
            let times = member.pieces();
            programs.push(Named { name: String::new(), program: &planned.program, member: i, times, run: None });
        }
    }
    let alone = programs.len() == 1;
    for (i, named) in programs.iter_mut().enumerate() {
        named.name = if alone { "program.nc".to_string() } else { format!("program-{}.nc", i + 1) };
    }
    programs
}

/// A file name's beginning for each job: nothing where there is one, else its title in plain letters.
fn prefixes(set: &Set) -> Vec<String> {
    if set.members.len() == 1 {
        return vec![String::new()];
    }
    let mut prefixes: Vec<String> = Vec::new();
    for member in &set.members {
        let plain = |c: char| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { '-' };
        let words: String = member.job.title.chars().map(plain).collect();
        let slug = words.split('-').filter(|word| !word.is_empty()).collect::<Vec<_>>().join("-");
        let slug = if slug.is_empty() { "job".to_string() } else { slug };
        let mut prefix = format!("{slug}.");
        let mut number = 2;
        while prefixes.contains(&prefix) {
            prefix = format!("{slug}-{number}.");
            number += 1;
        }
        prefixes.push(prefix);
    }
    prefixes
}

fn files(set: &Set, programs: &[Named], version: DxfVersion) -> Result<(Vec<NamedFile>, Vec<SheetReport>), Error> {
    let mut files: Vec<NamedFile> = Vec::new();
    let all = Stamp::of_all(&set.members.iter().map(|member| &member.job).collect::<Vec<_>>());
    for named in programs {
        let Member { job, tooling, .. } = &set.members[named.member];
        let Some(tooling) = tooling else { continue };
        let stamp = if named.run.is_some() { all.clone() } else { Stamp::of(job) };
        let text = gcode(&stamp, &job.cut.machine, tooling.path.ledger(), named.program);
        files.push((named.name.clone(), text.into_bytes()));
    }
    let mut sheets = Vec::new();
    for (i, run) in set.sheets.iter().enumerate() {
        let picture = format!("sheet-{}.svg", i + 1);
        let own = programs.iter().filter(|named| named.run.is_some_and(|of| std::ptr::eq(of, run)));
        let names: Vec<String> = own.map(|named| named.name.clone()).collect();
        files.push((
            picture.clone(),
            sheet_picture(run, &format!("Sheet {} of {} (job {})", i + 1, all.title, all.fingerprint)).into_bytes(),
        ));
        sheets.push(sheet_report(run, &picture, names));
    }
    if !set.boards.is_empty() {
        files.push(("boards.txt".to_string(), saw_list(set, &title(set)).into_bytes()));
    }
    for (i, prefix) in prefixes(set).into_iter().enumerate() {
        files.extend(documents(set, i, &prefix, programs, version)?);
    }
    Ok((files, sheets))
}

fn title(set: &Set) -> String {
    let of = |member: &Member| format!("{} (job {})", member.job.title, member.workup.fingerprint);
    let titles: Vec<String> = set.members.iter().map(of).collect();
    format!("Boards for {}\n{}", titles.join(", "), Stamp::tool())
}

/// The documents of one job.
fn documents(
    set: &Set,
    i: usize,
    prefix: &str,
    programs: &[Named],
    version: DxfVersion,
) -> Result<Vec<NamedFile>, Error> {
    let Member { job, workup, .. } = &set.members[i];
    let (Some(planned), Some(outline)) = (&workup.planned, &workup.outline) else { return Ok(Vec::new()) };
    let stamp = Stamp::of(job);
    let machine = &job.cut.machine;
    let run = set.sheets.iter().find_map(|run| Some((run, first_piece(run, i)?)));
    let shown = match run {
        Some((_, piece)) => planned.program.of_piece(piece, &planned.path),
        None => planned.program.clone(),
    };
    let mut plain = nominal(&stamp, outline, machine.units);
    let mut path = compensated(&stamp, &planned.path, planned.path.ledger(), &shown, machine.units);
    let holes = dowel_holes(set, i);
    plain = plain.with_holes(holes, Length::ZERO);
    path = path.with_holes(holes, machine.tool_radius());
    if let Some(marks) = &planned.marks {
        plain = plain.with_marks(marks, Length::ZERO);
        path = path.with_marks(marks, machine.tool_radius());
    }
    let drawn = drawing(job, &workup.fingerprint, &workup.flight, outline, workup.throat_cut, &workup.findings);
    let printed = bench::printed(&bench::bench_sheet(job, workup), bench::paper(job)).map_err(no_letter)?;
    let mut files: Vec<NamedFile> = vec![
        (format!("{prefix}nominal.dxf"), plain.write(version).into_bytes()),
        (format!("{prefix}drawing.svg"), drawn.into_bytes()),
        (format!("{prefix}bench.pdf"), printed),
    ];
    if !set.members[i].is_split() {
        files.push((format!("{prefix}compensated.dxf"), path.write(version).into_bytes()));
    }
    if let Some(head) = &workup.around.head {
        let drawn = head_joint(job, &workup.fingerprint, &workup.flight, head);
        files.push((format!("{prefix}head-joint.svg"), drawn.into_bytes()));
    }
    if set.members.len() == 1 {
        let played = programs.iter().find(|named| std::ptr::eq(named.program, &planned.program) || is_same(named, run));
        let name = played.map_or("program.nc", |named| named.name.as_str());
        files.push((
            "bench.html".to_string(),
            bench::page(job, workup, planned, &on_sheet(run, planned), name).into_bytes(),
        ));
    }
    Ok(files)
}

/// The dowel holes of a job's layers, the same in each.
fn dowel_holes(set: &Set, member: usize) -> &[Hole] {
    let layers = set.members[member].job.cut.sharing.layers;
    let kind = set.sheets.iter().flat_map(|run| &run.kinds).find(|kind| kind.member == member && layers > 1);
    kind.map_or(&[], |kind| &kind.tooled.holes)
}

/// The pieces as they lie on the stock of the program that is shown.
fn on_sheet(run: Option<(&SheetRun, usize)>, planned: &Planned) -> Vec<Contour<Role>> {
    let Some((run, _)) = run else { return vec![planned.piece_on_stock()] };
    let lain = |piece: &Placed| run.kinds[piece.kind].tooled.piece.placed(&piece.placement);
    run.programs.cut.pieces.iter().map(lain).collect()
}

/// Whether a program cuts the sheet.
fn is_same(named: &Named, run: Option<(&SheetRun, usize)>) -> bool {
    run.is_some_and(|(run, _)| std::ptr::eq(named.program, &run.programs.cut))
}

/// Reads every program and drawing back from disk and holds it against the set; the entries of the programs in order.
fn prove(staging: &Staging, files: &[NamedFile], set: &Set, programs: &[Named]) -> Result<Vec<ProgramReport>, Error> {
    let mut reports = Vec::new();
    let prefixes = prefixes(set);
    for (name, written) in files {
        let bytes = staging.read_back(name, written)?;
        if let Some(named) = programs.iter().find(|named| named.name == *name) {
            let Member { job, workup, tooling, .. } = &set.members[named.member];
            let (Some(tooling), Some(outline)) = (tooling, &workup.outline) else { continue };
            let expectation = match named.run {
                Some(run) => proof::laid_out(set, run, named.program),
                None => proof::planned(job, outline, named.program),
            };
            let verdict = held(&bytes, name, &expectation)?;
            let ledger = tooling.path.ledger();
            reports.push(program_report(name, job, ledger, named.program, named.times, proven(&verdict)));
        } else if name.ends_with(".dxf") {
            let of = prefixes.iter().position(|prefix| name.strip_prefix(prefix.as_str()).is_some_and(is_drawing));
            let Some(of) = of else { continue };
            let Member { job, workup, tooling, .. } = &set.members[of];
            let Some(outline) = &workup.outline else { continue };
            let marks = tooling.as_ref().and_then(|tooling| tooling.marks.as_ref());
            held(&bytes, name, &proof::drilled(proof::drawing(job, outline, marks), dowel_holes(set, of)))?;
        }
    }
    Ok(reports)
}

fn is_drawing(name: &str) -> bool {
    matches!(name, "nominal.dxf" | "compensated.dxf")
}
