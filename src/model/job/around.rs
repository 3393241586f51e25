//! What is asked beyond the stringer itself: the ground, the floor across the width, the stringers
//! side by side, the joint at the head, loads, moisture, and the flight as it was built. Nothing of
//! it is asked by default.

use serde::Deserialize;

use super::parts::{Outsides, RiserChoice};
use crate::diagnostics::{Error, ErrorKind, Position};
use crate::profile::Held;
use crate::units::Length;

/// Everything that is asked beyond the stringer itself.
#[derive(Clone, Debug, Default)]
pub struct Around {
    /// Ground that falls away from the head.
    pub ground: Option<Ground>,
    /// Total rises measured across the width, from left to right; none, or two or three.
    pub across: Vec<RiseAcross>,
    /// The stair that the stringers carry.
    pub stair: Option<StairWidth>,
    /// How the head meets the framing, where that is to be looked at.
    pub joint: Option<Joint>,
    /// What the stringers carry, where they are to be looked at as beams.
    pub load: Option<Load>,
    /// Moisture, where movement is to be looked at.
    pub moisture: Option<MoistureContent>,
    /// The flight as it was built; no part of the fingerprint, for it changes nothing of the part.
    pub built: Option<AsBuilt>,
    /// Where the tables stand in the text, for errors; no part of the fingerprint.
    pub places: Vec<(&'static str, Position)>,
}

impl Around {
    /// Where a table stands in the text, by its name.
    pub fn place(&self, table: &str) -> Option<&Position> {
        self.places.iter().find(|(name, _)| *name == table).map(|(_, place)| place)
    }
}

/// Ground that falls away from the head: the total rise is solved.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ground {
    /// Rise under the head, plumb, finished ground to finished upper surface.
    pub at_head: Length,
    /// Drop per level length away from the head; negative where the ground rises; less than 1
    /// either way.
    pub fall: f64,
    /// How far the plumb line at the head hung out from the rim.
    pub edge_out: Length,
    /// How the seat lies.
    pub seat: Seat,
    /// How the job chooses the number of risers, before where the flight lands forces it.
    pub choice: RiserChoice,
}

/// How the seat lies on ground that falls.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq)]
#[serde(rename_all = "kebab-case")]
pub enum Seat {
    /// Level, on a pad that is dug in.
    Level,
    /// Along the ground, cut to its slope.
    Follow,
}

/// A total rise at one place of the width.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RiseAcross {
    /// From the left side of the stair.
    pub offset: Length,
    /// Finished lower surface to finished upper surface there.
    pub total: Length,
}

impl RiseAcross {
    /// # Errors
    /// Unless there are two or three readings.
    pub fn are_enough(count: usize) -> Result<(), Error> {
        if (2..=3).contains(&count) {
            return Ok(());
        }
        Err(Error::new(ErrorKind::Input, "a floor out of level is given by two or three readings")
            .found(format!("{count} readings"))
            .allowed("2 or 3: left, right, and between them if wanted")
            .hint(
                "a table [[across]] for each reading, with its offset from the left side and the \
                total measured there",
            ))
    }

    /// # Errors
    /// Unless it stands to the right of the one before it, by more than 1 mm.
    pub fn is_right_of(&self, before: &Self) -> Result<(), Error> {
        if self.offset - before.offset > Length::mm(1.0) {
            return Ok(());
        }
        Err(Error::new(
            ErrorKind::Input,
            "the readings do not follow each other from left to right",
        )
        .found(format!("{} after {}", self.offset, before.offset))
        .allowed("offsets that grow, by more than 1 mm")
        .hint("look at offset again: every reading counts from the left side of the stair"))
    }
}

/// The stair that the stringers carry.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StairWidth {
    /// From side to side, over the outer stringers.
    pub width: Length,
    /// The widest spacing that the tread's own material allows, centre to centre.
    pub most_spacing: Option<Length>,
    /// Whether the two outside stringers are doubled.
    pub outsides: Outsides,
    /// Between what stands beside the stair, where that was measured.
    pub clear_width: Option<Length>,
    /// Over the nose line, plumb, the least there is, where that was measured.
    pub headroom: Option<Length>,
    /// How the stringers are held.
    pub held: Held,
}

/// How the head meets the framing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Joint {
    /// The plumb cut stands against the rim.
    AgainstRim,
    /// The plumb cut stands against a board that hangs on the rim, its top at the framing's top.
    HangerBoard {
        /// Thickness of the board.
        thickness: Length,
        /// Depth of the board.
        depth: Length,
    },
    /// A ledger on the rim carries the head; it is let into the lower end of the plumb cut.
    LedgerNotch {
        /// How far the ledger stands out from the rim.
        width: Length,
        /// Height of the ledger.
        height: Length,
    },
    /// The plumb cut stands against a header that lies lower than the framing's top.
    DroppedHeader {
        /// From the framing's top down to the header's.
        below: Length,
        /// Depth of the header.
        depth: Length,
    },
    /// The head lies on the framing and is notched over it.
    TopOver {
        /// From the floor framing's top down to that of the header it lies on.
        below: Length,
        /// Level length that lies on it.
        bearing: Length,
    },
}

impl Joint {
    /// Level from the plumb cut to the rim's face.
    pub fn gap(self) -> Length {
        match self {
            Self::HangerBoard { thickness, .. } => thickness,
            _ => Length::ZERO,
        }
    }

    /// What it is called.
    pub fn words(self) -> &'static str {
        match self {
            Self::AgainstRim => "plumb cut against the rim",
            Self::HangerBoard { .. } => "hanger board",
            Self::LedgerNotch { .. } => "ledger let in",
            Self::DroppedHeader { .. } => "dropped header",
            Self::TopOver { .. } => "over the framing",
        }
    }
}

impl std::fmt::Display for Joint {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(self.words())
    }
}

/// What the stringers carry.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    /// Live load in pounds a square foot; the rule set's where left out.
    pub live_psf: Option<f64>,
    /// Dead load in pounds a square foot; the usual one where left out.
    pub dead_psf: Option<f64>,
    /// Whether there is a support under the middle.
    pub middle: Middle,
    /// Horizontal clear span, where it is not the whole run.
    pub clear_span: Option<Length>,
}

/// Whether a stringer is supported under its middle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Middle {
    /// At foot and head only.
    Free,
    /// In the middle too.
    Supported,
}

impl Middle {
    /// What a stringer spans between two supports, of its whole span.
    pub fn bay(self, span: Length) -> Length {
        match self {
            Self::Free => span,
            Self::Supported => span / 2.0,
        }
    }
}

/// No wood holds more water than this, in percent of its dry weight (common practice, no source).
pub const MOST_MOISTURE_PERCENT: f64 = 250.0;

/// Moisture contents in percent of the dry weight.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MoistureContent {
    /// When the board is cut.
    pub now_percent: f64,
    /// Where the stair stands.
    pub service_percent: f64,
    /// How the board was sawn.
    pub grain: BoardGrain,
}

/// How a board lies in the log.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq)]
#[serde(rename_all = "kebab-case")]
pub enum BoardGrain {
    /// Its face along the rings; assumed where nothing is said.
    Flat,
    /// Its face across the rings.
    Quarter,
}

/// A flight as it was built, and its pattern as it has become.
#[derive(Clone, Debug)]
pub struct AsBuilt {
    /// Tread tops over the lower floor, from the bottom up.
    pub heights: Vec<Length>,
    /// The upper floor over the lower one, both as they lie; the job's total rise with what is to
    /// come on either where left out.
    pub upper: Option<Length>,
    /// Finish still to be laid on the lower floor.
    pub finish_to_come: Length,
    /// Finish still to be laid on the upper floor.
    pub upper_finish_to_come: Length,
    /// How far every tread can be moved.
    pub room: Room,
    /// Treads that have another room.
    pub other_rooms: Vec<TreadRoom>,
    /// The most by which two neighbouring risers may differ, where that is asked.
    pub neighbours_most: Option<Length>,
    /// Check lengths of the pattern, along and across.
    pub pattern: Option<[Remeasured; 2]>,
}

/// The room of one tread.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TreadRoom {
    /// Which tread, counted from 1 at the bottom.
    pub tread: usize,
    /// How far it can be moved.
    pub room: Room,
}

/// How far one tread can be moved.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Room {
    shim: Length,
    trim: Length,
}

impl Room {
    /// Room for shims of up to `shim` under a tread, and for `trim` to be taken from under it;
    /// trimming is often impossible: 0.
    ///
    /// # Errors
    /// Where one of the two is less than nothing.
    pub fn new(shim: Length, trim: Length) -> Result<Self, Error> {
        if shim < Length::ZERO || trim < Length::ZERO {
            return Err(Error::new(ErrorKind::Input, "a shim or a trim is less than nothing")
                .found(format!("shims to {shim}, trims to {trim}"))
                .allowed("0 or more")
                .hint("look at shim_most and trim_most again"));
        }
        Ok(Self { shim, trim })
    }

    /// The most that it can be raised.
    pub fn shim(&self) -> Length {
        self.shim
    }

    /// The most that it can be lowered.
    pub fn trim(&self) -> Length {
        self.trim
    }

    /// The same with this most that it can be lowered.
    pub fn trimming(self, trim: Length) -> Self {
        Self { trim: trim.max(Length::ZERO), ..self }
    }
}

/// A length that was marked and has been measured again.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Remeasured {
    /// As marked.
    pub marked: Length,
    /// As measured now.
    pub measured: Length,
}
