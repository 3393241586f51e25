//! How the part is spread over pages, and what each page carries besides.

use super::block::pitch_block;
use super::marks::{Runs, bar, cross, fitted, frame, text};
use crate::geometry::{Bounds, Contour, Point, Vector};
use crate::output::Stamp;
use crate::output::page::{Item, Layer, Line, Page, Path, Size, Text};
use crate::stair::Flight;
use crate::stair::outline::{Outline, Role};
use crate::units::{Length, Tape};

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
/// Those in inches, the longest that there is room for, and what a bar's name takes behind it, in
/// mm.
const INCH_BARS: [f64; 4] = [4.0, 3.0, 2.0, 1.0];
const BAR_NAME_MM: f64 = 20.0;
/// Free round the part, in mm, and where the check length lies below it.
const FREE_MM: f64 = 12.0;
const CHECK_DROP_MM: f64 = 24.0;
/// Height of letters, in mm.
const LETTER_MM: f64 = 2.4;
/// More pages than this are no help to anybody.
const MOST_PAGES: usize = 400;

/// Why the part does not go on this paper.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum PaperProblem {
    /// The page holds no tile: width and height left for it in mm.
    #[error("a tile would be {0:.1} by {1:.1} mm: no room for it")]
    TooSmall(f64, f64),
    /// It would take this many pages.
    #[error("{0} pages")]
    TooMany(usize),
}

/// The pages in order: an assembly map, the tiles row by row from the bottom, the pitch block.
///
/// # Errors
/// If the page is too small for a tile or the tiles would be too many.
pub fn full_size_pages(
    stamp: &Stamp,
    flight: &Flight,
    outline: &Outline,
    paper: Size,
) -> Result<Vec<Page>, PaperProblem> {
    let part = outline.in_board_frame();
    let drawn = drawn_area(&part);
    let upright = Grid::new(drawn, paper)?;
    let turned = Grid::new(drawn, paper.turned())?;
    let grid = if turned.count() < upright.count() { turned } else { upright };
    if grid.count() > MOST_PAGES {
        return Err(PaperProblem::TooMany(grid.count()));
    }
    let drawing = content(&part, &grid);
    let mut pages = vec![grid.map(stamp, &part)];
    pages.extend(grid.tiles().map(|(row, column)| grid.tile(stamp, &drawing, row, column)));
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

/// The part, the check length across it and the registration marks of every joint, in drawing
/// coordinates.
fn content(part: &Contour<Role>, grid: &Grid) -> Layer {
    let mut drawing = Layer::default();
    drawing.items.push(Item::closed(part.vertices(), Line::VisibleEdge));
    let length = Length::inches(part.bounds().width().div_euclid(25.4));
    let level = part.bounds().min.y - CHECK_DROP_MM;
    let start = Point::new(part.bounds().min.x, level);
    bar(&mut drawing, start, length.as_mm(), 3.0, Runs::Across);
    let words = format!("check length across the pages: {length}");
    for x in [start.x + 5.0, (start.x + length.as_mm() - 140.0).max(start.x + 5.0)] {
        drawing.texts.push(text(&words, Point::new(x, level + 3.0), LETTER_MM, Runs::Across));
    }
    grid.registration(&mut drawing);
    drawing
}

struct Grid {
    drawn: Bounds,
    paper: Size,
    window: Vector,
    columns: usize,
    rows: usize,
}

impl Grid {
    fn new(drawn: Bounds, paper: Size) -> Result<Self, PaperProblem> {
        let window = Vector::new(
            paper.width_mm - 2.0 * EDGE_MM - STRIP_MM,
            paper.height_mm - 2.0 * EDGE_MM - STRIP_MM,
        );
        if window.x < LEAST_WINDOW_MM || window.y < LEAST_WINDOW_MM {
            return Err(PaperProblem::TooSmall(window.x, window.y));
        }
        let count = |extent: f64, window: f64| {
            (((extent - OVERLAP_MM) / (window - OVERLAP_MM)).ceil()).max(1.0) as usize
        };
        let (columns, rows) = (count(drawn.width(), window.x), count(drawn.height(), window.y));
        Ok(Self { drawn, paper, window, columns, rows })
    }

    fn count(&self) -> usize {
        self.columns.saturating_mul(self.rows)
    }

    /// Column letter and row number, `B2`.
    fn name(row: usize, column: usize) -> String {
        let letter = char::from(b'A' + (column % 26) as u8);
        if column < 26 {
            format!("{letter}{}", row + 1)
        } else {
            format!("{letter}{}{}", column / 26, row + 1)
        }
    }

    /// Lower left of a tile's window in drawing coordinates.
    fn origin(&self, row: usize, column: usize) -> Point {
        let step = self.window - Vector::new(OVERLAP_MM, OVERLAP_MM);
        self.drawn.min + Vector::new(column as f64 * step.x, row as f64 * step.y)
    }

    /// Two crosses in the strip that two neighbours share, each named by both: unique to the joint.
    fn registration(&self, drawing: &mut Layer) {
        let half = OVERLAP_MM / 2.0;
        for (row, column) in self.tiles() {
            let at = self.origin(row, column);
            let mut joint = |place: Vector, other: String, runs: Runs| {
                let name = format!("{}-{other}", Self::name(row, column));
                cross(drawing, at + place, half - 2.5, &name, runs);
            };
            for share in [0.3, 0.7] {
                if column + 1 < self.columns {
                    let place = Vector::new(self.window.x - half, self.window.y * share);
                    joint(place, Self::name(row, column + 1), Runs::Up);
                }
                if row + 1 < self.rows {
                    let place = Vector::new(self.window.x * share, self.window.y - half);
                    joint(place, Self::name(row + 1, column), Runs::Across);
                }
            }
        }
    }

    /// Every tile's row and column, row by row from the bottom.
    fn tiles(&self) -> impl Iterator<Item = (usize, usize)> + use<> {
        let (rows, columns) = (self.rows, self.columns);
        (0..rows).flat_map(move |row| (0..columns).map(move |column| (row, column)))
    }

    /// One tile: its window on the drawing, its frame, its bars and its name.
    fn tile(&self, stamp: &Stamp, drawing: &Layer, row: usize, column: usize) -> Page {
        let corner = Point::new(EDGE_MM + STRIP_MM, EDGE_MM + STRIP_MM);
        let shift = corner - self.origin(row, column);
        let window = Bounds { min: corner, max: corner + self.window };
        let items = drawing.items.iter().map(|item| moved(item, shift));
        let texts = drawing.texts.iter().map(|text| Text { at: text.at + shift, ..text.clone() });
        let shown = Layer {
            window: Some(window),
            items: items
                .filter(|item| item.bounds().is_some_and(|of| of.touches(window)))
                .collect(),
            texts: texts.filter(|text| text.bounds().touches(window)).collect(),
        };
        let name = format!("page {}", Self::name(row, column));
        let words = format!("{name}  {}  job {}", stamp.title, stamp.fingerprint);
        let mut beside = calibration(window);
        beside.items.insert(0, frame(&window, Line::Rule));
        beside.texts.push(text(
            &words,
            Point::new(corner.x, EDGE_MM + 1.0),
            LETTER_MM,
            Runs::Across,
        ));
        page(stamp, self.paper, &name, vec![shown, beside])
    }

    /// The pages as they lie together, small, with what to do.
    fn map(&self, stamp: &Stamp, part: &Contour<Role>) -> Page {
        let room = Vector::new(
            self.paper.width_mm - 2.0 * EDGE_MM - 10.0,
            self.paper.height_mm - 2.0 * EDGE_MM - 60.0,
        );
        let last = self.origin(self.rows - 1, self.columns - 1) + self.window;
        let extent = last - self.drawn.min;
        let scale = (room.x / extent.x).min(room.y / extent.y);
        let corner = Point::new(EDGE_MM + 5.0, EDGE_MM + 5.0);
        let small = |p: Point| corner + (p - self.drawn.min) * scale;
        let mut map = Layer::default();
        map.items.push(Item::closed(
            part.vertices().into_iter().map(small).collect(),
            Line::VisibleEdge,
        ));
        for (row, column) in self.tiles() {
            let at = self.origin(row, column);
            let tile = Bounds { min: small(at), max: small(at + self.window) };
            map.items.push(frame(&tile, Line::Adjacent));
            let label = tile.min + (tile.max - tile.min) * 0.42;
            map.texts.push(text(&Self::name(row, column), label, LETTER_MM, Runs::Across));
        }
        for (i, words) in self.steps(stamp).iter().enumerate() {
            let at = Point::new(corner.x, self.paper.height_mm - EDGE_MM - 6.0 - 7.0 * i as f64);
            map.texts.push(fitted(words, at, LETTER_MM, room.x));
        }
        page(stamp, self.paper, "assembly map", vec![map])
    }

    /// What to do with the pages.
    fn steps(&self, stamp: &Stamp) -> [String; 6] {
        [
            stamp.title.clone(),
            format!("{}  job {}", Stamp::tool(), stamp.fingerprint),
            format!(
                "full size on {} pages, {} across, {} up",
                self.count(),
                self.columns,
                self.rows
            ),
            "print at 100 percent, no scaling: measure the bars on a page".to_string(),
            "lay neighbours so that crosses of one name fall together, paste".to_string(),
            "then measure the check length across the pages".to_string(),
        ]
    }
}

fn moved(item: &Item, by: Vector) -> Item {
    match item {
        Item::Stroke { path: Path::Closed(points), line } => {
            Item::closed(points.iter().map(|p| p + by).collect(), *line)
        }
        Item::Stroke { path, line } => {
            let points = path.points().into_iter().map(|p| p + by).collect();
            Item::Stroke { path: Path::Open(points), line: *line }
        }
        Item::Fill { corners, ink } => {
            Item::Fill { corners: corners.iter().map(|p| p + by).collect(), ink: *ink }
        }
    }
}

/// A page of these layers.
pub(super) fn page(stamp: &Stamp, size: Size, name: &str, layers: Vec<Layer>) -> Page {
    Page { size, title: format!("{}: {name}", stamp.title), description: name.to_string(), layers }
}

/// The bars along the bottom and the left of a window: one in millimetres, and for a tape in inches
/// one of whole inches behind it.
fn calibration(window: Bounds) -> Layer {
    let (below, left) = (window.min - Vector::new(0.0, 5.0), window.min - Vector::new(5.0, 0.0));
    let mut layer = Layer::default();
    for (at, room, way) in
        [(below, window.width(), Runs::Across), (left, window.height(), Runs::Up)]
    {
        let length = if room > BAR_MM + 25.0 { BAR_MM } else { SHORT_BAR_MM };
        named_bar(&mut layer, at, (length, &format!("{length:.0} mm")), way);
        let behind = length + BAR_NAME_MM;
        let inches =
            INCH_BARS.into_iter().find(|inches| behind + inches * 25.4 + BAR_NAME_MM <= room);
        if let Some(inches) = inches.filter(|_| Tape::in_hand() == Tape::Inches) {
            let along = match way {
                Runs::Across => Vector::new(behind, 0.0),
                Runs::Up => Vector::new(0.0, behind),
            };
            named_bar(&mut layer, at + along, (inches * 25.4, &format!("{inches:.0} in")), way);
        }
    }
    layer
}

/// A bar and its length behind it.
fn named_bar(layer: &mut Layer, at: Point, (length, name): (f64, &str), way: Runs) {
    bar(layer, at, length, 1.5, way);
    let beside = match way {
        Runs::Across => at + Vector::new(length + 3.0, -1.0),
        Runs::Up => at + Vector::new(1.0, length + 3.0),
    };
    layer.texts.push(text(name, beside, LETTER_MM, way));
}
