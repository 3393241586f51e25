//! Holds the files of a set, as they were read back, against what each must be.

use rayon::prelude::*;

use super::{Artifact, Bundle, Proof, Stage, frames, stages};
use crate::diagnostics::{Error, ErrorKind, Severity, codes};
use crate::output::program_report;
use crate::output::report::{
    ComponentReport, HeldReport, HoldingReport, ProgramReport, VerifiedReport,
};
use crate::pipeline::proof;
use crate::units::Tape;
use crate::verify::{Component, Expectation, Holding, Verdict, verify_frame, verify_set_ups};

impl Bundle<'_> {
    /// Reads every file with `read` and holds drawings and programs against what they must be; the
    /// entries of the programs in the order they are run.
    ///
    /// # Errors
    /// Those of `read`; [`ErrorKind::Internal`] if a file is not what it must be: nothing of the
    /// set may be used then.
    pub fn proven(
        &self,
        read: impl FnMut(&Artifact<'_>) -> Result<Vec<u8>, Error>,
    ) -> Result<Vec<ProgramReport>, Error> {
        let mut reports: Vec<Option<ProgramReport>> = vec![None; self.programs.len()];
        held_all(&self.artifacts, read, |number, verdict| {
            reports[number] = Some(self.program_report(number, verdict));
        })?;
        Ok(reports.into_iter().flatten().collect())
    }

    fn program_report(&self, number: usize, verdict: &Verdict) -> ProgramReport {
        let of = &self.programs[number];
        program_report(
            &of.name,
            of.machine(self.set),
            of.ledger(self.set),
            of.program,
            of.turn.times,
            proven_figures(verdict),
        )
    }
}

/// Reads every file with `read` and holds drawings and programs against what they must be, on all
/// threads; each program's number and verdict go to `program`, in their order.
pub(super) fn held_all(
    artifacts: &[Artifact<'_>],
    read: impl FnMut(&Artifact<'_>) -> Result<Vec<u8>, Error>,
    mut program: impl FnMut(usize, &Verdict),
) -> Result<(), Error> {
    let bytes: Vec<Vec<u8>> = artifacts.iter().map(read).collect::<Result<_, Error>>()?;
    let files: Vec<(&Artifact<'_>, &[u8])> =
        artifacts.iter().zip(bytes.iter().map(Vec::as_slice)).collect();
    // What is told of a fault is told as the tape in hand counts, on whatever thread.
    let tape = Tape::in_hand();
    let proof_at = |at| tape.tells(|| proof_of(&files, at));
    let verdicts: Vec<Result<Vec<(usize, Verdict)>, Error>> =
        (0..files.len()).into_par_iter().map(proof_at).collect();
    for verdicts in verdicts {
        verdicts?.iter().for_each(|(number, verdict)| program(*number, verdict));
    }
    Ok(())
}

/// Holds the file at a place among those of a set; the verdicts on programs by their numbers. Those
/// that are run one after the other are held together, at the last of them.
fn proof_of(files: &[(&Artifact<'_>, &[u8])], at: usize) -> Result<Vec<(usize, Verdict)>, Error> {
    let (Artifact { name, proof, .. }, bytes) = files[at];
    match proof {
        Proof::Bytes => Ok(Vec::new()),
        Proof::Frame(machine, frame) => {
            let task = frames::task(frame, machine);
            let faults = verify_frame(bytes, name, machine, &task)?;
            let fault = faults.first();
            fault.map_or(Ok(Vec::new()), |fault| Err(unproven(name, fault.to_string())))
        }
        Proof::Drawing(expectation) => held(bytes, name, expectation).map(|_| Vec::new()),
        Proof::Program(number, expectation) => Ok(vec![(*number, held(bytes, name, expectation)?)]),
        Proof::Stage(Stage::Roughing, number, expectation) => {
            Ok(vec![(*number, held(bytes, name, expectation)?)])
        }
        Proof::Stage(Stage::OnLine, number, expectation) => {
            let (first, text) = files[at - 1];
            let verdict = stages::held_after(bytes, name, expectation, (first, text))?;
            Ok(vec![(*number, taken(verdict, name)?)])
        }
        Proof::SetUp(one, expectation) => {
            let alike: Vec<(usize, &str, &[u8])> = files[..=at]
                .iter()
                .filter_map(|(artifact, bytes)| {
                    let other = artifact.set_up().filter(|other| other.task == one.task)?;
                    Some((other.number, artifact.name.as_str(), *bytes))
                })
                .collect();
            if alike.len() < one.of {
                return Ok(Vec::new());
            }
            let together: Vec<(&str, &[u8])> =
                alike.iter().map(|(_, name, bytes)| (*name, *bytes)).collect();
            let verdict = taken(verify_set_ups(&together, name, expectation)?, name)?;
            Ok(alike.iter().map(|(number, ..)| (*number, verdict.clone())).collect())
        }
    }
}

/// Holds a file made here against what it must be; a fault is a bug, and nothing may be published.
///
/// # Errors
/// [`ErrorKind::Internal`] with what is wrong.
pub fn held(bytes: &[u8], name: &str, expectation: &Expectation<'_>) -> Result<Verdict, Error> {
    taken(proof::hold(bytes, name, expectation)?, name)
}

/// A verdict on what was made here, if it is a good one.
fn taken(verdict: Verdict, name: &str) -> Result<Verdict, Error> {
    // That a small part has room for too few tabs was said when it was planned; anything else is a
    // fault of this program.
    match verdict
        .findings
        .iter()
        .find(|f| f.severity != Severity::Advice && !f.is::<codes::LoosePart>())
    {
        Some(fault) if fault.is::<codes::TooTangled>() => Err(tangled(name)),
        Some(fault) => Err(unproven(name, fault.to_string())),
        None if !verdict.is_this_part() => {
            Err(unproven(name, format!("gouge {} mm", verdict.gouge_mm)))
        }
        None => Ok(verdict),
    }
}

/// The figures of a proof.
pub fn proven_figures(verdict: &Verdict) -> VerifiedReport {
    VerifiedReport {
        gouge_mm: verdict.gouge_mm,
        left_mm: verdict.left_mm,
        boundary_uncut_mm: verdict.boundary_uncut_mm,
        marks: verdict.marks,
        pockets: verdict.pockets,
        holding: verdict.holding.as_ref().map(holding_report),
    }
}

fn holding_report(holding: &Holding) -> HoldingReport {
    let tenth = |of: f64| (of * 10.0).round() / 10.0 + 0.0;
    let component = |of: &Component| ComponentReport {
        area_mm2: of.area_mm2.round(),
        box_mm: [of.bounds.min.x, of.bounds.min.y, of.bounds.max.x, of.bounds.max.y].map(tenth),
        held: of.held,
    };
    HoldingReport {
        setup: holding.setup,
        least_web_mm: holding.least_web_mm,
        coin_mm2: holding.coin_mm2,
        held_by: holding.held_by,
        pieces: holding
            .pieces
            .iter()
            .map(|(name, held)| HeldReport { name: name.clone(), held: *held })
            .collect(),
        components: holding.components.iter().map(component).collect(),
        by_thin_wood: holding.by_thin_wood.iter().map(component).collect(),
    }
}

/// What a sensible profile can end in too: strokes over the same edges so often that holding each
/// against each takes minutes. Nothing is wrong with the file, but nothing is proven of it either.
fn tangled(name: &str) -> Error {
    Error::new(ErrorKind::Refused, "a program is too long to be proven; nothing was written")
        .in_file(name)
        .found("so many passes over the same edges that the proof would take minutes")
        .hint("raise pass_depth or chord_tolerance in the machine profile, or cut fewer pieces")
}

fn unproven(name: &str, found: String) -> Error {
    Error::new(
        ErrorKind::Internal,
        "a file made here did not pass its own proof; nothing was written",
    )
    .in_file(name)
    .found(found)
    .hint("this is a bug of seatcut: please report it with the job file")
}
