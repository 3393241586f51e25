//! What a file is held against: the expectation that follows from a worked-up job.

use crate::error::Error;
use crate::measure::{Job, Makes};
use crate::outline::Outline;
use crate::plan::{self, Program, Tab};
use crate::units::Length;
use crate::verify::{
    DeclaredTab, Expectation, Hole, Marks, Piece, Placements, StockBox, Tabs, Task, Verdict, verify_drawing,
    verify_program,
};

/// The expectation of a program that was planned here: where it lies, which tabs it leaves, its hole and its marks are
/// known.
pub fn planned<'a>(job: &'a Job, outline: &Outline, program: &Program) -> Expectation<'a> {
    let declared = |tab: &Tab| DeclaredTab { at: tab.at, length_mm: tab.length_mm, height_mm: tab.height_mm };
    let piece = Piece { placement: Placements::Given(vec![program.placement]), ..made(job, outline, program) };
    let stock = StockBox {
        length_mm: program.stock.length.as_mm(),
        width_mm: program.stock.width.as_mm(),
        thickness_mm: program.stock.thickness.as_mm(),
    };
    let tabs = Tabs::Declared(program.tabs.iter().map(declared).collect());
    Expectation { tabs, ..Expectation::of(piece, &job.cut.machine, stock, job.cut.material.form) }
}

/// The expectation of a program that was planned here but may lie anywhere and be tied otherwise.
pub fn elsewhere<'a>(job: &'a Job, outline: &Outline, program: &Program) -> Expectation<'a> {
    Expectation { pieces: vec![made(job, outline, program)], ..anybodys(job, outline) }
}

/// The expectation of a file that anybody made: it may lie anywhere, its tabs are judged by rule, and it has neither hole
/// nor marks.
pub fn anybodys<'a>(job: &'a Job, outline: &Outline) -> Expectation<'a> {
    let material = &job.cut.material;
    let stock = StockBox {
        length_mm: material.length.as_mm(),
        width_mm: material.width.as_mm(),
        thickness_mm: material.thickness.as_mm(),
    };
    let whole = Expectation::of(plain(job, outline), &job.cut.machine, stock, material.form);
    Expectation { tabs: Tabs::ByRule, ..whole }
}

/// The job's part, anywhere.
fn plain(job: &Job, outline: &Outline) -> Piece {
    let inset = match job.cut.makes {
        Makes::Pattern(follow) => follow.inset(),
        Makes::Stringers => Length::ZERO,
    };
    Piece { inset, ..Piece::new("stringer", outline.in_board_frame(), job.cut.corners, Placements::Any) }
}

/// The same with the hole and the marks of a program.
fn made(job: &Job, outline: &Outline, program: &Program) -> Piece {
    let to_board = program.placement.inverse();
    let hole = program.hole.map(|hole| Hole { center: to_board * hole.center, radius_mm: hole.radius.as_mm() });
    let marks = program.marking.as_ref().map(|marking| Marks {
        strokes: marking.strokes.iter().map(|points| points.iter().map(|p| to_board * p).collect()).collect(),
        depth_mm: marking.depth.as_mm(),
        width_mm: marking.width.as_mm(),
    });
    let task = match (program.task, marks) {
        (plan::Task::Mark, Some(marks)) => Task::Marks(marks),
        (plan::Task::Cut, Some(marks)) => Task::Both(marks),
        (_, None) => Task::Cut,
    };
    Piece { holes: hole.into_iter().collect(), task, ..plain(job, outline) }
}

/// Holds a file against an expectation; what it is, is told by its content.
///
/// # Errors
/// If the file cannot be read as what it seems to be.
pub fn hold(bytes: &[u8], file: &str, expectation: &Expectation) -> Result<Verdict, Error> {
    if looks_like_drawing(bytes, file) {
        verify_drawing(bytes, file, expectation)
    } else {
        verify_program(bytes, file, expectation)
    }
}

/// A drawing exchange file begins with a group code: 0 before its first section, or 999 before a comment.
fn looks_like_drawing(bytes: &[u8], file: &str) -> bool {
    let head = String::from_utf8_lossy(&bytes[..bytes.len().min(256)]).into_owned();
    let first = head.lines().map(str::trim).find(|line| !line.is_empty()).unwrap_or("");
    matches!(first, "0" | "999")
        || head.starts_with("AutoCAD Binary DXF")
        || file.to_ascii_lowercase().ends_with(".dxf")
}
