//! What is being drawn: lines, texts at their places, texts that look for one, and a view that puts
//! stair millimetres on the paper.

use super::clear;
use crate::geometry::{Bounds, Point, Vector};
use crate::output::page::{
    Anchor, Ink, Item, Layer, Line, Page, Path, Size, Text, Weight, text_width,
};
use crate::units::trimmed;

/// Height of capitals of the figures in the views, in mm.
pub(super) const FIGURE_MM: f64 = 3.5;
/// Height of capitals of notes and tables, the least on a sheet, in mm.
pub(super) const TEXT_MM: f64 = 2.5;
/// Height of capitals of headings, in mm.
pub(super) const HEADING_MM: f64 = 3.5;
/// From a heading to the notes beside it, in mm.
pub(super) const BESIDE_MM: f64 = 4.0;
/// From baseline to baseline of notes and tables, in mm.
pub(super) const ROW_MM: f64 = 4.2;
/// From baseline to baseline of figures, in mm.
pub(super) const FIGURE_ROW_MM: f64 = 5.6;

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

/// Texts that belong together at one of several places, the best first.
type Places = Vec<Vec<Text>>;

/// Paper left free round a block of words that stands among lines, in mm.
pub(super) const ROUND_BLOCK_MM: f64 = 1.5;

/// Texts that look for a place.
struct Seeking {
    places: Places,
    /// Whether lines end where the block of them stands and not only where each of its rows does.
    is_block: bool,
    /// What they are of, in the middle: where they find a place far from it a line leads there.
    of: Option<Point>,
}

/// Words that stand farther than this from what they are of have a line to it, in mm: beside
/// another dimension they would be read as that one's.
const LED_MM: f64 = 7.0;

/// Lines below, texts above. A line ends where a text stands and goes on behind it; the part's own
/// edges do not, so texts keep off them.
#[derive(Default)]
pub(super) struct Canvas {
    lines: Vec<Item>,
    texts: Vec<Text>,
    /// Texts that look for a place.
    places: Vec<Seeking>,
    /// Where blocks stand.
    blocks: Vec<Bounds>,
    /// Whether it is shown at any size: a scale would mean nothing.
    on_screen: bool,
}

impl Canvas {
    /// One that is shown at any size.
    pub(super) fn on_screen() -> Self {
        Self { on_screen: true, ..Self::default() }
    }

    /// The heading of a view with its scale, where that means something.
    pub(super) fn titled(&self, name: &str, scale: f64) -> String {
        if self.on_screen { name.to_string() } else { titled(name, scale) }
    }

    /// The page with everything on it; what looks for a place finds it within `room`.
    pub(super) fn into_page(
        mut self,
        size: Size,
        room: Bounds,
        (title, description): (String, String),
    ) -> Page {
        self.settle(room);
        let rows = self.texts.iter().map(clear::room);
        let taken: Vec<Bounds> = rows.chain(self.blocks).collect();
        let items = self.lines.into_iter().flat_map(|item| clear::broken(item, &taken)).collect();
        let layer = Layer { window: None, items, texts: self.texts };
        Page { size, title, description, layers: vec![layer] }
    }

    fn settle(&mut self, room: Bounds) {
        let mut taken = clear::Taken::of(&self.lines, &self.texts, room);
        for Seeking { places, is_block, of } in std::mem::take(&mut self.places) {
            let chosen = taken.best(&places);
            let block = chosen.iter().map(Text::bounds).reduce(Bounds::joined);
            self.blocks.extend(block.filter(|_| is_block).map(|of| of.grown(ROUND_BLOCK_MM)));
            let far = block.zip(of).filter(|(block, of)| block.distance(*of) > LED_MM);
            self.lines.extend(far.map(|(block, of)| led(block, of)));
            self.texts.extend(chosen);
        }
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

    /// The strokes of another canvas as far as they lie in a window; its texts are left out.
    pub(super) fn through_window(&mut self, other: Self, window: Bounds) {
        let strokes = other.lines.into_iter().flat_map(|item| clear::within(&item, window));
        self.lines.extend(strokes);
    }

    /// A note or a line of a table.
    pub(super) fn text(&mut self, at: Point, anchor: Anchor, content: impl Into<String>) {
        self.push(Text { anchor, ..Text::new(content, at, TEXT_MM) });
    }

    /// A figure.
    pub(super) fn figure(&mut self, at: Point, anchor: Anchor, content: impl Into<String>) {
        self.push(Text { anchor, ..Text::new(content, at, FIGURE_MM) });
    }

    /// A figure that reads from the right: turned a quarter counter-clockwise.
    pub(super) fn upright(&mut self, at: Point, anchor: Anchor, content: impl Into<String>) {
        self.push(Text { anchor, turn_deg: 90.0, ..Text::new(content, at, FIGURE_MM) });
    }

    /// A heading.
    pub(super) fn heading(&mut self, at: Point, content: impl Into<String>) {
        self.sized(at, content, HEADING_MM, Weight::Bold);
    }

    /// A text of any size and weight.
    pub(super) fn sized(
        &mut self,
        at: Point,
        content: impl Into<String>,
        height_mm: f64,
        weight: Weight,
    ) {
        self.push(Text::new(content, at, height_mm).weight(weight));
    }

    fn push(&mut self, text: Text) {
        if !text.content.is_empty() {
            self.texts.push(text);
        }
    }

    /// Texts that take the best of several places, once everything else stands.
    pub(super) fn place(&mut self, places: Places) {
        self.places.push(Seeking { places, is_block: false, of: None });
    }

    /// The same of what is at a point: a line leads there where they find a place far from it.
    pub(super) fn place_of(&mut self, of: Point, places: Places) {
        self.places.push(Seeking { places, is_block: false, of: Some(of) });
    }

    /// The same of a block of rows among lines: none of those shows between its rows.
    pub(super) fn place_block(&mut self, places: Places) {
        self.places.push(Seeking { places, is_block: true, of: None });
    }

    /// A figure that takes the best of several places.
    pub(super) fn place_figure(
        &mut self,
        content: &str,
        places: impl IntoIterator<Item = (Point, Anchor)>,
    ) {
        self.place_sized(content, FIGURE_MM, places);
    }

    /// A note that takes the best of several places.
    pub(super) fn place_text(
        &mut self,
        content: &str,
        places: impl IntoIterator<Item = (Point, Anchor)>,
    ) {
        self.place_sized(content, TEXT_MM, places);
    }

    fn place_sized(
        &mut self,
        content: &str,
        height_mm: f64,
        places: impl IntoIterator<Item = (Point, Anchor)>,
    ) {
        let text = |(at, anchor)| vec![Text { anchor, ..Text::new(content, at, height_mm) }];
        self.place(places.into_iter().map(text).collect());
    }
}

/// A line from the nearest edge of some words to what they are of.
fn led(block: Bounds, of: Point) -> Item {
    let near = block.grown(clear::ROOM_MM);
    let from = Point::new(of.x.clamp(near.min.x, near.max.x), of.y.clamp(near.min.y, near.max.y));
    Item::line(from, of, Line::Dimension)
}

/// Rows of figures one below the other, centred on the height of `at`.
pub(super) fn stacked(at: Point, anchor: Anchor, rows: &[&str]) -> Vec<Text> {
    let first = at.y + FIGURE_ROW_MM * (rows.len() as f64 - 1.0) / 2.0 - FIGURE_MM / 2.0;
    let row = |(i, row): (usize, &&str)| {
        let at = Point::new(at.x, first - FIGURE_ROW_MM * i as f64);
        Text { anchor, ..Text::new(*row, at, FIGURE_MM) }
    };
    rows.iter().enumerate().map(row).collect()
}

/// `point` moved on the paper.
pub(super) fn moved(point: Point, dx: f64, dy: f64) -> Point {
    point + Vector::new(dx, dy)
}

/// The heading of a view with its scale.
pub(super) fn titled(name: &str, scale: f64) -> String {
    format!("{name}  1 : {}", trimmed(scale, 1))
}

/// What a heading and the notes beside it take: as wide as the view is at the least. A sheet, where
/// the scale stands in the heading, has room for it.
pub(super) fn headed(name: &str, notes: &[String]) -> f64 {
    let wide = |note: &String| text_width(note, TEXT_MM, Weight::Regular);
    let title = text_width(name, HEADING_MM, Weight::Bold);
    title + BESIDE_MM + notes.iter().map(wide).fold(0.0, f64::max)
}
