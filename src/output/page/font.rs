//! The single-stroke letters as a font of the PDF (Type 3, ISO 32000-1 9.6.5): each letter is
//! written once, and the words can be searched.

use std::collections::BTreeSet;

use pdf_writer::types::{LineCapStyle, LineJoinStyle, UnicodeCmap};
use pdf_writer::{Chunk, Content, Finish, Name, Rect, Ref, Str};

use super::Weight;
use super::text::stroke;
use crate::geometry::stroke_font::strokes;

/// Height of a capital and advance of a letter in the font's own units.
const CAPITAL: f32 = 6.0;
const ADVANCE: f32 = 6.0;

/// The letters of a weight that a document uses.
pub(super) struct Font {
    pub weight: Weight,
    /// By their codes: Latin-1, which has every character of the lettering.
    pub codes: BTreeSet<u8>,
}

/// The codes of a text.
pub(super) fn codes(text: &str) -> Vec<u8> {
    text.chars().map(|c| u8::try_from(u32::from(c)).unwrap_or(b'?')).collect()
}

impl Font {
    /// The font's name among the resources of a page.
    pub(super) fn name(weight: Weight) -> Name<'static> {
        match weight {
            Weight::Regular => Name(b"R"),
            Weight::Bold => Name(b"B"),
        }
    }

    /// Writes the font as `id` and everything it needs, with references from `next` on.
    pub(super) fn write(&self, chunk: &mut Chunk, id: Ref, next: &mut Ref) {
        let (first, last) = (
            self.codes.first().copied().unwrap_or(b' '),
            self.codes.last().copied().unwrap_or(b' '),
        );
        let names: Vec<(u8, String, Ref)> =
            self.codes.iter().map(|c| (*c, format!("c{c}"), next.bump())).collect();
        let unicode = next.bump();
        let mut font = chunk.type3_font(id);
        font.bbox(Rect::new(-1.0, -1.0, ADVANCE, CAPITAL + 1.0));
        font.matrix([1.0 / CAPITAL, 0.0, 0.0, 1.0 / CAPITAL, 0.0, 0.0]);
        font.char_procs().pairs(names.iter().map(|(_, name, id)| (Name(name.as_bytes()), *id)));
        let mut encoding = font.encoding_custom();
        let mut differences = encoding.differences();
        for (code, name, _) in &names {
            differences.consecutive(*code, [Name(name.as_bytes())]);
        }
        differences.finish();
        encoding.finish();
        font.first_char(first).last_char(last).widths((first..=last).map(|_| ADVANCE));
        font.resources().finish();
        font.to_unicode(unicode);
        font.finish();
        for (code, _, id) in &names {
            chunk.stream(*id, &self.letter(*code));
        }
        chunk.stream(unicode, &self.unicode());
    }

    fn letter(&self, code: u8) -> Vec<u8> {
        let mut content = Content::new();
        content.start_color_glyph(ADVANCE);
        content.set_line_width(stroke(self.weight) as f32 * CAPITAL);
        content.set_line_cap(LineCapStyle::RoundCap).set_line_join(LineJoinStyle::RoundJoin);
        content.set_dash_pattern([], 0.0);
        // Only characters with a letter become codes.
        for line in strokes(&char::from(code).to_string(), f64::from(CAPITAL)).unwrap_or_default() {
            for (i, p) in line.iter().enumerate() {
                let (x, y) = (p.x as f32, p.y as f32);
                if i == 0 {
                    content.move_to(x, y)
                } else {
                    content.line_to(x, y)
                };
            }
            content.stroke();
        }
        content.finish().to_vec()
    }

    fn unicode(&self) -> Vec<u8> {
        let info = pdf_writer::types::SystemInfo {
            registry: Str(b"Adobe"),
            ordering: Str(b"UCS"),
            supplement: 0,
        };
        let mut map = UnicodeCmap::<u8>::new(Name(b"Letters"), info);
        self.codes.iter().for_each(|code| map.pair(*code, char::from(*code)));
        map.finish().to_vec()
    }
}
