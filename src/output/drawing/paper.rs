//! The paper a drawing is made for, and the scales that go with it.

use super::super::page::Size;
use crate::units::Tape;

/// A sheet of paper, lying.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// 8 1/2 by 11 in.
    Letter,
    /// 11 by 17 in.
    Tabloid,
    /// A4 of ISO 216.
    A4,
    /// A3 of ISO 216.
    A3,
}

/// Those that a rule has an edge for: 3, 2, 1 1/2, 1, 3/4, 1/2 in to the foot and so on, and the
/// tens of a rule in tenths.
const INCH_SCALES: [f64; 17] = [
    4.0, 6.0, 8.0, 10.0, 12.0, 16.0, 20.0, 24.0, 32.0, 48.0, 64.0, 96.0, 128.0, 192.0, 384.0,
    768.0, 1536.0,
];
/// Those of ISO 5455 and the steps between them that rules have.
const METRIC_SCALES: [f64; 14] =
    [2.5, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 50.0, 75.0, 100.0, 200.0, 500.0, 1000.0, 2000.0];

impl Paper {
    /// The large sheet that goes with the tape in hand.
    pub fn of_tape() -> Self {
        match Tape::in_hand() {
            Tape::Inches => Self::Tabloid,
            Tape::Metric => Self::A3,
        }
    }

    /// Its name on the sheet.
    pub fn name(self) -> &'static str {
        match self {
            Self::Letter => "letter",
            Self::Tabloid => "11 x 17 in",
            Self::A4 => "A4",
            Self::A3 => "A3",
        }
    }

    /// Its size, lying.
    pub fn size(self) -> Size {
        match self {
            Self::Letter => Size::LETTER.turned(),
            Self::Tabloid => Size { width_mm: 431.8, height_mm: 279.4 },
            Self::A4 => Size::A4.turned(),
            Self::A3 => Size { width_mm: 420.0, height_mm: 297.0 },
        }
    }

    /// Whether views, details and title stand on one sheet.
    pub(super) fn is_large(self) -> bool {
        match self {
            Self::Tabloid | Self::A3 => true,
            Self::Letter | Self::A4 => false,
        }
    }

    /// The scales of the views, the largest first.
    pub(super) fn scales() -> &'static [f64] {
        match Tape::in_hand() {
            Tape::Inches => &INCH_SCALES,
            Tape::Metric => &METRIC_SCALES,
        }
    }

    /// The largest scale at which something fits; the smallest where none does: longer than any
    /// stair that is read.
    pub(super) fn scale_that(holds: impl Fn(f64) -> bool) -> f64 {
        let scales = Self::scales();
        let found = scales.iter().copied().find(|scale| holds(*scale));
        found.unwrap_or(scales[scales.len() - 1])
    }
}
