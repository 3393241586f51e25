//! One program of a set held against its job, those that belong with it as they are planned: of two
//! with a cutter each the second together with the first, of several set-ups all of them.

use std::cmp::Reverse;
use std::collections::{BTreeMap, HashSet};

use super::programs::{self, ProgramOf, Stage};
use super::{Artifact, Proof};
use crate::diagnostics::{Error, ErrorKind};
use crate::pipeline::proof;
use crate::pipeline::set::Set;
use crate::verify::{Expectation, Roughed, Verdict, verify_after_roughing, verify_set_ups};

/// Programs that are held at the same time, each by the number of that of the set which it is, or
/// is nearest to: what belongs together is held as it was given, not as it is planned.
#[derive(Debug, Default)]
pub struct Together<'a>(BTreeMap<usize, (&'a str, &'a [u8])>);

impl<'a> Together<'a> {
    /// Of files by their names: of those that are one and the same program the first. What cannot
    /// be read as a program is none.
    ///
    /// # Errors
    /// Those of the set's own programs.
    pub fn of(
        files: impl IntoIterator<Item = (&'a str, &'a [u8])>,
        set: &Set,
    ) -> Result<Self, Error> {
        let (programs, alone) = (programs::of(set), Self::default());
        let mut held = Vec::new();
        for (name, bytes) in files {
            for i in 0..programs.len() {
                match held_as((bytes, name), set, (&programs, i), &alone) {
                    Ok(verdict) => {
                        let unlike = Reverse(lines_alike(bytes, &programs[i].written(set).0));
                        let wrongs = (!verdict.is_this_part(), unlike, verdict.wrongs());
                        held.push((wrongs, i, (name, bytes)));
                    }
                    Err(error) if error.kind() == ErrorKind::NotThisPart => {}
                    Err(error) => return Err(error),
                }
            }
        }
        // What is one of the set's is that; the others are, of what is left, what they have most
        // lines of, or are least off.
        held.sort_by_key(|&(wrongs, i, _)| (wrongs, i));
        let mut all: BTreeMap<usize, (&str, &[u8])> = BTreeMap::new();
        for (_, i, file) in held {
            if !all.values().any(|known| known.0 == file.0) {
                all.entry(i).or_insert(file);
            }
        }
        Ok(Self(all))
    }
}

impl Together<'_> {
    /// Whether a file may be one of the set's programs: where it was told apart from others, that
    /// alone.
    pub(super) fn may_be(&self, name: &str, program: usize) -> bool {
        let known = self.0.iter().find(|(_, (given, _))| *given == name);
        known.is_none_or(|(at, _)| *at == program)
    }
}

/// How many lines of a text another one has, comments apart.
fn lines_alike(text: &[u8], planned: &str) -> usize {
    let moves = |line: &&str| !line.is_empty() && !line.starts_with(['(', ';']);
    let planned: HashSet<&str> = planned.lines().map(str::trim).filter(moves).collect();
    let text = String::from_utf8_lossy(text);
    text.lines().filter(|line| planned.contains(line.trim())).count()
}

/// Which of a set's programs with two cutters a file is, and the verdict: the one that it is, else
/// the one that it is least off. `None` of a set without such programs.
///
/// # Errors
/// Only if the file cannot be read as a program at all.
pub fn held_in_stages(
    text: (&[u8], &str),
    set: &Set,
    together: &Together<'_>,
) -> Result<Option<(Stage, Verdict)>, Error> {
    let programs = programs::of(set);
    let stages = programs.iter().enumerate().filter_map(|(i, of)| Some((i, of.stage()?)));
    let stages = stages.filter(|(i, _)| together.may_be(text.1, *i));
    let held = |(i, stage)| Ok((stage, held_as(text, set, (&programs, i), together)?));
    nearest(stages.map(held))
}

/// Of several things that a file may be the one that it is, else the one that it is least off; what
/// comes behind the one that it is, is not held.
///
/// # Errors
/// The first that comes.
pub(super) fn nearest<T>(
    held: impl Iterator<Item = Result<(T, Verdict), Error>>,
) -> Result<Option<(T, Verdict)>, Error> {
    let mut least: Option<(T, Verdict)> = None;
    for one in held {
        let (what, verdict) = one?;
        if verdict.is_this_part() {
            return Ok(Some((what, verdict)));
        }
        if least.as_ref().is_none_or(|(_, least)| verdict.wrongs() < least.wrongs()) {
            least = Some((what, verdict));
        }
    }
    Ok(least)
}

/// A text by its name held as one of a set's programs, those that belong with it as they were given
/// together with it, else as they are planned.
pub(super) fn held_as(
    (bytes, name): (&[u8], &str),
    set: &Set,
    (programs, i): (&[ProgramOf<'_>], usize),
    together: &Together<'_>,
) -> Result<Verdict, Error> {
    let artifact = programs[i].artifact(set, i)?;
    match &artifact.proof {
        Proof::Stage(Stage::OnLine, _, expectation) => {
            let first = programs[i - 1].artifact(set, i - 1)?;
            let text = together.0.get(&(i - 1)).map_or(&first.bytes[..], |(_, text)| text);
            held_after(bytes, name, expectation, (&first, text))
        }
        Proof::SetUp(one, expectation) => {
            let alike = |(_, of): &(usize, &ProgramOf<'_>)| {
                of.program.task == one.task && !of.is_of_table()
            };
            let set_ups: Vec<_> = programs.iter().enumerate().filter(alike).collect();
            let texts: Vec<(&str, &[u8])> = set_ups
                .iter()
                .map(|(other, of)| match together.0.get(other) {
                    _ if *other == i => (name, bytes),
                    // Each is told apart by its name.
                    Some(&(given, text)) if given != name => (given, text),
                    _ => (of.name.as_str(), of.written(set).0.as_bytes()),
                })
                .collect();
            verify_set_ups(&texts, name, expectation)
        }
        Proof::Stage(Stage::Roughing, _, expectation) | Proof::Program(_, expectation) => {
            proof::hold(bytes, name, expectation)
        }
        Proof::Bytes | Proof::Drawing(_) | Proof::Frame(..) => {
            unreachable!("a program is proven as one")
        }
    }
}

/// Holds a program on the line together with the roughing program before it, as that was read.
pub(super) fn held_after(
    bytes: &[u8],
    name: &str,
    expectation: &Expectation<'_>,
    (first, text): (&Artifact<'_>, &[u8]),
) -> Result<Verdict, Error> {
    let Proof::Stage(Stage::Roughing, _, rough) = &first.proof else {
        unreachable!("a roughing program is the one before that on the line")
    };
    let rough = Roughed { file: &first.name, text, expectation: rough };
    verify_after_roughing(bytes, name, expectation, &rough)
}
