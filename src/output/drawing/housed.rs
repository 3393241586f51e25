//! A housed stringer: its inner face as it lies along its board with every nosing's place, one pair
//! of pockets and a section through them large, and what is read beside them.

use super::canvas::{Canvas, FIGURE_MM, HEADING_MM, ROW_MM, TEXT_MM, View, moved};
use super::dimension::{Mark, Runs, dimension_line, extension, longest, running};
use super::pocket_detail;
use super::{
    FOOT_MM, PAD_MM, Paper, Subject, foot_line, framed, room, tables, title_block, top_left,
};
use crate::geometry::{Bounds, Point, Segment};
use crate::job::Housed;
use crate::output::page::{Anchor, Line, Page, Weight, text_width, wrap};
use crate::stair::outline::PocketRole;
use crate::units::{Length, decimal, on_tape};

/// Width of the title block.
const BLOCK_MM: f64 = 136.0;
/// Room for dimensions left of the face, and right of it.
const LEFT_MM: f64 = 20.0;
const RIGHT_MM: f64 = 8.0;
/// Room of heading and notes over the face, and of the line of running dimensions.
const NOTES_MM: f64 = TEXT_MM + ROW_MM + 2.0;
const MARKS_MM: f64 = 4.0;
/// Below the board: the blank and the first nosing's height.
const BELOW_MM: f64 = 16.0;
/// From the board to the dimension below it.
const BLANK_MM: f64 = 9.0;
/// The narrowest pocket in which a step is numbered, on the paper.
const NUMBERED_MM: f64 = 6.0;

/// The sheets of a housed stringer.
pub(super) fn sheets(subject: &Subject<'_>, housed: &Housed, paper: Paper) -> Vec<Page> {
    let board = subject.outline.in_board_frame().bounds();
    let noses = nose_marks(subject);
    let above =
        NOTES_MM + MARKS_MM + 6.0 + longest(noses.iter().map(|(_, mark)| Length::mm(*mark)));
    let room = room(paper);
    let share = if paper.is_large() { 0.5 } else { 0.62 };
    let holds = |scale: &f64| {
        LEFT_MM + board.width() / scale + RIGHT_MM <= room.width()
            && above + board.height() / scale + BELOW_MM <= room.height() * share
    };
    let scales = Paper::scales();
    let scale = scales.iter().copied().find(holds).unwrap_or(scales[scales.len() - 1]);
    let mut canvas = Canvas::default();
    let origin = moved(top_left(room), LEFT_MM, -above - board.max.y / scale);
    let view = View { scale, origin };
    heading(&mut canvas, subject, housed, scale, top_left(room));
    face(&mut canvas, subject, &view, &noses);
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
        pocket_detail::draw(&mut canvas, subject, housed, below);
    } else {
        let mut own = Canvas::default();
        let mut whole = room;
        whole.min.y += FOOT_MM;
        pocket_detail::draw(&mut own, subject, housed, whole);
        rest.push(own);
    }
    let mut below_views = room;
    below_views.min.y += FOOT_MM;
    rest.extend(tables::sheets(subject, None, below_views));
    let count = rest.len() + 1;
    let numbered = |i: usize| format!("{i} of {count}, {}", paper.name());
    title_block::draw(&mut canvas, subject, scale, &numbered(1), block, BLOCK_MM);
    let said = |i: usize| {
        let title = format!("{}: housed stringer, sheet {i} of {count}", subject.job.title);
        let job = subject.fingerprint;
        (title, format!("Inner face of a housed stringer with its pockets. Job {job}."))
    };
    let mut sheets = vec![framed(canvas, paper, said(1))];
    for (i, mut canvas) in rest.into_iter().enumerate() {
        foot_line(&mut canvas, subject, room, &numbered(i + 2));
        sheets.push(framed(canvas, paper, said(i + 2)));
    }
    sheets
}

fn heading(canvas: &mut Canvas, subject: &Subject<'_>, housed: &Housed, scale: f64, corner: Point) {
    let hand = housed.hand.name().to_uppercase();
    let title = format!("INNER FACE, {hand} HAND  1 : {}", decimal(scale, 0));
    let beside = text_width(&title, HEADING_MM, Weight::Bold) + 4.0;
    canvas.heading(moved(corner, 0.0, -HEADING_MM), title);
    let notes = [
        "Along the upper edge: every nosing, from the left end of the blank.".to_string(),
        format!(
            "Nosing to nosing {} along the board; treads at {}\u{b0} to it.",
            on_tape(subject.flight.pitch_length()),
            decimal(subject.outline.pitch_rad().to_degrees(), 2)
        ),
    ];
    for (i, note) in notes.into_iter().enumerate() {
        let down = TEXT_MM + ROW_MM * i as f64;
        canvas.text(moved(corner, beside, -down), Anchor::Start, note);
    }
}

/// The inner face, every nosing's place and the board's size.
fn face(canvas: &mut Canvas, subject: &Subject<'_>, view: &View, noses: &[(Point, f64)]) {
    let board = subject.outline.in_board_frame();
    let points =
        |vertices: Vec<Point>| vertices.iter().map(|p| view.at(p.x, p.y)).collect::<Vec<_>>();
    canvas.closed(points(board.vertices()), Line::VisibleEdge);
    for pocket in subject.outline.pockets_in_board_frame() {
        canvas.closed(points(pocket.contour.vertices()), Line::VisibleEdge);
    }
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
    let end = Point::new(view.at(0.0, 0.0).x, row);
    running(canvas, Runs::RightLabelsAbove, end, view.at(0.0, bounds.max.y), &marks);
    numbers(canvas, subject, view);
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

/// The number of every tread under its pocket, where there is room between two.
fn numbers(canvas: &mut Canvas, subject: &Subject<'_>, view: &View) {
    let spacing = subject.flight.pitch_length().as_mm() / view.scale;
    if spacing < 2.0 * NUMBERED_MM {
        return;
    }
    for k in 1..=subject.flight.treads {
        let Some(under) = side(subject, PocketRole::TreadUnderside(k)) else { continue };
        let [a, b] = [under.from(), under.to()];
        let at = view.at((a.x + b.x) / 2.0, (a.y + b.y) / 2.0);
        let place = |i: i32| (moved(at, 0.0, -TEXT_MM - 2.0 - f64::from(i)), Anchor::Middle);
        canvas.place_text(&k.to_string(), (0..12).map(place));
    }
}

/// A side of a pocket in the board frame; where another pocket parts it, its longest piece.
fn side(subject: &Subject<'_>, role: PocketRole) -> Option<Segment> {
    let pockets = subject.outline.pockets_in_board_frame();
    let edges = pockets.iter().flat_map(|pocket| pocket.contour.edges());
    let own = edges.filter(|edge| edge.role == role).map(|edge| edge.segment);
    own.max_by(|a, b| a.length().total_cmp(&b.length()))
}

/// The upper corner of every nosing's pocket in the board frame, and how far it is along the board.
fn nose_marks(subject: &Subject<'_>) -> Vec<(Point, f64)> {
    let left = subject.outline.in_board_frame().bounds().min.x;
    let nose = |k: usize| {
        let side = side(subject, PocketRole::Nosing(k))?;
        let [a, b] = [side.from(), side.to()];
        let upper = if b.y > a.y { b } else { a };
        Some((upper, upper.x - left))
    };
    (1..=subject.flight.treads).filter_map(nose).collect()
}

/// The figures in words.
pub(super) fn words(subject: &Subject<'_>, housed: &Housed, wide: f64) -> Vec<String> {
    let (job, flight) = (subject.job, subject.flight);
    let mut rows = vec![
        format!(
            "Pockets {} deep in a board of {}, no deeper anywhere; nosing square.",
            on_tape(housed.depth),
            on_tape(job.board.thickness)
        ),
        format!(
            "Over the line through the nosings {} of board; at least {} of wood stays round a pocket.",
            on_tape(housed.edge_above),
            on_tape(housed.land)
        ),
    ];
    if housed.wedge > Length::ZERO {
        rows.push(format!(
            "Wedges of {} at their thick end go in under the treads and behind the riser boards.",
            on_tape(housed.wedge)
        ));
    }
    let first = flight.tread_cut_y(1) + flight.tread_thickness;
    rows.push(format!(
        "First tread: finished top {} over what the stringer stands on; each other {} higher.",
        on_tape(first),
        on_tape(flight.unit_rise)
    ));
    if let Some((nose, _)) = nose_marks(subject).first() {
        let below = Length::mm(subject.outline.in_board_frame().bounds().max.y - nose.y);
        let below = on_tape(below);
        rows.push(format!("First nosing: {below} square below the upper edge."));
    }
    rows.push("First riser and top tread are notched at their ends where the pocket stops short by the land.".into());
    rows.iter().flat_map(|row| wrap(row, wide, TEXT_MM, Weight::Regular)).collect()
}
