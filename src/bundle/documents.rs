//! The drawings and documents of one job of a set.

use super::programs::ProgramOf;
use super::{Artifact, Proof, names};
use crate::cam::mark::Hole;
use crate::cam::plan::Placed;
use crate::diagnostics::{Error, ErrorKind};
use crate::geometry::Contour;
use crate::geometry::stroke_font::UnknownCharacter;
use crate::output::Stamp;
use crate::output::bench;
use crate::output::content::bench_sheet;
use crate::output::drawing::{drawing, head_joint};
use crate::output::dxf::{Drawing, DxfVersion, compensated, nominal};
use crate::pipeline::proof;
use crate::pipeline::set::{Member, Set, SheetRun};
use crate::pipeline::workup::{Planned, Tooling, Workup};
use crate::stair::outline::{Outline, Role};
use crate::units::Length;

/// The sheet that shows a job: the first that has a piece of it, and which piece of it that is.
type OnSheet<'a> = Option<(&'a SheetRun, usize)>;

/// Everything about one job: drawings that are proven, a drawing and sheets for people.
pub(super) fn of<'a>(
    set: &'a Set,
    programs: &[ProgramOf],
    member: usize,
    prefix: &str,
    version: DxfVersion,
) -> Result<Vec<Artifact<'a>>, Error> {
    let Member { tooling, .. } = &set.members[member];
    let job = set.members[member].job();
    let run = set.sheets.iter().find_map(|run| Some((run, first_piece(run, member)?)));
    let workup = shown(set, member, run);
    let planned = workup.planned.as_ref().expect("a set that nothing refuses cuts a piece of every job");
    let outline = workup.outline.as_ref().expect("a job that is cut has a part");
    let tooling = tooling.as_ref().expect("a job that is cut has a tool's path");
    let named = |name: &str| format!("{prefix}{name}");
    let mut files = drawings(set, member, (planned, tooling, outline), run, version)
        .into_iter()
        .map(|file| Artifact { name: named(&file.name), ..file })
        .collect::<Vec<_>>();
    let drawn = drawing(job, &workup.fingerprint, &workup.flight, outline, workup.throat_cut, &workup.findings);
    files.push(Artifact::document(named(names::DRAWING), drawn));
    if let Some(head) = &workup.around.head {
        let drawn = head_joint(job, &workup.fingerprint, &workup.flight, head);
        files.push(Artifact::document(named(names::HEAD_JOINT), drawn));
    }
    if job.housed.is_some() {
        // The bench sheet is that of a sawtooth: steps to lay out, a throat. A housed board has none of them.
        return Ok(files);
    }
    if set.members.len() == 1 {
        let name = played(programs, run);
        let page = bench::page(&workup, planned, &on_stock(run, planned), name);
        files.push(Artifact::document(names::BENCH_PAGE, page));
    }
    let printed = bench::printed(&bench_sheet(&workup), bench::paper(job)).map_err(no_letter)?;
    files.push(Artifact::document(named(names::BENCH_PRINT), printed));
    Ok(files)
}

/// The job as its documents show it: a job laid out on sheets by the first program that cuts a piece of it, and what is to
/// say of the whole set where it is the only one.
fn shown(set: &Set, member: usize, run: OnSheet) -> Workup {
    let Member { workup, tooling, .. } = &set.members[member];
    let mut workup = workup.clone();
    if let [_] = &set.members[..] {
        workup.findings.extend(set.findings.iter().cloned());
    }
    if let (Some((run, _)), Some(tooling)) = (run, tooling) {
        workup.planned = Some(Planned {
            path: tooling.path.clone(),
            program: run.programs.cut.clone(),
            marks: tooling.marks.clone(),
            mark_program: run.programs.marks.clone(),
        });
    }
    workup
}

/// The finished part, and the tool's path where one path makes all of it.
fn drawings<'a>(
    set: &'a Set,
    member: usize,
    (planned, tooling, outline): (&Planned, &'a Tooling, &Outline),
    run: OnSheet,
    version: DxfVersion,
) -> Vec<Artifact<'a>> {
    let workup = &set.members[member].workup;
    let stamp = Stamp::of(workup);
    let machine = &workup.job.cut.machine;
    let holes = dowel_holes(set, member);
    let marked = |drawing: Drawing, inset: Length| {
        let drilled = drawing.with_holes(holes, inset);
        match &tooling.marks {
            Some(marks) => drilled.with_marks(marks, inset),
            None => drilled,
        }
    };
    let plain = marked(nominal(&stamp, outline, machine.units), Length::ZERO);
    let mut files = vec![drawn(names::NOMINAL, &plain, version, set, member, outline)];
    if !set.members[member].is_split() {
        let program = match run {
            Some((_, piece)) => planned.program.of_piece(piece, &planned.path),
            None => planned.program.clone(),
        };
        let path = compensated(&stamp, &planned.path, planned.path.ledger(), &program, machine.units);
        let path = marked(path, machine.tool_radius());
        files.push(drawn(names::COMPENSATED, &path, version, set, member, outline));
    }
    files
}

fn drawn<'a>(
    name: &str,
    drawing: &Drawing,
    version: DxfVersion,
    set: &'a Set,
    member: usize,
    outline: &Outline,
) -> Artifact<'a> {
    let Member { workup, tooling, .. } = &set.members[member];
    let job = &workup.job;
    let marks = tooling.as_ref().and_then(|tooling| tooling.marks.as_ref());
    let expectation = proof::drilled(proof::drawing(job, outline, marks), dowel_holes(set, member));
    let proof = Proof::Drawing(Box::new(expectation));
    Artifact { name: name.to_string(), bytes: drawing.write(version).into_bytes(), proof }
}

/// The dowel holes of a job's layers, the same in each.
fn dowel_holes(set: &Set, member: usize) -> &[Hole] {
    let layers = set.members[member].job().cut.sharing.layers;
    let kind = set.sheets.iter().flat_map(|run| &run.kinds).find(|kind| kind.member == member && layers > 1);
    kind.map_or(&[], |kind| &kind.tooled.holes)
}

/// The number of the first piece on a sheet that belongs to a job.
fn first_piece(run: &SheetRun, member: usize) -> Option<usize> {
    run.programs.cut.pieces.iter().position(|piece| run.kinds[piece.kind].member == member)
}

/// The pieces as they lie on the stock of the program that is shown.
fn on_stock(run: OnSheet, planned: &Planned) -> Vec<Contour<Role>> {
    let Some((run, _)) = run else { return vec![planned.piece_on_stock()] };
    let lain = |piece: &Placed| run.kinds[piece.kind].tooled.piece.placed(&piece.placement);
    run.programs.cut.pieces.iter().map(lain).collect()
}

/// The name of the program that the bench page plays: the cut of the sheet that is shown, or of the only piece.
fn played<'a>(programs: &'a [ProgramOf], run: OnSheet) -> &'a str {
    let own = |of: &&ProgramOf| run.is_none_or(|(run, _)| of.is_of(run));
    // Marks come before the cut.
    programs.iter().rfind(own).expect("what is shown has a program").name.as_str()
}

/// A title that cannot be drawn.
pub fn no_letter(unknown: UnknownCharacter) -> Error {
    Error::new(ErrorKind::Refused, "the title has a character that cannot be drawn")
        .found(format!("`{}`", unknown.0))
        .allowed("letters A to Z, digits and plain marks")
        .hint("title = ... without it")
}
