//! The frame beside a set: one for each machine that runs its programs.

use super::programs::{ProgramOf, Written};
use super::{Artifact, Proof, names, programs, stamp_of};
use crate::cam::plan::{FeedKind, Program, feed_mm_min};
use crate::diagnostics::{Error, Finding};
use crate::output::frame::{Frame, RoundAll};
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
    /// Whether all that it is for is cut from stock of one size.
    pub is_of_one_stock: bool,
    /// The first program that it is run before.
    pub before: usize,
    /// Its text, and the lines that each of its steps wrote.
    pub written: Written,
}

/// The frames of a set's programs.
pub(super) fn named<'a>(set: &'a Set, programs: &[ProgramOf<'a>]) -> Vec<FrameOf<'a>> {
    let frames = of(set, programs);
    let count = frames.len();
    let several = frames.iter().any(|of| of.machine != frames[0].machine);
    let round = if several { RoundAll::OfMachine } else { RoundAll::OfSet };
    let named = |(i, Framed { machine, frame, group }): (usize, Framed<'a>)| {
        let members = group.iter().flat_map(|of| programs[*of].members());
        let stocks = || group.iter().map(|of| programs[*of].program.stock);
        FrameOf {
            name: names::frame(i, count, &machine.words.extension),
            machine,
            written: frame.write(&stamp_of(set, members), machine, round),
            is_of_one_stock: stocks().all(|of| of == frame.program().stock),
            frame,
            before: group[0],
        }
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
fn of<'a>(set: &'a Set, programs: &[ProgramOf<'a>]) -> Vec<Framed<'a>> {
    let machine = |of: &ProgramOf<'a>| &set.members[of.member].workup.job.cut.machine;
    let set_up = |of: &ProgramOf<'a>| of.program.set_up.as_ref().map_or(0, |own| own.number);
    let mut groups: Vec<Group<'a>> = Vec::new();
    for (i, of) in programs.iter().enumerate().filter(|(_, of)| !of.is_of_table()) {
        let own = (machine(of), set_up(of));
        match groups.iter_mut().find(|group| (group.machine, group.set_up) == own) {
            Some(group) => group.programs.push(i),
            None => {
                let (machine, set_up) = own;
                groups.push(Group { machine, set_up, programs: vec![i] });
            }
        }
    }
    let framed = |group: Group<'a>| {
        let own: Vec<&Program> = group.programs.iter().map(|of| programs[*of].program).collect();
        let frame = Frame::of(&own, group.machine)?;
        Some(Framed { machine: group.machine, frame, group: group.programs })
    };
    groups.into_iter().filter_map(framed).collect()
}

/// The programs that one frame is for, by number; it is run before the first of them.
struct Group<'a> {
    machine: &'a Machine,
    /// 0 where there is one set-up.
    set_up: usize,
    programs: Vec<usize>,
}

/// A frame, and the programs that it is for.
struct Framed<'a> {
    machine: &'a Machine,
    frame: Frame,
    group: Vec<usize>,
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

/// The name and the text of every program and every frame of a set, in the order in which they are
/// run.
pub fn texts(set: &Set) -> Vec<(String, String)> {
    let programs = programs::of(set);
    let mut frames = named(set, &programs).into_iter().peekable();
    let mut texts = Vec::new();
    for (i, of) in programs.iter().enumerate() {
        while let Some(frame) = frames.next_if(|frame| frame.before == i) {
            texts.push((frame.name, frame.written.0));
        }
        texts.push((of.name.clone(), of.written(set).0.clone()));
    }
    texts
}

/// What keeps a file from being a frame of a set, which goes round what the set's programs reach
/// and cuts nothing: of several frames what keeps it from the nearest. Nothing where the set has
/// none.
///
/// # Errors
/// Only if the text cannot be read as a program at all.
pub fn frame_faults(bytes: &[u8], name: &str, set: &Set) -> Result<Option<Vec<Finding>>, Error> {
    if proof::is_drawing(bytes, name) {
        return Ok(None);
    }
    let mut least: Option<Vec<Finding>> = None;
    for Framed { machine, frame, .. } in of(set, &programs::of(set)) {
        let faults = verify_frame(bytes, name, machine, &task(&frame, machine))?;
        if least.as_ref().is_none_or(|least| faults.len() < least.len()) {
            least = Some(faults);
        }
    }
    Ok(least)
}
