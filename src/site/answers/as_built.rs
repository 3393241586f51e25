//! The flight of a job as it was built: which risers fail, what would bring them in, and how its
//! pattern has moved.

use super::OnSite;
use super::trims::{Spare, at_the_notch};
use crate::check::breaches;
use crate::diagnostics::{Error, ErrorKind, Finding, Severity, codes};
use crate::job::{AsBuilt, Job, Meets, Remeasured, Room};
use crate::profile::Measure;
use crate::site::as_built::{
    BuiltFlight, CheckLength, PatternWear, Remedy, RiserLimits, Worn, remedy,
};
use crate::stair::Flight;
use crate::stair::outline::Outline;
use crate::units::Length;

/// What came of holding a flight as built against its rule set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// No heights were given.
    NotMeasured,
    /// Every riser keeps its limits.
    Keeps,
    /// Some do not; a schedule of shims and trims brings them in.
    Schedule,
    /// Some do not, and no shims and trims inside the room do.
    NoneDoes,
}

/// A flight as built, held against its rule set.
#[derive(Clone, Debug)]
pub struct Fit {
    /// What came of it.
    pub verdict: Verdict,
    /// Every finished riser as it stands, from the bottom up.
    pub risers: Vec<Length>,
    /// What would bring them in; none where nothing was measured.
    pub remedy: Option<Remedy>,
    /// What the pattern would be off by, where its check lengths were measured.
    pub worn: Option<Worn>,
    /// What is worth saying; a refusing limit weighs as a warning where there is a schedule.
    pub findings: Vec<Finding>,
}

/// Holds as-built measurements against a job where its flight lands.
///
/// # Errors
/// Where the heights are not those of the job's treads, or a measurement means nothing.
pub fn fit(site: &OnSite, built: &AsBuilt) -> Result<Fit, Error> {
    if built.heights.is_empty() && built.pattern.is_none() {
        return Err(Error::new(ErrorKind::Input, "nothing was measured")
            .found("neither heights nor pattern")
            .allowed("heights of the treads as built, check lengths of the pattern, or both")
            .hint(
                "a line [built], and below it heights: every tread top over the lower floor, as \
                measured",
            ));
    }
    let job = &site.job;
    let flight = Flight::new(job, site.chosen().0);
    let mut found = Fit {
        verdict: Verdict::NotMeasured,
        risers: vec![],
        remedy: None,
        worn: None,
        findings: vec![],
    };
    if !built.heights.is_empty() {
        found.heights(job, &flight, built)?;
    }
    if let Some(pattern) = built.pattern {
        found.pattern(job, &flight, pattern)?;
    }
    Ok(found)
}

impl Fit {
    fn heights(&mut self, job: &Job, flight: &Flight, built: &AsBuilt) -> Result<(), Error> {
        as_many(job, flight, built)?;
        // Heights stand over the lower floor as it lies, the rise is from finish to finish.
        let laid = job.rise.total + built.finish_to_come - built.upper_finish_to_come;
        let upper = built.upper.unwrap_or(laid);
        let stands = BuiltFlight::new(built.heights.clone(), upper)?
            .with_finish_to_come(built.finish_to_come, built.upper_finish_to_come)?;
        let mut limits = RiserLimits::of(&job.rules);
        if let Some(most) = built.neighbours_most {
            limits = limits.with_step(most, Severity::Warning, "as given");
        }
        // Treads are trimmed no deeper than the throat below them allows, where that does.
        let spare = Spare::of(job, flight);
        let whole = rooms(built);
        let kept = spare.as_ref().map(|spare| spare.within(&whole)).unwrap_or(whole.clone());
        let remedy = match remedy(&stands, &limits, &kept)? {
            Remedy::NoneDoes(_) if kept != whole => remedy(&stands, &limits, &whole)?,
            remedy => remedy,
        };
        self.risers = stands.risers();
        self.findings = limits.findings(&self.risers);
        let keeps = self.findings.is_empty();
        let to_come = job.rise.finish_to_come;
        if to_come > Length::ZERO && built.finish_to_come == Length::ZERO {
            self.findings.push(codes::BuiltFloorTaken { measured: to_come }.at("built"));
        }
        if job.stringer.housed().is_some() && !keeps {
            // A tread in a closed pocket is neither shimmed nor trimmed.
            self.verdict = Verdict::NoneDoes;
            self.findings.push(codes::BuiltHoused {}.at("built"));
            return Ok(());
        }
        self.verdict = match &remedy {
            Remedy::NoneDoes(_) => Verdict::NoneDoes,
            Remedy::Schedule(_) if keeps => Verdict::Keeps,
            Remedy::Schedule(_) => Verdict::Schedule,
        };
        if self.verdict == Verdict::Schedule {
            for finding in &mut self.findings {
                finding.severity = finding.severity.min(Severity::Warning);
            }
        }
        self.findings.extend(remedy.findings(&limits));
        if let Remedy::Schedule(schedule) = &remedy {
            let rounded = schedule.on_tape.rounded();
            let moves = rounded.map_or(&schedule.moves, |rounded| &rounded.moves);
            self.findings.extend(spare.iter().flat_map(|spare| spare.findings(moves)));
            let first = moves.first().map(|by| -*by);
            self.findings.extend(first.and_then(|trim| at_the_notch(job, flight, trim)));
        }
        self.remedy = Some(remedy);
        Ok(())
    }

    fn pattern(
        &mut self,
        job: &Job,
        flight: &Flight,
        [along, across]: [Remeasured; 2],
    ) -> Result<(), Error> {
        let outline = Outline::of(job, flight).map_err(|_| {
            Error::new(ErrorKind::Refused, "this job has no part, so no pattern")
                .hint("seatcut solve says why")
        })?;
        let wear = PatternWear {
            along: CheckLength::new(along.marked, along.measured)?,
            across: CheckLength::new(across.marked, across.measured)?,
            length: outline.blank_length(),
            width: Length::mm(outline.in_board_frame().bounds().height()),
        };
        let worn = wear.worn(flight);
        self.findings.extend(worn.findings());
        let slope = worn.tread_tilt.as_mm().abs() / flight.unit_run.as_mm();
        self.findings.extend(breaches(job, flight, Measure::TreadSlope, slope));
        self.worn = Some(worn);
        Ok(())
    }
}

/// One height for each tread between the floors: a flush top tread is the upper floor.
fn as_many(job: &Job, flight: &Flight, built: &AsBuilt) -> Result<(), Error> {
    let between = match job.head.meets {
        Meets::OneDown => flight.treads,
        Meets::Flush => flight.treads - 1,
    };
    if built.heights.len() == between {
        return Ok(());
    }
    Err(Error::new(ErrorKind::Input, "the heights as built are not those of this job's treads")
        .found(format!("{} heights", built.heights.len()))
        .allowed(format!("{between}: every tread between the floors, from the bottom up"))
        .hint(
            "a flush top tread is left out; if the flight was built with another count, set \
            rise.risers",
        ))
}

fn rooms(built: &AsBuilt) -> Vec<Room> {
    let own = |tread: usize| built.other_rooms.iter().rev().find(|own| own.tread == tread);
    (1..=built.heights.len()).map(|tread| own(tread).map_or(built.room, |own| own.room)).collect()
}
