//! Stairs of several flights in a set: each flight a job of it.

use super::{Entry, Member};
use crate::check::{apply_waivers, whole_stair};
use crate::diagnostics::{Error, ErrorKind, Finding, codes};
use crate::job::{Job, Waiver};
use crate::stair::{LandingTooHigh, OneFlight, WholeStair};

/// A stair of several flights, and where they stand among the members of the set.
#[derive(Clone, Debug)]
pub struct Stairway {
    /// The stair.
    pub whole: WholeStair,
    /// The member that is its lowest flight; the others follow it.
    pub first: usize,
    /// How many times all of it is made.
    pub times: usize,
}

impl Stairway {
    /// Whether a member of the set is one of its flights.
    pub fn has(&self, member: usize) -> bool {
        (self.first..self.first + self.whole.flights.len()).contains(&member)
    }

    /// Its flights among the members of its set, from the bottom up.
    pub fn flights<'a>(&self, members: &'a [Member]) -> &'a [Member] {
        &members[self.first..self.first + self.whole.flights.len()]
    }
}

/// Jobs of one flight each, and the stairs that some of them are of.
pub(super) struct Parted {
    pub entries: Vec<Entry>,
    pub stairways: Vec<Stairway>,
    pub findings: Vec<Finding>,
}

/// One flight of a job, for what is done a flight at a time: the job itself where it is one flight,
/// else the one of this number, counted from 1 at the foot. `what` is done to it: `ordered`.
///
/// # Errors
/// Where the stair has several flights and none is named, or it has no such flight, or landings and
/// risers do not go together.
pub fn one_flight(job: Job, number: Option<usize>, what: &str) -> Result<Job, Error> {
    let count = job.landings.len() + 1;
    let named = || {
        format!(
            "--flight 1{}",
            if count > 1 { format!(" to --flight {count}") } else { String::new() }
        )
    };
    match number {
        None if count == 1 => Ok(job),
        None => Err(Error::new(
            ErrorKind::Refused,
            format!("a stair with landings is not {what} as a whole: name one of its flights"),
        )
        .found(format!("{count} flights"))
        .allowed(format!("{}, counted from the foot", named()))
        .hint("--flight 1")),
        Some(number) if !(1..=count).contains(&number) => {
            Err(Error::new(ErrorKind::Usage, "the stair has no such flight")
                .found(format!("--flight {number}"))
                .allowed(named())
                .hint("--flight 1"))
        }
        Some(_) if count == 1 => Ok(job),
        Some(number) => {
            let whole = WholeStair::of(&job).map_err(|high| too_high(&job, high))?;
            Ok(of_stair(&whole.flights[number - 1].job))
        }
    }
}

/// A flight without the waivers of what is said of the whole stair.
fn of_stair(flight: &Job) -> Job {
    let mut job = flight.clone();
    job.waivers.retain(|waiver| !is_of_whole(waiver));
    job
}

/// Parts every stair that has landings into its flights.
///
/// # Errors
/// Where landings and risers do not go together, with the place in the text.
pub(super) fn parted(entries: Vec<Entry>) -> Result<Parted, Error> {
    let mut parted = Parted { entries: Vec::new(), stairways: Vec::new(), findings: Vec::new() };
    for entry in entries {
        if entry.job.landings.is_empty() {
            parted.entries.push(entry);
            continue;
        }
        let whole = WholeStair::of(&entry.job).map_err(|high| too_high(&entry.job, high))?;
        parted.findings.extend(whole_findings(&whole));
        let first = parted.entries.len();
        let times = entry.times;
        let flight = |of: &OneFlight| Entry { job: of_stair(&of.job), times };
        parted.entries.extend(whole.flights.iter().map(flight));
        parted.stairways.push(Stairway { whole, first, times });
    }
    Ok(parted)
}

/// What is said of the whole stair, waivers of that applied.
fn whole_findings(whole: &WholeStair) -> Vec<Finding> {
    let mut findings = whole_stair(whole);
    let own: Vec<Waiver> =
        whole.job.waivers.iter().filter(|waiver| is_of_whole(waiver)).cloned().collect();
    apply_waivers(&mut findings, &own);
    findings
}

/// Whether a waiver is of what is said of the whole stair, and not of a flight.
fn is_of_whole(waiver: &Waiver) -> bool {
    waiver.rule == codes::LandingShort::CODE.name()
}

/// A waiver that takes on a refusal of one flight is idle in none of the others.
pub(super) fn waived_once(members: &mut [Member], stairways: &[Stairway]) {
    for of in stairways {
        let flights = &mut members[of.first..of.first + of.whole.flights.len()];
        let waived: Vec<String> = flights
            .iter()
            .flat_map(|flight| &flight.workup.findings)
            .filter(|finding| finding.waived.is_some())
            .map(|finding| format!("waive {}", finding.code))
            .collect();
        for flight in flights {
            flight.workup.findings.retain(|finding| {
                let used = || waived.contains(&finding.place.to_string());
                !(finding.is::<codes::WaiverUnused>() && used())
            });
        }
    }
}

fn too_high(job: &Job, LandingTooHigh { after, risers, most }: LandingTooHigh) -> Error {
    let what = match after.cmp(&risers) {
        std::cmp::Ordering::Greater => "a landing lies above the upper floor",
        std::cmp::Ordering::Equal => {
            "a landing lies at the height of the upper floor, which is the floor itself"
        }
        std::cmp::Ordering::Less => "the last flight has one riser: no tread, and no stringer",
    };
    let found = format!("after = {after} of {risers} risers");
    let error = Error::new(ErrorKind::Input, what).found(found);
    let error = match most {
        Some(most) => error.allowed(format!("after = {most} or less with {risers} risers")).hint(
            "lower the landing (after counts all risers below it, from the foot of the stair), or \
            say how many risers the whole stair has: rise.risers",
        ),
        None => error
            .allowed("a stair of more risers")
            .hint("remove the tables [[landing]]: so low a stair is one flight"),
    };
    match job.around.place("landing") {
        Some(place) => error.at(place.clone()),
        None => error,
    }
}
