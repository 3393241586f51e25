//! How far an edge is off, in the words of a stair: low and high, forward and back, in and out.

use super::fit::EdgeOff;
use crate::geometry::tolerance::PROOF_MM;
use crate::outline::Role;
use crate::units::trimmed;

/// `tread 3 is 0.8 mm low`, for an edge that is off by more than the tolerance of the proof; outward is positive.
pub(super) fn deviation(role: Role, off: EdgeOff) -> Option<String> {
    let [start, end] = off?;
    let (small, large) = if start.abs() <= end.abs() { (start, end) } else { (end, start) };
    if large.abs() <= PROOF_MM {
        return None;
    }
    Some(if (large - small).abs() <= PROOF_MM {
        format!("{role} is {}", said(role, f64::midpoint(small, large)))
    } else {
        format!("{role} is tilted: {} at one end, {} at the other", said(role, large), said(role, small))
    })
}

fn said(role: Role, off: f64) -> String {
    let (outward, inward) = match role {
        Role::Tread(_) => ("high", "low"),
        Role::Riser(_) => ("forward", "back"),
        _ => ("out", "in"),
    };
    format!("{} mm {}", trimmed(off.abs(), 3), if off > 0.0 { outward } else { inward })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_deviation_is_said_as_a_carpenter_would() {
        let say = |role, a, b| deviation(role, Some([a, b])).unwrap_or_default();
        assert_eq!(say(Role::Tread(3), -0.8, -0.8), "tread 3 is 0.8 mm low");
        assert_eq!(say(Role::Riser(2), 0.5, 0.5), "riser 2 is 0.5 mm forward");
        assert_eq!(say(Role::SeatCut, 0.25, 0.25), "seat cut is 0.25 mm out");
        assert_eq!(say(Role::Riser(1), 0.005, -0.005), "");
        assert!(say(Role::LowerEdge, 0.5, -0.2).contains("tilted: 0.5 mm out at one end, 0.2 mm in at the other"));
    }
}
