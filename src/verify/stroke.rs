//! Where the tool touches material: the moves that do, cut off at the material's top.
//!
//! A beam has no height: what it puts into each mm of its way, against full power at the profile's
//! feed, stands for its depth. More power and less feed go deeper alike.

use super::farthest::TooTangled;
use super::levels::Levels;
use super::limits::{GAP_MM, MOST_PAIRS, RATE_MM_MIN, SAME_LINE_MM, WEAKEST_BEAM};
use super::moves::{Drive, Motion, Move};
use super::pair::cover;
use super::runs::Way;
use super::shape::Shape;
use crate::geometry::{Point, Segment};
use crate::profile::{Laser, Machine};

/// Whether the tool cuts or is only dragged through.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Work {
    Cutting,
    Dragging,
}

/// One stretch of the tool's way in material. For a beam both heights are the bottom, or stand for
/// its energy if it is too little to go through.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stroke {
    pub path: Segment,
    pub from_z: f64,
    pub to_z: f64,
    pub line: usize,
    pub work: Work,
    /// How far the tool may run beside the path, in mm: an arc whose end is off its circle, a
    /// corner that the control rounds.
    pub off_mm: f64,
    /// Energy of a beam against what the profile cuts with; 1 for a cutter.
    pub energy: f64,
}

impl Stroke {
    /// Where it begins and ends.
    pub(super) fn way(&self) -> Way {
        let (from, to) = ((self.path.from(), self.from_z), (self.path.to(), self.to_z));
        Way { from, to, length: self.path.length() }
    }

    /// The height at a share of the length.
    pub(crate) fn z_at(&self, share: f64) -> f64 {
        self.from_z + (self.to_z - self.from_z) * share
    }

    /// The lowest height.
    pub(crate) fn lowest(&self) -> f64 {
        self.from_z.min(self.to_z)
    }

    /// The stretch, as shares, where the height is at most `level`.
    pub(crate) fn below(&self, level: f64) -> Option<(f64, f64)> {
        let (from, to) = (self.from_z - level, self.to_z - level);
        match (from <= 0.0, to <= 0.0) {
            (true, true) => Some((0.0, 1.0)),
            (true, false) => Some((0.0, from / (from - to))),
            (false, true) => Some((from / (from - to), 1.0)),
            (false, false) => None,
        }
    }

    /// The part of the stroke at most as high as `level`; a move along Z keeps its only point.
    pub(crate) fn cut_at(&self, level: f64) -> Option<Self> {
        let (start, end) = self.below(level)?;
        if start <= 0.0 && end >= 1.0 {
            return Some(*self);
        }
        let path = if self.path.length() > 0.0 { self.path.piece(start, end) } else { self.path };
        Some(Self { path, from_z: self.z_at(start), to_z: self.z_at(end), ..*self })
    }
}

/// Every stretch in material, in the order of the program.
pub(super) fn strokes(motion: &Motion, machine: &Machine, levels: &Levels) -> Vec<Stroke> {
    // A control that rounds corners leaves the path by so much, and which moves it takes together
    // is its own business: it may be anywhere.
    let blend_mm = machine.words.blend_mm();
    let stroke = |m| match machine.tool.beam() {
        None => cutter_stroke(m, levels),
        Some(beam) => beam_stroke(m, beam, levels),
    };
    let blended = |stroke: Stroke| Stroke { off_mm: stroke.off_mm + blend_mm, ..stroke };
    motion.moves.iter().filter_map(stroke).map(blended).collect()
}

fn cutter_stroke(m: &Move, levels: &Levels) -> Option<Stroke> {
    let work =
        if m.drive == Drive::Feed && m.tool.is_on() { Work::Cutting } else { Work::Dragging };
    let (from_z, to_z, off_mm) = (m.from_z?, m.to_z?, m.off_mm);
    let whole = Stroke { path: m.path?, from_z, to_z, line: m.line, work, off_mm, energy: 1.0 };
    whole.cut_at(levels.top - levels.near)
}

fn beam_stroke(m: &Move, laser: &Laser, levels: &Levels) -> Option<Stroke> {
    if !m.tool.is_on() {
        return None;
    }
    let work = if m.drive == Drive::Feed { Work::Cutting } else { Work::Dragging };
    let energy = energy(m, laser);
    let z = if energy >= WEAKEST_BEAM { levels.bottom } else { levels.beam(energy) };
    Some(Stroke { path: m.path?, from_z: z, to_z: z, line: m.line, work, off_mm: m.off_mm, energy })
}

/// What a beam puts into each mm, 1 at full power and the profile's feed. Feeds that differ by a
/// printed digit are one.
fn energy(m: &Move, laser: &Laser) -> f64 {
    let planned = laser.feed_mm_min;
    let feed = m
        .feed
        .filter(|&feed| feed > 0.0 && (feed - planned).abs() > RATE_MM_MIN)
        .unwrap_or(planned);
    m.tool.speed / laser.cut_s() * (planned / feed)
}

/// The stretches that are cut right through; of a beam that goes round several times those that lie
/// on as many others.
pub(super) fn through(
    strokes: &[Stroke],
    levels: &Levels,
    machine: &Machine,
) -> Result<Vec<Stroke>, TooTangled> {
    let cutting = strokes.iter().filter(|stroke| stroke.work == Work::Cutting);
    let once = cutting.filter_map(|stroke| stroke.cut_at(levels.through())).collect();
    match machine.tool.rounds() {
        1 => Ok(once),
        rounds => repeated(&once, rounds as usize),
    }
}

/// The stretches below which nothing is left that holds.
pub(super) fn parting(strokes: &[Stroke], levels: &Levels) -> Vec<Stroke> {
    strokes.iter().filter_map(|stroke| stroke.cut_at(levels.parting())).collect()
}

/// A tool that has gone on by so much less has not come again, in mm: strokes that follow each
/// other meet within a line's closeness, and lie on each other only where the way turns back.
const COME_AGAIN_MM: f64 = 5.0 * SAME_LINE_MM;

/// The stretches of strokes that lie on `rounds - 1` earlier ones at least: earlier by more than
/// the closeness of one line, or else the many short moves of one round would count as many rounds.
pub(super) fn repeated(strokes: &[Stroke], rounds: usize) -> Result<Vec<Stroke>, TooTangled> {
    let shape = Shape::new(strokes.iter().map(|stroke| stroke.path).collect());
    let (mut near, mut pairs, mut found) = (Vec::new(), 0, Vec::new());
    let gone = gone(strokes);
    for (i, stroke) in strokes.iter().enumerate() {
        let length = stroke.path.length();
        shape.near(stroke.path.bounds().grown(SAME_LINE_MM), &mut near);
        pairs += near.len();
        if pairs > MOST_PAIRS {
            return Err(TooTangled);
        }
        let mut covered = Vec::new();
        for &at in near.iter().filter(|&&at| at < i) {
            // What lies on the earlier stroke's end has that end just behind it: the way between
            // them is twice as far as the place is from its own start.
            let between = gone[i].0 - gone[at].1;
            let too_soon = ((COME_AGAIN_MM - between) / 2.0 / length.max(GAP_MM)).max(0.0);
            let mut own = Vec::new();
            cover(&stroke.path, &strokes[at].path, SAME_LINE_MM, &mut own);
            let later = own.into_iter().map(|(from, to): (f64, f64)| (from.max(too_soon), to));
            covered.extend(later.filter(|(from, to)| from < to));
        }
        let deep = covered_times(&covered, rounds - 1);
        found.extend(
            deep.into_iter()
                .map(|(from, to)| Stroke { path: stroke.path.piece(from, to), ..*stroke }),
        );
    }
    Ok(found)
}

/// How far the tool has gone at the start and at the end of every stroke, jumps between them with
/// it.
fn gone(strokes: &[Stroke]) -> Vec<(f64, f64)> {
    let (mut so_far, mut last) = (0.0, None::<Point>);
    let go = |stroke: &Stroke| {
        let jump = last.map_or(0.0, |last| (stroke.path.from() - last).norm());
        last = Some(stroke.path.to());
        let from = so_far + jump;
        so_far = from + stroke.path.length();
        (from, so_far)
    };
    strokes.iter().map(go).collect()
}

/// The stretches that are covered so many times or more.
fn covered_times(covered: &[(f64, f64)], times: usize) -> Vec<(f64, f64)> {
    let mut ends: Vec<(f64, i32)> =
        covered.iter().flat_map(|&(from, to)| [(from, 1), (to, -1)]).collect();
    // Where one ends and the next begins they count as one.
    ends.sort_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(&a.1)));
    let (mut deep, mut count, mut since) = (Vec::new(), 0, None);
    for (at, step) in ends {
        count += step;
        let is_deep = usize::try_from(count).is_ok_and(|count| count >= times);
        match (since, is_deep) {
            (None, true) => since = Some(at),
            (Some(from), false) => {
                deep.push((from, at));
                since = None;
            }
            _ => {}
        }
    }
    deep.retain(|(from, to)| to - from > GAP_MM);
    deep
}
