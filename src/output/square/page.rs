//! The page of a test square: the piece at full size, where the calipers go, room for what they find.

use super::words::{figures, steps};
use crate::cam::plan::SquareProgram;
use crate::geometry::{Point, Vector};
use crate::output::Stamp;
use crate::output::page::{
    Anchor, Item, Layer, Line, Page, Size, Text, Weight, set_width, wrap_set,
};

const EDGE_MM: f64 = 15.0;
const TITLE_MM: f64 = 3.8;
const TEXT_MM: f64 = 2.4;
const FIGURE_MM: f64 = 3.2;
const LINE_MM: f64 = 4.1;
const ROW_MM: f64 = 8.0;
/// How far in from its end a line of the calipers lies, as a share of the side.
const CALIPERS: f64 = 0.86;
const TICK_MM: f64 = 2.0;
/// How far a tab is drawn out of its side.
const TAB_MM: f64 = 3.0;

/// The page, on this paper; `name` is the machine as the user called it.
pub fn page(square: &SquareProgram, stamp: &Stamp, paper: Size, name: &str) -> Page {
    let mut sheet = Sheet { layer: Layer::default(), width: paper.width_mm - 2.0 * EDGE_MM };
    let mut top = paper.height_mm - EDGE_MM - TITLE_MM;
    sheet.set(&stamp.title, Point::new(EDGE_MM, top), TITLE_MM, Weight::Bold);
    top -= LINE_MM + 1.5;
    let about = format!(
        "Job {}, machine {}, {}; {}. Drawn at full size: print at 100 percent.",
        stamp.fingerprint,
        square.machine.name,
        stamp.material,
        Stamp::tool()
    );
    top = sheet.paragraph(&about, top, "");
    let side = square.sizes.outside.as_mm();
    let origin = Point::new((paper.width_mm - side) / 2.0, top - 12.0 - side);
    sheet.piece(square, origin);
    top = origin.y - 22.0;
    for (i, (what, asked)) in figures(&square.sizes).into_iter().enumerate() {
        sheet.row(&format!("{}", i + 1), what, &asked, top);
        top -= ROW_MM;
    }
    top -= 1.0;
    for (i, step) in steps(square, name).iter().enumerate() {
        top = sheet.paragraph(step, top, &format!("{}. ", i + 1)) - 0.8;
    }
    Page {
        size: paper,
        title: stamp.title.clone(),
        description: "Where to put the calipers on a test square.".to_string(),
        layers: vec![sheet.layer],
    }
}

struct Sheet {
    layer: Layer,
    width: f64,
}

impl Sheet {
    fn set(&mut self, words: &str, at: Point, height: f64, weight: Weight) {
        self.layer.texts.push(Text::new(words, at, height).weight(weight).set(self.width));
    }

    fn centred(&mut self, words: &str, at: Point, height: f64) {
        let text = Text::new(words, at, height).weight(Weight::Bold).set(self.width);
        self.layer.texts.push(Text { anchor: Anchor::Middle, ..text });
    }

    /// Sentences, from a height down; the height below them.
    fn paragraph(&mut self, words: &str, mut top: f64, number: &str) -> f64 {
        let indent = set_width("9. ", TEXT_MM, Weight::Regular);
        let indent = if number.is_empty() { 0.0 } else { indent };
        self.set(number, Point::new(EDGE_MM, top), TEXT_MM, Weight::Regular);
        for row in wrap_set(words, self.width - indent, TEXT_MM, Weight::Regular) {
            self.set(&row, Point::new(EDGE_MM + indent, top), TEXT_MM, Weight::Regular);
            top -= LINE_MM;
        }
        top
    }

    fn line(&mut self, from: Point, to: Point, line: Line) {
        self.layer.items.push(Item::line(from, to, line));
    }

    fn square(&mut self, at: Point, side: f64, line: Line) {
        let corners = [(0.0, 0.0), (side, 0.0), (side, side), (0.0, side)];
        let corners = corners.map(|(x, y)| at + Vector::new(x, y));
        self.layer.items.push(Item::closed(corners.to_vec(), line));
    }

    /// The piece with its lower left corner at a point.
    fn piece(&mut self, square: &SquareProgram, at: Point) {
        let sizes = &square.sizes;
        let (a, b, web) = (sizes.outside.as_mm(), sizes.inside.as_mm(), sizes.web().as_mm());
        self.square(at, a, Line::VisibleEdge);
        self.square(at + Vector::new(web, web), b, Line::VisibleEdge);
        self.tabs(square, at);
        let calipers = |from: f64, side: f64| from + side * CALIPERS;
        // Across X they lie along it, across Y up.
        let places = [(0.0, a, 1), (web, b, 3)];
        for (from, side, number) in places {
            let across = calipers(from, side);
            let ends = [(from, across), (from + side, across)];
            self.calipers(ends.map(|(x, y)| at + Vector::new(x, y)), &number.to_string());
            let ends = [(across, from), (across, from + side)];
            self.calipers(ends.map(|(x, y)| at + Vector::new(x, y)), &(number + 1).to_string());
        }
        for (ends, number) in [([(0.0, 0.0), (a, a)], "5"), ([(a, 0.0), (0.0, a)], "6")] {
            let [from, to] = ends.map(|(x, y)| at + Vector::new(x, y));
            self.line(from, to, Line::Centre);
            let near = from + (to - from) * 0.05 + Vector::new(0.0, 2.5);
            self.centred(number, near, FIGURE_MM);
        }
        self.axes(at, a);
    }

    fn tabs(&mut self, square: &SquareProgram, at: Point) {
        let program = &square.program;
        let low = square.sizes.piece().placed(&program.placement()).bounds().min;
        let reach = square.machine.tool_radius().as_mm();
        let middle = at + Vector::new(1.0, 1.0) * (square.sizes.outside.as_mm() / 2.0);
        for tab in &program.tabs {
            let on_path = at + (tab.at - low);
            let (x, y) = ((on_path - middle).x, (on_path - middle).y);
            let is_upright = x.abs() > y.abs();
            let half = square.machine.tool.width().as_mm().mul_add(-0.5, tab.length_mm / 2.0);
            let along = if is_upright { Vector::new(0.0, half) } else { Vector::new(half, 0.0) };
            let off = if is_upright {
                Vector::new(x.signum(), 0.0)
            } else {
                Vector::new(0.0, y.signum())
            };
            let is_outside = x.abs().max(y.abs()) > square.sizes.outside.as_mm() / 2.0;
            let (side, out) = match is_outside {
                true => (on_path - off * reach, off * TAB_MM),
                false => (on_path + off * reach, off * -TAB_MM),
            };
            let corners = vec![side - along, side + along, side + along + out, side - along + out];
            self.layer.items.push(Item::closed(corners, Line::Hidden));
        }
    }

    /// A line across which calipers measure, with its number.
    fn calipers(&mut self, ends: [Point; 2], number: &str) {
        let [from, to] = ends;
        let along = (to - from).normalize();
        let tick = Vector::new(-along.y, along.x) * TICK_MM;
        self.line(from, to, Line::Dimension);
        for end in ends {
            self.line(end - tick, end + tick, Line::Dimension);
        }
        let beside = from + (to - from) * 0.4;
        let beside = beside + Vector::new(along.y * 3.0, along.x * 1.2 - along.y * 1.5);
        self.centred(number, beside, FIGURE_MM);
    }

    fn axes(&mut self, at: Point, side: f64) {
        let (below, left) = (at + Vector::new(0.0, -7.0), at + Vector::new(-9.0, 0.0));
        for (from, to, name) in [
            (below, below + Vector::new(side, 0.0), "X"),
            (left, left + Vector::new(0.0, side), "Y"),
        ] {
            let along = (to - from).normalize();
            let across = Vector::new(-along.y, along.x);
            self.line(from, to, Line::Rule);
            for turn in [1.0, -1.0] {
                self.line(to, to - along * 3.0 + across * turn, Line::Rule);
            }
            self.centred(name, to + along * 3.5 + Vector::new(0.0, -1.5), FIGURE_MM);
        }
        let words = "pencil a dot into this corner, before it is taken off";
        let at = below + Vector::new(0.0, -5.0);
        self.set(words, at, TEXT_MM, Weight::Regular);
    }

    /// One figure with room to write it into.
    fn row(&mut self, number: &str, what: &str, asked: &str, top: f64) {
        self.set(number, Point::new(EDGE_MM, top), FIGURE_MM, Weight::Bold);
        self.set(what, Point::new(EDGE_MM + 8.0, top), TEXT_MM, Weight::Regular);
        let asked = format!("asked for: {asked}");
        self.set(&asked, Point::new(EDGE_MM + 75.0, top), TEXT_MM, Weight::Regular);
        self.set("measured:", Point::new(EDGE_MM + 118.0, top), TEXT_MM, Weight::Regular);
        let low = Point::new(EDGE_MM + 136.0, top - 2.0);
        let corners = [(0.0, 0.0), (42.0, 0.0), (42.0, 6.5), (0.0, 6.5)];
        let corners = corners.map(|(x, y)| low + Vector::new(x, y));
        self.layer.items.push(Item::closed(corners.to_vec(), Line::Rule));
    }
}
