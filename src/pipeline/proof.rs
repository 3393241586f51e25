//! What a file is held against: the expectation that follows from a worked-up job.
//!
//! Of the plan the proof is told where pieces lie, their tabs, marks, holes and pins, and the ways
//! in and out. All of these it judges in the file; none moves the boundary, which follows from the
//! finished part, and a way only permits a cut that would otherwise be refused as one that nobody
//! planned.

use crate::cam::mark::cleat_holes;
use crate::cam::plan::{self, ClampBox, Placed, Program, SetUps, SquareProgram, Tab};
use crate::diagnostics::Error;
use crate::geometry::{Bounds, Contour, Placement, Point, Vector};
use crate::job::{Corners, Job, Makes};
use crate::pipeline::set::{Kind, Member, Set, SheetRun};
use crate::pipeline::workup::{Planned, Workup};
use crate::profile::{Form, Machine};
use crate::stair::outline::{Outline, Role};
use crate::units::Length;
use crate::verify::{
    Clamp, DeclaredTab, Drawn, Expectation, Hole, Marks, Piece, Pin, Placements, Pocket, StockBox,
    Tabs, Task, Verdict, Waste, verify_drawing, verify_program,
};

/// The expectation of a program that was planned here: where it lies, which tabs it leaves, its
/// hole and its marks are known.
pub fn planned<'a>(job: &'a Job, outline: &Outline, program: &Program) -> Expectation<'a> {
    let piece = Piece {
        placement: Placements::Given(vec![program.placement()]),
        ..made(job, outline, program)
    };
    let whole = Expectation::of(piece, &job.cut.machine, stock(program), job.cut.material.form);
    // Two a shift, cut in the set-up before it.
    let shifted = usize::from(program.setups.len() > 1);
    let pin = |(i, hole)| Pin { hole: hole_of(hole), setup: i / 2 * shifted };
    Expectation {
        tabs: declared(program),
        waste: Waste::Planned(program.ways.clone()),
        clamps: clamps(&program.clamps, &program.stock),
        clamp_zone: plan::clamps_on_piece(program, &job.cut.machine),
        pins: program.pins.iter().enumerate().map(pin).collect(),
        setups: program.setups.clone(),
        // Of a part alone the planner leaves the margin free by the room round it; pin holes of
        // shifts look for a place.
        margin_mm: if program.setups.len() > 1 { job.cut.material.margin.as_mm() } else { 0.0 },
        reach: reach(program),
        ..whole
    }
}

/// The expectation of one of the programs of a part in one set-up.
pub fn of_program<'a>(
    job: &'a Job,
    outline: &Outline,
    of: &'a Planned,
    program: &Program,
) -> Expectation<'a> {
    let line = planned(job, outline, program);
    match of.rough.as_ref().filter(|_| program.roughs) {
        Some(rough) => roughed(line, &rough.machine),
        None => line,
    }
}

/// The expectation of a roughing program, by that of the program on the line: it cuts as far off
/// the pieces as its cutter is to leave, leaves their inside corners round, and bores no hole.
pub fn roughed<'a>(line: Expectation<'a>, machine: &'a Machine) -> Expectation<'a> {
    let left = machine.tool.leaves();
    let beside =
        |piece: Piece| Piece { left, corners: Corners::Fillet, holes: Vec::new(), ..piece };
    let pieces = line.pieces.into_iter().map(beside).collect();
    Expectation { pieces, machine, ..line }
}

/// The expectation of the program that bores the table for the pins of set-ups: those holes and
/// nothing else, in the table.
pub fn table(set_ups: &SetUps) -> Expectation<'_> {
    let program = &set_ups.table;
    Expectation {
        pieces: Vec::new(),
        machine: &set_ups.table_machine,
        stock: stock(program),
        form: Form::Sheet,
        tabs: Tabs::Declared(Vec::new()),
        waste: Waste::Planned(Vec::new()),
        clamps: Vec::new(),
        clamp_zone: None,
        zone_of: None,
        margin_mm: 0.0,
        spacing_mm: 0.0,
        pins: program.pins.iter().map(|of| Pin { hole: hole_of(of), setup: 0 }).collect(),
        setups: vec![Vector::zeros()],
        reach: reach(program),
    }
}

/// The expectation of the program of the test squares: the large one with the hole in it, and the
/// small one.
pub fn square(square: &SquareProgram) -> Expectation<'_> {
    let SquareProgram { sizes, machine, material, program } = square;
    let named = |i: usize, part| {
        let placed = &program.pieces[i];
        let at = Placements::Given(vec![placed.placement]);
        Piece::new(placed.name.as_str(), part, Corners::Fillet, at)
    };
    let large = Piece { openings: vec![sizes.hole()], ..named(0, sizes.piece()) };
    let small = named(1, sizes.small_piece());
    let alone = Expectation::of(large, machine, stock(program), material.form);
    Expectation {
        pieces: alone.pieces.iter().cloned().chain([small]).collect(),
        tabs: declared(program),
        waste: Waste::Planned(program.ways.clone()),
        margin_mm: material.margin.as_mm(),
        reach: reach(program),
        ..alone
    }
}

fn reach(program: &Program) -> Option<Bounds> {
    program.extents().map(|of| of.plane)
}

fn declared(program: &Program) -> Tabs {
    let tab = |tab: &Tab| DeclaredTab {
        at: tab.at,
        length_mm: tab.length_mm,
        top: tab.top,
        level_mm: tab.level_mm,
        height_mm: tab.height_mm,
    };
    Tabs::Declared(program.tabs.iter().map(tab).collect())
}

/// The clamps with what holds them beyond the edges of the stock.
fn clamps(clamps: &[ClampBox], stock: &plan::StockBox) -> Vec<Clamp> {
    let standing = |clamp: &ClampBox| Clamp {
        place: clamp.standing(stock),
        pad: clamp.place,
        height_mm: clamp.height.map(Length::as_mm),
    };
    clamps.iter().map(standing).collect()
}

fn stock(program: &Program) -> StockBox {
    StockBox {
        length_mm: program.stock.length.as_mm(),
        width_mm: program.stock.width.as_mm(),
        thickness_mm: program.stock.thickness.as_mm(),
    }
}

/// The expectation of a program of a sheet that several pieces share.
pub fn laid_out<'a>(set: &'a Set, run: &SheetRun, program: &Program) -> Expectation<'a> {
    let kinds = run.kinds.iter().enumerate();
    let pieces: Vec<Piece> = kinds.flat_map(|(i, kind)| laid(set, i, kind, program)).collect();
    let job = set.members[run.kinds[0].member].job();
    Expectation {
        pieces,
        machine: &job.cut.machine,
        stock: stock(program),
        form: job.cut.material.form,
        tabs: declared(program),
        waste: Waste::Planned(program.ways.clone()),
        clamps: clamps(&run.clamps, &program.stock),
        clamp_zone: plan::clamps_on_piece(program, &job.cut.machine),
        zone_of: None,
        margin_mm: job.cut.material.margin.as_mm(),
        spacing_mm: run.spacing.as_mm(),
        pins: Vec::new(),
        setups: vec![Vector::zeros()],
        reach: reach(program),
    }
}

/// One kind of piece of a sheet, where a program has it.
fn laid(set: &Set, number: usize, kind: &Kind, program: &Program) -> Vec<Piece> {
    let own: Vec<(usize, &Placed)> =
        program.pieces.iter().enumerate().filter(|(_, piece)| piece.kind == number).collect();
    if own.iter().all(|(_, piece)| piece.strokes.is_empty()) {
        let placements: Vec<_> = own.iter().map(|(_, piece)| piece.placement).collect();
        let all = (!placements.is_empty())
            .then(|| laid_at(set, kind, program, (kind.tooled.name.clone(), &[], placements)));
        return all.into_iter().collect();
    }
    // Each copy has marks of its own.
    let copy = |(i, piece): (usize, &Placed)| {
        let name = format!("piece {}, {}", i + 1, kind.tooled.name);
        laid_at(set, kind, program, (name, &piece.strokes, vec![piece.placement]))
    };
    own.into_iter().map(copy).collect()
}

/// Copies of a kind with these marks of their own beside those of the kind.
fn laid_at(
    set: &Set,
    kind: &Kind,
    program: &Program,
    (name, strokes, placements): (String, &[Vec<Point>], Vec<Placement>),
) -> Piece {
    let member = &set.members[kind.member];
    let hole = hole_of;
    let bored = drilled_holes(member, kind);
    let marks = program.marking.as_ref().map(|marking| Marks {
        strokes: kind.tooled.strokes.iter().chain(strokes).cloned().collect(),
        depth_mm: marking.depth.as_mm(),
        width_mm: marking.width.as_mm(),
    });
    let holes = match program.task {
        plan::Task::Cut => kind.tooled.holes.iter().map(hole).collect(),
        plan::Task::Mark => Vec::new(),
    };
    let drawn = drawn(member.tooling.as_ref().and_then(|tooling| tooling.marks.as_ref()));
    Piece {
        holes,
        drawn,
        drilled: bored.iter().map(hole_of).collect(),
        task: task(program.task, marks),
        inset: kind.inset,
        ..Piece::new(
            name,
            kind.part.clone(),
            member.job().cut.corners,
            Placements::Given(placements),
        )
    }
}

/// The holes of a kind that its drawing has on layer DRILL: those of dowels in layers, those of
/// cleats; what a pattern hangs by is on layer MARK.
pub fn drilled_holes(member: &Member, kind: &Kind) -> Vec<crate::cam::mark::Hole> {
    if member.job().cut.sharing.layers > 1 {
        return kind.tooled.holes.clone();
    }
    cleat_holes_of(&member.workup)
}

/// The holes of the cleats of a worked-up job.
pub fn cleat_holes_of(workup: &Workup) -> Vec<crate::cam::mark::Hole> {
    workup.outline.as_ref().map_or_else(Vec::new, |outline| cleat_holes(&workup.job, outline))
}

/// The expectation of a program that was planned here but may lie anywhere and be tied otherwise.
pub fn elsewhere<'a>(job: &'a Job, outline: &Outline, program: &Program) -> Expectation<'a> {
    let clamp_zone = plan::clamps_on_piece(program, &job.cut.machine);
    Expectation {
        pieces: vec![made(job, outline, program)],
        clamp_zone,
        zone_of: Some(program.placement()),
        ..anybodys(job, outline)
    }
}

/// The same of a program that leaves out the marks of one which makes them and cuts; `None` of any
/// other.
pub fn unmarked<'a>(expectation: &Expectation<'a>) -> Option<Expectation<'a>> {
    let makes_both = |piece: &Piece| matches!(piece.task, Task::Both(_));
    expectation.pieces.iter().any(makes_both).then(|| {
        let cut = |piece: &Piece| Piece { task: Task::Cut, ..piece.clone() };
        let pieces = expectation.pieces.iter().map(cut).collect();
        Expectation { pieces, ..expectation.clone() }
    })
}

/// The expectation of a file that anybody made: it may lie anywhere, its tabs are judged by rule,
/// and it has no marks, and no hole but those of cleats.
pub fn anybodys<'a>(job: &'a Job, outline: &Outline) -> Expectation<'a> {
    anywhere(job, plain(job, outline))
}

/// The same of a tread, a riser board or another piece that is cut beside the stringers.
pub fn anybodys_piece<'a>(job: &'a Job, name: &str, contour: &Contour<Role>) -> Expectation<'a> {
    anywhere(job, Piece::new(name, contour.clone(), job.cut.corners, Placements::Any))
}

fn anywhere(job: &Job, piece: Piece) -> Expectation<'_> {
    let material = &job.cut.material;
    let stock = StockBox {
        length_mm: material.length.as_mm(),
        width_mm: material.width.as_mm(),
        thickness_mm: material.thickness.as_mm(),
    };
    let whole = Expectation::of(piece, &job.cut.machine, stock, material.form);
    let lies = plan::StockBox {
        length: material.length,
        width: material.width,
        thickness: material.thickness,
    };
    let clamps = clamps(&ClampBox::all(&job.cut.sharing.clamps), &lies);
    Expectation { tabs: Tabs::ByRule, waste: Waste::Free, clamps, ..whole }
}

/// What the cuts of a set of one piece are held against where they may lie anywhere and be tied
/// otherwise: the piece with its holes.
pub fn laid_elsewhere(set: &Set) -> Vec<Expectation<'_>> {
    let of_run = |run: &'_ SheetRun| {
        let kind = run.kinds.first()?;
        let member = &set.members[kind.member];
        let cut = &run.programs.cut;
        let piece = laid(set, 0, kind, cut).into_iter().next()?;
        let anybodys = anybodys(member.job(), member.workup.outline.as_ref()?);
        Some((piece, anybodys))
    };
    let free = |(piece, anybodys)| Expectation {
        pieces: vec![Piece { placement: Placements::Any, ..piece }],
        ..anybodys
    };
    set.sheets.iter().filter_map(of_run).map(free).collect()
}

/// What a job's drawings are held against: the part, with its marks and its hanging hole on layer
/// MARK.
pub fn drawing<'a>(
    job: &'a Job,
    outline: &Outline,
    marks: Option<&crate::cam::mark::Marks>,
) -> Expectation<'a> {
    let whole = anybodys(job, outline);
    let drawn = drawn(marks);
    let pieces =
        whole.pieces.into_iter().map(|piece| Piece { drawn: drawn.clone(), ..piece }).collect();
    Expectation { pieces, ..whole }
}

fn drawn(marks: Option<&crate::cam::mark::Marks>) -> Drawn {
    let Some(marks) = marks else { return Drawn::default() };
    let hole = |hole: &crate::cam::mark::Hole| Hole {
        center: hole.center,
        radius_mm: hole.radius.as_mm(),
    };
    Drawn {
        strokes: marks.strokes.iter().map(|stroke| stroke.points.clone()).collect(),
        holes: marks.hole.iter().map(hole).collect(),
    }
}

/// The same expectation of a drawing that has these holes on layer DRILL.
pub fn drilled<'a>(
    mut expectation: Expectation<'a>,
    holes: &[crate::cam::mark::Hole],
) -> Expectation<'a> {
    for piece in &mut expectation.pieces {
        piece.drilled = holes.iter().map(hole_of).collect();
    }
    expectation
}

fn hole_of(hole: &crate::cam::mark::Hole) -> Hole {
    Hole { center: hole.center, radius_mm: hole.radius.as_mm() }
}

/// The job's part, anywhere.
fn plain(job: &Job, outline: &Outline) -> Piece {
    let inset = match job.cut.makes {
        Makes::Pattern(follow) => follow.inset(),
        Makes::Stringers => Length::ZERO,
    };
    let pockets = outline.pockets_in_board_frame();
    let pockets =
        pockets.into_iter().map(|p| Pocket { boundary: p.contour, depth_mm: p.depth.as_mm() });
    // Whoever made the file: the holes of cleats are the part's.
    let holes: Vec<Hole> = cleat_holes(job, outline).iter().map(hole_of).collect();
    Piece {
        inset,
        pockets: pockets.collect(),
        drilled: holes.clone(),
        holes,
        ..Piece::new("stringer", outline.in_board_frame(), job.cut.corners, Placements::Any)
    }
}

/// The same with the hole and the marks of a program.
fn made(job: &Job, outline: &Outline, program: &Program) -> Piece {
    let to_board = program.placement().inverse();
    let hole = |hole: &crate::cam::mark::Hole| Hole {
        center: to_board * hole.center,
        radius_mm: hole.radius.as_mm(),
    };
    let marks = program.marking.as_ref().map(|marking| Marks {
        strokes: marking
            .strokes
            .iter()
            .map(|points| points.iter().map(|p| to_board * p).collect())
            .collect(),
        depth_mm: marking.depth.as_mm(),
        width_mm: marking.width.as_mm(),
    });
    Piece {
        holes: program.holes.iter().map(hole).collect(),
        task: task(program.task, marks),
        ..plain(job, outline)
    }
}

fn task(of: plan::Task, marks: Option<Marks>) -> Task {
    match (of, marks) {
        (plan::Task::Mark, Some(marks)) => Task::Marks(marks),
        (plan::Task::Cut, Some(marks)) => Task::Both(marks),
        (_, None) => Task::Cut,
    }
}

/// Holds a file against an expectation; what it is, is told by its content.
///
/// # Errors
/// If the file cannot be read as what it seems to be.
pub fn hold(bytes: &[u8], file: &str, expectation: &Expectation<'_>) -> Result<Verdict, Error> {
    if is_drawing(bytes, file) {
        verify_drawing(bytes, file, expectation)
    } else {
        verify_program(bytes, file, expectation)
    }
}

/// Whether a file is a drawing, told by its content: a drawing exchange file begins with a group
/// code, 0 before its first section or 999 before a comment.
pub fn is_drawing(bytes: &[u8], file: &str) -> bool {
    let head = String::from_utf8_lossy(&bytes[..bytes.len().min(256)]).into_owned();
    let first = head.lines().map(str::trim).find(|line| !line.is_empty()).unwrap_or("");
    matches!(first, "0" | "999")
        || head.starts_with("AutoCAD Binary DXF")
        || file.to_ascii_lowercase().ends_with(".dxf")
}
