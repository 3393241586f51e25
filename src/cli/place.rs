//! Which question's answer somebody would change first where something is found.

use crate::diagnostics::{Finding, codes};
use crate::job::question;

macro_rules! beside {
    ($($key:literal: $($code:ident)*;)*) => {
        /// The key whose figure somebody would change first; none where nobody is asked for it.
        pub(super) fn field_of(finding: &Finding) -> Option<&'static str> {
            $(if $(finding.is::<codes::$code>())||* { return Some($key); })*
            question(&finding.place.to_string()).map(|asked| asked.key)
        }
    };
}

beside! {
    "rise.total": FlightRiseLow FlightRiseHigh;
    "rise.risers": UnitRiseLow UnitRiseHigh RiserCountLow RiserCountHigh PitchLow PitchHigh StepSumLow StepSumHigh
        RiseRunSumLow RiseRunSumHigh RiserStepLow RiserStepHigh RiserSpreadLow RiserSpreadHigh;
    "tread.cut": UnitRunLow UnitRunHigh TreadOverRunLow TreadOverRunHigh StringerSpanLow StringerSpanHigh;
    "tread.thickness": TreadThicknessLow TreadThicknessHigh;
    "tread.overhang": NosingLow NosingHigh OverlapLow OverlapHigh;
    "tread.riser_board": OpenGapLow OpenGapHigh;
    "head.rim_depth": HeadContactSmall HeadNoContact;
    "board.width": ThroatLow ThroatHigh BoardDepthLow BoardDepthHigh BoardNamedSize BoardByName;
    "board.thickness": BoardThicknessLow BoardThicknessHigh StringerThin;
    "foot.tie_plate.height": NotchThinToe NotchThinTop NotchThinHeel;
    "stair.most_spacing": StringerSpacingLow StringerSpacingHigh StringerOverstressed
        StringerDeflects StringerBearingHigh FootNotchShear HeadShear;
    "steps.past_sides": TreadShortOfSkirt;
    "skirts.width": SkirtNarrow SkirtBoardNarrow;
    "rail.post": PostOnNotch;
    "opening.length": OpeningShort OpeningBeyondFlight HeadroomLow HeadroomHigh;
    "opening.from_head": OpeningOffHead;
    "opening.depth": CeilingLow;
    "landing.depth": LandingShort LandingTurnShort;
    "landing.turn": FlightsCross;
    "cut.thickness": ThicknessDiffers StringerThickness;
}
