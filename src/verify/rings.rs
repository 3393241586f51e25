//! The lines of a drawing joined to rings, and what is wrong with them as lines to cut.

use std::collections::{HashMap, HashSet};

use super::codes;
use super::dxf::{Figure, FigureKind};
use super::findings::Findings;
use super::limits::{GAP_MM, JOIN_MM};
use crate::geometry::{Point, Segment};

/// The most loose ends that are tried at one place.
const MOST_TRIES: usize = 64;

/// A joined line, closed or not.
#[derive(Debug)]
pub(super) struct Ring {
    pub segments: Vec<Segment>,
    pub line: usize,
}

impl Ring {
    fn start(&self) -> Point {
        self.segments[0].from()
    }

    fn end(&self) -> Point {
        self.segments[self.segments.len() - 1].to()
    }

    /// The distance of its end from its start.
    pub fn gap(&self) -> f64 {
        (self.end() - self.start()).norm()
    }

    pub fn is_closed(&self) -> bool {
        self.gap() <= JOIN_MM
    }
}

type Cell = (i64, i64);

/// `p` in steps of `size`; far points share the outermost cells.
fn cell(p: Point, size: f64) -> Cell {
    ((p.x / size).round() as i64, (p.y / size).round() as i64)
}

/// Joins figures end to end. Segments without length and segments drawn twice are told and left out.
pub(super) fn join(figures: &[&Figure], findings: &mut Findings) -> Vec<Ring> {
    let mut seen: HashSet<(Cell, Cell, Cell)> = HashSet::new();
    let mut rings = Vec::new();
    for figure in figures {
        let mut segments = Vec::new();
        for segment in &figure.segments {
            let place = || format!("at x {:.3} y {:.3} mm", segment.from().x, segment.from().y);
            if segment.length() <= GAP_MM {
                findings.at_line(codes::DRAWING_ZERO, figure.line, place(), "segments with a length");
            } else if !first_seen(segment, figure.kind, &mut seen) {
                findings.at_line(codes::DRAWING_DOUBLED, figure.line, place(), "each segment once");
            } else {
                segments.push(*segment);
            }
        }
        if !segments.is_empty() {
            rings.extend(unbroken(segments, figure.line));
        }
    }
    let (mut closed, open): (Vec<Ring>, Vec<Ring>) = rings.into_iter().partition(Ring::is_closed);
    closed.extend(chained(open));
    closed
}

/// Whether this is the first segment of its place. A polyline may come back the way it went.
fn first_seen(segment: &Segment, kind: FigureKind, seen: &mut HashSet<(Cell, Cell, Cell)>) -> bool {
    let at = |share: f64| cell(segment.point_at(share), JOIN_MM);
    let (from, middle, to) = (at(0.0), at(0.5), at(1.0));
    match kind {
        FigureKind::Polyline => seen.insert((from, middle, to)),
        FigureKind::Loose => seen.insert((from, middle, to)) & seen.insert((to, middle, from)),
    }
}

/// A polyline from which segments were left out may have come apart.
fn unbroken(segments: Vec<Segment>, line: usize) -> Vec<Ring> {
    let mut rings: Vec<Ring> = Vec::new();
    for segment in segments {
        match rings.last_mut() {
            Some(ring) if (ring.end() - segment.from()).norm() <= JOIN_MM => ring.segments.push(segment),
            _ => rings.push(Ring { segments: vec![segment], line }),
        }
    }
    rings
}

/// Joins open lines where their ends meet.
fn chained(open: Vec<Ring>) -> Vec<Ring> {
    let mut ends: HashMap<Cell, Vec<usize>> = HashMap::new();
    for (i, ring) in open.iter().enumerate() {
        for p in [ring.start(), ring.end()] {
            ends.entry(cell(p, JOIN_MM)).or_default().push(i);
        }
    }
    let mut open: Vec<Option<Ring>> = open.into_iter().map(Some).collect();
    let mut chains = Vec::new();
    for i in 0..open.len() {
        let Some(mut chain) = open[i].take() else { continue };
        for _ in 0..2 {
            while !chain.is_closed() {
                let Some(next) = take_at(chain.end(), &mut ends, &mut open) else { break };
                chain.segments.extend(next.segments);
            }
            if chain.is_closed() {
                break;
            }
            chain = reversed(chain);
        }
        chains.push(chain);
    }
    chains
}

fn reversed(ring: Ring) -> Ring {
    Ring { segments: ring.segments.iter().rev().map(Segment::reversed).collect(), line: ring.line }
}

/// Takes an open line that starts or ends at `p`, turned so that it starts there.
fn take_at(p: Point, ends: &mut HashMap<Cell, Vec<usize>>, open: &mut [Option<Ring>]) -> Option<Ring> {
    let home = cell(p, JOIN_MM);
    for (dx, dy) in (-1..=1).flat_map(|dx| (-1..=1).map(move |dy| (dx, dy))) {
        let Some(there) = ends.get_mut(&(home.0.saturating_add(dx), home.1.saturating_add(dy))) else { continue };
        there.retain(|&i| open[i].is_some());
        for &i in there.iter().take(MOST_TRIES) {
            let meets = |q: Point| (q - p).norm() <= JOIN_MM;
            match &open[i] {
                Some(ring) if meets(ring.start()) => return open[i].take(),
                Some(ring) if meets(ring.end()) => return open[i].take().map(reversed),
                _ => {}
            }
        }
    }
    None
}
