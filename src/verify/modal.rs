//! The modal groups of the language, and the words of one line.

use super::block::Word;
use crate::profile::{ArcCentres, EndWord, Machine};

/// Modal groups of NISTIR 6556, table 4, in tenths of the code's number; G4 with them: nothing else
/// goes on its line.
pub(super) const GROUPS: &[(u8, &[i32])] = &[
    (b'G', &[0, 10, 20, 30, 800, 40]),
    (b'G', &[170]),
    (b'G', &[900]),
    (b'G', &[901, 911]),
    (b'G', &[940]),
    (b'G', &[200, 210]),
    (b'G', &[400]),
    (b'G', &[430, 490]),
    (b'G', &[530]),
    (b'G', &[540, 550, 560, 570, 580, 590]),
    (b'G', &[610, 640]),
    (b'M', &[0, 20, 300]),
    (b'M', &[60]),
    (b'M', &[30, 40, 50]),
    (b'M', &[70, 80, 90]),
];
/// What an earlier program may have left on, the work offset with it.
pub(super) fn safe_modes(machine: &Machine) -> [i32; 4] {
    [400, 490, i32::from(machine.words.work_offset) * 10, 800]
}
pub(super) const NEEDED_MODES: [i32; 2] = [900, 940];
/// The word for how an arc's centre is told, where this machine has to be told.
pub(super) fn centre_mode(machine: &Machine) -> Option<i32> {
    match machine.words.arc_centres {
        ArcCentres::Absolute => Some(901),
        ArcCentres::FromStart => machine.says_incremental_centres.then_some(911),
        ArcCentres::Radius => None,
    }
}

/// Whether a line has a code, in tenths.
pub(super) fn has(codes: &[(u8, i32)], letter: u8, code: i32) -> bool {
    codes.contains(&(letter, code))
}

/// A code as it is written.
pub(super) fn written(code: i32) -> String {
    format!("G{}", f64::from(code) / 10.0)
}

/// The word as it is written.
pub(super) fn name(word: EndWord) -> &'static str {
    match word {
        EndWord::M2 => "M2",
        EndWord::M30 => "M30",
    }
}

/// The words of one line.
pub(super) struct Words<'a> {
    pub words: &'a [Word],
    pub line: usize,
}

impl Words<'_> {
    /// The number behind a letter: of several the last, which the reader has told.
    pub(crate) fn get(&self, letter: u8) -> Option<f64> {
        self.words.iter().rfind(|word| word.letter == letter).map(|word| word.number)
    }

    /// Whether a word asks for a place.
    pub(crate) fn moves(&self) -> bool {
        self.words.iter().any(|word| matches!(word.letter, b'X' | b'Y' | b'Z' | b'I' | b'J'))
    }
}
