//! A housed stringer: its inner face with its pockets and every nosing's place, one pair of pockets
//! and a section through them large.

use super::Subject;
use super::canvas::{Canvas, TEXT_MM, View, moved};
use super::face::OnFace;
use super::pocket_detail;
use crate::geometry::{Bounds, Point, Segment};
use crate::job::{Hand, Housed};
use crate::output::page::{Anchor, Line, Weight, wrap};
use crate::stair::outline::PocketRole;
use crate::units::{Length, decimal, on_tape};

/// The narrowest pocket in which a step is numbered, on the paper.
const NUMBERED_MM: f64 = 6.0;

impl OnFace for Housed {
    fn hand(&self) -> Hand {
        self.hand
    }

    fn notes(&self, subject: &Subject<'_>) -> [String; 2] {
        [
            "Along the upper edge: every nosing, from the left end of the blank.".to_string(),
            format!(
                "Nosing to nosing {} along the board; treads at {}\u{b0} to it.",
                on_tape(subject.flight.pitch_length()),
                decimal(subject.outline.pitch_rad().to_degrees(), 2)
            ),
        ]
    }

    fn marks(&self, subject: &Subject<'_>) -> Vec<(Point, f64)> {
        nose_marks(subject)
    }

    fn draw(&self, canvas: &mut Canvas, subject: &Subject<'_>, view: &View) {
        for pocket in subject.outline.pockets_in_board_frame() {
            let points = pocket.contour.vertices();
            let points = points.iter().map(|p| view.at(p.x, p.y)).collect();
            canvas.closed(points, Line::VisibleEdge);
        }
        numbers(canvas, subject, view);
    }

    fn detail(&self, canvas: &mut Canvas, subject: &Subject<'_>, room: Bounds) {
        pocket_detail::draw(canvas, subject, self, room);
    }

    fn described(&self) -> &'static str {
        "Inner face of a housed stringer with its pockets."
    }
}

/// The number of every tread under its pocket, where there is room between two.
fn numbers(canvas: &mut Canvas, subject: &Subject<'_>, view: &View) {
    let spacing = subject.flight.pitch_length().as_mm() / view.scale;
    if spacing < 2.0 * NUMBERED_MM {
        return;
    }
    for k in 1..=subject.flight.treads {
        let Some(under) = side(subject, PocketRole::TreadUnderside(k)) else { continue };
        let [a, b] = [under.from(), under.to()];
        let at = view.at((a.x + b.x) / 2.0, (a.y + b.y) / 2.0);
        let place = |i: i32| (moved(at, 0.0, -TEXT_MM - 2.0 - f64::from(i)), Anchor::Middle);
        canvas.place_text(&k.to_string(), (0..12).map(place));
    }
}

/// A side of a pocket in the board frame; where another pocket parts it, its longest piece.
fn side(subject: &Subject<'_>, role: PocketRole) -> Option<Segment> {
    let pockets = subject.outline.pockets_in_board_frame();
    let edges = pockets.iter().flat_map(|pocket| pocket.contour.edges());
    let own = edges.filter(|edge| edge.role == role).map(|edge| edge.segment);
    own.max_by(|a, b| a.length().total_cmp(&b.length()))
}

/// The upper corner of every nosing's pocket in the board frame, and how far it is along the board.
fn nose_marks(subject: &Subject<'_>) -> Vec<(Point, f64)> {
    let left = subject.outline.in_board_frame().bounds().min.x;
    let corners = subject.outline.nosings_in_board_frame().into_iter();
    corners.map(|corner| (corner, corner.x - left)).collect()
}

/// The figures in words.
pub(super) fn words(subject: &Subject<'_>, housed: &Housed, wide: f64) -> Vec<String> {
    let (job, flight) = (subject.job, subject.flight);
    let mut rows = vec![
        format!(
            "Pockets {} deep in a board of {}, no deeper anywhere; nosing square.",
            on_tape(housed.depth),
            on_tape(job.board.thickness)
        ),
        format!(
            "Over the line through the nosings {} of board; at least {} of wood stays round a \
            pocket.",
            on_tape(housed.edge_above),
            on_tape(housed.land)
        ),
    ];
    if housed.wedge > Length::ZERO {
        rows.push(format!(
            "Wedges of {} at their thick end go in under the treads and behind the riser boards.",
            on_tape(housed.wedge)
        ));
    }
    let first = flight.tread_cut_y(1) + flight.tread_thickness;
    rows.push(format!(
        "First tread: finished top {} over what the stringer stands on; each other {} higher.",
        on_tape(first),
        on_tape(flight.unit_rise)
    ));
    if let Some((nose, _)) = nose_marks(subject).first() {
        let below = Length::mm(subject.outline.in_board_frame().bounds().max.y - nose.y);
        let below = on_tape(below);
        rows.push(format!("First nosing: {below} square below the upper edge."));
    }
    rows.push(
        "First riser and top tread are notched at their ends where the pocket stops short by the \
        land."
            .into(),
    );
    rows.iter().flat_map(|row| wrap(row, wide, TEXT_MM, Weight::Regular)).collect()
}
