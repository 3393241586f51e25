//! Pages as a PDF (ISO 32000-1), through a general-purpose writer of the format.

use std::collections::BTreeSet;

use pdf_writer::types::{LineCapStyle, TextRenderingMode};
use pdf_writer::{Content, Finish, Name, Pdf, Rect, Ref, Str, TextStr};

use super::font::{Font, codes};
use super::{Page, Pen, Run, Words};
use crate::export::Stamp;
use crate::export::sheet::{Ink, Weight};

/// Points of the format in a millimetre: 72 to the inch.
const POINTS_PER_MM: f64 = 72.0 / 25.4;

/// The pages as a PDF that asks to be printed without scaling. Same pages, same bytes: no clock, no id.
pub fn pdf(stamp: &Stamp, pages: &[Page]) -> Vec<u8> {
    let mut pdf = Pdf::new();
    let (catalog, tree, info) = (Ref::new(1), Ref::new(2), Ref::new(3));
    let page_ref = |i: usize| Ref::new(4 + 2 * i as i32);
    let content_ref = |i: usize| Ref::new(5 + 2 * i as i32);
    let mut next = page_ref(pages.len());
    let fonts: Vec<(Font, Ref)> = fonts(pages).into_iter().map(|font| (font, next.bump())).collect();
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
        let mut written = pdf.page(page_ref(i));
        written.media_box(Rect::new(0.0, 0.0, points(page.width_mm), points(page.height_mm))).parent(tree);
        written.contents(content_ref(i));
        let mut resources = written.resources();
        resources.fonts().pairs(fonts.iter().map(|(font, id)| (Font::name(font.weight), *id)));
        resources.finish();
        written.finish();
        pdf.stream(content_ref(i), &content(page));
    }
    fonts.iter().for_each(|(font, id)| font.write(&mut pdf, *id, &mut next));
    pdf.finish()
}

/// Whether bytes are a document that [`pdf`] wrote and nobody saved again: whoever adds to one, adds an end of its own, and
/// who writes it anew says so.
pub fn is_own_pdf(bytes: &[u8]) -> bool {
    let count = |part: &[u8]| bytes.windows(part.len()).filter(|window| *window == part).count();
    bytes.starts_with(b"%PDF-") && count(b"/Creator (seatcut ") == 1 && count(b"%%EOF") == 1 && count(b"/Producer") == 0
}

/// The fonts that the pages use, each with the letters they use.
fn fonts(pages: &[Page]) -> Vec<Font> {
    let words = || pages.iter().flat_map(|page| &page.layers).flat_map(|layer| &layer.words);
    let font = |weight: Weight| {
        let texts = words().filter(|words| words.weight == weight);
        let codes: BTreeSet<u8> = texts.flat_map(|words| codes(words.content())).collect();
        (!codes.is_empty()).then_some(Font { weight, codes })
    };
    [Weight::Regular, Weight::Bold].into_iter().filter_map(font).collect()
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
        let mut pen = None;
        for run in &layer.runs {
            take(&mut content, &mut pen, run.pen);
            draw(&mut content, run);
        }
        write(&mut content, &layer.words);
        content.restore_state();
    }
    content.finish().to_vec()
}

/// Sets what the pen before did not.
fn take(content: &mut Content, held: &mut Option<Pen>, pen: Pen) {
    if *held == Some(pen) {
        return;
    }
    *held = Some(pen);
    let [r, g, b] = color(pen.ink());
    if let Pen::Filled(_) = pen {
        content.set_fill_rgb(r, g, b);
        return;
    }
    content.set_stroke_rgb(r, g, b);
    content.set_line_width(points(pen.width_mm()));
    content.set_dash_pattern(pen.dashes_mm().iter().map(|mm| points(*mm)), 0.0);
}

fn draw(content: &mut Content, run: &Run) {
    let [first, rest @ ..] = run.points.as_slice() else { return };
    content.move_to(points(first.x), points(first.y));
    for p in rest {
        content.line_to(points(p.x), points(p.y));
    }
    match run.pen {
        Pen::Filled(_) => content.close_path().fill_nonzero(),
        _ => content.stroke(),
    };
}

fn write(content: &mut Content, words: &[Words]) {
    if words.is_empty() {
        return;
    }
    let [r, g, b] = color(Ink::Black);
    content.set_stroke_rgb(r, g, b);
    content.begin_text();
    content.set_text_rendering_mode(TextRenderingMode::Fill);
    for line in words {
        let (sin, cos) = line.turn_deg.to_radians().sin_cos();
        let squeeze = line.squeeze;
        let [a, b, c, d] = [squeeze * cos, squeeze * sin, -sin, cos].map(rounded);
        content.set_font(Font::name(line.weight), points(line.height_mm));
        content.set_text_matrix([a, b, c, d, points(line.at.x), points(line.at.y)]);
        content.show(Str(&codes(line.content())));
    }
    content.end_text();
}

fn color(ink: Ink) -> [f32; 3] {
    ink.rgb().map(|part| rounded(f64::from(part) / 255.0))
}

fn points(mm: f64) -> f32 {
    rounded(mm * POINTS_PER_MM)
}

/// To a ten-thousandth: of a point, 0.00004 mm.
fn rounded(value: f64) -> f32 {
    // Adding zero takes the sign off a zero.
    ((value * 1e4).round() / 1e4 + 0.0) as f32
}
