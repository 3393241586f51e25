//! Prescriptive limits for deck stringers, printed beside the figures as a second opinion.

use super::input::{BeamInput, Sawn};
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
    let span = match input.sawn {
        Sawn::Notched => most("horizontal span of a cut 2x12", bay, 72.0, "AWC DCA 6"),
        Sawn::Solid => most("horizontal span of a solid 2x12", bay, SOLID_IN, "AWC DCA 6"),
    };
    let span = Some(span).filter(|_| is_2x12(input.board_width));
    if input.sawn == Sawn::Solid {
        // It has no throat, and the spacing is that of cut stringers.
        return span.into_iter().collect();
    }
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
    span.into_iter().chain(others).collect()
}

/// 13 ft 3 in.
const SOLID_IN: f64 = 159.0;

/// A board of another width has no published span.
fn is_2x12(width: Length) -> bool {
    Dressed::named("2x12")
        .is_some_and(|dressed| width.is_within(Length::inches(NEAR_2X12_IN), dressed.width))
}

/// As much as a board dries or swells (common practice, no source).
const NEAR_2X12_IN: f64 = 0.375;
