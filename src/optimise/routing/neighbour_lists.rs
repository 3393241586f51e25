//! Neighbour lists: which stops are near which, found by points sorted into squares.
//!
//! Moves are looked for towards near stops only, for a move that gains makes two near stops
//! neighbours (D. S. Johnson, L. A. `McGeoch`, The traveling salesman problem: a case study in
//! local optimization, 1997, from memory). The eight nearest, and two in each of four directions:
//! the quadrant neighbours of the same chapter, without which rows of lettering see only
//! themselves. O(n) for points spread evenly, O(n) squares at most.

use super::problem::{Problem, distance};
use crate::geometry::{Bounds, Point, Vector};

/// How many points near each end of a way are looked at (by trial).
const NEAR: usize = 8;
/// How many are looked at in each of four directions, so that near rows are seen past the nearer
/// points of one's own.
const ASIDE: usize = 2;
/// How many ends of ways of one stop are looked at: a contour may begin anywhere, and twelve points
/// evenly round it see all its sides.
const ENDS: usize = 12;
/// How many squares away points are looked for at most: 81 squares hold some 160 points where they
/// are spread evenly; where they are not, a far stop is reached through others.
const RINGS: usize = 4;

/// Points in squares of even size.
struct Squares {
    low: Point,
    side: f64,
    across: usize,
    up: usize,
    inside: Vec<Vec<(usize, Point)>>,
}

/// For every stop some stops of its rank that are near it.
pub(super) fn neighbours(problem: &Problem) -> Vec<Vec<usize>> {
    let squares = Squares::of(problem);
    (0..problem.count()).map(|stop| squares.near_stop(problem, stop)).collect()
}

/// Some of the points where a stop is entered and left, evenly chosen, each once: a stroke there
/// and back has two ways and two ends.
fn ends(problem: &Problem, stop: usize) -> Vec<Point> {
    let ways = problem.ways(stop);
    let step = (2 * ways.len()).div_ceil(ENDS).max(1);
    let mut ends: Vec<Point> = Vec::with_capacity(ENDS);
    for end in ways.iter().step_by(step).flat_map(|way| [way.enter, way.leave]) {
        if !ends.contains(&end) {
            ends.push(end);
        }
    }
    ends
}

impl Squares {
    fn of(problem: &Problem) -> Self {
        let points: Vec<(usize, Point)> = (0..problem.count())
            .flat_map(|stop| ends(problem, stop).into_iter().map(move |point| (stop, point)))
            .collect();
        let origin = Point::origin();
        let all = Bounds::around(points.iter().map(|p| p.1))
            .unwrap_or(Bounds { min: origin, max: origin });
        let size = all.max - all.min;
        // About two points a square, and never more squares than points even in a thin row.
        let side = (size.x * size.y * 2.0 / points.len() as f64)
            .sqrt()
            .max(size.x.max(size.y) * 2.0 / points.len() as f64);
        let side = if side > 0.0 { side } else { 1.0 };
        let (across, up) = ((size.x / side) as usize + 1, (size.y / side) as usize + 1);
        let mut squares =
            Self { low: all.min, side, across, up, inside: vec![Vec::new(); across * up] };
        for (stop, point) in points {
            let (column, row) = squares.place(point);
            squares.inside[row * across + column].push((stop, point));
        }
        squares
    }

    fn place(&self, point: Point) -> (usize, usize) {
        let column = ((point.x - self.low.x) / self.side) as usize;
        let row = ((point.y - self.low.y) / self.side) as usize;
        (column.min(self.across - 1), row.min(self.up - 1))
    }

    /// The stops near any end of a way of a stop, by index.
    fn near_stop(&self, problem: &Problem, stop: usize) -> Vec<usize> {
        let mut found: Vec<usize> = ends(problem, stop)
            .into_iter()
            .flat_map(|point| self.near(problem, stop, point))
            .collect();
        found.sort_unstable();
        found.dedup();
        found
    }

    /// The stops of the nearest points that belong to others of the same rank.
    fn near(&self, problem: &Problem, stop: usize, point: Point) -> Vec<usize> {
        let (column, row) = self.place(point);
        let mut nearest = Nearest::<NEAR>::none();
        let mut aside = [Nearest::<ASIDE>::none(); 4];
        for ring in 0..=RINGS {
            for (x, y) in self.ring(column, row, ring) {
                for &(other, at) in &self.inside[y * self.across + x] {
                    if other != stop && problem.rank(other) == problem.rank(stop) {
                        let found = (distance(point, at), other);
                        nearest.put(found);
                        aside[side(at - point)].put(found);
                    }
                }
            }
            // At least one ring round the square: the nearest point may lie just across its edge.
            if ring > 0 && nearest.is_full() && aside.iter().all(Nearest::is_full) {
                break;
            }
        }
        nearest.stops().chain(aside.iter().flat_map(Nearest::stops)).collect()
    }

    /// The squares this many squares away from one.
    fn ring(&self, column: usize, row: usize, ring: usize) -> impl Iterator<Item = (usize, usize)> {
        let columns = column.saturating_sub(ring)..=(column + ring).min(self.across - 1);
        (row.saturating_sub(ring)..=(row + ring).min(self.up - 1)).flat_map(move |y| {
            let step = if y.abs_diff(row) == ring { 1 } else { (2 * ring).max(1) };
            let all = columns.clone().filter(move |x| step == 1 || x.abs_diff(column) == ring);
            all.map(move |x| (x, y))
        })
    }
}

/// The nearest few of all points that it was shown, each with its distance and its stop, nearest
/// first; of points as far the one of the lower stop.
#[derive(Clone, Copy)]
struct Nearest<const N: usize> {
    found: [(f64, usize); N],
    count: usize,
}

impl<const N: usize> Nearest<N> {
    fn none() -> Self {
        Self { found: [(f64::INFINITY, usize::MAX); N], count: 0 }
    }

    fn put(&mut self, point: (f64, usize)) {
        let is_before =
            |other: &(f64, usize)| other.0.total_cmp(&point.0).then(other.1.cmp(&point.1)).is_le();
        let at = self.found.partition_point(is_before);
        if at < N {
            self.found[at..].rotate_right(1);
            self.found[at] = point;
            self.count = (self.count + 1).min(N);
        }
    }

    fn is_full(&self) -> bool {
        self.count == N
    }

    fn stops(&self) -> impl Iterator<Item = usize> {
        self.found[..self.count].iter().map(|(_, stop)| *stop)
    }
}

/// Right, up, left or down: the way a displacement leads most.
fn side(way: Vector) -> usize {
    match (way.x.abs() >= way.y.abs(), way.x >= 0.0, way.y >= 0.0) {
        (true, true, _) => 0,
        (false, _, true) => 1,
        (true, false, _) => 2,
        (false, _, false) => 3,
    }
}
