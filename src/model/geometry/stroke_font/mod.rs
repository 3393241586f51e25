//! Single-stroke lettering: a text as pen strokes, never mirrored, an unknown character an error.

mod table;

use crate::geometry::Point;

/// Height of a capital on the letters' grid.
const GRID_HEIGHT: f64 = 6.0;
/// From one letter to the next on the grid: its width of 4 and a gap of 2.
const GRID_ADVANCE: f64 = 6.0;

/// A character that the table does not have.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` has no letter")]
pub struct UnknownCharacter(pub char);

/// The strokes of one line of text, its capitals `height` mm high, starting at 0,0 on the base
/// line.
///
/// # Errors
/// The first character that is not in the table.
pub fn strokes(text: &str, height: f64) -> Result<Vec<Vec<Point>>, UnknownCharacter> {
    let scale = height / GRID_HEIGHT;
    let mut lines = Vec::new();
    for (place, c) in text.chars().enumerate() {
        let letter = table::strokes(c).ok_or(UnknownCharacter(c))?;
        let left = place as f64 * GRID_ADVANCE;
        lines.extend(
            letter.split(' ').filter(|run| !run.is_empty()).map(|run| stroke(run, left, scale)),
        );
    }
    Ok(lines)
}

/// Whether every character of a text has a letter.
///
/// # Errors
/// The first that has none.
pub fn check(text: &str) -> Result<(), UnknownCharacter> {
    match text.chars().find(|c| table::strokes(*c).is_none()) {
        Some(unknown) => Err(UnknownCharacter(unknown)),
        None => Ok(()),
    }
}

/// How wide a line of text is, from the left of its first letter to the right of its last.
pub fn width(text: &str, height: f64) -> f64 {
    let count = text.chars().count() as f64;
    ((count * GRID_ADVANCE - (GRID_ADVANCE - 4.0)) * height / GRID_HEIGHT).max(0.0)
}

fn stroke(run: &str, left: f64, scale: f64) -> Vec<Point> {
    let digit = |b: u8| f64::from(b - b'0');
    run.as_bytes()
        .chunks_exact(2)
        .map(|xy| Point::new((left + digit(xy[0])) * scale, digit(xy[1]) * scale))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_printable_ascii_letter_digit_and_mark_of_the_drawings_is_there() {
        let text = "ABCDEFGHIJKLMNOPQRSTUVWXYZ abcdefghijklmnopqrstuvwxyz 0123456789 \
            .,:;-+=/'\"()#&%<>_!?*@|";
        assert!(strokes(text, 3.0).is_ok());
        assert!((' '..='~').chain(['\u{b0}']).all(|c| strokes(&c.to_string(), 3.0).is_ok()));
    }

    #[test]
    fn every_stroke_stays_in_its_letters_box_and_has_two_points() {
        for code in 32_u8..127 {
            let Ok(lines) = strokes(&(code as char).to_string(), 6.0) else { continue };
            for line in lines {
                assert!(line.len() >= 2, "{}", code as char);
                assert!(
                    line.iter().all(|p| (0.0..=4.0).contains(&p.x) && (0.0..=6.0).contains(&p.y)),
                    "{}",
                    code as char
                );
            }
        }
    }

    #[test]
    fn an_unknown_character_is_an_error_that_names_it() {
        assert_eq!(strokes("10 \u{2603}", 3.0).unwrap_err(), UnknownCharacter('\u{2603}'));
    }

    #[test]
    fn accented_letters_of_latin_1_are_there_small_and_capital() {
        for c in
            "\u{e4}\u{f6}\u{fc}\u{df}\u{e9}\u{e8}\u{ea}\u{e7}\u{f1}\u{e5}\u{f8}\u{c4}\u{c9}".chars()
        {
            assert!(strokes(&c.to_string(), 6.0).is_ok(), "{c}");
        }
        assert_eq!(strokes("\u{fc}", 6.0), strokes("\u{dc}", 6.0));
        assert_ne!(strokes("\u{fc}", 6.0), strokes("u", 6.0));
    }

    #[test]
    fn no_two_letters_look_the_same() {
        let mut seen = std::collections::BTreeMap::new();
        for c in ('A'..='Z').chain('0'..='9') {
            let key = format!("{:?}", strokes(&c.to_string(), 6.0));
            if let Some(other) = seen.insert(key, c) {
                panic!("{c} and {other} are alike");
            }
        }
    }
}
