//! What stands next to the stringer: floor, plate, treads, riser boards, framing and finish at the
//! head.

use super::Subject;
use super::canvas::{Canvas, View};
use crate::geometry::Point;
use crate::job::{Joint, Meets};
use crate::output::page::Line;
use crate::stair::outline::SeatLine;

/// How much of the framing and finish at the head is shown, in paper mm.
pub(super) const SHOWN_MM: f64 = 9.0;
/// How far the floor reaches before the first nosing, in paper mm.
const FLOOR_BEFORE_MM: f64 = 5.0;
/// How far a pad that is dug in reaches behind the heel, in stair mm.
pub(super) const PAD_BEYOND_MM: f64 = 50.0;

/// A box in stair mm, given by two opposite corners.
fn part(canvas: &mut Canvas, view: &View, from: (f64, f64), to: (f64, f64)) {
    let thin = (to.0 - from.0).abs().min((to.1 - from.1).abs());
    if thin <= 1e-9 {
        return;
    }
    let corners = [from, (to.0, from.1), to, (from.0, to.1)];
    canvas.closed(corners.iter().map(|&(x, y)| view.at(x, y)).collect(), Line::Adjacent);
}

/// Draws them all.
pub(super) fn adjacent(canvas: &mut Canvas, view: &View, subject: &Subject<'_>) {
    floor(canvas, view, subject);
    plate(canvas, view, subject);
    for k in 1..=subject.flight.treads {
        step(canvas, view, subject, k);
    }
    head(canvas, view, subject);
}

/// The floor before the stringer and under it: what it stands on, what is laid on that, and ground
/// that falls away.
fn floor(canvas: &mut Canvas, view: &View, subject: &Subject<'_>) {
    let job = subject.job;
    let (come, stands_on) = (job.rise.finish_to_come.as_mm(), subject.flight.stands_on.as_mm());
    let left = -subject.nosing_mm() - FLOOR_BEFORE_MM * view.scale;
    let right = subject.rim_x() + SHOWN_MM * view.scale;
    let seat = subject.seat();
    let mut surface = |height: &dyn Fn(f64) -> f64, from: f64, to: f64| {
        canvas.line(view.at(from, height(from)), view.at(to, height(to)), Line::Adjacent);
    };
    match subject.ground_fall() {
        // A level pad is dug in where the seat is level.
        Some(fall) if seat == SeatLine::default() => {
            let ground = |x: f64| subject.ground_y(fall, x);
            let pad = subject.heel().x + PAD_BEYOND_MM;
            surface(&ground, left, -subject.nosing_mm());
            surface(&|_| -stands_on, -subject.nosing_mm(), pad);
            surface(&ground, pad, right);
        }
        _ => surface(&|x| seat.at(x) - stands_on, left, right),
    }
    if come > 0.0 {
        surface(&|x| seat.at(x) - stands_on + come, left, right);
    }
    if job.foot.stands_on.is_some() {
        let (toe, heel) = (seat.point(0.0, 0.0), subject.heel());
        let under = |p: Point| Point::new(p.x, p.y - stands_on);
        crossed(canvas, view, [toe, heel, under(heel), under(toe)]);
    }
}

fn plate(canvas: &mut Canvas, view: &View, subject: &Subject<'_>) {
    let Some(tie) = subject.plate() else { return };
    let from = tie.set_back.as_mm();
    let (to, top) = (from + tie.width.as_mm(), tie.height.as_mm());
    let corners = [(from, 0.0), (to, 0.0), (to, top), (from, top)];
    crossed(canvas, view, corners.map(|(along, into)| subject.seat().point(along, into)));
}

/// Four corners in stair mm, with the cross of sawn wood seen on end.
fn crossed(canvas: &mut Canvas, view: &View, corners: [Point; 4]) {
    let [a, b, c, d] = corners.map(|p| view.at(p.x, p.y));
    canvas.closed(vec![a, b, c, d], Line::Adjacent);
    canvas.line(a, c, Line::Adjacent);
    canvas.line(b, d, Line::Adjacent);
}

/// Tread `k` and the riser board below it.
fn step(canvas: &mut Canvas, view: &View, subject: &Subject<'_>, k: usize) {
    let (job, flight) = (subject.job, subject.flight);
    let (cut_x, cut_y) = (flight.nose_x(k).as_mm(), flight.tread_cut_y(k).as_mm());
    let (board, overhang) = (job.tread.riser_board.as_mm(), job.tread.overhang.as_mm());
    let below = if k == 1 { flight.base().as_mm() } else { flight.tread_cut_y(k - 1).as_mm() };
    part(canvas, view, (cut_x - board, below), (cut_x, cut_y));
    let back = if k < flight.treads {
        flight.nose_x(k + 1).as_mm() - board
    } else {
        subject.top_tread_back_x()
    };
    part(
        canvas,
        view,
        (cut_x - board - overhang, cut_y),
        (back, cut_y + flight.tread_thickness.as_mm()),
    );
}

fn head(canvas: &mut Canvas, view: &View, subject: &Subject<'_>) {
    let (job, flight) = (subject.job, subject.flight);
    let (rim, framing) = (subject.rim_x(), flight.framing_top_y().as_mm());
    let top_cut = flight.tread_cut_y(flight.treads).as_mm();
    let cut_foot = top_cut - subject.outline.head_cut_length().as_mm();
    let shown = rim + SHOWN_MM * view.scale;
    // A rim that reaches below the floor is broken off there.
    let rim_foot = flight.rim_depth.map_or(cut_foot, |depth| (framing - depth.as_mm()).max(0.0));
    let (low, high) = match job.around.joint {
        Some(Joint::HangerBoard { depth, .. }) => ((framing - depth.as_mm()).max(0.0), framing),
        _ => (cut_foot, top_cut),
    };
    part(canvas, view, (flight.head_cut_x.as_mm(), low), (rim, high));
    let mut framing_lines = vec![view.at(shown, framing), view.at(rim, framing)];
    if subject.outline.head_notch().is_some_and(|notch| notch.over) {
        // What the head lies on is another piece than what stands over it.
        framing_lines.push(view.at(rim, top_cut));
        canvas.open(std::mem::take(&mut framing_lines), Line::Adjacent);
        framing_lines.extend([view.at(shown, cut_foot), view.at(rim, cut_foot)]);
    }
    framing_lines.push(view.at(rim, rim_foot));
    if let Some(Joint::LedgerNotch { width, height }) = job.around.joint {
        let (front, low) = (rim - width.as_mm(), cut_foot - height.as_mm());
        let corners = [(front, low), (rim, low), (rim, cut_foot), (front, cut_foot)];
        crossed(canvas, view, corners.map(|(x, y)| Point::new(x, y)));
    }
    if flight.rim_depth.is_some() {
        framing_lines.push(view.at(shown, rim_foot));
    }
    canvas.open(framing_lines, Line::Adjacent);
    let (finish_front, finish) =
        (subject.upper_finish_front_x(), framing + flight.head_finish.as_mm());
    if job.head.meets == Meets::OneDown {
        let face = subject.head_face_x();
        part(canvas, view, (face - job.head.riser_board.as_mm(), top_cut), (face, framing));
    }
    if flight.head_finish.as_mm() > 0.0 {
        let corners =
            [(shown, finish), (finish_front, finish), (finish_front, framing), (rim, framing)];
        canvas.open(corners.iter().map(|&(x, y)| view.at(x, y)).collect(), Line::Adjacent);
    }
}
