//! Where every mark goes: as large as all of them fit, down to the least readable size.

use super::cleats::{self, cleat_holes, cleat_places};
use super::gauge::gauges;
use super::hole::{Hole, hanging_hole};
use super::level::{behind, level_line, middle_at, notch_top, plate_line, plumb_line};
use super::shape::Shape;
use super::sheet::Sheet;
use super::words::{Line, blocks, wrapped};
use crate::diagnostics::codes::{self, Clash};
use crate::diagnostics::{Finding, Outcome, Refusals, Warned};
use crate::geometry::stroke_font;
use crate::geometry::{Contour, Point, Vector, inset_sharp, left_of};
use crate::job::{Fingerprint, Hand, Job, Makes, MarksAsked};
use crate::stair::outline::{Cleat, Outline, Role};
use crate::stair::{Flight, RailLine};
use crate::units::Length;

/// One stroke of a mark, in the board frame.
#[derive(Clone, Debug, PartialEq)]
pub struct MarkStroke {
    /// Its points in order, two or more.
    pub points: Vec<Point>,
    /// What it is a part of: the words it writes, or what it shows.
    pub part_of: String,
}

/// Everything that is marked on a pattern, in the board frame.
#[derive(Clone, Debug, PartialEq)]
pub struct Marks {
    /// The strokes.
    pub strokes: Vec<MarkStroke>,
    /// The hanging hole, if there is a place for it.
    pub hole: Option<Hole>,
    /// Width of a stroke.
    pub stroke_width: Length,
}

/// Letters are this many strokes high at least, or they cannot be read (common practice, no
/// source).
const LEAST_STROKES_HIGH: f64 = 5.0;
/// Letters smaller than this are hard to read at arm's length, in mm (common practice, no source).
const LEAST_HEIGHT_MM: f64 = 3.0;
/// The height of letters where there is room, in mm (common practice, no source).
const FULL_HEIGHT_MM: f64 = 9.5;
/// From one tried height to the next.
const SMALLER: f64 = 0.85;
/// What marks keep from the cut line beyond the tool's radius and a stroke, in mm.
const FROM_EDGE_MM: f64 = 3.0;
/// What two marks keep from each other, as a share of the letters' height: more than two words of a
/// line.
pub(super) const APART: f64 = 0.8;
/// Places closer together than this are not worth trying, in mm.
pub(super) const FINEST_STEP_MM: f64 = 2.0;
/// The fewest characters of a title that are worth their place.
const SHORTEST_TITLE: usize = 6;

/// The heights of letters that are tried, in mm, the greatest first and the least readable with
/// strokes so wide last.
pub(super) fn heights(stroke_mm: f64) -> impl Iterator<Item = f64> {
    let least = LEAST_HEIGHT_MM.max(LEAST_STROKES_HIGH * stroke_mm);
    let full = FULL_HEIGHT_MM.max(least);
    let smaller = std::iter::successors(Some(full), |height| Some(height * SMALLER));
    smaller.take_while(move |height| *height > least).chain([least])
}

/// What every point of a stroke keeps from the piece's edge, in mm.
pub fn clearance(tool_radius: Length, stroke_width: Length) -> f64 {
    tool_radius.as_mm() + stroke_width.as_mm() + FROM_EDGE_MM
}

/// The marks of a pattern, strokes `stroke_width` wide, and what there is to say about them.
///
/// # Errors
/// A refusal if the title has a character that cannot be marked, or the pattern is too small for
/// what follows it.
pub fn marks(
    job: &Job,
    fingerprint: &Fingerprint,
    flight: &Flight,
    outline: &Outline,
    stroke_width: Length,
) -> Outcome<Marks> {
    let unknown: Vec<Finding> = unknown_characters(&job.title);
    if !unknown.is_empty() {
        return Err(unknown.into());
    }
    let tool_radius = job.cut.machine.tool_radius();
    let clear = clearance(tool_radius, stroke_width);
    let part = outline.in_board_frame();
    let piece = piece(&part, job.cut.makes)?;
    let (drilled, others) = (cleat_holes(job, outline), cleat_places(job, outline));
    let Warned { value: hole, findings } = hanging_hole(&part, &piece, tool_radius, clear, &others);
    let face = Face {
        piece: &piece,
        level: outline.to_board().rotation * Vector::x(),
        clear,
        stroke: stroke_width.as_mm(),
        hole,
        posts: posts(job, flight, outline),
        job,
        cleats: outline.cleats_in_board_frame(),
        drilled,
        blocks: blocks(job, fingerprint, flight),
    };
    let (shapes, missed) = match job.cut.marks {
        MarksAsked::None | MarksAsked::Number => (Vec::new(), Vec::new()),
        MarksAsked::Full | MarksAsked::Short => face.filled(),
    };
    let findings = findings.into_iter().chain(missed.into_iter().map(Missed::finding)).collect();
    let strokes = shapes.into_iter().flat_map(strokes_of).collect();
    Ok(Warned::new(Marks { strokes, hole, stroke_width }, findings))
}

/// The treads that posts of a rail stand over, each with a point of the plumb line through the
/// post's middle, in the board frame.
fn posts(job: &Job, flight: &Flight, outline: &Outline) -> Vec<(usize, Point)> {
    let Some(line) = RailLine::of(job, flight) else { return Vec::new() };
    let to_board = outline.to_board();
    // A right-hand board is the same turned over.
    let is_turned = job.stringer.cleated().is_some_and(|of| of.hand == Hand::Right);
    let sign = if is_turned { -1.0 } else { 1.0 };
    let at = |at: Length| to_board * Point::new(sign * (at - job.tread.riser_board).as_mm(), 0.0);
    line.posts.iter().map(|post| (post.tread, at(post.at))).collect()
}

fn strokes_of(shape: Shape) -> impl Iterator<Item = MarkStroke> {
    let name = shape.name;
    shape.strokes.into_iter().map(move |points| MarkStroke { points, part_of: name.clone() })
}

fn unknown_characters(title: &str) -> Vec<Finding> {
    let mut seen: Vec<char> =
        title.chars().filter(|c| stroke_font::strokes(&c.to_string(), 1.0).is_err()).collect();
    seen.sort_unstable();
    seen.dedup();
    let finding =
        |c: char| codes::MarkUnknownCharacter { character: codes::Character(c) }.at("title");
    seen.into_iter().map(finding).collect()
}

/// The pattern itself: smaller than the part by what follows it.
fn piece(part: &Contour<Role>, makes: Makes) -> Result<Contour<Role>, Refusals> {
    let inset = match makes {
        Makes::Pattern(follow) => follow.inset(),
        Makes::Stringers => Length::ZERO,
    };
    if inset <= Length::ZERO {
        return Ok(part.clone());
    }
    inset_sharp(part, inset.as_mm())
        .map_err(|_| codes::Interference { why: Clash::EdgeLost(inset) }.at("outline").into())
}

/// A mark that did not find its place.
#[derive(Clone, Debug, PartialEq)]
enum Missed {
    /// It is not there at all.
    LeftOut(String),
    /// This is what is left of the title.
    TitleCut(String),
}

impl Missed {
    fn finding(self) -> Finding {
        match self {
            Self::LeftOut(what) => codes::MarkLeftOut {}.at(what),
            Self::TitleCut(kept) => codes::MarkTitleCut { kept }.at("title"),
        }
    }
}

/// How hard it is tried to find room.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Effort {
    /// Every line whole.
    Whole,
    /// Lines broken, the title cut, what finds no room left out.
    Everything,
}

/// The face to be marked.
struct Face<'a> {
    piece: &'a Contour<Role>,
    level: Vector,
    clear: f64,
    stroke: f64,
    hole: Option<Hole>,
    posts: Vec<(usize, Point)>,
    job: &'a Job,
    cleats: Vec<Cleat>,
    drilled: Vec<Hole>,
    blocks: Vec<Vec<Line>>,
}

impl Face<'_> {
    /// From a cleat's line to the middle of the word over it.
    fn over(&self, height: f64) -> f64 {
        height * (0.5 + APART) + 2.0 * self.stroke
    }

    /// All marks at the greatest height at which all of them fit.
    fn filled(&self) -> (Vec<Shape>, Vec<Missed>) {
        let mut least = 0.0;
        for height in heights(self.stroke) {
            let whole = Filling::new(self, height, Effort::Whole).filled();
            if whole.1.is_empty() {
                return whole;
            }
            least = height;
        }
        Filling::new(self, least, Effort::Everything).filled()
    }
}

/// One try at one height.
struct Filling<'a> {
    face: &'a Face<'a>,
    sheet: Sheet,
    height: f64,
    effort: Effort,
    placed: Vec<Shape>,
    missed: Vec<Missed>,
}

impl<'a> Filling<'a> {
    fn new(face: &'a Face<'a>, height: f64, effort: Effort) -> Self {
        let gap = (height * APART).max(2.0 * face.stroke);
        let mut sheet = Sheet::new(face.piece, face.clear, gap, (height / 2.0).max(FINEST_STEP_MM));
        if let Some(hole) = face.hole {
            sheet.keep_off(vec![hole.center], hole.radius.as_mm() + face.clear);
        }
        cleats::keep_off(&mut sheet, &face.drilled, face.clear);
        Filling { face, sheet, height, effort, placed: Vec::new(), missed: Vec::new() }
    }

    /// What has its own place first, then what goes anywhere.
    fn filled(mut self) -> (Vec<Shape>, Vec<Missed>) {
        let parts: [fn(&mut Self); 7] = [
            Self::posts,
            Self::cleats,
            Self::steps,
            Self::ends,
            Self::level_and_crown,
            Self::texts,
            Self::check_lengths,
        ];
        for part in parts {
            part(&mut self);
            if self.effort == Effort::Whole && !self.missed.is_empty() {
                break;
            }
        }
        (self.placed, self.missed)
    }

    fn put(&mut self, found: Option<Shape>, name: &str) {
        match found {
            Some(shape) => {
                self.sheet.take(&shape);
                self.placed.push(shape);
            }
            None => self.missed.push(Missed::LeftOut(name.to_string())),
        }
    }

    fn put_near(&mut self, shape: &Shape, anchor: Point, reach: f64) {
        let found = self.sheet.nearest(shape, anchor, reach);
        self.put(found, &shape.name);
    }

    /// Where the posts of a rail have their middles: plumb under the cut of the tread, and on a
    /// solid board under its upper edge.
    fn posts(&mut self) {
        let face = self.face;
        for &(tread, on_line) in &face.posts {
            let edges = face.piece.edges();
            let cut = edges.iter().find(|edge| edge.role == Role::Tread(tread));
            let solid = || edges.iter().find(|edge| edge.role == Role::UpperEdge);
            let Some(edge) = cut.or_else(solid) else { continue };
            let line = plumb_line(&self.sheet, face.level, edge, on_line, face.clear);
            let middle = line.as_ref().map(Shape::middle);
            self.put(line, &format!("POST LINE T{tread}"));
            if let Some(middle) = middle {
                let reach = edge.segment.length().max(8.0 * self.height);
                self.put_near(&Shape::word("POST", self.height), middle, reach);
            }
        }
    }

    /// The lines of the cleats, each with the number of its tread.
    fn cleats(&mut self) {
        let (shapes, missed) = cleats::lines(self.face.job, &self.face.cleats, &self.sheet);
        self.missed.extend(missed.into_iter().map(Missed::LeftOut));
        for shape in shapes {
            self.sheet.take(&shape);
            self.placed.push(shape);
        }
        for cleat in &self.face.cleats {
            let [_, _, back, front] = cleat.corners;
            let over = left_of((back - front).normalize()) * self.face.over(self.height);
            let word = Shape::word(&format!("T{}", cleat.number), self.height);
            self.put_near(&word, front + (back - front) / 2.0 + over, 20.0 * self.height);
        }
    }

    /// The numbers of risers and treads, each behind its own edge.
    fn steps(&mut self) {
        for edge in self.face.piece.edges() {
            let word = match edge.role {
                Role::Riser(k) => format!("R{k}"),
                Role::Tread(k) => format!("T{k}"),
                _ => continue,
            };
            let shape = Shape::word(&word, self.height);
            let depth = self.face.clear + self.height * 1.2;
            self.put_near(
                &shape,
                behind(edge, depth),
                edge.segment.length().max(8.0 * self.height),
            );
        }
    }

    /// What is at the two ends: toe, head and the plate.
    fn ends(&mut self) {
        let (piece, clear, height) = (self.face.piece, self.face.clear, self.height);
        let find = |wanted: Role| piece.edges().iter().find(|edge| edge.role == wanted);
        let notch = notch_top(piece, self.face.level);
        if let Some(top) = &notch {
            let line = plate_line(&self.sheet, top, clear);
            self.put(line, "PLATE LINE");
        }
        if let Some(riser) = find(Role::Riser(1)).or_else(|| find(Role::FootCut)) {
            self.put_near(&Shape::word("TOE", height), riser.segment.to(), 30.0 * height);
        }
        if let Some(top) = &notch {
            self.put_near(
                &Shape::word("PLATE", height),
                behind(top, clear + 1.5 * height),
                20.0 * height,
            );
        }
        if let Some(head) = find(Role::HeadCut) {
            self.put_near(
                &Shape::word("HEAD", height),
                behind(head, clear + 2.0 * height),
                30.0 * height,
            );
        }
    }

    /// The level line with its name, and which side is up.
    fn level_and_crown(&mut self) {
        let (bounds, height) = (self.sheet.bounds(), self.height);
        let at = |share: f64| middle_at(self.face.piece, bounds.min.x + bounds.width() * share);
        let reach = bounds.width().min(40.0 * height);
        // A short piece without a lower edge keeps its middle free for words: its line lies along
        // the seat.
        let has_back = self.face.piece.edges().iter().any(|edge| edge.role == Role::LowerEdge);
        let seats =
            self.face.piece.edges().iter().filter(|edge| edge.role == Role::SeatCut && !has_back);
        let seat = seats.max_by(|a, b| a.segment.length().total_cmp(&b.segment.length()));
        let wanted = seat.map_or_else(|| at(LEVEL_AT), |seat| behind(seat, self.face.clear * 1.05));
        let line = level_line(&self.sheet, self.face.level, wanted, reach);
        let middle = line.as_ref().map(Shape::middle);
        self.put(line, "LEVEL LINE");
        self.put_near(&Shape::word("LEVEL", height), middle.unwrap_or(wanted), 30.0 * height);
        self.put_near(&Shape::arrow_up("CROWN UP", height), at(CROWN_AT), reach);
    }

    fn check_lengths(&mut self) {
        for gauge in gauges(&mut self.sheet, self.height) {
            match gauge {
                Ok(pair) => self.placed.extend(pair),
                Err(name) => self.missed.push(Missed::LeftOut(name)),
            }
        }
    }

    fn texts(&mut self) {
        for block in &self.face.blocks {
            let lines: Vec<String> = block.iter().map(|line| line.words().to_string()).collect();
            if self.put_block(&lines) {
                continue;
            }
            match self.effort {
                Effort::Whole => return self.missed.push(Missed::LeftOut(lines.join(", "))),
                Effort::Everything => block.iter().for_each(|line| self.put_line(line)),
            }
        }
    }

    /// Lines together; broken where that is what it takes.
    fn put_block(&mut self, lines: &[String]) -> bool {
        let longest = lines.iter().map(|line| line.chars().count()).max().unwrap_or(0);
        let shortest = match self.effort {
            Effort::Whole => longest,
            Effort::Everything => {
                lines.iter().flat_map(|l| l.split_whitespace()).map(str::len).max().unwrap_or(0)
            }
        };
        let mut last: Vec<String> = Vec::new();
        for most in (shortest..=longest).rev() {
            let broken = wrapped(lines, most);
            if broken == last {
                continue;
            }
            if let Some(shape) = self.sheet.leftmost(&Shape::text(&broken, self.height)) {
                self.put(Some(shape), "");
                return true;
            }
            last = broken;
        }
        false
    }

    /// A line by itself: broken, and if it is the title, cut.
    fn put_line(&mut self, line: &Line) {
        if self.put_block(&[line.words().to_string()]) {
            return;
        }
        let Line::Title(title) = line else {
            self.missed.push(Missed::LeftOut(line.words().to_string()));
            return;
        };
        for count in (SHORTEST_TITLE..title.chars().count()).rev() {
            let left: String = title.chars().take(count).collect();
            if self.put_block(&[format!("{}..", left.trim_end())]) {
                self.missed.push(Missed::TitleCut(left));
                return;
            }
        }
        self.missed.push(Missed::LeftOut("title".to_string()));
    }
}

/// Where along the board the level line and the crown's arrow are wanted, as shares of its length.
const LEVEL_AT: f64 = 0.62;
const CROWN_AT: f64 = 0.4;
