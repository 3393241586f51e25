//! The programs of a set in the order they are run, and what each is held against.

use std::ops::Range;
use std::sync::OnceLock;

use seatcut_model::counted;

use super::{Artifact, Proof, names, stamp_of};
use crate::cam::compensate::Ledger;
use crate::cam::plan::{Placed, Program, Roughing, Task};
use crate::diagnostics::{Error, ErrorKind};
use crate::geometry::Contour;
use crate::output::gcode::{LAST_NUMBER, gcode_and_lines};
use crate::output::{Run, Stamp};
use crate::pipeline::proof;
use crate::pipeline::set::{Set, SheetNumbers, SheetRun};
use crate::pipeline::workup::Planned;
use crate::profile::{Machine, Words};
use crate::stair::outline::Role;
use crate::verify::Expectation;

/// One program of a set: its name, and where it comes from.
#[derive(Debug)]
pub(super) struct ProgramOf<'a> {
    pub name: String,
    pub program: &'a Program,
    /// The job that its first piece belongs to.
    pub member: usize,
    /// Which of the set's it is, and how many times it is run.
    pub turn: Run,
    /// What it is planned with, where it cuts one piece from stock of its own.
    planned: Option<&'a Planned>,
    /// The sheet that it is cut from; none where it cuts one piece from stock of its own.
    run: Option<&'a SheetRun>,
    /// Its text, once somebody asked for it.
    written: OnceLock<Written>,
}

/// The text of a program, and the lines that each of its steps wrote.
pub(super) type Written = (String, Vec<Range<usize>>);

/// Sheet by sheet, marks before the cut; then the jobs whose pieces are each cut from stock of
/// their own.
pub(super) fn of(set: &Set) -> Vec<ProgramOf<'_>> {
    let sheets = set.sheets.iter().flat_map(|run| {
        let member = run.first_member();
        run.programs.programs().map(move |program| (program, member, run.times, (Some(run), None)))
    });
    let alone = set.members.iter().enumerate().flat_map(|(member, of)| {
        let planned = of.workup.planned.iter();
        let programs = planned.flat_map(|planned| planned.programs().map(move |p| (p, planned)));
        programs
            .map(move |(program, planned)| (program, member, of.pieces(), (None, Some(planned))))
    });
    let all: Vec<_> = sheets.chain(alone).collect();
    let count = all.len();
    let named = |(i, (program, member, times, (run, planned))): (usize, (_, usize, _, (_, _)))| {
        let extension = &set.members[member].job().cut.machine.words.extension;
        let name = names::program(i, count, extension);
        let turn = Run { number: i + 1, of: count, times, sheets: sheets_of(set, run) };
        ProgramOf { name, program, member, turn, planned, run, written: OnceLock::new() }
    };
    all.into_iter().enumerate().map(named).collect()
}

fn sheets_of(set: &Set, run: Option<&SheetRun>) -> Option<SheetNumbers> {
    let layout = set.sheets.iter().position(|of| run.is_some_and(|run| std::ptr::eq(run, of)))?;
    Some(set.sheet_numbers(layout))
}

/// What each program of a set is held against, in the order they are run; without those that are
/// held against it together.
pub fn expectations(set: &Set) -> Vec<Expectation<'_>> {
    of(set)
        .iter()
        .filter(|program| program.one_of(0).is_none())
        .map(|program| program.expectation(set))
        .collect()
}

impl<'a> ProgramOf<'a> {
    /// Whether it is cut from a sheet.
    pub(super) fn is_of(&self, run: &SheetRun) -> bool {
        self.run.is_some_and(|own| std::ptr::eq(own, run))
    }

    /// Its file.
    ///
    /// # Errors
    /// If it has more lines than line numbers.
    pub(super) fn artifact(&self, set: &'a Set, number: usize) -> Result<Artifact<'a>, Error> {
        let workup = &set.members[self.member].workup;
        let text = self.written(set).0.clone();
        numbers_fit(&workup.job.cut.machine.words, text.lines().count(), &self.name)?;
        let expectation = Box::new(self.expectation(set));
        let proof = match (self.one_of(number), self.stage()) {
            (Some(one), _) => Proof::SetUp(one, expectation),
            (None, Some(stage)) => Proof::Stage(stage, number, expectation),
            (None, None) => Proof::Program(number, expectation),
        };
        Ok(Artifact { name: self.name.clone(), bytes: text.into_bytes(), proof })
    }

    /// Its text, and the lines that each of its steps wrote; written once.
    pub(super) fn written(&self, set: &Set) -> &Written {
        let tape = set.members[self.member].job().tape;
        self.written.get_or_init(|| tape.tells(|| self.write(set)))
    }

    fn write(&self, set: &Set) -> Written {
        counted!("text of {}", self.name);
        let workup = &set.members[self.member].workup;
        let stamp = match self.run {
            Some(run) => stamp_of(set, run.members()).cut_from(&workup.job.cut.material),
            None => Stamp::of(workup).made_for(&set.whose([self.member])),
        };
        let machine = self.machine(set);
        let stamp =
            stamp.on(self.turn).numbering(self.one_by_one(set, Set::one_by_one_in_stretches));
        gcode_and_lines(&stamp, machine, self.ledger(set), self.program)
    }

    /// The numbers of the pieces that it makes, one a run, as `told`, where it is the program that
    /// cuts them out and is run several times.
    pub(super) fn one_by_one(
        &self,
        set: &Set,
        told: impl Fn(&Set, usize) -> Vec<String>,
    ) -> Vec<String> {
        let is_last = self.program.task == Task::Cut && !self.program.roughs;
        let in_set_ups = self.program.set_up.as_ref().is_some_and(|of| of.number < of.of);
        match self.run.is_none() && is_last && !in_set_ups {
            true => told(set, self.member),
            false => Vec::new(),
        }
    }

    /// The machine as this program has it.
    pub(super) fn machine(&self, set: &'a Set) -> &'a Machine {
        let job = set.members[self.member].job();
        let of_sheet = |run: &'a SheetRun| run.programs.machine_of(self.program, &job.cut.machine);
        let alone = || {
            let planned = self.planned;
            planned.map_or(&job.cut.machine, |planned| planned.machine_of(self.program, job))
        };
        self.run.map_or_else(alone, of_sheet)
    }

    /// What was compensated in it.
    pub(super) fn ledger(&self, set: &'a Set) -> &'a Ledger {
        if let Some(rough) = self.rough().filter(|_| self.program.roughs) {
            return &rough.ledger;
        }
        let tooling = set.members[self.member].tooling.as_ref();
        tooling.expect("a job that is cut has a tool's path").path.ledger()
    }

    /// What a roughing cutter does on its stock.
    fn rough(&self) -> Option<&'a Roughing> {
        let of_sheet = |run: &'a SheetRun| run.programs.rough.as_ref();
        let alone = || self.planned.and_then(|planned| planned.rough.as_ref());
        self.run.map_or_else(alone, of_sheet)
    }

    /// Which of two programs that cut one after the other it is, with another cutter each.
    pub(super) fn stage(&self) -> Option<Stage> {
        self.rough().filter(|_| self.program.task == Task::Cut)?;
        Some(if self.program.roughs { Stage::Roughing } else { Stage::OnLine })
    }

    /// Whether it bores the table and nothing of the stock.
    pub(super) fn is_of_table(&self) -> bool {
        self.program.set_up.as_ref().is_some_and(|of| of.number == 0)
    }

    /// Which of the programs it is that are proven together.
    fn one_of(&self, number: usize) -> Option<OneOf> {
        let of_stock = self.program.set_up.as_ref().filter(|of| of.number > 0)?;
        let set_ups = self.planned?.set_ups.as_ref()?;
        let of = match self.program.task {
            Task::Mark => set_ups.marks.len(),
            Task::Cut => of_stock.of,
        };
        Some(OneOf { number, task: self.program.task, of })
    }

    /// The pieces as they lie on its stock.
    pub(super) fn pieces(&self, set: &Set) -> Vec<Contour<Role>> {
        match self.run {
            Some(run) => {
                let lain =
                    |piece: &Placed| run.kinds[piece.kind].tooled.piece.placed(&piece.placement);
                run.programs.cut.pieces.iter().map(lain).collect()
            }
            None if self.is_of_table() => Vec::new(),
            None => {
                let planned = set.members[self.member].workup.planned.iter();
                planned.map(Planned::piece_on_stock).collect()
            }
        }
    }

    /// The jobs that it makes pieces of, one for each piece.
    pub(super) fn members(&self) -> Vec<usize> {
        self.run.map_or(vec![self.member], |run| run.members().collect())
    }

    /// Whether it makes something of a job.
    pub(super) fn is_for(&self, member: usize) -> bool {
        self.members().contains(&member)
    }

    fn expectation(&self, set: &'a Set) -> Expectation<'a> {
        let workup = &set.members[self.member].workup;
        let outline = workup.outline.as_ref().expect("a job that is cut has a part");
        let line = match self.run {
            Some(run) => proof::laid_out(set, run, self.program),
            None => {
                match self.planned.and_then(|planned| Some((planned, planned.set_ups.as_ref()?))) {
                    Some((_, set_ups)) if self.is_of_table() => proof::table(set_ups),
                    // Held together with those of the other set-ups.
                    Some((planned, _)) => {
                        let marks = planned.mark_program.as_ref();
                        let marks = marks.filter(|_| self.program.task == Task::Mark);
                        proof::planned(&workup.job, outline, marks.unwrap_or(&planned.program))
                    }
                    None => proof::planned(&workup.job, outline, self.program),
                }
            }
        };
        match self.rough().filter(|_| self.program.roughs) {
            Some(rough) => proof::roughed(line, &rough.machine),
            None => line,
        }
    }
}

/// Which of two programs a program is that cut the same pieces, each with a cutter of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stage {
    /// The first, which leaves an allowance beside the line.
    Roughing,
    /// The second, along the line.
    OnLine,
}

/// One of several programs that are proven together: those of the set-ups that cut, or that mark.
#[derive(Clone, Copy, Debug)]
pub(super) struct OneOf {
    /// Its number among all programs of the set, from 0.
    pub number: usize,
    /// What it does, which the others do too.
    pub task: Task,
    /// How many they are.
    pub of: usize,
}

/// Whether every line of a program has a number of its own, where the machine wants one on each.
pub(super) fn numbers_fit(words: &Words, lines: usize, name: &str) -> Result<(), Error> {
    if words.line_step.is_none() || lines <= LAST_NUMBER as usize {
        return Ok(());
    }
    let what = "the program has more lines than there are line numbers of five digits, and \
        program.line_numbers of the machine profile asks for one on each";
    Err(Error::new(ErrorKind::Refused, what)
        .in_file(name)
        .found(format!("{lines} lines"))
        .allowed(format!("{LAST_NUMBER} lines"))
        .hint("leave line_numbers out of the table [program], or cut fewer pieces at once"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::profile::embedded;

    #[test]
    fn a_program_with_more_lines_than_numbers_is_refused_by_the_key_that_asks_for_them() {
        let source = embedded(Some("machine"), "router-table").unwrap();
        let machine = Machine::read("router-table", &source.file, &source.text).unwrap();
        let unnumbered = machine.words;
        let words = Words { line_step: Some(10), ..unnumbered.clone() };
        assert!(numbers_fit(&unnumbered, 100_000, "program.nc").is_ok());
        assert!(numbers_fit(&words, 99_999, "program.nc").is_ok());
        let error = numbers_fit(&words, 100_000, "program.nc").unwrap_err().to_string();
        assert!(
            error.contains("program.line_numbers") && error.contains("100000 lines"),
            "{error}"
        );
    }
}
