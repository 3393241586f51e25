//! How the tool comes to the path and leaves it: always from and to the waste.

use super::round::Round;
use crate::geometry::{Point, Segment, Turn};

/// The ways in and out of a round.
pub(super) struct Lead {
    /// Where the tool is let down or lit, in the waste.
    pub entry: Point,
    /// A quarter turn from there onto the path.
    pub way_in: Segment,
    /// A quarter turn off the path, `overlap` past the start.
    pub way_out: Segment,
}

impl Lead {
    /// Quarter turns of `radius` beside the start of a round that goes on `overlap` past its start.
    pub(super) fn new(round: &Round, radius: f64, overlap: f64) -> Self {
        let (start, ahead, waste) = (round.start(), round.direction(), round.waste_side());
        let (entry, leave) = (start + (waste - ahead) * radius, start + ahead * overlap);
        Self {
            entry,
            way_in: Segment::Arc {
                from: entry,
                to: start,
                center: start + waste * radius,
                turn: Turn::Left,
            },
            way_out: Segment::Arc {
                from: leave,
                to: leave + (waste + ahead) * radius,
                center: leave + waste * radius,
                turn: Turn::Left,
            },
        }
    }
}
