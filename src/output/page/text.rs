//! Text on a page, and how much room it takes in whatever sans-serif font the reader has.

use super::face::set_width;
use crate::geometry::{Bounds, Placement, Point, Vector};

/// Height of a capital letter in ems, of the common sans-serif fonts (measured on an open one).
pub const CAP_HEIGHT_EM: f64 = 0.72;
/// How far a descender hangs below the baseline, in ems.
pub const DESCENT_EM: f64 = 0.22;

/// Which point of its baseline a text hangs on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// Its left end.
    Start,
    /// Its middle.
    Middle,
    /// Its right end.
    End,
}

/// How heavy the letters are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Weight {
    /// As usual.
    Regular,
    /// Bold.
    Bold,
}

/// One line of text.
#[derive(Clone, Debug)]
pub struct Text {
    /// Where its baseline hangs.
    pub at: Point,
    /// What it says.
    pub content: String,
    /// Height of its capitals in mm (ISO 3098 names a size by it).
    pub height_mm: f64,
    /// How far its baseline is turned, degrees counter-clockwise.
    pub turn_deg: f64,
    /// Which point hangs there.
    pub anchor: Anchor,
    /// How heavy it is.
    pub weight: Weight,
    /// How wide it is set in the face of printed documents, in mm; none: no wider than the room it
    /// takes in any font.
    pub set_mm: Option<f64>,
}

impl Text {
    /// A text to the right of a point, in regular letters of any font.
    pub fn new(content: impl Into<String>, at: Point, height_mm: f64) -> Self {
        let (anchor, weight) = (Anchor::Start, Weight::Regular);
        Self { at, content: content.into(), height_mm, turn_deg: 0.0, anchor, weight, set_mm: None }
    }

    /// With a weight.
    pub fn weight(self, weight: Weight) -> Self {
        Self { weight, ..self }
    }

    /// Set in the face of printed documents, squeezed where it is wider than `most_mm`. After its
    /// weight.
    pub fn set(self, most_mm: f64) -> Self {
        let own = set_width(&self.content, self.height_mm, self.weight);
        Self { set_mm: Some(own.min(most_mm)), ..self }
    }

    /// The room it takes along its baseline, in mm: as it is set, or in whatever font.
    pub fn width_mm(&self) -> f64 {
        self.set_mm.unwrap_or_else(|| text_width(&self.content, self.height_mm, self.weight))
    }

    /// The size a font is asked for, in mm.
    pub fn font_size_mm(&self) -> f64 {
        self.height_mm / CAP_HEIGHT_EM
    }

    /// The four corners of the room it takes, descenders included, counter-clockwise.
    pub fn corners(&self) -> [Point; 4] {
        let width = self.width_mm();
        let left = self.left_of(width);
        let (right, below) = (left + width, DESCENT_EM * self.font_size_mm());
        [(left, -below), (right, -below), (right, self.height_mm), (left, self.height_mm)]
            .map(|(x, y)| self.placement() * Point::new(x, y))
    }

    /// Where letters of a width begin, along the baseline from its anchor.
    pub(super) fn left_of(&self, width_mm: f64) -> f64 {
        match self.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => -width_mm / 2.0,
            Anchor::End => -width_mm,
        }
    }

    /// From its baseline to the paper.
    pub(super) fn placement(&self) -> Placement {
        Placement::new(Vector::new(self.at.x, self.at.y), self.turn_deg.to_radians())
    }

    /// The upright box of the room it takes.
    pub fn bounds(&self) -> Bounds {
        let [first, rest @ ..] = self.corners().map(|p| Bounds { min: p, max: p });
        rest.into_iter().fold(first, Bounds::joined)
    }
}

/// Advances of ASCII 32 to 126 in hundredths of an em, rounded up, of a wide open sans-serif font
/// (measured) or of the face of print, whichever is wider: other fonts take less room, so what fits
/// by this table fits in them too.
const ADVANCE: [u8; 95] = [
    32, 41, 46, 84, 64, 96, 78, 28, 40, 40, 50, 84, 32, 37, 32, 34, //
    64, 64, 64, 64, 64, 64, 64, 64, 64, 64, 34, 34, 84, 84, 84, 56, //
    102, 69, 69, 73, 78, 67, 62, 79, 76, 30, 51, 67, 56, 87, 75, 79, //
    67, 79, 73, 67, 62, 74, 69, 99, 69, 67, 69, 40, 34, 40, 84, 56, //
    50, 62, 64, 55, 64, 62, 36, 64, 64, 28, 28, 58, 28, 98, 64, 62, //
    64, 64, 42, 53, 40, 64, 60, 82, 60, 60, 53, 64, 34, 64, 84,
];
/// Letters of the other alphabets: as wide as the widest of Latin.
const OTHER_LETTER: f64 = 1.0;
/// From the scripts of square letters on, and pictures: a little wider than their em.
const SQUARE_LETTER: f64 = 1.15;
const FIRST_SQUARE_LETTER: char = '\u{1100}';
/// The most that bold letters take over regular ones.
const BOLD: f64 = 1.2;

/// An upper estimate of the width of a text in mm, its capitals `height_mm` high.
pub fn text_width(content: &str, height_mm: f64, weight: Weight) -> f64 {
    let ems: f64 = content.chars().map(advance).sum();
    let heavier = match weight {
        Weight::Regular => 1.0,
        Weight::Bold => BOLD,
    };
    ems * heavier * height_mm / CAP_HEIGHT_EM
}

fn advance(c: char) -> f64 {
    match (c as usize).checked_sub(32).and_then(|i| ADVANCE.get(i)) {
        Some(&hundredths) => f64::from(hundredths) / 100.0,
        None if c >= FIRST_SQUARE_LETTER => SQUARE_LETTER,
        None => OTHER_LETTER,
    }
}

/// The text itself if it is no wider than `width_mm`, else as much of it as fits with three dots
/// behind it.
pub fn fit(content: &str, width_mm: f64, height_mm: f64, weight: Weight) -> String {
    if text_width(content, height_mm, weight) <= width_mm {
        return content.to_string();
    }
    let mut kept = String::new();
    for c in content.chars() {
        kept.push(c);
        if text_width(&format!("{kept}..."), height_mm, weight) > width_mm {
            kept.pop();
            break;
        }
    }
    format!("{}...", kept.trim_end())
}

/// The text in lines no wider than `width_mm` in any font, broken at spaces; a word that is wider
/// itself is broken anywhere.
pub fn wrap(content: &str, width_mm: f64, height_mm: f64, weight: Weight) -> Vec<String> {
    broken(content, |text| text_width(text, height_mm, weight) > width_mm)
}

/// The same for the face of printed documents, broken too where the text itself is.
pub fn wrap_set(content: &str, width_mm: f64, height_mm: f64, weight: Weight) -> Vec<String> {
    let is_wide = |text: &str| set_width(text, height_mm, weight) > width_mm;
    content.lines().flat_map(|line| broken(line, is_wide)).collect()
}

fn broken(content: &str, is_wide: impl Fn(&str) -> bool) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in content.split_whitespace() {
        let longer = if line.is_empty() { word.to_string() } else { format!("{line} {word}") };
        if !is_wide(&longer) {
            line = longer;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        for c in word.chars() {
            line.push(c);
            if is_wide(&line) && line.chars().count() > 1 {
                line.pop();
                lines.push(std::mem::take(&mut line));
                line.push(c);
            }
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wrapped_lines_are_no_wider_than_asked_and_lose_no_letter() {
        for text in [
            "a few words that go on",
            "WWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWW",
            "x WWWWWWWWWWWWWWWWWWWW y",
        ] {
            let letters = |text: &str| text.split_whitespace().collect::<String>();
            let lines = wrap(text, 30.0, 2.5, Weight::Bold);
            assert!(lines.iter().all(|line| text_width(line, 2.5, Weight::Bold) <= 30.0));
            assert_eq!(letters(&lines.concat()), letters(text));
            let set = wrap_set(text, 30.0, 2.5, Weight::Bold);
            assert!(set.iter().all(|line| set_width(line, 2.5, Weight::Bold) <= 30.0));
            assert_eq!(letters(&set.concat()), letters(text));
        }
    }

    #[test]
    fn a_line_is_filled_before_the_next_is_begun() {
        let wrapped = |text: &str, width| wrap_set(text, width, 2.5, Weight::Regular);
        let two = set_width("one two", 2.5, Weight::Regular);
        assert_eq!(wrapped("one two three", two + 0.01), ["one two", "three"]);
        assert_eq!(wrapped("one two three", two - 0.01), ["one", "two", "three"]);
        assert_eq!(wrapped("one\ntwo three", 90.0), ["one", "two three"]);
        assert!(wrapped("", 90.0).is_empty());
        assert_eq!(wrapped("abc", 0.0), ["a", "b", "c"]);
    }

    /// So a drawing that keeps its words apart in any font keeps them apart in print.
    #[test]
    fn the_face_takes_no_more_room_than_any_font_may() {
        for c in (' '..='~').chain(['\u{b0}', '\u{d7}', '\u{c4}']) {
            for weight in [Weight::Regular, Weight::Bold] {
                let (text, height) = (c.to_string(), 2.5);
                assert!(
                    set_width(&text, height, weight) <= text_width(&text, height, weight) + 0.01
                );
            }
        }
    }

    #[test]
    fn a_text_that_does_not_fit_says_so() {
        assert_eq!(fit("short", 30.0, 2.0, Weight::Regular), "short");
        let cut = fit("a long text that cannot fit", 20.0, 2.0, Weight::Regular);
        assert!(cut.ends_with("...") && text_width(&cut, 2.0, Weight::Regular) <= 20.0, "{cut}");
    }

    #[test]
    fn a_text_turned_a_quarter_stands_upright() {
        let text = Text { turn_deg: 90.0, ..Text::new("123456", Point::new(10.0, 10.0), 2.0) };
        let bounds = text.bounds();
        assert!(bounds.height() > 10.0 && bounds.width() < 3.0);
        assert!((bounds.min.y - 10.0).abs() < 1e-9 && (bounds.min.x - 8.0).abs() < 1e-9);
    }
}
