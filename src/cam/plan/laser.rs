//! The steps of a beam: dark on every rapid, lit in the waste, once round, a little further, dark.

use super::chords::followed;
use super::lead::Lead;
use super::program::{Draft, FeedKind, Step};
use super::round::Round;
use crate::cam::compensate::ToolPath;
use crate::diagnostics::codes::{self, LeadIn};
use crate::diagnostics::{Outcome, Refusals, Warned};
use crate::geometry::{Placement, Point, Segment};
use crate::job::Job;
use crate::profile::{Arcs, Laser, Machine, Material};

/// How far the beam goes on past its start, in mm (common practice, no source).
pub(super) const OVERRUN_MM: f64 = 0.8;

/// What stays free round the part: the kerf, the lead-in beside it, what chords reach further and
/// the material's margin, in mm.
pub(super) fn room(machine: &Machine, material: &Material, beam: &Laser) -> f64 {
    let beyond = beam.lead.as_mm() + machine.arcs.overshoot().as_mm();
    beam.kerf.as_mm() * 2.0 + beyond + material.margin.as_mm()
}

/// The steps for one part.
///
/// # Errors
/// A refusal if the path has no straight edge to start on.
pub(super) fn draft(
    job: &Job,
    beam: &Laser,
    path: &ToolPath,
    placement: &Placement,
) -> Outcome<Draft> {
    let arcs = job.cut.machine.arcs;
    let no_room = || Refusals::from(codes::NoLeadRoom { how: LeadIn::Start }.at("path"));
    let round = Round::new(path, placement, arcs, beam.lead.as_mm()).ok_or_else(no_room)?;
    let lead = Lead::new(&round, beam.lead.as_mm(), OVERRUN_MM);
    let mut steps = vec![Step::ToolOn];
    // Of several rounds each says its own name.
    steps.extend((beam.passes == 1).then(|| Step::Say("OUTLINE".to_string())));
    steps.extend(piece(&round, &lead, arcs, beam.passes));
    steps.extend([Step::ToolOff, Step::RapidXy(Point::origin())]);
    let (tabs, leads) = (Vec::new(), vec![lead.way_in]);
    Ok(Warned::plain(Draft { steps, tabs, ways: leads.clone(), leads }))
}

/// The steps of one piece, so many times round: each time the beam comes dark, is lit for the way
/// in and once round and a little further, and is dark again, so that each can be gone on with
/// alone.
pub(super) fn piece(round: &Round, lead: &Lead, arcs: Arcs, rounds: u32) -> Vec<Step> {
    let way_in = followed(&lead.way_in, arcs).into_iter().map(|of| cut(of, FeedKind::Entry));
    let along = |to: f64| {
        let pieces = round.pieces(0.0, to, &[]);
        pieces.into_iter().map(|(segment, _)| cut(segment, FeedKind::Cut))
    };
    let mut once = vec![Step::RapidXy(lead.entry), Step::BeamOn];
    once.extend(way_in);
    once.extend(along(round.length()));
    once.extend(along(OVERRUN_MM));
    once.push(Step::BeamDark);
    let mut steps = Vec::new();
    for number in 1..=rounds {
        if rounds > 1 {
            steps.push(Step::Say(format!("PASS {number} OF {rounds}")));
        }
        steps.extend(once.iter().cloned());
    }
    steps
}

fn cut(segment: Segment, feed: FeedKind) -> Step {
    Step::Cut { segment, to_z: 0.0, feed }
}
