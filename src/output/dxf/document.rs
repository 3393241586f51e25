//! The drawings of a job, each in its part's board frame.

use super::model::{Drawing, Entity, Layer};
use crate::cam::compensate::ToolPath;
use crate::cam::mark::{Hole, Marks};
use crate::cam::plan::Program;
use crate::geometry::{Bounds, Contour, Point, Segment, Turn, Vector};
use crate::job::Job;
use crate::output::Stamp;
use crate::profile::ProgramUnits;
use crate::stair::outline::{Outline, Pocket, Role, Skirt};
use crate::units::{Length, trimmed};

/// The finished outline, 1:1, nothing compensated, for a shop that applies its own kerf.
pub fn nominal(stamp: &Stamp, outline: &Outline, units: ProgramUnits) -> Drawing {
    let words = "NOMINAL: finished outline, 1:1, nothing compensated";
    finished(stamp, &outline.in_board_frame(), &outline.pockets_in_board_frame(), units, words)
}

/// The finished outline of the skirt, as [`nominal`] draws the stringer's.
pub fn nominal_skirt(stamp: &Stamp, skirt: &Skirt, units: ProgramUnits) -> Drawing {
    let words = "SKIRT: finished outline, 1:1, nothing compensated";
    finished(stamp, &skirt.in_board_frame(), &[], units, words)
}

/// The finished outline of a tread or a riser board, as [`nominal`] draws the stringer's.
pub fn nominal_piece(
    stamp: &Stamp,
    (name, contour): (&str, &Contour<Role>),
    units: ProgramUnits,
) -> Drawing {
    let words = format!("{}: finished outline, 1:1, nothing compensated", name.to_uppercase());
    finished(stamp, contour, &[], units, &words)
}

fn finished(
    stamp: &Stamp,
    contour: &Contour<Role>,
    pockets: &[Pocket],
    units: ProgramUnits,
    words: &str,
) -> Drawing {
    let mut entities = vec![Entity::Closed(Layer::Cut, segments(contour))];
    entities.extend(
        pockets.iter().map(|pocket| Entity::Closed(Layer::Pocket, segments(&pocket.contour))),
    );
    let depths = pocket_words(pockets.iter().map(|pocket| pocket.depth), "sides of pockets");
    let words: Vec<String> = [words.to_string()].into_iter().chain(depths).collect();
    entities.extend(reference(stamp, units, &words, contour.bounds()));
    Drawing { units, entities, comments: Vec::new() }
}

/// The line that the tool's centre follows on this machine; leads, tabs and stock beside it for
/// reference.
pub fn compensated(
    stamp: &Stamp,
    path: &ToolPath,
    program: &Program,
    units: ProgramUnits,
) -> Drawing {
    let to_board = program.placement().inverse();
    let mut entities = vec![Entity::Closed(Layer::Cut, segments(path.contour()))];
    let pockets = path.pockets();
    entities.extend(
        pockets.iter().map(|pocket| Entity::Closed(Layer::Pocket, segments(&pocket.contour))),
    );
    let (length, width) = (program.stock.length.as_mm(), program.stock.width.as_mm());
    let corners = [(0.0, 0.0), (length, 0.0), (length, width), (0.0, width)]
        .map(|(x, y)| to_board * Point::new(x, y));
    let sides = (0..4).map(|i| Segment::Line { from: corners[i], to: corners[(i + 1) % 4] });
    entities.push(Entity::Closed(Layer::Stock, sides.collect()));
    entities.extend(
        program.leads.iter().map(|lead| Entity::Open(Layer::Ref, vec![lead.placed(&to_board)])),
    );
    for tab in &program.tabs {
        let at = to_board * tab.at;
        let half = nalgebra::Vector2::new(0.0, path.radius().as_mm() * 2.0);
        entities
            .push(Entity::Open(Layer::Ref, vec![Segment::Line { from: at - half, to: at + half }]));
    }
    let mut words = vec!["COMPENSATED: path of the tool centre, not the part".to_string()];
    words.extend(path.ledger().entries().iter().map(|entry| entry.to_string()));
    let way = "path of the tool centre along the sides of pockets";
    words.extend(pocket_words(pockets.iter().map(|pocket| pocket.depth), way));
    entities.extend(reference(stamp, units, &words, path.piece().bounds()));
    Drawing { units, entities, comments: Vec::new() }
}

/// What layer POCKET holds and how deep it is cut, where there are pockets.
fn pocket_words(depths: impl Iterator<Item = Length>, what: &str) -> Option<String> {
    let depth = depths.reduce(Length::max)?;
    Some(format!("POCKET: {what}, {:.4} mm deep from this face, cleared between", depth.as_mm()))
}

/// What the holes of a drawing are for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HolesOf {
    /// The dowels that bring layers over each other.
    Dowels,
    /// The fasteners of cleats.
    Cleats,
}

impl HolesOf {
    /// Those of a job's part.
    pub fn of(job: &Job) -> Self {
        if job.stringer.cleated().is_some() { Self::Cleats } else { Self::Dowels }
    }
}

impl std::fmt::Display for HolesOf {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Dowels => "dowels",
            Self::Cleats => "the fasteners of the cleats",
        })
    }
}

impl Drawing {
    /// The drawing with the marks of a pattern on layer MARK, its hanging hole among them: layer
    /// CUT stays one closed polyline. `hole_inset` is how much smaller than the hole its circle is
    /// drawn: nothing, or the tool's radius.
    pub fn with_marks(mut self, marks: &Marks, hole_inset: Length) -> Self {
        let line = |pair: &[Point]| Segment::Line { from: pair[0], to: pair[1] };
        let open =
            |points: &[Point]| Entity::Open(Layer::Mark, points.windows(2).map(line).collect());
        self.entities.extend(marks.strokes.iter().map(|stroke| open(&stroke.points)));
        let words = match marks.hole {
            Some(hole) => {
                let to_right = Vector::new((hole.radius - hole_inset).as_mm(), 0.0);
                let (right, left) = (hole.center + to_right, hole.center - to_right);
                let half =
                    |(from, to)| Segment::Arc { from, to, center: hole.center, turn: Turn::Left };
                self.entities.push(Entity::Closed(
                    Layer::Mark,
                    [(right, left), (left, right)].map(half).to_vec(),
                ));
                let size = format!("{:.4} mm", hole.radius.as_mm() * 2.0);
                format!(
                    "MARK: shallow strokes; its circle is the hanging hole, {size} wide, cut \
                    through"
                )
            }
            None => "MARK: shallow strokes".to_string(),
        };
        self.above_last_words(words);
        self
    }

    /// The drawing with holes that are cut through on layer DRILL. `inset` is how much smaller than
    /// a hole its circle is drawn: nothing, or the tool's radius. A hole as wide as the tool has no
    /// way round: a point, where the tool goes straight down.
    pub fn with_holes(mut self, holes: &[Hole], what: HolesOf, inset: Length) -> Self {
        let Some(first) = holes.first() else { return self };
        let drawn = |hole: &Hole| match (hole.radius - inset).as_mm() {
            _ if hole.is_as_wide_as(inset) => Entity::Point(Layer::Drill, hole.center),
            radius => Entity::Circle(Layer::Drill, hole.center, radius),
        };
        self.entities.extend(holes.iter().map(drawn));
        let (unit, name) = (self.units.in_mm(), self.units.name());
        let size = trimmed((first.radius * 2.0).as_mm() / unit, 4);
        self.above_last_words(format!(
            "DRILL: {} holes for {what}, {size} {name} wide, cut through",
            holes.len()
        ));
        self
    }

    /// The drawing without its check bar and its words: nothing but what is made. The words are
    /// comments of the file then.
    pub fn without_reference(mut self) -> Self {
        self.comments = self
            .entities
            .iter()
            .filter_map(|entity| match entity {
                Entity::Text(Layer::Ref, _, _, words) => Some(words.clone()),
                _ => None,
            })
            .skip(WORDS_OF_BAR)
            .collect();
        self.entities.retain(|entity| entity.layer() != Layer::Ref);
        self
    }

    /// A line of text over the highest there is.
    fn above_last_words(&mut self, words: String) {
        let higher = |a: Option<(Point, f64)>, entity: &Entity| match (a, entity) {
            (Some((at, _)), Entity::Text(_, p, ..)) if p.y < at.y => a,
            (_, Entity::Text(_, p, height, _)) => Some((*p, *height)),
            _ => a,
        };
        if let Some((at, height)) = self.entities.iter().fold(None, higher) {
            let at = at + Vector::new(0.0, height * WORDS_PITCH);
            self.entities.push(Entity::Text(Layer::Ref, at, height, words));
        }
    }
}

/// The first line of the words tells of the bar.
const WORDS_OF_BAR: usize = 1;
/// From one line of words to the next, as a share of their height.
const WORDS_PITCH: f64 = 1.6;
/// The tallest letters, in mm.
const TALLEST_WORDS_MM: f64 = 3.0;
/// The widest that a letter may be drawn by whoever opens the file, as a share of its height.
const WIDEST_LETTER: f64 = 1.0;
/// Lines are at least as long as this in letters, for more are put over them later.
const LONGEST_WORDS: usize = 90;
/// How far inside the part's box bar and words begin and end, as a share of its width.
const INSET: f64 = 0.05;
/// Lengths of the check bar in the drawing's unit, the longest that takes no more than a third of
/// the part: in inches, in millimetres.
const BARS: [[f64; 4]; 2] = [[10.0, 4.0, 2.0, 1.0], [200.0, 100.0, 50.0, 20.0]];

fn segments<R: Copy>(contour: &Contour<R>) -> Vec<Segment> {
    contour.edges().iter().map(|edge| edge.segment).collect()
}

/// The check bar and the words over it, small and within the part's box, so that a file is as large
/// as its part.
fn reference(stamp: &Stamp, units: ProgramUnits, words: &[String], within: Bounds) -> Vec<Entity> {
    let (unit, name) = (units.in_mm(), units.name());
    let bars = match units {
        ProgramUnits::Inches => BARS[0],
        ProgramUnits::Millimetres => BARS[1],
    };
    let fits = |bar: &f64| bar * unit <= within.width() / 3.0;
    let bar = bars.into_iter().find(fits).unwrap_or(BARS[0][3]);
    let mut lines = vec![
        format!("The bar below is {} {name} long", trimmed(bar, 0)),
        format!("{} | {} | job {}", stamp.ascii_title(), Stamp::tool(), stamp.fingerprint),
    ];
    lines.extend(words.iter().cloned());
    let longest = lines.iter().map(|line| line.chars().count()).fold(LONGEST_WORDS, usize::max);
    let room = within.width() * (1.0 - 2.0 * INSET);
    let height = (room / (longest as f64 * WIDEST_LETTER)).min(TALLEST_WORDS_MM);
    let from = within.min + Vector::new(within.width() * INSET, height * WORDS_PITCH);
    let to = from + Vector::new(bar * unit, 0.0);
    let mut entities = vec![Entity::Open(Layer::Ref, vec![Segment::Line { from, to }])];
    for (row, line) in lines.into_iter().enumerate() {
        let at = from + Vector::new(0.0, height * WORDS_PITCH * (row as f64 + 0.5));
        entities.push(Entity::Text(Layer::Ref, at, height, line));
    }
    entities
}
