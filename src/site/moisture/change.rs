//! The change of a width between two moisture contents.

use crate::diagnostics::{Error, ErrorKind};
use crate::job::{BoardGrain, MOST_MOISTURE_PERCENT};
use crate::profile::Movement;

/// The range, in percent, that the coefficients are published for: Wood Handbook FPL-GTR-190,
/// equation 13-2.
pub(super) const LEAST_LINEAR_PERCENT: f64 = 6.0;
/// Its upper end.
pub(super) const MOST_LINEAR_PERCENT: f64 = 14.0;
/// Moisture at which most species begin to shrink, in percent: Wood Handbook FPL-GTR-190, at
/// equation 13-3.
pub(super) const GREEN_PERCENT: f64 = 30.0;

/// Which published equation a change comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Method {
    /// Wood Handbook equation 13-2, between 6 and 14 %.
    Coefficient,
    /// Wood Handbook equation 13-3, from green dimensions.
    FromGreen,
}

impl Method {
    /// The equation and its source.
    pub fn source(self) -> &'static str {
        match self {
            Self::Coefficient => "Wood Handbook FPL-GTR-190, equation 13-2, for 6 to 14 % moisture",
            Self::FromGreen => {
                "Wood Handbook FPL-GTR-190, equation 13-3, from green at 30 % (approximate)"
            }
        }
    }
}

/// The change of a width.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Change {
    /// As a share of the width now: less than 0 where it shrinks.
    pub share: f64,
    /// Where it comes from.
    pub method: Method,
}

/// The change of a width when the wood goes from one moisture content to another, in percent of its
/// dry weight.
///
/// Within 6 to 14 %: D = C (`M_F` - `M_I`). Else (`M_F` - `M_I`) / (30 * 100 / S - 30 + `M_I`), S
/// the shrinkage from green to ovendry in percent, which is the straight line from 30 % to 0
/// referred to the width now; above 30 % nothing moves.
///
/// # Errors
/// If a moisture content is below 0 or above what wood can hold.
pub fn width_change(
    movement: &Movement,
    grain: BoardGrain,
    from_percent: f64,
    to_percent: f64,
) -> Result<Change, Error> {
    for percent in [from_percent, to_percent] {
        if !(0.0..=MOST_MOISTURE_PERCENT).contains(&percent) {
            return Err(Error::new(ErrorKind::Input, "a moisture content that no wood has")
                .found(format!("{percent} %"))
                .allowed(format!("0 to {MOST_MOISTURE_PERCENT} % of the dry weight"))
                .hint("kiln-dried framing: 15 to 19; indoors: 6 to 11; outdoors: 12 to 16"));
        }
    }
    let (coefficient, shrinkage) = match grain {
        BoardGrain::Flat => (movement.tangential, movement.tangential_green_percent),
        BoardGrain::Quarter => (movement.radial, movement.radial_green_percent),
    };
    let linear = LEAST_LINEAR_PERCENT..=MOST_LINEAR_PERCENT;
    if linear.contains(&from_percent) && linear.contains(&to_percent) {
        return Ok(Change {
            share: coefficient * (to_percent - from_percent),
            method: Method::Coefficient,
        });
    }
    let (from, to) = (from_percent.min(GREEN_PERCENT), to_percent.min(GREEN_PERCENT));
    let share = (to - from) / (GREEN_PERCENT * 100.0 / shrinkage - GREEN_PERCENT + from);
    Ok(Change { share, method: Method::FromGreen })
}
