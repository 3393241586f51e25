//! What a file is held against: each program and part of its job in turn, and where it is none of
//! them, the one that it is least off.

use super::beside_stringer::{as_skirt, as_step};
use super::letter::{carries, of_whole_sheets};
use super::make::cut_named;
use super::named::Named;
use crate::bundle::{Together, drawing_expectation, expectations, held_in_stages};
use crate::diagnostics::{Error, ErrorKind, Finding, codes};
use crate::pipeline::proof;
use crate::pipeline::set::{Member, Set};
use crate::pipeline::workup::Workup;
use crate::stair::outline::Outline;
use crate::verify::{Expectation, Recognised, Verdict};

/// A program as one of two that cut with a cutter each, held together with the other as planned:
/// where it is one, or says that it is of this set and is nearest to one. Any other may be
/// anybody's.
pub(super) fn stage_of(
    bytes: &[u8],
    name: &str,
    set: &Set,
    together: &Together<'_>,
) -> Result<Option<(Option<Named>, Verdict)>, Error> {
    let held = if set.refused() { None } else { held_in_stages((bytes, name), set, together)? };
    let is_cut = |verdict: &Verdict| !verdict.findings.iter().any(|f| f.is::<codes::NothingCut>());
    let taken = held
        .filter(|(_, verdict)| verdict.is_this_part() || is_cut(verdict) && carries(bytes, set));
    Ok(taken.map(|(stage, verdict)| (Some(Named::Stage(stage)), verdict)))
}

/// A drawing as the part of one of a set's jobs, or as a skirt of one; where it is neither, against
/// what it is least off. Other pieces of its sheets have no drawing of their own.
pub(super) fn drawing_of_set(
    bytes: &[u8],
    name: &str,
    set: &Set,
) -> Result<(Option<Named>, Verdict), Error> {
    let mut least = Least::default();
    for (i, member) in set.members.iter().enumerate() {
        let of_job = |skirt: String| match &set.members[..] {
            [_] => skirt,
            _ => format!("{skirt} of {}", member.job().title),
        };
        let verdict = proof::hold(bytes, name, &drawing_expectation(set, i))?;
        let skirt = as_skirt(bytes, name, &member.workup)?;
        match (verdict.is_this_part(), skirt) {
            (true, None) => return Ok((None, verdict)),
            (true, Some((skirt, _))) => {
                return Ok((Some(Named::AlsoSkirt(of_job(skirt))), verdict));
            }
            (false, Some((skirt, verdict))) => {
                return Ok((Some(Named::Skirt(of_job(skirt))), verdict));
            }
            (false, None) => {
                if let Some((step, verdict)) = as_step(bytes, name, &member.workup)? {
                    return Ok((Some(Named::Step(of_job(step))), verdict));
                }
                least.note(verdict);
            }
        }
    }
    // Pieces of a split pattern, layers: what its programs cut, where it cuts no steps.
    if set.members.iter().all(|member| member.workup.beside.from_sheet.is_empty()) {
        let (_, verdict) = hold_to_set(bytes, name, set)?;
        if verdict.is_this_part() {
            return Ok((None, verdict));
        }
    }
    Ok((None, least.0.ok_or_else(nothing_to_make)?))
}

/// As one of the set's programs, else as the plain part of one of its jobs; where nothing fits,
/// against what it is least off. A program that carries the set's fingerprint has to be one of its
/// programs. A plain part is one piece of several: that is said, and is not what was asked for.
pub(super) fn hold_to_set(
    bytes: &[u8],
    name: &str,
    set: &Set,
) -> Result<(Option<Named>, Verdict), Error> {
    let mut least = Least::default();
    let several: usize = set.members.iter().map(Member::pieces).sum();
    for expectation in expectations(set) {
        let verdict = proof::hold(bytes, name, &expectation)?;
        if verdict.is_this_part() {
            let pieces = verdict.placements.len();
            let some = (pieces < several).then_some(Named::Part(pieces, several));
            return Ok((some, verdict));
        }
        least.note(verdict);
    }
    let is_drawing = proof::is_drawing(bytes, name);
    if !is_drawing && carries(bytes, set) {
        let verdict = least.0.ok_or_else(nothing_to_make)?;
        let verdict =
            if some_piece_is_made(&verdict) { verdict } else { verdict.of_another_layout(name) };
        return Ok((None, verdict));
    }
    if !is_drawing && several == 1 {
        for expectation in proof::laid_elsewhere(set) {
            let verdict = proof::hold(bytes, name, &expectation)?;
            if verdict.is_this_part() {
                return Ok((None, verdict));
            }
            least.note(verdict);
        }
    }
    for (i, member) in set.members.iter().enumerate() {
        let verdict = proof::hold(bytes, name, &drawing_expectation(set, i))?;
        if verdict.is_this_part() {
            let is_whole = is_drawing || several == 1;
            let verdict = if is_whole {
                verdict
            } else {
                verdict.of_one_among(several, &member.job().title, name)
            };
            return Ok((None, verdict));
        }
        // Of several pieces the figures of one say nothing.
        if is_drawing || several == 1 {
            least.note(verdict);
        }
    }
    let verdict = least.0.ok_or_else(nothing_to_make)?;
    let told = if set.is_on_offcuts() { verdict } else { of_whole_sheets(bytes, name, verdict) };
    Ok((None, told))
}

fn nothing_to_make() -> Error {
    Error::new(ErrorKind::Refused, "nothing of this set can be made").hint("seatcut make says why")
}

fn some_piece_is_made(verdict: &Verdict) -> bool {
    verdict.findings.iter().any(|finding| finding.is::<codes::NotAllPieces>())
}

/// The verdict with the fewest refusals so far.
#[derive(Default)]
struct Least(Option<Verdict>);

impl Least {
    fn note(&mut self, verdict: Verdict) {
        if self.0.as_ref().is_none_or(|least| verdict.wrongs() < least.wrongs()) {
            self.0 = Some(verdict);
        }
    }
}

/// First as if it were a program planned here, each of them in turn. A file that carries this job's
/// fingerprint has to be just one of those; any other may lie elsewhere and be tied otherwise, with
/// the job's hole and marks or as the plain part. Where nothing fits, the marks' program explains a
/// file that cuts nothing, and the cut's any other.
pub(super) fn hold(
    bytes: &[u8],
    name: &str,
    workup: &Workup,
    outline: &Outline,
) -> Result<Verdict, Error> {
    let job = &workup.job;
    if !proof::is_drawing(bytes, name) {
        // A program is held against what a machine can do.
        cut_named(job)?;
    }
    let marks = workup.planned.as_ref().and_then(|planned| planned.marks.as_ref());
    let anybodys = proof::drawing(job, outline, marks);
    let is_drawing = proof::is_drawing(bytes, name);
    let Some(planned) = workup.planned.as_ref().filter(|_| !is_drawing) else {
        let mut verdict = proof::hold(bytes, name, &anybodys)?;
        if !is_drawing {
            // What is not to be cut at all, on this machine or of this wood, no program cuts.
            let refusals = workup.findings.iter().filter(|finding| finding.refuses());
            verdict.findings.extend(refusals.cloned());
        }
        return Ok(verdict);
    };
    let (mut held, mut least): (Vec<Verdict>, _) = (Vec::new(), Least::default());
    for program in planned.programs() {
        let of_program = proof::of_program(job, outline, planned, program);
        held.push(proof::hold(bytes, name, &of_program)?);
    }
    if let Some(taken) = held.iter().position(Verdict::is_this_part) {
        return Ok(held.swap_remove(taken));
    }
    if !workup.fingerprint.is_in(bytes) {
        let on_line = planned.programs().filter(|program| !program.roughs);
        let mut elsewhere: Vec<_> =
            on_line.map(|program| proof::elsewhere(job, outline, program)).collect();
        let unmarked: Vec<_> = elsewhere.iter().filter_map(proof::unmarked).collect();
        elsewhere.extend(unmarked);
        // Whoever wrote it: a board is clamped where the job has it clamped.
        let zone = elsewhere.iter().find_map(|e| Some((e.clamp_zone?, e.zone_of?)));
        let (clamp_zone, zone_of) = zone.unzip();
        elsewhere.push(Expectation { clamp_zone, zone_of, ..anybodys });
        for expectation in elsewhere {
            let verdict = proof::hold(bytes, name, &expectation)?;
            if verdict.is_this_part() {
                return Ok(verdict);
            }
            least.note(verdict);
        }
    }
    // The cut comes last, and is the one that asks for a cut.
    let is_uncut = held.last().is_some_and(cuts_nothing);
    // Of a file that may lie anywhere the reasons are those of the place that it fits best.
    let fits_best = |least: &Verdict| held.iter().all(|of| least.wrongs() < of.wrongs());
    if let Some(least) = least.0.filter(|least| !is_uncut && fits_best(least)) {
        return Ok(least);
    }
    // Else those of the program that it is least off; of two alike of the later one, which cuts.
    let nearest = (0..held.len()).rev().min_by_key(|&i| held[i].wrongs());
    Ok(held.swap_remove(nearest.filter(|_| !is_uncut).unwrap_or(0)))
}

/// Whether a file may be a frame: no part is made, and nothing is cut.
pub(super) fn cuts_nothing(verdict: &Verdict) -> bool {
    let uncut = |finding: &Finding| finding.is::<codes::NothingCut>();
    verdict.what == Recognised::Program
        && !verdict.is_this_part()
        && verdict.findings.iter().any(uncut)
}
