//! What is being drawn: lines below, text above, and a view that puts stair millimetres on the
//! paper.

use crate::geometry::{Point, Vector};
use crate::output::page::{
    Anchor, Ink, Item, Layer, Line, Page, Path, Size, Text, Weight, corners,
};

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
    pub(super) fn at(&self, x: f64, y: f64) -> Point {
        Point::new(self.origin.x + x / self.scale, self.origin.y + y / self.scale)
    }
}

/// Lines, then the paper that hides them under a figure, then texts: no line is drawn over a text,
/// and no mask hides one.
#[derive(Default)]
pub(super) struct Canvas {
    lines: Vec<Item>,
    masks: Vec<Item>,
    texts: Vec<Text>,
}

impl Canvas {
    pub(super) fn into_page(self, size: Size, title: String, description: String) -> Page {
        let layer =
            Layer { window: None, items: [self.lines, self.masks].concat(), texts: self.texts };
        Page { size, title, description, layers: vec![layer] }
    }

    pub(super) fn line(&mut self, from: Point, to: Point, line: Line) {
        self.lines.push(Item::line(from, to, line));
    }

    pub(super) fn open(&mut self, points: Vec<Point>, line: Line) {
        self.lines.push(Item::Stroke { path: Path::Open(points), line });
    }

    pub(super) fn closed(&mut self, points: Vec<Point>, line: Line) {
        self.lines.push(Item::closed(points, line));
    }

    pub(super) fn arc(
        &mut self,
        center: Point,
        radius: f64,
        from_deg: f64,
        sweep_deg: f64,
        line: Line,
    ) {
        self.lines
            .push(Item::Stroke { path: Path::Arc { center, radius, from_deg, sweep_deg }, line });
    }

    pub(super) fn fill(&mut self, corners: Vec<Point>, ink: Ink) {
        self.lines.push(Item::Fill { corners, ink });
    }

    /// A figure or a line of a table.
    pub(super) fn text(&mut self, at: Point, anchor: Anchor, content: impl Into<String>) {
        self.texts.push(Text { anchor, ..Text::new(content, at, TEXT_MM) });
    }

    /// A heading.
    pub(super) fn heading(&mut self, at: Point, content: impl Into<String>) {
        self.sized(at, content, HEADING_MM, Weight::Bold);
    }

    /// A figure that reads from the right: turned a quarter counter-clockwise.
    pub(super) fn upright(&mut self, at: Point, anchor: Anchor, content: impl Into<String>) {
        self.texts.push(Text { anchor, turn_deg: 90.0, ..Text::new(content, at, TEXT_MM) });
    }

    /// A text of any size and weight.
    pub(super) fn sized(
        &mut self,
        at: Point,
        content: impl Into<String>,
        height_mm: f64,
        weight: Weight,
    ) {
        self.texts.push(Text::new(content, at, height_mm).weight(weight));
    }

    /// A figure that crosses lines: it lies on paper of its own.
    pub(super) fn masked(&mut self, at: Point, anchor: Anchor, content: impl Into<String>) {
        let text = Text { anchor, ..Text::new(content, at, TEXT_MM) };
        if text.content.is_empty() {
            return;
        }
        self.masks
            .push(Item::Fill { corners: corners(&text.bounds().grown(0.3)), ink: Ink::Paper });
        self.texts.push(text);
    }
}

/// `point` moved on the paper.
pub(super) fn moved(point: Point, dx: f64, dy: f64) -> Point {
    point + Vector::new(dx, dy)
}
