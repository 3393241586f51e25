//! Round holes: cut from the inside, down a helix of chords, then once round at full depth; bored
//! straight down where the hole is as wide as the cutter.

use super::chords::chords_inside;
use super::program::{FeedKind, Step};
use super::ramp::evenly;
use super::router::pass_floors;
use crate::cam::mark::Hole;
use crate::geometry::{Point, Segment, Turn, Vector};
use crate::profile::{Arcs, Laser, Machine, Router};
use crate::units::Length;

/// How far a chord lies inside its circle at most, whatever a machine without arcs allows: the wall
/// of a hole has waste on the inside only, so what a chord leaves is left of the hole, and it must
/// stay below what the proof allows (0.0127 mm) with the rounding of printed numbers (0.0018 mm at
/// four decimals of an inch) on top. What the control may round is taken off it.
const CHORD_MM: f64 = 0.01;
/// The fewest chords in one turn.
const FEWEST_CHORDS: u32 = 24;
/// From one ring to the next, as a share of the cutter's radius: the first ring sweeps the middle,
/// so no core is left.
const RING_STEP: f64 = 1.0;
/// How far a beam goes on past its start, in mm (common practice, no source).
const OVERRUN_MM: f64 = 0.8;

/// How far a chord of a hole may lie inside its circle on a machine, in mm.
fn most_inside(machine: &Machine) -> f64 {
    let most = CHORD_MM - machine.words.blend_mm();
    match machine.arcs {
        Arcs::Taken => most,
        Arcs::Chords(tolerance) => tolerance.as_mm().min(most),
    }
}

/// A circle that a tool goes round counter-clockwise from its right, and the corners of the chords
/// that stand for it. The way down and the round at full depth share them: each chord of the last
/// lies on chords of the first.
struct Ring {
    center: Point,
    radius: f64,
    chords: u32,
}

impl Ring {
    fn new(center: Point, radius: f64, machine: &Machine) -> Self {
        let most = most_inside(machine);
        // A chord of half its angle a lies r (1 - cos a) inside at its middle.
        let half_angle = (1.0 - most / radius.max(most)).acos();
        let chords = FEWEST_CHORDS.max((std::f64::consts::PI / half_angle).ceil() as u32);
        Self { center, radius, chords }
    }

    fn corner(&self, i: u32) -> Point {
        let angle = std::f64::consts::TAU * f64::from(i % self.chords) / f64::from(self.chords);
        self.center + Vector::new(angle.cos(), angle.sin()) * self.radius
    }

    fn chord(&self, i: u32) -> Segment {
        Segment::Line { from: self.corner(i), to: self.corner(i + 1) }
    }

    fn quarter(&self, i: u32) -> Segment {
        const CORNERS: [(f64, f64); 5] =
            [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0), (1.0, 0.0)];
        let at = |i: usize| {
            self.center + Vector::new(CORNERS[i].0 * self.radius, CORNERS[i].1 * self.radius)
        };
        let i = i as usize;
        Segment::Arc { from: at(i), to: at(i + 1), center: self.center, turn: Turn::Left }
    }

    /// The length of a turn of chords.
    fn turn_mm(&self) -> f64 {
        self.chord(0).length() * f64::from(self.chords)
    }

    /// Once round: two arcs, or the chords.
    fn once(&self, arcs: Arcs) -> Vec<Segment> {
        let (center, out) = (self.center, Vector::new(self.radius, 0.0));
        let ends = [(center + out, center - out), (center - out, center + out)];
        match arcs {
            Arcs::Taken => {
                ends.map(|(from, to)| Segment::Arc { from, to, center, turn: Turn::Left }).to_vec()
            }
            Arcs::Chords(_) => (0..self.chords).map(|i| self.chord(i)).collect(),
        }
    }
}

/// What a program calls the hanging hole.
pub(super) const HANGING: &str = "HANGING HOLE";

/// What a program calls a hole of a cleat.
pub(super) const OF_CLEAT: &str = "CLEAT HOLE";

/// The steps of a rotating cutter through the whole thickness: counter-clockwise inside the hole is
/// the climb direction of a clockwise cutter. Begins and ends at the safe height.
pub(super) fn routed(
    hole: Hole,
    name: &str,
    machine: &Machine,
    router: &Router,
    thickness: Length,
) -> Vec<Step> {
    let depth = (thickness + router.below()).as_mm();
    if hole.is_as_wide_as(machine.tool_radius()) {
        return bored(hole, name, machine, router, depth);
    }
    let (first, rings) = rings(hole, machine);
    let mut steps = vec![Step::Say(name.to_string())];
    for ring in 1..=rings {
        let radius = first * ring as f64;
        let circle = Ring::new(hole.center, radius, machine);
        steps.extend([Step::RapidXy(circle.corner(0)), Step::FeedZ(0.0)]);
        steps.extend(helix(&circle, machine, router, depth));
        let cut = |segment| Step::Cut { segment, to_z: -depth, feed: FeedKind::LastPass };
        steps.extend(circle.once(machine.arcs).into_iter().map(cut));
        steps.push(Step::RapidZ(machine.safe_height.as_mm()));
    }
    steps
}

/// Straight down a pass at a time, each time quickly up out of the hole with the chips.
fn bored(hole: Hole, name: &str, machine: &Machine, router: &Router, depth: f64) -> Vec<Step> {
    let mut steps = vec![Step::Say(name.to_string()), Step::RapidXy(hole.center), Step::FeedZ(0.0)];
    for floor in pass_floors(depth, router.pass_depth.as_mm()) {
        steps.extend([Step::FeedZ(floor), Step::RapidZ(0.0)]);
    }
    steps.push(Step::RapidZ(machine.safe_height.as_mm()));
    steps
}

/// Where a cutter comes down for a hole.
pub(super) fn comes_down(hole: Hole, machine: &Machine) -> Point {
    if hole.is_as_wide_as(machine.tool_radius()) {
        hole.center
    } else {
        hole.center + Vector::new(rings(hole, machine).0, 0.0)
    }
}

/// Where a beam lights for a hole.
pub(super) fn lights(hole: Hole, machine: &Machine, beam: &Laser) -> Point {
    let radius = hole.radius.as_mm() - machine.tool_radius().as_mm();
    let lead = beam.lead.as_mm().min(radius / 2.0);
    hole.center + Vector::new(radius - lead, -lead)
}

/// Where the tool lifts or goes dark after a hole, to within the beam's overrun.
pub(super) fn leaves(hole: Hole, machine: &Machine) -> Point {
    let room = hole.radius.as_mm() - machine.tool_radius().as_mm();
    if hole.is_as_wide_as(machine.tool_radius()) {
        hole.center
    } else {
        hole.center + Vector::new(room, 0.0)
    }
}

/// Radius of the first ring, and the number of rings.
fn rings(hole: Hole, machine: &Machine) -> (f64, usize) {
    let cutter = machine.tool_radius().as_mm();
    let outermost = hole.radius.as_mm() - cutter;
    let rings = (outermost / (RING_STEP * cutter)).ceil().max(1.0) as usize;
    (outermost / rings as f64, rings)
}

/// Down to `depth` in whole turns, no steeper than the ramp's angle, no turn deeper than a pass: of
/// quarter arcs where the control goes down in an arc, else of chords.
fn helix(ring: &Ring, machine: &Machine, router: &Router, depth: f64) -> Vec<Step> {
    let a_turn =
        (ring.turn_mm() * router.ramp_deg.to_radians().tan()).min(router.pass_depth.as_mm());
    let turns = (depth / a_turn - 1e-9).ceil().max(1.0);
    let round: Vec<Segment> = if machine.words.helices && machine.arcs == Arcs::Taken {
        (0..4).map(|i| ring.quarter(i)).collect()
    } else {
        (0..ring.chords).map(|i| ring.chord(i)).collect()
    };
    let heights = evenly(0.0, -depth, turns as usize * round.len());
    let step = |(segment, to_z)| Step::Cut { segment, to_z, feed: FeedKind::Entry };
    std::iter::repeat_n(round, turns as usize).flatten().zip(heights).map(step).collect()
}

/// The steps of a beam: lit in the core, a quarter turn onto the circle, once round and a little
/// further.
pub(super) fn burnt(hole: Hole, name: &str, machine: &Machine, beam: &Laser) -> Vec<Step> {
    let radius = hole.radius.as_mm() - machine.tool_radius().as_mm();
    let lead = beam.lead.as_mm().min(radius / 2.0);
    let start = hole.center + Vector::new(radius, 0.0);
    let entry = lights(hole, machine, beam);
    let way_in = Segment::Arc {
        from: entry,
        to: start,
        center: start - Vector::new(lead, 0.0),
        turn: Turn::Left,
    };
    let on = {
        let whole = Segment::Arc {
            from: start,
            to: hole.center - Vector::new(radius, 0.0),
            center: hole.center,
            turn: Turn::Left,
        };
        whole.piece(0.0, OVERRUN_MM / whole.length())
    };
    let pieces = |segment: Segment| match machine.arcs {
        Arcs::Taken => vec![segment],
        Arcs::Chords(_) => chords_inside(&segment, most_inside(machine)),
    };
    let cut = |feed| move |segment| Step::Cut { segment, to_z: 0.0, feed };
    let mut steps = vec![Step::Say(name.to_string()), Step::RapidXy(entry), Step::BeamOn];
    steps.extend(pieces(way_in).into_iter().map(cut(FeedKind::Entry)));
    let circle = Ring::new(hole.center, radius, machine);
    for _ in 0..beam.passes {
        steps.extend(circle.once(machine.arcs).into_iter().map(cut(FeedKind::Cut)));
    }
    steps.extend(pieces(on).into_iter().map(cut(FeedKind::Cut)));
    steps.push(Step::BeamDark);
    steps
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::profile::embedded;

    fn machine(name: &str) -> Machine {
        let source = embedded(Some("machine"), name).unwrap();
        Machine::read(name, &source.file, &source.text).unwrap()
    }

    fn ways(steps: &[Step]) -> Vec<(Segment, f64)> {
        let way = |step: &Step| match step {
            Step::Cut { segment, to_z, .. } => Some((*segment, *to_z)),
            _ => None,
        };
        steps.iter().filter_map(way).collect()
    }

    #[test]
    fn a_cutter_never_leaves_its_hole_sweeps_all_of_it_and_never_descends_faster_than_the_ramp() {
        let machine = machine("router-table");
        let router = machine.tool.cutter().unwrap();
        for diameter in [9.0, 12.7, 40.0] {
            let hole = Hole { center: Point::new(100.0, 50.0), radius: Length::mm(diameter / 2.0) };
            let steps =
                routed(hole, "HOLE", &machine, router, Length::mm(7.0) - router.cut_through);
            let (cutter, mut z) = (machine.tool_radius().as_mm(), 0.0_f64);
            for (segment, to_z) in ways(&steps) {
                for share in [0.0, 0.25, 0.5, 0.75, 1.0] {
                    let out = (segment.point_at(share) - hole.center).norm();
                    assert!(out + cutter <= diameter / 2.0 + 1e-9, "{out}");
                }
                if z > to_z && to_z > -7.0 + 1e-9 {
                    assert!(
                        (z - to_z) / segment.length() <= router.ramp_deg.to_radians().tan() + 1e-9
                    );
                }
                z = to_z;
            }
            let floor: Vec<Segment> = ways(&steps)
                .into_iter()
                .filter(|(_, z)| *z <= -7.0 + 1e-9)
                .map(|(s, _)| s)
                .collect();
            for out in 0..=100 {
                let p = hole.center
                    + Vector::new(0.3_f64.cos(), 0.3_f64.sin())
                        * (diameter / 2.0 - 0.02)
                        * f64::from(out)
                        / 100.0;
                let nearest = floor
                    .iter()
                    .map(|s| crate::geometry::distance_to_segment(p, s))
                    .fold(f64::INFINITY, f64::min);
                assert!(nearest <= cutter + 1e-9, "{diameter}: {out} stands, {nearest}");
            }
        }
    }

    #[test]
    fn a_hole_as_wide_as_the_cutter_is_bored_straight_down_no_deeper_than_a_pass_at_once() {
        let machine = machine("router-table");
        let router = machine.tool.cutter().unwrap();
        let hole = Hole { center: Point::new(100.0, 50.0), radius: machine.tool_radius() };
        let steps = routed(hole, "HOLE", &machine, router, Length::mm(18.5) - router.cut_through);
        assert!(ways(&steps).is_empty() && steps.contains(&Step::RapidXy(hole.center)));
        let downs = steps.iter().filter_map(|step| match step {
            Step::FeedZ(z) => Some(*z),
            _ => None,
        });
        let (mut deepest, mut most) = (0.0, 0.0_f64);
        for z in downs {
            (most, deepest) = (most.max(deepest - z), f64::min(deepest, z));
        }
        assert!(
            (deepest + 18.5).abs() < 1e-9 && most <= router.pass_depth.as_mm() + 1e-9,
            "{deepest} {most}"
        );
        assert_eq!(
            (comes_down(hole, &machine), leaves(hole, &machine)),
            (hole.center, hole.center)
        );
    }

    #[test]
    fn a_beam_is_lit_in_the_core_and_stays_in_the_hole() {
        for name in ["laser", "laser-lines"] {
            let machine = machine(name);
            let beam = machine.tool.beam().unwrap();
            let hole = Hole { center: Point::new(100.0, 50.0), radius: Length::mm(6.35) };
            let steps = burnt(hole, HANGING, &machine, beam);
            for (segment, _) in ways(&steps) {
                for share in [0.0, 0.5, 1.0] {
                    assert!((segment.point_at(share) - hole.center).norm() <= 6.25 + 1e-9);
                }
            }
            assert!(matches!(steps.last(), Some(Step::BeamDark)));
        }
    }
}
