//! The rule set's limits held against the flight.

use super::throat::throat_after_relief;
use crate::diagnostics::{Count, Degrees, Figure, Finding, Fine, Value, codes};
use crate::job::Job;
use crate::profile::{Breach, Limit, Measure, ON_THE_LIMIT, SiteMatter, Unchecked};
use crate::stair::Flight;
use crate::units::Length;

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
    job.rules.unchecked.iter().map(|item| look(item, job)).collect()
}

fn look(item: &Unchecked, job: &Job) -> Finding {
    let shown = if in_job(item.about, job) { codes::Shown::InJob } else { codes::Shown::NotInJob };
    codes::NotChecked { asks: item.limit.clone(), shown }
        .at(item.what())
        .source(item.source.as_str())
}

/// Whether the job says something of a matter that is looked at on site.
fn in_job(matter: SiteMatter, job: &Job) -> bool {
    let stair = job.around.stair;
    match matter {
        SiteMatter::ClearWidth => stair.is_some(),
        SiteMatter::StringerSpacing => stair.is_some_and(|stair| stair.most_spacing.is_some()),
        SiteMatter::LiveLoad => job.around.load.is_some(),
        SiteMatter::Headroom
        | SiteMatter::Handrail
        | SiteMatter::Guards
        | SiteMatter::Landing
        | SiteMatter::LandingSlope
        | SiteMatter::Lighting
        | SiteMatter::TreadSurface
        | SiteMatter::Other => false,
    }
}

fn applies(limit: &Limit, flight: &Flight) -> bool {
    let highest_tread = flight.unit_rise * flight.treads as f64;
    limit.unless_run_at_least.is_none_or(|run| flight.unit_run < run - Length::mm(ON_THE_LIMIT))
        && limit
            .where_higher_than
            .is_none_or(|height| highest_tread > height + Length::mm(ON_THE_LIMIT))
}

fn held(limit: &Limit, job: &Job, flight: &Flight) -> Option<Finding> {
    let figure = measure(limit.measure, job, flight)?;
    let breach = limit.breach(figure)?;
    let finding = told(limit.measure, figure, breach);
    let (low, high) = limit.measure.codes();
    debug_assert_eq!(finding.code, if matches!(breach, Breach::Below(_)) { low } else { high });
    Some(finding.weighing(limit.severity).source(limit.source.as_str()))
}

/// The finding of a limit that a figure breaks.
fn told(measure: Measure, figure: f64, breach: Breach) -> Finding {
    // Every measure has a row below and a row above, alike but for their kind.
    macro_rules! length {
        ($low:ident, $high:ident) => {{
            let measured = Length::mm(figure);
            match breach {
                Breach::Below(least) => {
                    let limit = Length::mm(least);
                    codes::$low { measured, by: missed_by(limit - measured), limit }
                        .at(place(measure))
                }
                Breach::Above(most) => {
                    let limit = Length::mm(most);
                    codes::$high { measured, by: missed_by(measured - limit), limit }
                        .at(place(measure))
                }
            }
        }};
    }
    match measure {
        Measure::UnitRise => length!(UnitRiseLow, UnitRiseHigh),
        Measure::UnitRun => length!(UnitRunLow, UnitRunHigh),
        Measure::RiserSpread => length!(RiserSpreadLow, RiserSpreadHigh),
        Measure::RunSpread => length!(RunSpreadLow, RunSpreadHigh),
        Measure::Nosing => length!(NosingLow, NosingHigh),
        Measure::FlightRise => length!(FlightRiseLow, FlightRiseHigh),
        Measure::Pitch => told_pitch(figure, breach),
        Measure::StepSum => length!(StepSumLow, StepSumHigh),
        Measure::RiseRunSum => length!(RiseRunSumLow, RiseRunSumHigh),
        Measure::OpenGap => length!(OpenGapLow, OpenGapHigh),
        Measure::RiserCount => told_count(figure, breach),
        Measure::Throat => length!(ThroatLow, ThroatHigh),
        Measure::BoardDepth => length!(BoardDepthLow, BoardDepthHigh),
        Measure::BoardThickness => length!(BoardThicknessLow, BoardThicknessHigh),
        Measure::StringerSpan => length!(StringerSpanLow, StringerSpanHigh),
    }
}

fn told_pitch(figure: f64, breach: Breach) -> Finding {
    let (measured, place) = (Degrees(figure), place(Measure::Pitch));
    let by = |degrees| Figure { value: degrees, unit: "deg", digits: 4 };
    match breach {
        Breach::Below(least) => {
            codes::PitchLow { measured, by: by(least - figure), limit: Degrees(least) }.at(place)
        }
        Breach::Above(most) => {
            codes::PitchHigh { measured, by: by(figure - most), limit: Degrees(most) }.at(place)
        }
    }
}

fn told_count(figure: f64, breach: Breach) -> Finding {
    let (measured, place) = (Count(figure as u64), place(Measure::RiserCount));
    match breach {
        Breach::Below(least) => {
            codes::RiserCountLow { measured, limit: Count(least.ceil() as u64) }.at(place)
        }
        Breach::Above(most) => {
            codes::RiserCountHigh { measured, limit: Count(most.floor() as u64) }.at(place)
        }
    }
}

/// By how much a limit is missed, as a tape shows it; less than that to the last digit.
fn missed_by(by: Length) -> Value {
    if by < Length::inches(1.0 / 16.0) { Fine(by).into() } else { by.into() }
}

/// The figure that a limit is about, in mm, degrees or a count; `None` where the flight has no such
/// thing.
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
    // A flight of one tread at the upper floor has no run between two noses: nothing differs.
    let extreme = |of: fn(Length, Length) -> Length| {
        lengths.iter().copied().reduce(of).unwrap_or(Length::ZERO)
    };
    extreme(Length::max) - extreme(Length::min)
}

fn place(measure: Measure) -> &'static str {
    match measure {
        Measure::UnitRise | Measure::RiserSpread => "every riser",
        Measure::UnitRun | Measure::RunSpread | Measure::Nosing => "every tread",
        Measure::FlightRise
        | Measure::Pitch
        | Measure::StepSum
        | Measure::RiseRunSum
        | Measure::RiserCount => "flight",
        Measure::OpenGap => "between treads",
        Measure::Throat => "notch corners",
        Measure::BoardDepth | Measure::BoardThickness => "board",
        Measure::StringerSpan => "stringer",
    }
}
