//! The boards that stringers are sawn from: what is sold, and what lies at hand.

use serde::Deserialize;

use crate::units::Length;

/// A board this much narrower is as wide, in inches: half of the finest mark on a tape.
pub const SAME_WIDTH_IN: f64 = 1.0 / 64.0;

/// The boards that stringers are sawn from.
#[derive(Clone, Debug, PartialEq)]
pub struct StockBoards {
    /// The lengths that can be bought.
    pub lengths: Vec<Length>,
    /// What a saw cut takes.
    pub kerf: Length,
    /// What is cut off each end.
    pub end_trim: Length,
    /// What is done about a board narrower than the job's.
    pub narrow: Narrow,
    /// The boards at hand, as measured.
    pub measured: Vec<MeasuredBoard>,
}

/// What is done about a board narrower than the job's.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq)]
#[serde(rename_all = "kebab-case")]
pub enum Narrow {
    /// Nothing is made.
    Refuse,
    /// Everything is solved anew for the narrowest.
    ReSolve,
}

/// A board as measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeasuredBoard {
    /// Its width.
    pub width: Length,
    /// How far its edge is off a straight line at the middle.
    pub crown: Length,
}
