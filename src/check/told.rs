//! What is said of a limit that a figure breaks.

use crate::diagnostics::codes::Standing;
use crate::diagnostics::{Count, Degrees, Figure, Finding, Fine, Severity, Slope, Value, codes};
use crate::profile::{Breach, Limit, Measure};
use crate::units::{Length, Tape};

/// The finding of a figure, in the limit's own kind, that breaks it.
pub(super) fn broken(limit: &Limit, figure: f64) -> Option<Finding> {
    let breach = limit.breach(figure)?;
    let finding = told(limit, figure, breach);
    let (low, high) = limit.measure.codes();
    debug_assert_eq!(finding.code, if matches!(breach, Breach::Below(_)) { low } else { high });
    Some(finding.weighing(limit.severity).source(limit.source.as_str()))
}

fn told(limit: &Limit, figure: f64, breach: Breach) -> Finding {
    let (measure, severity) = (limit.measure, limit.severity);
    let standing = standing(severity, breach);
    // Every measure has a row below and a row above, alike but for their kind.
    macro_rules! length {
        ($low:ident, $high:ident) => {{
            let measured = Length::mm(figure);
            match breach {
                Breach::Below(least) => {
                    let limit = Length::mm(least);
                    codes::$low { measured, by: off(limit - measured, severity), limit, standing }
                        .at(place(measure))
                }
                Breach::Above(most) => {
                    let limit = Length::mm(most);
                    codes::$high { measured, by: off(measured - limit, severity), limit, standing }
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
        Measure::RiserStep => length!(RiserStepLow, RiserStepHigh),
        Measure::RunStep => length!(RunStepLow, RunStepHigh),
        Measure::Nosing => length!(NosingLow, NosingHigh),
        Measure::TreadOverRun => length!(TreadOverRunLow, TreadOverRunHigh),
        Measure::Overlap => length!(OverlapLow, OverlapHigh),
        Measure::TreadThickness => length!(TreadThicknessLow, TreadThicknessHigh),
        Measure::TreadSlope => told_tread_slope(figure, breach),
        Measure::FlightRise => length!(FlightRiseLow, FlightRiseHigh),
        Measure::Pitch => told_pitch(figure, breach, standing),
        Measure::StepSum => length!(StepSumLow, StepSumHigh),
        Measure::RiseRunSum => length!(RiseRunSumLow, RiseRunSumHigh),
        Measure::OpenGap => length!(OpenGapLow, OpenGapHigh),
        Measure::RiserCount => told_count(figure, breach),
        Measure::Throat => length!(ThroatLow, ThroatHigh),
        Measure::BoardDepth => length!(BoardDepthLow, BoardDepthHigh),
        Measure::BoardThickness => length!(BoardThicknessLow, BoardThicknessHigh),
        Measure::StringerSpan => length!(StringerSpanLow, StringerSpanHigh),
        Measure::StringerSpacing => length!(StringerSpacingLow, StringerSpacingHigh),
        Measure::ClearWidth => length!(ClearWidthLow, ClearWidthHigh),
        Measure::Headroom => length!(HeadroomLow, HeadroomHigh),
        Measure::LandingSlope => told_landing_slope(figure, breach),
        Measure::RailHeight => length!(RailHeightLow, RailHeightHigh),
        Measure::BalusterOpening => length!(BalusterOpeningLow, BalusterOpeningHigh),
    }
}

fn told_pitch(figure: f64, breach: Breach, standing: Standing) -> Finding {
    let (measured, place) = (Degrees(figure), place(Measure::Pitch));
    let by = |degrees| Figure { value: degrees, unit: "deg", digits: 4 };
    match breach {
        Breach::Below(least) => {
            let limit = Degrees(least);
            codes::PitchLow { measured, by: by(least - figure), limit, standing }.at(place)
        }
        Breach::Above(most) => {
            let limit = Degrees(most);
            codes::PitchHigh { measured, by: by(figure - most), limit, standing }.at(place)
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

fn told_tread_slope(figure: f64, breach: Breach) -> Finding {
    let (measured, place) = (Slope(figure), place(Measure::TreadSlope));
    match breach {
        Breach::Below(least) => codes::TreadSlopeLow { measured, limit: Slope(least) }.at(place),
        Breach::Above(most) => codes::TreadSlopeHigh { measured, limit: Slope(most) }.at(place),
    }
}

fn told_landing_slope(figure: f64, breach: Breach) -> Finding {
    let (measured, place) = (Slope(figure), place(Measure::LandingSlope));
    match breach {
        Breach::Below(least) => codes::LandingLevel { measured, limit: Slope(least) }.at(place),
        Breach::Above(most) => codes::LandingSteep { measured, limit: Slope(most) }.at(place),
    }
}

/// How a limit of this weight stands.
fn standing(severity: Severity, breach: Breach) -> Standing {
    match (severity, breach) {
        (Severity::Advice, _) => Standing::Usual,
        (Severity::Warning | Severity::Refusal, Breach::Below(_)) => Standing::AskedFor,
        (Severity::Warning | Severity::Refusal, Breach::Above(_)) => Standing::Allowed,
    }
}

/// By how much a limit is missed: of one that is only advice no more finely than a tape shows.
fn off(by: Length, severity: Severity) -> Value {
    let is_hair = by < Tape::in_hand().smallest();
    if severity == Severity::Advice && is_hair { "a hair".into() } else { missed_by(by) }
}

/// By how much a limit is missed, as a tape shows it; less than that to the last digit.
pub(super) fn missed_by(by: Length) -> Value {
    if by < Length::inches(1.0 / 16.0) { Fine(by).into() } else { by.into() }
}

fn place(measure: Measure) -> &'static str {
    match measure {
        Measure::UnitRise | Measure::RiserSpread | Measure::RiserStep => "every riser",
        Measure::UnitRun
        | Measure::RunSpread
        | Measure::RunStep
        | Measure::Nosing
        | Measure::TreadOverRun
        | Measure::TreadThickness
        | Measure::TreadSlope => "every tread",
        Measure::FlightRise
        | Measure::Pitch
        | Measure::StepSum
        | Measure::RiseRunSum
        | Measure::RiserCount
        | Measure::Headroom => "flight",
        Measure::OpenGap | Measure::Overlap => "between treads",
        Measure::Throat => "notch corners",
        Measure::BoardDepth | Measure::BoardThickness => "board",
        Measure::StringerSpan => "stringer",
        Measure::StringerSpacing => "stringers",
        Measure::ClearWidth => "stair",
        Measure::LandingSlope => "landing",
        Measure::RailHeight => "rail",
        Measure::BalusterOpening => "balusters",
    }
}
