//! A label for every piece: its number, whose it is, where it comes from. As a table for a printer
//! of labels, and on pages of paper in two columns.

use super::content::{customer, size};
use super::csv::{record, text};
use super::page::{Item, Layer, Line, Page, Size, Text, Weight, corners, wrap_set};
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
    /// Which of how many sheets or boards.
    fn from(&self) -> String {
        let what = match self.piece.from {
            CutOf::Sheet => "sheet",
            CutOf::Board => "board",
        };
        format!("{what} {} of {}", self.stock, self.piece.of)
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

const COLUMNS: [&str; 12] = [
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
];

/// The labels as comma-separated values, a line for every piece.
pub fn to_csv(set: &Set) -> String {
    let pieces = set.numbered();
    let head = set.asked.order.as_ref().map(|order| &order.head);
    let of_order = |of: Option<&String>| text(of.map_or("", String::as_str));
    let mut table = record(COLUMNS.iter().map(|column| column.to_string()));
    for label in labels(&pieces) {
        let (piece, job) = (label.piece, set.members[label.piece.member].job());
        let fields = [
            label.number.clone(),
            of_order(head.and_then(|head| head.number.as_ref())),
            text(&customer(set, piece.member)),
            of_order(head.and_then(|head| head.due.as_ref())),
            text(&job.title),
            text(&piece.part),
            trimmed(piece.length.as_mm(), 2),
            trimmed(piece.width.as_mm(), 2),
            text(&size(piece)),
            text(&job.cut.material.name),
            format!(
                "{} {}",
                if piece.from == CutOf::Sheet { "sheet" } else { "board" },
                label.stock
            ),
            piece.of.to_string(),
        ];
        table.push_str(&record(fields.into_iter()));
    }
    table
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
const LINE_MM: f64 = 4.5;

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

fn words(set: &Set, label: &Label<'_>, bounds: &Bounds) -> Vec<Text> {
    let job = set.members[label.piece.member].job();
    let head = set.asked.order.as_ref().map(|order| &order.head);
    let number = head.and_then(|head| head.number.as_ref()).map(|number| format!("order {number}"));
    let due = head.and_then(|head| head.due.as_ref()).map(|due| format!("due {due}"));
    let whose = Some(customer(set, label.piece.member)).filter(|whose| !whose.is_empty());
    let order: Vec<String> = whose.into_iter().chain(number).chain(due).collect();
    let room = bounds.width() - 2.0 * PAD_MM;
    let title = wrap_set(&job.title, room, WORDS_MM, Weight::Bold);
    let plain = [
        format!("{}, {}", label.piece.part, size(label.piece)),
        order.join(", "),
        format!("{}, {}", label.from(), job.cut.material.name),
    ];
    let bold = title.into_iter().take(TITLE_LINES).map(|line| (line, Weight::Bold));
    let lines = bold.chain(plain.map(|line| (line, Weight::Regular)));
    let left = bounds.min.x + PAD_MM;
    let top = bounds.max.y - PAD_MM - NUMBER_MM;
    let mut texts =
        vec![Text::new(&*label.number, Point::new(left, top), NUMBER_MM).weight(Weight::Bold)];
    for (i, (line, weight)) in lines.enumerate() {
        let at = Point::new(left, top - 1.0 - LINE_MM * (i + 1) as f64);
        // What is longer than a line is cut off: who needs all of it has the table.
        let first = wrap_set(&line, room, WORDS_MM, weight).into_iter().next();
        texts.extend(first.map(|line| Text::new(line, at, WORDS_MM).weight(weight)));
    }
    texts
}
