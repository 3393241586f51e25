//! Landings: which would do for a flight that is too high, and whether those of a stair are deep
//! enough.

use super::ends::rough;
use super::told::missed_by;
use crate::diagnostics::{Finding, Numbered, Place, Severity, codes};
use crate::geometry::Bounds;
use crate::job::{Job, Turn};
use crate::profile::{Measure, ON_THE_LIMIT, Scope};
use crate::stair::{Flight, LandingPlace, WholeStair};
use crate::units::{Length, on_tape};

/// Parts that lie over each other by less than this meet along a line, in mm.
const CROSSING_MM: f64 = 0.1;
/// How many ways to put landings are told.
const TOLD: usize = 2;

/// What would do for a job of one flight that breaks a limit on its height or its risers.
pub(super) fn would_do(job: &Job, flight: &Flight, found: &[Finding]) -> Option<Finding> {
    let is_one = job.flight_of.is_none() && job.landings.is_empty();
    let asked = is_one && found.iter().any(is_too_high);
    asked.then(|| options(job, flight.risers, flight.unit_rise)).flatten()
}

fn is_too_high(finding: &Finding) -> bool {
    finding.is::<codes::FlightRiseHigh>() || finding.is::<codes::RiserCountHigh>()
}

/// What there is to say of a stair of several flights as a whole; waivers are not applied yet.
pub fn whole_stair(whole: &WholeStair) -> Vec<Finding> {
    let mut findings: Vec<Finding> = rough(&whole.job).into_iter().collect();
    for (i, landing) in whole.landings.iter().enumerate() {
        let place = Place::Nth(Numbered::Landing, i + 1);
        findings.extend(turns(whole, landing, &place));
        findings.extend(deep_enough(whole, landing, &place));
    }
    findings.extend(crossing(whole));
    let most = most_risers(&whole.job, whole.unit_rise);
    if whole.flights.iter().any(|flight| most.is_some_and(|most| flight.risers > most)) {
        findings.extend(options(&whole.job, whole.risers, whole.unit_rise));
    }
    findings
}

/// Parts of the stair that lie over lower ones in plan; neighbours meet along a line.
fn crossing(whole: &WholeStair) -> Vec<Finding> {
    let mut parts: Vec<(String, Bounds)> = Vec::new();
    for (i, flight) in whole.flights.iter().enumerate() {
        parts.push((format!("flight {}", i + 1), flight.plan_box(whole.width)));
        let landing = whole.landings.get(i);
        parts.extend(landing.map(|landing| (format!("landing {}", i + 1), landing.plan)));
    }
    let mut findings = Vec::new();
    for (i, (name, of)) in parts.iter().enumerate() {
        // A landing that its own flights lie over is told as too short.
        let lower = parts[..i.saturating_sub(1)].iter();
        for (other, _) in lower.filter(|(_, other)| lies_over(of, other)) {
            let found = codes::FlightsCross { other: other.clone() };
            findings.push(found.at(name.as_str()));
        }
    }
    findings
}

fn lies_over(a: &Bounds, b: &Bounds) -> bool {
    let over = |axis: usize| a.max[axis].min(b.max[axis]) - a.min[axis].max(b.min[axis]);
    over(0) > CROSSING_MM && over(1) > CROSSING_MM
}

fn turns(whole: &WholeStair, landing: &LandingPlace, place: &Place) -> Option<Finding> {
    let (measured, limit) = (landing.asked.depth, whole.width);
    let is_short =
        matches!(landing.asked.turn, Turn::Side(_)) && measured < limit - Length::mm(ON_THE_LIMIT);
    is_short.then(|| codes::LandingTurnShort { measured, limit }.at(place.clone()))
}

fn deep_enough(whole: &WholeStair, landing: &LandingPlace, place: &Place) -> Option<Finding> {
    let rule = whole.job.rules.landing.as_ref()?;
    let (measured, limit) = (landing.asked.depth, rule.least(whole.width));
    if measured >= limit - Length::mm(ON_THE_LIMIT) {
        return None;
    }
    let by = missed_by(limit - measured);
    Some(codes::LandingShort { measured, by, limit }.at(place.clone()).source(rule.source.as_str()))
}

/// The most risers that one flight may have; `None` where the rule set sets no bound.
fn most_risers(job: &Job, unit_rise: Length) -> Option<usize> {
    let most = |measure: Measure| {
        let binding = job
            .rules
            .limits_on(measure)
            .filter(|limit| limit.severity > Severity::Advice && limit.over == Scope::Flight);
        binding.filter_map(|limit| limit.at_most)
    };
    let by_rise = most(Measure::FlightRise).map(|mm| (mm + ON_THE_LIMIT) / unit_rise.as_mm());
    let by_count = most(Measure::RiserCount).map(|count| count + ON_THE_LIMIT);
    by_rise.chain(by_count).map(|most| most.floor() as usize).min()
}

/// The fewest flights that keep the bound, and one more, each as even as whole risers allow.
fn options(job: &Job, risers: usize, unit_rise: Length) -> Option<Finding> {
    let least = job.head.meets.fewest_risers();
    let most = most_risers(job, unit_rise).filter(|most| *most >= least)?;
    let fewest = risers.div_ceil(most);
    let told: Vec<String> = (fewest.max(2)..)
        .take(TOLD)
        .filter(|count| risers / count >= least)
        .map(|count| flights(risers, count, unit_rise))
        .collect();
    let options = told.join(", or ");
    (!told.is_empty()).then(|| codes::LandingsWouldDo { options }.at("flight"))
}

/// `2 flights of 12 and 11 risers, the landing 7 ft up (after = 12)`; a riser too many goes below.
fn flights(risers: usize, count: usize, unit_rise: Length) -> String {
    let (each, over) = (risers / count, risers % count);
    let sizes: Vec<usize> = (0..count).map(|i| each + usize::from(i < over)).collect();
    let below = |i: usize| sizes[..=i].iter().sum::<usize>();
    let landing = |i: usize| {
        let after = below(i);
        format!("{} up (after = {after})", on_tape(unit_rise * after as f64))
    };
    let landings: Vec<String> = (0..count - 1).map(landing).collect();
    let sizes: Vec<String> = sizes.iter().map(usize::to_string).collect();
    let word = if count == 2 { "the landing" } else { "landings" };
    format!("{count} flights of {} risers, {word} {}", listed(&sizes), listed(&landings))
}

/// `a, b and c`.
fn listed(words: &[String]) -> String {
    match words {
        [all @ .., last] if !all.is_empty() => format!("{} and {last}", all.join(", ")),
        _ => words.concat(),
    }
}
