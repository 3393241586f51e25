//! What the plumb cut at the head bears on: the rim, or what the job's joint puts in its place.

use super::flight::Flight;
use crate::job::{Job, Joint};
use crate::units::Length;

/// What has the face that the plumb cut stands against.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HeadBearsOn {
    /// The rim.
    Rim,
    /// A board that hangs on the rim.
    HangerBoard,
    /// A header that lies lower than the framing's top.
    Header,
}

impl HeadBearsOn {
    /// What it is called.
    pub fn name(self) -> &'static str {
        match self {
            Self::Rim => "rim",
            Self::HangerBoard => "hanger board",
            Self::Header => "header",
        }
    }
}

/// The upright face that the plumb cut stands against; elevation frame of the flight.
///
/// Common practice, no source: a rim and a hanger board from the framing's top down by their depth,
/// a dropped header from as far below as it lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeadFace {
    /// What it is the face of.
    pub of: HeadBearsOn,
    /// Its upper end.
    pub top: Length,
    /// How deep it is; `None` where nobody measured the rim.
    pub depth: Option<Length>,
}

impl HeadFace {
    /// That of a joint; `None` for a head that lies over its framing.
    pub fn of(flight: &Flight, joint: Joint) -> Option<Self> {
        let framing = flight.framing_top_y();
        let face = |of, top, depth| Some(Self { of, top, depth });
        use HeadBearsOn::{HangerBoard, Header, Rim};
        match joint {
            Joint::AgainstRim | Joint::LedgerNotch { .. } => face(Rim, framing, flight.rim_depth),
            Joint::HangerBoard { depth, .. } => face(HangerBoard, framing, Some(depth)),
            Joint::DroppedHeader { below, depth } => face(Header, framing - below, Some(depth)),
            Joint::TopOver { .. } => None,
        }
    }

    /// That of a job: the joint's that it asks for, else the rim's.
    pub fn of_job(job: &Job, flight: &Flight) -> Option<Self> {
        Self::of(flight, job.around.joint.unwrap_or(Joint::AgainstRim))
    }

    /// What an upright line from `low` to `high` shares with it, lower end first; as long as
    /// nothing where they do not meet, `None` where its depth is not known.
    pub fn shared(&self, low: Length, high: Length) -> Option<[Length; 2]> {
        let from = low.max(self.top - self.depth?);
        Some([from, high.min(self.top).max(from)])
    }
}
