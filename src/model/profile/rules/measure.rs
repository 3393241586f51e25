//! What a limit is about, and the findings of a breach.

use serde::Deserialize;

use crate::diagnostics::{Code, codes};

/// What a limit is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Measure {
    /// Height of every finished riser.
    UnitRise,
    /// Going: nose to nose.
    UnitRun,
    /// Largest less smallest finished riser.
    RiserSpread,
    /// Largest less smallest finished run of the flight.
    RunSpread,
    /// The most by which two neighbouring finished risers differ.
    RiserStep,
    /// The most by which two neighbouring finished runs differ.
    RunStep,
    /// Overhang of the tread beyond the riser face.
    Nosing,
    /// Depth of the whole tread less its run.
    TreadOverRun,
    /// How far a tread reaches over the one below where there are no riser boards.
    Overlap,
    /// Thickness of a tread.
    TreadThickness,
    /// Slope of a tread, fall per depth.
    TreadSlope,
    /// Rise of the whole flight: the height between landings.
    FlightRise,
    /// Angle of the nose line, in degrees.
    Pitch,
    /// Twice the unit rise and one unit run.
    StepSum,
    /// One unit rise and one unit run.
    RiseRunSum,
    /// Height of the gap between treads where there are no riser boards.
    OpenGap,
    /// Number of risers of the flight.
    RiserCount,
    /// Wood left behind the notches, after the relief that will be cut.
    Throat,
    /// Width of the board.
    BoardDepth,
    /// Thickness of the board.
    BoardThickness,
    /// Horizontal length of the stringer between its supports.
    StringerSpan,
    /// Distance between stringers, centre to centre.
    StringerSpacing,
    /// Width of the stair between what stands beside it.
    ClearWidth,
    /// Height over the nose line, plumb.
    Headroom,
    /// Slope of the ground or floor that the flight lands on, fall per length.
    LandingSlope,
    /// Top of the rail over the line through the nosings, plumb.
    RailHeight,
    /// The widest opening between balusters, or a baluster and a post, level.
    BalusterOpening,
}

/// What the figures of a measure are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Lengths, in mm.
    Length,
    /// Angles, in degrees.
    Degrees,
    /// Counts.
    Count,
    /// Slopes, fall per length: `1:48`.
    Slope,
}

impl Measure {
    /// The codes of a finding below the least and above the most.
    pub fn codes(self) -> (Code, Code) {
        macro_rules! both {
            ($low:ty, $high:ty) => {
                (<$low>::CODE, <$high>::CODE)
            };
        }
        match self {
            Self::UnitRise => both!(codes::UnitRiseLow, codes::UnitRiseHigh),
            Self::UnitRun => both!(codes::UnitRunLow, codes::UnitRunHigh),
            Self::RiserSpread => both!(codes::RiserSpreadLow, codes::RiserSpreadHigh),
            Self::RunSpread => both!(codes::RunSpreadLow, codes::RunSpreadHigh),
            Self::RiserStep => both!(codes::RiserStepLow, codes::RiserStepHigh),
            Self::RunStep => both!(codes::RunStepLow, codes::RunStepHigh),
            Self::Nosing => both!(codes::NosingLow, codes::NosingHigh),
            Self::TreadOverRun => both!(codes::TreadOverRunLow, codes::TreadOverRunHigh),
            Self::Overlap => both!(codes::OverlapLow, codes::OverlapHigh),
            Self::TreadThickness => both!(codes::TreadThicknessLow, codes::TreadThicknessHigh),
            Self::TreadSlope => both!(codes::TreadSlopeLow, codes::TreadSlopeHigh),
            Self::FlightRise => both!(codes::FlightRiseLow, codes::FlightRiseHigh),
            Self::Pitch => both!(codes::PitchLow, codes::PitchHigh),
            Self::StepSum => both!(codes::StepSumLow, codes::StepSumHigh),
            Self::RiseRunSum => both!(codes::RiseRunSumLow, codes::RiseRunSumHigh),
            Self::OpenGap => both!(codes::OpenGapLow, codes::OpenGapHigh),
            Self::RiserCount => both!(codes::RiserCountLow, codes::RiserCountHigh),
            Self::Throat => both!(codes::ThroatLow, codes::ThroatHigh),
            Self::BoardDepth => both!(codes::BoardDepthLow, codes::BoardDepthHigh),
            Self::BoardThickness => both!(codes::BoardThicknessLow, codes::BoardThicknessHigh),
            Self::StringerSpan => both!(codes::StringerSpanLow, codes::StringerSpanHigh),
            Self::StringerSpacing => both!(codes::StringerSpacingLow, codes::StringerSpacingHigh),
            Self::ClearWidth => both!(codes::ClearWidthLow, codes::ClearWidthHigh),
            Self::Headroom => both!(codes::HeadroomLow, codes::HeadroomHigh),
            Self::LandingSlope => both!(codes::LandingLevel, codes::LandingSteep),
            Self::RailHeight => both!(codes::RailHeightLow, codes::RailHeightHigh),
            Self::BalusterOpening => both!(codes::BalusterOpeningLow, codes::BalusterOpeningHigh),
        }
    }

    /// Whether it is of a rail: asked of a job that has one.
    pub fn is_of_rail(self) -> bool {
        matches!(self, Self::RailHeight | Self::BalusterOpening)
    }

    /// What its figures are.
    pub fn kind(self) -> Kind {
        match self {
            Self::Pitch => Kind::Degrees,
            Self::RiserCount => Kind::Count,
            Self::TreadSlope | Self::LandingSlope => Kind::Slope,
            _ => Kind::Length,
        }
    }

    /// What it is called where it has to be looked at on site.
    pub fn words(self) -> &'static str {
        match self {
            Self::UnitRise => "risers",
            Self::UnitRun => "runs",
            Self::RiserSpread => "difference of the risers",
            Self::RunSpread => "difference of the runs",
            Self::RiserStep => "difference of neighbouring risers",
            Self::RunStep => "difference of neighbouring runs",
            Self::Nosing => "nosing",
            Self::TreadOverRun => "tread depth over the run",
            Self::Overlap => "overlap of the treads",
            Self::TreadThickness => "thickness of the treads",
            Self::TreadSlope => "slope of the treads",
            Self::FlightRise => "height between landings",
            Self::Pitch => "pitch",
            Self::StepSum => "two rises and a run",
            Self::RiseRunSum => "a rise and a run",
            Self::OpenGap => "gap between treads",
            Self::RiserCount => "number of risers",
            Self::Throat => "wood behind the notches",
            Self::BoardDepth => "width of the board",
            Self::BoardThickness => "thickness of the board",
            Self::StringerSpan => "span of the stringers",
            Self::StringerSpacing => "stringer spacing",
            Self::ClearWidth => "clear width",
            Self::Headroom => "headroom",
            Self::LandingSlope => "landing slope",
            Self::RailHeight => "height of the rail",
            Self::BalusterOpening => "openings between balusters",
        }
    }
}
