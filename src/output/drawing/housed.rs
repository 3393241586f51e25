//! A housed stringer on one sheet: its inner face as it lies along its board, the pockets, and the
//! figures to check them by.

use super::canvas::{Canvas, HEADING_MM, ROW_MM, TEXT_MM, View, moved};
use super::dimension::{dimension_line, extension};
use super::{PAD_MM, Paper, Subject, framed, room, title_block, top_left};
use crate::geometry::Point;
use crate::job::Housed;
use crate::output::content::{ADVICE, AT_THE_MACHINE};
use crate::output::page::{Anchor, Line, Page, Weight, wrap};
use crate::stair::outline::PocketRole;
use crate::units::{Length, decimal};

/// Width of the title block.
const BLOCK_MM: f64 = 136.0;
/// Room for dimensions left of the view and below it.
const ROOM_MM: f64 = 26.0;
/// From the board to the first dimension, and from one to the next.
const DIMENSION_ROW_MM: f64 = 7.0;

/// The sheets of a housed stringer.
pub(super) fn sheets(subject: &Subject<'_>, housed: &Housed, paper: Paper) -> Vec<Page> {
    let board = subject.outline.in_board_frame().bounds();
    let room = room(paper);
    let holds = |scale: &f64| {
        board.width() / scale + ROOM_MM <= room.width()
            && board.height() / scale + ROOM_MM <= room.height() * 0.45
    };
    let scales = Paper::scales();
    let scale = scales.iter().copied().find(holds).unwrap_or(scales[scales.len() - 1]);
    let mut canvas = Canvas::default();
    let origin =
        moved(top_left(room), ROOM_MM, -3.0 * ROW_MM - HEADING_MM - board.height() / scale);
    face(&mut canvas, subject, housed, &View { scale, origin });
    let text_top = origin.y - ROOM_MM;
    let wide = room.width() - if paper.is_large() { BLOCK_MM + PAD_MM } else { 0.0 };
    let wrapped = rows(subject, housed)
        .iter()
        .flat_map(|row| wrap(row, wide, TEXT_MM, Weight::Regular))
        .collect::<Vec<_>>();
    for (i, row) in wrapped.into_iter().enumerate() {
        canvas.text(Point::new(room.min.x, text_top - ROW_MM * i as f64), Anchor::Start, row);
    }
    let block = Point::new(room.max.x - BLOCK_MM, room.min.y);
    let sheet = format!("1 of 1, {}", paper.name());
    title_block::draw(&mut canvas, subject, scale, &sheet, block, BLOCK_MM);
    let bar = if paper.is_large() {
        moved(block, 0.0, title_block::HEIGHT_MM + PAD_MM)
    } else {
        room.min
    };
    title_block::scale_bar(&mut canvas, scale, bar, title_block::BAR_WIDTH_MM);
    let title = format!("{}: housed stringer", subject.job.title);
    let description =
        format!("Inner face of a housed stringer with its pockets. Job {}.", subject.fingerprint);
    vec![framed(canvas, paper, (title, description))]
}

/// The inner face with the first pocket's place and the board's size.
fn face(canvas: &mut Canvas, subject: &Subject<'_>, housed: &Housed, view: &View) {
    let board = subject.outline.in_board_frame();
    let points =
        |vertices: Vec<Point>| vertices.iter().map(|p| view.at(p.x, p.y)).collect::<Vec<_>>();
    canvas.closed(points(board.vertices()), Line::VisibleEdge);
    for pocket in subject.outline.pockets_in_board_frame() {
        canvas.closed(points(pocket.contour.vertices()), Line::VisibleEdge);
    }
    let bounds = board.bounds();
    let title = format!(
        "INNER FACE, {} HAND  1 : {}",
        housed.hand.name().to_uppercase(),
        decimal(view.scale, 0)
    );
    canvas.heading(moved(view.at(0.0, bounds.max.y), -ROOM_MM, ROW_MM), title);
    let mut row = |number: f64, to: Point, name: &str| {
        let y = view.at(0.0, 0.0).y - DIMENSION_ROW_MM * number;
        let (from, end) = (Point::new(view.at(0.0, 0.0).x, y), Point::new(view.at(to.x, 0.0).x, y));
        extension(canvas, view.at(to.x, to.y), end);
        dimension_line(canvas, from, end);
        canvas.text(moved(from, 4.0, 1.2), Anchor::Start, format!("{name} {}", Length::mm(to.x)));
    };
    if let Some(nose) = first_nose(subject) {
        row(1.0, nose, "first nosing, from the left end of the blank:");
    }
    row(2.0, Point::new(bounds.max.x, bounds.min.y), "blank:");
}

/// The upper corner of the first nosing's pocket in the board frame.
fn first_nose(subject: &Subject<'_>) -> Option<Point> {
    let pockets = subject.outline.pockets_in_board_frame();
    let sides = pockets.iter().flat_map(|pocket| pocket.contour.edges());
    let nosing = sides.into_iter().find(|edge| edge.role == PocketRole::Nosing(1))?;
    let ends = [nosing.segment.from(), nosing.segment.to()];
    ends.into_iter().reduce(|a, b| if b.y > a.y { b } else { a })
}

/// The figures in words, every length in both systems.
fn rows(subject: &Subject<'_>, housed: &Housed) -> Vec<String> {
    let (job, flight) = (subject.job, subject.flight);
    let tread = job.tread.thickness + housed.clearance;
    let mut rows = vec![
        format!(
            "Pockets {} deep in a board of {}, no deeper anywhere.",
            housed.depth, job.board.thickness
        ),
        format!(
            "Tread pocket: {tread} at the nosing, {} at its end; nosing square.",
            tread + housed.wedge
        ),
    ];
    if job.tread.riser_board > Length::ZERO {
        let riser = job.tread.riser_board + housed.clearance;
        rows.push(format!(
            "Riser pocket: {riser} under the tread, {} at its foot.",
            riser + housed.wedge
        ));
    }
    rows.push(format!(
        "Over the line through the nosings {} of board; land {}.",
        housed.edge_above, housed.land
    ));
    let first = flight.tread_cut_y(1) + flight.tread_thickness;
    rows.push(format!(
        "First tread: finished top {first} over what the stringer stands on; each other {} higher.",
        flight.unit_rise
    ));
    rows.push(format!(
        "Nosing to nosing {} level, {} along the board.",
        flight.unit_run,
        flight.pitch_length()
    ));
    if let Some(nose) = first_nose(subject) {
        let below = Length::mm(subject.outline.in_board_frame().bounds().max.y - nose.y);
        rows.push(format!("First nosing: {below} square below the upper edge."));
    }
    rows.push("First riser and top tread are notched at their ends where the pocket stops short by the land.".into());
    rows.extend([ADVICE, AT_THE_MACHINE].map(str::to_string));
    rows
}
