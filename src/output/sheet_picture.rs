//! A picture of a sheet: where its pieces lie, its clamps, its tabs, what is cut off, and how it
//! lies on the table.

use super::page::{Anchor, Ink, Item, Layer, Line, Page, Path, Size, Text, Weight, corners, fit};
use crate::geometry::{Bounds, Contour, Point, Vector};
use crate::pipeline::set::{SheetNumbers, SheetOffcut, SheetRun};
use crate::profile::Grain;
use crate::stair::outline::Role;
use crate::units::{Length, Tape};

/// The longer side of the picture, in mm.
const LONG_MM: f64 = 380.0;
/// Room round the sheet in the picture, in mm.
const ROOM_MM: f64 = 18.0;
/// Half the width of a tab's square, in mm.
const TAB_MM: f64 = 0.9;
/// What is narrower is no offcut worth a word, in mm.
const LEAST_LEFT_MM: f64 = 100.0;
/// Height of the letters, in mm, and the least they may have in a narrow throat.
const LETTERS_MM: f64 = 3.2;
const LEAST_LETTERS_MM: f64 = 1.4;
/// How much of a throat its letters may take.
const OF_THROAT: f64 = 0.45;
/// From one tried place of a piece's number to the next, and what it keeps from a mark, in mm.
const STEP_MM: f64 = 4.0;
const BESIDE_MM: f64 = 0.6;
/// Rows beside the middle of the throat that are tried where words are marked along it, and how far
/// one lies from the next, in heights of the letters.
const ROWS: [i32; 5] = [0, 1, -1, 2, -2];
const ROW_APART: f64 = 1.3;
/// How small the letters over the sheet may become where there are many; what is longer ends in
/// dots.
const LEAST_SHARE: f64 = 0.7;
/// Length of the grain's arrow, and of its head.
const ARROW_MM: f64 = 26.0;
const HEAD_MM: f64 = 2.4;

/// What a picture says of a sheet beside what lies on it.
#[derive(Clone, Debug)]
pub struct SheetFacts<'a> {
    /// Which sheet, of what.
    pub title: &'a str,
    /// Whose what lies on it is; empty where nobody said.
    pub whose: &'a str,
    /// Which of all sheets are cut like this.
    pub numbers: SheetNumbers,
    /// The files of the programs that are run on it, in order.
    pub programs: Vec<&'a str>,
    /// Which way the grain of the sheet runs.
    pub grain: Grain,
}

/// The picture of one layout.
pub fn sheet_picture(run: &SheetRun, facts: &SheetFacts<'_>) -> Page {
    drawn(run, facts)
}

/// What is drawn, and how large the sheet is in the picture.
struct Drawing {
    scale: f64,
    items: Vec<Item>,
    texts: Vec<Text>,
}

fn drawn(run: &SheetRun, facts: &SheetFacts<'_>) -> Page {
    let program = &run.programs.cut;
    let (length, width) = (program.stock.length.as_mm(), program.stock.width.as_mm());
    let scale = (LONG_MM - 2.0 * ROOM_MM) / length.max(width);
    let mut drawing = Drawing { scale, items: Vec::new(), texts: Vec::new() };
    let stock = Bounds { min: Point::origin(), max: Point::new(length, width) };
    drawing.items.push(Item::closed(drawing.boxed(&stock), Line::Adjacent));
    let clamps: Vec<Bounds> =
        run.clamps.iter().map(|clamp| drawing.on_paper(&clamp.place)).collect();
    drawing.offcut(&run.remnant, &clamps);
    let marks = run.programs.programs().filter_map(|program| program.marking.as_ref());
    let marked = marks.flat_map(|marking| marking.strokes.iter().cloned());
    let strokes: Vec<Vec<Point>> = marked
        .chain(program.holes.iter().map(|hole| round(hole.center, hole.radius.as_mm())))
        .map(|stroke| stroke.iter().map(|p| drawing.to_paper(*p)).collect())
        .collect();
    let mut lines = strokes.clone();
    lines.push(closed(drawing.boxed(&run.remnant)));
    for (i, placed) in program.pieces.iter().enumerate() {
        let piece = run.kinds[placed.kind].tooled.piece.placed(&placed.placement);
        let number = facts.numbers.of_place(i + 1);
        drawing.piece(&piece, &[format!("{number} {}", placed.name), number], &strokes);
        lines.push(closed(piece.vertices().into_iter().map(|p| drawing.to_paper(p)).collect()));
    }
    for (i, place) in clamps.iter().enumerate() {
        drawing.clamp(*place, &format!("clamp {}", i + 1), (&lines, drawing.on_paper(&stock)));
    }
    drawing.cuts(run);
    let size =
        Size { width_mm: length * scale + 2.0 * ROOM_MM, height_mm: width * scale + 2.0 * ROOM_MM };
    drawing.words(run, facts, size);
    Page {
        size,
        title: facts.title.to_string(),
        description: format!("{} pieces on one sheet, with their tabs.", program.pieces.len()),
        layers: vec![Layer { window: None, items: drawing.items, texts: drawing.texts }],
    }
}

impl Drawing {
    fn to_paper(&self, p: Point) -> Point {
        Point::new(ROOM_MM + p.x * self.scale, ROOM_MM + p.y * self.scale)
    }

    fn on_sheet(&self, p: Point) -> Point {
        Point::new((p.x - ROOM_MM) / self.scale, (p.y - ROOM_MM) / self.scale)
    }

    fn on_paper(&self, b: &Bounds) -> Bounds {
        Bounds { min: self.to_paper(b.min), max: self.to_paper(b.max) }
    }

    fn boxed(&self, b: &Bounds) -> Vec<Point> {
        corners(b).into_iter().map(|p| self.to_paper(p)).collect()
    }

    /// What stays of the sheet in one rectangle, its size beside the clamps that stand there.
    fn offcut(&mut self, left: &Bounds, clamps: &[Bounds]) {
        if left.width().min(left.height()) <= LEAST_LEFT_MM {
            return;
        }
        self.items.push(Item::closed(self.boxed(left), Line::Hidden));
        let [x, y] = [left.width(), left.height()].map(|mm| Tape::in_hand().reads(Length::mm(mm)));
        let at = self.to_paper(nalgebra::center(&left.min, &left.max));
        let is_upright = left.height() > left.width();
        let (turn_deg, way) = if is_upright { (90.0, Vector::y()) } else { (0.0, Vector::x()) };
        let words = format!("offcut {x} x {y}");
        let set = |by: i32| {
            let at = at + way * (f64::from(by) * STEP_MM);
            Text { turn_deg, ..centred(at, &words, LETTERS_MM) }
        };
        let room = self.on_paper(left);
        let lies_free = |text: &Text| {
            let own = boxed_in(text);
            let beside = |clamp: &Bounds| !own.touches(clamp.grown(BESIDE_MM));
            own.joined(room) == room && clamps.iter().all(beside)
        };
        let steps = (room.width().max(room.height()) / 2.0 / STEP_MM) as i32;
        let text =
            from_middle(steps).into_iter().map(set).find(lies_free).unwrap_or_else(|| set(0));
        self.texts.push(text);
    }

    /// A piece, and its number where wood is widest: between its notches and its lower edge, beside
    /// the words that are marked there and the holes. The first of the wordings that finds such a
    /// place stands there, else anywhere on the piece; where none does, the shortest stands in the
    /// middle.
    fn piece(&mut self, piece: &Contour<Role>, words: &[String; 2], marked: &[Vec<Point>]) {
        let points = piece.vertices().into_iter().map(|p| self.to_paper(p)).collect();
        self.items.push(Item::closed(points, Line::VisibleEdge));
        let bounds = piece.bounds();
        let (at, along, deep) = throat(piece).unwrap_or_else(|| {
            let across = bounds.width().min(bounds.height());
            (nalgebra::center(&bounds.min, &bounds.max), Vector::x(), across)
        });
        let room = deep * self.scale * OF_THROAT;
        let height = LETTERS_MM.min(room.max(LEAST_LETTERS_MM));
        let turn_deg = upright(along.y.atan2(along.x).to_degrees());
        let (sin, cos) = turn_deg.to_radians().sin_cos();
        let (way, up) = (Vector::new(cos, sin), Vector::new(-sin, cos));
        let middle = self.to_paper(at);
        let reach = bounds.width().max(bounds.height()) * self.scale / 2.0;
        let steps = (reach / STEP_MM) as i32;
        let moves = from_middle(steps);
        let set = |(by, row): (i32, i32), words: &str, height: f64| {
            let across = (f64::from(row) * ROW_APART - 0.5) * height;
            let at = middle + way * (f64::from(by) * STEP_MM) + up * across;
            Text { turn_deg, ..centred(at, words, height) }
        };
        let lies_free = |text: &Text| {
            // All round it: the corner of a notch may come in between two of its own.
            let [a, b, c, d] = text.corners();
            let inside =
                || along_stroke(&[a, b, c, d, a]).iter().all(|p| piece.holds(self.on_sheet(*p)));
            let half = text.width_mm() / 2.0 + BESIDE_MM;
            let meets = |p: &Point| {
                let from = p - text.at;
                let (x, y) = (from.dot(&way), from.dot(&up));
                x.abs() <= half && (-BESIDE_MM..=text.height_mm + BESIDE_MM).contains(&y)
            };
            inside() && !marked.iter().flat_map(|stroke| along_stroke(stroke)).any(|p| meets(&p))
        };
        let small = LEAST_LETTERS_MM.max(height / 2.0);
        let tried = [(&words[0], height), (&words[0], small), (&words[1], height)];
        let all_rows = from_middle((reach / (ROW_APART * small)) as i32);
        let found = |tried: &[(&String, f64)], rows: &[i32]| {
            let places = || rows.iter().flat_map(|row| moves.iter().map(move |by| (*by, *row)));
            let mut texts =
                tried.iter().flat_map(|(words, height)| places().map(|at| set(at, words, *height)));
            texts.find(&lies_free)
        };
        let text = found(&tried, &ROWS)
            .or_else(|| found(&[(&words[1], height), (&words[1], small)], &all_rows))
            .unwrap_or_else(|| set((0, 0), &words[1], height));
        self.texts.push(text);
    }

    /// A clamp with its name beside it: on the sheet, off the lines and other words, where such a
    /// side is.
    fn clamp(&mut self, place: Bounds, words: &str, (lines, sheet): (&[Vec<Point>], Bounds)) {
        self.items.push(Item::Fill { corners: corners(&place), ink: Ink::Vermillion });
        let height = LETTERS_MM * 0.8;
        let middle = nalgebra::center(&place.min, &place.max);
        let level = middle.y - LETTERS_MM * 0.35;
        let set = |x: f64, y: f64, anchor: Anchor| {
            let text = Text::new(words, Point::new(x, y), height).weight(Weight::Bold);
            Text { anchor, ..text }
        };
        let sides = [
            set(place.max.x + 1.0, level, Anchor::Start),
            set(place.min.x - 1.0, level, Anchor::End),
            set(middle.x, place.max.y + 1.0, Anchor::Middle),
            set(middle.x, place.min.y - 1.0 - height, Anchor::Middle),
        ];
        let lies_free = |text: &Text| {
            let own = boxed_in(text);
            let others = self.texts.iter().any(|of| boxed_in(of).touches(own));
            let wide = own.grown(BESIDE_MM);
            let meets = |p: Point| wide.distance(p) <= 0.0;
            let crossed = lines.iter().flat_map(|line| along_stroke(line)).any(meets);
            own.joined(sheet) == sheet && !others && !crossed
        };
        let free = sides.iter().position(lies_free).unwrap_or(0);
        let text = sides.into_iter().nth(free);
        self.texts.extend(text);
    }

    /// Holes, marks and tabs.
    fn cuts(&mut self, run: &SheetRun) {
        let program = &run.programs.cut;
        for hole in &program.holes {
            let (center, radius) = (self.to_paper(hole.center), hole.radius.as_mm() * self.scale);
            self.items.push(Item::Stroke {
                path: Path::Arc { center, radius, from_deg: 0.0, sweep_deg: 360.0 },
                line: Line::VisibleEdge,
            });
        }
        let marks = run.programs.programs().filter_map(|program| program.marking.as_ref());
        for stroke in marks.flat_map(|marking| &marking.strokes) {
            let points = stroke.iter().map(|p| self.to_paper(*p)).collect();
            self.items.push(Item::Stroke { path: Path::Open(points), line: Line::Dimension });
        }
        for tab in &program.tabs {
            let at = self.to_paper(tab.at);
            let half = Vector::new(TAB_MM, TAB_MM);
            let square = Bounds { min: at - half, max: at + half };
            self.items.push(Item::Fill { corners: corners(&square), ink: Ink::Black });
        }
    }

    /// What stands round the sheet.
    fn words(&mut self, run: &SheetRun, facts: &SheetFacts<'_>, size: Size) {
        let program = &run.programs.cut;
        let reads = |length: Length| Tape::in_hand().reads(length);
        let room = size.width_mm - 2.0 * ROOM_MM;
        let top = size.height_mm - ROOM_MM;
        let (x, y) = (reads(program.stock.length), reads(program.stock.width));
        let offcut = match run.offcut {
            Some(SheetOffcut { size: [length, width], .. }) => {
                format!("an offcut of {} x {}, lying ", reads(length), reads(width))
            }
            None => String::new(),
        };
        let second = format!(
            "{}, cut {}; {offcut}{x} by {y}",
            facts.programs.join(", then "),
            often(run.times)
        );
        let rows = [facts.title, facts.whose, &second].into_iter().filter(|row| !row.is_empty());
        for (i, words) in rows.collect::<Vec<_>>().into_iter().rev().enumerate() {
            let wide = Text::new(words, Point::origin(), LETTERS_MM).width_mm();
            let height = LETTERS_MM * (room / wide).clamp(LEAST_SHARE, 1.0);
            let words = fit(words, room, height, Weight::Regular);
            let at = Point::new(ROOM_MM, top + LETTERS_MM * (1.0 + 1.5 * i as f64));
            self.texts.push(Text::new(words, at, height));
        }
        let below = ROOM_MM - LETTERS_MM * 1.6;
        self.texts.push(Text::new("X0 Y0", Point::new(ROOM_MM, below), LETTERS_MM));
        let front = Point::new(size.width_mm / 2.0, below);
        self.texts.push(centred(front, "front edge of the table", LETTERS_MM));
        let legend = Point::new(ROOM_MM, below - LETTERS_MM * 1.7);
        let words = "X to the right, Y away from you; black squares are tabs, circles are holes";
        self.texts.push(Text::new(words, legend, LETTERS_MM * 0.8));
        let lower_right = Point::new(size.width_mm - ROOM_MM, below);
        if facts.grain != Grain::None {
            self.grain(run.lies_along, lower_right);
        }
    }

    /// The grain's arrow, level or upright, at its right end or foot.
    fn grain(&mut self, is_level: bool, at: Point) {
        let (from, to, way) = if is_level {
            let y = at.y + LETTERS_MM / 2.0;
            (Point::new(at.x - ARROW_MM, y), Point::new(at.x, y), Vector::x())
        } else {
            let (x, long) = (at.x + ROOM_MM / 2.0, ARROW_MM);
            (Point::new(x, at.y), Point::new(x, at.y + long), Vector::y())
        };
        self.items.push(Item::line(from, to, Line::VisibleEdge));
        let aside = Vector::new(-way.y, way.x);
        for (tip, way) in [(from, way), (to, -way)] {
            for side in [0.4, -0.4] {
                let barb = tip + (way + aside * side) * HEAD_MM;
                self.items.push(Item::line(tip, barb, Line::VisibleEdge));
            }
        }
        let beside = if is_level { from.x } else { at.x + ROOM_MM / 2.0 - HEAD_MM };
        let at = Point::new(beside - 2.0, at.y);
        let words = Text::new("grain", at, LETTERS_MM);
        self.texts.push(Text { anchor: Anchor::End, ..words });
    }
}

/// The middle of the strip between the inner corners of a piece's notches and its lower edge, the
/// way it runs, and how deep it is; none of a piece without them.
fn throat(piece: &Contour<Role>) -> Option<(Point, Vector, f64)> {
    let edges = piece.edges();
    let lower = edges.iter().filter(|edge| edge.role == Role::LowerEdge);
    let lower = lower.max_by(|a, b| a.segment.length().total_cmp(&b.segment.length()))?.segment;
    let along = (lower.to() - lower.from()).normalize();
    // Counter-clockwise the wood lies on the left of an edge.
    let inward = Vector::new(-along.y, along.x);
    let treads = edges.iter().filter(|edge| matches!(edge.role, Role::Tread(_)));
    let deep = treads
        .flat_map(|edge| [edge.segment.from(), edge.segment.to()])
        .map(|corner| (corner - lower.from()).dot(&inward))
        .filter(|deep| *deep > 0.0)
        .reduce(f64::min)?;
    let middle = nalgebra::center(&lower.from(), &lower.to());
    Some((middle + inward * (deep / 2.0), along, deep))
}

/// The box round a text.
fn boxed_in(text: &Text) -> Bounds {
    Bounds::around(text.corners()).expect("a text has corners")
}

/// Numbers of steps to both sides of a middle, the nearest first.
fn from_middle(most: i32) -> Vec<i32> {
    let mut all: Vec<i32> = (-most..=most).collect();
    all.sort_by_key(|by| by.abs());
    all
}

/// A ring as a stroke that ends where it begins.
fn closed(mut ring: Vec<Point>) -> Vec<Point> {
    ring.extend(ring.first().copied());
    ring
}

/// A circle as a stroke.
fn round(center: Point, radius: f64) -> Vec<Point> {
    let at = |i: u32| {
        let (sin, cos) = (f64::from(i) / 24.0 * std::f64::consts::TAU).sin_cos();
        center + Vector::new(cos, sin) * radius
    };
    (0..=24).map(at).collect()
}

/// Points along a stroke, near enough to each other that no letter lies between two.
fn along_stroke(stroke: &[Point]) -> Vec<Point> {
    let between = |pair: &[Point]| {
        let (from, way) = (pair[0], pair[1] - pair[0]);
        let steps = way.norm().ceil().max(1.0) as usize;
        (0..=steps).map(move |i| from + way * (i as f64 / steps as f64)).collect::<Vec<_>>()
    };
    stroke.windows(2).flat_map(between).collect()
}

/// A turn that is read from below or from the right.
fn upright(deg: f64) -> f64 {
    match deg {
        deg if deg > 90.5 => deg - 180.0,
        deg if deg < -89.5 => deg + 180.0,
        deg => deg,
    }
}

fn often(times: usize) -> String {
    if times == 1 { "once".to_string() } else { format!("{times} times") }
}

fn centred(at: Point, words: &str, height_mm: f64) -> Text {
    Text { anchor: Anchor::Middle, ..Text::new(words, at, height_mm) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pipeline::workup::Workup;

    #[test]
    fn a_pieces_number_stands_in_its_throat_whichever_way_it_lies() {
        let none = |name: &str| panic!("{name}");
        let job = crate::job::read_job("job", crate::job::STARTER, &none).unwrap();
        let part = Workup::of(&job).outline.unwrap().in_board_frame();
        for turn in [0.0, 0.3, 1.6, 3.2, 4.7] {
            let piece = part.placed(&nalgebra::Isometry2::new(Vector::new(50.0, 20.0), turn));
            let (at, along, deep) = throat(&piece).unwrap();
            let off = |edge: &crate::geometry::Edge<Role>| {
                let (from, to) = (edge.segment.from(), edge.segment.to());
                let way = to - from;
                let share = ((at - from).dot(&way) / way.norm_squared()).clamp(0.0, 1.0);
                (at - (from + way * share)).norm()
            };
            let nearest = piece.edges().iter().map(off).fold(f64::INFINITY, f64::min);
            assert!(nearest > deep / 2.0 - 0.5, "{turn}: {nearest} from an edge, {deep} deep");
            let deg = upright(along.y.atan2(along.x).to_degrees());
            assert!((-89.5..=90.5).contains(&deg), "{deg}");
        }
    }

    #[test]
    fn a_pieces_number_keeps_off_its_holes_and_finds_the_room_that_there_is() {
        let none = |name: &str| panic!("{name}");
        let job = crate::job::read_job("job", crate::job::STARTER, &none).unwrap();
        let piece = Workup::of(&job).outline.unwrap().in_board_frame();
        let (middle, along, deep) = throat(&piece).unwrap();
        let words = ["S1-1 stringer".to_string(), "S1-1".to_string()];
        let numbered = |marked: &[Vec<Point>]| {
            let mut drawing = Drawing { scale: 0.2, items: Vec::new(), texts: Vec::new() };
            let marked: Vec<Vec<Point>> =
                marked.iter().map(|of| of.iter().map(|p| drawing.to_paper(*p)).collect()).collect();
            drawing.piece(&piece, &words, &marked);
            let text = drawing.texts.remove(0);
            let [low, _, high, _] = text.corners();
            let is_on = |p: Point| {
                let (sin, cos) = text.turn_deg.to_radians().sin_cos();
                let turned = |v: Vector| Vector::new(v.x * cos + v.y * sin, v.y * cos - v.x * sin);
                let (at, size) = (turned(p - low), turned(high - low));
                (0.0..size.x).contains(&at.x) && (0.0..size.y).contains(&at.y)
            };
            let met = marked.iter().flatten().any(|p| is_on(*p));
            (text.content.clone(), met)
        };
        assert_eq!(numbered(&[]), (words[0].clone(), false));
        let hole = round(middle, 12.0);
        assert_eq!(numbered(&[hole]), (words[0].clone(), false));
        // The throat full of words: it stands where else there is room.
        let length = piece.bounds().width();
        let full = (-400..400).map(|i| {
            let at = middle + along * (length * f64::from(i) / 400.0);
            let up = Vector::new(-along.y, along.x) * (deep * 0.6);
            vec![at - up, at + up]
        });
        let (text, met) = numbered(&full.collect::<Vec<_>>());
        assert!(!met && text == words[1], "{text}");
    }

    #[test]
    fn a_clamps_name_stands_on_the_sheet_and_off_lines_and_the_offcuts_size_off_clamps() {
        let boxed = |x: f64, y: f64, to_x: f64, to_y: f64| Bounds {
            min: Point::new(x, y),
            max: Point::new(to_x, to_y),
        };
        let sheet = boxed(18.0, 18.0, 218.0, 118.0);
        let named = |place: Bounds, lines: &[Vec<Point>]| {
            let mut drawing = Drawing { scale: 0.1, items: Vec::new(), texts: Vec::new() };
            drawing.clamp(place, "clamp 1", (lines, sheet));
            boxed_in(&drawing.texts[0])
        };
        let middle = boxed(100.0, 60.0, 110.0, 68.0);
        assert!(named(middle, &[]).min.x > middle.max.x);
        // At the right edge it stands to the left; where a line runs there, over the clamp.
        let right = boxed(208.0, 60.0, 218.0, 68.0);
        assert!(named(right, &[]).max.x < right.min.x);
        let line = vec![Point::new(203.0, 20.0), Point::new(203.0, 116.0)];
        let crossed = named(boxed(190.0, 60.0, 198.0, 68.0), std::slice::from_ref(&line));
        assert!(crossed.max.x < 190.0, "{crossed:?}");
        let both = [line, vec![Point::new(183.0, 20.0), Point::new(183.0, 116.0)]];
        let over = named(boxed(187.0, 60.0, 199.0, 68.0), &both);
        assert!(over.min.y > 68.0 && over.max.x < 203.0 && over.min.x > 183.0, "{over:?}");
        let mut drawing = Drawing { scale: 0.1, items: Vec::new(), texts: Vec::new() };
        let left = boxed(0.0, 0.0, 400.0, 1000.0);
        let clamp = boxed(36.0, 36.0, 42.0, 44.0);
        drawing.offcut(&left, &[clamp]);
        assert!(!boxed_in(&drawing.texts[0]).touches(clamp));
    }
}
