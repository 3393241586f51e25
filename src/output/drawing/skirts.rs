//! The skirts of a stair, each as it lies along its board with the face up that shows.

use super::canvas::{Canvas, FIGURE_MM, HEADING_MM, ROW_MM, TEXT_MM, View, moved};
use super::dimension::{Mark, Runs, dimension_line, extension, longest, running};
use super::{FOOT_MM, Paper, Subject, foot_line, framed, room, top_left};
use crate::geometry::tolerance::COINCIDENT_MM;
use crate::geometry::{Bounds, Edge, Point, Vector};
use crate::job::{SkirtKind, SkirtRisers};
use crate::output::page::{Anchor, Line, Page, Weight, wrap};
use crate::pipeline::steps::SideSkirt;
use crate::pipeline::workup::Workup;
use crate::stair::outline::{Outline, Role};
use crate::units::{Length, on_tape};

/// Room left of the board: its depth.
const LEFT_MM: f64 = 24.0;
/// Room right of it.
const RIGHT_MM: f64 = 10.0;
/// Room over it: the heading.
const ABOVE_MM: f64 = 13.0;
/// Room below it: its length, and what is said of it.
const BELOW_MM: f64 = 14.0;
/// From the board to its dimension lines.
const OFF_MM: f64 = 7.0;
/// From the board to the line of the running marks, and over it for what a label stands off.
const MARKS_MM: f64 = 4.0;
const LABEL_OFF_MM: f64 = 6.0;
/// The lowest rise and the shortest run that have their figure, on the paper.
const LEAST_RISE_MM: f64 = 12.5;
const LEAST_RUN_MM: f64 = 18.0;
/// How far beside the middle of an edge its figure is looked for, and how often.
const TRIED: i32 = 14;
const STEP_MM: f64 = 2.5;

/// So much larger a skirt has to come out on a page of its own before it gets one.
const APART_FROM: f64 = 1.5;

/// Every skirt of a job, on a paper or, where none is asked for, on the one that goes with the
/// tape: together where that shows them about as large.
pub fn skirts(workup: &Workup, outline: &Outline, paper: Option<Paper>) -> Vec<Page> {
    let paper = paper.unwrap_or_else(Paper::of_tape);
    let subject = Subject::of(workup, outline);
    let all: Vec<Lying<'_>> = workup.beside.skirts.iter().map(|of| Lying::of(workup, of)).collect();
    let mut within = room(paper);
    within.min.y += FOOT_MM;
    let scale_of = |some: &[Lying<'_>]| {
        Paper::scale_that(|scale| {
            let sizes = some.iter().map(|of| of.size(scale, within.width()));
            let (width, height) = sizes.fold((0.0_f64, 0.0), |(w, h), of| (w.max(of.0), h + of.1));
            width <= within.width() && height <= within.height()
        })
    };
    let alone = all.chunks(1).map(scale_of).fold(0.0, f64::max);
    let together = scale_of(&all) < APART_FROM * alone;
    let each = if together { all.len().max(1) } else { 1 };
    let count = all.len().div_ceil(each);
    let page = |(i, some): (usize, &[Lying<'_>])| {
        let scale = scale_of(some);
        let mut canvas = Canvas::default();
        let mut corner = top_left(within);
        for of in some {
            of.draw(&mut canvas, scale, corner, within.width());
            corner.y -= of.size(scale, within.width()).1;
        }
        let sheet = format!("{} of {count}, {}", i + 1, paper.name());
        foot_line(&mut canvas, &subject, room(paper), &sheet);
        let names: Vec<String> = some.iter().map(|of| of.of.name()).collect();
        let title = format!("{}: {}", workup.job.title, names.join(", "));
        let words: Vec<String> = some.iter().map(|of| of.notes.join(" ")).collect();
        framed(canvas, paper, (title, words.join(" ")))
    };
    all.chunks(each).enumerate().map(page).collect()
}

/// One skirt, its board's box, what is said of it.
struct Lying<'a> {
    of: &'a SideSkirt,
    edges: Vec<Edge<Role>>,
    bounds: Bounds,
    /// Every nose point, from the foot up, and how far it is along the board from the toe end.
    noses: Vec<(Point, Length)>,
    notes: Vec<String>,
}

impl<'a> Lying<'a> {
    fn of(workup: &Workup, of: &'a SideSkirt) -> Self {
        let contour = of.skirt.in_board_frame();
        let (edges, bounds) = (contour.edges().to_vec(), contour.bounds());
        let along = |nose: Point| match runs(of) {
            Runs::LeftLabelsAbove => bounds.max.x - nose.x,
            _ => nose.x - bounds.min.x,
        };
        let noses = noses(&edges).into_iter().map(|nose| (nose, Length::mm(along(nose)))).collect();
        let notes = notes(workup, of).into_iter().chain(steps(&edges)).collect();
        Self { of, edges, bounds, noses, notes }
    }

    /// Room over the board: the heading, and the marks along its upper edge.
    fn above(&self) -> f64 {
        let marks = longest(self.noses.iter().map(|of| of.1));
        if self.noses.is_empty() { ABOVE_MM } else { ABOVE_MM + MARKS_MM + LABEL_OFF_MM + marks }
    }

    fn lines(&self, width: f64) -> Vec<String> {
        self.notes.iter().flat_map(|of| wrap(of, width, TEXT_MM, Weight::Regular)).collect()
    }

    /// Width and height on the paper at a scale.
    fn size(&self, scale: f64, width: f64) -> (f64, f64) {
        let said = self.lines(width).len() as f64 * ROW_MM;
        let board = (self.bounds.width() / scale, self.bounds.height() / scale);
        (LEFT_MM + board.0 + RIGHT_MM, self.above() + board.1 + BELOW_MM + said)
    }

    fn draw(&self, canvas: &mut Canvas, scale: f64, corner: Point, width: f64) {
        let heading = format!("{}, FACE UP, 1:{scale}", self.of.name().to_uppercase());
        canvas.heading(moved(corner, 0.0, -HEADING_MM - 1.0), heading);
        let high = self.bounds.height() / scale;
        let origin = Point::new(corner.x + LEFT_MM, corner.y - self.above() - high);
        let view = View { scale, origin };
        let at = |p: Point| view.at(p.x, p.y);
        let outline: Vec<Point> = self.edges.iter().map(|e| at(e.segment.from())).collect();
        canvas.closed(outline, Line::VisibleEdge);
        let (min, max) = (at(self.bounds.min), at(self.bounds.max));
        let down = moved(min, -OFF_MM, 0.0);
        extension(canvas, min, down);
        extension(canvas, Point::new(min.x, max.y), Point::new(down.x, max.y));
        dimension_line(canvas, down, Point::new(down.x, max.y));
        let depth = on_tape(Length::mm(self.bounds.height()));
        canvas.upright(Point::new(down.x - 1.2, (min.y + max.y) / 2.0), Anchor::Middle, depth);
        let below = moved(min, 0.0, -OFF_MM);
        extension(canvas, min, below);
        extension(canvas, Point::new(max.x, min.y), Point::new(max.x, below.y));
        dimension_line(canvas, below, Point::new(max.x, below.y));
        let length = on_tape(Length::mm(self.bounds.width()));
        let middle = Point::new((min.x + max.x) / 2.0, below.y + 1.2);
        canvas.figure(middle, Anchor::Middle, length);
        self.edges.iter().filter(|edge| is_told(edge.role)).for_each(|edge| {
            figure(canvas, &view, edge);
        });
        self.marks(canvas, &view);
        self.figures(canvas, &view);
        for (i, line) in self.lines(width).into_iter().enumerate() {
            let down = BELOW_MM + ROW_MM * i as f64;
            canvas.text(moved(Point::new(corner.x, min.y), 0.0, -down), Anchor::Start, line);
        }
    }
}

impl Lying<'_> {
    /// Every nose point along the upper edge, from the toe end.
    fn marks(&self, canvas: &mut Canvas, view: &View) {
        let mark = |(nose, along): &(Point, Length)| Mark {
            offset: along.as_mm() / view.scale,
            feature: view.at(nose.x, nose.y),
            value: *along,
        };
        let marks: Vec<Mark> = self.noses.iter().map(mark).collect();
        let is_toe = |p: &Point| match runs(self.of) {
            Runs::LeftLabelsAbove => -p.x,
            _ => p.x,
        };
        let corners = self.edges.iter().map(|edge| edge.segment.from());
        let toe = corners.min_by(|a, b| is_toe(a).total_cmp(&is_toe(b)));
        let toe = toe.expect("a contour has corners");
        let from = view.at(toe.x, toe.y);
        let row = view.at(0.0, self.bounds.max.y).y + MARKS_MM;
        running(canvas, runs(self.of), Point::new(from.x, row), from, &marks);
    }

    /// The rise and the run of every notch beside its edges, where the paper has room for them.
    fn figures(&self, canvas: &mut Canvas, view: &View) {
        for edge in &self.edges {
            let least = match edge.role {
                Role::Riser(_) => LEAST_RISE_MM,
                Role::Tread(_) => LEAST_RUN_MM,
                _ => continue,
            };
            if edge.segment.length() / view.scale < least {
                continue;
            }
            let middle = edge.segment.point_at(0.5);
            let along = edge.segment.direction_at(0.5);
            let text = on_tape(Length::mm(edge.segment.length()));
            let place = |i: i32| {
                let off = 3.2 + 1.2 * f64::from(i / 5);
                let slide = 1.5 * f64::from(i % 5 - 2);
                let by = Vector::new(-along.y, along.x) * off + along * slide;
                (view.at(middle.x, middle.y) + by - Vector::new(0.0, TEXT_MM / 2.0), Anchor::Middle)
            };
            canvas.place_text(&text, (0..30).map(place));
        }
    }
}

/// From which end a skirt is marked: from its toe.
fn runs(of: &SideSkirt) -> Runs {
    if of.skirt.outline().turn_rad() < 0.0 { Runs::LeftLabelsAbove } else { Runs::RightLabelsAbove }
}

/// Where a riser cut and the tread cut over it meet, from the foot up; none of a straight board.
fn noses(edges: &[Edge<Role>]) -> Vec<Point> {
    let of = |role: Role| edges.iter().find(move |edge| edge.role == role);
    let ends = |edge: &Edge<Role>| [edge.segment.from(), edge.segment.to()];
    let nose = |k: usize| {
        let (riser, tread) = (of(Role::Riser(k))?, of(Role::Tread(k))?);
        let is_its = |p: &Point| ends(tread).iter().any(|q| (p - q).norm() < COINCIDENT_MM);
        ends(riser).into_iter().find(is_its)
    };
    (1..=edges.len()).map_while(nose).collect()
}

/// Every rise and run in words: those that are alike once.
fn steps(edges: &[Edge<Role>]) -> Option<String> {
    let of = |k: usize, role: fn(usize) -> Role| {
        let edge = edges.iter().find(|edge| edge.role == role(k));
        edge.map(|edge| Length::mm(edge.segment.length()))
    };
    let told = |role: fn(usize) -> Role| {
        let all: Vec<String> = (1..=edges.len()).map_while(|k| of(k, role)).map(on_tape).collect();
        let mut rows: Vec<(usize, usize, String)> = Vec::new();
        for (i, figure) in all.into_iter().enumerate() {
            match rows.last_mut().filter(|row| row.2 == figure) {
                Some(row) => row.1 = i + 1,
                None => rows.push((i + 1, i + 1, figure)),
            }
        }
        let words = |(from, to, figure): (usize, usize, String)| match from == to {
            true => format!("{from}: {figure}"),
            false => format!("{from} to {to}: {figure}"),
        };
        rows.into_iter().map(words).collect::<Vec<_>>().join(", ")
    };
    let (rises, treads) = (told(Role::Riser), told(Role::Tread));
    (!rises.is_empty()).then(|| {
        format!(
            "Nose points are marked along the upper edge from the toe end. Riser cuts {rises}; \
            tread cuts {treads}."
        )
    })
}

/// The edges that are no steps and not the board's own.
fn is_told(role: Role) -> bool {
    matches!(role, Role::SeatCut | Role::HeadCut | Role::FootCut)
}

/// What an edge is and how long, inside the board beside its middle where there is room, else near.
fn figure(canvas: &mut Canvas, view: &View, edge: &Edge<Role>) {
    let segment = &edge.segment;
    let middle = segment.point_at(0.5);
    let on_paper = moved(view.at(middle.x, middle.y), 0.0, -FIGURE_MM / 2.0);
    let text = format!("{} {}", edge.role, on_tape(Length::mm(segment.length())));
    let along = segment.direction_at(0.5);
    let into = Point::new(-along.y, along.x);
    let anchor = if into.x > 0.0 { Anchor::Start } else { Anchor::End };
    let beside = |i: i32| {
        let off = 2.0 + STEP_MM * f64::from(i / 3);
        let slide = STEP_MM * f64::from(i % 3);
        let near = |side: f64| {
            let by = (into.x * off + along.x * slide * side, into.y * off + along.y * slide * side);
            (moved(on_paper, by.0, by.1), anchor)
        };
        [near(1.0), near(-1.0)]
    };
    canvas.place_figure(&text, (0..3 * TRIED).flat_map(beside));
}

/// How it is marked and fitted.
fn notes(workup: &Workup, of: &SideSkirt) -> Vec<String> {
    let (job, flight) = (&workup.job, &workup.flight);
    let Some(asked) = &job.skirts else { return Vec::new() };
    let angle = flight.pitch_rad().to_degrees();
    let cuts = format!(
        "Level and plumb cuts: framing square {} and {}, pitch {angle:.2} degrees; board {} wide, \
        {} thick.",
        on_tape(flight.unit_rise),
        on_tape(flight.unit_run),
        on_tape(of.board_width(job)),
        on_tape(asked.thickness),
    );
    let own = match (of.kind, asked.at_risers) {
        (SkirtKind::Wall, _) => format!(
            "Its top lies {} over the line through the nosings, square to it. It stands on the \
            finished floor, plumb before the first nosing and at the face of the rim: leave it \
            longer where a baseboard meets it, and scribe it.",
            on_tape(asked.above)
        ),
        (SkirtKind::Open, SkirtRisers::Butt) if job.tread.riser_board <= Length::ZERO => {
            "Mark tread cuts and plumb cuts with the stringer's pattern.".to_string()
        }
        (SkirtKind::Open, SkirtRisers::Butt) => {
            "Mark tread cuts and plumb cuts with the stringer's pattern. Riser boards run past its \
            plumb cuts to its face."
                .to_string()
        }
        (SkirtKind::Open, SkirtRisers::Mitre) => format!(
            "Mark tread cuts with the stringer's pattern, and each plumb cut {} before the \
            stringer's on this face: mitre it back to the stringer's line through {} of board, and \
            the riser boards to match.",
            on_tape(job.tread.riser_board),
            on_tape(asked.thickness)
        ),
    };
    vec![cuts, own]
}
