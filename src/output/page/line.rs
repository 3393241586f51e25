//! The lines of a page, by what they stand for.
//!
//! Types and their dash lengths in line widths: ISO 128-2:2020; wide to narrow 2 : 1, line group
//! 0.5. Colours: black and two of the eight of Okabe and Ito, "Color Universal Design", 2008, which
//! stay apart for eyes that see few colours. Every line is also told by its type or width, so a
//! black and white print says as much.

/// What something is drawn with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ink {
    /// The part, and all text.
    Black,
    /// Dimensions.
    Blue,
    /// What stands next to the part.
    Vermillion,
    /// The paper's own white, under a text that crosses lines.
    Paper,
}

impl Ink {
    /// Red, green and blue, 0 to 255. Blue and vermillion: Okabe and Ito 2008.
    pub fn rgb(self) -> [u8; 3] {
        match self {
            Self::Black => [0, 0, 0],
            Self::Blue => [0, 114, 178],
            Self::Vermillion => [213, 94, 0],
            Self::Paper => [255, 255, 255],
        }
    }
}

/// A line by its use.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Line {
    /// A visible edge of the part: 01.2, continuous wide.
    VisibleEdge,
    /// Dimension, extension and leader lines: 01.1, continuous narrow.
    Dimension,
    /// Rules of tables, frames, scale bars, marks: 01.1, continuous narrow.
    Rule,
    /// A hidden edge: 02.1, dashed narrow.
    Hidden,
    /// A centre line or line of reference, here the nose line: 04.1, long dash dot narrow.
    Centre,
    /// An adjacent part or page: 05.1, long dash double dot narrow.
    Adjacent,
}

const WIDE_MM: f64 = 0.5;
const NARROW_MM: f64 = 0.25;

impl Line {
    /// Width in mm.
    pub fn width_mm(self) -> f64 {
        match self {
            Self::VisibleEdge => WIDE_MM,
            Self::Dimension | Self::Rule | Self::Hidden | Self::Centre | Self::Adjacent => {
                NARROW_MM
            }
        }
    }

    /// Lengths in mm, dash and gap by turns; empty for a continuous line.
    pub fn dashes_mm(self) -> Vec<f64> {
        let in_widths: &[f64] = match self {
            Self::VisibleEdge | Self::Dimension | Self::Rule => &[],
            Self::Hidden => &[12.0, 3.0],
            Self::Centre => &[24.0, 3.0, 0.5, 3.0],
            Self::Adjacent => &[24.0, 3.0, 0.5, 3.0, 0.5, 3.0],
        };
        in_widths.iter().map(|count| count * self.width_mm()).collect()
    }

    /// What it is drawn with.
    pub fn ink(self) -> Ink {
        match self {
            Self::VisibleEdge | Self::Rule | Self::Hidden | Self::Centre => Ink::Black,
            Self::Dimension => Ink::Blue,
            Self::Adjacent => Ink::Vermillion,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const ALL: [Line; 6] = [
        Line::VisibleEdge,
        Line::Dimension,
        Line::Rule,
        Line::Hidden,
        Line::Centre,
        Line::Adjacent,
    ];

    #[test]
    fn the_wide_line_is_twice_the_narrow_one() {
        assert!((WIDE_MM - 2.0 * NARROW_MM).abs() < 1e-12);
    }

    #[test]
    fn part_dimension_and_adjacent_part_stay_apart_without_colour() {
        for (i, a) in ALL.iter().enumerate() {
            for b in &ALL[i + 1..] {
                let same =
                    a.dashes_mm() == b.dashes_mm() && (a.width_mm() - b.width_mm()).abs() < 1e-12;
                assert!(
                    !same || (*a == Line::Dimension && *b == Line::Rule),
                    "{a:?} and {b:?} print alike"
                );
            }
        }
    }
}
