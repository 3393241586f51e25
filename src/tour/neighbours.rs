//! Which stops are near which: points sorted into squares.

use super::problem::{Problem, apart};
use crate::geometry::{Bounds, Point};

/// How many points near each end of a way are looked at.
const NEAR: usize = 6;
/// How many ends of ways of one stop are looked at.
const ENDS: usize = 12;
/// How many squares away points are looked for at most.
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
    (0..problem.count)
        .map(|stop| {
            let mut found: Vec<usize> =
                ends(problem, stop).flat_map(|point| squares.near(problem, stop, point)).collect();
            found.sort_unstable();
            found.dedup();
            found
        })
        .collect()
}

/// Some of the points where a stop is entered and left, evenly chosen.
fn ends(problem: &Problem, stop: usize) -> impl Iterator<Item = Point> {
    let ways = problem.ways(stop);
    let step = (2 * ways.len()).div_ceil(ENDS).max(1);
    ways.iter().step_by(step).flat_map(|way| {
        let both = if way.enter == way.leave { vec![way.enter] } else { vec![way.enter, way.leave] };
        both.into_iter()
    })
}

impl Squares {
    fn of(problem: &Problem) -> Squares {
        let points: Vec<(usize, Point)> =
            (0..problem.count).flat_map(|stop| ends(problem, stop).map(move |point| (stop, point))).collect();
        let origin = Point::origin();
        let all = Bounds::around(points.iter().map(|p| p.1)).unwrap_or(Bounds { min: origin, max: origin });
        let size = all.max - all.min;
        // About two points a square, and never more squares than points even in a thin row.
        let side =
            (size.x * size.y * 2.0 / points.len() as f64).sqrt().max(size.x.max(size.y) * 2.0 / points.len() as f64);
        let side = if side > 0.0 { side } else { 1.0 };
        let (across, up) = ((size.x / side) as usize + 1, (size.y / side) as usize + 1);
        let mut squares = Squares { low: all.min, side, across, up, inside: vec![Vec::new(); across * up] };
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

    /// The stops of the nearest points that belong to others of the same rank.
    fn near(&self, problem: &Problem, stop: usize, point: Point) -> Vec<usize> {
        let (column, row) = self.place(point);
        let mut found: Vec<(f64, usize)> = Vec::new();
        for ring in 0..=RINGS {
            for y in row.saturating_sub(ring)..=(row + ring).min(self.up - 1) {
                for x in column.saturating_sub(ring)..=(column + ring).min(self.across - 1) {
                    if y.abs_diff(row).max(x.abs_diff(column)) == ring {
                        let others = self.inside[y * self.across + x].iter();
                        let others = others.filter(|(s, _)| *s != stop && problem.rank[*s] == problem.rank[stop]);
                        found.extend(others.map(|&(s, p)| (apart(point, p), s)));
                    }
                }
            }
            if found.len() >= NEAR && ring > 0 {
                break;
            }
        }
        found.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        found.into_iter().take(NEAR).map(|(_, s)| s).collect()
    }
}
