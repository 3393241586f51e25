//! A finite length, held in millimetres.

use std::iter::Sum;
use std::ops::{Add, Div, Mul, Neg, Sub};

/// An inch is exactly 25.4 mm (international yard and pound agreement, 1959).
pub const MM_PER_INCH: f64 = 25.4;

/// A length in millimetres, finite by construction. It may be negative: a difference is a length
/// too.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Length(f64);

impl Length {
    /// No length at all.
    pub const ZERO: Self = Self(0.0);

    /// A length of `value` millimetres. Panics if `value` is not finite: a number read from
    /// outside goes through [`super::read_length`] instead.
    pub fn mm(value: f64) -> Self {
        assert!(value.is_finite(), "a length is a finite number of millimetres");
        Self(value)
    }

    /// A length of `value` inches. Panics as [`Length::mm`] does.
    pub fn inches(value: f64) -> Self {
        Self::mm(value * MM_PER_INCH)
    }

    /// The length in millimetres.
    pub fn as_mm(self) -> f64 {
        self.0
    }

    /// The length in inches.
    pub fn as_inches(self) -> f64 {
        self.0 / MM_PER_INCH
    }

    /// The length in feet.
    pub fn as_feet(self) -> f64 {
        self.as_inches() / 12.0
    }

    /// The smaller of two lengths.
    pub fn min(self, other: Self) -> Self {
        Self(self.0.min(other.0))
    }

    /// The larger of two lengths.
    pub fn max(self, other: Self) -> Self {
        Self(self.0.max(other.0))
    }

    /// Whether two lengths differ by no more than `tolerance`.
    pub fn is_within(self, tolerance: Self, other: Self) -> bool {
        (self.0 - other.0).abs() <= tolerance.0
    }
}

impl Add for Length {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::mm(self.0 + other.0)
    }
}

impl Sub for Length {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self::mm(self.0 - other.0)
    }
}

impl Neg for Length {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl Mul<f64> for Length {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self::mm(self.0 * factor)
    }
}

impl Div<f64> for Length {
    type Output = Self;
    fn div(self, divisor: f64) -> Self {
        Self::mm(self.0 / divisor)
    }
}

impl Sum for Length {
    fn sum<I: Iterator<Item = Self>>(lengths: I) -> Self {
        lengths.fold(Self::ZERO, Add::add)
    }
}
