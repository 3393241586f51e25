//! A pattern in two pieces: a stepped lap along the pitch with a hook in it, and a strap pinned
//! over it by dowels.
//!
//! Everything is in the board frame of the whole outline. Defaults are common practice, no source.

mod halves;
mod joint;
mod strap;

use super::{Outline, Role};
use crate::geometry::{Contour, Point, inset_sharp};
use crate::units::Length;
use joint::Joint;

/// What a pattern is split for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Splitting {
    /// The longest piece that the material and the machine take.
    pub longest: Length,
    /// Diameter of the cutter, or the kerf.
    pub cutter: Length,
    /// How much smaller than the part the pattern is, all round but at the joint.
    pub inset: Length,
    /// The gap between the two pieces all along the joint.
    pub clearance: Length,
}

/// The usual gap in a joint: 0.004 in (common practice, no source).
pub const JOINT_CLEARANCE_IN: f64 = 0.004;
/// How much wider than its dowel a hole is: 0.001 in (common practice, no source).
pub const DOWEL_CLEARANCE_IN: f64 = 0.001;

impl Splitting {
    /// With the usual gap in the joint.
    pub fn new(longest: Length, cutter: Length, inset: Length) -> Self {
        Self { longest, cutter, inset, clearance: Length::inches(JOINT_CLEARANCE_IN) }
    }
}

/// A round hole for a dowel, through the piece.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DowelHole {
    /// Its middle.
    pub center: Point,
    /// Half its diameter: half the dowel's and half the clearance.
    pub radius: Length,
}

/// One piece of a split pattern.
#[derive(Clone, Debug)]
pub struct Piece {
    /// What it is called.
    pub name: &'static str,
    /// What is cut: the clearance is taken off its joint. Straight edges, counter-clockwise.
    pub contour: Contour<Role>,
    /// The same as it lies in the whole, without the clearance.
    pub joined: Contour<Role>,
    /// Its dowel holes.
    pub dowels: Vec<DowelHole>,
}

/// Two crosses across the joint and the distance between them, whole inches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CheckAcross {
    /// The cross on the foot's piece.
    pub foot: Point,
    /// The cross on the head's piece.
    pub head: Point,
    /// Their distance when the joint is closed.
    pub length: Length,
}

/// A pattern in two pieces and their strap.
#[derive(Clone, Debug)]
pub struct Split {
    /// The piece with the foot.
    pub foot: Piece,
    /// The piece with the head.
    pub head: Piece,
    /// The strap that lies on the face over the joint, with the holes of both pieces.
    pub strap: Piece,
    /// Diameter of the dowels.
    pub dowel: Length,
    /// Distance between the two dowels of a piece.
    pub dowels_apart: Length,
    /// The gap in the joint.
    pub clearance: Length,
    /// The check lengths across the joint, along the pitch, one low and one high, where there is
    /// room for them.
    pub checks: Vec<CheckAcross>,
}

/// Why a pattern cannot be split.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum NoSplit {
    /// It has no lower edge or no inside corner: nothing to lay a lap along.
    #[error("no lower edge under a notch to lay the joint along")]
    NoThroat,
    /// The wood between lower edge and notches is too narrow for the lap, its hook and its dowels.
    #[error("{throat} between lower edge and notches, {needed} needed")]
    Narrow {
        /// From the lower edge to the notches.
        throat: Length,
        /// What the lap takes.
        needed: Length,
    },
    /// No tread has room for the joint so that both pieces are short enough.
    #[error("{whole} long: no tread where both pieces stay within {longest}")]
    NoPlace {
        /// The whole pattern along the pitch.
        whole: Length,
        /// The longest piece.
        longest: Length,
    },
    /// The pattern is lost when it is made smaller by what follows it.
    #[error("an edge is lost when the pattern is made smaller")]
    Lost,
}

/// Splits the pattern of an outline in two, as near to its middle as the joint finds room.
///
/// # Errors
/// Why it cannot be split.
pub fn split(outline: &Outline, splitting: &Splitting) -> Result<Split, NoSplit> {
    let inset = splitting.inset.as_mm();
    let whole = if inset > 0.0 {
        inset_sharp(outline.contour(), inset).map_err(|_| NoSplit::Lost)?
    } else {
        outline.contour().clone()
    };
    let whole = whole.placed(&outline.to_board());
    let joint = Joint::find(&whole, splitting)?;
    let nowhere =
        NoSplit::NoPlace { whole: Length::mm(whole.bounds().width()), longest: splitting.longest };
    let (foot, head) = halves::halves(&whole, &joint).ok_or(nowhere)?;
    let gap = splitting.clearance.as_mm() / 2.0;
    let piece = |name, joined: Contour<Role>, dowels: &[Point]| {
        let contour = halves::with_gap(&joined, gap)?;
        let hole =
            |center: &Point| DowelHole { center: *center, radius: Length::mm(joint.hole / 2.0) };
        Some(Piece { name, contour, joined, dowels: dowels.iter().map(hole).collect() })
    };
    let strap = strap::contour(&joint).ok_or(nowhere)?;
    let checks = strap::checks(&joint, &foot, &head);
    Ok(Split {
        foot: piece("PATTERN A (FOOT)", foot, &joint.foot_dowels()).ok_or(nowhere)?,
        head: piece("PATTERN B (HEAD)", head, &joint.head_dowels()).ok_or(nowhere)?,
        strap: piece("STRAP", strap, &[joint.foot_dowels(), joint.head_dowels()].concat())
            .ok_or(nowhere)?,
        dowel: Length::mm(joint.hole) - Length::inches(DOWEL_CLEARANCE_IN),
        dowels_apart: Length::mm(joint.apart),
        clearance: splitting.clearance,
        checks,
    })
}

impl Split {
    /// How far one piece may turn against the other, in radians: two holes with clearance c, b
    /// apart, let a piece turn
    /// 2 c / b on the strap, and there are two pieces on it. Common practice, no source.
    pub fn turn_rad(&self) -> f64 {
        2.0 * 2.0 * Length::inches(DOWEL_CLEARANCE_IN).as_mm() / self.dowels_apart.as_mm()
    }

    /// How far that lets the far tip of the longer piece wander.
    pub fn wander(&self) -> Length {
        let longer = self.foot.joined.bounds().width().max(self.head.joined.bounds().width());
        Length::mm(self.turn_rad() * longer)
    }

    /// The three pieces.
    pub fn pieces(&self) -> [&Piece; 3] {
        [&self.foot, &self.head, &self.strap]
    }
}
