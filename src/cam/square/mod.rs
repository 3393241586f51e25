//! The test square: a square with a square hole, cut to find out what a machine really cuts.
//!
//! What the tool takes away makes the outside smaller and the hole larger; what an axis goes too far
//! makes both larger. So the two of an axis tell one from the other ([`Reading`]).

mod reading;

pub use reading::{AGREE_IN, Axis, BadMeasure, Cut, Measured, OnAxis, Reading, SCALE_AGREES};

use crate::geometry::{Contour, Point};
use crate::profile::ProgramUnits;
use crate::stair::outline::Role;
use crate::units::Length;

/// How large a test square is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sizes {
    /// From side to side, outside.
    pub outside: Length,
    /// Its hole, in the middle of it.
    pub inside: Length,
}

impl Sizes {
    /// In whole units of the machine: 4 in and 2 in, 100 mm and 50 mm.
    pub fn of(units: ProgramUnits) -> Self {
        let (outside, inside) = match units {
            ProgramUnits::Inches => (Length::inches(4.0), Length::inches(2.0)),
            ProgramUnits::Millimetres => (Length::mm(100.0), Length::mm(50.0)),
        };
        Self { outside, inside }
    }

    /// The piece's outline, its lower left corner at 0,0; x to the right, y up.
    pub fn piece(&self) -> Contour<Role> {
        let names = ["lower side", "right side", "upper side", "left side"];
        square(0.0, self.outside.as_mm(), names)
    }

    /// The hole in it, in the same frame, counter-clockwise.
    pub fn hole(&self) -> Contour<Role> {
        let names = [
            "lower side of the hole",
            "right side of the hole",
            "upper side of the hole",
            "left side of the hole",
        ];
        square(self.web().as_mm(), self.inside.as_mm(), names)
    }

    /// The wood between a side and the hole.
    pub fn web(&self) -> Length {
        (self.outside - self.inside) / 2.0
    }
}

fn square(from: f64, side: f64, names: [&'static str; 4]) -> Contour<Role> {
    let to = from + side;
    let corners = [(from, from), (to, from), (to, to), (from, to)];
    let named = |i: usize| (Point::new(corners[i].0, corners[i].1), Role::TestSide(names[i]));
    Contour::polygon(&[0, 1, 2, 3].map(named)).expect("a square has four sides")
}
