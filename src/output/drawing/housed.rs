//! A housed stringer on one sheet: its inner face as it lies along its board, the pockets, and the
//! figures to check them by.

use super::canvas::{Canvas, HEADING_MM, ROW_MM, TEXT_MM, View, moved};
use super::dimension::{dimension_line, extension};
use super::{EDGE_MM, FILING_EDGE_MM, PAD_MM, SCALES, SIZES, Subject, title_block};
use crate::geometry::Point;
use crate::job::Housed;
use crate::output::content::{ADVICE, AT_THE_MACHINE};
use crate::output::page::{Anchor, Line, Page, Size, Weight, wrap};
use crate::stair::outline::PocketRole;
use crate::units::{Length, decimal};

/// Width of the title block.
const BLOCK_MM: f64 = 114.0;
/// Room for dimensions left of the view and below it.
const ROOM_MM: f64 = 26.0;
/// From the board to the first dimension, and from one to the next.
const DIMENSION_ROW_MM: f64 = 7.0;

/// The sheet of a housed stringer.
pub(super) fn sheet(subject: &Subject<'_>, housed: &Housed) -> Page {
    let board = subject.outline.in_board_frame().bounds();
    let holds = |(_, width, height): &(&str, f64, f64), scale: f64| {
        board.width() / scale + ROOM_MM <= width - FILING_EDGE_MM - EDGE_MM - 2.0 * PAD_MM
            && board.height() / scale + ROOM_MM <= height * 0.4
    };
    let fits = SIZES.iter().flat_map(|size| SCALES.iter().map(move |scale| (size, *scale)));
    let fit = fits.into_iter().find(|(size, scale)| holds(size, *scale));
    let (size, scale) = fit.expect("the smallest scale on the largest sheet holds every board");
    let (name, width, height) = *size;
    let mut canvas = Canvas::default();
    let (left, right, bottom, top) = (FILING_EDGE_MM, width - EDGE_MM, EDGE_MM, height - EDGE_MM);
    let frame = [(left, bottom), (right, bottom), (right, top), (left, top)];
    canvas.closed(frame.map(|(x, y)| Point::new(x, y)).to_vec(), Line::VisibleEdge);
    let origin = Point::new(
        left + PAD_MM + ROOM_MM,
        top - PAD_MM - 3.0 * ROW_MM - HEADING_MM - board.height() / scale,
    );
    face(&mut canvas, subject, housed, &View { scale, origin });
    let text_top = origin.y - ROOM_MM;
    let room = right - left - BLOCK_MM - 3.0 * PAD_MM;
    for (i, row) in rows(subject, housed)
        .iter()
        .flat_map(|row| wrap(row, room, TEXT_MM, Weight::Regular))
        .enumerate()
    {
        canvas.text(Point::new(left + PAD_MM, text_top - ROW_MM * i as f64), Anchor::Start, row);
    }
    let block = Point::new(right - PAD_MM - BLOCK_MM, bottom + PAD_MM);
    title_block::draw(&mut canvas, subject, scale, name, block, BLOCK_MM);
    title_block::scale_bar(&mut canvas, scale, moved(block, 0.0, title_block::HEIGHT_MM + PAD_MM));
    let title = format!("{}: housed stringer", subject.job.title);
    let description =
        format!("Inner face of a housed stringer with its pockets. Job {}.", subject.fingerprint);
    canvas.into_page(Size { width_mm: width, height_mm: height }, title, description)
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
        canvas.masked(moved(from, 4.0, 0.7), Anchor::Start, format!("{name} {}", Length::mm(to.x)));
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
