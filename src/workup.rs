//! A job taken through every stage up to the plan: what the export and the command work from.

use crate::check::{apply_waivers, check, profile_sense, throat_after_relief};
use crate::compensate::{ToolPath, compensate};
use crate::diagnostics::{Code, Finding, Outcome, Warned, codes, gathered};
use crate::geometry::Contour;
use crate::mark::{Marks, marks};
use crate::measure::{Fingerprint, Job, Makes};
use crate::outline::{Outline, OutlineProblem, Role};
use crate::plan::{self, Program, plan, plan_marked};
use crate::solve::{Flight, Reason, candidate_counts, chosen_count};
use crate::surround::{GroundFit, Surroundings};
use crate::units::Length;

/// One riser count and what would be found with it.
#[derive(Clone, Debug)]
pub struct Choice {
    /// The flight with this count.
    pub flight: Flight,
    /// Extent of its stringer along the pitch, where there is one.
    pub blank_length: Option<Length>,
    /// Why it was chosen, if it was.
    pub reason: Option<Reason>,
    /// Codes of everything found with it, each once, advice about what cannot be checked left out.
    pub codes: Vec<Code>,
}

/// A planned cut.
#[derive(Clone, Debug)]
pub struct Planned {
    /// The tool path.
    pub path: ToolPath,
    /// The program that cuts.
    pub program: Program,
    /// What is marked on a pattern.
    pub marks: Option<Marks>,
    /// The program that only marks, run before the cut; none where the cut marks by itself or nothing marks.
    pub mark_program: Option<Program>,
}

impl Planned {
    /// The piece as it lies on the stock: the part, or the pattern made smaller by what follows it.
    pub fn piece_on_stock(&self) -> Contour<Role> {
        self.path.piece().placed(&self.program.placement())
    }
}

/// Everything that follows from a job.
#[derive(Clone, Debug)]
pub struct Workup {
    /// The job's short name.
    pub fingerprint: Fingerprint,
    /// The chosen flight.
    pub flight: Flight,
    /// Throat after the inside-corner relief that will be cut.
    pub throat_cut: Length,
    /// The finished part, if there is one.
    pub outline: Option<Outline>,
    /// Every feasible riser count, the chosen one among them.
    pub choices: Vec<Choice>,
    /// The planned cut, if nothing refuses it.
    pub planned: Option<Planned>,
    /// What the job asks beyond the stringer, answered.
    pub around: Surroundings,
    /// Everything there is to say, waivers applied.
    pub findings: Vec<Finding>,
}

/// The tool's path and the marks of a job's piece, before it is known where it lies.
#[derive(Clone, Debug)]
pub struct Tooling {
    /// The tool path.
    pub path: ToolPath,
    /// What is marked on it.
    pub marks: Option<Marks>,
}

impl Workup {
    /// Takes a job through solve, outline, check, compensate and plan, one part on its own. Nothing is made where a refusal
    /// stands.
    pub fn of(job: &Job) -> Workup {
        let (workup, planned) = Workup::through(job, |tooling, outline| alone(job, outline, tooling));
        Workup { planned, ..workup }
    }

    /// Takes a job through solve, outline, check and compensate, to be laid out together with others. No tooling where a
    /// refusal stands.
    pub fn tooled(job: &Job) -> (Workup, Option<Tooling>) {
        Workup::through(job, |tooling, _| Ok(Warned::plain(tooling)))
    }

    /// The job worked up but not planned, and what `make` makes of its tooling: nothing where a refusal stands.
    fn through<T>(job: &Job, make: impl FnOnce(Tooling, &Outline) -> Outcome<T>) -> (Workup, Option<T>) {
        let (count, reason) = chosen_count(job);
        let flight = Flight::new(job, count);
        let outline = Outline::of(job, &flight);
        let mut findings = check(job, &flight, outline.as_ref());
        findings.extend(profile_sense(job));
        let throat_cut = throat_after_relief(job, &flight);
        let around = Surroundings::of(job, &flight, outline.as_ref().ok(), throat_cut);
        findings.extend(around.findings.iter().cloned());
        let made = outline.as_ref().ok().and_then(|outline| {
            let tooling = tooling(job, &flight, outline);
            gathered(tooling.and_then(|tooling| tooling.and_then(|tooling| make(tooling, outline))), &mut findings)
        });
        apply_waivers(&mut findings, &job.waivers);
        let workup = Workup {
            fingerprint: Fingerprint::of(job),
            throat_cut,
            choices: choices(job, count, reason),
            around,
            planned: None,
            outline: outline.ok(),
            flight,
            findings,
        };
        let refused = workup.refused();
        (workup, made.filter(|_| !refused))
    }

    /// Whether a refusal stands that nobody took on.
    pub fn refused(&self) -> bool {
        self.findings.iter().any(Finding::refuses)
    }
}

/// Compensates and marks.
fn tooling(job: &Job, flight: &Flight, outline: &Outline) -> Outcome<Tooling> {
    compensate(job, outline)?.and_then(|path| {
        if job.cut.makes == Makes::Stringers {
            return Ok(Warned::plain(Tooling { path, marks: None }));
        }
        let marks = marks(job, &Fingerprint::of(job), flight, outline, job.cut.machine.stroke_width())?;
        Ok(marks.map(|marks| Tooling { path, marks: Some(marks) }))
    })
}

/// Plans one part on its own.
fn alone(job: &Job, outline: &Outline, tooling: Tooling) -> Outcome<Planned> {
    let Tooling { path, marks } = tooling;
    let Some(marks) = marks else {
        let (program, said) = plan(job, outline, &path)?;
        return Ok(Warned::new(Planned { path, program, marks: None, mark_program: None }, said));
    };
    let (planned, said) = plan_marked(job, outline, &path, &marks)?;
    let plan::Planned { marks: mark_program, cut: program } = planned;
    Ok(Warned::new(Planned { path, program, marks: Some(marks), mark_program }, said))
}

fn choices(job: &Job, chosen: usize, reason: Reason) -> Vec<Choice> {
    if let Ok(Some((ground, landed))) = GroundFit::of(job) {
        let mut landings = landed.counts.clone();
        if landings.iter().all(|landing| landing.risers != chosen) {
            landings.push(landed.landing);
            landings.sort_by_key(|landing| landing.risers);
        }
        let reason = |count: usize| (count == chosen).then_some(landed.reason);
        return landings.iter().map(|l| choice(&ground.job_at(job, l), l.risers, reason(l.risers))).collect();
    }
    let mut counts = candidate_counts(job);
    if !counts.contains(&chosen) {
        counts.push(chosen);
        counts.sort_unstable();
    }
    counts.into_iter().map(|count| choice(job, count, (count == chosen).then_some(reason))).collect()
}

fn choice(job: &Job, count: usize, reason: Option<Reason>) -> Choice {
    let flight = Flight::new(job, count);
    let outline: Result<Outline, OutlineProblem> = Outline::of(job, &flight);
    let mut codes: Vec<Code> = Vec::new();
    for finding in check(job, &flight, outline.as_ref()) {
        if !finding.is::<codes::NotChecked>() && !codes.contains(&finding.code) {
            codes.push(finding.code);
        }
    }
    Choice { blank_length: outline.ok().map(|outline| outline.blank_length()), flight, reason, codes }
}
