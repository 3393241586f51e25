//! Two cutters, two programs: the roughing one leaves its allowance beside the line and every tab,
//! the other goes along the line in passes of its own, over the same tabs.
//!
//! The roughing cutter goes farther off the piece by the allowance, all round, and its program is
//! planned as that of any other tool. The program on the line is one that could be run alone: that
//! it mostly meets air is not relied on, so that a corner that roughing leaves round, or a roughing
//! program that was left out, asks no more of the finishing cutter than its own passes.

use super::program::Program;
use super::round::{Round, clockwise};
use super::router::{Depth, Entry};
use super::tabs::{self, Tab};
use crate::cam::compensate::{Ledger, ToolPath};
use crate::diagnostics::Finding;
use crate::diagnostics::codes::{self, NotRoughed};
use crate::geometry::Placement;
use crate::job::{Corners, Job};
use crate::profile::{Arcs, Machine};

/// The program of the roughing cutter.
#[derive(Clone, Debug)]
pub struct Roughing {
    /// The machine with that cutter in its spindle.
    pub machine: Machine,
    /// What was compensated.
    pub ledger: Ledger,
    /// The program, run before the one on the line.
    pub program: Program,
}

impl Roughing {
    /// The same where marks are made before it, in a program of their own, or not.
    pub(super) fn after(self, marks: bool) -> Self {
        let words = if marks { &AFTER_MARKS[..] } else { &[] };
        Self { program: self.program.begun_saying(words, &self.machine), ..self }
    }
}

/// A job as its roughing cutter makes it, if its machine has one: inside corners stay round.
pub(super) fn roughed(job: &Job) -> Option<Job> {
    let machine = job.cut.machine.roughing()?;
    let mut job = job.clone();
    job.cut.machine = machine;
    job.cut.corners = Corners::Fillet;
    Some(job)
}

/// Said where a machine has a roughing cutter and no program is planned for it.
pub(super) fn not_here(what: NotRoughed) -> Finding {
    codes::RoughNotHere { what }.at("router.rough")
}

/// What a program on the line says at its top.
pub(super) const AFTER_ROUGHING: [&str; 2] =
    ["ROUGHING COMES FIRST, IN A PROGRAM OF ITS OWN", "SAME X0 Y0, Z0 SET ANEW FOR THIS CUTTER"];
/// What a roughing program says at its top where marks come first.
pub(super) const AFTER_MARKS: [&str; 2] =
    ["MARKS COME FIRST, IN A PROGRAM OF THEIR OWN", "SAME X0 Y0, Z0 SET ANEW FOR THIS CUTTER"];

/// What just fits is taken to fit, in mm.
const FITS_MM: f64 = 1e-6;

/// What a cutter does that comes after a roughing one.
pub(super) struct OnLine<'a> {
    /// Its path, and where it lies.
    pub path: &'a ToolPath,
    pub placement: &'a Placement,
    pub arcs: Arcs,
    pub depth: Depth,
}

impl OnLine<'_> {
    /// Its round and its way in, beside those of the roughing cutter and of the same kind, and its
    /// tabs where that one leaves them; `None` where the line has no room for the way in.
    pub(super) fn beside(
        &self,
        (round, entry): (&Round, &Entry),
        left: &[Tab],
    ) -> Option<(Round, Entry, Vec<Tab>)> {
        let edges = clockwise(self.path, self.placement);
        let own = Round::beside(edges, self.arcs, round.start())?;
        let way_in = match entry {
            Entry::Beside { .. } => Entry::beside(&own, self.path.radius().as_mm()),
            Entry::OnPath { .. } => None,
        };
        let way_in = way_in.or_else(|| Entry::on_path(&own))?;
        let tabs = tabs::again(left, &own, self.depth.shape);
        let (end, start) = way_in.keep_clear(self.depth.cutter / 2.0);
        let half = self.depth.shape.footprint() / 2.0;
        let is_clear = |tab: &Tab| {
            tab.along_mm - half >= start - FITS_MM
                && tab.along_mm + half <= own.length() - end + FITS_MM
        };
        tabs.iter().all(is_clear).then_some((own, way_in, tabs))
    }
}
