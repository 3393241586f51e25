//! How long a program takes: trapezoids of speed between corners that are taken as fast as the
//! deviation allows, every axis within its own speed and acceleration: along a direction d there is
//! the least of a(i) / |d(i)|.
//!
//! Between speeds v0 and v1 over d at acceleration a the peak is min(F, sqrt(a d + (v0^2 + v1^2) /
//! 2)). At a corner of included angle q and deviation delta the radius is R = delta sin(q/2) / (1 -
//! sin(q/2)) and the speed sqrt(a R).

use nalgebra::Vector3;

use super::program::{FeedKind, Step};
use crate::geometry::{Point, Segment, Vector};
use crate::profile::Machine;

/// One move for the estimate.
#[derive(Clone, Copy, Debug)]
pub struct Leg {
    /// Length of the way in mm.
    pub length_mm: f64,
    /// The programmed speed in mm/s.
    pub speed_mm_s: f64,
    /// Unit direction at its start.
    pub starts: Vector3<f64>,
    /// Unit direction at its end.
    pub ends: Vector3<f64>,
    /// Radius of an arc in mm, infinite for a line.
    pub radius_mm: f64,
}

/// What a machine's motion control is given.
#[derive(Clone, Copy, Debug)]
pub struct Motion {
    /// Acceleration along X and Y in mm/s2.
    pub acceleration_mm_s2: f64,
    /// Acceleration along Z in mm/s2.
    pub acceleration_z_mm_s2: f64,
    /// How far a corner may be cut, in mm.
    pub deviation_mm: f64,
}

impl Motion {
    /// Along a direction of length 1, in mm/s2.
    fn along(self, direction: Vector3<f64>) -> f64 {
        within(direction, self.acceleration_mm_s2, self.acceleration_z_mm_s2)
    }
}

/// The most of something along a direction of length 1, where X and Y together and Z alone each
/// have a most of it.
fn within(direction: Vector3<f64>, flat: f64, upright: f64) -> f64 {
    let along = |most: f64, share: f64| if share > 0.0 { most / share } else { f64::INFINITY };
    along(flat, direction.xy().norm()).min(along(upright, direction.z.abs()))
}

/// Seconds from rest to rest along legs that follow each other without a stop.
pub fn chain_time_s(legs: &[Leg], motion: Motion) -> f64 {
    leg_times_s(legs, motion).iter().sum()
}

/// The same, leg by leg.
fn leg_times_s(legs: &[Leg], motion: Motion) -> Vec<f64> {
    let rates: Vec<f64> = legs.iter().map(|leg| motion.along(leg.starts)).collect();
    let round = motion.acceleration_mm_s2;
    let peaks: Vec<f64> =
        legs.iter().map(|leg| leg.speed_mm_s.min((round * leg.radius_mm).sqrt())).collect();
    let mut speeds = vec![0.0; legs.len() + 1];
    for i in 1..legs.len() {
        speeds[i] = peaks[i - 1].min(peaks[i]).min(corner_speed(&legs[i - 1], &legs[i], motion));
    }
    for i in (0..legs.len()).rev() {
        let gained = 2.0 * rates[i] * legs[i].length_mm;
        speeds[i] = f64::min(speeds[i], (speeds[i + 1].powi(2) + gained).sqrt());
    }
    for i in 0..legs.len() {
        let gained = 2.0 * rates[i] * legs[i].length_mm;
        speeds[i + 1] = f64::min(speeds[i + 1], (speeds[i].powi(2) + gained).sqrt());
    }
    legs.iter()
        .zip(&peaks)
        .enumerate()
        .map(|(i, (leg, peak))| leg_time(leg.length_mm, *peak, speeds[i], speeds[i + 1], rates[i]))
        .collect()
}

fn leg_time(d: f64, peak: f64, v0: f64, v1: f64, a: f64) -> f64 {
    let top = peak.min((a * d + (v0 * v0 + v1 * v1) / 2.0).sqrt());
    if top <= 0.0 {
        return 0.0;
    }
    let changing = (2.0 * top * top - v0 * v0 - v1 * v1) / (2.0 * a);
    (2.0 * top - v0 - v1) / a + (d - changing).max(0.0) / top
}

fn corner_speed(before: &Leg, after: &Leg, motion: Motion) -> f64 {
    // The included angle q is pi less the turn, so sin(q / 2) = cos(turn / 2).
    let sine = ((1.0 + before.ends.dot(&after.starts)) / 2.0).clamp(0.0, 1.0).sqrt();
    if 1.0 - sine < 1e-12 {
        return f64::INFINITY;
    }
    let rate = motion.along(before.ends).min(motion.along(after.starts));
    (rate * motion.deviation_mm * sine / (1.0 - sine)).sqrt()
}

/// Lengths and time of a program.
#[derive(Clone, Debug, Default)]
pub(super) struct Estimate {
    pub cut_length_mm: f64,
    pub rapid_length_mm: f64,
    pub time_s: f64,
    /// The time of each step; they sum to the whole.
    pub steps_s: Vec<f64>,
}

impl Estimate {
    /// The tool has come to rest: what the chain of moves up to here took, each by its step.
    fn rest(&mut self, chain: &mut Vec<(usize, Leg)>, motion: Motion) {
        let legs: Vec<Leg> = chain.iter().map(|(_, leg)| *leg).collect();
        let times = leg_times_s(&legs, motion);
        self.time_s += times.iter().sum::<f64>();
        for ((step, _), time) in chain.drain(..).zip(times) {
            self.steps_s[step] += time;
        }
    }
}

/// The machine's feed of a kind, in mm/min.
pub fn feed_mm_min(machine: &Machine, kind: FeedKind) -> f64 {
    match kind {
        FeedKind::Cut => machine.tool.feed_mm_min(),
        FeedKind::Mark => machine.tool.mark_feed_mm_min(),
        FeedKind::Entry => machine.tool.entry_feed_mm_min(),
        FeedKind::Plunge => machine.tool.plunge_feed_mm_min(),
        FeedKind::LastPass => machine.tool.last_pass_feed_mm_min(),
        FeedKind::Finish => machine.tool.finish_feed_mm_min(),
    }
}

/// Walks the steps from rest above X0 Y0; what the operator does at a stop is not counted.
pub(super) fn estimate(steps: &[Step], setups: &[Vector], machine: &Machine) -> Estimate {
    let motion = Motion {
        acceleration_mm_s2: machine.acceleration_mm_s2,
        acceleration_z_mm_s2: machine.acceleration_z_mm_s2,
        deviation_mm: machine.corner_slack.as_mm(),
    };
    let z = machine.rapid_height().as_mm();
    let home = setups.first().map_or_else(Point::origin, |setup| Point::origin() - setup);
    let mut walk = Walk { at: home, z };
    let mut chain = Vec::new();
    let mut sum = Estimate { steps_s: vec![0.0; steps.len()], ..Estimate::default() };
    let mut stops = 0;
    for (i, step) in steps.iter().enumerate() {
        let Some((leg, kind)) = walk.leg(step, machine) else {
            sum.rest(&mut chain, motion);
            if *step == Step::ToolOn {
                sum.time_s += machine.tool.spin_up_s();
                sum.steps_s[i] += machine.tool.spin_up_s();
            }
            if let Step::Stop(_) = step {
                walk.shift(&mut stops, setups);
            }
            continue;
        };
        match kind {
            LegKind::Rapid => sum.rapid_length_mm += leg.length_mm,
            LegKind::Feed => sum.cut_length_mm += leg.length_mm,
        }
        if leg.length_mm > 0.0 {
            let most = within(leg.starts, f64::INFINITY, machine.rapid_z_mm_min / 60.0);
            chain.push((i, Leg { speed_mm_s: leg.speed_mm_s.min(most), ..leg }));
        }
    }
    sum.rest(&mut chain, motion);
    sum
}

#[derive(Clone, Copy)]
enum LegKind {
    Rapid,
    Feed,
}

struct Walk {
    at: Point,
    z: f64,
}

impl Walk {
    /// The tool stays where it is on the machine while the stock moves under it.
    fn shift(&mut self, stops: &mut usize, setups: &[Vector]) {
        if let Some([before, after]) = setups.get(*stops..*stops + 2) {
            self.at += before - after;
        }
        *stops += 1;
    }

    /// The leg of a step that moves; `None` for one that stands still.
    fn leg(&mut self, step: &Step, machine: &Machine) -> Option<(Leg, LegKind)> {
        let rapid = machine.rapid_mm_min;
        match step {
            Step::Say(_) => Some((still(), LegKind::Feed)),
            Step::RapidZ(z) => Some((self.upright(*z, machine.rapid_z_mm_min), LegKind::Rapid)),
            Step::FeedZ(z) => {
                Some((self.upright(*z, feed_mm_min(machine, FeedKind::Plunge)), LegKind::Feed))
            }
            Step::RapidXy(to) => {
                let line = Segment::Line { from: self.at, to: *to };
                Some((self.across(&line, self.z, rapid), LegKind::Rapid))
            }
            Step::Cut { segment, to_z, feed } => {
                Some((self.across(segment, *to_z, feed_mm_min(machine, *feed)), LegKind::Feed))
            }
            Step::ToolOn
            | Step::ToolOff
            | Step::BeamOn
            | Step::BeamScore
            | Step::BeamDark
            | Step::Stop(_) => None,
        }
    }

    fn upright(&mut self, z: f64, feed: f64) -> Leg {
        let direction = Vector3::new(0.0, 0.0, (z - self.z).signum());
        let length_mm = (z - self.z).abs();
        self.z = z;
        Leg {
            length_mm,
            speed_mm_s: feed / 60.0,
            starts: direction,
            ends: direction,
            radius_mm: f64::INFINITY,
        }
    }

    fn across(&mut self, segment: &Segment, to_z: f64, feed: f64) -> Leg {
        let (flat, rise) = (segment.length(), to_z - self.z);
        let length_mm = flat.hypot(rise);
        if length_mm <= 0.0 {
            return still();
        }
        let tilted = |direction: Vector| {
            Vector3::new(direction.x * flat, direction.y * flat, rise) / length_mm
        };
        (self.at, self.z) = (segment.to(), to_z);
        Leg {
            length_mm,
            speed_mm_s: feed / 60.0,
            starts: tilted(segment.direction_at(0.0)),
            ends: tilted(segment.direction_at(1.0)),
            radius_mm: segment.radius(),
        }
    }
}

fn still() -> Leg {
    let up = Vector3::z();
    Leg { length_mm: 0.0, speed_mm_s: 1.0, starts: up, ends: up, radius_mm: f64::INFINITY }
}
