//! How far an edge is off, in the words of a stair: low and high, forward and back, in and out.

use super::fit::EdgeOff;
use super::holding::TOLERANCE;
use crate::diagnostics::Millimetres;
use crate::diagnostics::codes::{self, EdgeSide, OtherEnd};
use crate::geometry::tolerance::PROOF_MM;
use crate::stair::outline::Role;

/// What is said of an edge that is off by more than the tolerance of the proof; outward is
/// positive.
pub(super) fn deviation(role: Role, off: EdgeOff) -> Option<codes::DrawingEdgeOff> {
    let [start, end] = off?;
    let (small, large) = if start.abs() <= end.abs() { (start, end) } else { (end, start) };
    if large.abs() <= PROOF_MM {
        return None;
    }
    let (worst, end) = if (large - small).abs() <= PROOF_MM {
        (f64::midpoint(small, large), OtherEnd::Same)
    } else {
        (large, OtherEnd::Off(Millimetres(small.abs()), side(role, small)))
    };
    let (measured, side) = (Millimetres(worst.abs()), side(role, worst));
    Some(codes::DrawingEdgeOff { measured, side, end, limit: TOLERANCE })
}

fn side(role: Role, off: f64) -> EdgeSide {
    let (outward, inward) = match role {
        Role::Tread(_) => (EdgeSide::High, EdgeSide::Low),
        Role::Riser(_) => (EdgeSide::Forward, EdgeSide::Back),
        _ => (EdgeSide::Out, EdgeSide::In),
    };
    if off > 0.0 { outward } else { inward }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Tape;

    #[test]
    fn a_deviation_is_said_as_a_carpenter_would() {
        let off = |role, a, b| deviation(role, Some([a, b]));
        let said = |role, a, b| off(role, a, b).map(|off| (off.measured, off.side, off.end));
        let along = OtherEnd::Same;
        assert_eq!(
            said(Role::Tread(3), -0.8, -0.8),
            Some((Millimetres(0.8), EdgeSide::Low, along))
        );
        assert_eq!(
            said(Role::Riser(2), 0.5, 0.5),
            Some((Millimetres(0.5), EdgeSide::Forward, along))
        );
        assert_eq!(
            said(Role::SeatCut, 0.25, 0.25),
            Some((Millimetres(0.25), EdgeSide::Out, along))
        );
        assert_eq!(said(Role::Riser(1), 0.005, -0.005), None);
        let tilted = OtherEnd::Off(Millimetres(0.2), EdgeSide::In);
        assert_eq!(
            said(Role::LowerEdge, 0.5, -0.2),
            Some((Millimetres(0.5), EdgeSide::Out, tilted))
        );
        let told = Tape::Metric
            .tells(|| off(Role::LowerEdge, 0.5, -0.2).map(|off| off.at("lower edge").sentence()));
        let words = "this edge as drawn is 0.5 mm out at one end and 0.2 mm in at the other; no \
            more than 0.0127 mm is allowed";
        assert_eq!(told.as_deref(), Some(words));
    }
}
