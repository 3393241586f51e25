//! How the part is spread over pages, and what each page carries besides.

use super::block::pitch_block;
use super::words::{Runs, bar, line, text};
use crate::export::Stamp;
use crate::export::paper::{Layer, Page, Pen, Run};
use crate::geometry::{Bounds, Contour, Point, Vector};
use crate::lettering::UnknownCharacter;
use crate::outline::{Outline, Role};
use crate::solve::Flight;
use crate::units::{Length, sixteenths};

/// What a printer cannot reach at each edge of a page, in mm (common practice, no source).
const EDGE_MM: f64 = 8.0;
/// The strips at the left and at the bottom of a page for its bars and words, in mm.
const STRIP_MM: f64 = 14.0;
/// How much two neighbours show of the same, in mm.
const OVERLAP_MM: f64 = 14.0;
/// A window smaller than this is no tile, in mm.
const LEAST_WINDOW_MM: f64 = 60.0;
/// The bars that tell whether a page was printed to size, in mm, and what a small page has instead.
const BAR_MM: f64 = 100.0;
const SHORT_BAR_MM: f64 = 40.0;
/// Free round the part, in mm, and where the check length lies below it.
const FREE_MM: f64 = 12.0;
const CHECK_DROP_MM: f64 = 24.0;
/// Height of letters, in mm.
const LETTER_MM: f64 = 2.4;
/// More pages than this are no help to anybody.
const MOST_PAGES: usize = 400;

/// A size of paper in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Paper {
    /// Width.
    pub width_mm: f64,
    /// Height; of a roll, the longest piece.
    pub height_mm: f64,
}

impl Paper {
    /// The letter sheet of ASME Y14.1, size A: 8 1/2 by 11 in.
    pub const LETTER: Paper = Paper { width_mm: 215.9, height_mm: 279.4 };
    /// A4 of ISO 216.
    pub const A4: Paper = Paper { width_mm: 210.0, height_mm: 297.0 };
}

/// Why the part does not go on this paper.
#[derive(Clone, Debug, PartialEq)]
pub enum PaperProblem {
    /// The page holds no tile: width and height left for it in mm.
    TooSmall(f64, f64),
    /// It would take this many pages.
    TooMany(usize),
    /// A character of the title has no letter.
    Letter(UnknownCharacter),
}

impl From<UnknownCharacter> for PaperProblem {
    fn from(unknown: UnknownCharacter) -> PaperProblem {
        PaperProblem::Letter(unknown)
    }
}

/// The pages in order: an assembly map, the tiles row by row from the bottom, the pitch block.
///
/// # Errors
/// If the page is too small for a tile, the tiles would be too many, or the title has a character without a letter.
pub fn full_size_pages(
    stamp: &Stamp,
    flight: &Flight,
    outline: &Outline,
    paper: Paper,
) -> Result<Vec<Page>, PaperProblem> {
    let part = outline.in_board_frame();
    let drawn = drawn_area(&part);
    let upright = Grid::new(drawn, paper)?;
    let turned = Grid::new(drawn, Paper { width_mm: paper.height_mm, height_mm: paper.width_mm })?;
    let grid = if turned.count() < upright.count() { turned } else { upright };
    if grid.count() > MOST_PAGES {
        return Err(PaperProblem::TooMany(grid.count()));
    }
    let runs = content(&part, &grid)?;
    let mut pages = vec![grid.map(stamp, &part)?];
    for row in 0..grid.rows {
        for column in 0..grid.columns {
            pages.push(grid.tile(stamp, &runs, row, column)?);
        }
    }
    pages.push(pitch_block(stamp, flight, paper, EDGE_MM)?);
    Ok(pages)
}

fn drawn_area(part: &Contour<Role>) -> Bounds {
    let bounds = part.bounds();
    Bounds {
        min: bounds.min - Vector::new(FREE_MM, CHECK_DROP_MM + FREE_MM),
        max: bounds.max + Vector::new(FREE_MM, FREE_MM),
    }
}

/// The part, the check length across it and the registration marks of every joint, in drawing coordinates.
fn content(part: &Contour<Role>, grid: &Grid) -> Result<Vec<Run>, PaperProblem> {
    let mut corners = part.vertices();
    corners.push(corners[0]);
    let mut runs = vec![Run { points: corners, pen: Pen::Edge }];
    let length = Length::inches(part.bounds().width().div_euclid(25.4));
    let level = part.bounds().min.y - CHECK_DROP_MM;
    let start = Point::new(part.bounds().min.x, level);
    runs.extend(bar(start, length.as_mm(), 3.0, Runs::Across));
    let words = format!("check length across the pages: {length}");
    for x in [start.x + 5.0, (start.x + length.as_mm() - 140.0).max(start.x + 5.0)] {
        runs.extend(text(&words, Point::new(x, level + 3.0), LETTER_MM, Runs::Across)?);
    }
    runs.extend(grid.registration()?);
    Ok(runs)
}

struct Grid {
    drawn: Bounds,
    paper: Paper,
    window: Vector,
    columns: usize,
    rows: usize,
}

impl Grid {
    fn new(drawn: Bounds, paper: Paper) -> Result<Grid, PaperProblem> {
        let window = Vector::new(paper.width_mm - 2.0 * EDGE_MM - STRIP_MM, paper.height_mm - 2.0 * EDGE_MM - STRIP_MM);
        if window.x < LEAST_WINDOW_MM || window.y < LEAST_WINDOW_MM {
            return Err(PaperProblem::TooSmall(window.x, window.y));
        }
        let count =
            |extent: f64, window: f64| (((extent - OVERLAP_MM) / (window - OVERLAP_MM)).ceil()).max(1.0) as usize;
        let (columns, rows) = (count(drawn.width(), window.x), count(drawn.height(), window.y));
        Ok(Grid { drawn, paper, window, columns, rows })
    }

    fn count(&self) -> usize {
        self.columns.saturating_mul(self.rows)
    }

    /// Column letter and row number, `B2`.
    fn name(row: usize, column: usize) -> String {
        let letter = char::from(b'A' + (column % 26) as u8);
        if column < 26 { format!("{letter}{}", row + 1) } else { format!("{letter}{}{}", column / 26, row + 1) }
    }

    /// Lower left of a tile's window in drawing coordinates.
    fn origin(&self, row: usize, column: usize) -> Point {
        let step = self.window - Vector::new(OVERLAP_MM, OVERLAP_MM);
        self.drawn.min + Vector::new(column as f64 * step.x, row as f64 * step.y)
    }

    /// Two crosses in the strip that two neighbours share, each named by both: unique to the joint.
    fn registration(&self) -> Result<Vec<Run>, PaperProblem> {
        let mut runs = Vec::new();
        let half = OVERLAP_MM / 2.0;
        for row in 0..self.rows {
            for column in 0..self.columns {
                let at = self.origin(row, column);
                let name = Grid::name(row, column);
                for share in [0.3, 0.7] {
                    if column + 1 < self.columns {
                        let p = at + Vector::new(self.window.x - half, self.window.y * share);
                        runs.extend(cross(p, &format!("{name}-{}", Grid::name(row, column + 1)), Runs::Up)?);
                    }
                    if row + 1 < self.rows {
                        let p = at + Vector::new(self.window.x * share, self.window.y - half);
                        runs.extend(cross(p, &format!("{name}-{}", Grid::name(row + 1, column)), Runs::Across)?);
                    }
                }
            }
        }
        Ok(runs)
    }

    /// One tile: its window on the drawing, its frame, its bars and its name.
    fn tile(&self, stamp: &Stamp, runs: &[Run], row: usize, column: usize) -> Result<Page, PaperProblem> {
        let corner = Point::new(EDGE_MM + STRIP_MM, EDGE_MM + STRIP_MM);
        let shift = corner - self.origin(row, column);
        let window = Bounds { min: corner, max: corner + self.window };
        let shown = |run: &Run| Run { points: run.points.iter().map(|p| p + shift).collect(), pen: run.pen };
        let drawing = runs.iter().map(shown).filter(|run| touches(run, window)).collect();
        let mut beside = frame(window);
        let name = format!("page {}", Grid::name(row, column));
        let words = format!("{name}  {}  job {}", stamp.title, stamp.fingerprint);
        beside.extend(text(&words, Point::new(corner.x, EDGE_MM + 1.0), LETTER_MM, Runs::Across)?);
        beside.extend(calibration(window)?);
        Ok(self.page(vec![
            Layer { window: Some(window), runs: drawing, words: Vec::new() },
            Layer { window: None, runs: beside, words: Vec::new() },
        ]))
    }

    fn page(&self, layers: Vec<Layer>) -> Page {
        Page { width_mm: self.paper.width_mm, height_mm: self.paper.height_mm, layers }
    }

    /// The pages as they lie together, small, with what to do.
    fn map(&self, stamp: &Stamp, part: &Contour<Role>) -> Result<Page, PaperProblem> {
        let room = Vector::new(self.paper.width_mm - 2.0 * EDGE_MM - 10.0, self.paper.height_mm - 2.0 * EDGE_MM - 60.0);
        let last = self.origin(self.rows - 1, self.columns - 1) + self.window;
        let extent = last - self.drawn.min;
        let scale = (room.x / extent.x).min(room.y / extent.y);
        let corner = Point::new(EDGE_MM + 5.0, EDGE_MM + 5.0);
        let small = |p: Point| corner + (p - self.drawn.min) * scale;
        let mut outline: Vec<Point> = part.vertices().into_iter().map(small).collect();
        outline.push(outline[0]);
        let mut runs = vec![Run { points: outline, pen: Pen::Edge }];
        for row in 0..self.rows {
            for column in 0..self.columns {
                let at = self.origin(row, column);
                let tile = Bounds { min: small(at), max: small(at + self.window) };
                runs.extend(frame(tile).into_iter().map(|run| Run { pen: Pen::Neighbour, ..run }));
                let label = tile.min + (tile.max - tile.min) * 0.42;
                runs.extend(text(&Grid::name(row, column), label, LETTER_MM, Runs::Across)?);
            }
        }
        let steps = [
            stamp.title.clone(),
            format!("{}  job {}", Stamp::tool(), stamp.fingerprint),
            format!("full size on {} pages, {} across, {} up", self.count(), self.columns, self.rows),
            "print at 100 percent, no scaling: measure both bars on a page".to_string(),
            "lay neighbours so that crosses of one name fall together, paste".to_string(),
            "then measure the check length across the pages".to_string(),
        ];
        for (i, words) in steps.iter().enumerate() {
            let at = Point::new(corner.x, self.paper.height_mm - EDGE_MM - 6.0 - 7.0 * i as f64);
            let fits = LETTER_MM.min(LETTER_MM * (room.x / crate::lettering::width(words, LETTER_MM)));
            runs.extend(text(words, at, fits, Runs::Across)?);
        }
        Ok(self.page(vec![Layer { window: None, runs, words: Vec::new() }]))
    }
}

fn touches(run: &Run, window: Bounds) -> bool {
    Bounds::around(run.points.iter().copied()).is_some_and(|bounds| bounds.touches(window))
}

fn frame(of: Bounds) -> Vec<Run> {
    let (a, b) = (of.min, of.max);
    let points = vec![a, Point::new(b.x, a.y), b, Point::new(a.x, b.y), a];
    vec![Run { points, pen: Pen::Narrow }]
}

fn cross(at: Point, name: &str, runs: Runs) -> Result<Vec<Run>, PaperProblem> {
    let arm = OVERLAP_MM / 2.0 - 2.5;
    let mut strokes = vec![
        line(at - Vector::new(arm, 0.0), at + Vector::new(arm, 0.0), Pen::Narrow),
        line(at - Vector::new(0.0, arm), at + Vector::new(0.0, arm), Pen::Narrow),
    ];
    let beside = match runs {
        Runs::Up => at + Vector::new(-1.0, arm + 2.0),
        Runs::Across => at + Vector::new(arm + 2.0, -1.0),
    };
    strokes.extend(text(name, beside, 2.0, runs)?);
    Ok(strokes)
}

/// The bars along the bottom and the left of a window.
fn calibration(window: Bounds) -> Result<Vec<Run>, PaperProblem> {
    let (below, left) = (window.min - Vector::new(0.0, 5.0), window.min - Vector::new(5.0, 0.0));
    let mut runs = Vec::new();
    for (at, room, way) in [(below, window.width(), Runs::Across), (left, window.height(), Runs::Up)] {
        let length = if room > BAR_MM + 25.0 { BAR_MM } else { SHORT_BAR_MM };
        runs.extend(bar(at, length, 1.5, way));
        let beside = match way {
            Runs::Across => at + Vector::new(length + 3.0, -1.0),
            Runs::Up => at + Vector::new(1.0, length + 3.0),
        };
        runs.extend(text(&format!("{length:.0} mm"), beside, LETTER_MM, way)?);
    }
    Ok(runs)
}

/// The length on the tape, for words on a page.
pub(super) fn tape(length: Length) -> String {
    format!("{} ({:.1} mm)", sixteenths(length), length.as_mm())
}
