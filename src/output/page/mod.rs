//! A page of paper: what is drawn on it, in paper millimetres, whoever writes it out, as SVG or as
//! PDF. Paper frame: x to the right, y up, origin at the lower left corner. A page knows no stairs.

mod face;
mod line;
mod pdf;
mod svg;
mod text;

pub use face::set_width;
pub use line::{Ink, Line};
pub use pdf::{is_own_pdf, pdf};
pub use svg::to_svg;
pub use text::{Anchor, CAP_HEIGHT_EM, DESCENT_EM, Text, Weight, fit, text_width, wrap, wrap_set};

use crate::geometry::{Bounds, Point, Vector};

/// A size of paper in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Size {
    /// Extent along x.
    pub width_mm: f64,
    /// Extent along y; of a roll, the longest piece.
    pub height_mm: f64,
}

impl Size {
    /// The letter sheet of ASME Y14.1, size A: 8 1/2 by 11 in.
    pub const LETTER: Self = Self { width_mm: 215.9, height_mm: 279.4 };
    /// A4 of ISO 216.
    pub const A4: Self = Self { width_mm: 210.0, height_mm: 297.0 };

    /// The same, turned a quarter.
    pub fn turned(self) -> Self {
        Self { width_mm: self.height_mm, height_mm: self.width_mm }
    }
}

/// A page: its size, what it is called, and its layers, the first at the bottom.
#[derive(Clone, Debug)]
pub struct Page {
    /// Its size.
    pub size: Size,
    /// What a reader that cannot show the page calls it.
    pub title: String,
    /// What stands on it, in a few sentences, for the same reader.
    pub description: String,
    /// What is on it.
    pub layers: Vec<Layer>,
}

/// Lines, fills and texts that are cut off at a box.
#[derive(Clone, Debug, Default)]
pub struct Layer {
    /// Nothing is drawn outside it; `None`: the whole page. Pages with windows are for PDF only.
    pub window: Option<Bounds>,
    /// Lines and fills in the order they are laid down, the first at the bottom.
    pub items: Vec<Item>,
    /// The texts, over all of them.
    pub texts: Vec<Text>,
}

/// A line or a fill.
#[derive(Clone, Debug)]
pub enum Item {
    /// A line along a path.
    Stroke {
        /// The path.
        path: Path,
        /// What the line stands for.
        line: Line,
    },
    /// A filled polygon.
    Fill {
        /// Its corners.
        corners: Vec<Point>,
        /// What it is filled with.
        ink: Ink,
    },
}

/// A path on the paper.
#[derive(Clone, Debug)]
pub enum Path {
    /// Straight from point to point.
    Open(Vec<Point>),
    /// The same, and back to the first.
    Closed(Vec<Point>),
    /// A circular arc.
    Arc {
        /// Middle of the circle.
        center: Point,
        /// Radius in mm.
        radius: f64,
        /// Direction of its start, degrees from +x, counter-clockwise.
        from_deg: f64,
        /// How far it turns, degrees, positive counter-clockwise; 360 is the whole circle.
        sweep_deg: f64,
    },
}

/// How far a chord may leave its arc on the paper, in mm: less than can be seen.
const CHORD_MM: f64 = 0.01;

impl Path {
    /// The path as straight strokes from point to point.
    pub fn points(&self) -> Vec<Point> {
        match self {
            Self::Open(points) => points.clone(),
            Self::Closed(points) => points.iter().chain(points.first()).copied().collect(),
            &Self::Arc { center, radius, from_deg, sweep_deg } => {
                let count = chords(radius, sweep_deg);
                let at = |i: usize| {
                    on_circle(center, radius, from_deg + sweep_deg * i as f64 / count as f64)
                };
                (0..=count).map(at).collect()
            }
        }
    }
}

/// The sagitta of a chord over an angle `a` is `r (1 - cos(a / 2))`.
fn chords(radius: f64, sweep_deg: f64) -> usize {
    let widest = 2.0 * (1.0 - CHORD_MM / radius.max(2.0 * CHORD_MM)).acos();
    (sweep_deg.to_radians().abs() / widest).ceil().max(1.0) as usize
}

impl Item {
    /// A straight line.
    pub fn line(from: Point, to: Point, line: Line) -> Self {
        Self::Stroke { path: Path::Open(vec![from, to]), line }
    }

    /// A line round a polygon.
    pub fn closed(corners: Vec<Point>, line: Line) -> Self {
        Self::Stroke { path: Path::Closed(corners), line }
    }

    /// The upright box of what it covers, width of line included; none of what has no point.
    pub fn bounds(&self) -> Option<Bounds> {
        match self {
            Self::Stroke { path, line } => {
                Some(Bounds::around(path.points())?.grown(line.width_mm() / 2.0))
            }
            Self::Fill { corners, .. } => Bounds::around(corners.iter().copied()),
        }
    }
}

/// The line at a paper's foot: its left end, behind the edge that is filed; how far up it stands,
/// below every frame; the height of its letters, and the least that it may have to become.
const FOOT_LEFT_MM: f64 = 20.0;
const FOOT_UP_MM: f64 = 5.8;
const FOOT_MM: f64 = 2.2;
const LEAST_FOOT_MM: f64 = 1.7;

impl Page {
    /// The lines and fills on the page.
    pub fn items(&self) -> impl Iterator<Item = &Item> {
        self.layers.iter().flat_map(|layer| &layer.items)
    }

    /// The texts on the page.
    pub fn texts(&self) -> impl Iterator<Item = &Text> {
        self.layers.iter().flat_map(|layer| &layer.texts)
    }

    /// The box of the paper itself.
    pub fn paper(&self) -> Bounds {
        Bounds { min: Point::origin(), max: Point::new(self.size.width_mm, self.size.height_mm) }
    }

    /// The same with a line at the paper's foot, below all that is drawn: whose it is. What is
    /// longer than the paper ends in dots.
    pub fn signed(mut self, line: &str) -> Self {
        if !line.is_empty() {
            let room = self.size.width_mm - FOOT_LEFT_MM - FOOT_UP_MM;
            let wide = text_width(line, FOOT_MM, Weight::Regular);
            let height = (FOOT_MM * room / wide).clamp(LEAST_FOOT_MM, FOOT_MM);
            let words = fit(line, room, height, Weight::Regular);
            let text = Text::new(words, Point::new(FOOT_LEFT_MM, FOOT_UP_MM), height);
            self.layers.push(Layer { texts: vec![text], ..Layer::default() });
        }
        self
    }

    /// The boxes of everything on the page; what a window cuts off is counted too.
    pub fn boxes(&self) -> Vec<Bounds> {
        self.items().filter_map(Item::bounds).chain(self.texts().map(Text::bounds)).collect()
    }
}

/// Several pages as one, each beneath the one before.
pub fn beneath(pages: &[Page]) -> Page {
    let width_mm = pages.iter().map(|page| page.size.width_mm).fold(0.0, f64::max);
    let height_mm = pages.iter().map(|page| page.size.height_mm).sum();
    let mut top = height_mm;
    let mut layers = Vec::new();
    for page in pages {
        top -= page.size.height_mm;
        let up = Vector::new(0.0, top);
        layers.extend(page.layers.iter().map(|layer| layer.moved(up)));
    }
    let said = |of: fn(&Page) -> &str| pages.first().map(of).unwrap_or_default().to_string();
    let (title, description) = (said(|page| &page.title), said(|page| &page.description));
    Page { size: Size { width_mm, height_mm }, title, description, layers }
}

impl Layer {
    fn moved(&self, by: Vector) -> Self {
        let window = self.window.map(|of| Bounds { min: of.min + by, max: of.max + by });
        let items = self.items.iter().map(|item| item.moved(by)).collect();
        let texts =
            self.texts.iter().map(|text| Text { at: text.at + by, ..text.clone() }).collect();
        Self { window, items, texts }
    }
}

impl Item {
    /// The same item elsewhere on the paper.
    pub fn moved(&self, by: Vector) -> Self {
        let all = |points: &[Point]| points.iter().map(|p| p + by).collect::<Vec<_>>();
        match self {
            Self::Fill { corners, ink } => Self::Fill { corners: all(corners), ink: *ink },
            Self::Stroke { path, line } => {
                let path = match path {
                    Path::Open(points) => Path::Open(all(points)),
                    Path::Closed(points) => Path::Closed(all(points)),
                    &Path::Arc { center, radius, from_deg, sweep_deg } => {
                        Path::Arc { center: center + by, radius, from_deg, sweep_deg }
                    }
                };
                Self::Stroke { path, line: *line }
            }
        }
    }
}

/// The corners of a box, counter-clockwise.
pub(crate) fn corners(of: &Bounds) -> Vec<Point> {
    of.corners().to_vec()
}

/// The point of an arc in a direction.
pub(crate) fn on_circle(center: Point, radius: f64, deg: f64) -> Point {
    let (sin, cos) = deg.to_radians().sin_cos();
    Point::new(center.x + radius * cos, center.y + radius * sin)
}

/// Asserts that everything on pages lies on their paper, off its edges, and no text on another.
#[cfg(test)]
pub(in crate::output) fn assert_laid_out(pages: &[Page]) {
    for (i, page) in pages.iter().enumerate() {
        let paper = page.paper().grown(-5.0);
        for part in page.boxes() {
            let is_on = paper.distance(part.min).max(paper.distance(part.max)) <= 0.0;
            assert!(is_on, "page {i}: {part:?}");
        }
        // What touches by rounding is not on the other.
        let ink = |text: &Text| text.bounds().grown(-0.005);
        let words: Vec<_> = page.texts().map(|text| (ink(text), &text.content)).collect();
        for (k, (a, text)) in words.iter().enumerate() {
            for (b, other) in &words[k + 1..] {
                let apart = a.max.x <= b.min.x
                    || b.max.x <= a.min.x
                    || a.max.y <= b.min.y
                    || b.max.y <= a.min.y;
                assert!(apart, "page {i}: `{text}` on `{other}`");
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_arc_leaves_its_circle_by_no_more_than_its_tolerance() {
        for radius in [0.5, 3.0, 40.0] {
            let path = Path::Arc {
                center: Point::new(1.0, 2.0),
                radius,
                from_deg: 10.0,
                sweep_deg: -200.0,
            };
            let points = path.points();
            for pair in points.windows(2) {
                let middle = pair[0] + (pair[1] - pair[0]) / 2.0;
                let off = radius - (middle - Point::new(1.0, 2.0)).norm();
                assert!((0.0..=CHORD_MM + 1e-9).contains(&off), "{off}");
            }
            assert!(
                (points[points.len() - 1] - on_circle(Point::new(1.0, 2.0), radius, -190.0)).norm()
                    < 1e-9
            );
        }
    }
}
