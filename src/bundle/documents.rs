//! The drawings and documents of one job of a set.

use std::borrow::Cow;

use super::frames::FrameOf;
use super::programs::ProgramOf;
use super::{Artifact, Proof, names};
use crate::cam::mark::Hole;
use crate::diagnostics::{Error, ErrorKind};
use crate::geometry::stroke_font::UnknownCharacter;
use crate::output::Stamp;
use crate::output::bench::{self, Played};
use crate::output::content::{CutFrom, RunOf, SheetsAlike, bench_sheet_of, boards_of, whole_stair};
use crate::output::drawing::{self, Paper, Subject, head_joint, sheets};
use crate::output::dxf::{Drawing, DxfVersion, HolesOf, compensated, nominal, nominal_skirt};
use crate::output::page::{Page, beneath, pdf, to_svg};
use crate::pipeline::proof;
use crate::pipeline::set::{Member, Set, SheetRun};
use crate::pipeline::steps::SideSkirt;
use crate::pipeline::workup::{Planned, Workup};
use crate::stair::outline::Outline;
use crate::units::Length;
use crate::verify::Expectation;

/// The sheet that shows a job: the first that has a piece of it, and which piece of it that is.
type OnSheet<'a> = Option<(&'a SheetRun, usize)>;

/// The programs of a set and its frames.
pub(super) type Runs<'r, 'a> = (&'r [ProgramOf<'a>], &'r [FrameOf<'a>]);

/// Everything about one job, told by its own tape whatever else is cut with it: drawings that are
/// proven, a drawing and sheets for people. Those that are drawn and those that are printed are
/// made beside each other, for neither needs the other.
pub(super) fn of<'a>(
    set: &'a Set,
    runs: Runs<'_, 'a>,
    member: usize,
    prefix: &str,
    form: (DxfVersion, Option<Paper>),
) -> Result<Vec<Artifact<'a>>, Error> {
    let run = set.sheets.iter().find_map(|run| Some((run, first_piece(run, member)?)));
    let workup = &*shown(set, member, run);
    let outline = workup.outline.as_ref().expect("a job that is cut has a part");
    let named = |files: Vec<Named<'a>>| {
        let with_prefix =
            |(name, bytes, proof)| Artifact { name: format!("{prefix}{name}"), bytes, proof };
        files.into_iter().map(with_prefix).collect::<Vec<_>>()
    };
    let tape = workup.job.tape;
    let (drawn, printed) = rayon::join(
        || tape.tells(|| drawn(set, member, (workup, outline), run, form)),
        || tape.tells(|| bench_sheets(set, runs, member, workup)),
    );
    let mut files = named(drawn?);
    files.extend(named(printed?));
    Ok(files)
}

/// A file of a job without what stands before its name, and how it is proven.
type Named<'a> = (&'static str, Vec<u8>, Proof<'a>);

/// The drawings of a job.
fn drawn<'a>(
    set: &'a Set,
    member: usize,
    (workup, outline): (&Workup, &Outline),
    run: OnSheet<'_>,
    (version, paper): (DxfVersion, Option<Paper>),
) -> Result<Vec<Named<'a>>, Error> {
    let stamp = Stamp::of(workup).made_for(&set.whose([member]));
    let mut files: Vec<Named<'a>> = Vec::new();
    for (name, drawn) in drawings(set, member, (workup, outline), run) {
        let proof = Proof::Drawing(Box::new(drawing_expectation(set, member)));
        files.push((name, drawn.write(version).into_bytes(), proof));
    }
    let units = workup.job.cut.machine.units;
    for of in &workup.beside.skirts {
        let bytes = nominal_skirt(&stamp, &of.skirt, units).write(version).into_bytes();
        let proof = Proof::Drawing(Box::new(skirt_expectation(set, member, of)));
        files.push((names::skirt(of.side), bytes, proof));
    }
    let mut picture = |name, printed_name, pages: &[Page], picture: &Page| {
        let signed = to_svg(&picture.clone().signed(&stamp.whose));
        files.push((name, signed.into_bytes(), Proof::Bytes));
        let printed = pdf(&stamp, pages).map_err(no_letter)?;
        files.push((printed_name, printed, Proof::Bytes));
        Ok(())
    };
    let subject = Subject::of(workup, outline).made(set.members[member].times);
    let sheets = sheets(&subject, paper);
    picture(names::DRAWING, names::DRAWING_PRINT, &sheets, &beneath(&sheets))?;
    if !workup.beside.skirts.is_empty() {
        let pages = drawing::skirts(workup, outline, paper);
        let shown = match &pages[..] {
            [only] => only.clone(),
            all => beneath(all),
        };
        picture(names::SKIRTS, names::SKIRTS_PRINT, &pages, &shown)?;
    }
    if let Some(head) = &workup.around.head {
        let page = head_joint(workup, head, paper);
        picture(names::HEAD_JOINT, names::HEAD_JOINT_PRINT, std::slice::from_ref(&page), &page)?;
    }
    Ok(files)
}

/// The bench sheet of a job, printed, and as a page where the job is alone or nothing is cut: of
/// jobs that are cut together there is one page, which plays their programs.
fn bench_sheets<'a>(
    set: &'a Set,
    runs: Runs<'_, 'a>,
    member: usize,
    workup: &Workup,
) -> Result<Vec<Named<'a>>, Error> {
    let mut sheet = bench_sheet_of(workup, &cut_from(set, runs, member));
    let whose = set.whose([member]);
    sheet.about.extend(whose.lines());
    sheet.stamp = sheet.stamp.made_for(&whose);
    if let Some(of) = set.stairways.iter().find(|of| of.has(member)) {
        sheet.add(whole_stair(of, &set.members));
    }
    let has_page = set.members.len() == 1 || set.is_by_hand();
    let page = || has_page.then(|| bench::page(&sheet, &played(set, runs)));
    let (page, printed) = rayon::join(
        || workup.job.tape.tells(page),
        || workup.job.tape.tells(|| bench::printed(&sheet, bench::paper())),
    );
    let page = page.map(|page| (names::BENCH_PAGE, page.into_bytes(), Proof::Bytes));
    let printed = (names::BENCH_PRINT, printed.map_err(no_letter)?, Proof::Bytes);
    Ok(page.into_iter().chain([printed]).collect())
}

/// The drawings of the stairs of several flights.
pub(super) fn whole_stairs(
    set: &Set,
    paper: Option<Paper>,
) -> Result<Vec<Artifact<'static>>, Error> {
    let mut files = Vec::new();
    for (of, prefix) in set.stairways.iter().zip(names::stair_prefixes(set)) {
        let tape = of.whole.job.tape;
        let sheets = tape.tells(|| drawing::whole_stair(of, &set.members, paper));
        let flights: Vec<&Workup> =
            of.flights(&set.members).iter().map(|flight| &flight.workup).collect();
        let stamp = Stamp { title: of.whole.job.title.clone(), ..Stamp::of_all(&flights) };
        let stamp = stamp.made_for(&set.whose([of.first]));
        let name = |name: &str| format!("{prefix}{name}");
        let picture = to_svg(&beneath(&sheets).signed(&stamp.whose));
        files.push(Artifact::document(name(names::STAIR), picture.into_bytes()));
        let printed = pdf(&stamp, &sheets).map_err(no_letter)?;
        files.push(Artifact::document(name(names::STAIR_PRINT), printed));
    }
    Ok(files)
}

/// What the pieces of a job are cut from, and how often.
fn cut_from<'a>(set: &'a Set, all: Runs<'a, 'a>, member: usize) -> CutFrom<'a> {
    let alike = |(i, run): (usize, &SheetRun)| {
        let pieces = &run.programs.cut.pieces;
        let own = run.members().filter(|of| *of == member).count();
        (own > 0).then(|| SheetsAlike {
            picture: names::sheet_picture(i),
            programs: all.0.iter().filter(|of| of.is_of(run)).map(|of| of.name.clone()).collect(),
            times: run.times,
            offcut: run.offcut.map(|of| of.size),
            pieces: own,
            others: pieces.len() - own,
        })
    };
    let sawn = set.boards.iter().filter(|plan| plan.blanks.iter().any(|b| b.member == member));
    let boards = sawn.flat_map(|plan| plan.boards.iter().map(|of| (of.length, of.times)));
    CutFrom {
        times: set.members[member].times,
        sheets: set.sheets.iter().enumerate().filter_map(alike).collect(),
        boards: boards.collect(),
        saw: boards_of(set, member),
        boards_shared: set.boards.iter().any(|plan| {
            plan.blanks.iter().any(|b| b.member == member)
                && plan.blanks.iter().any(|b| b.member != member)
        }),
        with_others: set
            .step_boards
            .iter()
            .filter(|shared| shared.members.contains(&member))
            .map(|shared| (titles(set, &shared.members), &shared.boards))
            .collect(),
        runs: runs(set, all, member),
    }
}

fn titles<'a>(set: &'a Set, members: &[usize]) -> Vec<&'a str> {
    members.iter().map(|&of| set.members[of].job().title.as_str()).collect()
}

/// What a drawing of a job of a set is held against: its part, its marks and its holes.
pub fn drawing_expectation(set: &Set, member: usize) -> Expectation<'_> {
    let Member { workup, tooling, .. } = &set.members[member];
    let outline = workup.outline.as_ref().expect("a job that is held against has a part");
    let marks = tooling.as_ref().and_then(|tooling| tooling.marks.as_ref());
    proof::drilled(proof::drawing(&workup.job, outline, marks), &drilled_holes(set, member))
}

/// What the drawing of a skirt of a job of a set is held against.
fn skirt_expectation<'a>(set: &'a Set, member: usize, of: &SideSkirt) -> Expectation<'a> {
    proof::anybodys(&set.members[member].workup.job, of.skirt.outline())
}

/// The job as its documents show it: a job laid out on sheets by the first program that cuts a
/// piece of it, and what is to say of the whole set where it is the only one.
fn shown<'a>(set: &'a Set, member: usize, run: OnSheet<'_>) -> Cow<'a, Workup> {
    let Member { workup, tooling, .. } = &set.members[member];
    let mut shown = Cow::Borrowed(workup);
    if let ([_], [_, ..]) = (&set.members[..], &set.findings[..]) {
        shown.to_mut().findings.extend(set.findings.iter().cloned());
    }
    if let (Some((run, _)), Some(tooling)) = (run, tooling) {
        shown.to_mut().planned = Some(Planned {
            path: tooling.path.clone(),
            program: run.programs.cut.clone(),
            rough: run.programs.rough.clone(),
            marks: tooling.marks.clone(),
            mark_program: run.programs.marks.clone(),
            set_ups: None,
        });
    }
    shown
}

/// The finished part, and the tool's path where there is one and it makes all of it, by name.
fn drawings(
    set: &Set,
    member: usize,
    (workup, outline): (&Workup, &Outline),
    run: OnSheet<'_>,
) -> Vec<(&'static str, Drawing)> {
    let stamp = Stamp::of(workup);
    let machine = &workup.job.cut.machine;
    let holes = drilled_holes(set, member);
    let planned = workup.planned.as_ref();
    let marked = |drawing: Drawing, inset: Length| {
        let drilled = drawing.with_holes(&holes, HolesOf::of(&workup.job), inset);
        match planned.and_then(|planned| planned.marks.as_ref()) {
            Some(marks) => drilled.with_marks(marks, inset),
            None => drilled,
        }
    };
    let mut drawings =
        vec![(names::NOMINAL, marked(nominal(&stamp, outline, machine.units), Length::ZERO))];
    if let Some(planned) = planned.filter(|_| !set.members[member].is_split()) {
        let program = match run {
            Some((_, piece)) => Cow::Owned(planned.program.of_piece(piece, &planned.path)),
            None => Cow::Borrowed(&planned.program),
        };
        let path = compensated(&stamp, &planned.path, &program, machine.units);
        drawings.push((names::COMPENSATED, marked(path, machine.tool_radius())));
    }
    drawings
}

/// All drawings of a job of a set that are proven, its skirts among them; none where it has no
/// part.
pub(super) fn jobs_drawings(set: &Set, member: usize) -> Vec<Drawing> {
    let run = set.sheets.iter().find_map(|run| Some((run, first_piece(run, member)?)));
    let workup = &*shown(set, member, run);
    let Some(outline) = &workup.outline else { return Vec::new() };
    let drawn = drawings(set, member, (workup, outline), run).into_iter().map(|(_, drawn)| drawn);
    let (stamp, units) = (Stamp::of(workup), workup.job.cut.machine.units);
    let skirts = workup.beside.skirts.iter().map(|of| nominal_skirt(&stamp, &of.skirt, units));
    drawn.chain(skirts).collect()
}

/// The holes of a job on layer DRILL: of its cleats, or the dowel holes of its layers, the same in
/// each.
fn drilled_holes(set: &Set, member: usize) -> Vec<Hole> {
    let of = &set.members[member];
    let mut kinds = set.sheets.iter().flat_map(|run| &run.kinds);
    match kinds.find(|kind| kind.member == member) {
        Some(kind) => proof::drilled_holes(of, kind),
        None => proof::cleat_holes_of(&of.workup),
    }
}

/// The number of the first piece on a sheet that belongs to a job.
fn first_piece(run: &SheetRun, member: usize) -> Option<usize> {
    run.members().position(|of| of == member)
}

/// Every program of a set in the order they are run, each frame before what it is for.
pub(super) fn runs<'a>(
    set: &'a Set,
    (programs, frames): Runs<'a, 'a>,
    member: usize,
) -> Vec<RunOf<'a>> {
    let goes_round = |of: &'a FrameOf<'a>| RunOf {
        file: of.name.clone(),
        is_frame: true,
        is_own: true,
        machine: of.machine,
        material: if of.is_of_one_stock { "the stock" } else { "a box round all its stock" },
        program: of.frame.program(),
        times: 1,
        numbers: Vec::new(),
    };
    let cuts = |of: &'a ProgramOf<'a>| {
        let cut = &set.members[of.member].job().cut;
        RunOf {
            file: of.name.clone(),
            is_frame: false,
            is_own: of.is_for(member),
            machine: of.machine(set),
            material: if of.is_of_table() { "the table" } else { &cut.material.name },
            program: of.program,
            times: of.turn.times,
            numbers: of.one_by_one(set, Set::one_by_one),
        }
    };
    in_order(programs, frames, cuts, goes_round)
}

/// Of every program and frame one thing, in the order they are run: each frame before the programs
/// that it is for.
fn in_order<'a, T>(
    programs: &'a [ProgramOf<'a>],
    frames: &'a [FrameOf<'a>],
    program: impl Fn(&'a ProgramOf<'a>) -> T,
    frame: impl Fn(&'a FrameOf<'a>) -> T,
) -> Vec<T> {
    let mut all = Vec::new();
    for (i, of) in programs.iter().enumerate() {
        all.extend(frames.iter().filter(|of| of.before == i).map(&frame));
        all.push(program(of));
    }
    all
}

/// What the bench page plays: every program, with its text and the pieces on its stock.
pub(super) fn played<'a>(set: &'a Set, all: Runs<'a, 'a>) -> Vec<Played<'a>> {
    let (programs, frames) = all;
    let round = |of: &'a FrameOf<'a>| {
        let same = |program: &&ProgramOf<'_>| {
            program.program.stock == of.frame.program().stock && program.machine(set) == of.machine
        };
        let pieces = programs.iter().rfind(same).map_or(Vec::new(), |program| program.pieces(set));
        (of.written.clone(), pieces)
    };
    let cut = |of: &'a ProgramOf<'a>| (of.written(set).clone(), of.pieces(set));
    runs(set, all, 0)
        .into_iter()
        .zip(in_order(programs, frames, cut, round))
        .map(|(run, ((text, lines), pieces))| Played { run, text, lines, pieces })
        .collect()
}

/// A title that cannot be drawn.
pub fn no_letter(unknown: UnknownCharacter) -> Error {
    Error::new(ErrorKind::Refused, "the title has a character that cannot be drawn")
        .found(format!("`{}`", unknown.0))
        .allowed("letters A to Z, digits and plain marks")
        .hint("title = ... without it")
}
