//! The steps of a rotating cutter: ramp in the waste, even passes in the climb direction, tabs, through.

use super::chords::chords_inside;
use super::lead::Lead;
use super::program::{Draft, FeedKind, Process, Step};
use super::round::Round;
use super::tab_profile::TabProfile;
use super::tabs::{self, Tab, TabShape};
use crate::compensate::ToolPath;
use crate::finding::{Finding, Severity};
use crate::geometry::{Placement, Point, Segment};
use crate::measure::Job;
use crate::profile::{Arcs, Router};
use crate::units::Length;

/// How far the round goes on past its start (common practice, no source).
const OVERLAP_IN: f64 = 0.25;
/// The longest stroke of a ramp: a longer way down goes back and forth.
const LONGEST_STROKE_MM: f64 = 50.0;
/// The shortest stroke worth ramping on.
const SHORTEST_STROKE_MM: f64 = 5.0;

/// What stays free round the part: the kerf, the lead-in beside it and the material's margin, in mm.
pub(super) fn room(job: &Job) -> f64 {
    4.0 * job.cut.machine.tool_radius().as_mm() + job.cut.material.margin.as_mm()
}

/// The steps for one part.
///
/// # Errors
/// A refusal if the path has no straight edge long enough to ramp beside.
pub(super) fn draft(
    job: &Job,
    router: &Router,
    path: &ToolPath,
    placement: &Placement,
) -> Result<(Draft, Vec<Finding>), Vec<Finding>> {
    let machine = &job.cut.machine;
    let radius = path.radius().as_mm();
    let overlap = Length::inches(OVERLAP_IN).as_mm();
    let no_room = || {
        vec![
            Finding::new("no-lead-room", Severity::Refusal, "path")
                .figures("no straight edge to ramp beside", format!("{} or more", Length::mm(SHORTEST_STROKE_MM))),
        ]
    };
    let lead_room = radius + LONGEST_STROKE_MM;
    let round = Round::new(path, placement, machine.arcs, lead_room).ok_or_else(no_room)?;
    let stroke = round.straight_behind() - radius;
    if stroke < SHORTEST_STROKE_MM {
        return Err(no_room());
    }
    let lead = Lead::new(&round, radius, overlap);
    let thickness = job.cut.material.thickness.as_mm();
    let shape = TabShape::new(thickness, 2.0 * radius, router.cut_through.as_mm());
    let keep_clear = (2.0 * radius + stroke, overlap + 3.0 * radius);
    let tabs = tabs::place(&round, shape, 2.0 * radius, keep_clear);
    let cutting = Cutting {
        ramp_end: lead.entry - round.direction() * stroke,
        ramp_tan: router.ramp_deg.to_radians().tan(),
        round: &round,
        lead: &lead,
        profile: TabProfile::new(&tabs, shape, thickness),
        overlap,
        arcs: machine.arcs,
    };
    let floors = pass_floors(thickness + router.cut_through.as_mm(), router.pass_depth.as_mm());
    let mut steps =
        vec![Step::RapidZ(machine.safe_height.as_mm()), Step::ToolOn, Step::RapidXy(lead.entry), Step::FeedZ(0.0)];
    let mut from = 0.0;
    for (number, floor) in floors.iter().enumerate() {
        steps.push(Step::Say(format!("PASS {} OF {}", number + 1, floors.len())));
        cutting.pass(&mut steps, from, *floor, if number + 1 == floors.len() { After::Stop } else { After::Again });
        from = *floor;
    }
    steps.extend([Step::RapidZ(machine.safe_height.as_mm()), Step::ToolOff, Step::RapidXy(Point::origin())]);
    let findings = few_tabs(&tabs);
    let leads = vec![lead.way_in, lead.way_out];
    Ok((Draft { process: Process::Router, steps, tabs, leads }, findings))
}

/// Said where too few tabs hold the part.
pub(super) fn few_tabs(tabs: &[Tab]) -> Vec<Finding> {
    let finding = Finding::new("tabs-few", Severity::Warning, "tabs");
    let words = format!("{} tabs found room on straight edges", tabs.len());
    if tabs.len() < tabs::FEWEST { vec![finding.figures(words, "3 or more: hold the part down")] } else { Vec::new() }
}

/// Depths of even passes, none deeper than `most`, the last at `depth`.
pub(super) fn pass_floors(depth: f64, most: f64) -> Vec<f64> {
    let count = (depth / most - 1e-9).ceil().max(1.0);
    (1..=count as usize).map(|k| -depth * k as f64 / count).collect()
}

/// What follows a pass.
#[derive(Clone, Copy, PartialEq, Eq)]
enum After {
    /// Back to the entry, for the next one.
    Again,
    /// Nothing: it was the last.
    Stop,
}

struct Cutting<'a> {
    round: &'a Round,
    lead: &'a Lead,
    profile: TabProfile<'a>,
    ramp_end: Point,
    ramp_tan: f64,
    overlap: f64,
    arcs: Arcs,
}

impl Cutting<'_> {
    /// One pass: down beside the path, in, round, on past the start, out.
    fn pass(&self, steps: &mut Vec<Step>, from: f64, floor: f64, after: After) {
        self.ramp(steps, from, floor);
        self.through_waste(steps, &self.lead.way_in, floor);
        steps.extend(self.profile.once_round(self.round, floor));
        for (segment, _) in self.round.pieces(0.0, self.overlap, &[]) {
            steps.push(Step::Cut { segment, to_z: floor, feed: FeedKind::Cut });
        }
        self.through_waste(steps, &self.lead.way_out, floor);
        if after == After::Again {
            let back = Segment::Line { from: self.lead.way_out.to(), to: self.lead.entry };
            steps.push(Step::Cut { segment: back, to_z: floor, feed: FeedKind::Cut });
        }
    }

    /// Back and forth beside the path, no steeper than the ramp's angle, ending where it began.
    fn ramp(&self, steps: &mut Vec<Step>, from: f64, floor: f64) {
        let stroke = (self.ramp_end - self.lead.entry).norm();
        let pairs = ((from - floor) / (2.0 * stroke * self.ramp_tan) - 1e-9).ceil().max(1.0);
        let there = Segment::Line { from: self.lead.entry, to: self.ramp_end };
        let each = (floor - from) / (2.0 * pairs);
        for i in 0..pairs as usize {
            let z = from + each * (2 * i) as f64;
            steps.push(Step::Cut { segment: there, to_z: z + each, feed: FeedKind::Entry });
            steps.push(Step::Cut { segment: there.reversed(), to_z: z + 2.0 * each, feed: FeedKind::Entry });
        }
    }

    fn through_waste(&self, steps: &mut Vec<Step>, way: &Segment, z: f64) {
        let pieces = match self.arcs {
            Arcs::Taken => vec![*way],
            Arcs::Chords(tolerance) => chords_inside(way, tolerance.as_mm()),
        };
        steps.extend(pieces.into_iter().map(|segment| Step::Cut { segment, to_z: z, feed: FeedKind::Cut }));
    }
}
