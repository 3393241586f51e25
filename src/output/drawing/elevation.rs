//! The stringer as it stands, with its dimensions from one datum: the surface it stands on and the
//! first riser cut.

use super::Subject;
use super::adjacent::adjacent;
use super::canvas::{Canvas, HEADING_MM, ROW_MM, TEXT_MM, View, moved};
use super::dimension::{Mark, Runs, dimension_line, extension, in_mm, leader, running};
use crate::geometry::Point;
use crate::output::page::{Anchor, Line, Weight, text_width};
use crate::stair::outline::Role;
use crate::units::{Length, Tape, decimal, on_tape};

/// Room left of the first nosing: running heights and total rise.
const LEFT_MM: f64 = 40.5;
/// Room right of the rim: framing, hang line, head cut.
const RIGHT_MM: f64 = 34.0;
/// Room above the upper finish: heading and notes.
const ABOVE_MM: f64 = 11.0;
/// Room below the floor: seat and running positions.
const BELOW_MM: f64 = 35.0;
/// From the first nosing to the line of the running heights.
const DATUM_MM: f64 = 7.0;
/// From the floor to the dimension of the seat, and to the line of the running positions.
const SEAT_ROW_MM: f64 = 5.0;
const RUNNING_ROW_MM: f64 = 10.0;
/// From the rim to the dimensions at the head.
const HEAD_ROW_MM: f64 = 11.5;
/// Between the lines of the hang line and of the head cut where they are two.
const HEAD_ROWS_APART_MM: f64 = 4.5;
/// Height of a label of three lines.
const HEAD_LABEL_MM: f64 = 3.0 * ROW_MM + 1.0;
/// A hang line shorter than this on the paper stands in the table only.
const LEAST_HANG_MM: f64 = 0.1;
/// On a lower edge shorter than this on the paper there is no room for the arc of the pitch.
const LEAST_EDGE_MM: f64 = 12.0;
/// Radius of the arc of the pitch.
const PITCH_RADIUS_MM: f64 = 20.0;
/// The narrowest tread that is numbered, on the paper.
const NUMBERED_MM: f64 = 6.0;

/// Width and height on the paper at a scale.
pub(super) fn size(subject: &Subject<'_>, scale: f64) -> (f64, f64) {
    let width = (subject.rim_x() + subject.nosing_mm()) / scale;
    (
        LEFT_MM + width + RIGHT_MM,
        ABOVE_MM + (subject.upper_finish_y() + below_seat(subject)) / scale + BELOW_MM,
    )
}

/// How far the lower surface lies below the seat.
fn below_seat(subject: &Subject<'_>) -> f64 {
    subject.flight.stands_on.as_mm()
}

/// Draws the view with its upper left corner at `corner`.
pub(super) fn draw(canvas: &mut Canvas, subject: &Subject<'_>, scale: f64, corner: Point) {
    let origin = Point::new(
        corner.x + LEFT_MM + subject.nosing_mm() / scale,
        corner.y - ABOVE_MM - subject.upper_finish_y() / scale,
    );
    let view = View { scale, origin };
    heading(canvas, subject, scale, corner);
    adjacent(canvas, &view, subject);
    nose_line(canvas, &view, subject);
    let outline = subject.outline.contour().vertices();
    canvas.closed(outline.iter().map(|p| view.at(p.x, p.y)).collect(), Line::VisibleEdge);
    numbers(canvas, &view, subject);
    heights(canvas, &view, subject);
    positions(canvas, &view, subject);
    seat(canvas, &view, subject);
    notch(canvas, &view, subject);
    unit_step(canvas, &view, subject);
    head(canvas, &view, subject);
    pitch(canvas, &view, subject);
}

fn heading(canvas: &mut Canvas, subject: &Subject<'_>, scale: f64, corner: Point) {
    let title = format!("ELEVATION  1 : {}", decimal(scale, 0));
    let beside = text_width(&title, HEADING_MM, Weight::Bold) + 4.0;
    canvas.heading(moved(corner, 0.0, -HEADING_MM), title);
    let drop = subject.flight.drop();
    let drop_note = if drop.as_mm() > 0.0 {
        format!("Drop taken: {drop}, once, at the foot. Do not take it again.")
    } else if drop.as_mm() < 0.0 {
        format!("The foot is higher by {}: more finish is to come than a tread is thick.", -drop)
    } else {
        "No drop: the finish to come is as thick as a tread.".to_string()
    };
    canvas.text(moved(corner, beside, -TEXT_MM), Anchor::Start, drop_note);
    let datum_note =
        "Heights from the surface the stringer stands on; positions from the first riser cut.";
    canvas.text(moved(corner, beside, -TEXT_MM - ROW_MM), Anchor::Start, datum_note);
}

fn nose_line(canvas: &mut Canvas, view: &View, subject: &Subject<'_>) {
    let flight = subject.flight;
    let point = |k: usize| view.at(flight.nose_x(k).as_mm(), flight.tread_cut_y(k).as_mm());
    let (sin, cos) = subject.outline.pitch_rad().sin_cos();
    let reach = 6.0;
    let (low, high) = (point(1), point(flight.treads));
    canvas.line(
        moved(low, -reach * cos, -reach * sin),
        moved(high, reach * cos, reach * sin),
        Line::Centre,
    );
}

fn numbers(canvas: &mut Canvas, view: &View, subject: &Subject<'_>) {
    let flight = subject.flight;
    for k in 1..=flight.treads {
        let length = if k == flight.treads { flight.top_tread_cut } else { flight.unit_run };
        if length.as_mm() / view.scale >= NUMBERED_MM {
            let middle = view
                .at(flight.nose_x(k).as_mm() + length.as_mm() / 2.0, flight.tread_cut_y(k).as_mm());
            canvas.text(moved(middle, 0.0, -TEXT_MM - 1.2), Anchor::Middle, k.to_string());
        }
    }
}

fn heights(canvas: &mut Canvas, view: &View, subject: &Subject<'_>) {
    let flight = subject.flight;
    let foremost = view.at(-subject.nosing_mm(), 0.0);
    let origin = moved(foremost, -DATUM_MM, 0.0);
    let marks: Vec<Mark> = (1..=flight.treads)
        .map(|k| {
            let (x, value) =
                (flight.nose_x(k).as_mm() - subject.nosing_mm(), flight.tread_cut_y(k));
            Mark { offset: value.as_mm() / view.scale, feature: view.at(x, value.as_mm()), value }
        })
        .collect();
    running(canvas, Runs::Up, origin, moved(foremost, -DATUM_MM + 2.0, 0.0), &marks);
    total_rise(canvas, view, subject, origin.x - 26.0);
}

fn total_rise(canvas: &mut Canvas, view: &View, subject: &Subject<'_>, x: f64) {
    let (low, high) = (subject.flight.base().as_mm(), subject.upper_finish_y());
    let (from, to) = (Point::new(x, view.at(0.0, low).y), Point::new(x, view.at(0.0, high).y));
    extension(canvas, view.at(subject.upper_finish_front_x(), high), to);
    extension(canvas, view.at(-subject.nosing_mm(), low), from);
    dimension_line(canvas, from, to);
    let (rise, middle) = (subject.flight.total_rise, (from.y + to.y) / 2.0);
    canvas.upright(
        Point::new(x - 1.0 - ROW_MM, middle),
        Anchor::Middle,
        format!("total rise {}", on_tape(rise)),
    );
    canvas.upright(Point::new(x - 1.0, middle), Anchor::Middle, in_mm(rise));
}

fn positions(canvas: &mut Canvas, view: &View, subject: &Subject<'_>) {
    let flight = subject.flight;
    let origin = moved(view.at(0.0, -below_seat(subject)), 0.0, -RUNNING_ROW_MM);
    let mark = |value: Length, y: f64| Mark {
        offset: value.as_mm() / view.scale,
        feature: view.at(value.as_mm(), y),
        value,
    };
    let mut marks: Vec<Mark> = (2..=flight.treads)
        .map(|k| mark(flight.nose_x(k), flight.tread_cut_y(k - 1).as_mm()))
        .collect();
    marks.push(mark(flight.head_cut_x, subject.head_cut_foot_y()));
    running(canvas, Runs::RightLabelsBelow, origin, view.at(0.0, 0.0), &marks);
}

fn seat(canvas: &mut Canvas, view: &View, subject: &Subject<'_>) {
    let length = subject.outline.seat_length();
    let heel = subject.heel();
    let (from, to) = (view.at(0.0, 0.0), view.at(heel.x, heel.y));
    let low = view.at(0.0, -below_seat(subject)).y - SEAT_ROW_MM;
    let row = |p: Point| Point::new(p.x, low);
    extension(canvas, to, row(to));
    dimension_line(canvas, row(from), row(to));
    let text = format!("seat cut {length}");
    let width = text_width(&text, TEXT_MM, Weight::Regular);
    let at = if to.x - from.x > width + 8.0 {
        moved(row(from), (to.x - from.x - width) / 2.0, -TEXT_MM / 2.0)
    } else {
        moved(row(to), 2.5, -TEXT_MM / 2.0)
    };
    canvas.masked(at, Anchor::Start, text);
}

fn notch(canvas: &mut Canvas, view: &View, subject: &Subject<'_>) {
    let Some(tie) = subject.plate() else { return };
    let (width, height) = (tie.width + tie.clearance, tie.height + tie.clearance);
    let toe = view.at(0.0, 0.0);
    let right = toe.x - 4.0;
    let mut rows =
        vec!["plate notch".to_string(), format!("{} x {}", on_tape(width), on_tape(height))];
    if Tape::in_hand() == Tape::Inches {
        let [width, height] = [width, height].map(|length| decimal(length.as_mm(), 1));
        rows.push(format!("({width} x {height} mm)"));
    }
    if tie.set_back.as_mm() > 0.0 {
        rows.push(format!("set back {}", on_tape(tie.set_back)));
        rows.push(in_mm(tie.set_back));
    }
    let top = toe.y - 7.5;
    for (i, row) in rows.into_iter().enumerate() {
        canvas.text(Point::new(right, top - ROW_MM * i as f64), Anchor::End, row);
    }
    let dot = view.at(tie.set_back.as_mm() + tie.width.as_mm() / 2.0, tie.height.as_mm() / 2.0);
    leader(canvas, Point::new(right + 0.6, top + TEXT_MM / 2.0), dot);
}

/// Unit rise and unit run, each once.
fn unit_step(canvas: &mut Canvas, view: &View, subject: &Subject<'_>) {
    if subject.flight.treads >= 2 {
        unit_rise(canvas, view, subject);
        unit_run(canvas, view, subject);
    }
}

fn nose(view: &View, subject: &Subject<'_>, k: usize) -> Point {
    view.at(subject.flight.nose_x(k).as_mm(), subject.flight.tread_cut_y(k).as_mm())
}

fn datum_x(view: &View, subject: &Subject<'_>) -> f64 {
    view.at(-subject.nosing_mm(), 0.0).x - DATUM_MM
}

/// Between the heights of the two uppermost treads, where the view is empty; of the first two in a
/// short flight.
fn unit_rise(canvas: &mut Canvas, view: &View, subject: &Subject<'_>) {
    let flight = subject.flight;
    let x = datum_x(view, subject) + 4.0;
    let upper = if flight.treads > 3 { flight.treads } else { 2 };
    let (low, high) = (nose(view, subject, upper - 1).y, nose(view, subject, upper).y);
    dimension_line(canvas, Point::new(x, low), Point::new(x, high));
    let rows = if flight.treads > 3 {
        vec!["unit rise".to_string(), flight.unit_rise.to_string()]
    } else {
        vec!["unit rise".to_string(), on_tape(flight.unit_rise), in_mm(flight.unit_rise)]
    };
    stacked(canvas, Point::new(x + 1.5, (low + high) / 2.0), &rows);
}

/// Above the first tread that leaves room for its text beside the datum, but not where the unit
/// rise stands.
fn unit_run(canvas: &mut Canvas, view: &View, subject: &Subject<'_>) {
    let flight = subject.flight;
    let text = format!("unit run {}", flight.unit_run);
    let room_from = datum_x(view, subject) + 2.0 + text_width(&text, TEXT_MM, Weight::Regular);
    let last = flight.treads - 1;
    let mut k = (1..last).find(|&k| nose(view, subject, k + 1).x >= room_from).unwrap_or(last);
    if flight.treads > 3 && k + 1 == last {
        k = last;
    }
    let thick = flight.tread_thickness.as_mm() / view.scale;
    let row = nose(view, subject, k + 1).y + thick + 2.0;
    let ends = [k, k + 1].map(|k| Point::new(nose(view, subject, k).x, row));
    for (k, end) in [k, k + 1].into_iter().zip(ends) {
        extension(canvas, moved(nose(view, subject, k), 0.0, thick), end);
    }
    dimension_line(canvas, ends[0], ends[1]);
    canvas.masked(moved(ends[1], 0.0, 0.9), Anchor::End, text);
}

/// Rows of text, one below the other, centred on the height of `at`.
fn stacked(canvas: &mut Canvas, at: Point, rows: &[String]) {
    let rows: Vec<&String> = rows.iter().filter(|row| !row.is_empty()).collect();
    let first = at.y + ROW_MM * (rows.len() as f64 - 1.0) / 2.0 - TEXT_MM / 2.0;
    for (i, row) in rows.iter().enumerate() {
        canvas.masked(Point::new(at.x, first - ROW_MM * i as f64), Anchor::Start, row.as_str());
    }
}

/// The head cut and the hang line: in one chain where the hang line has room for its label; else
/// each on a line of its own, the head cut's nearer to the part.
fn head(canvas: &mut Canvas, view: &View, subject: &Subject<'_>) {
    let flight = subject.flight;
    let (foot, top) = (subject.head_cut_foot_y(), flight.tread_cut_y(flight.treads).as_mm());
    let framing = flight.framing_top_y().as_mm();
    let row = view.at(subject.rim_x(), 0.0).x + HEAD_ROW_MM;
    let is_chain = (framing - top) / view.scale >= HEAD_LABEL_MM;
    let on_row = |y: f64| Point::new(row, view.at(0.0, y).y);
    let near = if is_chain { 0.0 } else { -HEAD_ROWS_APART_MM };
    let mut cut_label = (on_row(foot).y + on_row(top).y) / 2.0;
    if (framing - top).abs() / view.scale > LEAST_HANG_MM {
        extension(
            canvas,
            moved(view.at(subject.rim_x(), framing), HEAD_ROW_MM - 2.5, 0.0),
            on_row(framing),
        );
        dimension_line(canvas, on_row(top), on_row(framing));
        let highest = on_row(subject.upper_finish_y()).y - HEAD_LABEL_MM / 2.0;
        let middle = (on_row(top).y + on_row(framing).y) / 2.0;
        let hang_label = middle.max(cut_label + HEAD_LABEL_MM).min(highest);
        cut_label = cut_label.min(hang_label - HEAD_LABEL_MM);
        head_label(canvas, Point::new(row + 1.5, hang_label), "hang line", flight.hang_line);
    }
    for y in [foot, top] {
        let reach = if y > foot { 0.0 } else { near };
        extension(canvas, view.at(flight.head_cut_x.as_mm(), y), moved(on_row(y), reach, 0.0));
    }
    dimension_line(canvas, moved(on_row(foot), near, 0.0), moved(on_row(top), near, 0.0));
    head_label(
        canvas,
        Point::new(row + near + 1.5, cut_label),
        "head cut",
        subject.outline.head_cut_length(),
    );
}

fn head_label(canvas: &mut Canvas, at: Point, name: &str, length: Length) {
    stacked(canvas, at, &[name.to_string(), on_tape(length), in_mm(length)]);
}

/// The angle between the seat and the lower edge, where there is a lower edge.
fn pitch(canvas: &mut Canvas, view: &View, subject: &Subject<'_>) {
    let edges = subject.outline.contour().edges();
    let Some(edge) = edges.iter().find(|edge| edge.role == Role::LowerEdge) else { return };
    if edge.segment.length() / view.scale < LEAST_EDGE_MM {
        return;
    }
    let deg = subject.outline.pitch_rad().to_degrees();
    let center = view.at(edge.segment.from().x, edge.segment.from().y);
    let radius = PITCH_RADIUS_MM.min(0.8 * edge.segment.length() / view.scale);
    canvas.arc(center, radius, 0.0, deg, Line::Dimension);
    let (sin, cos) = (deg / 2.0).to_radians().sin_cos();
    let at = moved(center, (radius + 1.5) * cos, (radius + 1.5) * sin - TEXT_MM / 2.0);
    canvas.masked(at, Anchor::Start, format!("pitch {}\u{b0}", decimal(deg, 2)));
}
