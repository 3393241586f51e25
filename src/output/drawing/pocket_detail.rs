//! One tread's pocket and its riser's, large, and a section through the tread's.

use super::canvas::{Canvas, FIGURE_MM, HEADING_MM, ROW_MM, View, moved};
use super::dimension::{dimension_line, extension};
use super::housed::words;
use super::{Subject, detail};
use crate::geometry::{Bounds, Point, Segment};
use crate::job::Housed;
use crate::output::page::{Anchor, Line, corners};
use crate::stair::outline::PocketRole;
use crate::units::{Length, decimal, on_tape};

/// Width of the detail's window at most, and its height.
const WINDOW_WIDTH_MM: f64 = 104.0;
const WINDOW_HEIGHT_MM: f64 = 86.0;
/// Room left of the window and between it and the section.
const ASIDE_MM: f64 = 32.0;
const BETWEEN_MM: f64 = 34.0;
/// From the heading to the window.
const BELOW_HEADING_MM: f64 = HEADING_MM + 4.0;
/// What is shown round the pockets, in stair mm.
const ROUND_MM: f64 = 14.0;
/// From the window to the dimension beside it.
const NEAR_MM: f64 = 4.0;
/// How high a piece of board the section shows, in stair mm, over and under the pocket.
const SECTION_ROUND_MM: f64 = 30.0;

/// The sides of the pockets of one tread, by role.
struct Sides {
    /// The tread that is shown: the second, which has a riser under it, where there is one.
    tread: usize,
    all: Vec<(PocketRole, Segment)>,
}

impl Sides {
    fn of(subject: &Subject<'_>) -> Self {
        let tread = subject.flight.treads.min(2);
        let edges = subject.outline.pockets().iter().flat_map(|pocket| pocket.contour.edges());
        Self { tread, all: edges.map(|edge| (edge.role, edge.segment)).collect() }
    }

    /// The side of a role; where another pocket parts it, its longest piece.
    fn side(&self, role: PocketRole) -> Option<&Segment> {
        let own = self.all.iter().filter(|(own, _)| *own == role).map(|(_, segment)| segment);
        own.max_by(|a, b| a.length().total_cmp(&b.length()))
    }

    /// Where a side begins and where it ends, from the left, over all pieces that other pockets
    /// part it into.
    fn ends(&self, role: PocketRole) -> Option<[Point; 2]> {
        let own = self.all.iter().filter(|(own, _)| *own == role);
        let mut ends: Vec<Point> = own.flat_map(|(_, side)| [side.from(), side.to()]).collect();
        ends.sort_by(|a, b| a.x.total_cmp(&b.x));
        Some([*ends.first()?, *ends.last()?])
    }

    /// The box of what belongs to the tread and to the riser under it.
    fn bounds(&self) -> Option<Bounds> {
        let k = self.tread;
        use PocketRole::{
            Nosing, RiserBack, RiserFace, RiserFoot, TreadEnd, TreadTop, TreadUnderside,
        };
        let own = [
            Nosing(k),
            TreadTop(k),
            TreadUnderside(k),
            TreadEnd(k),
            RiserFace(k),
            RiserBack(k),
            RiserFoot(k),
        ];
        let ends = own.into_iter().filter_map(|role| self.side(role));
        Bounds::around(ends.flat_map(|side| [side.from(), side.to()]))
    }
}

/// The detail and the section in a room, from its upper left corner, what is said of them below.
pub(super) fn draw(canvas: &mut Canvas, subject: &Subject<'_>, housed: &Housed, room: Bounds) {
    let sides = Sides::of(subject);
    let corner = Point::new(room.min.x, room.max.y);
    let notes = words(subject, housed, room.width());
    let mut down = 0.0;
    if let Some(shown) = sides.bounds().map(|bounds| bounds.grown(ROUND_MM)) {
        let high = (room.height() - notes.len() as f64 * ROW_MM - BELOW_HEADING_MM - 18.0)
            .clamp(20.0, WINDOW_HEIGHT_MM);
        let holds = |scale: &f64| {
            shown.width() / scale <= WINDOW_WIDTH_MM && shown.height() / scale <= high
        };
        let scales = detail::scales();
        let scale = scales.into_iter().find(holds).unwrap_or(scales[scales.len() - 1]);
        let window = Bounds {
            min: moved(corner, ASIDE_MM, -BELOW_HEADING_MM - shown.height() / scale),
            max: moved(corner, ASIDE_MM + shown.width() / scale, -BELOW_HEADING_MM),
        };
        let origin = moved(window.min, -shown.min.x / scale, -shown.min.y / scale);
        let view = View { scale, origin };
        canvas.heading(
            moved(corner, 0.0, -HEADING_MM),
            format!("POCKETS OF STEP {}  1 : {}", sides.tread, decimal(scale, 0)),
        );
        pockets(canvas, subject, &view, window);
        figures(canvas, &sides, &view, window);
        let beside = Point::new(window.max.x + BETWEEN_MM, corner.y);
        section(canvas, subject, housed, (scale, beside), sides.tread);
        down = BELOW_HEADING_MM + shown.height() / scale + 14.0;
    }
    for (i, row) in notes.into_iter().enumerate() {
        canvas.text(moved(corner, 0.0, -down - ROW_MM * (i as f64 + 1.0)), Anchor::Start, row);
    }
}

fn pockets(canvas: &mut Canvas, subject: &Subject<'_>, view: &View, window: Bounds) {
    let mut whole = Canvas::default();
    let points =
        |vertices: Vec<Point>| vertices.iter().map(|p| view.at(p.x, p.y)).collect::<Vec<_>>();
    for pocket in subject.outline.pockets() {
        whole.closed(points(pocket.contour.vertices()), Line::VisibleEdge);
    }
    whole.closed(points(subject.outline.contour().vertices()), Line::VisibleEdge);
    canvas.through_window(whole, window);
    canvas.closed(corners(&window), Line::Hidden);
}

/// The widths of both pockets, where they begin and where they end.
fn figures(canvas: &mut Canvas, sides: &Sides, view: &View, window: Bounds) {
    let k = sides.tread;
    let (top, under) = (PocketRole::TreadTop(k), PocketRole::TreadUnderside(k));
    if let (Some(top), Some(ends)) = (sides.side(top), sides.ends(under)) {
        for end in ends {
            upward(canvas, view, window, [end, Point::new(end.x, top.from().y)]);
        }
    }
    let (face, back) = (PocketRole::RiserFace(k), PocketRole::RiserBack(k));
    if let (Some(face), Some(back)) = (sides.side(face), sides.side(back)) {
        let foot = if back.from().y < back.to().y { back.from() } else { back.to() };
        let y = window.min.y - NEAR_MM;
        let [a, b] = [Point::new(face.from().x, foot.y), foot].map(|p| view.at(p.x, p.y));
        let ends = [a, b].map(|p| Point::new(p.x, y));
        extension(canvas, a, ends[0]);
        extension(canvas, b, ends[1]);
        dimension_line(canvas, ends[0], ends[1]);
        let at = Point::new(ends[0].x.max(ends[1].x) + 7.0, y - FIGURE_MM / 2.0);
        let wide = on_tape(Length::mm((foot.x - face.from().x).abs()));
        canvas.figure(at, Anchor::Start, format!("{wide} at the riser's foot"));
    }
}

/// A height beside the window, on the side that it is nearer to.
fn upward(canvas: &mut Canvas, view: &View, window: Bounds, ends: [Point; 2]) {
    let [low, high] = ends.map(|p| view.at(p.x, p.y));
    let is_left = low.x < (window.min.x + window.max.x) / 2.0;
    let x = if is_left { window.min.x - NEAR_MM } else { window.max.x + NEAR_MM };
    extension(canvas, low, Point::new(x, low.y));
    extension(canvas, high, Point::new(x, high.y));
    dimension_line(canvas, Point::new(x, low.y), Point::new(x, high.y));
    let aside = if is_left { -2.6 } else { 2.6 };
    let anchor = if is_left { Anchor::End } else { Anchor::Start };
    let at = Point::new(x + aside, (low.y + high.y - FIGURE_MM) / 2.0);
    canvas.figure(at, anchor, on_tape(Length::mm(ends[1].y - ends[0].y)));
}

/// Across the board through a tread's pocket at its nosing.
fn section(
    canvas: &mut Canvas,
    subject: &Subject<'_>,
    housed: &Housed,
    (scale, corner): (f64, Point),
    tread: usize,
) {
    let thick = subject.job.board.thickness.as_mm();
    let pocket = (subject.job.tread.thickness + housed.clearance).as_mm();
    let (depth, high) = (housed.depth.as_mm(), pocket + 2.0 * SECTION_ROUND_MM);
    canvas.heading(moved(corner, 0.0, -HEADING_MM), format!("SECTION THROUGH TREAD {tread}"));
    let origin = moved(corner, 12.0, -BELOW_HEADING_MM - high / scale);
    let view = View { scale, origin };
    let (low, top) = (SECTION_ROUND_MM, SECTION_ROUND_MM + pocket);
    let shape = [
        (0.0, 0.0),
        (thick, 0.0),
        (thick, low),
        (thick - depth, low),
        (thick - depth, top),
        (thick, top),
        (thick, high),
        (0.0, high),
    ];
    canvas.closed(shape.map(|(x, y)| view.at(x, y)).to_vec(), Line::VisibleEdge);
    let half = thick - depth / 2.0;
    let around = Bounds { min: view.at(0.0, 0.0), max: view.at(thick, high) };
    upward(canvas, &view, around, [Point::new(half, low), Point::new(half, top)]);
    for (i, (from, text)) in [(thick - depth, "deep"), (0.0, "board")].into_iter().enumerate() {
        let y = view.at(0.0, 0.0).y - NEAR_MM - 7.0 * i as f64;
        let feature = if i == 0 { low } else { 0.0 };
        let [left, right] = [from, thick].map(|x| Point::new(view.at(x, 0.0).x, y));
        extension(canvas, view.at(from, feature), left);
        extension(canvas, view.at(thick, 0.0), right);
        dimension_line(canvas, left, right);
        let figure = on_tape(Length::mm(thick - from));
        canvas.figure(moved(right, 7.0, -1.8), Anchor::Start, format!("{figure} {text}"));
    }
}
