//! The pattern itself, face up, as it lies on its board: how much smaller it is than the part, what
//! is marked on it, where it hangs.

use super::canvas::{Canvas, FIGURE_MM, HEADING_MM, ROW_MM, TEXT_MM, View, moved};
use super::dimension::{dimension_line, extension, leader};
use super::{Paper, Subject, top_left};
use crate::cam::mark::{Hole, Marks, cleat_holes};
use crate::cam::plan::split_pattern;
use crate::geometry::{Bounds, Contour, Point};
use crate::job::{Job, Long, Makes};
use crate::output::page::{Anchor, Line, Weight, text_width};
use crate::pipeline::workup::Planned;
use crate::stair::outline::{Outline, Role, Split, SplitPiece};
use crate::units::{Length, decimal, on_tape};

/// Scales that only a small pattern is drawn at.
const LARGE_SCALES: [f64; 5] = [2.0, 3.0, 4.0, 5.0, 6.0];
/// Room for dimensions left of the pattern, and right of it.
const LEFT_MM: f64 = 20.0;
const RIGHT_MM: f64 = 8.0;
/// Room of the heading and its notes above it.
const ABOVE_MM: f64 = HEADING_MM + 3.0 * ROW_MM + 10.0;
/// Room for dimensions below it, and from the pattern to the nearer and the farther of two.
const BELOW_MM: f64 = 26.0;
const NEAR_MM: f64 = 8.0;
const FAR_MM: f64 = 16.0;

/// A pattern that is cut.
#[derive(Clone, Copy, Debug)]
pub struct PatternOf<'a> {
    /// Its outline in the board frame.
    piece: &'a Contour<Role>,
    /// What is marked on it.
    marks: &'a Marks,
    /// How much smaller than the part it is, all round.
    inset: Length,
}

impl<'a> PatternOf<'a> {
    /// The pattern of a planned cut; none where the part itself is cut.
    pub(super) fn of(planned: &'a Planned, inset: Length) -> Option<Self> {
        let marks = planned.marks.as_ref()?;
        Some(Self { piece: planned.path.piece(), marks, inset })
    }
}

/// The pattern as large as a room holds it, from its upper left corner; how much of the room's
/// height it takes.
pub(super) fn draw(
    canvas: &mut Canvas,
    subject: &Subject<'_>,
    pattern: &PatternOf<'_>,
    room: Bounds,
) -> f64 {
    let part = subject.outline.in_board_frame();
    let all = part.bounds().joined(pattern.piece.bounds());
    let holds = |scale: &f64| {
        LEFT_MM + all.width() / scale + RIGHT_MM <= room.width()
            && ABOVE_MM + all.height() / scale + BELOW_MM <= room.height()
    };
    let scales = [LARGE_SCALES.as_slice(), Paper::scales()].concat();
    let scale = scales.iter().copied().find(holds).unwrap_or(scales[scales.len() - 1]);
    let corner = top_left(room);
    let origin = moved(corner, LEFT_MM - all.min.x / scale, -ABOVE_MM - all.max.y / scale);
    let view = View { scale, origin };
    let split = split_of(subject.job, subject.outline);
    heading(canvas, (pattern, split.is_some()), scale, corner);
    let on_paper = |points: Vec<Point>| points.iter().map(|p| view.at(p.x, p.y)).collect();
    if pattern.inset > Length::ZERO {
        canvas.closed(on_paper(part.vertices()), Line::Adjacent);
    }
    match &split {
        Some(split) => in_pieces(canvas, &view, split),
        None => {
            canvas.closed(on_paper(pattern.piece.vertices()), Line::VisibleEdge);
            for stroke in &pattern.marks.strokes {
                canvas.open(on_paper(stroke.points.clone()), Line::Rule);
            }
        }
    }
    let size = pattern.piece.bounds();
    let whole = Point::new(size.max.x, size.max.y);
    across(canvas, &view, size, FAR_MM, whole);
    upward(canvas, &view, size, whole);
    for hole in cleat_holes(subject.job, subject.outline) {
        let radius = hole.radius.as_mm() / view.scale;
        canvas.arc(view.at(hole.center.x, hole.center.y), radius, 0.0, 360.0, Line::VisibleEdge);
    }
    if let Some(hole) = pattern.marks.hole {
        hanging(canvas, &view, size, hole);
    }
    ABOVE_MM + all.height() / scale + BELOW_MM
}

/// The pieces of a pattern that is asked for in two.
fn split_of(job: &Job, outline: &Outline) -> Option<Split> {
    let is_split = job.cut.long == Long::Split && matches!(job.cut.makes, Makes::Pattern(_));
    is_split.then(|| split_pattern(job, outline).ok().map(|split| split.value)).flatten()
}

/// The pieces of a split as they lie pinned together, the strap over their joint. What is marked on
/// each finds its own room there: the pictures of their sheets show it.
fn in_pieces(canvas: &mut Canvas, view: &View, split: &Split) {
    let on_paper = |piece: &SplitPiece| {
        piece.contour.vertices().iter().map(|p| view.at(p.x, p.y)).collect::<Vec<_>>()
    };
    for piece in [&split.foot, &split.head] {
        canvas.closed(on_paper(piece), Line::VisibleEdge);
    }
    canvas.closed(on_paper(&split.strap), Line::Hidden);
    for dowel in &split.strap.dowels {
        let (at, radius) = (view.at(dowel.center.x, dowel.center.y), dowel.radius.as_mm());
        canvas.arc(at, radius / view.scale, 0.0, 360.0, Line::VisibleEdge);
    }
}

fn heading(
    canvas: &mut Canvas,
    (pattern, is_split): (&PatternOf<'_>, bool),
    scale: f64,
    corner: Point,
) {
    let title = format!("PATTERN, FACE UP  1 : {}", decimal(scale, 0));
    let beside = text_width(&title, HEADING_MM, Weight::Bold) + 4.0;
    canvas.heading(moved(corner, 0.0, -HEADING_MM), title);
    let size = match pattern.inset > Length::ZERO {
        true => format!(
            "Smaller than the part by {} all round: the part is drawn round it.",
            pattern.inset
        ),
        false => "As large as the part.".to_string(),
    };
    let marked = match (is_split, pattern.marks.strokes.is_empty()) {
        (true, _) => "In two pieces, pinned under a strap; their marks: pictures of the sheets.",
        (false, true) => "Nothing is marked on it.",
        (false, false) => {
            "This face is marked and lies up: never turn it over to mark the other hand."
        }
    };
    for (i, note) in [size.as_str(), marked].into_iter().enumerate() {
        let down = TEXT_MM + ROW_MM * i as f64;
        canvas.text(moved(corner, beside, -down), Anchor::Start, note);
    }
}

/// A length along the board from the left end of the pattern, below it.
fn across(canvas: &mut Canvas, view: &View, size: Bounds, below: f64, to: Point) {
    let y = view.at(0.0, size.min.y).y - below;
    let (from, end) = (view.at(size.min.x, size.min.y), view.at(to.x, to.y));
    let (left, right) = (Point::new(from.x, y), Point::new(end.x, y));
    extension(canvas, from, left);
    extension(canvas, end, right);
    dimension_line(canvas, left, right);
    let text = on_tape(Length::mm(to.x - size.min.x));
    let beside = (moved(right, 4.0, -FIGURE_MM / 2.0), Anchor::Start);
    let over =
        |i: i32| (moved(left, (right.x - left.x) / 2.0 + 6.0 * f64::from(i), 1.8), Anchor::Middle);
    canvas.place_figure(&text, [0, 1, -1, 2, -2, 3, -3].map(over).into_iter().chain([beside]));
}

/// A height over the lower edge of the pattern, left of it.
fn upward(canvas: &mut Canvas, view: &View, size: Bounds, to: Point) {
    let x = view.at(size.min.x, 0.0).x - NEAR_MM;
    let (from, end) = (view.at(size.min.x, size.min.y), view.at(to.x, to.y));
    let (low, high) = (Point::new(x, from.y), Point::new(x, end.y));
    extension(canvas, from, low);
    extension(canvas, end, high);
    dimension_line(canvas, low, high);
    let middle = Point::new(x - 1.8, (low.y + high.y) / 2.0);
    canvas.upright(middle, Anchor::Middle, on_tape(Length::mm(to.y - size.min.y)));
}

/// Where it hangs.
fn hanging(canvas: &mut Canvas, view: &View, size: Bounds, hole: Hole) {
    let center = view.at(hole.center.x, hole.center.y);
    canvas.arc(center, hole.radius.as_mm() / view.scale, 0.0, 360.0, Line::VisibleEdge);
    across(canvas, view, size, NEAR_MM, hole.center);
    let over = on_tape(Length::mm(hole.center.y - size.min.y));
    let wide = on_tape(hole.radius * 2.0);
    let text = format!("hanging hole {wide}, {over} over the lower edge");
    let wide = text_width(&text, TEXT_MM, Weight::Regular);
    // Over the teeth there is always room.
    let end = Point::new(center.x + 6.0, view.at(0.0, size.max.y).y + 5.0);
    leader(canvas, moved(end, 0.0, -1.0), center);
    canvas.place_text(&text, [(end, Anchor::Start), (moved(end, -wide / 2.0, 0.0), Anchor::Start)]);
}
