//! The lines of a drawing joined to rings, and what is wrong with them as lines to cut.

use std::collections::{HashMap, HashSet};

use super::contents::{Figure, FigureKind};
use super::faults::{Fault, Wrong};
use super::limits::{GAP_MM, JOIN_MM, SLIP_MM};
use super::shape::Shape;
use crate::geometry::{Bounds, Point, Segment};

/// The most loose ends that are tried at one place.
const MOST_TRIES: usize = 64;
/// Cells of `JOIN_MM` halved so often are smaller than the shortest segment that has a length.
const MOST_HALVINGS: f64 = 24.0;

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
    pub(crate) fn gap(&self) -> f64 {
        (self.end() - self.start()).norm()
    }

    pub(crate) fn is_closed(&self) -> bool {
        self.gap() <= JOIN_MM
    }

    /// The area of its box.
    pub(crate) fn size(&self) -> f64 {
        let bounds = self.segments.iter().map(Segment::bounds).reduce(Bounds::joined);
        bounds.map_or(0.0, |b| b.width() * b.height())
    }

    /// Goes on along another line, across a gap if there is one.
    fn go_on(&mut self, next: Self, faults: &mut Vec<Fault>) {
        let (from, to) = (self.end(), next.start());
        let gap = (to - from).norm();
        if gap > JOIN_MM {
            faults.push(open_at(next.line, from, gap));
            self.segments.push(Segment::Line { from, to });
        }
        self.segments.extend(next.segments);
    }

    /// What is told if it is open.
    pub(crate) fn opening(&self) -> Fault {
        open_at(self.line, self.start(), self.gap())
    }

    /// Closed by a straight line, if no more than a slip is missing.
    pub(crate) fn slip_closed(mut self) -> Self {
        if !self.is_closed() && self.gap() <= SLIP_MM {
            self.segments.push(Segment::Line { from: self.end(), to: self.start() });
        }
        self
    }
}

fn open_at(line: usize, at: Point, gap: f64) -> Fault {
    Fault { wrong: Wrong::Open(gap), line, at }
}

pub(super) type Cell = (i64, i64);

/// `p` in steps of `size`; far points share the outermost cells.
fn cell(p: Point, size: f64) -> Cell {
    ((p.x / size).round() as i64, (p.y / size).round() as i64)
}

/// Joins figures end to end. Segments without length and segments drawn twice are told and left
/// out.
pub(super) fn join(figures: &[&Figure], faults: &mut Vec<Fault>) -> Vec<Ring> {
    let mut seen: HashSet<Place> = HashSet::new();
    let mut rings = Vec::new();
    for figure in figures {
        let mut segments = Vec::new();
        for segment in &figure.segments {
            let mut fault =
                |wrong| faults.push(Fault { wrong, line: figure.line, at: segment.point_at(0.5) });
            if segment.length() <= GAP_MM {
                fault(Wrong::ZeroLength);
            } else if !first_seen(segment, figure.kind, &mut seen) {
                fault(Wrong::Doubled);
            } else {
                segments.push(*segment);
            }
        }
        if !segments.is_empty() {
            rings.extend(unbroken(segments, figure.line));
        }
    }
    let (mut closed, open): (Vec<Ring>, Vec<Ring>) = rings.into_iter().partition(Ring::is_closed);
    let (whole, open): (Vec<Ring>, Vec<Ring>) =
        chained(open, JOIN_MM, faults).into_iter().partition(Ring::is_closed);
    closed.extend(whole);
    closed.extend(chained(open, SLIP_MM, faults));
    without_doubles(closed, faults)
}

/// Without the lines that run all along the largest ring: it was drawn again, in other pieces.
fn without_doubles(rings: Vec<Ring>, faults: &mut Vec<Fault>) -> Vec<Ring> {
    let largest = (0..rings.len()).max_by(|&a, &b| rings[a].size().total_cmp(&rings[b].size()));
    let Some(largest) = largest.filter(|_| rings.len() > 1) else { return rings };
    let shape = Shape::new(rings[largest].segments.clone());
    let lies_on = |p: Point| shape.nearest(p).is_some_and(|(_, far)| far <= JOIN_MM);
    let again = |ring: &Ring| {
        ring.segments.iter().all(|segment| {
            [0.0, 0.25, 0.5, 0.75, 1.0].iter().all(|&share| lies_on(segment.point_at(share)))
        })
    };
    let mut kept = Vec::new();
    for (i, ring) in rings.into_iter().enumerate() {
        if i != largest && again(&ring) {
            let at = ring.segments[0].point_at(0.5);
            faults.push(Fault { wrong: Wrong::Doubled, line: ring.line, at });
        } else {
            kept.push(ring);
        }
    }
    kept
}

/// A segment as coarsely as two drawings of one agree: the size of the cells, and those of its ends
/// and its middle.
pub(super) type Place = (u32, [Cell; 3]);

/// Where a segment lies. The cells are a quarter of a short one or less, so that its ends are in
/// different ones: a spur shorter than `JOIN_MM` and its way back are two places.
fn place(segment: &Segment) -> Place {
    let halvings = (4.0 * JOIN_MM / segment.length()).log2().ceil().clamp(0.0, MOST_HALVINGS);
    let size = JOIN_MM / halvings.exp2();
    (halvings as u32, [0.0, 0.5, 1.0].map(|share| cell(segment.point_at(share), size)))
}

/// The place of a segment, the same whichever way it is drawn.
pub(super) fn place_either_way(segment: &Segment) -> Place {
    place(segment).min(place(&segment.reversed()))
}

/// Whether this is the first segment of its place. A polyline may come back the way it went.
fn first_seen(segment: &Segment, kind: FigureKind, seen: &mut HashSet<Place>) -> bool {
    let (size, [from, middle, to]) = place(segment);
    match kind {
        FigureKind::Polyline => seen.insert((size, [from, middle, to])),
        FigureKind::Loose | FigureKind::Point => {
            seen.insert((size, [from, middle, to])) & seen.insert((size, [to, middle, from]))
        }
    }
}

/// A polyline from which segments were left out may have come apart.
fn unbroken(segments: Vec<Segment>, line: usize) -> Vec<Ring> {
    let mut rings: Vec<Ring> = Vec::new();
    for segment in segments {
        match rings.last_mut() {
            Some(ring) if (ring.end() - segment.from()).norm() <= JOIN_MM => {
                ring.segments.push(segment);
            }
            _ => rings.push(Ring { segments: vec![segment], line }),
        }
    }
    rings
}

/// Joins open lines whose ends are no farther apart than `reach`; a gap between them is told and
/// closed by a line.
fn chained(open: Vec<Ring>, reach: f64, faults: &mut Vec<Fault>) -> Vec<Ring> {
    let mut ends: HashMap<Cell, Vec<usize>> = HashMap::new();
    for (i, ring) in open.iter().enumerate() {
        for p in [ring.start(), ring.end()] {
            ends.entry(cell(p, reach)).or_default().push(i);
        }
    }
    let mut open: Vec<Option<Ring>> = open.into_iter().map(Some).collect();
    let mut chains = Vec::new();
    for i in 0..open.len() {
        let Some(mut chain) = open[i].take() else { continue };
        for _ in 0..2 {
            while chain.gap() > reach {
                let Some(next) = take_at(chain.end(), reach, &mut ends, &mut open) else { break };
                chain.go_on(next, faults);
            }
            if chain.gap() <= reach {
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
fn take_at(
    p: Point,
    reach: f64,
    ends: &mut HashMap<Cell, Vec<usize>>,
    open: &mut [Option<Ring>],
) -> Option<Ring> {
    let home = cell(p, reach);
    for (dx, dy) in (-1..=1).flat_map(|dx| (-1..=1).map(move |dy| (dx, dy))) {
        let Some(there) = ends.get_mut(&(home.0.saturating_add(dx), home.1.saturating_add(dy)))
        else {
            continue;
        };
        there.retain(|&i| open[i].is_some());
        for &i in there.iter().take(MOST_TRIES) {
            let meets = |q: Point| (q - p).norm() <= reach;
            match &open[i] {
                Some(ring) if meets(ring.start()) => return open[i].take(),
                Some(ring) if meets(ring.end()) => return open[i].take().map(reversed),
                _ => {}
            }
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::super::contents::Said;
    use super::*;

    fn figure(kind: FigureKind, points: &[(f64, f64)]) -> Figure {
        let points: Vec<Point> = points.iter().map(|(x, y)| Point::new(*x, *y)).collect();
        let segments =
            points.windows(2).map(|pair| Segment::Line { from: pair[0], to: pair[1] }).collect();
        Figure { line: 1, layer: "CUT".to_string(), segments, kind, said: Said::default() }
    }

    /// What is told, and how many segments each ring has.
    fn joined(figures: &[Figure]) -> (Vec<Wrong>, Vec<usize>) {
        let mut faults = Vec::new();
        let rings = join(&figures.iter().collect::<Vec<_>>(), &mut faults);
        (
            faults.iter().map(|fault| fault.wrong).collect(),
            rings.iter().map(|ring| ring.segments.len()).collect(),
        )
    }

    /// A square with a spur of a length out of the middle of its lower side and back.
    fn with_spur(length: f64) -> Vec<(f64, f64)> {
        let (x, y) = (5.0 - length * 0.6, -length * 0.8);
        vec![
            (0.0, 0.0),
            (5.0, 0.0),
            (x, y),
            (5.0, 0.0),
            (10.0, 0.0),
            (10.0, 10.0),
            (0.0, 10.0),
            (0.0, 0.0),
        ]
    }

    #[test]
    fn a_polyline_may_go_back_along_a_spur_of_any_length() {
        for length in [
            1e-3,
            4e-3,
            0.012,
            JOIN_MM / 2.0,
            0.02,
            JOIN_MM,
            0.03,
            0.06,
            2.0 * JOIN_MM,
            4.0 * JOIN_MM,
            1.0,
        ] {
            let spur = figure(FigureKind::Polyline, &with_spur(length));
            assert_eq!(joined(&[spur]), (Vec::new(), vec![7]), "{length}");
        }
    }

    #[test]
    fn short_steps_on_along_a_line_are_each_a_segment() {
        for step in [2e-3, 0.01, 0.02] {
            let mut points: Vec<(f64, f64)> =
                (0..=20).map(|i| (5.0 + step * f64::from(i), 0.0)).collect();
            points.splice(0..0, [(0.0, 0.0)]);
            points.extend([(10.0, 0.0), (10.0, 10.0), (0.0, 10.0), (0.0, 0.0)]);
            assert_eq!(
                joined(&[figure(FigureKind::Polyline, &points)]),
                (Vec::new(), vec![25]),
                "{step}"
            );
        }
    }

    #[test]
    fn a_segment_of_any_length_that_is_drawn_again_is_told() {
        for length in [1e-3, 0.02, 0.06, 1.0] {
            let spur = with_spur(length);
            let again = |points: &[(f64, f64)]| {
                joined(&[figure(FigureKind::Polyline, &spur), figure(FigureKind::Polyline, points)])
                    .0
            };
            assert_eq!(again(&[spur[1], spur[2]]), [Wrong::Doubled], "{length}");
            let lines: Vec<Figure> =
                spur.windows(2).map(|pair| figure(FigureKind::Loose, pair)).collect();
            assert!(
                joined(&lines).0.contains(&Wrong::Doubled),
                "{length}: there and back as two lines"
            );
        }
    }
}
