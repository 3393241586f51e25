//! What was compensated, how much and to which side: each kind once.

use std::fmt;

use super::piece::inset_of;
use crate::job::{Corners, Follow, Job, Makes, Stringer};
use crate::profile::Machine;
use crate::units::Length;

/// One compensation.
#[derive(Clone, Debug, PartialEq)]
pub struct LedgerEntry {
    /// What for.
    pub what: &'static str,
    /// How much.
    pub amount: Length,
    /// To which side.
    pub side: &'static str,
}

impl fmt::Display for LedgerEntry {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {:.4} mm {}", self.what, self.amount.as_mm(), self.side)
    }
}

/// Every compensation of a piece, one of each kind by construction.
#[derive(Clone, Debug, PartialEq)]
pub struct Ledger {
    follow: LedgerEntry,
    tool: LedgerEntry,
    corners: LedgerEntry,
    /// What a roughing cutter leaves.
    left: Option<LedgerEntry>,
}

impl Ledger {
    /// The ledger of a job.
    pub fn of(job: &Job) -> Self {
        let radius = job.cut.machine.tool_radius();
        let follow = match job.cut.makes {
            Makes::Stringers => "made as the part itself",
            Makes::Pattern(Follow::Edge) => "pattern followed along its edge",
            Makes::Pattern(Follow::BearingBit) => "pattern for a bearing bit",
            Makes::Pattern(Follow::Pencil { .. }) => "pattern for a pencil, half its line",
            Makes::Pattern(Follow::Bushing { .. }) => {
                "pattern for a bushing, half of outside less bit"
            }
        };
        let tool = match &job.stringer {
            Stringer::Housed(_) => {
                "path of the tool centre, half the cutter, in pockets to their inside"
            }
            Stringer::Cut | Stringer::Cleated(_) if job.cut.machine.tool.cutter().is_some() => {
                "path of the tool centre, half the cutter"
            }
            Stringer::Cut | Stringer::Cleated(_) => "path of the beam, half the kerf",
        };
        let corners = match job.cut.corners {
            Corners::Fillet => "inside corners left round",
            Corners::Bisector => "inside corners cleared along the bisector",
            Corners::Riser => "inside corners cleared into the riser face",
            Corners::Tread => "inside corners cleared into the tread face",
        };
        Self {
            follow: LedgerEntry {
                what: follow,
                amount: inset_of(job.cut.makes),
                side: "inside the part",
            },
            tool: LedgerEntry { what: tool, amount: radius, side: "outside the piece" },
            corners: LedgerEntry { what: corners, amount: radius, side: "radius" },
            left: None,
        }
    }

    /// The same of a roughing cutter, with what it leaves: it clears no corner.
    pub(super) fn roughed(&self, machine: &Machine) -> Self {
        let (radius, leaves) = (machine.tool_radius(), machine.tool.leaves());
        let entry = |what, amount, side| LedgerEntry { what, amount, side };
        Self {
            follow: self.follow.clone(),
            tool: entry(
                "path of the tool centre, half the roughing cutter",
                radius,
                "outside what is left",
            ),
            corners: entry("inside corners left round", radius, "radius"),
            left: Some(entry("left for the cutter on the line", leaves, "outside the piece")),
        }
    }

    /// The entries in the order they are applied.
    pub fn entries(&self) -> Vec<&LedgerEntry> {
        [&self.follow, &self.tool, &self.corners].into_iter().chain(&self.left).collect()
    }
}
