//! A cleated stringer: its inner face with its cleats and their holes, where each cleat's line
//! meets the upper edge; one cleat large, and across the board through it.

use super::canvas::{Canvas, FIGURE_MM, HEADING_MM, ROW_MM, TEXT_MM, View, moved};
use super::dimension::{Runs, dimension_line, extension};
use super::face::OnFace;
use super::rail::{rail, rail_top};
use super::{Subject, detail};
use crate::geometry::{Bounds, Contour, Point, Vector, cross};
use crate::job::{CleatHoles, CleatOf, Cleated, Hand};
use crate::output::page::{Anchor, Line, Weight, wrap};
use crate::stair::outline::{Cleat, Met, Role, cleat_marks, depth_on_board, nose_front};
use crate::stair::{RailLine, bays};
use crate::units::{Length, decimal, on_tape};

/// The least from cleat to cleat at which a tread is numbered, on the paper.
const NUMBERED_MM: f64 = 12.0;
/// Room left of the cleat that is drawn large, how wide it is at most, and how high.
const ASIDE_MM: f64 = 18.0;
const WIDEST_MM: f64 = 110.0;
const HIGHEST_MM: f64 = 40.0;
/// From the heading to the cleat, and below it for its dimensions.
const BELOW_HEADING_MM: f64 = HEADING_MM + 6.0;
const DIMENSIONS_MM: f64 = 20.0;
/// From a cleat to the dimension beside it, and from one to the next.
const NEAR_MM: f64 = 5.0;
const NEXT_MM: f64 = 6.0;
/// From the cleat to the section, and of board shown over and under it, in stair mm.
const BETWEEN_MM: f64 = 34.0;
const ROUND_MM: f64 = 25.0;

impl OnFace for Cleated {
    fn hand(&self) -> Hand {
        self.hand
    }

    fn notes(&self, subject: &Subject<'_>) -> [String; 2] {
        [
            format!(
                "Along the upper edge: the line of every {}'s top, from the toe end of the blank.",
                self.with.name()
            ),
            format!(
                "Line to line {} along the board, at {}\u{b0} to it. Of the other hand: the same \
                part turned over.",
                on_tape(subject.flight.pitch_length()),
                decimal(subject.outline.pitch_rad().to_degrees(), 2)
            ),
        ]
    }

    fn marks(&self, subject: &Subject<'_>) -> Vec<(Point, f64)> {
        let board = subject.outline.in_board_frame().bounds();
        let place = |along: f64| match self.hand {
            Hand::Left => board.min.x + along,
            Hand::Right => board.max.x - along,
        };
        let marks = cleat_marks(subject.job, subject.flight);
        let alongs = marks.into_iter().map(|mark| mark.along.as_mm());
        alongs.map(|along| (Point::new(place(along), board.max.y), along)).collect()
    }

    fn runs(&self) -> Runs {
        // From the toe end.
        match self.hand {
            Hand::Left => Runs::RightLabelsAbove,
            Hand::Right => Runs::LeftLabelsAbove,
        }
    }

    fn draw(&self, canvas: &mut Canvas, subject: &Subject<'_>, view: &View) {
        posts(canvas, subject, view);
        let apart = subject.flight.pitch_length().as_mm() / view.scale;
        for cleat in subject.outline.cleats_in_board_frame() {
            let points = cleat.corners.map(|p| view.at(p.x, p.y));
            canvas.closed(points.to_vec(), Line::VisibleEdge);
            for hole in &cleat.holes {
                let radius = self.hole.as_mm() / 2.0 / view.scale;
                canvas.arc(view.at(hole.x, hole.y), radius, 0.0, 360.0, Line::VisibleEdge);
            }
            if apart >= NUMBERED_MM {
                number(canvas, &cleat, view);
            }
        }
    }

    fn detail(&self, canvas: &mut Canvas, subject: &Subject<'_>, room: Bounds) {
        let corner = Point::new(room.min.x, room.max.y);
        let cleats = Cleat::all(subject.job, subject.flight, self);
        let Some(cleat) = cleats.first().filter(|cleat| cleat.length() > Length::ZERO) else {
            return;
        };
        let (long, high) = (cleat.length().as_mm(), self.height.as_mm());
        let notes = words(subject, self, room.width());
        let holds = |scale: &f64| long / scale <= WIDEST_MM && high / scale <= HIGHEST_MM;
        let scales = detail::scales();
        let scale = scales.into_iter().find(holds).unwrap_or(scales[scales.len() - 1]);
        let title = format!("ONE {}  1 : {}", self.with.name().to_uppercase(), decimal(scale, 0));
        canvas.heading(moved(corner, 0.0, -HEADING_MM), title);
        let origin = moved(corner, ASIDE_MM, -BELOW_HEADING_MM - high / scale);
        one(canvas, self, cleat, &View { scale, origin });
        let beside = moved(corner, ASIDE_MM + long / scale + BETWEEN_MM, 0.0);
        let deep = section(canvas, subject, self, (scale, beside));
        let down = BELOW_HEADING_MM + (high / scale + DIMENSIONS_MM).max(deep);
        for (i, row) in notes.into_iter().enumerate() {
            let at = moved(corner, 0.0, -down - ROW_MM * (i as f64 + 1.0));
            canvas.text(at, Anchor::Start, row);
        }
    }

    fn described(&self) -> &'static str {
        "Inner face of a solid stringer with the places of its cleats."
    }
}

/// Floor that is shown before the foot and behind the head, in stair mm, and room for a number.
const FLOOR_MM: f64 = 300.0;
const OVER_MM: f64 = 4.0;

/// What the stringer takes as it stands, treads and floors with it.
fn standing(subject: &Subject<'_>) -> Bounds {
    let flight = subject.flight;
    let finish = (flight.framing_top_y() + flight.head_finish).as_mm();
    let upper = rail_top(subject).map_or(finish, |top| finish.max(top));
    let low = flight.base().as_mm().min(0.0);
    Bounds {
        min: Point::new(nose_front(subject.job, flight, 1).as_mm() - FLOOR_MM, low),
        max: Point::new(subject.rim_x() + FLOOR_MM, upper),
    }
}

/// The size on the paper of the stringer as it stands.
pub(super) fn size(subject: &Subject<'_>, scale: f64) -> (f64, f64) {
    let all = standing(subject);
    (all.width() / scale, all.height() / scale + 2.0 * OVER_MM)
}

/// The stringer as it stands, seen from its inner face on the left of the stair, with its cleats,
/// the treads on them and both floors.
pub(super) fn draw(canvas: &mut Canvas, subject: &Subject<'_>, scale: f64, top_left: Point) {
    let (job, flight) = (subject.job, subject.flight);
    let Some(cleated) = job.stringer.cleated() else { return };
    let all = standing(subject);
    let origin = moved(top_left, -all.min.x / scale, -OVER_MM - all.max.y / scale);
    let view = View { scale, origin };
    let sign = if cleated.hand == Hand::Right { -1.0 } else { 1.0 };
    let board = subject.outline.contour().vertices();
    canvas.closed(board.iter().map(|p| view.at(sign * p.x, p.y)).collect(), Line::VisibleEdge);
    for cleat in Cleat::all(job, flight, cleated) {
        canvas.closed(cleat.corners.map(|p| view.at(p.x, p.y)).to_vec(), Line::VisibleEdge);
        let (front, low) = (nose_front(job, flight, cleat.number), cleat.corners[3].y);
        let deep = depth_on_board(cleat.number, job, flight);
        let (left, right) = (front.as_mm(), (front + deep).as_mm());
        let high = low + flight.tread_thickness.as_mm();
        let tread = [(left, low), (right, low), (right, high), (left, high)];
        canvas.closed(tread.map(|(x, y)| view.at(x, y)).to_vec(), Line::Adjacent);
        let middle = view.at((left + right) / 2.0, high);
        let place = |i: i32| (moved(middle, 0.0, 1.0 + f64::from(i)), Anchor::Middle);
        canvas.place_text(&cleat.number.to_string(), (0..8).map(place));
    }
    let (base, rim) = (flight.base().as_mm(), subject.rim_x());
    let toe = nose_front(job, flight, 1).as_mm();
    canvas.line(view.at(all.min.x, base), view.at(toe, base), Line::Adjacent);
    let finish = subject.upper_finish_y();
    let upper = [(subject.upper_finish_front_x(), finish), (all.max.x, finish)];
    canvas.open(upper.map(|(x, y)| view.at(x, y)).to_vec(), Line::Adjacent);
    let framing = flight.framing_top_y();
    let foot = flight.rim_depth.map_or(Length::ZERO, |deep| framing - deep).as_mm();
    let behind = [(rim, foot), (rim, framing.as_mm()), (all.max.x, framing.as_mm())];
    canvas.open(behind.map(|(x, y)| view.at(x, y)).to_vec(), Line::Adjacent);
    self::rail(canvas, &view, subject);
}

/// The posts of a rail on the face behind, hidden, each with its middle, across the board from edge
/// to edge.
fn posts(canvas: &mut Canvas, subject: &Subject<'_>, view: &View) {
    let (job, flight) = (subject.job, subject.flight);
    let (Some(line), Some(asked)) = (RailLine::of(job, flight), job.rail) else { return };
    let is_turned = job.stringer.cleated().is_some_and(|of| of.hand == Hand::Right);
    let sign = if is_turned { -1.0 } else { 1.0 };
    let (to_board, board) = (subject.outline.to_board(), subject.outline.in_board_frame());
    let half = asked.post / 2.0;
    for post in &line.posts {
        let lines = [
            (post.at - half, Line::Hidden),
            (post.at, Line::Centre),
            (post.at + half, Line::Hidden),
        ];
        for (at, line) in lines {
            let x = sign * (at - job.tread.riser_board).as_mm();
            let foot = to_board * Point::new(x, 0.0);
            let up = to_board.rotation * Vector::y();
            if let Some([low, high]) = across_board(&board, foot, up) {
                canvas.line(view.at(low.x, low.y), view.at(high.x, high.y), line);
            }
        }
    }
}

/// Where a line enters and leaves a convex board.
fn across_board(board: &Contour<Role>, through: Point, along: Vector) -> Option<[Point; 2]> {
    let mut within = (f64::MIN, f64::MAX);
    for edge in board.edges() {
        let (from, way) = (edge.segment.from(), edge.segment.direction_at(0.0));
        // The board lies to the left of every edge.
        let (inside, changes) = (cross(way, through - from), cross(way, along));
        if changes.abs() < 1e-12 {
            continue;
        }
        let at = -inside / changes;
        within = match changes > 0.0 {
            true => (within.0.max(at), within.1),
            false => (within.0, within.1.min(at)),
        };
    }
    (within.0 < within.1).then(|| [through + along * within.0, through + along * within.1])
}

/// The number of a tread over its cleat.
fn number(canvas: &mut Canvas, cleat: &Cleat, view: &View) {
    let [_, _, back, front] = cleat.corners;
    let middle = front + (back - front) / 2.0;
    let up = Vector::new(0.0, TEXT_MM * view.scale);
    let place = |i: i32| {
        let at = middle + up * (0.8 + 0.5 * f64::from(i));
        (view.at(at.x, at.y), Anchor::Middle)
    };
    canvas.place_text(&cleat.number.to_string(), (0..14).map(place));
}

/// One cleat from the side, its front at the left, with the places of its holes.
fn one(canvas: &mut Canvas, cleated: &Cleated, cleat: &Cleat, view: &View) {
    let at = |p: &Point| p - cleat.corners[0];
    let corners = cleat.corners.map(|p| at(&p)).map(|p| view.at(p.x, p.y));
    canvas.closed(corners.to_vec(), Line::VisibleEdge);
    for hole in &cleat.holes {
        let p = at(hole);
        let radius = cleated.hole.as_mm() / 2.0 / view.scale;
        canvas.arc(view.at(p.x, p.y), radius, 0.0, 360.0, Line::VisibleEdge);
    }
    let [low, right, _, top] = corners;
    let x = low.x - NEAR_MM;
    extension(canvas, low, Point::new(x, low.y));
    extension(canvas, top, Point::new(x, top.y));
    dimension_line(canvas, Point::new(x, low.y), Point::new(x, top.y));
    let figure = on_tape(cleated.height);
    canvas.upright(Point::new(x - 1.8, (low.y + top.y) / 2.0), Anchor::Middle, figure);
    let mut row = low.y - NEAR_MM;
    if let Some(first) = cleat.holes.first().map(at) {
        let hole = view.at(first.x, first.y);
        let figure = format!("{} to the first hole", on_tape(Length::mm(first.x)));
        across(canvas, (low, hole), row, figure);
        row -= NEXT_MM;
    }
    across(canvas, (low, right), row, format!("{} long", on_tape(cleat.length())));
}

/// A dimension below, its figure at the right of it.
fn across(canvas: &mut Canvas, (from, to): (Point, Point), y: f64, figure: String) {
    let ends = [from, to].map(|p| Point::new(p.x, y));
    extension(canvas, from, ends[0]);
    extension(canvas, to, ends[1]);
    dimension_line(canvas, ends[0], ends[1]);
    canvas.figure(moved(ends[1], 8.0, -FIGURE_MM / 2.0), Anchor::Start, figure);
}

/// Across the board through a cleat, the tread on it; how deep it reaches below the heading.
fn section(
    canvas: &mut Canvas,
    subject: &Subject<'_>,
    cleated: &Cleated,
    (scale, corner): (f64, Point),
) -> f64 {
    let (board, tread) = (subject.job.board.thickness.as_mm(), subject.flight.tread_thickness);
    let (high, out) = (cleated.height.as_mm(), cleated.with.stands_out().as_mm());
    let all = high + tread.as_mm() + 2.0 * ROUND_MM;
    canvas.heading(moved(corner, 0.0, -HEADING_MM), "SECTION");
    let view = View { scale, origin: moved(corner, 12.0, -BELOW_HEADING_MM - all / scale) };
    let rect = |x: (f64, f64), y: (f64, f64)| {
        [(x.0, y.0), (x.1, y.0), (x.1, y.1), (x.0, y.1)].map(|(x, y)| view.at(x, y)).to_vec()
    };
    let (low, top) = (ROUND_MM, ROUND_MM + high);
    canvas.closed(rect((0.0, board), (0.0, all)), Line::VisibleEdge);
    match cleated.with {
        CleatOf::Wood { .. } => {
            canvas.closed(rect((board, board + out), (low, top)), Line::VisibleEdge);
        }
        CleatOf::Angle { thickness, .. } => {
            let steel = thickness.as_mm();
            let corners = [
                (board, low),
                (board + steel, low),
                (board + steel, top - steel),
                (board + out, top - steel),
                (board + out, top),
                (board, top),
            ];
            canvas.closed(corners.map(|(x, y)| view.at(x, y)).to_vec(), Line::VisibleEdge);
        }
    }
    let far = board + out * 1.6;
    let shown =
        [(far, top), (board, top), (board, top + tread.as_mm()), (far, top + tread.as_mm())];
    canvas.open(shown.map(|(x, y)| view.at(x, y)).to_vec(), Line::Adjacent);
    let y = view.at(0.0, 0.0).y - NEAR_MM;
    let stands = (view.at(board, low), view.at(board + out, low));
    across(canvas, stands, y, format!("{} out", on_tape(cleated.with.stands_out())));
    let thick = (view.at(0.0, 0.0), view.at(board, 0.0));
    let figure = format!("{} board", on_tape(subject.job.board.thickness));
    across(canvas, thick, y - NEXT_MM, figure);
    all / scale + 2.0 * NEAR_MM + NEXT_MM
}

/// Where the posts of a rail are marked.
fn post_words(subject: &Subject<'_>) -> Option<String> {
    let line = RailLine::of(subject.job, subject.flight)?;
    let one = |post: &crate::stair::Post| {
        let along = match post.mark {
            Some(Met::LevelCut(along)) => {
                format!("{} along the level cut from the end of that edge", on_tape(along))
            }
            Some(Met::Edge(along)) => on_tape(along),
            None => "not on the board".to_string(),
        };
        format!("{along} (tread {})", post.tread)
    };
    let all: Vec<String> = line.posts.iter().map(one).collect();
    Some(format!(
        "Posts of the rail on the outer face, dashed here: their middles along the upper edge from \
        the toe end of the blank {}, plumb from there.",
        all.join(", ")
    ))
}

/// What is said of the face of a middle stringer that is not drawn.
fn second_face(cleated: &Cleated) -> String {
    let names = cleated.with.names();
    let holes = match cleated.holes {
        CleatHoles::Drilled => " The holes go through: they are those of both faces.",
        CleatHoles::Marked | CleatHoles::None => "",
    };
    format!(
        "A middle stringer has {names} on both faces, the second one's mirrored, at the same \
        distances along the upper edge: square each line over that edge onto the other face, plumb \
        and level lines run the other way there.{holes}"
    )
}

/// The figures in words.
fn words(subject: &Subject<'_>, cleated: &Cleated, wide: f64) -> Vec<String> {
    let flight = subject.flight;
    let (name, names) = (cleated.with.name(), cleated.with.names());
    let mut rows = vec![format!(
        "The top of every {name} lies {} under the tread's top: the tread's thickness. The drop is \
        in every figure.",
        on_tape(flight.tread_thickness)
    )];
    if let Some(first) = cleat_marks(subject.job, flight).first() {
        rows.push(format!(
            "First {name}: its top {} over what the stringer stands on, each other {} higher; its \
            front {} along the level line from the upper edge.",
            on_tape(first.top),
            on_tape(flight.unit_rise),
            on_tape(first.front)
        ));
    }
    let last = Cleat::all(subject.job, flight, cleated);
    if let (Some(first), Some(last)) = (last.first(), last.last())
        && !first.length().is_within(Length::mm(1e-6), last.length())
    {
        rows.push(format!("The uppermost {name} is {} long.", on_tape(last.length())));
    }
    rows.push(match cleated.holes {
        CleatHoles::Drilled => format!(
            "{} holes of {} in each, through the stringer: the {names} themselves are drilled to \
            fit.",
            cleated.count,
            on_tape(cleated.hole)
        ),
        CleatHoles::Marked => {
            format!("{} holes of {} in each, marked.", cleated.count, on_tape(cleated.hole))
        }
        CleatHoles::None => "Holes are left to the bench.".to_string(),
    });
    rows.extend(post_words(subject));
    rows.extend((bays(subject.job) > 1).then(|| second_face(cleated)));
    rows.push(format!(
        "The {names} are on the face that is shown, which looks to the stair: on a left-hand \
        stringer it rises to the right, on a right-hand one to the left."
    ));
    rows.iter().flat_map(|row| wrap(row, wide, TEXT_MM, Weight::Regular)).collect()
}
