//! Where a cutter and a beam work in different ways: the one place of the planning that knows which
//! tools there are.

use super::program::{Draft, Layout, Step};
use super::{abilities, board, hole, laser, router};
use crate::cam::compensate::ToolPath;
use crate::cam::mark::Hole;
use crate::diagnostics::{Finding, Outcome};
use crate::geometry::{Placement, Point};
use crate::job::Job;
use crate::profile::{Machine, Material, Tool};
use crate::units::Length;

/// Every refusal that needs no path to be seen.
pub fn refusals(job: &Job) -> Vec<Finding> {
    let cut = &job.cut;
    let mut refusals = unable(&cut.machine, &cut.material);
    refusals.extend(abilities::unmeasured(job));
    refusals
}

/// What a machine cannot do with a material, whatever is made of it.
pub(super) fn unable(machine: &Machine, material: &Material) -> Vec<Finding> {
    match &machine.tool {
        Tool::Router(router) => abilities::of_router(machine, material, router),
        Tool::Laser(laser) => abilities::of_laser(machine, material, laser),
    }
}

/// What stays free round the part: the kerf, the lead-in beside it, what chords reach further and
/// the material's margin, in mm.
pub(super) fn room(machine: &Machine, material: &Material) -> f64 {
    match &machine.tool {
        Tool::Router(_) => router::room(machine, material),
        Tool::Laser(beam) => laser::room(machine, material, beam),
    }
}

/// The steps for one part.
///
/// # Errors
/// A refusal if the path has no edge to come in on.
pub(super) fn draft(
    job: &Job,
    layout: Layout,
    path: &ToolPath,
    placement: &Placement,
) -> Outcome<Draft> {
    match (&job.cut.machine.tool, layout) {
        (Tool::Router(cutter), Layout::OwnEdges) => board::draft(job, cutter, path, placement),
        (Tool::Router(cutter), Layout::InWaste) => router::draft(job, cutter, path, placement),
        (Tool::Laser(beam), _) => laser::draft(job, beam, path, placement),
    }
}

/// The steps of a hole through the whole thickness.
pub(super) fn hole(hole: Hole, name: &str, machine: &Machine, thickness: Length) -> Vec<Step> {
    match &machine.tool {
        Tool::Router(router) => hole::routed(hole, name, machine, router, thickness),
        Tool::Laser(beam) => hole::burnt(hole, name, machine, beam),
    }
}

/// Where the tool comes down or lights for a hole.
pub(super) fn enters(hole: Hole, machine: &Machine) -> Point {
    match &machine.tool {
        Tool::Router(_) => hole::comes_down(hole, machine),
        Tool::Laser(beam) => hole::lights(hole, machine, beam),
    }
}
