//! Which lines of several figures close: joined end to end they come back to where they began.

use std::collections::{HashMap, HashSet};

use super::contents::Figure;
use super::farthest::TooTangled;
use super::limits::{CHAINED_MM, GAP_MM, MOST_PAIRS};
use crate::geometry::{Bounds, Point, Segment};

/// Ends are sorted into cells of this size: two in one cell are joined.
const CELL_MM: f64 = CHAINED_MM * std::f64::consts::FRAC_1_SQRT_2;
/// Ends that are joined one to the next over more than this are a line of small pieces, not a
/// point.
const SMEARED_MM: f64 = 4.0 * CHAINED_MM;

/// A stretch of a figure between two ends or turns.
struct Stretch<'d> {
    figure: usize,
    segments: Vec<&'d Segment>,
}

impl Stretch<'_> {
    fn ends(&self) -> [Point; 2] {
        [self.segments[0].from(), self.segments[self.segments.len() - 1].to()]
    }

    fn length(&self) -> f64 {
        self.segments.iter().map(|segment| segment.length()).sum()
    }

    /// The middle of its longest segment.
    fn middle(&self) -> Point {
        let longest = self.segments.iter().max_by(|a, b| a.length().total_cmp(&b.length()));
        longest.map_or(self.segments[0].from(), |segment| segment.point_at(0.5))
    }
}

/// The segments that are part of something closed, each with the number of its figure. Of several
/// closed shapes that a line joins that line too.
pub(super) fn closing<'d>(figures: &[&'d Figure]) -> Result<Vec<(usize, &'d Segment)>, TooTangled> {
    let stretches: Vec<Stretch<'d>> =
        figures.iter().enumerate().flat_map(|(i, figure)| stretches(i, figure)).collect();
    let ends: Vec<Point> = stretches.iter().flat_map(Stretch::ends).collect();
    let Joints { of, smeared } = Joints::of(&ends)?;
    let joints = |i: usize| (of[2 * i], of[2 * i + 1]);
    let mut seen: HashSet<(usize, usize, Cell)> = HashSet::new();
    let is_first = |(i, stretch): (usize, &Stretch<'_>)| {
        let (a, b) = joints(i);
        seen.insert((a.min(b), a.max(b), cell(stretch.middle(), CHAINED_MM)))
    };
    let mut stays: Vec<bool> = stretches.iter().enumerate().map(is_first).collect();
    let mut at: HashMap<usize, Vec<usize>> = HashMap::new();
    for i in (0..stretches.len()).filter(|&i| stays[i]) {
        let (a, b) = joints(i);
        at.entry(a).or_default().push(i);
        at.entry(b).or_default().push(i);
    }
    // A stretch that comes back to its own joint is too short to be one, but for what is closed by
    // itself.
    let is_closed = |i: usize| {
        let [from, to] = stretches[i].ends();
        (to - from).norm() <= GAP_MM
    };
    let is_kept = |i: usize| {
        let (a, b) = joints(i);
        a == b && is_closed(i) || smeared[a] && smeared[b]
    };
    for (i, stays) in stays.iter_mut().enumerate() {
        let (a, b) = joints(i);
        *stays &= a != b || is_kept(i);
    }
    let count = |joint: usize, stays: &[bool]| at[&joint].iter().filter(|&&i| stays[i]).count();
    let mut degree: HashMap<usize, usize> =
        at.keys().map(|&joint| (joint, count(joint, &stays))).collect();
    let mut loose: Vec<usize> = degree.iter().filter(|(_, n)| **n == 1).map(|(&j, _)| j).collect();
    while let Some(joint) = loose.pop() {
        let Some(&i) = at[&joint].iter().find(|&&i| stays[i] && !is_kept(i)) else { continue };
        if degree[&joint] != 1 {
            continue;
        }
        stays[i] = false;
        let (a, b) = joints(i);
        for joint in [a, b] {
            let left = degree.entry(joint).or_default();
            *left = left.saturating_sub(1);
            if *left == 1 {
                loose.push(joint);
            }
        }
    }
    let staying = stretches.iter().zip(&stays).filter(|(_, stays)| **stays);
    Ok(staying
        .flat_map(|(of, _)| of.segments.iter().map(|segment| (of.figure, *segment)))
        .collect())
}

/// A figure in stretches no shorter than what joins ends, so that its own turns do not run
/// together.
fn stretches(figure_number: usize, figure: &Figure) -> Vec<Stretch<'_>> {
    let mut all: Vec<Stretch<'_>> = Vec::new();
    for segment in figure.segments.iter().filter(|segment| segment.length() > GAP_MM) {
        match all.last_mut() {
            Some(last) if last.length() < CHAINED_MM => last.segments.push(segment),
            _ => all.push(Stretch { figure: figure_number, segments: vec![segment] }),
        }
    }
    if all.len() > 1 && all[all.len() - 1].length() < CHAINED_MM {
        let rest = all.pop().map(|rest| rest.segments).unwrap_or_default();
        let last = all.len() - 1;
        all[last].segments.extend(rest);
    }
    all
}

type Cell = (i64, i64);

fn cell(p: Point, size: f64) -> Cell {
    ((p.x / size).floor() as i64, (p.y / size).floor() as i64)
}

/// Ends that are taken for one point.
struct Joints {
    /// The joint of each end.
    of: Vec<usize>,
    /// Of each joint, whether it runs along a line of small pieces.
    smeared: Vec<bool>,
}

impl Joints {
    fn of(ends: &[Point]) -> Result<Self, TooTangled> {
        let mut cells: HashMap<Cell, Vec<usize>> = HashMap::new();
        for (i, end) in ends.iter().enumerate() {
            cells.entry(cell(*end, CELL_MM)).or_default().push(i);
        }
        let mut root: Vec<usize> = (0..ends.len()).collect();
        let mut pairs = 0;
        for (&(x, y), here) in &cells {
            here.iter().for_each(|&i| unite(&mut root, here[0], i));
            let beside = (-2..=2).flat_map(|dx| {
                (-2..=2).map(move |dy| (x.saturating_add(dx), y.saturating_add(dy)))
            });
            for there in
                beside.filter(|other| *other > (x, y)).filter_map(|other| cells.get(&other))
            {
                pairs += here.len() * there.len();
                if pairs > MOST_PAIRS {
                    return Err(TooTangled);
                }
                let near = |&(i, j): &(usize, usize)| (ends[i] - ends[j]).norm() <= CHAINED_MM;
                let both = here.iter().flat_map(|&i| there.iter().map(move |&j| (i, j)));
                for (i, j) in both.filter(near) {
                    unite(&mut root, i, j);
                }
            }
        }
        let of: Vec<usize> = (0..ends.len()).map(|i| found(&mut root, i)).collect();
        let mut places: HashMap<usize, Bounds> = HashMap::new();
        for (end, joint) in ends.iter().zip(&of) {
            let here = Bounds { min: *end, max: *end };
            places.entry(*joint).and_modify(|all| *all = all.joined(here)).or_insert(here);
        }
        let is_smeared = |joint: usize| {
            places.get(&joint).is_some_and(|of| of.width().hypot(of.height()) > SMEARED_MM)
        };
        let smeared = (0..ends.len()).map(is_smeared).collect();
        Ok(Self { of, smeared })
    }
}

fn found(root: &mut [usize], mut i: usize) -> usize {
    while root[i] != i {
        root[i] = root[root[i]];
        i = root[i];
    }
    i
}

fn unite(root: &mut [usize], a: usize, b: usize) {
    let (a, b) = (found(root, a), found(root, b));
    root[a.max(b)] = a.min(b);
}
