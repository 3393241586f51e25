//! The stringer as it stands, with its dimensions from one datum: the surface it stands on and the
//! first riser cut.

use super::Subject;
use super::adjacent::{PAD_BEYOND_MM, SHOWN_MM, adjacent};
use super::canvas::{
    BESIDE_MM, Canvas, FIGURE_MM, FIGURE_ROW_MM, HEADING_MM, ROW_MM, TEXT_MM, View, headed, moved,
    stacked,
};
use super::dimension::{Mark, Runs, dimension_line, extension, longest, running};
use super::opening::opening;
use super::rail::{off_posts, rail, rail_top};
use crate::geometry::Point;
use crate::output::page::{Anchor, Line, Text, Weight, text_width};
use crate::stair::outline::Role;
use crate::units::{Length, decimal, on_tape, trimmed};

/// What the view is called.
const NAME: &str = "ELEVATION";
/// Room left of the first nosing: running heights and total rise.
const LEFT_MM: f64 = 58.0;
/// Room right of the rim: framing, hang line, head cut.
const RIGHT_MM: f64 = 46.0;
/// Room above the upper finish: heading and notes.
const ABOVE_MM: f64 = TEXT_MM + ROW_MM + 6.5;
/// Room below the floor: seat and running positions.
const BELOW_MM: f64 = RUNNING_ROW_MM + 6.0;
/// From the first nosing to the line of the running heights.
const DATUM_MM: f64 = 8.0;
/// From there to the line of the total rise.
const TOTAL_MM: f64 = 40.0;
/// From the floor to the dimension of the seat, and to the line of the running positions.
const SEAT_ROW_MM: f64 = 6.0;
const RUNNING_ROW_MM: f64 = 12.5;
/// From the rim to the dimensions at the head.
const HEAD_ROW_MM: f64 = 11.5;
/// Between the lines of the hang line and of the head cut where they are two.
const HEAD_ROWS_APART_MM: f64 = 4.5;
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
        (LEFT_MM + width + RIGHT_MM).max(headed(NAME, &notes(subject))),
        ABOVE_MM
            + (highest(subject) + lowest(subject)) / scale
            + BELOW_MM
            + longest(subject.positions()),
    )
}

/// The upper finish, or the rail's top over the uppermost post.
fn highest(subject: &Subject<'_>) -> f64 {
    rail_top(subject).map_or(subject.upper_finish_y(), |top| subject.upper_finish_y().max(top))
}

/// How far the floor lies below the seat, what falls away before it included.
fn lowest(subject: &Subject<'_>) -> f64 {
    subject.flight.stands_on.as_mm()
}

/// Draws the view with its upper left corner at `corner`.
pub(super) fn draw(canvas: &mut Canvas, subject: &Subject<'_>, scale: f64, corner: Point) {
    let origin = Point::new(
        corner.x + LEFT_MM + subject.nosing_mm() / scale,
        corner.y - ABOVE_MM - highest(subject) / scale,
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
    unit_step(canvas, &view, subject);
    head(canvas, &view, subject);
    opening(canvas, &view, subject);
    rail(canvas, &view, subject);
    pitch(canvas, &view, subject);
    levels(canvas, &view, subject);
}

/// What is said of the drop, wherever it is.
pub(super) fn drop_note(subject: &Subject<'_>) -> String {
    let drop = subject.flight.drop();
    if drop.as_mm() > 0.0 {
        format!("Drop taken: {drop}, once, at the foot. Do not take it again.")
    } else if drop.as_mm() < 0.0 {
        format!("The foot is higher by {}: more finish is to come than a tread is thick.", -drop)
    } else {
        "No drop: the finish to come is as thick as a tread.".to_string()
    }
}

/// What stands beside the heading.
fn notes(subject: &Subject<'_>) -> [String; 2] {
    let datum = "Heights from where the stringer stands; positions from the first riser cut.";
    [drop_note(subject), datum.to_string()]
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

/// The surfaces by name, at the right end of the floor: the upper one over its line, the lower one
/// under it. On ground that falls away they are named behind the heel.
fn levels(canvas: &mut Canvas, view: &View, subject: &Subject<'_>) {
    let base = subject.flight.base().as_mm();
    let (stands, floor) = ("stringer stands here", subject.lower_surface());
    let right = view.at(subject.rim_x(), 0.0).x + SHOWN_MM;
    let heel = view.at(subject.heel().x + PAD_BEYOND_MM, 0.0).x + 2.0;
    let falls = subject.ground_fall().is_some_and(|fall| fall != 0.0);
    let mut name = |text: &str, y: f64, above: bool| {
        let (y, way) = (view.at(0.0, y).y, if above { 1.0 } else { -1.0 });
        let up = if above { 1.3 } else { -TEXT_MM - 1.3 };
        let at_end = |i: i32| {
            let away = way * 2.0 * f64::from(i / 20);
            (Point::new(right + 34.0 - 4.0 * f64::from(i % 20), y + up + away), Anchor::End)
        };
        let behind = |i: i32| {
            // Under its line, for the ground goes on above it.
            let down = TEXT_MM + 1.3 + 1.5 * f64::from(i / 20);
            (Point::new(heel + 4.0 * f64::from(i % 20), y - down), Anchor::Start)
        };
        let places = (0..80).map(|i| if falls { behind(i) } else { at_end(i) });
        canvas.place_text(text, places);
    };
    if base.abs() < 1e-9 {
        name(&format!("{floor}: {stands}"), 0.0, false);
    } else {
        name(floor, base, base > 0.0);
        name(stands, 0.0, base < 0.0);
    }
    if let Some(fall) = subject.ground_fall().filter(|fall| *fall != 0.0) {
        let way = if fall > 0.0 { "falls" } else { "rises" };
        let says = format!("ground {way} 1 in {}", trimmed(1.0 / fall.abs(), 1));
        let end = view.at(subject.rim_x(), subject.ground_y(fall, subject.rim_x()));
        let place = |i: i32| {
            let (left, up) = (4.0 * f64::from(i % 15), 2.0 * f64::from(i / 15));
            (moved(end, SHOWN_MM + 30.0 - left, 2.5 + up), Anchor::End)
        };
        canvas.place_text(&says, (0..60).map(place));
    }
    let finish = view.at(subject.rim_x(), subject.upper_finish_y());
    let over = |(right, anchor)| {
        let text = Text::new("upper finish", moved(finish, right, 1.4), TEXT_MM);
        vec![Text { anchor, ..text }]
    };
    let places = [
        (SHOWN_MM, Anchor::End),
        (SHOWN_MM + 20.0, Anchor::End),
        (SHOWN_MM + 2.0, Anchor::Start),
        (0.0, Anchor::End),
    ];
    canvas.place(off_posts(view, subject, places.map(over).to_vec()));
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
        if length.as_mm().min(flight.unit_rise.as_mm()) / view.scale >= NUMBERED_MM {
            let middle = view
                .at(flight.nose_x(k).as_mm() + length.as_mm() / 2.0, flight.tread_cut_y(k).as_mm());
            let below = moved(middle, 0.0, -TEXT_MM - 1.5);
            let place = |i: i32| (moved(below, 1.5 * f64::from(i), 0.0), Anchor::Middle);
            canvas.place_text(&k.to_string(), (0..4).map(place));
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
    total_rise(canvas, view, subject, origin.x - TOTAL_MM);
}

fn total_rise(canvas: &mut Canvas, view: &View, subject: &Subject<'_>, x: f64) {
    let (low, high) = (subject.flight.base().as_mm(), subject.upper_finish_y());
    let (from, to) = (Point::new(x, view.at(0.0, low).y), Point::new(x, view.at(0.0, high).y));
    extension(canvas, view.at(subject.upper_finish_front_x(), high), to);
    extension(canvas, view.at(-subject.nosing_mm(), low), from);
    dimension_line(canvas, from, to);
    let text = format!("total rise {}", on_tape(subject.flight.total_rise));
    let half = text_width(&text, FIGURE_MM, Weight::Regular) / 2.0;
    // A text longer than its line hangs down from its upper end.
    let middle = ((from.y + to.y) / 2.0).min(to.y + 4.0 - half);
    canvas.upright(Point::new(x - 1.6, middle), Anchor::Middle, text);
}

fn positions(canvas: &mut Canvas, view: &View, subject: &Subject<'_>) {
    let flight = subject.flight;
    let origin = moved(view.at(0.0, -lowest(subject)), 0.0, -RUNNING_ROW_MM);
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
    let low = view.at(0.0, -lowest(subject)).y - SEAT_ROW_MM;
    let row = |p: Point| Point::new(p.x, low);
    extension(canvas, to, row(to));
    dimension_line(canvas, row(from), row(to));
    let text = format!("seat cut {}", on_tape(length));
    let width = text_width(&text, FIGURE_MM, Weight::Regular);
    let half = -FIGURE_MM / 2.0;
    let mut places = vec![(moved(row(to), 2.5, half), Anchor::Start)];
    if to.x - from.x > width + 10.0 {
        places.insert(0, (moved(row(from), (to.x - from.x) / 2.0, half), Anchor::Middle));
    }
    places.extend((1..12).map(|i| (moved(row(to), 2.5 + 4.0 * f64::from(i), half), Anchor::Start)));
    canvas.place_figure(&text, places);
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
    let (rise, middle) = (on_tape(flight.unit_rise), Point::new(x + 2.0, (low + high) / 2.0));
    let one_row = format!("unit rise {rise}");
    let place = |i: i32| moved(middle, 3.0 * f64::from(i), 0.0);
    let in_one = (0..6).map(|i| stacked(place(i), Anchor::Start, &[&one_row]));
    let in_two = (0..6).map(|i| stacked(place(i), Anchor::Start, &["unit rise", &rise]));
    let above = (1..40)
        .map(|i| stacked(moved(middle, 0.0, 1.5 * f64::from(i)), Anchor::Start, &[&one_row]));
    let of = Point::new(x, middle.y);
    canvas.place_of(of, in_one.chain(in_two).chain(above).collect());
}

/// Above the first tread that leaves room for its text beside the datum, but not where the unit
/// rise stands.
fn unit_run(canvas: &mut Canvas, view: &View, subject: &Subject<'_>) {
    let flight = subject.flight;
    let text = format!("unit run {}", on_tape(flight.unit_run));
    let room_from = datum_x(view, subject) + 2.0 + text_width(&text, FIGURE_MM, Weight::Regular);
    let last = flight.treads - 1;
    let mut k = (1..last).find(|&k| nose(view, subject, k + 1).x >= room_from).unwrap_or(last);
    if flight.treads > 3 && k + 1 == last {
        k = last;
    }
    let thick = flight.tread_thickness.as_mm() / view.scale;
    let row = nose(view, subject, k + 1).y + thick + 3.0;
    let ends = [k, k + 1].map(|k| Point::new(nose(view, subject, k).x, row));
    for (k, end) in [k, k + 1].into_iter().zip(ends) {
        extension(canvas, moved(nose(view, subject, k), 0.0, thick), end);
    }
    dimension_line(canvas, ends[0], ends[1]);
    let over = |i: i32| moved(ends[1], 0.0, 2.0 + FIGURE_MM / 2.0 + 1.5 * f64::from(i));
    let before = |i: i32| moved(ends[0], -2.5 - 2.0 * f64::from(i), 0.0);
    let one = |at: Point, anchor: Anchor| stacked(at, anchor, &[&text]);
    let run = on_tape(flight.unit_run);
    let two = |i: i32| {
        let at = moved(over(i), 0.0, FIGURE_ROW_MM / 2.0);
        stacked(at, Anchor::End, &["unit run", &run])
    };
    let in_one = (0..3).map(|i| one(over(i), Anchor::End));
    let aside = (0..3).map(|i| one(before(i), Anchor::End));
    let behind = (0..30).map(|i| one(over(i), Anchor::Start));
    let places = in_one.chain(aside).chain((0..6).map(two)).chain(behind).collect();
    let of = nalgebra::center(&ends[0], &ends[1]);
    canvas.place_of(of, off_posts(view, subject, places));
}

/// The head cut and the hang line: in one chain where the hang line is long enough; else each on a
/// line of its own, the head cut's nearer to the part.
fn head(canvas: &mut Canvas, view: &View, subject: &Subject<'_>) {
    let flight = subject.flight;
    let (foot, top) = (subject.head_cut_foot_y(), flight.tread_cut_y(flight.treads).as_mm());
    let framing = flight.framing_top_y().as_mm();
    let row = view.at(subject.rim_x(), 0.0).x + HEAD_ROW_MM;
    let is_chain = (framing - top) / view.scale >= 2.0 * FIGURE_ROW_MM;
    let on_row = |y: f64| Point::new(row, view.at(0.0, y).y);
    let near = if is_chain { 0.0 } else { -HEAD_ROWS_APART_MM };
    if (framing - top).abs() / view.scale > LEAST_HANG_MM {
        extension(
            canvas,
            moved(view.at(subject.rim_x(), framing), HEAD_ROW_MM - 2.5, 0.0),
            on_row(framing),
        );
        dimension_line(canvas, on_row(top), on_row(framing));
        beside(canvas, on_row((top + framing) / 2.0), "hang line", flight.hang_line, 1.0);
    }
    for y in [foot, top] {
        let reach = if y > foot { 0.0 } else { near };
        extension(canvas, view.at(flight.head_cut_x.as_mm(), y), moved(on_row(y), reach, 0.0));
    }
    dimension_line(canvas, moved(on_row(foot), near, 0.0), moved(on_row(top), near, 0.0));
    let middle = moved(on_row((foot + top) / 2.0), near, 0.0);
    beside(canvas, middle, "top plumb cut", subject.outline.head_cut_length(), -1.0);
}

/// A name and its figure right of a dimension line, further up or down where there is no room.
fn beside(canvas: &mut Canvas, middle: Point, name: &str, length: Length, way: f64) {
    let figure = on_tape(length);
    let place = |i: i32| moved(middle, 2.0, way * 1.4 * f64::from(i));
    let rows = |i: i32| stacked(place(i), Anchor::Start, &[name, &figure]);
    canvas.place((0..30).map(rows).collect::<Vec<Vec<Text>>>());
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
    let text = format!("pitch {}\u{b0}", decimal(deg, 2));
    let place = |i: i32| {
        let (sin, cos) = (deg * (0.5 - 0.06 * f64::from(i % 6))).to_radians().sin_cos();
        let reach = radius + 2.0 + 3.0 * f64::from(i / 6);
        (moved(center, reach * cos, reach * sin - FIGURE_MM / 2.0), Anchor::Start)
    };
    canvas.place_figure(&text, (0..48).map(place));
}
