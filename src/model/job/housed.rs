//! From the job file to the job: the pockets of a housed stringer.

use serde::Deserialize;

use super::job_file::HousedFile;
use super::resolve::Resolver;
use crate::diagnostics::Error;
use crate::units::Length;

/// Board over the line through the nosings where nothing is said, in inches (common practice, no
/// source).
const USUAL_ABOVE_IN: f64 = 1.5;
/// Wood round the ends of the pockets where nothing is said, in inches (common practice, no
/// source).
const USUAL_LAND_IN: f64 = 0.5;

/// A stringer that is a whole board: treads and risers stand in pockets of its inner face.
#[derive(Clone, Debug, PartialEq)]
pub struct Housed {
    /// Which side of the stair it stands on, for somebody who climbs.
    pub hand: Hand,
    /// Depth of the pockets.
    pub depth: Length,
    /// How much wider than its board a pocket is everywhere.
    pub clearance: Length,
    /// How much wider than that a pocket is at its far end, for a wedge: at the back of a tread, at
    /// the foot of a riser; 0 for pockets with parallel sides.
    pub wedge: Length,
    /// Board over the line through the finished nosings, square to it.
    pub edge_above: Length,
    /// The least wood between a pocket and any edge of the board: before the first nosing, under
    /// the first riser, behind the last tread, over the lower edge.
    pub land: Length,
}

/// Which side of the stair a stringer stands on, for somebody who climbs.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq)]
#[serde(rename_all = "kebab-case")]
pub enum Hand {
    /// Its inner face, seen from the stair, rises to the right.
    Left,
    /// Its inner face, seen from the stair, rises to the left.
    Right,
}

impl Hand {
    /// Both, the left one first.
    pub const BOTH: [Self; 2] = [Self::Left, Self::Right];

    /// The other one.
    pub fn other(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Right => Self::Left,
        }
    }

    /// Its name in a job file.
    pub fn name(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
        }
    }
}

impl Resolver<'_> {
    pub(super) fn housed(&mut self, raw: &HousedFile) -> Result<Housed, Error> {
        Ok(Housed {
            hand: raw.hand,
            depth: self.positive("housed.depth", &raw.depth, 100.0)?,
            clearance: self.optional("housed.clearance", &raw.clearance, 5.0, Length::ZERO)?,
            wedge: self.optional("housed.wedge", &raw.wedge, 50.0, Length::ZERO)?,
            edge_above: self.optional(
                "housed.edge_above",
                &raw.edge_above,
                500.0,
                Length::inches(USUAL_ABOVE_IN),
            )?,
            land: self.optional("housed.land", &raw.land, 200.0, Length::inches(USUAL_LAND_IN))?,
        })
    }
}
