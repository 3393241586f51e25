//! A frame: a program that shows where a set will go and cuts nothing.

use super::clamps::distance_to_box;
use super::findings::Findings;
use super::limits::{GAP_MM, RATE_MM_MIN};
use super::motion::read_motion;
use super::moves::{Drive, Motion, Move, Spindle};
use super::said::Errand;
use crate::diagnostics::codes::{self, FrameFault};
use crate::diagnostics::{Error, Finding};
use crate::geometry::tolerance::PROOF_MM;
use crate::geometry::{Bounds, Point, Segment};
use crate::profile::Machine;

/// What a frame is to be.
#[derive(Clone, Debug)]
pub struct FrameTask {
    /// The box that it goes round: left to right along the front first.
    pub plane: Bounds,
    /// The height that it keeps, in the program's own Z, in mm; `None` for a tool that is not
    /// lifted.
    pub clear_mm: Option<f64>,
    /// Where it goes once it was round.
    pub home: Point,
    /// The height that it goes to there, in the program's own Z, in mm; `None`: it keeps the other.
    pub home_z_mm: Option<f64>,
    /// How fast it goes round.
    pub feed_mm_min: f64,
    /// Where something stands as high as that.
    pub standing: Vec<Bounds>,
}

/// Holds a frame against what it is to be: it does that, move by move, and nothing else. Any
/// finding is a fault.
///
/// # Errors
/// Only if the text cannot be read as a program at all.
pub fn verify_frame(
    text: &[u8],
    file: &str,
    machine: &Machine,
    task: &FrameTask,
) -> Result<Vec<Finding>, Error> {
    let mut findings = Findings::new(file);
    let motion = read_motion(text, file, (machine, Errand::Cut), &mut findings)?;
    let turned = motion.turned.iter().filter(|turned| turned.to != Spindle::Off);
    let runs = turned.map(|turned| (FrameFault::Runs, turned.line));
    let is_off = motion.turned.first().is_some_and(|turned| {
        turned.to == Spindle::Off && motion.moves.first().is_none_or(|m| turned.line < m.line)
    });
    if !is_off {
        findings.at_file(codes::FrameOff { what: FrameFault::NotOff });
    }
    let waits = motion.stands.iter().map(|stand| (FrameFault::Waits, stand.line));
    let ended = motion.moves.last().filter(|m| task.ends_with(m)).map(|_| motion.moves.len() - 1);
    let held = motion.moves.iter().take(ended.unwrap_or(motion.moves.len()));
    let moves = held.flat_map(|m| task.faults(m).map(|what| (what, m.line)));
    for (what, line) in runs.chain(waits).chain(moves) {
        findings.at_line(codes::FrameOff { what }, line);
    }
    if !task.is_gone_round(&motion) || task.home_z_mm.is_some() != ended.is_some() {
        findings.at_file(codes::FrameOff { what: FrameFault::Box });
    }
    Ok(findings.finish())
}

impl FrameTask {
    /// Whether a move is the last one, up or down over the place to park at.
    fn ends_with(&self, m: &Move) -> bool {
        let is_there = |at: Point| (at - self.home).amax() <= PROOF_MM + GAP_MM;
        let is_high = |z: f64| m.to_z.is_some_and(|to| (to - z).abs() <= PROOF_MM);
        !m.sideways
            && m.drive == Drive::Rapid
            && self.home_z_mm.is_some_and(is_high)
            && m.path.is_some_and(|path| is_there(path.to()))
    }

    /// What is wrong with one move, wherever it is.
    fn faults(&self, m: &Move) -> impl Iterator<Item = FrameFault> {
        let off = |z: f64| self.clear_mm.map_or(0.0, |clear| z - clear);
        let low = |z: Option<f64>| self.clear_mm.is_some() && z.is_none_or(|z| off(z) < -PROOF_MM);
        let is_low = low(m.to_z) || m.sideways && low(m.from_z);
        let is_high = m.to_z.is_some_and(|z| off(z) > PROOF_MM);
        let is_paced = |feed: f64| (feed - self.feed_mm_min).abs() <= RATE_MM_MIN;
        let is_odd = m.drive == Drive::Feed && !m.feed.is_some_and(is_paced);
        let beyond = |p: Point| self.plane.distance(p) > PROOF_MM + GAP_MM;
        let is_beyond = |path: &Segment| {
            let reached = path.bounds();
            [reached.min, reached.max].into_iter().any(beyond) && !self.is_way_home(path)
        };
        let meets = |path: &Segment| {
            self.standing.iter().any(|place| distance_to_box(path, *place) <= GAP_MM)
        };
        [
            is_low.then_some(FrameFault::Low),
            is_high.then_some(FrameFault::High),
            is_odd.then_some(FrameFault::Pace),
            m.path.as_ref().is_some_and(is_beyond).then_some(FrameFault::Beyond),
            m.path.as_ref().is_some_and(meets).then_some(FrameFault::Meets),
        ]
        .into_iter()
        .flatten()
    }

    fn is_way_home(&self, path: &Segment) -> bool {
        let home = Segment::Line { from: self.plane.min, to: self.home };
        is_same(path, &home)
    }

    /// Whether it goes there, once along each side, and home: no more and no less.
    fn is_gone_round(&self, motion: &Motion) -> bool {
        let (low, high) = (self.plane.min, self.plane.max);
        let corners = [low, Point::new(high.x, low.y), high, Point::new(low.x, high.y), low];
        let side = |i: usize| Segment::Line { from: corners[i], to: corners[i + 1] };
        let home = Segment::Line { from: low, to: self.home };
        let wanted = (0..4).map(|i| (Drive::Feed, side(i))).chain([(Drive::Rapid, home)]);
        let wanted: Vec<_> = wanted.filter(|(_, path)| path.length() > GAP_MM).collect();
        // Where it comes from is not known: of the first move across only its end is.
        let mut across = motion.moves.iter().filter(|m| m.sideways);
        if !across.next().is_some_and(|m| m.drive == Drive::Rapid && m.path.is_none()) {
            return false;
        }
        let stays = |path: Option<Segment>| path.is_some_and(|path| path.length() <= GAP_MM);
        let gone: Vec<_> = across.map(|m| (m.drive, m.path)).filter(|m| !stays(m.1)).collect();
        gone.len() == wanted.len()
            && gone.iter().zip(&wanted).all(|((drive, path), (as_wanted, side))| {
                drive == as_wanted && path.is_some_and(|path| is_same(&path, side))
            })
    }
}

/// Whether two straight ways are one, in the digits that a program has.
fn is_same(path: &Segment, other: &Segment) -> bool {
    let near = |a: Point, b: Point| (a - b).amax() <= PROOF_MM + GAP_MM;
    matches!(path, Segment::Line { .. })
        && near(path.from(), other.from())
        && near(path.to(), other.to())
}
