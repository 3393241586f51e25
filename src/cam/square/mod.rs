//! The test squares: a large one with a square hole and a small one, cut in one run to find out
//! what a machine really cuts.
//!
//! What the tool takes away makes both outsides smaller and the hole larger; play of an axis makes
//! all of them smaller by the same; what an axis goes too far makes the large one larger by more
//! than the small one. So the three of an axis tell one from the other ([`Reading`]).

mod reading;

pub use reading::{
    AGREE_IN, Axis, BadMeasure, Cut, Measured, NO_PLAY_IN, OnAxis, Reading, SCALE_AGREES,
};

use crate::geometry::{Contour, Point};
use crate::profile::ProgramUnits;
use crate::stair::outline::Role;
use crate::units::Length;

/// How large the test squares are.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sizes {
    /// The large one from side to side, outside.
    pub outside: Length,
    /// Its hole, in the middle of it.
    pub inside: Length,
    /// The small one from side to side.
    pub small: Length,
}

impl Sizes {
    /// In whole units of the machine, as large as calipers of six inches open: 5 in, 2 in and 2 in;
    /// 125 mm, 50 mm and 50 mm.
    pub fn of(units: ProgramUnits) -> Self {
        let [outside, inside, small] = match units {
            ProgramUnits::Inches => [5.0, 2.0, 2.0].map(Length::inches),
            ProgramUnits::Millimetres => [125.0, 50.0, 50.0].map(Length::mm),
        };
        Self { outside, inside, small }
    }

    /// The large one's outline, its lower left corner at 0,0; x to the right, y up.
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

    /// The small one's outline, in a frame of its own.
    pub fn small_piece(&self) -> Contour<Role> {
        let names = [
            "lower side of the small square",
            "right side of the small square",
            "upper side of the small square",
            "left side of the small square",
        ];
        square(0.0, self.small.as_mm(), names)
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
