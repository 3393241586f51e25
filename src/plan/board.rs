//! The steps on a board whose own edges are the part's: one open cut from the heel over the steps to the head, begun and
//! ended in the air beside the board; the offcuts stay tied.

use super::program::{Draft, FeedKind, Process, Step};
use super::round::Round;
use super::router::pass_floors;
use super::tab_profile::TabProfile;
use super::tabs::{self, TabShape};
use crate::compensate::ToolPath;
use crate::finding::{Finding, Severity};
use crate::geometry::{Placement, Point, Segment, Vector};
use crate::measure::Job;
use crate::profile::Router;

/// How far beside the board the cutter is let down, beyond its own radius, in mm.
const BESIDE_MM: f64 = 3.0;

/// What the tool needs beside the board, in mm.
pub(super) fn room_beside(job: &Job) -> f64 {
    2.0 * job.cut.machine.tool_radius().as_mm() + BESIDE_MM
}

/// The steps for one part.
///
/// # Errors
/// None today; the type is that of every process.
pub(super) fn draft(
    job: &Job,
    router: &Router,
    path: &ToolPath,
    placement: &Placement,
) -> Result<(Draft, Vec<Finding>), Vec<Finding>> {
    let safe = job.cut.machine.safe_height.as_mm();
    let no_back = || vec![Finding::new("no-lead-room", Severity::Refusal, "path").figures("no lower edge", "one")];
    let round = Round::open(path, placement, job.cut.machine.arcs).ok_or_else(no_back)?;
    let outward = placement.rotation * Vector::new(0.0, -BESIDE_MM);
    let way_in = Segment::Line { from: round.start() + outward, to: round.start() };
    let way_out = Segment::Line { from: round.end(), to: round.end() + outward };
    let thickness = job.cut.material.thickness.as_mm();
    let cutter = 2.0 * path.radius().as_mm();
    let shape = TabShape::new(thickness, cutter, router.cut_through.as_mm());
    let tabs = tabs::place_on_offcuts(&round, shape, cutter);
    let profile = TabProfile::new(&tabs, shape, thickness);
    let floors = pass_floors(thickness + router.cut_through.as_mm(), router.pass_depth.as_mm());
    let mut steps = vec![Step::RapidZ(safe), Step::ToolOn];
    for (number, floor) in floors.iter().enumerate() {
        let straight = |segment| Step::Cut { segment, to_z: *floor, feed: FeedKind::Cut };
        steps.push(Step::Say(format!("PASS {} OF {}", number + 1, floors.len())));
        steps.extend([Step::RapidXy(way_in.from()), Step::FeedZ(*floor), straight(way_in)]);
        steps.extend(profile.once_round(&round, *floor));
        steps.extend([straight(way_out), Step::RapidZ(safe)]);
    }
    steps.extend([Step::ToolOff, Step::RapidXy(Point::origin())]);
    let leads = vec![way_in, way_out];
    Ok((Draft { process: Process::Router, steps, tabs, leads }, Vec::new()))
}
