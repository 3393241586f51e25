//! The floor that the flight goes up through, as far as it lies over the flight, and the clear
//! height under its edge.

use super::Subject;
use super::canvas::{Canvas, FIGURE_MM, View, moved};
use super::dimension::{dimension_line, extension};
use crate::geometry::Point;
use crate::output::page::{Anchor, Line};
use crate::stair::Headroom;
use crate::units::on_tape;

/// Beside the clear height, on the paper.
const BESIDE_MM: f64 = 1.6;

/// Draws them where the job says where the opening is.
pub(super) fn opening(canvas: &mut Canvas, view: &View, subject: &Subject<'_>) {
    let Some(headroom) = Headroom::of(subject.job, subject.flight) else { return };
    // The view counts from the first riser cut and from what the stringer stands on.
    let right = subject.job.tread.riser_board.as_mm();
    let base = subject.flight.base().as_mm();
    let place = |x: f64, y: f64| view.at(x - right, y + base);
    let (ceiling, top) = (headroom.ceiling.as_mm(), subject.flight.total_rise.as_mm());
    let foremost = right - subject.nosing_mm();
    let edge = headroom.ends[1].as_mm();
    if edge > foremost {
        let corners = [(foremost, top), (edge, top), (edge, ceiling), (foremost, ceiling)];
        canvas.open(corners.map(|(x, y)| place(x, y)).to_vec(), Line::Adjacent);
    }
    let at = headroom.at.as_mm();
    if headroom.clear.as_mm() <= 0.0 || at <= foremost {
        return;
    }
    let (low, high) = (place(at, headroom.under.as_mm()), place(at, ceiling));
    extension(canvas, low, moved(low, 0.0, 0.0));
    dimension_line(canvas, low, high);
    let text = format!("clear {}", on_tape(headroom.clear));
    let middle = Point::new(low.x, (low.y + high.y) / 2.0 - FIGURE_MM / 2.0);
    let beside = |i: i32| {
        let up = 3.0 * f64::from((i + 1) / 2) * if i % 2 == 0 { 1.0 } else { -1.0 };
        [
            (moved(middle, -BESIDE_MM, up), Anchor::End),
            (moved(middle, BESIDE_MM, up), Anchor::Start),
        ]
    };
    canvas.place_figure(&text, (0..16).flat_map(beside));
}
