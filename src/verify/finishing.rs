//! A finishing pass, where the machine's profile asks for one: all cuts stay off the line of the
//! part by its allowance, but those that only take what others left of that, at its feed.
//!
//! A cut comes near where its centre lies within R + a of an edge of the part, less what printed
//! numbers are off. It only takes what was left where an earlier one that went as deep runs within
//! a of all of it; beside an inside corner the two part by more than a, on no longer way than 2 a
//! from the corner and never by more than 2 a, in corners of 60 degrees and wider. Into corners
//! that are cleared every pass goes: what clears them is no edge of the part. And where a cut on
//! the line runs beside one off it, it goes as deep, over the tabs too. Not held: how passes lie
//! within 2 (R + a) of a cleared corner, and which way round the last one goes.

use super::boundary::Feature;
use super::expectation::{Expectation, Laid};
use super::farthest::TooTangled;
use super::findings::Findings;
use super::levels::{Levels, last_digit_mm};
use super::limits::{FASTEST_FEED, GAP_MM, MOST_PAIRS, RATE_MM_MIN, SAME_LINE_MM};
use super::moves::{Drive, Move};
use super::pair::{gaps, least_distance};
use super::passes::{support, z_beside};
use super::proof::Target;
use super::shape::Shape;
use super::stroke::{Stroke, Work};
use super::waste::off_by;
use crate::diagnostics::{Feed, Millimetres, codes};
use crate::geometry::{Point, Segment, distance_to_segment};
use crate::job::Corners;
use crate::profile::Machine;
use crate::stair::outline::Role;

/// How far apart the two paths are in a corner at most, and how long, in allowances.
const IN_CORNER: f64 = 2.0;
/// How far round a cleared corner a pass may come to the line, in radii with the allowance.
const ROUND_CLEARED: f64 = 2.0;

/// What the program cuts.
pub(super) struct Cut<'a> {
    pub strokes: &'a [Stroke],
    pub moves: &'a [Move],
}

/// The most that a cut lies beside an earlier one that left only the allowance, in mm.
pub(super) fn widest(machine: &Machine) -> f64 {
    IN_CORNER * machine.tool.allowance().as_mm() + off_by(machine)
}

/// Holds every cut near the line against the allowance.
pub(super) fn check(
    e: &Expectation<'_>,
    (laid, target): (&[Laid], &Target),
    cut: &Cut<'_>,
    levels: &Levels,
    findings: &mut Findings<'_>,
) -> Result<(), TooTangled> {
    let Some(finish) = e.machine.tool.finish().filter(|_| e.cuts()) else { return Ok(()) };
    let allowance = finish.allowance.as_mm();
    let near = Near::new(e, laid, target);
    let paths = Shape::of_strokes(cut.strokes);
    let fastest = (finish.feed_mm_min * FASTEST_FEED).max(finish.feed_mm_min + RATE_MM_MIN);
    // Flatter than half of a ramp it is no way down.
    let ramp = e.machine.tool.cutter().map_or(0.0, |cutter| cutter.ramp_deg);
    let hardly = ramp.to_radians().tan() / 2.0;
    let (mut around, mut pairs, mut told) = (Vec::new(), 0, 0);
    let mut on_line = vec![false; cut.strokes.len()];
    for (i, stroke) in cut.strokes.iter().enumerate() {
        let Some(off) = near.off_line(stroke).filter(|_| stroke.work == Work::Cutting) else {
            continue;
        };
        on_line[i] = true;
        // Down and straight up it goes at feeds of their own.
        let length = stroke.path.length();
        let is_along = length > GAP_MM
            && stroke.from_z - stroke.to_z <= length * hardly + 1.5 * last_digit_mm(e.machine);
        if let Some(feed) = cut.feed(stroke).filter(|feed| is_along && *feed > fastest) {
            let (measured, limit) = (Feed(feed), Feed(fastest));
            findings.at_line(codes::FeedFast { measured, limit }, stroke.line);
        }
        paths.near(stroke.path.bounds().grown(widest(e.machine)), &mut around);
        around.truncate(around.partition_point(|&at| at < i));
        pairs += around.len();
        if pairs > MOST_PAIRS {
            return Err(TooTangled);
        }
        let before = around.iter().map(|&at| &cut.strokes[at]);
        let before: Vec<&Stroke> = before.filter(|s| s.work == Work::Cutting).collect();
        if told != stroke.line && !takes_what_was_left(stroke, &before, e.machine, levels) {
            told = stroke.line;
            let (measured, limit) = (Millimetres(off.max(0.0)), Millimetres(allowance));
            findings.at_line(codes::AllowanceMissed { measured, limit }, stroke.line);
        }
    }
    // And what stayed off the line is followed on it, as deep.
    for (i, stroke) in cut.strokes.iter().enumerate() {
        if on_line[i] || stroke.work != Work::Cutting || !near.is_beside(stroke) {
            continue;
        }
        paths.near(stroke.path.bounds().grown(widest(e.machine)), &mut around);
        pairs += around.len();
        if pairs > MOST_PAIRS {
            return Err(TooTangled);
        }
        let on_it = around.iter().filter(|at| on_line[**at]).map(|&at| &cut.strokes[at]);
        let on_it: Vec<&Stroke> = on_it.collect();
        if rise_above(stroke, &on_it, e.machine, levels) {
            let measured = Millimetres(allowance);
            findings.at_line(codes::AllowanceLeft { measured }, stroke.line);
        }
    }
    Ok(())
}

impl Cut<'_> {
    /// The feed that a stroke is cut at, in mm/min.
    fn feed(&self, stroke: &Stroke) -> Option<f64> {
        let first = self.moves.partition_point(|m| m.line < stroke.line);
        let of_line = self.moves[first..].iter().take_while(|m| m.line == stroke.line);
        of_line.filter(|m| m.drive == Drive::Feed).filter_map(|m| m.feed).reduce(f64::max)
    }
}

/// Whether earlier strokes as deep leave a stroke no more than the allowance.
fn takes_what_was_left(
    stroke: &Stroke,
    before: &[&Stroke],
    machine: &Machine,
    levels: &Levels,
) -> bool {
    let (allowance, length) = (machine.tool.allowance().as_mm(), stroke.path.length());
    if length <= GAP_MM {
        let at = |earlier: &&Stroke| z_beside(earlier, stroke.path.from(), widest(machine));
        let reached = before.iter().filter_map(at).fold(f64::INFINITY, f64::min);
        return stroke.lowest() >= reached - 2.0 * levels.near;
    }
    let left = |reach: f64| unsupported(stroke, before, 2.0 * levels.near, reach);
    let slack = off_by(machine);
    let in_corners = left(allowance + slack);
    let is_short = |(from, to): &(f64, f64)| (to - from) * length <= IN_CORNER * allowance + slack;
    in_corners.iter().all(is_short) && (in_corners.is_empty() || left(widest(machine)).is_empty())
}

/// The stretches of a stroke, as shares, that none of others leaves no more than `allowed` within
/// reach of its line.
fn unsupported(stroke: &Stroke, others: &[&Stroke], allowed: f64, reach: f64) -> Vec<(f64, f64)> {
    let mut supported = Vec::new();
    for other in others {
        support(stroke, other, allowed, reach, &mut supported);
    }
    gaps(&mut supported, SAME_LINE_MM / stroke.path.length())
}

/// Whether strokes on the line run beside one off it and go less deep: what it left stays.
fn rise_above(stroke: &Stroke, on_it: &[&Stroke], machine: &Machine, levels: &Levels) -> bool {
    let (allowance, slack) = (machine.tool.allowance().as_mm(), off_by(machine));
    let open = |allowed: f64| -> f64 {
        let open = unsupported(stroke, on_it, allowed, allowance + slack);
        open.iter().map(|(from, to)| to - from).sum()
    };
    // Where none runs at all the edge is uncut, which is told as that.
    let higher = open(2.0 * levels.near) - open(f64::MAX);
    higher * stroke.path.length() > IN_CORNER * allowance + slack
}

/// What cuts come near to.
struct Near {
    /// The edges of all copies.
    edges: Shape,
    /// What clears their inside corners.
    cleared: Vec<Segment>,
    radius: f64,
    allowance: f64,
    slack: f64,
}

impl Near {
    fn new(e: &Expectation<'_>, laid: &[Laid], target: &Target) -> Self {
        let is_cleared = |at: usize, roles: (Role, Role)| {
            let corners = e.pieces[laid[target.owner(at)].piece].corners;
            corners != Corners::Fillet || roles == (Role::Joint, Role::Joint)
        };
        let (mut edges, mut cleared) = (Vec::new(), Vec::new());
        for (at, edge) in target.edges.iter().enumerate() {
            match edge.role {
                Feature::Edge(_) => edges.push(edge.segment),
                Feature::Corner(a, b) if is_cleared(at, (a, b)) => cleared.push(edge.segment),
                Feature::Corner(..) => edges.push(edge.segment),
                _ => {}
            }
        }
        Self {
            edges: Shape::new(edges),
            cleared,
            radius: e.machine.tool_radius().as_mm(),
            allowance: e.machine.tool.allowance().as_mm(),
            slack: off_by(e.machine),
        }
    }

    /// How far off the line a stroke runs where it is nearest, in mm, if that is within the
    /// allowance and not at a corner that is cleared.
    fn off_line(&self, stroke: &Stroke) -> Option<f64> {
        let reach = self.radius + self.allowance - self.slack - stroke.off_mm;
        let mut around = Vec::new();
        self.edges.near(stroke.path.bounds().grown(reach), &mut around);
        let distances = around.iter().map(|&at| &self.edges.segments[at]);
        let least = distances.map(|edge| least_distance(edge, &stroke.path).0);
        let least = least.fold(f64::INFINITY, f64::min);
        (least < reach && !self.is_at_cleared(stroke)).then_some(least - self.radius)
    }

    /// Whether a stroke runs along an edge off the line, its ends and its middle no farther than
    /// the allowance; not at a corner that is cleared.
    fn is_beside(&self, stroke: &Stroke) -> bool {
        let reach = self.radius + self.allowance + self.slack;
        if stroke.path.length() <= GAP_MM || self.is_at_cleared(stroke) {
            return false;
        }
        let mut around = Vec::new();
        self.edges.near(stroke.path.bounds().grown(reach), &mut around);
        let is_near = |share: f64| {
            let p = stroke.path.point_at(share);
            around.iter().any(|&at| distance_to_segment(p, &self.edges.segments[at]) <= reach)
        };
        [0.0, 0.5, 1.0].into_iter().all(is_near)
    }

    /// Whether all of a stroke lies round one corner that is cleared.
    fn is_at_cleared(&self, stroke: &Stroke) -> bool {
        let reach = ROUND_CLEARED * (self.radius + self.allowance);
        let ends: [Point; 2] = [stroke.path.from(), stroke.path.to()];
        self.cleared
            .iter()
            .any(|corner| ends.iter().all(|end| distance_to_segment(*end, corner) <= reach))
    }
}
