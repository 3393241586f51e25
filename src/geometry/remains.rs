//! What stays of a plate when a round tool has gone along its ways: rows of spans, joined where they touch.

use std::ops::Range;

use super::capsule::Capsule;
use super::{Bounds, Point, Segment};

/// Height of a row, in mm. Wood that hangs together through a web is seen to as soon as the web is wider than twice this.
const ROW_MM: f64 = 0.5;
/// Spans that touch along less than this are not joined, in mm.
const TOUCH_MM: f64 = 1e-6;
/// The most meetings of a strip and a row that are looked at.
const MOST_MEETINGS: f64 = 3e7;

/// What stays of a plate. It errs to one side only: a span is free all over its row, and two spans are joined only where
/// both are free, so that what is told to hang together does. Wood may be told apart that a web of less than two rows
/// joins.
#[derive(Clone, Debug)]
pub struct Remains {
    origin: Point,
    right: f64,
    height: f64,
    /// The first span of every row, and the number of all spans last.
    starts: Vec<usize>,
    spans: Vec<(f64, f64)>,
    parents: Vec<u32>,
}

/// What hangs together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Part {
    /// Its area in square millimetres.
    pub area: f64,
    /// The length round it in mm, to about a tenth.
    pub round: f64,
    /// The box around it.
    pub bounds: Bounds,
    /// A point in its widest place.
    pub within: Point,
    /// Whether it comes to the edge of the plate.
    pub at_edge: bool,
}

impl Part {
    /// The area about, in square millimetres, where a rim of half a width in mm was taken off all round.
    pub fn with_rim(&self, width: f64) -> f64 {
        self.area + self.round * width / 2.0 + width * width
    }
}

impl Remains {
    /// What stays of a plate when a tool of a radius in mm has gone along ways; `None` where that would be endless work.
    pub fn of(plate: Bounds, ways: &[Segment], radius: f64) -> Option<Remains> {
        let rows = (plate.height() / ROW_MM).ceil().max(1.0);
        if !(plate.width() > 0.0 && plate.height() > 0.0 && rows < MOST_MEETINGS) {
            return Some(Remains::none(plate));
        }
        let height = plate.height() / rows;
        let row_of = |y: f64| ((y - plate.min.y) / height).floor().clamp(0.0, rows - 1.0) as usize;
        let mut strips: Vec<(usize, usize, Capsule)> = Vec::new();
        let mut meetings = 0.0;
        for strip in Capsule::covering(ways, radius) {
            let (low, high) = strip.reach();
            if high >= plate.min.y && low <= plate.max.y {
                let (first, last) = (row_of(low), row_of(high));
                meetings += (last - first + 1) as f64;
                strips.push((first, last, strip));
            }
        }
        if meetings > MOST_MEETINGS {
            return None;
        }
        strips.sort_by_key(|(first, ..)| *first);
        let mut remains = Remains { height, ..Remains::none(plate) };
        let (mut taken, mut waiting) = (Vec::new(), strips.into_iter().peekable());
        let mut active: Vec<(usize, Capsule)> = Vec::new();
        for row in 0..rows as usize {
            let bottom = plate.min.y + row as f64 * height;
            while let Some((_, last, strip)) = waiting.next_if(|(first, ..)| *first <= row) {
                active.push((last, strip));
            }
            active.retain(|(last, _)| *last >= row);
            taken.clear();
            taken.extend(active.iter().filter_map(|(_, strip)| strip.within(bottom, bottom + height)));
            remains.add_row(plate, &mut taken);
        }
        remains.join_rows();
        Some(remains)
    }

    fn none(plate: Bounds) -> Remains {
        Remains {
            origin: plate.min,
            right: plate.max.x,
            height: ROW_MM,
            starts: vec![0],
            spans: Vec::new(),
            parents: Vec::new(),
        }
    }

    /// Adds the row that is left where these stretches are taken.
    fn add_row(&mut self, plate: Bounds, taken: &mut [(f64, f64)]) {
        taken.sort_unstable_by(|a, b| a.0.total_cmp(&b.0));
        let mut free_from = plate.min.x;
        for &mut (from, to) in taken {
            if from.min(plate.max.x) - free_from > TOUCH_MM {
                self.spans.push((free_from, from.min(plate.max.x)));
            }
            free_from = free_from.max(to);
        }
        if plate.max.x - free_from > TOUCH_MM {
            self.spans.push((free_from, plate.max.x));
        }
        self.starts.push(self.spans.len());
    }

    fn rows(&self) -> usize {
        self.starts.len() - 1
    }

    fn row(&self, row: usize) -> Range<usize> {
        self.starts[row]..self.starts[row + 1]
    }

    /// Every pair of spans that touch across two rows, with the length along which they do.
    fn touching(&self) -> Vec<(usize, usize, f64)> {
        let mut pairs = Vec::with_capacity(self.spans.len());
        for row in 1..self.rows() {
            let (below, own) = (self.row(row - 1), self.row(row));
            let (mut i, mut j) = (below.start, own.start);
            while i < below.end && j < own.end {
                let (a, b) = (self.spans[i], self.spans[j]);
                let common = a.1.min(b.1) - a.0.max(b.0);
                if common > TOUCH_MM {
                    pairs.push((i, j, common));
                }
                if a.1 < b.1 { i += 1 } else { j += 1 }
            }
        }
        pairs
    }

    fn join_rows(&mut self) {
        self.parents = (0..self.spans.len() as u32).collect();
        for (a, b, _) in self.touching() {
            self.join(a, b);
        }
    }

    fn root(&self, span: usize) -> usize {
        let mut at = span as u32;
        while self.parents[at as usize] != at {
            at = self.parents[at as usize];
        }
        at as usize
    }

    fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.root(a), self.root(b));
        let (low, high) = (a.min(b), a.max(b));
        self.parents[high] = low as u32;
    }

    fn compress(&mut self) {
        for span in 0..self.parents.len() {
            // Roots come before their spans, so that the parent of a parent is its root by now.
            self.parents[span] = self.parents[self.parents[span] as usize];
        }
    }

    /// Takes all that stays inside a closed ring for one part, thin places or not; arcs count as their chords.
    pub fn hold_together(&mut self, ring: &[Segment]) {
        let spans = self.spans_within(ring);
        for pair in spans.windows(2) {
            self.join(pair[0], pair[1]);
        }
    }

    fn spans_within(&self, ring: &[Segment]) -> Vec<usize> {
        self.rows_of(ring).flat_map(|row| self.spans_in_row(ring, row)).collect()
    }

    /// The lowest of them.
    fn first_within(&self, ring: &[Segment]) -> Option<usize> {
        self.rows_of(ring).find_map(|row| self.spans_in_row(ring, row).first().copied())
    }

    /// The rows that a ring comes into.
    fn rows_of(&self, ring: &[Segment]) -> Range<usize> {
        let Some(bounds) = ring.iter().map(Segment::bounds).reduce(Bounds::joined) else { return 0..0 };
        let row_of = |y: f64| ((y - self.origin.y) / self.height).floor().clamp(0.0, self.rows() as f64) as usize;
        row_of(bounds.min.y)..(row_of(bounds.max.y) + 1).min(self.rows())
    }

    /// The spans of a row that come into a ring; arcs count as their chords.
    fn spans_in_row(&self, ring: &[Segment], row: usize) -> Vec<usize> {
        let y = self.origin.y + (row as f64 + 0.5) * self.height;
        let crosses = |side: &&Segment| (side.from().y > y) != (side.to().y > y);
        let crossing = |side: &Segment| {
            let (a, b) = (side.from(), side.to());
            a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x)
        };
        let mut at: Vec<f64> = ring.iter().filter(crosses).map(crossing).collect();
        at.sort_unstable_by(f64::total_cmp);
        let of_row = self.row(row);
        let within = |inside: &[f64]| {
            let (left, right) = (inside[0] + TOUCH_MM, inside[1] - TOUCH_MM);
            let from = of_row.start + self.spans[of_row.clone()].partition_point(|s| s.1 <= left);
            (from..of_row.end).take_while(move |&s| self.spans[s].0 < right)
        };
        at.chunks_exact(2).flat_map(within).collect()
    }

    /// What hangs together, and which of them every span belongs to.
    pub fn parts(mut self) -> Parts {
        self.compress();
        let mut numbers = vec![u32::MAX; self.spans.len()];
        let mut parts: Vec<Part> = Vec::new();
        let mut sums: Vec<(f64, f64, f64)> = Vec::new();
        let mut widest: Vec<f64> = Vec::new();
        let (first, last) = (self.row(0), self.row(self.rows().saturating_sub(1)));
        let edges = [self.origin.x, self.right];
        for row in 0..self.rows() {
            let (bottom, top) =
                (self.origin.y + row as f64 * self.height, self.origin.y + (row + 1) as f64 * self.height);
            for span in self.row(row) {
                let (from, to) = self.spans[span];
                let root = self.parents[span] as usize;
                let bounds = Bounds { min: Point::new(from, bottom), max: Point::new(to, top) };
                let within = nalgebra::center(&bounds.min, &bounds.max);
                if numbers[root] == u32::MAX {
                    numbers[root] = parts.len() as u32;
                    parts.push(Part { area: 0.0, round: 0.0, bounds, within, at_edge: false });
                    sums.push((0.0, 0.0, 0.0));
                    widest.push(0.0);
                }
                let number = numbers[root] as usize;
                numbers[span] = number as u32;
                let part = &mut parts[number];
                part.bounds = part.bounds.joined(bounds);
                part.at_edge |= from <= edges[0] || to >= edges[1] || first.contains(&span) || last.contains(&span);
                if to - from > widest[number] {
                    (widest[number], part.within) = (to - from, within);
                }
                sums[number].0 += to - from;
                sums[number].1 += 1.0;
                // The plate's own edges lose nothing.
                let own = usize::from(first.contains(&span)) + usize::from(last.contains(&span));
                part.area -= (to - from) * self.height / 2.0 * own as f64;
            }
        }
        for (a, _, common) in self.touching() {
            sums[numbers[a] as usize].2 += common;
        }
        for (part, (length, count, common)) in parts.iter_mut().zip(sums) {
            let (upright, level) = (2.0 * self.height * count, 2.0 * (length - common));
            // What is level or slanted loses half a row on average, for a span is free all over its row.
            part.area += (length + level / 2.0) * self.height;
            part.round = ROUND * (upright + level);
        }
        Parts { remains: self, numbers, parts }
    }
}

/// The length round a shape against that round its steps: between 0.71 on a slope and 1 along the axes.
const ROUND: f64 = 0.9;

/// What stays of a plate, part by part.
#[derive(Clone, Debug)]
pub struct Parts {
    remains: Remains,
    numbers: Vec<u32>,
    parts: Vec<Part>,
}

impl Parts {
    /// Of nothing.
    pub fn none() -> Parts {
        let nowhere = Bounds { min: Point::origin(), max: Point::origin() };
        Parts { remains: Remains::none(nowhere), numbers: Vec::new(), parts: Vec::new() }
    }

    /// The parts.
    pub fn all(&self) -> &[Part] {
        &self.parts
    }

    /// The part that a point lies in; `None` where nothing is left.
    pub fn at(&self, p: Point) -> Option<usize> {
        let row = ((p.y - self.remains.origin.y) / self.remains.height).floor();
        if !(row >= 0.0 && row < self.remains.rows() as f64) {
            return None;
        }
        let of_row = self.remains.row(row as usize);
        let span = of_row.start + self.remains.spans[of_row.clone()].partition_point(|s| s.1 < p.x);
        (span < of_row.end && self.remains.spans[span].0 <= p.x).then(|| self.numbers[span] as usize)
    }

    /// The parts that come into a box.
    pub fn under(&self, place: Bounds) -> Vec<usize> {
        let (remains, height) = (&self.remains, self.remains.height);
        let row_of = |y: f64| ((y - remains.origin.y) / height).floor().clamp(0.0, remains.rows() as f64) as usize;
        let mut found = Vec::new();
        for row in row_of(place.min.y)..(row_of(place.max.y) + 1).min(remains.rows()) {
            let of_row = remains.row(row);
            let from = of_row.start + remains.spans[of_row.clone()].partition_point(|s| s.1 < place.min.x);
            found.extend((from..of_row.end).take_while(|&s| remains.spans[s].0 <= place.max.x));
        }
        found.into_iter().map(|span| self.numbers[span] as usize).collect()
    }

    /// The part inside a ring; `None` where nothing is left there.
    pub fn within(&self, ring: &[Segment]) -> Option<usize> {
        self.remains.first_within(ring).map(|span| self.numbers[span] as usize)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plate() -> Bounds {
        Bounds { min: Point::origin(), max: Point::new(200.0, 100.0) }
    }

    fn line(a: (f64, f64), b: (f64, f64)) -> Segment {
        Segment::Line { from: Point::new(a.0, a.1), to: Point::new(b.0, b.1) }
    }

    fn parts(ways: &[Segment], radius: f64) -> Parts {
        Remains::of(plate(), ways, radius).unwrap().parts()
    }

    #[test]
    fn a_cut_across_leaves_two_parts_of_the_right_area() {
        let cut = parts(&[line((50.0, -10.0), (80.0, 110.0))], 3.0);
        assert_eq!(cut.all().len(), 2);
        let sum: f64 = cut.all().iter().map(|part| part.area).sum();
        let kerf = 6.0 * 100.0 * (1.0 + 0.25 * 0.25f64).sqrt();
        assert!((sum - (20_000.0 - kerf)).abs() < 20.0, "{sum}");
        assert_ne!(cut.at(Point::new(10.0, 50.0)), cut.at(Point::new(190.0, 50.0)));
        assert_eq!(cut.at(Point::new(65.0, 50.0)), None);
        assert!(cut.all().iter().all(|part| part.at_edge));
    }

    #[test]
    fn a_ring_with_a_gap_holds_by_the_web_that_the_gap_leaves() {
        let ring = |gap: f64| {
            vec![
                line((50.0, 20.0), (100.0 - gap / 2.0, 20.0)),
                line((100.0 + gap / 2.0, 20.0), (150.0, 20.0)),
                line((150.0, 20.0), (150.0, 80.0)),
                line((150.0, 80.0), (50.0, 80.0)),
                line((50.0, 80.0), (50.0, 20.0)),
            ]
        };
        // The round ends of the cuts reach 3 mm into the gap from both sides.
        assert_eq!(parts(&ring(6.1), 3.0).all().len(), 1);
        assert_eq!(parts(&ring(5.9), 3.0).all().len(), 2);
        assert_eq!(parts(&ring(12.1), 3.0 + 3.0).all().len(), 1);
        let apart = parts(&ring(11.9), 3.0 + 3.0);
        assert_eq!(apart.all().len(), 2);
        let inner = apart.at(Point::new(100.0, 50.0)).unwrap();
        assert!(!apart.all()[inner].at_edge);
        assert!((apart.all()[inner].area - 88.0 * 48.0).abs() < 30.0);
        assert!((apart.all()[inner].round - 2.0 * (88.0 + 48.0) * ROUND).abs() < 15.0);
    }

    #[test]
    fn a_thin_place_inside_a_ring_may_be_taken_to_hold() {
        let neck = [line((100.0, -5.0), (100.0, 48.0)), line((100.0, 56.0), (100.0, 105.0))];
        let ring = [
            line((0.0, 0.0), (200.0, 0.0)),
            line((200.0, 0.0), (200.0, 100.0)),
            line((200.0, 100.0), (0.0, 100.0)),
            line((0.0, 100.0), (0.0, 0.0)),
        ];
        let mut remains = Remains::of(plate(), &neck, 5.0).unwrap();
        assert_eq!(remains.clone().parts().all().len(), 2);
        remains.hold_together(&ring);
        assert_eq!(remains.parts().all().len(), 1);
    }

    #[test]
    fn an_arc_cuts_a_disc_free() {
        let half = |from: f64, to: f64| Segment::Arc {
            from: Point::new(from, 50.0),
            to: Point::new(to, 50.0),
            center: Point::new(100.0, 50.0),
            turn: crate::geometry::Turn::Left,
        };
        let cut = parts(&[half(130.0, 70.0), half(70.0, 130.0)], 2.0);
        let disc = cut.at(Point::new(100.0, 50.0)).unwrap();
        let area = std::f64::consts::PI * 28.0 * 28.0;
        assert!((cut.all()[disc].area - area).abs() < 20.0, "{}", cut.all()[disc].area);
    }
}
