//! The stringer as it stands, with what stands round it.

use super::svg::{Anchor, Line, Svg};
use super::view::{Running, TEXT_MM, View, both, dimension, running};
use crate::geometry::{Bounds, Point, Vector};
use crate::measure::Job;
use crate::outline::Outline;
use crate::solve::Flight;

/// Room on the sheet for the running dimensions at the left, below, and for the total rise at the right, in mm.
const LEFT_MM: f64 = 34.0;
const BELOW_MM: f64 = 30.0;
const RIGHT_MM: f64 = 48.0;

/// Draws the elevation into a box of the sheet.
pub(super) fn elevation(svg: &mut Svg, job: &Job, flight: &Flight, outline: &Outline, corner: Point, size: Vector) {
    let top = flight.total_rise.as_mm() + flight.finish_to_come.as_mm();
    let head = flight.head_cut_x.as_mm() + 150.0;
    let front = job.tread.overhang.as_mm() + job.tread.riser_board.as_mm() + 20.0;
    let content = Bounds { min: Point::new(-front, 0.0), max: Point::new(head, top + 20.0) };
    let room = Vector::new(size.x - LEFT_MM - RIGHT_MM, size.y - BELOW_MM - 6.0);
    let view = View::fitted(content, corner + Vector::new(LEFT_MM, 6.0), room);
    surroundings(svg, job, flight, &view, front, head);
    let mut ring: Vec<Point> = outline.contour().vertices().into_iter().map(|p| view.point(p)).collect();
    ring.push(ring[0]);
    svg.run(&ring, Line::Edge);
    dimensions(svg, flight, outline, &view, front);
    svg.text(corner + Vector::new(0.0, 4.0), 3.0, Anchor::Start, 0.0, &format!("ELEVATION  {}", view.name()));
}

/// Floor, upper floor, treads, riser boards, plate: neighbours of the part.
fn surroundings(svg: &mut Svg, job: &Job, flight: &Flight, view: &View, front: f64, head: f64) {
    let neighbour = |svg: &mut Svg, x0: f64, y0: f64, x1: f64, y1: f64| {
        svg.frame(view.at(x0, y0), view.at(x1, y1), Line::Neighbour);
    };
    svg.line(view.at(-front, 0.0), view.at(head, 0.0), Line::Frame);
    let to_come = flight.finish_to_come.as_mm();
    if to_come > 0.0 {
        svg.line(view.at(-front, to_come), view.at(0.0, to_come), Line::Neighbour);
    }
    let (p, overhang, t) = (job.tread.riser_board.as_mm(), job.tread.overhang.as_mm(), job.tread.thickness.as_mm());
    for k in 1..=flight.treads {
        let (x, y) = (flight.nose_x(k).as_mm(), flight.tread_cut_y(k).as_mm());
        let back = if k == flight.treads { flight.head_cut_x.as_mm() } else { x + flight.unit_run.as_mm() - p };
        neighbour(svg, x - p - overhang, y, back, y + t);
        if p > 0.0 {
            let below = if k == 1 { to_come } else { flight.tread_cut_y(k - 1).as_mm() + t };
            neighbour(svg, x - p, below, x, y);
        }
    }
    let spacer = job.head.spacer.as_mm();
    let (rim, framing) = (flight.head_cut_x.as_mm() + spacer, flight.framing_top_y().as_mm());
    let depth = flight.rim_depth.map_or(150.0, |d| d.as_mm()).min(framing);
    neighbour(svg, rim, framing - depth, head, framing);
    neighbour(svg, rim, framing, head, framing + flight.head_finish.as_mm());
    if let Some(tie) = &job.tie_plate {
        let from = tie.set_back.as_mm();
        neighbour(svg, from, 0.0, from + tie.width.as_mm(), tie.height.as_mm());
    }
}

fn dimensions(svg: &mut Svg, flight: &Flight, outline: &Outline, view: &View, front: f64) {
    let heights: Vec<_> =
        (1..=flight.treads).map(|k| flight.tread_cut_y(k)).map(|y| (y.as_mm() / view.reduction, y)).collect();
    let left = view.at(-front, 0.0) - Vector::new(2.0, 0.0);
    running(svg, left, &heights, Running::Up);
    let mut places: Vec<_> = (2..=flight.treads).map(|k| flight.nose_x(k)).collect();
    places.push(flight.head_cut_x);
    let marks: Vec<_> = places.into_iter().map(|x| (x.as_mm() / view.reduction, x)).collect();
    running(svg, view.at(0.0, 0.0) + Vector::new(0.0, 4.0), &marks, Running::Right);
    let finished = (flight.finish_to_come, flight.finish_to_come + flight.total_rise);
    let right = view.at(flight.head_cut_x.as_mm() + 150.0, 0.0).x;
    let at = |y: f64, gap: f64| Point::new(right + gap, view.at(0.0, y).y);
    dimension(
        svg,
        at(finished.0.as_mm(), 16.0),
        at(finished.1.as_mm(), 16.0),
        &format!("total rise {}", both(flight.total_rise)),
    );
    let (tread, framing) = (flight.tread_cut_y(flight.treads).as_mm(), flight.framing_top_y().as_mm());
    if (framing - tread).abs() > 1.0 {
        dimension(svg, at(tread, 4.0), at(framing, 4.0), "");
        let words = format!("hang line {}", both(flight.hang_line));
        svg.text(
            at((tread + framing) / 2.0, 5.5) + Vector::new(0.0, TEXT_MM * 0.35),
            TEXT_MM,
            Anchor::Start,
            0.0,
            &words,
        );
        for y in [tread, framing] {
            svg.line(Point::new(view.at(flight.head_cut_x.as_mm(), 0.0).x, at(y, 0.0).y), at(y, 5.0), Line::Dimension);
        }
    }
    pitch(svg, flight, outline, view);
}

/// The pitch along the body of the part, where it is drawn large enough to hold the words.
fn pitch(svg: &mut Svg, flight: &Flight, outline: &Outline, view: &View) {
    if flight.treads < 3 || flight.throat().as_mm() / view.reduction < 3.0 * TEXT_MM {
        return;
    }
    let step = flight.treads / 2;
    let nose = Point::new(flight.nose_x(step + 1).as_mm(), flight.tread_cut_y(step + 1).as_mm());
    let pitch = outline.pitch_rad();
    let depth = flight.notch_depth().as_mm() + flight.throat().as_mm() / 2.0;
    let inside = nose + Vector::new(pitch.sin(), -pitch.cos()) * depth;
    let words = format!("pitch {:.2} deg", pitch.to_degrees());
    svg.text(view.point(inside), TEXT_MM, Anchor::Middle, pitch.to_degrees(), &words);
}
