//! The heights that matter, in the program's Z, and how finely the program's numbers can say them.

use super::expectation::Expectation;
use super::limits::{LEVEL_MM, TAB_MM};
use crate::profile::{Machine, TabSizes, ZZero};

/// Heights in millimetres of program Z.
#[derive(Clone, Copy, Debug)]
pub(super) struct Levels {
    /// The material's top face.
    pub top: f64,
    /// The material's bottom face.
    pub bottom: f64,
    /// The deepest that a cutter may go.
    pub floor: f64,
    /// Where rapids are safe.
    pub safe: f64,
    /// Heights closer than this are the same.
    pub near: f64,
}

impl Levels {
    /// The levels of the material as it lies on the machine.
    pub(crate) fn new(e: &Expectation<'_>) -> Self {
        let top = match e.machine.z_zero {
            ZZero::StockTop => 0.0,
            ZZero::Bed => e.stock.thickness_mm,
        };
        let bottom = top - e.stock.thickness_mm;
        let below = e.machine.tool.through().as_mm();
        let near = LEVEL_MM + last_digit_mm(e.machine);
        // Where a skin stays, its top is what all cuts go down to and no further.
        Self { top, bottom, floor: bottom - below, safe: top + e.machine.safe_height.as_mm(), near }
    }

    /// Whether a height lies in the material or below it.
    pub(crate) fn is_in_material(&self, z: f64) -> bool {
        z < self.top - self.near
    }

    /// The height that stands for a beam of this share of full power: its depth as a share of the
    /// material's.
    pub(crate) fn beam(&self, share: f64) -> f64 {
        self.top - (self.top - self.bottom) * share.clamp(0.0, 1.0)
    }

    /// The height at and below which a cut leaves nothing that holds.
    pub(crate) fn parting(&self) -> f64 {
        let least = TabSizes::least_wood_mm(self.top - self.bottom);
        (self.bottom + least - TAB_MM - self.near).max(self.through())
    }

    /// The height at and below which a cut goes through.
    pub(crate) fn through(&self) -> f64 {
        self.bottom.max(self.floor) + self.near
    }
}

/// What the last digit of a printed coordinate is worth.
pub(super) fn last_digit_mm(machine: &Machine) -> f64 {
    machine.units.in_mm()
        * 10_f64
            .powi(-i32::try_from(machine.decimals).expect("a machine prints six decimals at most"))
}
