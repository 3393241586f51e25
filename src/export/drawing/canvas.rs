//! What is being drawn: lines below, text above, and a view that puts stair millimetres on the paper.

use crate::export::sheet::{Anchor, Ink, Item, Line, Path, Text, Weight};
use crate::geometry::{Point, Vector};

/// Height of capitals of figures and tables, in mm.
pub(super) const TEXT_MM: f64 = 2.0;
/// Height of capitals of headings, in mm.
pub(super) const HEADING_MM: f64 = 2.5;
/// From baseline to baseline of figures and tables, in mm.
pub(super) const ROW_MM: f64 = 3.3;

/// Scale and place of a view.
#[derive(Clone, Copy, Debug)]
pub(super) struct View {
    /// Stair mm on one paper mm.
    pub scale: f64,
    /// Where the view's 0,0 lies on the paper.
    pub origin: Point,
}

impl View {
    /// The place on the paper of a point of the view, in stair mm.
    pub fn at(&self, x: f64, y: f64) -> Point {
        Point::new(self.origin.x + x / self.scale, self.origin.y + y / self.scale)
    }
}

/// Items by layer: no line is drawn over a text, and no mask hides one.
#[derive(Default)]
pub(super) struct Canvas {
    lines: Vec<Item>,
    masks: Vec<Item>,
    texts: Vec<Item>,
}

impl Canvas {
    pub fn into_items(self) -> Vec<Item> {
        [self.lines, self.masks, self.texts].concat()
    }

    pub fn line(&mut self, from: Point, to: Point, line: Line) {
        self.lines.push(Item::Stroke { path: Path::Open(vec![from, to]), line });
    }

    pub fn open(&mut self, points: Vec<Point>, line: Line) {
        self.lines.push(Item::Stroke { path: Path::Open(points), line });
    }

    pub fn closed(&mut self, points: Vec<Point>, line: Line) {
        self.lines.push(Item::Stroke { path: Path::Closed(points), line });
    }

    pub fn arc(&mut self, center: Point, radius: f64, from_deg: f64, sweep_deg: f64, line: Line) {
        self.lines.push(Item::Stroke { path: Path::Arc { center, radius, from_deg, sweep_deg }, line });
    }

    pub fn fill(&mut self, corners: Vec<Point>, ink: Ink) {
        self.lines.push(Item::Fill { corners, ink });
    }

    /// A figure or a line of a table.
    pub fn text(&mut self, at: Point, anchor: Anchor, content: impl Into<String>) {
        self.push(at, anchor, content.into(), TEXT_MM, Weight::Regular, 0.0);
    }

    /// A heading.
    pub fn heading(&mut self, at: Point, content: impl Into<String>) {
        self.push(at, Anchor::Start, content.into(), HEADING_MM, Weight::Bold, 0.0);
    }

    /// A figure that reads from the right: turned a quarter counter-clockwise.
    pub fn upright(&mut self, at: Point, anchor: Anchor, content: impl Into<String>) {
        self.push(at, anchor, content.into(), TEXT_MM, Weight::Regular, 90.0);
    }

    /// A text of any size and weight.
    pub fn sized(&mut self, at: Point, content: impl Into<String>, height_mm: f64, weight: Weight) {
        self.push(at, Anchor::Start, content.into(), height_mm, weight, 0.0);
    }

    /// A figure that crosses lines: it lies on paper of its own.
    pub fn masked(&mut self, at: Point, anchor: Anchor, content: impl Into<String>) {
        let text =
            Text { at, content: content.into(), height_mm: TEXT_MM, turn_deg: 0.0, anchor, weight: Weight::Regular };
        let b = text.bounds().grown(0.3);
        let corners = vec![b.min, Point::new(b.max.x, b.min.y), b.max, Point::new(b.min.x, b.max.y)];
        self.masks.push(Item::Fill { corners, ink: Ink::Paper });
        self.texts.push(Item::Text(text));
    }

    fn push(&mut self, at: Point, anchor: Anchor, content: String, height_mm: f64, weight: Weight, turn_deg: f64) {
        self.texts.push(Item::Text(Text { at, content, height_mm, turn_deg, anchor, weight }));
    }
}

/// `point` moved on the paper.
pub(super) fn moved(point: Point, dx: f64, dy: f64) -> Point {
    point + Vector::new(dx, dy)
}
