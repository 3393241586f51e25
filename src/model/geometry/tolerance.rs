//! The few tolerances of the project, in millimetres, each with its why.

use crate::units::MM_PER_INCH;

/// The proof's tolerance: half a thousandth of an inch, finer than a router or a laser repeats.
pub const PROOF_MM: f64 = 0.0005 * MM_PER_INCH;

/// Points closer than this are one point: a hundred times the rounding of coordinates of some
/// metres.
pub const COINCIDENT_MM: f64 = 1e-9;

/// Two independent constructions of one path may differ by this much: a millionth of an inch.
pub const AGREEMENT_MM: f64 = 1e-6 * MM_PER_INCH;

/// A gap is wide enough for a cutter if it is wider than the cutter by this: a thousandth of an
/// inch.
pub const CUTTER_CLEARANCE_MM: f64 = 0.001 * MM_PER_INCH;

/// Below this angle in radians a direction does not change: a micrometre on a metre.
pub const STRAIGHT_RAD: f64 = 1e-6;

/// Wood that holds what hangs on it is at least this wide: a quarter inch (common practice, no
/// source).
pub const LEAST_WEB_MM: f64 = 0.25 * MM_PER_INCH;

/// Waste up to this area, in square millimetres, is a crumb: a coin, an inch across.
pub const COIN_MM2: f64 = 490.0;
