//! The programs of one part on its own: what a roughing cutter takes first, where the machine has
//! one, and the cut on the line.

use super::clamps;
use super::marks::Planned;
use super::program::{Layout, Program, loose, unclamped};
use super::rough::{self, Roughing};
use super::{board, router};
use crate::cam::compensate::{self, ToolPath};
use crate::cam::mark::Hole;
use crate::check::StockBox;
use crate::diagnostics::codes::NotRoughed;
use crate::diagnostics::{Finding, Outcome, Refusals, Warned};
use crate::geometry::Placement;
use crate::job::Job;
use crate::stair::outline::Outline;

/// The programs that cut a part: what a roughing cutter takes first, and the cut on the line.
#[derive(Clone, Debug)]
pub(super) struct Cut {
    pub rough: Option<Roughing>,
    pub cut: Program,
}

/// Plans the programs of one part, and what there is to say about them.
///
/// # Errors
/// The refusals, if the machine cannot make it.
pub fn plan(job: &Job, outline: &Outline, path: &ToolPath) -> Outcome<Planned> {
    unclamped(job, outline, path)?.and_then(|cut| {
        let Cut { rough, cut } = cut.kept_clear(job)?;
        let mut loose = loose(job, path, (&cut, rough.as_ref()));
        if loose.is_empty() && job.cut.machine.tool.ties() {
            loose.extend(board::hung_on_one_offcut(path, &cut, &clamps::of_alone(job)));
        }
        Ok(Warned::unless_refused(loose)?.map(|()| Planned { marks: None, rough, cut }))
    })
}

impl Cut {
    /// The same where its rapids keep off the clamps.
    ///
    /// # Errors
    /// The refusals, where that cannot be.
    pub(super) fn kept_clear(self, job: &Job) -> Result<Self, Refusals> {
        let clamps = clamps::of_alone(job);
        let clear = |rough: Roughing| {
            let program = clamps::kept_clear(rough.program, &clamps, &rough.machine)?;
            Ok::<Roughing, Refusals>(Roughing { program, ..rough })
        };
        let rough = self.rough.map(clear).transpose()?;
        Ok(Self { rough, cut: clamps::kept_clear(self.cut, &clamps, &job.cut.machine)? })
    }
}

/// The programs of two cutters, one after the other, of a part that lies in waste; its holes are
/// made by the second.
pub(super) fn with_two(
    roughed: &Job,
    job: &Job,
    path: &ToolPath,
    (layout, stock, placement): (Layout, StockBox, Placement),
    holes: Vec<Hole>,
) -> Outcome<Cut> {
    let not_here = [
        (layout == Layout::OwnEdges).then_some(NotRoughed::OwnEdges),
        (!path.pockets().is_empty()).then_some(NotRoughed::Pockets),
    ];
    let not_here: Vec<Finding> = not_here.into_iter().flatten().map(rough::not_here).collect();
    Warned::unless_refused(not_here)?.and_then(|()| {
        let machine = &roughed.cut.machine;
        let its_path = compensate::roughed(machine, path)?;
        let drafts = router::drafts((roughed, &its_path), (job, path), &placement)?;
        drafts.and_then(|(first, on_line)| {
            let program = first.alone(stock, placement, None, machine).within_length()?;
            let ledger = its_path.ledger().clone();
            let program = Program { roughs: true, ..program };
            let rough = Some(Roughing { machine: machine.clone(), ledger, program });
            // Holes are the finer cutter's.
            let on_line = on_line.with_holes(&holes, &job.cut.machine, job.cut.material.thickness);
            let cut = on_line.alone(stock, placement, None, &job.cut.machine);
            let cut = Program { holes, ..cut }.within_length()?;
            let cut = cut.begun_saying(&rough::AFTER_ROUGHING, &job.cut.machine);
            Ok(Warned::plain(Cut { rough, cut }))
        })
    })
}
