//! A label for every piece: its number, whose it is, where it comes from. As a table for a printer
//! of labels, and on pages of paper in two columns.

use super::content::size;
use super::csv::{Table, text};
use super::page::{Anchor, Item, Layer, Line, Page, Size, Text, Weight, corners, fit, wrap_set};
use crate::geometry::{Bounds, Point, Vector};
use crate::pipeline::set::{CutOf, NumberedPiece, Set};
use crate::units::trimmed;

/// One label.
struct Label<'a> {
    number: String,
    piece: &'a NumberedPiece,
    /// The sheet or board that it is cut from.
    stock: usize,
}

impl Label<'_> {
    fn is_of(&self) -> &'static str {
        match self.piece.from {
            CutOf::Sheet => "sheet",
            CutOf::Board => "board",
        }
    }

    /// Which of how many sheets or boards.
    fn from(&self) -> String {
        let name = self.piece.board.as_ref().map(|name| format!(" \"{name}\"")).unwrap_or_default();
        let offcut = if self.piece.of_offcut { ", an offcut" } else { "" };
        format!("{} {} of {}{name}{offcut}", self.is_of(), self.stock, self.piece.of)
    }

    /// Which of them, for the table, which has a column for how many.
    fn stock(&self) -> String {
        let offcut = if self.piece.of_offcut { " (offcut)" } else { "" };
        format!("{} {}{offcut}", self.is_of(), self.stock)
    }
}

fn labels(pieces: &[NumberedPiece]) -> Vec<Label<'_>> {
    let each = |piece| {
        let of =
            move |stock| Label { number: NumberedPiece::number_on(piece, stock), piece, stock };
        piece.stock().map(of)
    };
    let mut all: Vec<Label<'_>> = pieces.iter().flat_map(each).collect();
    // As they come off the machine: sheet by sheet.
    all.sort_by_key(|label| (label.piece.from == CutOf::Board, label.stock, label.piece.place));
    all
}

const COLUMNS: [&str; 15] = [
    "number",
    "order",
    "customer",
    "due",
    "job",
    "part",
    "length_mm",
    "width_mm",
    "size",
    "material",
    "from",
    "of",
    "order_title",
    "note",
    "weight_kg",
];

/// The labels as comma-separated values, a line for every piece.
pub fn to_csv(set: &Set) -> String {
    let pieces = set.numbered();
    let given = |of: &Option<String>| text(of.as_deref().unwrap_or_default());
    let mut table = Table::of(&COLUMNS);
    for label in labels(&pieces) {
        let (piece, job) = (label.piece, set.members[label.piece.member].job());
        let line = set.line_of(piece.member);
        table.row([
            label.number.clone(),
            given(&line.number),
            given(&line.customer),
            given(&line.due),
            text(&job.title),
            text(&piece.part),
            trimmed(piece.length.as_mm(), 2),
            trimmed(piece.width.as_mm(), 2),
            text(&size(piece)),
            text(&job.cut.material.name),
            label.stock(),
            piece.of.to_string(),
            given(&line.title),
            given(&line.note),
            piece.weight_kg.map_or(String::new(), |kg| trimmed(kg, 2)),
        ]);
    }
    table.text()
}

/// Labels on a page: columns and rows.
const ACROSS: usize = 2;
const DOWN: usize = 7;
/// What printers leave free, and what a label's words keep from its edge (common practice, no
/// source).
const EDGE_MM: f64 = 10.0;
const PAD_MM: f64 = 4.0;
/// Heights of capitals: the number, everything else.
const NUMBER_MM: f64 = 6.5;
const WORDS_MM: f64 = 2.5;
/// Lines that a title may take.
const TITLE_LINES: usize = 2;
/// From one base line to the next.
const LINE_MM: f64 = 4.3;

/// The labels on pages, to be cut apart along the lines.
pub fn pages(set: &Set, paper: Size) -> Vec<Page> {
    let pieces = set.numbered();
    let labels = labels(&pieces);
    labels.chunks(ACROSS * DOWN).map(|some| page(set, some, paper)).collect()
}

fn page(set: &Set, labels: &[Label<'_>], paper: Size) -> Page {
    let wide = (paper.width_mm - 2.0 * EDGE_MM) / ACROSS as f64;
    let tall = (paper.height_mm - 2.0 * EDGE_MM) / DOWN as f64;
    let mut layer = Layer::default();
    for (i, label) in labels.iter().enumerate() {
        let (column, row) = ((i % ACROSS) as f64, (i / ACROSS) as f64);
        let corner =
            Point::new(EDGE_MM + column * wide, paper.height_mm - EDGE_MM - (row + 1.0) * tall);
        let bounds = Bounds { min: corner, max: corner + Vector::new(wide, tall) };
        layer.items.push(Item::closed(corners(&bounds), Line::Dimension));
        layer.texts.extend(words(set, label, &bounds));
    }
    Page {
        size: paper,
        title: "Labels".to_string(),
        description: "A label for every piece.".to_string(),
        layers: vec![layer],
    }
}

/// The words of a label: its number, beside it the order's and when it is due, below it the job,
/// the part, the customer and the stock. What is longer than its room ends in dots, and stands
/// whole in the table.
fn words(set: &Set, label: &Label<'_>, bounds: &Bounds) -> Vec<Text> {
    let job = set.members[label.piece.member].job();
    let line = set.line_of(label.piece.member);
    let room = bounds.width() - 2.0 * PAD_MM;
    let [left, right] = [bounds.min.x + PAD_MM, bounds.max.x - PAD_MM];
    let top = bounds.max.y - PAD_MM - NUMBER_MM;
    let number = Text::new(&*label.number, Point::new(left, top), NUMBER_MM).weight(Weight::Bold);
    let beside = room - number.width_mm() - PAD_MM;
    let mut texts = vec![number];
    let dated = [
        line.number.map(|number| format!("order {number}")),
        line.due.map(|due| format!("due {due}")),
    ];
    for (i, words) in dated.into_iter().flatten().enumerate() {
        let at = Point::new(right, top + NUMBER_MM - WORDS_MM - LINE_MM * i as f64);
        let words = fit(&words, beside, WORDS_MM, Weight::Regular);
        texts.push(Text { anchor: Anchor::End, ..Text::new(words, at, WORDS_MM) });
    }
    let plain = [
        Some(format!("{}, {}", label.piece.part, size(label.piece))),
        line.customer.map(|customer| format!("for {customer}")),
        Some(format!("{}, {}", label.from(), job.cut.material.name)),
    ];
    let bold = titled(&job.title, room).into_iter().map(|line| (line, Weight::Bold));
    let plain = plain.into_iter().flatten().map(|line| (line, Weight::Regular));
    for (i, (line, weight)) in bold.chain(plain).enumerate() {
        let at = Point::new(left, top - 1.0 - LINE_MM * (i + 1) as f64);
        texts.push(Text::new(fit(&line, room, WORDS_MM, weight), at, WORDS_MM).weight(weight));
    }
    texts
}

/// A title in as many lines as it may take, the rest of it in the last.
fn titled(title: &str, room: f64) -> Vec<String> {
    let mut lines = wrap_set(title, room, WORDS_MM, Weight::Bold);
    if lines.len() > TITLE_LINES {
        let rest = lines.split_off(TITLE_LINES - 1).join(" ");
        lines.push(rest);
    }
    lines
}
