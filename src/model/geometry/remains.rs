//! What stays of a plate when a round tool has gone along its ways: rows of spans, joined where
//! they touch.

use std::ops::Range;

use super::capsule::Capsule;
use super::union_find::Joined;
use super::{Bounds, Point, Segment};

/// Height of a row, in mm. Wood that hangs together through a web is seen to as soon as the web is
/// wider than twice this.
const ROW_MM: f64 = 0.5;
/// Spans that touch along less than this are not joined, in mm.
const TOUCH_MM: f64 = 1e-6;
/// The most meetings of a strip and a row that are looked at.
const MOST_MEETINGS: f64 = 3e7;

/// What stays of a plate. It errs to one side only: a span is free all over its row, and two spans
/// are joined only where both are free, so that what is told to hang together does. Wood may be
/// told apart that a web of less than two rows joins.
#[derive(Clone, Debug)]
pub struct Remains {
    origin: Point,
    right: f64,
    height: f64,
    /// The first span of every row, and the number of all spans last.
    starts: Vec<usize>,
    spans: Vec<(f64, f64)>,
    /// How much of each span lies under spans of the row above it.
    covered: Vec<f64>,
    parents: Joined,
}

/// A strip and the rows that it comes into.
struct Strip {
    first: usize,
    last: usize,
    capsule: Capsule,
}

/// What a strip takes of a row.
#[derive(Clone, Copy)]
struct Taken {
    from: f64,
    to: f64,
    by: usize,
}

/// What a strip takes of a row that it does not come into.
const NOWHERE: (f64, f64) = (f64::NEG_INFINITY, f64::NEG_INFINITY);
/// The most moves for each stretch before their order is taken for a new one.
const FEW_MOVES: usize = 8;

/// Sorts what is in the order of the row below by where it is now: that hardly changes from one row
/// to the next.
fn sort_again<T: Copy>(all: &mut [T], place: impl Fn(&T) -> f64) {
    let mut moves_left = FEW_MOVES * all.len();
    for i in 1..all.len() {
        let one = all[i];
        let mut at = i;
        while at > 0 && place(&all[at - 1]) > place(&one) {
            all[at] = all[at - 1];
            at -= 1;
        }
        all[at] = one;
        match moves_left.checked_sub(i - at) {
            Some(left) => moves_left = left,
            None => return all.sort_unstable_by(|a, b| place(a).total_cmp(&place(b))),
        }
    }
}

/// A side of a ring and where it crosses the middle of a row.
#[derive(Clone, Copy)]
struct Side {
    from: Point,
    to: Point,
    /// The rows that it may cross, the last one not among them.
    rows: (usize, usize),
    crossing: f64,
}

impl Side {
    /// Where it crosses a height; beyond everything where it does not. Arcs count as their chords.
    fn crossing_at(&self, y: f64) -> f64 {
        let (a, b) = (self.from, self.to);
        if (a.y > y) == (b.y > y) {
            f64::INFINITY
        } else {
            a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x)
        }
    }
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
    /// The area about, in square millimetres, where a rim of half a width in mm was taken off all
    /// round.
    pub fn with_rim(&self, width: f64) -> f64 {
        self.area + self.round * width / 2.0 + width * width
    }
}

impl Remains {
    /// What stays of a plate when a tool of a radius in mm has gone along ways; `None` where that
    /// would be endless work.
    pub fn of(plate: Bounds, ways: &[Segment], radius: f64) -> Option<Self> {
        Self::of_each(plate, &[(ways, radius)])
    }

    /// The same of several tools, each with its ways and its radius in mm.
    pub fn of_each(plate: Bounds, cuts: &[(&[Segment], f64)]) -> Option<Self> {
        let rows = (plate.height() / ROW_MM).ceil().max(1.0);
        if !(plate.width() > 0.0 && plate.height() > 0.0 && rows < MOST_MEETINGS) {
            return Some(Self::none(plate));
        }
        let height = plate.height() / rows;
        let row_of = |y: f64| ((y - plate.min.y) / height).floor().clamp(0.0, rows - 1.0) as usize;
        let mut strips: Vec<Strip> = Vec::new();
        let mut meetings = 0.0;
        for capsule in cuts.iter().flat_map(|(ways, radius)| Capsule::covering(ways, *radius)) {
            let (low, high) = capsule.reach();
            if high >= plate.min.y && low <= plate.max.y {
                let (first, last) = (row_of(low), row_of(high));
                meetings += (last - first + 1) as f64;
                strips.push(Strip { first, last, capsule });
            }
        }
        if meetings > MOST_MEETINGS {
            return None;
        }
        strips.sort_by_key(|strip| strip.first);
        let mut remains = Self { height, ..Self::none(plate) };
        let mut waiting = (0..strips.len()).peekable();
        let mut taken: Vec<Taken> = Vec::new();
        for row in 0..rows as usize {
            let bottom = plate.min.y + row as f64 * height;
            let come = std::iter::from_fn(|| waiting.next_if(|&strip| strips[strip].first <= row));
            taken.extend(come.map(|by| Taken { from: 0.0, to: 0.0, by }));
            taken.retain_mut(|taken| {
                let Strip { last, capsule, .. } = &strips[taken.by];
                (taken.from, taken.to) = capsule.within(bottom, bottom + height).unwrap_or(NOWHERE);
                *last >= row
            });
            sort_again(&mut taken, |taken| taken.from);
            remains.add_row(plate, &taken);
        }
        remains.join_rows();
        Some(remains)
    }

    fn none(plate: Bounds) -> Self {
        Self {
            origin: plate.min,
            right: plate.max.x,
            height: ROW_MM,
            starts: vec![0],
            spans: Vec::new(),
            covered: Vec::new(),
            parents: Joined::of(0),
        }
    }

    /// Adds the row that is left where these stretches, sorted by their starts, are taken.
    fn add_row(&mut self, plate: Bounds, taken: &[Taken]) {
        let mut free_from = plate.min.x;
        for &Taken { from, to, .. } in taken {
            let free_to = lesser(from, plate.max.x);
            if free_to - free_from > TOUCH_MM {
                self.spans.push((free_from, free_to));
            }
            free_from = greater(free_from, to);
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

    /// Joins every pair of spans that touch across two rows.
    fn join_rows(&mut self) {
        let mut parents = Joined::of(self.spans.len());
        let mut covered = vec![0.0; self.spans.len()];
        for row in 1..self.rows() {
            let (below, own) = (self.row(row - 1), self.row(row));
            let (mut i, mut j) = (below.start, own.start);
            while i < below.end && j < own.end {
                let (a, b) = (self.spans[i], self.spans[j]);
                let common = lesser(a.1, b.1) - greater(a.0, b.0);
                if common > TOUCH_MM {
                    covered[i] += common;
                    parents.join(i, j);
                }
                if a.1 < b.1 { i += 1 } else { j += 1 }
            }
        }
        (self.parents, self.covered) = (parents, covered);
    }

    /// Takes all that stays inside a closed ring for one part, thin places or not; arcs count as
    /// their chords.
    pub fn hold_together(&mut self, ring: &[Segment]) {
        let mut parents = std::mem::replace(&mut self.parents, Joined::of(0));
        let mut first = None;
        self.each_within(ring, |span| parents.join(*first.get_or_insert(span), span));
        self.parents = parents;
    }

    /// Looks at all spans that come into a ring, the lowest first.
    fn each_within(&self, ring: &[Segment], mut look: impl FnMut(usize)) {
        let mut waiting = self.sides_of(ring).into_iter().peekable();
        // Of a row only the sides are looked at that may cross it, in the order in which they
        // crossed the row below.
        let mut near: Vec<Side> = Vec::new();
        for row in self.rows_of(ring) {
            while let Some(side) = waiting.next_if(|side| side.rows.0 <= row) {
                near.push(side);
            }
            self.cross(row, &mut near);
            self.spans_between(&near, row, &mut look);
        }
    }

    /// The lowest span that comes into a ring.
    fn first_within(&self, ring: &[Segment]) -> Option<usize> {
        let sides = self.sides_of(ring);
        self.rows_of(ring).find_map(|row| {
            let (mut near, mut first) = (sides.clone(), None);
            self.cross(row, &mut near);
            self.spans_between(&near, row, |span| first = first.or(Some(span)));
            first
        })
    }

    /// The sides of a ring, the lowest first.
    fn sides_of(&self, ring: &[Segment]) -> Vec<Side> {
        let side = |side: &Segment| {
            let rows = self.rows_of(std::slice::from_ref(side));
            Side { from: side.from(), to: side.to(), rows: (rows.start, rows.end), crossing: 0.0 }
        };
        let mut sides: Vec<Side> = ring.iter().map(side).collect();
        sides.sort_by_key(|side| side.rows.0);
        sides
    }

    /// The rows that a ring comes into.
    fn rows_of(&self, ring: &[Segment]) -> Range<usize> {
        let Some(bounds) = ring.iter().map(Segment::bounds).reduce(Bounds::joined) else {
            return 0..0;
        };
        let row_of = |y: f64| {
            ((y - self.origin.y) / self.height).floor().clamp(0.0, self.rows() as f64) as usize
        };
        row_of(bounds.min.y)..(row_of(bounds.max.y) + 1).min(self.rows())
    }

    /// Sorts the sides that do not end below a row by where they cross its middle.
    fn cross(&self, row: usize, near: &mut Vec<Side>) {
        let y = self.origin.y + (row as f64 + 0.5) * self.height;
        near.retain_mut(|side| {
            side.crossing = side.crossing_at(y);
            side.rows.1 > row
        });
        sort_again(near, |side| side.crossing);
    }

    /// Looks at the spans of a row that come between the crossings of a ring, two by two.
    fn spans_between(&self, near: &[Side], row: usize, mut look: impl FnMut(usize)) {
        let of_row = self.row(row);
        let mut from = of_row.start;
        for inside in near.chunks_exact(2).take_while(|inside| inside[1].crossing < f64::INFINITY) {
            let (left, right) = (inside[0].crossing + TOUCH_MM, inside[1].crossing - TOUCH_MM);
            from += self.spans[from..of_row.end].partition_point(|s| s.1 <= left);
            for span in (from..of_row.end).take_while(|&s| self.spans[s].0 < right) {
                look(span);
            }
        }
    }

    /// What hangs together, and which of them every span belongs to.
    pub fn parts(mut self) -> Parts {
        self.parents.compress();
        let mut numbers = vec![u32::MAX; self.spans.len()];
        let mut growing: Vec<Growing> = Vec::new();
        let last = self.rows().saturating_sub(1);
        for row in 0..self.rows() {
            let at = |row: usize| self.origin.y + row as f64 * self.height;
            let (bottom, top) = (at(row), at(row + 1));
            // The plate's own edges lose nothing.
            let edges = f64::from(u8::from(row == 0) + u8::from(row == last));
            for span in self.row(row) {
                let (from, to) = self.spans[span];
                let root = self.parents.0[span] as usize;
                if root == span {
                    numbers[root] = growing.len() as u32;
                    growing.push(Growing::begun(Point::new(from, bottom)));
                }
                numbers[span] = numbers[root];
                let part = &mut growing[numbers[root] as usize];
                part.add((from, to), (bottom, top));
                part.common += self.covered[span];
                part.at_edge |= edges > 0.0 || from <= self.origin.x || to >= self.right;
                if edges > 0.0 {
                    part.area -= (to - from) * self.height / 2.0 * edges;
                }
            }
        }
        let parts = growing.into_iter().map(|part| part.grown(self.height)).collect();
        Parts { remains: self, numbers, parts }
    }
}

/// A part as its spans are gone through.
struct Growing {
    area: f64,
    bounds: Bounds,
    at_edge: bool,
    /// The widest span, and the heights of its row.
    widest: (f64, f64),
    widest_row: (f64, f64),
    /// How long all spans are, how many there are, and how much of them lies on each other.
    length: f64,
    count: f64,
    common: f64,
}

impl Growing {
    fn begun(at: Point) -> Self {
        let (bounds, nothing) = (Bounds { min: at, max: at }, (0.0, 0.0));
        let (widest, widest_row) = (nothing, nothing);
        Self {
            area: 0.0,
            bounds,
            at_edge: false,
            widest,
            widest_row,
            length: 0.0,
            count: 0.0,
            common: 0.0,
        }
    }

    fn add(&mut self, (from, to): (f64, f64), (bottom, top): (f64, f64)) {
        self.bounds.min.x = lesser(self.bounds.min.x, from);
        self.bounds.max = Point::new(greater(self.bounds.max.x, to), top);
        if to - from > self.widest.1 - self.widest.0 {
            (self.widest, self.widest_row) = ((from, to), (bottom, top));
        }
        self.length += to - from;
        self.count += 1.0;
    }

    fn grown(self, height: f64) -> Part {
        let (upright, level) = (2.0 * height * self.count, 2.0 * (self.length - self.common));
        let corner = |x, y| Point::new(x, y);
        let ((from, to), (bottom, top)) = (self.widest, self.widest_row);
        Part {
            // What is level or slanted loses half a row on average, for a span is free all over its
            // row.
            area: self.area + (self.length + level / 2.0) * height,
            round: ROUND * (upright + level),
            bounds: self.bounds,
            within: nalgebra::center(&corner(from, bottom), &corner(to, top)),
            at_edge: self.at_edge,
        }
    }
}

/// The lesser of two numbers that are both numbers, without asking whether they are.
fn lesser(a: f64, b: f64) -> f64 {
    if a < b { a } else { b }
}

/// The greater of two numbers that are both numbers, without asking whether they are.
fn greater(a: f64, b: f64) -> f64 {
    if a > b { a } else { b }
}

/// The length round a shape against that round its steps: between 0.71 on a slope and 1 along the
/// axes.
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
    pub fn none() -> Self {
        let nowhere = Bounds { min: Point::origin(), max: Point::origin() };
        Self { remains: Remains::none(nowhere), numbers: Vec::new(), parts: Vec::new() }
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
        (span < of_row.end && self.remains.spans[span].0 <= p.x)
            .then(|| self.numbers[span] as usize)
    }

    /// The parts that come into a box.
    pub fn under(&self, place: Bounds) -> Vec<usize> {
        let (remains, height) = (&self.remains, self.remains.height);
        let row_of = |y: f64| {
            ((y - remains.origin.y) / height).floor().clamp(0.0, remains.rows() as f64) as usize
        };
        let mut found = Vec::new();
        for row in row_of(place.min.y)..(row_of(place.max.y) + 1).min(remains.rows()) {
            let of_row = remains.row(row);
            let from =
                of_row.start + remains.spans[of_row.clone()].partition_point(|s| s.1 < place.min.x);
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
        let kerf = 6.0 * 100.0 * (1.0 + 0.25 * 0.25_f64).sqrt();
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
    fn stretches_are_sorted_whatever_order_they_were_in() {
        for step in [1, 7, 60] {
            let taken = |i: usize| Taken { from: (i * step % 61) as f64, to: 61.0, by: i };
            let mut all: Vec<Taken> = (0..61).map(taken).collect();
            sort_again(&mut all, |taken| taken.from);
            assert!(all.iter().enumerate().all(|(i, taken)| taken.from == i as f64), "{step}");
        }
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
