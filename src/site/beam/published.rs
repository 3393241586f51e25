//! Prescriptive limits for deck stringers, printed beside the figures as a second opinion.

use super::input::BeamInput;
use crate::units::{Dressed, Length};

/// A published limit and what this stair has.
#[derive(Clone, Debug, PartialEq)]
pub struct PublishedLimit {
    /// What it is about.
    pub what: &'static str,
    /// What this stair has.
    pub found: Length,
    /// The limit, at most or at least.
    pub limit: Length,
    /// Whether `limit` is the most or the least.
    pub bound: Bound,
    /// Where it stands.
    pub source: &'static str,
}

/// Which way a limit binds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bound {
    /// No more than this.
    AtMost,
    /// No less than this.
    AtLeast,
}

impl PublishedLimit {
    /// Whether this stair lies within it; exact to the rounding of a double.
    pub fn is_met(&self) -> bool {
        let beyond = match self.bound {
            Bound::AtMost => self.found - self.limit,
            Bound::AtLeast => self.limit - self.found,
        };
        beyond.as_mm() <= crate::profile::ON_THE_LIMIT
    }
}

pub(super) fn beside(input: &BeamInput) -> Vec<PublishedLimit> {
    let bay = input.middle.bay(input.span);
    let most = |what, found, inches, source| PublishedLimit {
        what,
        found,
        limit: Length::inches(inches),
        bound: Bound::AtMost,
        source,
    };
    let span = most("horizontal span of a cut 2x12", bay, 72.0, "AWC DCA 6");
    let others = [
        PublishedLimit {
            what: "throat",
            found: input.throat,
            limit: Length::inches(5.0),
            bound: Bound::AtLeast,
            source: "AWC DCA 6",
        },
        most(
            "spacing of cut stringers",
            input.stringers.spacing,
            18.0,
            "AWC DCA 6 (check locally)",
        ),
    ];
    Some(span).filter(|_| is_2x12(input.board_width)).into_iter().chain(others).collect()
}

/// A board of another width has no published span.
fn is_2x12(width: Length) -> bool {
    Dressed::named("2x12")
        .is_some_and(|dressed| width.is_within(Length::inches(NEAR_2X12_IN), dressed.width))
}

/// As much as a board dries or swells (common practice, no source).
const NEAR_2X12_IN: f64 = 0.375;
