//! One program of a part in several set-ups, held against its job: with the others as they are
//! planned.

use super::programs::{self, ProgramOf};
use super::stages::{Together, held_as, nearest};
use crate::diagnostics::Error;
use crate::pipeline::set::Set;
use crate::verify::Verdict;

/// Which program of a set in set-ups a file is, or is nearest to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum InSetUps {
    /// The one that bores the table for the pins.
    Table,
    /// One that marks or cuts in a set-up: which, and of how many.
    SetUp(usize, usize),
}

/// Which program of a set in set-ups a file is, and the verdict: the one that it is, else the one
/// that it is least off. `None` of a set without set-ups.
///
/// # Errors
/// Only if the file cannot be read as a program at all.
pub fn held_in_set_ups(
    text: (&[u8], &str),
    set: &Set,
    together: &Together<'_>,
) -> Result<Option<(InSetUps, Verdict)>, Error> {
    let programs = programs::of(set);
    let what = |of: &ProgramOf<'_>| {
        let set_up = of.program.set_up.as_ref()?;
        Some(match set_up.number {
            0 => InSetUps::Table,
            number => InSetUps::SetUp(number, set_up.of),
        })
    };
    if programs.iter().any(|of| of.program.set_up.is_none()) {
        return Ok(None);
    }
    let set_ups = programs.iter().enumerate().filter_map(|(i, of)| Some((i, what(of)?)));
    let set_ups = set_ups.filter(|(i, _)| together.may_be(text.1, *i));
    let held = |(i, what)| Ok((what, held_as(text, set, (&programs, i), together)?));
    nearest(set_ups.map(held))
}
