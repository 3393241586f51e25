//! The frame beside a set: one for each machine that runs its programs.

use super::programs::{ProgramOf, Written};
use super::{Artifact, Proof, names, programs, stamp};
use crate::cam::plan::{FeedKind, Program, feed_mm_min};
use crate::diagnostics::Error;
use crate::output::frame::Frame;
use crate::pipeline::proof;
use crate::pipeline::set::Set;
use crate::profile::Machine;
use crate::verify::{FrameTask, verify_frame};

/// A frame of a set: its name and the machine that runs it.
#[derive(Debug)]
pub(super) struct FrameOf<'a> {
    pub name: String,
    pub machine: &'a Machine,
    pub frame: Frame,
    /// The first program that it is run before.
    pub before: usize,
    /// Its text, and the lines that each of its steps wrote.
    pub written: Written,
}

/// The frames of a set's programs.
pub(super) fn named<'a>(set: &'a Set, programs: &[ProgramOf<'a>]) -> Vec<FrameOf<'a>> {
    let frames = of(set, programs);
    let (count, stamp) = (frames.len(), stamp(set));
    let named = |(i, (machine, frame, before)): (usize, (&'a Machine, Frame, usize))| FrameOf {
        name: names::frame(i, count, &machine.words.extension),
        machine,
        written: frame.write(&stamp, machine),
        frame,
        before,
    };
    frames.into_iter().enumerate().map(named).collect()
}

impl<'a> FrameOf<'a> {
    /// Its file.
    pub(super) fn artifact(&self) -> Artifact<'a> {
        Artifact {
            name: self.name.clone(),
            bytes: self.written.0.clone().into_bytes(),
            proof: Proof::Frame(self.machine, Box::new(self.frame.clone())),
        }
    }
}

/// A frame for each machine and each set-up of the stock; none of what only bores the table.
fn of<'a>(set: &'a Set, programs: &[ProgramOf<'a>]) -> Vec<(&'a Machine, Frame, usize)> {
    let machine = |of: &ProgramOf<'a>| &set.members[of.member].workup.job.cut.machine;
    let set_up = |of: &ProgramOf<'a>| of.program.set_up.as_ref().map_or(0, |own| own.number);
    let mut groups: Vec<Group<'a>> = Vec::new();
    for (i, of) in programs.iter().enumerate().filter(|(_, of)| !of.is_of_table()) {
        let own = (machine(of), set_up(of));
        match groups.iter_mut().find(|group| (group.machine, group.set_up) == own) {
            Some(group) => group.programs.push(of.program),
            None => {
                // Those of one set-up are run before everything.
                let before = if own.1 == 0 { 0 } else { i };
                let (machine, set_up) = own;
                groups.push(Group { machine, set_up, before, programs: vec![of.program] });
            }
        }
    }
    let framed = |group: Group<'a>| {
        let frame = Frame::of(&group.programs, group.machine)?;
        Some((group.machine, frame, group.before))
    };
    groups.into_iter().filter_map(framed).collect()
}

/// The programs that one frame is for.
struct Group<'a> {
    machine: &'a Machine,
    /// 0 where there is one set-up.
    set_up: usize,
    before: usize,
    programs: Vec<&'a Program>,
}

/// What the proof holds a frame against.
pub(super) fn task(frame: &Frame, machine: &Machine) -> FrameTask {
    FrameTask {
        plane: frame.plane,
        clear_mm: frame.z_mm(machine),
        home: frame.home,
        home_z_mm: frame.home_z_mm(machine),
        feed_mm_min: feed_mm_min(machine, FeedKind::Cut),
        standing: frame.standing.clone(),
    }
}

/// The text of every program and every frame of a set.
pub fn texts(set: &Set) -> Vec<String> {
    let programs = programs::of(set);
    let frames = named(set, &programs).into_iter().map(|of| of.written.0);
    programs.iter().map(|of| of.written(set).0.clone()).chain(frames).collect()
}

/// Whether a file is a frame of a set: it goes round what the set's programs reach, and cuts
/// nothing.
///
/// # Errors
/// Only if the text cannot be read as a program at all.
pub fn is_frame(bytes: &[u8], name: &str, set: &Set) -> Result<bool, Error> {
    if proof::is_drawing(bytes, name) {
        return Ok(false);
    }
    for (machine, frame, _) in of(set, &programs::of(set)) {
        if verify_frame(bytes, name, machine, &task(&frame, machine))?.is_empty() {
            return Ok(true);
        }
    }
    Ok(false)
}
