//! Paper: strokes on pages of a true size, and the PDF that holds them.

use pdf_writer::types::LineCapStyle;
use pdf_writer::{Content, Finish, Name, Pdf, Rect, Ref, TextStr};

use super::Stamp;
use crate::geometry::{Bounds, Point};

/// Points of the format in a millimetre: 72 to the inch.
const POINTS_PER_MM: f64 = 72.0 / 25.4;

/// How a stroke is drawn, by its use on a drawing (ISO 128).
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Pen {
    /// A visible edge: continuous, wide.
    Edge,
    /// Letters, dimensions, marks: continuous, narrow.
    Narrow,
    /// The border of a neighbouring page or part: long dash, double dot, narrow.
    Neighbour,
}

impl Pen {
    /// Width in mm.
    pub fn width_mm(self) -> f64 {
        match self {
            Pen::Edge => 0.5,
            Pen::Narrow | Pen::Neighbour => 0.25,
        }
    }

    fn dashes_mm(self) -> &'static [f64] {
        match self {
            Pen::Edge | Pen::Narrow => &[],
            Pen::Neighbour => &[6.0, 1.0, 0.3, 1.0, 0.3, 1.0],
        }
    }
}

/// A run of straight strokes in mm, from the lower left of its page.
#[derive(Clone, Debug)]
pub struct Run {
    /// The points in order.
    pub points: Vec<Point>,
    /// How it is drawn.
    pub pen: Pen,
}

/// Strokes that are cut off at a box.
#[derive(Clone, Debug)]
pub struct Layer {
    /// Nothing is drawn outside it; `None`: the whole page.
    pub window: Option<Bounds>,
    /// The strokes.
    pub runs: Vec<Run>,
}

/// One page.
#[derive(Clone, Debug)]
pub struct Page {
    /// Width in mm.
    pub width_mm: f64,
    /// Height in mm.
    pub height_mm: f64,
    /// What is on it.
    pub layers: Vec<Layer>,
}

/// The pages as a PDF that asks to be printed without scaling. Same pages, same bytes: no clock, no id.
pub fn pdf(stamp: &Stamp, pages: &[Page]) -> Vec<u8> {
    let mut pdf = Pdf::new();
    let (catalog, tree, info) = (Ref::new(1), Ref::new(2), Ref::new(3));
    let page_ref = |i: usize| Ref::new(4 + 2 * i as i32);
    let content_ref = |i: usize| Ref::new(5 + 2 * i as i32);
    let mut root = pdf.catalog(catalog);
    root.pages(tree);
    root.viewer_preferences().pair(Name(b"PrintScaling"), Name(b"None"));
    root.finish();
    pdf.document_info(info)
        .title(TextStr(&stamp.title))
        .creator(TextStr(Stamp::tool()))
        .subject(TextStr(&format!("job {}", stamp.fingerprint)));
    pdf.pages(tree).kids((0..pages.len()).map(page_ref)).count(pages.len() as i32);
    for (i, page) in pages.iter().enumerate() {
        let size = [page.width_mm, page.height_mm].map(|mm| (mm * POINTS_PER_MM) as f32);
        pdf.page(page_ref(i)).media_box(Rect::new(0.0, 0.0, size[0], size[1])).parent(tree).contents(content_ref(i));
        pdf.stream(content_ref(i), &content(page));
    }
    pdf.finish()
}

fn content(page: &Page) -> Vec<u8> {
    let mut content = Content::new();
    content.set_line_cap(LineCapStyle::RoundCap);
    for layer in &page.layers {
        content.save_state();
        if let Some(window) = layer.window {
            let [x, y, w, h] = [window.min.x, window.min.y, window.width(), window.height()].map(points);
            content.rect(x, y, w, h).clip_nonzero().end_path();
        }
        for run in &layer.runs {
            draw(&mut content, run);
        }
        content.restore_state();
    }
    content.finish().to_vec()
}

fn draw(content: &mut Content, run: &Run) {
    let [first, rest @ ..] = run.points.as_slice() else { return };
    content.set_line_width(points(run.pen.width_mm()));
    content.set_dash_pattern(run.pen.dashes_mm().iter().map(|mm| points(*mm)), 0.0);
    content.move_to(points(first.x), points(first.y));
    for p in rest {
        content.line_to(points(p.x), points(p.y));
    }
    content.stroke();
}

fn points(mm: f64) -> f32 {
    (mm * POINTS_PER_MM) as f32
}
