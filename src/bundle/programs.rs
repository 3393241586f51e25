//! The programs of a set in the order they are run, and what each is held against.

use super::{Artifact, Proof, names, stamp};
use crate::cam::plan::Program;
use crate::output::Stamp;
use crate::output::gcode::gcode;
use crate::pipeline::proof;
use crate::pipeline::set::{Member, Set, SheetRun};

/// One program of a set: its name, and where it comes from.
#[derive(Debug)]
pub(super) struct ProgramOf<'a> {
    pub name: String,
    pub program: &'a Program,
    /// The job that its first piece belongs to.
    pub member: usize,
    /// How many times it is run.
    pub times: usize,
    /// The sheet that it is cut from; none where it cuts one piece from stock of its own.
    run: Option<&'a SheetRun>,
}

/// Sheet by sheet, marks before the cut; then the jobs whose pieces are each cut from stock of their own.
pub(super) fn of(set: &Set) -> Vec<ProgramOf<'_>> {
    let mut programs: Vec<ProgramOf> = Vec::new();
    for run in &set.sheets {
        let member = run.kinds[run.programs.cut.pieces[0].kind].member;
        for program in run.programs.marks.iter().chain([&run.programs.cut]) {
            programs.push(ProgramOf { name: String::new(), program, member, times: run.times, run: Some(run) });
        }
    }
    for (member, of) in set.members.iter().enumerate() {
        let Some(planned) = &of.workup.planned else { continue };
        for program in planned.mark_program.iter().chain([&planned.program]) {
            programs.push(ProgramOf { name: String::new(), program, member, times: of.pieces(), run: None });
        }
    }
    let count = programs.len();
    for (i, program) in programs.iter_mut().enumerate() {
        program.name = names::program(i, count);
    }
    programs
}

impl<'a> ProgramOf<'a> {
    /// Whether it is cut from a sheet.
    pub fn is_of(&self, run: &SheetRun) -> bool {
        self.run.is_some_and(|own| std::ptr::eq(own, run))
    }

    /// Its file.
    pub fn artifact(&self, set: &'a Set, number: usize) -> Artifact<'a> {
        let Member { workup, tooling, .. } = &set.members[self.member];
        let job = &workup.job;
        let tooling = tooling.as_ref().expect("a job that is cut has a tool's path");
        let outline = workup.outline.as_ref().expect("a job that is cut has a part");
        let stamp = if self.run.is_some() { stamp(set) } else { Stamp::of(workup) };
        let text = gcode(&stamp, &job.cut.machine, tooling.path.ledger(), self.program);
        let expectation = match self.run {
            Some(run) => proof::laid_out(set, run, self.program),
            None => proof::planned(job, outline, self.program),
        };
        let proof = Proof::Program(number, Box::new(expectation));
        Artifact { name: self.name.clone(), bytes: text.into_bytes(), proof }
    }
}
