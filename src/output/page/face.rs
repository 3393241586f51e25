//! The face of printed documents: two of the fourteen that every reader of PDF has (ISO 32000-1,
//! 9.6.2.2), set by their published widths. Its letters are those of Latin-1.

use std::collections::HashMap;
use std::sync::LazyLock;

use pdf_core_14_font_afms::{HELVETICA, HELVETICA_BOLD};
use pdf_writer::{Chunk, Name, Ref};

use super::Weight;
use crate::geometry::stroke_font::UnknownCharacter;

/// Height of a capital in ems, of both weights (`CapHeight` of the published metrics).
pub(super) const CAPITAL_EM: f64 = 0.718;

/// Advances by code, in ems.
type Advances = [f64; 256];

static REGULAR: LazyLock<Advances> = LazyLock::new(|| advances(HELVETICA));
static BOLD: LazyLock<Advances> = LazyLock::new(|| advances(HELVETICA_BOLD));

/// The letters from code 160 on, by the names that the metrics have for them (ISO 32000-1,
/// annex D.2).
const UPPER_HALF: &str = "space exclamdown cent sterling currency yen brokenbar section dieresis \
    copyright ordfeminine guillemotleft logicalnot hyphen registered macron degree plusminus \
    twosuperior threesuperior acute mu paragraph periodcentered cedilla onesuperior ordmasculine \
    guillemotright onequarter onehalf threequarters questiondown Agrave Aacute Acircumflex Atilde \
    Adieresis Aring AE Ccedilla Egrave Eacute Ecircumflex Edieresis Igrave Iacute Icircumflex \
    Idieresis Eth Ntilde Ograve Oacute Ocircumflex Otilde Odieresis multiply Oslash Ugrave Uacute \
    Ucircumflex Udieresis Yacute Thorn germandbls agrave aacute acircumflex atilde adieresis aring \
    ae ccedilla egrave eacute ecircumflex edieresis igrave iacute icircumflex idieresis eth ntilde \
    ograve oacute ocircumflex otilde odieresis divide oslash ugrave uacute ucircumflex udieresis \
    yacute thorn ydieresis";

/// The width of a text as it is set, in mm, its capitals `height_mm` high.
pub fn set_width(content: &str, height_mm: f64, weight: Weight) -> f64 {
    let advances = match weight {
        Weight::Regular => &*REGULAR,
        Weight::Bold => &*BOLD,
    };
    let ems: f64 = codes(content).into_iter().map(|code| advances[usize::from(code)]).sum();
    ems * height_mm / CAPITAL_EM
}

/// Whether the face has every character of a text.
///
/// # Errors
/// The first that it has not.
pub(super) fn check(text: &str) -> Result<(), UnknownCharacter> {
    match text.chars().find(|c| code(*c).is_none()) {
        Some(unknown) => Err(UnknownCharacter(unknown)),
        None => Ok(()),
    }
}

/// The codes of a text, `?` for what the face has not.
pub(super) fn codes(text: &str) -> Vec<u8> {
    text.chars().map(|c| code(c).unwrap_or(b'?')).collect()
}

/// Latin-1, which the standard encoding has at its own places.
fn code(c: char) -> Option<u8> {
    let code = u8::try_from(u32::from(c)).ok()?;
    matches!(code, b' '..=b'~' | 0xa0..).then_some(code)
}

/// The name of a weight among the resources of a page.
pub(super) fn name(weight: Weight) -> Name<'static> {
    match weight {
        Weight::Regular => Name(b"R"),
        Weight::Bold => Name(b"B"),
    }
}

/// Writes the face in a weight as `id`. It is not embedded: the standard names it.
pub(super) fn write(chunk: &mut Chunk, id: Ref, weight: Weight) {
    let base = match weight {
        Weight::Regular => Name(b"Helvetica"),
        Weight::Bold => Name(b"Helvetica-Bold"),
    };
    chunk.type1_font(id).base_font(base).encoding_predefined(Name(b"WinAnsiEncoding"));
}

/// Advances out of a file of metrics. Its own codes are those of another encoding, which agrees on
/// ASCII but for the two quote marks.
fn advances(metrics: &str) -> Advances {
    let mut by_code = HashMap::new();
    let mut by_name = HashMap::new();
    for line in metrics.lines().filter(|line| line.starts_with("C ")) {
        let mut words = line.split([' ', ';']).filter(|word| !word.is_empty());
        let mut after = |key: &str| words.find(|word| *word == key).and_then(|_| words.next());
        let number = |word: Option<&str>| word.and_then(|word| word.parse::<f64>().ok());
        let code = number(after("C"));
        let (Some(wide), Some(name)) = (number(after("WX")), after("N")) else { continue };
        by_name.insert(name, wide / 1000.0);
        if let Some(code) = code.filter(|code| *code >= 0.0) {
            by_code.insert(code as u8, wide / 1000.0);
        }
    }
    let mut all = [0.0; 256];
    for code in b' '..=b'~' {
        let wide = match code {
            b'\'' => by_name.get("quotesingle"),
            b'`' => by_name.get("grave"),
            _ => by_code.get(&code),
        };
        all[usize::from(code)] = wide.copied().unwrap_or(1.0);
    }
    for (code, name) in (0xa0..).zip(UPPER_HALF.split_whitespace()) {
        all[code] = by_name.get(name).copied().unwrap_or(1.0);
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The figures are those of the published metrics, read by hand.
    #[test]
    fn every_letter_has_its_published_width() {
        let em = |text: &str, weight| set_width(text, CAPITAL_EM, weight);
        for (text, wide) in [
            (" ", 0.278),
            ("0", 0.556),
            ("'", 0.191),
            ("`", 0.333),
            ("M", 0.833),
            ("i", 0.222),
            ("\u{b0}", 0.4),
            ("\u{c4}", 0.667),
            ("\u{df}", 0.611),
            ("\u{ff}", 0.5),
        ] {
            assert!((em(text, Weight::Regular) - wide).abs() < 1e-9, "{text}");
        }
        assert!((em("M1", Weight::Bold) - 0.833 - 0.556).abs() < 1e-9);
        assert_eq!(UPPER_HALF.split_whitespace().count(), 96);
        for code in (0x20..=0x7e).chain(0xa0..=0xff) {
            for advances in [&REGULAR, &BOLD] {
                assert!((0.15..=1.02).contains(&advances[code]), "{code:x}");
            }
        }
    }

    #[test]
    fn what_the_face_has_not_is_told_or_shown_as_a_question_mark() {
        assert_eq!(check("10\u{b0} \u{d6}"), Ok(()));
        assert_eq!(check("a\u{2603}").unwrap_err(), UnknownCharacter('\u{2603}'));
        assert_eq!(codes("\u{2603}\u{80}\nb"), b"???b");
    }
}
