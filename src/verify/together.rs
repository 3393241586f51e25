//! One program, those of several set-ups, or one after a roughing program, held together.

use super::expectation::Expectation;
use super::findings::Findings;
use super::motion::read_motion;
use super::moves::Motion;
use super::program::{Cut, held};
use super::roughing::Roughed;
use super::said::Errand;
use super::sections::Sections;
use super::verdict::Verdict;
use crate::diagnostics::{Error, Finding, Place};

/// Holds a program against what is expected. `file` names it in errors and findings.
///
/// # Errors
/// Only if the text cannot be read as a program at all; everything else is a finding.
pub fn verify_program(text: &[u8], file: &str, e: &Expectation<'_>) -> Result<Verdict, Error> {
    verify_set_ups(&[(file, text)], file, e)
}

/// Holds the programs of all set-ups of a part together, in the order they are run: what one leaves
/// of the stock the next one finds. Each is looked at by itself too. `name` is the file that
/// findings about all of it are told of.
///
/// # Errors
/// Only if one cannot be read as a program at all; everything else is a finding.
pub fn verify_set_ups(
    files: &[(&str, &[u8])],
    name: &str,
    e: &Expectation<'_>,
) -> Result<Verdict, Error> {
    verified(files, name, e, None)
}

/// Holds a program on the line together with the roughing program that is run before it: as it is
/// held by itself, and what hangs once both have run, by the tabs that both leave. The roughing
/// program is held by [`verify_program`].
///
/// # Errors
/// Only if one cannot be read as a program at all; everything else is a finding.
pub fn verify_after_roughing(
    text: &[u8],
    file: &str,
    e: &Expectation<'_>,
    rough: &Roughed<'_>,
) -> Result<Verdict, Error> {
    verified(&[(file, text)], file, e, Some(rough))
}

fn verified(
    files: &[(&str, &[u8])],
    name: &str,
    e: &Expectation<'_>,
    rough: Option<&Roughed<'_>>,
) -> Result<Verdict, Error> {
    let lines = |text: &[u8]| text.iter().filter(|byte| **byte == b'\n').count() + 1;
    let sections = Sections::of(files.iter().map(|(file, text)| (*file, lines(text))));
    let mut findings = Findings::new(name);
    let errand = if e.cuts() { Errand::Cut } else { Errand::Mark };
    let mut motion = Motion::default();
    for (setup, (file, text)) in files.iter().enumerate() {
        let (mut own, base) = (Findings::new(file), sections.before(setup));
        motion = motion.then(read_motion(text, file, (e.machine, errand), &mut own)?, base);
        own.finish().into_iter().for_each(|finding| findings.add(lines_on(finding, base)));
    }
    let first = rough.map(|rough| rough.first(e, &mut findings)).transpose()?;
    let cut = Cut { motion, first };
    let verdict = held(name, e, cut, sections.clone(), findings);
    let findings = verdict.findings.into_iter().map(|finding| sections.placed(finding)).collect();
    Ok(Verdict { findings, ..verdict }.settled(name))
}

/// A finding at a line of its own file, its line counted through.
fn lines_on(mut finding: Finding, base: usize) -> Finding {
    if let Place::Line { line, .. } = &mut finding.place {
        *line += base;
    }
    finding
}
