//! The part as it lies along its board: where to mark the edge, from the square end of the blank.

use super::Subject;
use super::canvas::{
    BESIDE_MM, Canvas, FIGURE_MM, HEADING_MM, ROW_MM, TEXT_MM, View, headed, moved,
};
use super::dimension::{Mark, Runs, dimension_line, extension, longest, running};
use crate::geometry::{Placement, Point};
use crate::output::page::{Anchor, Line, Weight, text_width};
use crate::stair::outline::Role;
use crate::units::{Length, decimal, on_tape};

/// What the view is called.
const NAME: &str = "BOARD";
/// Room left of the blank's end: the board's width.
pub(super) const LEFT_MM: f64 = 20.0;
/// Room right of the blank.
pub(super) const RIGHT_MM: f64 = 8.0;
/// How far the board's edges are drawn beyond the blank.
const BEYOND_MM: f64 = 4.0;
/// Room of the heading.
pub(super) const ABOVE_MM: f64 = TEXT_MM + ROW_MM + 2.0;
/// Room below it: throat and the lengths along the lower edge.
const BELOW_MM: f64 = 28.5;
/// From the upper edge to the line of the running marks.
pub(super) const MARKS_MM: f64 = 4.0;
/// The shallowest notch beside which a step is numbered, on the paper.
const NUMBERED_MM: f64 = 8.0;
/// From the lower edge to the first of the lengths along it, and from one to the next.
const FIRST_ROW_MM: f64 = 12.5;
const NEXT_ROW_MM: f64 = 6.4;

/// What the view needs to know of the board frame, in mm.
struct Lie {
    to_board: Placement,
    lower: f64,
    upper: f64,
}

impl Lie {
    fn new(subject: &Subject<'_>) -> Self {
        let (flight, board) = (subject.flight, &subject.job.board);
        let to_board = subject.outline.to_board();
        let nose = to_board * Point::new(0.0, flight.first_riser_cut().as_mm());
        Self {
            to_board,
            lower: nose.y - flight.board_depth.as_mm(),
            upper: nose.y + board.tip_inset.as_mm(),
        }
    }

    /// A point of the elevation.
    fn at(&self, x: f64, y: f64) -> Point {
        self.to_board * Point::new(x, y)
    }
}

/// Width and height on the paper at a scale.
pub(super) fn size(subject: &Subject<'_>, scale: f64) -> (f64, f64) {
    let board = subject.job.board.width.as_mm();
    let length = subject.outline.blank_length().as_mm();
    let width = LEFT_MM + length / scale + RIGHT_MM;
    let height = above(subject) + board / scale + BELOW_MM;
    (width.max(headed(NAME, &notes(subject))), height)
}

/// Room above the board: heading and running marks.
fn above(subject: &Subject<'_>) -> f64 {
    ABOVE_MM + MARKS_MM + 6.0 + longest((1..=subject.flight.treads).map(|k| subject.nose_mark(k)))
}

/// Draws the view with its upper left corner at `corner`.
pub(super) fn draw(canvas: &mut Canvas, subject: &Subject<'_>, scale: f64, corner: Point) {
    let lie = Lie::new(subject);
    let origin = Point::new(corner.x + LEFT_MM, corner.y - above(subject) - lie.upper / scale);
    let view = View { scale, origin };
    heading(canvas, subject, scale, corner);
    board_edges(canvas, &view, subject, &lie);
    let outline = subject.outline.in_board_frame().vertices();
    canvas.closed(outline.iter().map(|p| view.at(p.x, p.y)).collect(), Line::VisibleEdge);
    nose_marks(canvas, &view, subject, &lie);
    lengths(canvas, &view, subject, &lie);
    throat(canvas, &view, subject, &lie);
}

fn heading(canvas: &mut Canvas, subject: &Subject<'_>, scale: f64, corner: Point) {
    let title = canvas.titled(NAME, scale);
    let beside = text_width(&title, HEADING_MM, Weight::Bold) + BESIDE_MM;
    canvas.heading(moved(corner, 0.0, -HEADING_MM), title);
    for (i, note) in notes(subject).into_iter().enumerate() {
        let down = TEXT_MM + ROW_MM * i as f64;
        canvas.text(moved(corner, beside, -down), Anchor::Start, note);
    }
}

/// What stands beside the heading.
fn notes(subject: &Subject<'_>) -> [String; 2] {
    let pitch = subject.outline.pitch_rad().to_degrees();
    let angles = format!(
        "Toe at the left, teeth up. Seat and treads at {}\u{b0}, plumb cuts at {}\u{b0} to the \
        edge.",
        decimal(pitch, 2),
        decimal(90.0 - pitch, 2)
    );
    let inset = subject.job.board.tip_inset;
    let marks = if inset.as_mm() > 0.0 {
        format!("Nose points {inset} below the upper edge; marks from the square end of the blank.")
    } else {
        "Marks on the upper edge: nose points, from the square end of the blank.".to_string()
    };
    [angles, marks]
}

fn board_edges(canvas: &mut Canvas, view: &View, subject: &Subject<'_>, lie: &Lie) {
    let (left, right) =
        (view.at(0.0, 0.0).x - BEYOND_MM, view.at(subject.blank_mm(), 0.0).x + BEYOND_MM);
    let height = |y: f64| view.at(0.0, y).y;
    for y in [lie.lower, lie.upper] {
        canvas.line(Point::new(left, height(y)), Point::new(right, height(y)), Line::Adjacent);
    }
    let x = left - 2.0;
    for y in [lie.lower, lie.upper] {
        extension(canvas, Point::new(left, height(y)), Point::new(x, height(y)));
    }
    dimension_line(canvas, Point::new(x, height(lie.lower)), Point::new(x, height(lie.upper)));
    let middle = (height(lie.lower) + height(lie.upper)) / 2.0;
    let width = subject.job.board.width;
    canvas.upright(
        Point::new(x - 1.8, middle),
        Anchor::Middle,
        format!("board {}", on_tape(width)),
    );
}

fn nose_marks(canvas: &mut Canvas, view: &View, subject: &Subject<'_>, lie: &Lie) {
    let flight = subject.flight;
    let row = view.at(0.0, lie.upper).y + MARKS_MM;
    let marks: Vec<Mark> = (1..=flight.treads)
        .map(|k| {
            let nose = lie.at(flight.nose_x(k).as_mm(), flight.tread_cut_y(k).as_mm());
            Mark {
                offset: nose.x / view.scale,
                feature: view.at(nose.x, nose.y),
                value: subject.nose_mark(k),
            }
        })
        .collect();
    let spacing = flight.pitch_length().as_mm() / view.scale;
    for (k, mark) in marks.iter().enumerate() {
        if spacing >= 8.0 && flight.notch_depth().as_mm() / view.scale >= NUMBERED_MM {
            let below = moved(mark.feature, 0.0, -TEXT_MM - 3.8);
            let place = |i: i32| (moved(below, f64::from(i), 0.0), Anchor::Middle);
            canvas.place_text(&(k + 1).to_string(), (0..6).map(place));
        }
    }
    let end = leftmost(subject);
    let origin = Point::new(view.at(0.0, 0.0).x, row);
    running(canvas, Runs::RightLabelsAbove, origin, view.at(end.x, end.y), &marks);
}

fn leftmost(subject: &Subject<'_>) -> Point {
    let vertices = subject.outline.in_board_frame().vertices();
    vertices
        .into_iter()
        .reduce(|a, b| if b.x < a.x { b } else { a })
        .expect("a contour has vertices")
}

/// Along the lower edge from the square end: the seat, the head cut, the whole blank.
fn lengths(canvas: &mut Canvas, view: &View, subject: &Subject<'_>, lie: &Lie) {
    let board = subject.outline.in_board_frame();
    let edge = board.edges().iter().find(|edge| edge.role == Role::LowerEdge);
    let mut rows: Vec<(&str, Point)> = Vec::new();
    if let Some(edge) = edge {
        rows.push(("end of the seat cut", edge.segment.from()));
        let at_head = match subject.outline.head_notch() {
            Some(_) => "notch at the head",
            None => "foot of the top plumb cut",
        };
        rows.push((at_head, edge.segment.to()));
    }
    let head = board.vertices().into_iter().reduce(|a, b| if b.x > a.x { b } else { a });
    let head = head.expect("a contour has vertices");
    rows.push(("blank, before end trim", head));
    let end = view.at(0.0, 0.0).x;
    let lowest =
        |i: usize| view.at(0.0, lie.lower.min(0.0)).y - FIRST_ROW_MM - NEXT_ROW_MM * i as f64;
    let from = leftmost(subject);
    extension(canvas, view.at(from.x, from.y), Point::new(end, lowest(rows.len() - 1)));
    for (i, (name, point)) in rows.into_iter().enumerate() {
        let to = Point::new(view.at(point.x, 0.0).x, lowest(i));
        extension(canvas, view.at(point.x, point.y), to);
        dimension_line(canvas, Point::new(end, to.y), to);
        let text = format!("{name}: {}", on_tape(Length::mm(point.x)));
        let half = -FIGURE_MM / 2.0;
        let mut places = Vec::new();
        if to.x - end > text_width(&text, FIGURE_MM, Weight::Regular) + 10.0 {
            // Another row's words may stand over its middle: beside those it still is at its own
            // line.
            let over = |share: f64| Point::new(end + (to.x - end) * share, to.y + 2.0);
            let half = text_width(&text, FIGURE_MM, Weight::Regular) / 2.0 / (to.x - end);
            let shares = [0.5, 0.6, 0.4, 0.7, 0.3, 0.8].into_iter();
            let within = shares.filter(|share| *share > half && *share < 1.0 - half);
            places.extend(within.map(|share| (over(share), Anchor::Middle)));
        }
        let beyond = |i: i32| (moved(to, 2.5 + 4.0 * f64::from(i), half), Anchor::Start);
        places.extend((0..30).map(beyond));
        canvas.place_figure(&text, places);
    }
}

/// The wood left behind an inside corner near the middle.
fn throat(canvas: &mut Canvas, view: &View, subject: &Subject<'_>, lie: &Lie) {
    let flight = subject.flight;
    if flight.treads < 2 {
        return;
    }
    let k = flight.treads / 2;
    let corner = lie.at(flight.nose_x(k + 1).as_mm(), flight.tread_cut_y(k).as_mm());
    let (from, to) = (view.at(corner.x, lie.lower), view.at(corner.x, corner.y));
    dimension_line(canvas, from, to);
    canvas.line(from, moved(from, 0.0, -5.5), Line::Dimension);
    let (throat, cut) = (flight.behind_notches(), subject.behind_relief);
    let text = if (throat - cut).as_mm() > 1e-6 {
        format!("throat {}, as cut {}", on_tape(throat), on_tape(cut))
    } else {
        format!("throat {}", on_tape(throat))
    };
    let right = |i: i32| (moved(from, 1.6 + 4.0 * f64::from(i), -6.0), Anchor::Start);
    let left = |i: i32| (moved(from, -1.6 - 4.0 * f64::from(i), -6.0), Anchor::End);
    canvas.place_figure(&text, (0..4).flat_map(|i| [right(i), left(i)]));
}
