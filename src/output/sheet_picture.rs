//! A picture of a sheet: where its pieces lie, its clamps, its tabs, and what stays.

use super::page::{Anchor, Ink, Item, Layer, Line, Page, Path, Size, Text, corners, to_svg};
use crate::geometry::{Bounds, Point, Vector};
use crate::pipeline::set::SheetRun;
use crate::units::Length;

/// The longer side of the picture, in mm.
const LONG_MM: f64 = 380.0;
/// Room round the sheet in the picture, in mm.
const ROOM_MM: f64 = 18.0;
/// Half the width of a tab's square, in mm.
const TAB_MM: f64 = 0.9;
/// What is narrower is no remnant worth a word, in mm.
const LEAST_LEFT_MM: f64 = 100.0;
/// Height of the letters, in mm.
const LETTERS_MM: f64 = 3.2;

/// The picture of one layout as SVG.
pub fn sheet_picture(run: &SheetRun, title: &str) -> String {
    to_svg(&drawn(run, title))
}

fn drawn(run: &SheetRun, title: &str) -> Page {
    let program = &run.programs.cut;
    let (length, width) = (program.stock.length.as_mm(), program.stock.width.as_mm());
    let scale = (LONG_MM - 2.0 * ROOM_MM) / length.max(width);
    let to_paper = |p: Point| Point::new(ROOM_MM + p.x * scale, ROOM_MM + p.y * scale);
    let boxed = |b: &Bounds| corners(b).into_iter().map(to_paper).collect::<Vec<_>>();
    let stock = Bounds { min: Point::origin(), max: Point::new(length, width) };
    let mut texts = Vec::new();
    let mut items = vec![Item::closed(boxed(&stock), Line::Adjacent)];
    for clamp in &run.clamps {
        items.push(Item::Fill { corners: boxed(&clamp.place), ink: Ink::Vermillion });
    }
    if run.remnant.width().min(run.remnant.height()) > LEAST_LEFT_MM {
        items.push(Item::closed(boxed(&run.remnant), Line::Hidden));
        let size = format!(
            "left: {} x {}",
            Length::mm(run.remnant.width()),
            Length::mm(run.remnant.height())
        );
        let at = to_paper(nalgebra::center(&run.remnant.min, &run.remnant.max));
        let turn_deg = if run.remnant.height() > run.remnant.width() { 90.0 } else { 0.0 };
        texts.push(Text { turn_deg, ..centred(at, &size) });
    }
    let mut masks: Vec<Item> = Vec::new();
    for (i, placed) in program.pieces.iter().enumerate() {
        let piece = run.kinds[placed.kind].tooled.piece.placed(&placed.placement);
        items.push(Item::closed(
            piece.vertices().into_iter().map(to_paper).collect(),
            Line::VisibleEdge,
        ));
        let bounds = piece.bounds();
        let label = centred(
            to_paper(nalgebra::center(&bounds.min, &bounds.max)),
            &format!("{} {}", i + 1, placed.name),
        );
        masks.push(Item::Fill { corners: label.corners().to_vec(), ink: Ink::Paper });
        texts.push(label);
    }
    for hole in &program.holes {
        let (center, radius) = (to_paper(hole.center), hole.radius.as_mm() * scale);
        items.push(Item::Stroke {
            path: Path::Arc { center, radius, from_deg: 0.0, sweep_deg: 360.0 },
            line: Line::VisibleEdge,
        });
    }
    let marks = run.programs.programs().filter_map(|program| program.marking.as_ref());
    for stroke in marks.flat_map(|marking| &marking.strokes) {
        let points = stroke.iter().map(|p| to_paper(*p)).collect();
        items.push(Item::Stroke { path: Path::Open(points), line: Line::Dimension });
    }
    for tab in &program.tabs {
        let at = to_paper(tab.at);
        let corner = |x: f64, y: f64| at + Vector::new(x, y) * TAB_MM;
        let corners =
            vec![corner(-1.0, -1.0), corner(1.0, -1.0), corner(1.0, 1.0), corner(-1.0, 1.0)];
        items.push(Item::Fill { corners, ink: Ink::Black });
    }
    items.extend(masks);
    let head = format!(
        "{title}: {} by {}, cut {}",
        program.stock.length,
        program.stock.width,
        often(run.times)
    );
    let top = Point::new(ROOM_MM, ROOM_MM + width * scale + LETTERS_MM * 1.5);
    texts.push(Text::new(head, top, LETTERS_MM));
    let origin = to_paper(Point::origin()) - Vector::new(0.0, LETTERS_MM * 1.6);
    texts.push(Text::new(
        "X0 Y0, X to the right; black squares are tabs, circles are holes",
        origin,
        LETTERS_MM,
    ));
    Page {
        size: Size {
            width_mm: length * scale + 2.0 * ROOM_MM,
            height_mm: width * scale + 2.0 * ROOM_MM,
        },
        title: title.to_string(),
        description: format!("{} pieces on one sheet, with their tabs.", program.pieces.len()),
        layers: vec![Layer { window: None, items, texts }],
    }
}

fn often(times: usize) -> String {
    if times == 1 { "once".to_string() } else { format!("{times} times") }
}

fn centred(at: Point, words: &str) -> Text {
    Text { anchor: Anchor::Middle, ..Text::new(words, at, LETTERS_MM) }
}
