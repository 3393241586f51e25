//! The page of the test squares: where the calipers go, room for what they find and for what
//! follows.

use super::words::{Sum, Taken, figures, steps, sums, worked};
use crate::cam::plan::SquareProgram;
use crate::geometry::{Bounds, Point, Segment, Vector, distance_to_segment};
use crate::output::Stamp;
use crate::output::drawing::clear::inside;
use crate::output::page::{
    Anchor, Item, Layer, Line, Page, Path, Size, Text, Weight, set_width, wrap_set,
};
use crate::units::Length;

const EDGE_MM: f64 = 15.0;
const TITLE_MM: f64 = 3.8;
const TEXT_MM: f64 = 2.4;
const FIGURE_MM: f64 = 3.2;
const LINE_MM: f64 = 4.1;
const ROW_MM: f64 = 7.6;
/// From the sum to what is said of where it goes.
const UNDER_MM: f64 = 3.6;
/// The squares are drawn at this share of their size, and no higher than this.
const SHOWN: f64 = 0.4;
const HIGHEST_MM: f64 = 54.0;
/// Room to write a figure into.
const BOX_MM: (f64, f64) = (26.0, 6.0);
/// Where the columns of the figures begin, from the edge: what was asked for, across X, across Y.
const FIGURES_MM: [f64; 3] = [72.0, 106.0, 144.0];
/// Where those of the sums do: along X and its room, along Y and its room.
const SUMS_MM: [f64; 4] = [43.0, 87.0, 117.0, 161.0];
/// How far in from its end a line of the calipers lies, as a share of the side.
const CALIPERS: f64 = 0.86;
const TICK_MM: f64 = 2.0;
/// From a line to the middle of a number beside it; how far that stands off all else, where it can;
/// at how many places of the line it is tried.
const BESIDE_MM: f64 = 2.9;
const OFF_MM: f64 = 0.9;
const PLACES: i32 = 40;
/// The dot in a corner, where it is from that, beside the diagonal, and what is said of it.
const DOT_MM: f64 = 0.7;
const DOT_OFF: Vector = Vector::new(4.2, 2.0);
const DOT: &str = "pencil a dot into this corner of each square, before they are taken off";
/// How far a tab is drawn out of its side.
const TAB_MM: f64 = 3.0;

/// The page, on this paper; `name` is the machine as the user called it.
pub fn page(square: &SquareProgram, stamp: &Stamp, paper: Size, name: &str) -> Page {
    let mut sheet = Sheet { layer: Layer::default(), width: paper.width_mm - 2.0 * EDGE_MM };
    let mut top = paper.height_mm - EDGE_MM - TITLE_MM;
    sheet.set(&stamp.title, Point::new(EDGE_MM, top), TITLE_MM, Weight::Bold);
    top -= LINE_MM + 1.5;
    let about = format!(
        "Job {}, machine {}, {}; {}. Not drawn to size: the figures count.",
        stamp.fingerprint,
        square.machine.name,
        stamp.material,
        Stamp::tool()
    );
    top = sheet.paragraph(&about, top, "");
    let view = View::of(square);
    let (wide, high) = view.extent;
    let origin = Point::new((paper.width_mm - wide) / 2.0, top - 8.0 - high);
    sheet.squares(square, &view, origin);
    top = origin.y - 19.0;
    for (column, words) in FIGURES_MM.into_iter().zip(["asked for", "along X", "along Y"]) {
        sheet.set(words, Point::new(EDGE_MM + column, top), TEXT_MM, Weight::Bold);
    }
    top -= ROW_MM;
    for taken in figures(&square.sizes) {
        sheet.taken(&taken, top);
        top -= ROW_MM;
    }
    top -= 1.0;
    sheet.set(
        "What follows, by the numbers above",
        Point::new(EDGE_MM, top),
        TEXT_MM,
        Weight::Bold,
    );
    top -= ROW_MM;
    for sum in sums(square) {
        sheet.sum(&sum, top);
        top -= ROW_MM + UNDER_MM;
    }
    top = sheet.paragraph(&worked(square), top, "") - 0.8;
    for (i, step) in steps(square, name).iter().enumerate() {
        top = sheet.paragraph(step, top, &format!("{}. ", i + 1)) - 0.8;
    }
    Page {
        size: paper,
        title: stamp.title.clone(),
        description:
            "Where to put the calipers on the test squares, and what follows from what they find."
                .to_string(),
        layers: vec![sheet.layer],
    }
}

struct Sheet {
    layer: Layer,
    width: f64,
}

impl Sheet {
    fn set(&mut self, words: &str, at: Point, height: f64, weight: Weight) {
        if !words.is_empty() {
            self.layer.texts.push(Text::new(words, at, height).weight(weight).set(self.width));
        }
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

    /// Both squares, the lower left corner of the large one at a point.
    fn squares(&mut self, square: &SquareProgram, view: &View, at: Point) {
        let sizes = &square.sizes;
        let shown = |length: Length| length.as_mm() * view.share;
        let [a, b, c, web] = [sizes.outside, sizes.inside, sizes.small, sizes.web()].map(shown);
        let small = at + view.small;
        self.square(at, a, Line::VisibleEdge);
        self.square(at + Vector::new(web, web), b, Line::VisibleEdge);
        self.square(small, c, Line::VisibleEdge);
        self.tabs(square, view, at);
        let mut numbered: Vec<([Point; 2], usize)> = Vec::new();
        // Across X they lie along it, across Y up.
        let places = [(at, a, 1), (at + Vector::new(web, web), b, 3), (small, c, 5)];
        for (from, side, number) in places {
            let across = side * CALIPERS;
            for (number, ends) in [
                (number, [(0.0, across), (side, across)]),
                (number + 1, [(across, 0.0), (across, side)]),
            ] {
                let ends = ends.map(|(x, y)| from + Vector::new(x, y));
                self.calipers(ends);
                numbered.push((ends, number));
            }
        }
        for (ends, number) in [([(0.0, 0.0), (a, a)], 7), ([(a, 0.0), (0.0, a)], 8)] {
            let ends = ends.map(|(x, y)| at + Vector::new(x, y));
            self.line(ends[0], ends[1], Line::Centre);
            numbered.push((ends, number));
        }
        self.axes(at, a);
        self.dots([at, small]);
        // Last, so that each keeps off all that is drawn.
        for (ends, number) in numbered {
            self.number(ends, &number.to_string());
        }
    }

    fn tabs(&mut self, square: &SquareProgram, view: &View, at: Point) {
        let program = &square.program;
        let [low, small_low] = [0, 1].map(|i| View::low(square, i));
        let reach = square.machine.tool_radius().as_mm();
        for tab in &program.tabs {
            let in_small = tab.at - small_low;
            let side = square.sizes.small.as_mm();
            let is_small =
                (0..2).all(|i| (-2.0 * reach..side + 2.0 * reach).contains(&in_small[i]));
            let (corner, outside) = match is_small {
                true => (small_low, side),
                false => (low, square.sizes.outside.as_mm()),
            };
            let middle = corner + Vector::repeat(outside / 2.0);
            let (x, y) = ((tab.at - middle).x, (tab.at - middle).y);
            let is_upright = x.abs() > y.abs();
            let half = square.machine.tool.width().as_mm().mul_add(-0.5, tab.length_mm / 2.0);
            let along = if is_upright { Vector::new(0.0, half) } else { Vector::new(half, 0.0) };
            let off = if is_upright {
                Vector::new(x.signum(), 0.0)
            } else {
                Vector::new(0.0, y.signum())
            };
            let is_outside = x.abs().max(y.abs()) > outside / 2.0;
            let (edge, out) = match is_outside {
                true => (tab.at - off * reach, off * TAB_MM),
                false => (tab.at + off * reach, off * -TAB_MM),
            };
            let (edge, along) = (at + (edge - low) * view.share, along * view.share);
            let corners = vec![edge - along, edge + along, edge + along + out, edge - along + out];
            self.layer.items.push(Item::closed(corners, Line::Hidden));
        }
    }

    /// A line across which calipers measure.
    fn calipers(&mut self, ends: [Point; 2]) {
        let [from, to] = ends;
        let along = (to - from).normalize();
        let tick = Vector::new(-along.y, along.x) * TICK_MM;
        self.line(from, to, Line::Dimension);
        for end in ends {
            self.line(end - tick, end + tick, Line::Dimension);
        }
    }

    /// The number of a line: beyond an end of it, where it stands off everything else that is
    /// drawn; else beside it, where there is most room.
    fn number(&mut self, [from, to]: [Point; 2], number: &str) {
        let centred = |middle: Point| {
            let text = Text::new(number, middle - Vector::new(0.0, FIGURE_MM / 2.0), FIGURE_MM);
            Text { anchor: Anchor::Middle, ..text.weight(Weight::Bold) }
        };
        let along = (to - from).normalize();
        let beside = Vector::new(-along.y, along.x) * BESIDE_MM;
        let size = centred(from).bounds();
        let half = along.x.abs() * size.width() / 2.0 + along.y.abs() * size.height() / 2.0;
        let beyond = along * (half + OFF_MM + 0.1);
        let places = (0..=PLACES).flat_map(|i| {
            // From the middle to both ends in turn.
            let off = f64::from((i + 1) / 2) / f64::from(PLACES) * 0.9;
            let at = from + (to - from) * if i % 2 == 0 { 0.5 + off } else { 0.5 - off };
            [at + beside, at - beside]
        });
        let mut best: Option<(f64, Text)> = None;
        for text in [to + beyond, from - beyond].into_iter().chain(places).map(centred) {
            let room = self.room_round(&text).min(OFF_MM);
            if best.as_ref().is_none_or(|(most, _)| room > *most + 1e-9) {
                best = Some((room, text));
            }
        }
        self.layer.texts.extend(best.map(|(_, text)| text));
    }

    /// How far a text stands off all that is drawn and written, in mm; 0 where it is on something.
    fn room_round(&self, text: &Text) -> f64 {
        let own = text.bounds();
        let strokes = self.layer.items.iter().filter_map(|item| match item {
            Item::Stroke { path, .. } => Some(path.points()),
            Item::Fill { .. } => None,
        });
        let off_strokes = strokes.flat_map(|points| {
            points.windows(2).map(|of| off([of[0], of[1]], own)).collect::<Vec<_>>()
        });
        let middle = own.min + (own.max - own.min) / 2.0;
        let half = (own.max - own.min).norm() / 2.0;
        let off_texts = self.layer.texts.iter().map(|of| of.bounds().distance(middle) - half);
        off_strokes.chain(off_texts).fold(f64::INFINITY, f64::min).max(0.0)
    }

    /// A dot in the lower left corner of each square, and what it is for.
    fn dots(&mut self, corners: [Point; 2]) {
        for corner in corners {
            let center = corner + DOT_OFF;
            let path = Path::Arc { center, radius: DOT_MM, from_deg: 0.0, sweep_deg: 360.0 };
            self.layer.items.push(Item::Stroke { path, line: Line::VisibleEdge });
        }
        let words = corners[0] + Vector::new(-4.0, -12.0);
        self.set(DOT, words, TEXT_MM, Weight::Regular);
        let from = words + Vector::new(0.5, TEXT_MM + 0.8);
        let dot = corners[0] + DOT_OFF;
        let along = (dot - from).normalize();
        let (tip, across) = (dot - along * (DOT_MM + 0.6), Vector::new(-along.y, along.x));
        self.line(from, tip, Line::Dimension);
        for turn in [0.6, -0.6] {
            self.line(tip, tip - along * 2.0 + across * turn, Line::Dimension);
        }
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
    }

    /// Room to write into, with what stands before it.
    fn room(&mut self, before: &str, at: Point) {
        self.set(before, at, FIGURE_MM, Weight::Bold);
        let low = at + Vector::new(5.0, -1.8);
        let (wide, high) = BOX_MM;
        let corners = [(0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high)];
        let corners = corners.map(|(x, y)| low + Vector::new(x, y));
        self.layer.items.push(Item::closed(corners.to_vec(), Line::Rule));
    }

    /// One figure along both axes.
    fn taken(&mut self, taken: &Taken, top: f64) {
        let at = |right: f64| Point::new(EDGE_MM + right, top);
        let [asked, x, y] = FIGURES_MM;
        self.set(taken.what, at(0.0), TEXT_MM, Weight::Regular);
        self.set(&taken.asked, at(asked), TEXT_MM, Weight::Regular);
        self.room(&taken.numbers[0].to_string(), at(x));
        self.room(&taken.numbers[1].to_string(), at(y));
    }

    /// One thing that follows, and where it goes.
    fn sum(&mut self, sum: &Sum, top: f64) {
        let at = |right: f64| Point::new(EDGE_MM + right, top);
        let [x, x_room, y, y_room] = SUMS_MM;
        self.set(sum.what, at(0.0), TEXT_MM, Weight::Bold);
        self.set(&sum.how[0], at(x), TEXT_MM, Weight::Regular);
        self.room("", at(x_room - 5.0));
        self.set(&sum.how[1], at(y), TEXT_MM, Weight::Regular);
        self.room("", at(y_room - 5.0));
        let goes = format!("{} if all is well. {}", sum.right, sum.goes);
        let below = Point::new(EDGE_MM + 8.0, top - UNDER_MM - 1.4);
        self.set(&goes, below, TEXT_MM, Weight::Regular);
    }
}

/// How far a straight stroke stands off a box; 0 where it comes into it.
fn off([from, to]: [Point; 2], of: Bounds) -> f64 {
    if inside(from, to, of).is_some() {
        return 0.0;
    }
    let stroke = Segment::Line { from, to };
    let off_corners = of.corners().map(|corner| distance_to_segment(corner, &stroke));
    off_corners
        .into_iter()
        .chain([from, to].map(|end| of.distance(end)))
        .fold(f64::INFINITY, f64::min)
}

/// How the squares are shown.
struct View {
    /// The share of their size.
    share: f64,
    /// From the lower left corner of the large one to that of the small one, on the paper.
    small: Vector,
    /// What both take of the paper.
    extent: (f64, f64),
}

impl View {
    fn of(square: &SquareProgram) -> Self {
        let pieces = &square.program.pieces;
        let apart = pieces[1].placement.translation.vector - pieces[0].placement.translation.vector;
        let [a, c] = [square.sizes.outside, square.sizes.small].map(Length::as_mm);
        let (wide, high) = (a.max(apart.x + c), a.max(apart.y + c));
        let share = SHOWN.min(HIGHEST_MM / high);
        Self { share, small: apart * share, extent: (wide * share, high * share) }
    }

    /// The lower left corner of a square in the stock frame.
    fn low(square: &SquareProgram, piece: usize) -> Point {
        square.program.pieces[piece].placement * Point::origin()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cam::plan::plan_square;
    use crate::output::page::assert_laid_out;
    use crate::output::square::stamp;
    use crate::profile::{Machine, Material, embedded};

    /// The eight numbers of the squares: on no line, and next to none but their own.
    fn numbers_stand_off_all_lines(page: &Page, name: &str) {
        let layer = &page.layers[0];
        let is_number =
            |of: &&Text| of.anchor == Anchor::Middle && of.content.parse::<u8>().is_ok();
        let numbers: Vec<&Text> = layer.texts.iter().filter(is_number).collect();
        assert_eq!(numbers.len(), 8, "{name}");
        for number in numbers {
            for item in layer.items.iter() {
                let Item::Stroke { path, .. } = item else { continue };
                for of in path.points().windows(2) {
                    let off = off([of[0], of[1]], number.bounds());
                    assert!(off > 0.5, "{name}: {} stands {off} off {of:?}", number.content);
                }
            }
        }
    }

    #[test]
    fn every_word_of_the_page_stands_on_the_paper_and_on_no_other() {
        let source = |kind: &str, name: &str| embedded(Some(kind), name).unwrap();
        for (name, paper) in [
            ("router-table", Size::LETTER),
            ("router-metric", Size::A4),
            ("laser", Size::A4),
            ("router-two-cutters", Size::LETTER),
        ] {
            let of = source("machine", name);
            let machine = Machine::read(name, &of.file, &of.text).unwrap();
            let of = source("material", "hardboard-3");
            let material = Material::read("hardboard-3", &of.file, &of.text).unwrap();
            // One beside the other, and one over the other where the table is longer along Y.
            let mut upright = machine.clone();
            upright.travel = [Length::mm(190.0), Length::mm(600.0), machine.travel[2]];
            let mut shapes = Vec::new();
            for machine in [&machine, &upright] {
                let square =
                    plan_square(machine, &material).unwrap_or_else(|r| panic!("{name} {r:?}"));
                let page =
                    page(&square.value, &stamp(&square.value), paper, "./my-own-router.toml");
                assert_laid_out(std::slice::from_ref(&page));
                numbers_stand_off_all_lines(&page, name);
                shapes.push(View::of(&square.value).small.x > 0.0);
            }
            assert_eq!(shapes, [true, false], "{name}");
        }
    }
}
