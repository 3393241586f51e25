//! A stringer that is a whole board, as it lies along its board, its inner face up: every place
//! that is marked along its upper edge, what is on its face large, and what is read beside it.

use super::board::{ABOVE_MM, LEFT_MM, MARKS_MM, RIGHT_MM};
use super::canvas::{Canvas, FIGURE_MM, HEADING_MM, ROW_MM, TEXT_MM, View, moved};
use super::dimension::{Mark, Runs, dimension_line, extension, longest, running};
use super::{
    FOOT_MM, PAD_MM, Paper, Subject, foot_line, framed, pattern, room, tables, title_block,
    top_left,
};
use crate::geometry::{Bounds, Point};
use crate::job::Hand;
use crate::output::page::{Anchor, Line, Page, Weight, text_width};
use crate::units::{Length, decimal, on_tape};

/// Width of the title block.
const BLOCK_MM: f64 = 136.0;
/// Below the board: the blank and the first nosing's height.
const BELOW_MM: f64 = 16.0;
/// From the board to the dimension below it.
const BLANK_MM: f64 = 9.0;

/// What is on the face of a whole board.
pub(super) trait OnFace {
    /// Which side of the stair is drawn.
    fn hand(&self) -> Hand;
    /// The two notes beside the heading.
    fn notes(&self, subject: &Subject<'_>) -> [String; 2];
    /// The places along the upper edge in the board frame, each with how far along the board it is.
    fn marks(&self, subject: &Subject<'_>) -> Vec<(Point, f64)>;
    /// Which way these run: from the left end of the sheet where nothing else is said.
    fn runs(&self) -> Runs {
        Runs::RightLabelsAbove
    }
    /// Draws it within the outline.
    fn draw(&self, canvas: &mut Canvas, subject: &Subject<'_>, view: &View);
    /// Draws a piece of it large, and what is said of it.
    fn detail(&self, canvas: &mut Canvas, subject: &Subject<'_>, room: Bounds);
    /// What a sheet shows, in a sentence.
    fn described(&self) -> &'static str;
}

/// The sheets of such a stringer.
pub(super) fn sheets(subject: &Subject<'_>, on: &dyn OnFace, paper: Paper) -> Vec<Page> {
    let board = subject.outline.in_board_frame().bounds();
    let noses = on.marks(subject);
    let above =
        ABOVE_MM + MARKS_MM + 6.0 + longest(noses.iter().map(|(_, mark)| Length::mm(*mark)));
    let room = room(paper);
    let share = if paper.is_large() { 0.5 } else { 0.62 };
    let holds = |scale: f64| {
        LEFT_MM + board.width() / scale + RIGHT_MM <= room.width()
            && above + board.height() / scale + BELOW_MM <= room.height() * share
    };
    let scale = Paper::scale_that(holds);
    let mut canvas = Canvas::default();
    let origin = moved(top_left(room), LEFT_MM, -above - board.max.y / scale);
    let view = View { scale, origin };
    heading(&mut canvas, subject, on, scale, top_left(room));
    face(&mut canvas, subject, on, (&view, &noses));
    let block = Point::new(room.max.x - BLOCK_MM, room.min.y);
    let mut below = Bounds { min: room.min, max: Point::new(room.max.x, 0.0) };
    below.max.y = view.at(0.0, board.min.y).y - BELOW_MM;
    let bar = if paper.is_large() {
        below.max.x = block.x - PAD_MM;
        moved(block, 0.0, title_block::HEIGHT_MM + PAD_MM)
    } else {
        below.min.y += title_block::HEIGHT_MM + PAD_MM;
        room.min
    };
    title_block::scale_bar(&mut canvas, scale, bar, title_block::BAR_WIDTH_MM);
    let mut rest: Vec<Canvas> = Vec::new();
    if paper.is_large() {
        on.detail(&mut canvas, subject, below);
    } else {
        let mut own = Canvas::default();
        let mut whole = room;
        whole.min.y += FOOT_MM;
        on.detail(&mut own, subject, whole);
        rest.push(own);
    }
    let mut below_views = room;
    below_views.min.y += FOOT_MM;
    rest.extend(subject.pattern.as_ref().map(|pattern| {
        let mut canvas = Canvas::default();
        pattern::draw(&mut canvas, subject, pattern, below_views);
        canvas
    }));
    rest.extend(tables::sheets(subject, None, below_views));
    let count = rest.len() + 1;
    let numbered = |i: usize| format!("{i} of {count}, {}", paper.name());
    title_block::draw(&mut canvas, subject, scale, &numbered(1), block, BLOCK_MM);
    let said = |i: usize| {
        let name = subject.job.stringer.name();
        let title = format!("{}: {name}, sheet {i} of {count}", subject.job.title);
        let job = subject.fingerprint;
        (title, format!("{} Job {job}.", on.described()))
    };
    let mut sheets = vec![framed(canvas, paper, said(1))];
    for (i, mut canvas) in rest.into_iter().enumerate() {
        foot_line(&mut canvas, subject, room, &numbered(i + 2));
        sheets.push(framed(canvas, paper, said(i + 2)));
    }
    sheets
}

fn heading(canvas: &mut Canvas, subject: &Subject<'_>, on: &dyn OnFace, scale: f64, corner: Point) {
    let hand = on.hand().name().to_uppercase();
    let title = format!("INNER FACE, {hand} HAND  1 : {}", decimal(scale, 0));
    let beside = text_width(&title, HEADING_MM, Weight::Bold) + 4.0;
    canvas.heading(moved(corner, 0.0, -HEADING_MM), title);
    for (i, note) in on.notes(subject).into_iter().enumerate() {
        let down = TEXT_MM + ROW_MM * i as f64;
        canvas.text(moved(corner, beside, -down), Anchor::Start, note);
    }
}

/// The inner face, every marked place and the board's size.
fn face(
    canvas: &mut Canvas,
    subject: &Subject<'_>,
    on: &dyn OnFace,
    (view, noses): (&View, &[(Point, f64)]),
) {
    let board = subject.outline.in_board_frame();
    let points =
        |vertices: Vec<Point>| vertices.iter().map(|p| view.at(p.x, p.y)).collect::<Vec<_>>();
    canvas.closed(points(board.vertices()), Line::VisibleEdge);
    let bounds = board.bounds();
    let row = view.at(0.0, bounds.max.y).y + MARKS_MM;
    let mut marks: Vec<Mark> = noses
        .iter()
        .map(|(nose, mark)| Mark {
            offset: mark / view.scale,
            feature: view.at(nose.x, nose.y),
            value: Length::mm(*mark),
        })
        .collect();
    marks.sort_by(|a, b| a.offset.total_cmp(&b.offset));
    let end = if on.runs() == Runs::LeftLabelsAbove { bounds.max.x } else { 0.0 };
    let from = view.at(end, bounds.max.y);
    running(canvas, on.runs(), Point::new(from.x, row), from, &marks);
    on.draw(canvas, subject, view);
    let x = view.at(bounds.min.x, 0.0).x - 6.0;
    let [low, high] = [bounds.min.y, bounds.max.y].map(|y| view.at(bounds.min.x, y));
    for at in [low, high] {
        extension(canvas, at, Point::new(x, at.y));
    }
    dimension_line(canvas, Point::new(x, low.y), Point::new(x, high.y));
    let width = format!("board {}", on_tape(subject.job.board.width));
    canvas.upright(Point::new(x - 1.8, (low.y + high.y) / 2.0), Anchor::Middle, width);
    let y = low.y - BLANK_MM;
    let [left, right] = [bounds.min.x, bounds.max.x].map(|x| view.at(x, bounds.min.y));
    let ends = [left, right].map(|at| Point::new(at.x, y));
    extension(canvas, left, ends[0]);
    extension(canvas, right, ends[1]);
    dimension_line(canvas, ends[0], ends[1]);
    let blank = format!("blank, before end trim: {}", on_tape(Length::mm(bounds.max.x)));
    let middle = moved(ends[0], (ends[1].x - ends[0].x) / 2.0, 1.8);
    let beside = moved(ends[0], 4.0, -FIGURE_MM - 2.4);
    canvas.place_figure(&blank, [(middle, Anchor::Middle), (beside, Anchor::Start)]);
}
