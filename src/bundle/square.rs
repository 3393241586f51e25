//! The files of the test squares.

use super::programs::numbers_fit;
use super::proof::held_all;
use super::{Artifact, Proof, names, no_letter, proven_figures};
use crate::cam::plan::SquareProgram;
use crate::diagnostics::Error;
use crate::output::frame::{Frame, RoundAll};
use crate::output::gcode::gcode_compensated;
use crate::output::page::{Size, pdf};
use crate::output::report::VerifiedReport;
use crate::output::{Stamp, file_report, square as told};
use crate::pipeline::proof;

/// The files of the test squares: their program, their frame, their page.
#[derive(Debug)]
pub struct SquareSet<'a> {
    square: &'a SquareProgram,
    stamp: Stamp,
    artifacts: Vec<Artifact<'a>>,
}

impl<'a> SquareSet<'a> {
    /// Writes every file; `called` is the machine as the user called it.
    ///
    /// # Errors
    /// If the page has a character that cannot be drawn, or the program more lines than numbers.
    pub fn of(square: &'a SquareProgram, paper: Size, called: &str) -> Result<Self, Error> {
        let SquareProgram { machine, program, .. } = square;
        let stamp = told::stamp(square);
        let entry = told::compensated(machine);
        let (text, _) = gcode_compensated(&stamp, machine, &[&entry], program);
        let extension = &machine.words.extension;
        let name = names::program(0, 1, extension);
        numbers_fit(&machine.words, text.lines().count(), &name)?;
        let expectation = Box::new(proof::square(square));
        let proof = Proof::Program(0, expectation);
        let mut artifacts = vec![Artifact { name, bytes: text.into_bytes(), proof }];
        artifacts.extend(Frame::of(&[program], machine).map(|frame| Artifact {
            name: names::frame(0, 1, extension),
            bytes: frame.write(&stamp, machine, RoundAll::OfSet).0.into_bytes(),
            proof: Proof::Frame(machine, Box::new(frame)),
        }));
        let page = told::page(square, &stamp, paper, called);
        let printed = pdf(&stamp, &[page]).map_err(|unknown| {
            no_letter(unknown).hint("give the files of the machine and the material plain names")
        })?;
        artifacts.push(Artifact::document(names::SQUARE_PRINT, printed));
        Ok(Self { square, stamp, artifacts })
    }

    /// Its number, as on every file.
    pub fn revision(&self) -> String {
        self.stamp.fingerprint.to_string()
    }

    /// Every file but the report.
    pub fn artifacts(&self) -> &[Artifact<'a>] {
        &self.artifacts
    }

    /// Reads every file with `read` and holds the programs against the square; what was proven of
    /// the one that cuts.
    ///
    /// # Errors
    /// Those of `read`, and of a program that is not what it must be.
    pub fn proven(
        &self,
        read: impl FnMut(&Artifact<'_>) -> Result<Vec<u8>, Error>,
    ) -> Result<VerifiedReport, Error> {
        let mut figures = None;
        held_all(&self.artifacts, read, |_, verdict| figures = Some(proven_figures(verdict)))?;
        Ok(figures.expect("a test square has a program"))
    }

    /// The report, which seals the set.
    pub fn report(&self, verified: VerifiedReport) -> Artifact<'static> {
        let files = self.artifacts.iter().map(|file| file_report(&file.name, &file.bytes));
        let program = &self.artifacts[0].name;
        let text =
            told::square_report(self.square, &self.stamp, program, verified, files.collect());
        Artifact::document(names::REPORT, text)
    }
}
