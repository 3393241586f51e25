//! Pages as a PDF (ISO 32000-1), through a general-purpose writer of the format.

use pdf_writer::types::{LineCapStyle, TextRenderingMode};
use pdf_writer::{Content, Finish, Name, Pdf, Rect, Ref, Str, TextStr};

use super::face::{self, CAPITAL_EM, check, codes, set_width};
use super::{Ink, Item, Line, Page, Text, Weight};
use crate::geometry::Point;
use crate::geometry::stroke_font::UnknownCharacter;
use crate::output::Stamp;

/// Points of the format in a millimetre: 72 to the inch.
const POINTS_PER_MM: f64 = 72.0 / 25.4;

/// The pages as a PDF that asks to be printed without scaling. Same pages, same bytes: no clock, no
/// id. A character that the face has not becomes `?`, those of the title excepted.
///
/// # Errors
/// The first character of the stamp's title that the face has not.
pub fn pdf(stamp: &Stamp, pages: &[Page]) -> Result<Vec<u8>, UnknownCharacter> {
    check(&stamp.title)?;
    // Whose it is stands on every page, whatever is printed.
    let pages: Vec<Page> = pages.iter().map(|page| page.clone().signed(&stamp.whose)).collect();
    let pages = &pages[..];
    let mut pdf = Pdf::new();
    let (catalog, tree, info) = (Ref::new(1), Ref::new(2), Ref::new(3));
    let page_ref = |i: usize| Ref::new(4 + 2 * i as i32);
    let content_ref = |i: usize| Ref::new(5 + 2 * i as i32);
    let mut next = page_ref(pages.len());
    let fonts: Vec<(Weight, Ref)> =
        weights(pages).into_iter().map(|weight| (weight, next.bump())).collect();
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
        written
            .media_box(Rect::new(0.0, 0.0, points(page.size.width_mm), points(page.size.height_mm)))
            .parent(tree);
        written.contents(content_ref(i));
        let mut resources = written.resources();
        resources.fonts().pairs(fonts.iter().map(|(weight, id)| (face::name(*weight), *id)));
        resources.finish();
        written.finish();
        pdf.stream(content_ref(i), &content(page));
    }
    fonts.iter().for_each(|(weight, id)| face::write(&mut pdf, *id, *weight));
    Ok(pdf.finish())
}

/// Whether bytes are a document that [`pdf`] wrote and nobody saved again: whoever adds to one,
/// adds a cross-reference of its own, and who writes it anew says so.
pub fn is_own_pdf(bytes: &[u8]) -> bool {
    let count = |part: &[u8]| bytes.windows(part.len()).filter(|window| *window == part).count();
    bytes.starts_with(b"%PDF-")
        && count(b"/Creator (seatcut ") == 1
        && count(b"startxref") == 1
        && count(b"/Producer") == 0
}

/// The weights that the pages use.
fn weights(pages: &[Page]) -> Vec<Weight> {
    let is_used = |weight: &Weight| pages.iter().flat_map(Page::texts).any(|t| t.weight == *weight);
    [Weight::Regular, Weight::Bold].into_iter().filter(is_used).collect()
}

fn content(page: &Page) -> Vec<u8> {
    let mut content = Content::new();
    content.set_line_cap(LineCapStyle::RoundCap);
    for layer in &page.layers {
        content.save_state();
        if let Some(window) = layer.window {
            let [x, y, w, h] =
                [window.min.x, window.min.y, window.width(), window.height()].map(points);
            content.rect(x, y, w, h).clip_nonzero().end_path();
        }
        let mut held = None;
        for item in &layer.items {
            draw(&mut content, &mut held, item);
        }
        write(&mut content, &layer.texts);
        content.restore_state();
    }
    content.finish().to_vec()
}

/// What is drawn with: set only where what was drawn before did not.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Held {
    Line(Line),
    Fill(Ink),
}

fn draw(content: &mut Content, held: &mut Option<Held>, item: &Item) {
    let (held_now, points) = match item {
        Item::Stroke { path, line } => (Held::Line(*line), path.points()),
        Item::Fill { corners, ink } => (Held::Fill(*ink), corners.clone()),
    };
    if *held != Some(held_now) {
        *held = Some(held_now);
        take(content, held_now);
    }
    trace(content, &points);
    match held_now {
        Held::Line(_) => content.stroke(),
        Held::Fill(_) => content.close_path().fill_nonzero(),
    };
}

fn take(content: &mut Content, held: Held) {
    match held {
        Held::Fill(ink) => {
            let [r, g, b] = color(ink);
            content.set_fill_rgb(r, g, b);
        }
        Held::Line(line) => {
            let [r, g, b] = color(line.ink());
            content.set_stroke_rgb(r, g, b).set_line_width(points(line.width_mm()));
            content.set_dash_pattern(line.dashes_mm().iter().map(|mm| points(*mm)), 0.0);
        }
    }
}

fn trace(content: &mut Content, path: &[Point]) {
    for (i, p) in path.iter().enumerate() {
        let (x, y) = (points(p.x), points(p.y));
        if i == 0 {
            content.move_to(x, y)
        } else {
            content.line_to(x, y)
        };
    }
}

fn write(content: &mut Content, texts: &[Text]) {
    if texts.is_empty() {
        return;
    }
    let [r, g, b] = color(Ink::Black);
    content.set_fill_rgb(r, g, b);
    content.begin_text();
    content.set_text_rendering_mode(TextRenderingMode::Fill);
    for text in texts {
        let letters = Letters::of(text);
        let (sin, cos) = text.turn_deg.to_radians().sin_cos();
        let squeeze = letters.squeeze;
        let [a, b, c, d] = [squeeze * cos, squeeze * sin, -sin, cos].map(rounded);
        content.set_font(face::name(text.weight), points(text.height_mm / CAPITAL_EM));
        content.set_text_matrix([a, b, c, d, points(letters.at.x), points(letters.at.y)]);
        content.show(Str(&codes(&text.content)));
    }
    content.end_text();
}

/// Where the letters of a text stand.
struct Letters {
    /// Left end of the baseline.
    at: Point,
    /// Their width as a share of their own.
    squeeze: f64,
}

impl Letters {
    /// They take no more room than the page left for the text.
    fn of(text: &Text) -> Self {
        let own = set_width(&text.content, text.height_mm, text.weight);
        let taken = own.min(text.width_mm());
        let squeeze = if own > 0.0 { taken / own } else { 1.0 };
        Self { at: text.placement() * Point::new(text.left_of(taken), 0.0), squeeze }
    }
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

#[cfg(test)]
mod tests {
    use super::super::{Anchor, Layer, Size};
    use super::*;
    use crate::GARDEN_STEPS as STARTER;
    use crate::job::read_job;
    use crate::pipeline::workup::Workup;

    #[test]
    fn the_letters_stay_in_the_room_that_the_page_left_for_them() {
        for anchor in [Anchor::Start, Anchor::Middle, Anchor::End] {
            for turn_deg in [0.0, 36.9, 90.0, -90.0] {
                for content in ["7 5/16+ in (186.4 mm)", "illi", "WWW", "10\u{b0}"] {
                    let text = Text {
                        anchor,
                        turn_deg,
                        ..Text::new(content, Point::new(50.0, 50.0), 2.5)
                    };
                    let letters = Letters::of(&text);
                    let own = set_width(content, text.height_mm, text.weight);
                    let taken = own * letters.squeeze;
                    let set = Text {
                        anchor: Anchor::Start,
                        at: letters.at,
                        set_mm: Some(taken),
                        ..text.clone()
                    };
                    let (room, taken) = (text.bounds(), set.bounds());
                    let slack = 1e-6;
                    assert!(
                        taken.min.x > room.min.x - slack && taken.max.x < room.max.x + slack,
                        "{content} {turn_deg}"
                    );
                    assert!(
                        taken.min.y > room.min.y - slack && taken.max.y < room.max.y + slack,
                        "{content} {turn_deg}"
                    );
                }
            }
        }
    }

    #[test]
    fn only_the_title_must_have_letters_for_every_character() {
        let job = read_job("job", STARTER, &|name: &str| panic!("{name}")).unwrap();
        let stamp = Stamp::of(&Workup::of(&job));
        let texts = vec![Text::new("\u{2603}ber", Point::origin(), 2.5)];
        let layers = vec![Layer { texts, ..Layer::default() }];
        let page =
            Page { size: Size::A4, title: "Steps".to_string(), description: String::new(), layers };
        let bytes = pdf(&stamp, std::slice::from_ref(&page)).unwrap();
        assert!(bytes.windows(6).any(|part| part == b"(?ber)"));
        let unknown =
            pdf(&Stamp { title: "Treppe \u{2603}".to_string(), ..stamp }, &[page]).unwrap_err();
        assert_eq!(unknown, UnknownCharacter('\u{2603}'));
    }
}
