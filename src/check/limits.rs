//! The rule set's limits held against the flight.

use super::throat::throat_after_relief;
use crate::diagnostics::{Finding, codes};
use crate::measure::Job;
use crate::profile::{Breach, Limit, Measure, ON_THE_LIMIT};
use crate::solve::Flight;
use crate::units::{Length, trimmed};

/// Every breach of a limit, in the order of the rule set.
pub(super) fn limits(job: &Job, flight: &Flight) -> Vec<Finding> {
    job.rules
        .limits
        .iter()
        .filter(|limit| applies(limit, flight))
        .filter_map(|limit| held(limit, job, flight))
        .collect()
}

/// What the rule set asks for and no measurement of the job can show.
pub(super) fn unchecked(job: &Job) -> Vec<Finding> {
    let stair = job.around.stair;
    let known = |what: &str| {
        (what.contains("width") && stair.is_some())
            || (what.contains("spacing") && stair.is_some_and(|stair| stair.most_spacing.is_some()))
            || (what.contains("load") && job.around.load.is_some())
    };
    let advice = |item: &crate::profile::Unchecked| {
        let words =
            if known(&item.what) { "in the job, not held against this: look" } else { "not in the job: look on site" };
        Finding::about(codes::NotChecked::CODE, item.what.as_str())
            .figures(words, item.limit.as_str())
            .source(item.source.as_str())
    };
    job.rules.unchecked.iter().map(advice).collect()
}

fn applies(limit: &Limit, flight: &Flight) -> bool {
    let highest_tread = flight.unit_rise * flight.treads as f64;
    limit.unless_run_at_least.is_none_or(|run| flight.unit_run < run - Length::mm(ON_THE_LIMIT))
        && limit.where_higher_than.is_none_or(|height| highest_tread > height + Length::mm(ON_THE_LIMIT))
}

fn held(limit: &Limit, job: &Job, flight: &Flight) -> Option<Finding> {
    let measured = measure(limit.measure, job, flight)?;
    let (low, high) = limit.measure.codes();
    let (code, bound, words) = match limit.breach(measured)? {
        Breach::Below(least) => (low, least, "at least"),
        Breach::Above(most) => (high, most, "at most"),
    };
    let text = |figure: f64| printed(limit.measure, figure);
    let finding = Finding::about(code, place(limit.measure)).weighing(limit.severity);
    Some(finding.figures(text(measured), format!("{words} {}", text(bound))).source(limit.source.as_str()))
}

/// The figure that a limit is about, in mm, degrees or a count; `None` where the flight has no such thing.
fn measure(measure: Measure, job: &Job, flight: &Flight) -> Option<f64> {
    let mm = |length: Length| Some(length.as_mm());
    match measure {
        Measure::UnitRise => mm(flight.unit_rise),
        Measure::UnitRun => mm(flight.unit_run),
        Measure::RiserSpread => mm(spread(&flight.finished_risers())),
        Measure::RunSpread => mm(spread(&flight.finished_runs)),
        Measure::Nosing => mm(job.tread.overhang),
        Measure::FlightRise => mm(flight.total_rise),
        Measure::Pitch => Some(flight.pitch_rad().to_degrees()),
        Measure::StepSum => mm(flight.unit_rise * 2.0 + flight.unit_run),
        Measure::RiseRunSum => mm(flight.unit_rise + flight.unit_run),
        Measure::OpenGap if job.tread.riser_board > Length::ZERO => None,
        Measure::OpenGap => mm(flight.unit_rise - flight.tread_thickness),
        Measure::RiserCount => Some(flight.risers as f64),
        // One tread has no notch above it, so no throat.
        Measure::Throat if flight.treads < 2 => None,
        // Nor has a housed board any.
        Measure::Throat if job.housed.is_some() => None,
        Measure::Throat => mm(throat_after_relief(job, flight)),
        Measure::BoardDepth => mm(job.board.width),
        Measure::BoardThickness => mm(job.board.thickness),
        Measure::StringerSpan => mm(flight.total_run()),
    }
}

fn spread(lengths: &[Length]) -> Length {
    let largest = lengths.iter().copied().reduce(Length::max).unwrap_or(Length::ZERO);
    let smallest = lengths.iter().copied().reduce(Length::min).unwrap_or(Length::ZERO);
    largest - smallest
}

fn printed(measure: Measure, figure: f64) -> String {
    match measure {
        Measure::Pitch => format!("{} deg", trimmed(figure, 2)),
        Measure::RiserCount => trimmed(figure, 0),
        _ => {
            let length = Length::mm(figure);
            format!("{length}, exactly {} in", trimmed(length.as_inches(), 4))
        }
    }
}

fn place(measure: Measure) -> &'static str {
    match measure {
        Measure::UnitRise | Measure::RiserSpread => "every riser",
        Measure::UnitRun | Measure::RunSpread | Measure::Nosing => "every tread",
        Measure::FlightRise | Measure::Pitch | Measure::StepSum | Measure::RiseRunSum | Measure::RiserCount => "flight",
        Measure::OpenGap => "between treads",
        Measure::Throat => "notch corners",
        Measure::BoardDepth | Measure::BoardThickness => "board",
        Measure::StringerSpan => "stringer",
    }
}
