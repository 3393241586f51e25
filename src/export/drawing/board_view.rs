//! The part as it lies along its board, with the marks a carpenter strikes off along the edge.

use super::svg::{Anchor, Line, Svg};
use super::view::{Running, TEXT_MM, View, both, dimension, running, text_width};
use crate::geometry::{Bounds, Point, Vector};
use crate::measure::Job;
use crate::outline::{Outline, Role};
use crate::solve::Flight;
use crate::units::Length;

/// Room on the sheet above the board for the marks, below it for its length, beside it for its width, in mm.
const ABOVE_MM: f64 = 30.0;
const BELOW_MM: f64 = 10.0;
const BESIDE_MM: f64 = 7.0;

/// Where each nose point lies along the board, from the toe end, from the bottom up.
pub(super) fn nose_marks(flight: &Flight, outline: &Outline) -> Vec<Length> {
    let to_board = outline.to_board();
    let nose = |k| to_board * Point::new(flight.nose_x(k).as_mm(), flight.tread_cut_y(k).as_mm());
    (1..=flight.treads).map(|k| Length::mm(nose(k).x)).collect()
}

/// Draws the board view into a box of the sheet.
pub(super) fn board_view(svg: &mut Svg, job: &Job, flight: &Flight, outline: &Outline, corner: Point, size: Vector) {
    let part = outline.in_board_frame();
    let bounds = part.bounds();
    // The nose points are the part's highest; the board goes on above them by the tip inset, and no lower than its width.
    let upper = bounds.max.y + job.board.tip_inset.as_mm();
    let lower = upper - job.board.width.as_mm();
    let content = Bounds { min: Point::new(0.0, lower.min(0.0)), max: Point::new(bounds.max.x, upper) };
    let room = size - Vector::new(2.0 * BESIDE_MM, ABOVE_MM + BELOW_MM);
    let view = View::fitted(content, corner + Vector::new(BESIDE_MM, ABOVE_MM), room);
    for y in [lower, upper] {
        svg.line(view.at(-15.0, y), view.at(bounds.max.x + 15.0, y), Line::Neighbour);
    }
    let mut ring: Vec<Point> = part.vertices().into_iter().map(|p| view.point(p)).collect();
    ring.push(ring[0]);
    svg.run(&ring, Line::Edge);
    let marks: Vec<_> = nose_marks(flight, outline).into_iter().map(|x| (x.as_mm() / view.reduction, x)).collect();
    running(svg, view.at(0.0, upper) - Vector::new(0.0, 3.0), &marks, Running::RightAbove);
    let below = |x: f64| view.at(x, lower.min(0.0)) + Vector::new(0.0, 6.0);
    dimension(svg, below(0.0), below(bounds.max.x), &format!("blank length {}", both(outline.blank_length())));
    let beside = |y: f64| Point::new(view.at(-15.0, 0.0).x - 1.5, view.at(0.0, y).y);
    dimension(svg, beside(lower), beside(upper), &both(job.board.width));
    throat(svg, flight, outline, &view);
    names(svg, outline, &view);
    svg.text(
        corner + Vector::new(0.0, 4.0),
        3.0,
        Anchor::Start,
        0.0,
        &format!("ON THE BOARD  {}  crown up", view.name()),
    );
}

/// The throat at the middle notch, square to the lower edge.
fn throat(svg: &mut Svg, flight: &Flight, outline: &Outline, view: &View) {
    if flight.treads < 2 {
        return;
    }
    let k = flight.treads.div_ceil(2);
    let notch = Point::new(flight.nose_x(k + 1).as_mm(), flight.tread_cut_y(k).as_mm());
    let corner = outline.to_board() * notch;
    let foot = Point::new(corner.x, corner.y - flight.throat().as_mm());
    dimension(svg, view.point(foot), view.point(corner), &format!("throat {}", both(flight.throat())));
}

/// The length of seat and top plumb cut beside them, inside the part.
fn names(svg: &mut Svg, outline: &Outline, view: &View) {
    let part = outline.in_board_frame();
    let longest = |role: Role| {
        let edges = part.edges().iter().filter(move |e| e.role == role);
        edges.max_by(|a, b| a.segment.length().total_cmp(&b.segment.length())).map(|e| e.segment)
    };
    let wanted = [(Role::SeatCut, "seat", outline.seat_length()), (Role::HeadCut, "plumb", outline.head_cut_length())];
    for (role, name, length) in wanted {
        let Some(edge) = longest(role) else { continue };
        let words = format!("{name} {}", both(length));
        if edge.length() / view.reduction < text_width(&words) + 3.0 {
            // The table has it.
            continue;
        }
        let along = edge.direction_at(0.0);
        let inward = Vector::new(-along.y, along.x);
        let middle = view.point(edge.point_at(0.5)) + Vector::new(inward.x, -inward.y) * 1.5;
        let turn = along.y.atan2(along.x).to_degrees();
        // Upright for the reader; then the letters stand on the other side of their line.
        let (turn, shift) = if turn.abs() > 90.0 { (turn - 180.0, TEXT_MM) } else { (turn, 0.0) };
        let at = middle + Vector::new(inward.x, -inward.y) * shift * 0.8;
        svg.text(at, TEXT_MM, Anchor::Middle, turn, &words);
    }
}
