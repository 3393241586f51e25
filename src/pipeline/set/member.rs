//! One job of a set.

use crate::cam::plan::longest_piece;
use crate::check::copies;
use crate::diagnostics::{Error, codes};
use crate::job::{Job, Long};
use crate::optimise::cutting_stock::Saw;
use crate::pipeline::steps::saw;
use crate::pipeline::workup::{Planned, Tooling, Workup};
use crate::profile::Form;

/// A job and how many times all of it is wanted.
#[derive(Clone, Debug)]
pub struct Entry {
    /// The job.
    pub job: Job,
    /// How many times its own quantity is made.
    pub times: usize,
}

/// A job of a set, worked up.
#[derive(Clone, Debug)]
pub struct Member {
    /// How many times its own quantity is made.
    pub times: usize,
    /// Everything that follows from it alone; a plan only where its pieces are cut from boards.
    pub workup: Workup,
    /// The tool's path and the marks; none where a refusal stands.
    pub tooling: Option<Tooling>,
}

impl Member {
    /// Works a job up: on boards to the program of one piece, on sheets to what is laid out.
    ///
    /// # Errors
    /// Those of [`Workup::designed`].
    pub fn of(entry: Entry) -> Result<Self, Error> {
        if entry.job.cut.material.form == Form::Board {
            return Self::alone(entry);
        }
        let Entry { job, times } = entry;
        let (mut workup, mut tooling) = Workup::tooled(&job)?;
        let refusals = crate::cam::plan::machine_refusals(&workup.job);
        if !refusals.is_empty() {
            tooling = None;
            workup.findings.extend(refusals);
        }
        Ok(Self { times, workup, tooling }.with_boards())
    }

    /// With the boards for as many times as it is made.
    fn with_boards(mut self) -> Self {
        if self.times > 1 {
            let beside = std::mem::take(&mut self.workup.beside);
            let beside = beside.times(&self.workup.job, self.times);
            self.workup.beside = beside.value;
            // What is said of one time is not said again.
            let new = beside.findings.into_iter();
            let new: Vec<_> = new.filter(|of| !self.workup.findings.contains(of)).collect();
            self.workup.findings.extend(new);
            // How many pieces there are is said of all times.
            self.workup.findings.retain(|of| !of.is::<codes::OnePartAProgram>());
            self.workup.findings.extend(copies(&self.workup.job, self.times));
        }
        self
    }

    /// Works a job up to the programs of one piece on stock of its own.
    ///
    /// # Errors
    /// Those of [`Workup::designed`].
    pub(super) fn alone(entry: Entry) -> Result<Self, Error> {
        let Entry { job, times } = entry;
        Ok(Self::worked_up(Workup::designed(&job)?, times))
    }

    /// A job that is worked up to the programs of one piece already.
    pub fn worked_up(workup: Workup, times: usize) -> Self {
        let tooling = |planned: &Planned| Tooling {
            path: planned.path.clone(),
            marks: planned.marks.clone(),
        };
        Self { tooling: workup.planned.as_ref().map(tooling), times, workup }.with_boards()
    }

    /// The job, where its flight lands.
    pub fn job(&self) -> &Job {
        &self.workup.job
    }

    /// Whether its pattern is made in two pieces: asked for, and longer than what a sheet and the
    /// machine take.
    pub fn is_split(&self) -> bool {
        let long = self
            .workup
            .outline
            .as_ref()
            .is_some_and(|outline| outline.blank_length() > longest_piece(self.job()));
        self.job().cut.long == Long::Split && long
    }

    /// What its saw takes of a board.
    pub(super) fn saw(&self) -> Saw {
        saw(self.job())
    }

    /// How many pieces are cut.
    pub fn pieces(&self) -> usize {
        let beside: usize = self.workup.beside.from_sheet.iter().map(|piece| piece.count).sum();
        (self.job().cut.pieces() + beside * self.job().cut.stairs as usize) * self.times
    }
}
