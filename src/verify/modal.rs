//! The modal groups of the language, which states a program has said, and the words of one line.

use std::collections::BTreeSet;

use super::block::Word;
use super::findings::Findings;
use crate::diagnostics::codes::{self, Before, NotTaken, Told};
use crate::profile::{ArcCentres, Arcs, EndWord, Machine};

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
/// What says how places and feeds are meant.
const NEEDED_MODES: [i32; 2] = [900, 940];

/// The states that a program has said, and what has to be said before the tool moves.
pub(super) struct Modes<'a> {
    machine: &'a Machine,
    said: BTreeSet<i32>,
    moved: bool,
    arced: bool,
}

impl<'a> Modes<'a> {
    pub(super) fn new(machine: &'a Machine) -> Self {
        Modes { machine, said: BTreeSet::new(), moved: false, arced: false }
    }

    pub(super) fn has_moved(&self) -> bool {
        self.moved
    }

    /// Takes note of a G code, in tenths. A state that is first said once the tool has moved was
    /// another one before, or may have been.
    pub(super) fn say(&mut self, code: i32, line: usize, findings: &mut Findings<'_>) {
        let late = (self.moved && self.safe().contains(&code))
            || (self.arced && matches!(code, 901 | 911));
        if self.said.insert(code) && late {
            findings.at_line(codes::StateLate { word: written(code) }, line);
        }
    }

    /// The tool moves: what must have been said before the first motion, and before the first arc.
    pub(super) fn travel(&mut self, line: usize, is_arc: bool, findings: &mut Findings<'_>) {
        if !self.moved {
            self.moved = true;
            let before = Before::Motion;
            if let Some(missing) = self.not_said(&NEEDED_MODES) {
                findings.at_line(codes::ModeNotSaid { missing, before }, line);
            }
            if let Some(missing) = self.not_said(&self.safe()) {
                findings.at_line(codes::StateNotSaid { missing, before }, line);
            }
        }
        if is_arc && !self.arced {
            self.arced = true;
            self.first_arc(line, findings);
        }
    }

    fn first_arc(&self, line: usize, findings: &mut Findings<'_>) {
        let before = Before::Arc;
        if let Some(missing) = self.not_said(&[170]) {
            findings.at_line(codes::ModeNotSaid { missing, before }, line);
        }
        let missing = self.centre().and_then(|mode| self.not_said(&[mode]));
        if missing.is_some() && self.machine.words.arc_centres == ArcCentres::Absolute {
            findings.at_line(codes::WordMissing { named: Told::Places }, line);
        } else if let Some(missing) = missing {
            findings.at_line(codes::ModeNotSaid { missing, before }, line);
        }
        if self.machine.arcs != Arcs::Taken {
            findings.at_line(codes::WordNotTaken { word: NotTaken::Arc }, line);
        }
    }

    /// What an earlier program may have left on, the work offset with it.
    fn safe(&self) -> [i32; 4] {
        [400, 490, i32::from(self.machine.words.work_offset) * 10, 800]
    }

    /// The word for how an arc's centre is told, where this machine has to be told.
    pub(super) fn centre(&self) -> Option<i32> {
        match self.machine.words.arc_centres {
            ArcCentres::Absolute => Some(901),
            ArcCentres::FromStart => self.machine.says_incremental_centres.then_some(911),
            ArcCentres::Radius => None,
        }
    }

    /// The words of these modes that the program has not said; `None` if it has said all.
    fn not_said(&self, modes: &[i32]) -> Option<String> {
        let missing = modes.iter().filter(|mode| !self.said.contains(mode));
        let words: Vec<String> = missing.map(|mode| written(*mode)).collect();
        (!words.is_empty()).then(|| words.join(", "))
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
