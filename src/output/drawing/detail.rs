//! The foot and the head, large: what is measured there, and what it is measured against.

use super::Subject;
use super::adjacent::adjacent;
use super::canvas::{
    Canvas, FIGURE_MM, FIGURE_ROW_MM, HEADING_MM, ROW_MM, TEXT_MM, View, moved, stacked,
};
use super::dimension::{dimension_line, extension, leader};
use crate::check::head_contact;
use crate::geometry::{Bounds, Point};
use crate::job::Joint;
use crate::output::page::{Anchor, Line, Weight, corners, wrap};
use crate::units::{Length, Tape, decimal, on_tape};

/// Width of a detail with its texts on both sides.
pub(super) const WIDTH_MM: f64 = 120.0;
/// The most that a window takes.
const WINDOW_WIDTH_MM: f64 = 44.0;
const FOOT_HEIGHT_MM: f64 = 48.0;
const HEAD_HEIGHT_MM: f64 = 86.0;
/// Room left of the window: dimensions at the foot, names at the head.
const FOOT_LEFT_MM: f64 = 43.0;
const HEAD_LEFT_MM: f64 = 36.0;
/// From the heading to the window, and from the window to the equation.
const BELOW_HEADING_MM: f64 = HEADING_MM + 4.0;
const ABOVE_EQUATION_MM: f64 = 5.0;
/// From the window to what is written beside it.
const ASIDE_MM: f64 = 4.0;
/// From the window to the nearer and to the farther dimension line.
const NEAR_MM: f64 = 3.5;
const FAR_MM: f64 = 7.5;
/// What is shown round what is measured, in stair mm.
const ROUND_MM: f64 = 22.0;
const HEAD_ROUND_MM: f64 = 14.0;
/// Where the equation's figures end.
const EQUATION_MM: f64 = 76.0;
const EQUATION_ROW_MM: f64 = 5.2;
/// How much of the top tread cut and of the framing the head shows, in stair mm.
const HEAD_BEFORE_MM: f64 = 125.0;
const HEAD_BEHIND_MM: f64 = 50.0;

/// Scales of details; those beyond 1:5 only where nothing else shows all that is measured.
pub(super) fn scales() -> [f64; 11] {
    match Tape::in_hand() {
        Tape::Inches => [2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 12.0, 16.0, 24.0, 48.0, 96.0],
        Tape::Metric => [2.0, 2.5, 4.0, 5.0, 6.0, 8.0, 10.0, 15.0, 20.0, 50.0, 100.0],
    }
}

/// A part of the elevation that is shown large.
struct Detail {
    /// What is shown, in stair mm.
    shown: Bounds,
    scale: f64,
    /// Its lower left corner on the paper.
    corner: Point,
}

impl Detail {
    fn of(shown: Bounds, height_mm: f64) -> Self {
        let holds = |scale: &f64| {
            shown.width() / scale <= WINDOW_WIDTH_MM && shown.height() / scale <= height_mm
        };
        let scales = scales();
        let scale = scales.iter().copied().find(holds).unwrap_or(scales[scales.len() - 1]);
        Self { shown, scale, corner: Point::origin() }
    }

    fn height(&self) -> f64 {
        self.shown.height() / self.scale
    }

    fn view(&self) -> View {
        let min = self.shown.min;
        View {
            scale: self.scale,
            origin: moved(self.corner, -min.x / self.scale, -min.y / self.scale),
        }
    }

    fn window(&self) -> Bounds {
        let max = moved(self.corner, self.shown.width() / self.scale, self.height());
        Bounds { min: self.corner, max }
    }

    /// Draws what the window shows and its frame.
    fn draw(&self, canvas: &mut Canvas, subject: &Subject<'_>) {
        let mut whole = Canvas::default();
        let view = self.view();
        adjacent(&mut whole, &view, subject);
        let outline = subject.outline.contour().vertices();
        whole.closed(outline.iter().map(|p| view.at(p.x, p.y)).collect(), Line::VisibleEdge);
        canvas.through_window(whole, self.window());
        canvas.closed(corners(&self.window()), Line::Hidden);
    }
}

fn foot(subject: &Subject<'_>) -> Detail {
    let flight = subject.flight;
    let low = flight.base().as_mm().min(-flight.stands_on.as_mm());
    let top = (flight.first_riser_cut() + flight.tread_thickness).as_mm();
    let behind = subject.plate().map_or(0.0, |tie| (tie.set_back + tie.width).as_mm());
    let room = WINDOW_WIDTH_MM * 4.0 - subject.nosing_mm() - ROUND_MM;
    let right = (behind + ROUND_MM).max(room.min(flight.unit_run.as_mm()));
    let shown = Bounds {
        min: Point::new(-subject.nosing_mm() - ROUND_MM, low - ROUND_MM),
        max: Point::new(right, top + ROUND_MM),
    };
    Detail::of(shown, FOOT_HEIGHT_MM)
}

fn head(subject: &Subject<'_>) -> Detail {
    let flight = subject.flight;
    let cut_foot = subject.head_cut_foot_y();
    let low = match subject.outline.head_notch() {
        Some(notch) => cut_foot - notch.height.as_mm(),
        None => cut_foot,
    };
    let top = subject.upper_finish_y().max(flight.tread_cut_y(flight.treads).as_mm());
    let before = HEAD_BEFORE_MM.min(flight.top_tread_cut.as_mm() + ROUND_MM);
    let shown = Bounds {
        min: Point::new(flight.head_cut_x.as_mm() - before, low - HEAD_ROUND_MM),
        max: Point::new(subject.rim_x() + HEAD_BEHIND_MM, top + HEAD_ROUND_MM),
    };
    Detail::of(shown, HEAD_HEIGHT_MM)
}

/// Height of the foot's detail on the paper, and of the head's.
pub(super) fn heights(subject: &Subject<'_>) -> (f64, f64) {
    let equation = EQUATION_ROW_MM * equation(subject).len() as f64 + ABOVE_EQUATION_MM;
    (
        BELOW_HEADING_MM + foot(subject).height() + equation,
        BELOW_HEADING_MM + head(subject).height() + 3.0,
    )
}

/// The unit rise at the foot in lengths: sign, name, length.
fn equation(subject: &Subject<'_>) -> Vec<(&'static str, &'static str, Length)> {
    let flight = subject.flight;
    let mut rows = vec![
        ("", "unit rise", flight.unit_rise),
        ("=", "first riser cut", flight.first_riser_cut()),
        ("+", "tread", flight.tread_thickness),
        ("-", "finish to come", flight.finish_to_come),
    ];
    if flight.stands_on > Length::ZERO {
        rows.push(("+", "what the seat stands on", flight.stands_on));
    }
    rows
}

fn heading(canvas: &mut Canvas, name: &str, scale: f64, corner: Point) {
    let scale = decimal(scale, if scale.fract() > 0.0 { 1 } else { 0 });
    canvas.heading(moved(corner, 0.0, -HEADING_MM), format!("{name}  1 : {scale}"));
}

/// Draws the foot with its upper left corner at `corner`.
pub(super) fn draw_foot(canvas: &mut Canvas, subject: &Subject<'_>, corner: Point) {
    let mut detail = foot(subject);
    heading(canvas, "FOOT", detail.scale, corner);
    detail.corner = moved(corner, FOOT_LEFT_MM, -BELOW_HEADING_MM - detail.height());
    detail.draw(canvas, subject);
    foot_dimensions(canvas, subject, &detail);
    let window = detail.window();
    let named = foot_names(subject);
    names(canvas, &detail, Side::Right, corner.x + WIDTH_MM, &named);
    let top = window.min.y - ABOVE_EQUATION_MM - FIGURE_MM;
    for (i, (sign, name, length)) in equation(subject).into_iter().enumerate() {
        let row = Point::new(corner.x, top - EQUATION_ROW_MM * i as f64);
        canvas.figure(moved(row, 2.0, 0.0), Anchor::Start, sign);
        canvas.text(moved(row, 8.0, 0.0), Anchor::Start, name);
        canvas.figure(moved(row, EQUATION_MM, 0.0), Anchor::End, on_tape(length));
    }
}

fn foot_dimensions(canvas: &mut Canvas, subject: &Subject<'_>, detail: &Detail) {
    let (flight, view, left) = (subject.flight, detail.view(), detail.window().min.x);
    let (cut, base) = (flight.first_riser_cut().as_mm(), flight.base().as_mm());
    let top = cut + flight.tread_thickness.as_mm();
    let y = |height: f64| view.at(0.0, height).y;
    let spans = [
        (NEAR_MM, flight.tread_thickness, cut, top),
        (FAR_MM, flight.first_riser_cut(), 0.0, cut),
        (NEAR_MM, flight.finish_to_come, -flight.stands_on.as_mm(), base),
        (NEAR_MM, flight.stands_on, -flight.stands_on.as_mm(), 0.0),
    ];
    for (reach, length, from, to) in spans {
        if length <= Length::ZERO {
            continue;
        }
        let x = left - reach;
        for height in [from, to] {
            extension(canvas, Point::new(left, y(height)), Point::new(x, y(height)));
        }
        dimension_line(canvas, Point::new(x, y(from)), Point::new(x, y(to)));
        let middle = (y(from) + y(to)) / 2.0 - FIGURE_MM / 2.0;
        let place = |i: i32| {
            let away = 1.4 * f64::from((i + 1) / 2) * if i % 2 == 0 { 1.0 } else { -1.0 };
            (Point::new(left - FAR_MM - 1.6, middle + away), Anchor::End)
        };
        canvas.place_figure(&on_tape(length), (0..20).map(place));
    }
    let x = left - FOOT_LEFT_MM + 6.0;
    for height in [base, top] {
        extension(canvas, Point::new(left, y(height)), Point::new(x, y(height)));
    }
    dimension_line(canvas, Point::new(x, y(base)), Point::new(x, y(top)));
    let middle = (y(base) + y(top)) / 2.0;
    canvas.upright(Point::new(x - 1.6, middle), Anchor::Middle, on_tape(flight.unit_rise));
}

/// A place in stair mm and what stands there.
type Named = (Point, String);

fn foot_names(subject: &Subject<'_>) -> Vec<Named> {
    let (job, flight) = (subject.job, subject.flight);
    let (cut, thick) = (flight.first_riser_cut().as_mm(), flight.tread_thickness.as_mm());
    let (stands_on, base) = (flight.stands_on.as_mm(), flight.base().as_mm());
    let right = foot(subject).shown.max.x;
    let mut named = vec![(
        Point::new(right - 25.0, cut + thick / 2.0),
        format!("tread {}", on_tape(flight.tread_thickness)),
    )];
    if let Some(tie) = subject.plate() {
        let at = subject
            .seat()
            .point((tie.set_back + tie.width * 0.75).as_mm(), tie.height.as_mm() / 2.0);
        let (width, height) = (on_tape(tie.width), on_tape(tie.height));
        named.push((at, format!("plate {width} x {height}")));
        let corner = tie.set_back + tie.width;
        let at = subject.seat().point(corner.as_mm(), tie.height.as_mm());
        let (width, height) =
            (on_tape(tie.width + tie.clearance), on_tape(tie.height + tie.clearance));
        let mut text =
            format!("notch {width} x {height}, with {} clearance", on_tape(tie.clearance));
        if tie.set_back > Length::ZERO {
            text += &format!(", set back {}", on_tape(tie.set_back));
        }
        named.push((at, text));
    }
    let edge = right - 8.0;
    if base.abs() < 1e-9 {
        let text = format!("{}: stringer stands here", subject.lower_surface());
        named.push((Point::new(edge, base), text));
    } else {
        named.push((Point::new(edge, base), subject.lower_surface().to_string()));
        named.push((Point::new(edge - 12.0, 0.0), "stringer stands here".to_string()));
    }
    if flight.finish_to_come > Length::ZERO {
        let at = Point::new(edge - 4.0, base - flight.finish_to_come.as_mm() / 2.0);
        named.push((at, format!("finish to come {}", on_tape(flight.finish_to_come))));
    }
    if let Some(on) = &job.foot.stands_on {
        let at = Point::new(edge - 20.0, -stands_on / 2.0);
        named.push((at, format!("{} {}", on.what, on_tape(on.height))));
    }
    named
}

/// Where names stand.
#[derive(Clone, Copy, PartialEq)]
enum Side {
    Left,
    Right,
}

/// Names beside a window, the highest first, each with a leader to its place; `end` is how far they
/// may reach.
fn names(canvas: &mut Canvas, detail: &Detail, side: Side, end: f64, named: &[Named]) {
    let (view, window) = (detail.view(), detail.window());
    let (from, way, anchor) = match side {
        Side::Left => (window.min.x - ASIDE_MM, -1.0, Anchor::End),
        Side::Right => (window.max.x + ASIDE_MM, 1.0, Anchor::Start),
    };
    let width = (end - from) * way;
    let mut named: Vec<(Point, &str)> =
        named.iter().map(|(at, text)| (view.at(at.x, at.y), text.as_str())).collect();
    named.sort_by(|a, b| b.0.y.total_cmp(&a.0.y));
    let rows: Vec<Vec<String>> =
        named.iter().map(|(_, text)| wrap(text, width, TEXT_MM, Weight::Regular)).collect();
    let tall: Vec<f64> = rows.iter().map(|rows| rows.len() as f64 * ROW_MM + 1.2).collect();
    let mut top = window.max.y;
    for (i, ((at, _), rows)) in named.iter().zip(&rows).enumerate() {
        // On the height of its place, unless those above or below need the room.
        let below: f64 = tall[i..].iter().sum();
        let y = (at.y + TEXT_MM / 2.0).max(window.min.y - 4.0 + below).min(top);
        for (k, row) in rows.iter().enumerate() {
            let baseline = y - TEXT_MM - ROW_MM * k as f64;
            canvas.text(Point::new(from, baseline), anchor, row.as_str());
        }
        leader(canvas, Point::new(from - way * 1.0, y - TEXT_MM / 2.0), *at);
        top = y - tall[i];
    }
}

/// Draws the head with its upper left corner at `corner`.
pub(super) fn draw_head(canvas: &mut Canvas, subject: &Subject<'_>, corner: Point) {
    let mut detail = head(subject);
    heading(canvas, "HEAD", detail.scale, corner);
    detail.corner = moved(corner, HEAD_LEFT_MM, -BELOW_HEADING_MM - detail.height());
    detail.draw(canvas, subject);
    names(canvas, &detail, Side::Left, corner.x, &head_names(subject));
    let (flight, view, right) = (subject.flight, detail.view(), detail.window().max.x);
    let (foot, top) = (subject.head_cut_foot_y(), flight.tread_cut_y(flight.treads).as_mm());
    let framing = flight.framing_top_y().as_mm();
    let y = |height: f64| view.at(0.0, height).y;
    let mut spans = Vec::new();
    if framing > top {
        spans.push(Span { reach: NEAR_MM, ends: (top, framing), name: "hang line" });
    }
    spans.push(Span { reach: NEAR_MM, ends: (foot, top), name: "top plumb cut" });
    let contact = head_contact(subject.job, flight, subject.outline);
    if let Some(contact) = contact.filter(|contact| contact.height() > Length::ZERO) {
        let ends = (contact.from.as_mm(), contact.to.as_mm());
        spans.push(Span { reach: FAR_MM, ends, name: "contact" });
    }
    spans.sort_by(|a, b| b.middle().total_cmp(&a.middle()));
    let middles: Vec<f64> = spans.iter().map(|span| y(span.middle())).collect();
    for (span, at) in spans.iter().zip(apart(&middles, 2.0 * FIGURE_ROW_MM)) {
        let (x, (from, to)) = (right + span.reach, span.ends);
        for height in [from, to] {
            extension(canvas, Point::new(right, y(height)), Point::new(x, y(height)));
        }
        dimension_line(canvas, Point::new(x, y(from)), Point::new(x, y(to)));
        let figure = on_tape(Length::mm(to - from));
        let at = Point::new(right + FAR_MM + 2.5, at);
        canvas.place(vec![stacked(at, Anchor::Start, &[span.name, &figure])]);
    }
}

/// A plumb dimension beside the head, in stair mm.
struct Span {
    /// From the window to its line, on the paper.
    reach: f64,
    ends: (f64, f64),
    name: &'static str,
}

impl Span {
    fn middle(&self) -> f64 {
        (self.ends.0 + self.ends.1) / 2.0
    }
}

/// Heights as near to those wished for, the highest first, as they can be where each is to be this
/// far below the one before: none passes another.
fn apart(wished: &[f64], least: f64) -> Vec<f64> {
    let mut heights: Vec<f64> = Vec::new();
    for &wish in wished {
        heights.push(heights.last().map_or(wish, |above| wish.min(above - least)));
    }
    let off = wished.iter().zip(&heights).map(|(wish, height)| wish - height);
    let up = off.fold(0.0, f64::max) / 2.0;
    heights.iter().map(|height| height + up).collect()
}

fn head_names(subject: &Subject<'_>) -> Vec<Named> {
    let (job, flight) = (subject.job, subject.flight);
    let (rim, framing) = (subject.rim_x(), flight.framing_top_y().as_mm());
    let (cut_x, top) = (flight.head_cut_x.as_mm(), flight.tread_cut_y(flight.treads).as_mm());
    let cut_foot = subject.head_cut_foot_y();
    let over = subject.outline.head_notch().is_some_and(|notch| notch.over);
    let mut named = Vec::new();
    if flight.head_finish > Length::ZERO {
        let at = Point::new(
            subject.upper_finish_front_x() + 6.0,
            (framing + subject.upper_finish_y()) / 2.0,
        );
        named.push((at, format!("upper finish {}", on_tape(flight.head_finish))));
    }
    named.push((Point::new(rim, framing), "top of the framing".to_string()));
    let rim_name = match flight.rim_depth {
        Some(depth) => format!("rim {} deep", on_tape(depth)),
        None => "rim".to_string(),
    };
    let behind = rim + HEAD_BEHIND_MM * 0.4;
    let low = if over { cut_foot - 10.0 } else { cut_foot + 0.3 * (top - cut_foot) };
    named.push((Point::new(behind, low), rim_name));
    if job.head.spacer > Length::ZERO && !over {
        let what = match job.around.joint {
            Some(Joint::HangerBoard { .. }) => "hanger board",
            _ => "spacer",
        };
        let at = Point::new((cut_x + rim) / 2.0, cut_foot + 0.15 * (top - cut_foot));
        named.push((at, format!("{what} {}", on_tape(job.head.spacer))));
    }
    if let Some(Joint::LedgerNotch { width, height }) = job.around.joint {
        let at = Point::new(rim - width.as_mm() / 2.0, cut_foot - height.as_mm() / 2.0);
        named.push((at, format!("ledger {} x {}", on_tape(width), on_tape(height))));
    }
    let tread = top + flight.tread_thickness.as_mm() / 2.0;
    let at = Point::new(head(subject).shown.min.x + 12.0, tread);
    named.push((at, format!("top tread {}", on_tape(flight.tread_thickness))));
    named
}

#[cfg(test)]
mod tests {
    use super::apart;

    #[test]
    fn names_of_dimensions_keep_the_order_of_their_dimensions() {
        assert_eq!(apart(&[50.0, 20.0, 0.0], 10.0), [50.0, 20.0, 0.0]);
        // Three at nearly one height: 10 apart, as far above as below.
        assert_eq!(apart(&[2.0, 1.0, 0.0], 10.0), [11.0, 1.0, -9.0]);
        assert_eq!(apart(&[], 10.0), [0.0; 0]);
    }
}
