//! Ways of rapids across: in one where nothing stands in the rectangle between its ends, for a
//! rapid need not go straight; else the shortest round the corners of what does.

use crate::geometry::{Bounds, Point};
use crate::profile::Machine;

/// What a way round a clamp keeps from it beside the tool's radius, in mm: a waypoint is never on
/// the limit itself.
const ASIDE_MM: f64 = 1.5;
/// What any way keeps from it at least beside the radius, in mm: less than what a cut keeps, so
/// that every cut is reached.
const LEAST_MM: f64 = 1.0;

/// Where the tool may not go at one height, and the corners that its ways turn at.
pub(super) struct Clearing {
    /// Every place with the tool's radius round it; whether a rapid passes over it.
    places: Vec<(Bounds, Over)>,
    corners: Vec<Point>,
    /// Of corners that see each other, how far apart they are.
    links: Vec<Vec<Option<f64>>>,
    /// The places grown by a little more: where a waypoint may be.
    table: Bounds,
    aside: f64,
}

/// Whether a rapid at that height passes over a place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Over {
    Passes,
    Never,
}

impl Clearing {
    /// Round these places, each with the height over the stock's top at which it may be passed
    /// over, in mm, for rapids that are `high` over it. `table` is where waypoints may lie.
    pub(super) fn new(
        places: &[(Bounds, f64)],
        table: Bounds,
        machine: &Machine,
        high: f64,
    ) -> Self {
        let radius = machine.tool_radius().as_mm();
        let over = |top: f64| if top <= high + 1e-9 { Over::Passes } else { Over::Never };
        let grown = |by: f64| places.iter().map(move |(place, top)| (place.grown(by), over(*top)));
        Self::of(grown(radius + LEAST_MM).collect(), table, ASIDE_MM - LEAST_MM)
    }

    fn of(places: Vec<(Bounds, Over)>, table: Bounds, aside: f64) -> Self {
        let mut clearing = Self { places, corners: Vec::new(), links: Vec::new(), table, aside };
        let closed = clearing.places.iter().filter(|(_, over)| *over == Over::Never);
        let turns: Vec<Point> =
            closed.flat_map(|(place, _)| corners(&place.grown(aside))).collect();
        clearing.corners = turns
            .into_iter()
            .filter(|p| clearing.is_on_table(*p) && clearing.is_free(*p))
            .collect();
        let link = |a: &Point, b: &Point| clearing.is_open(*a, *b).then(|| (b - a).norm());
        clearing.links = clearing
            .corners
            .iter()
            .map(|a| clearing.corners.iter().map(|b| link(a, b)).collect())
            .collect();
        clearing
    }

    fn is_on_table(&self, p: Point) -> bool {
        self.table.distance(p) <= 0.0
    }

    /// Whether no place takes a point, low or not.
    fn is_free(&self, p: Point) -> bool {
        self.places.iter().all(|(place, _)| place.distance(p) > 0.0)
    }

    /// The places that a rapid between two points may come into and does not pass over.
    pub(super) fn blocking(&self, from: Point, to: Point) -> Vec<usize> {
        let closed =
            |(place, over): &(Bounds, Over)| *over == Over::Never && may_meet(from, to, place);
        self.places.iter().enumerate().filter(|(_, place)| closed(place)).map(|(i, _)| i).collect()
    }

    fn is_open(&self, from: Point, to: Point) -> bool {
        self.blocking(from, to).is_empty()
    }

    /// The place nearest to `home` that nothing takes; `None` where all of the table is taken.
    pub(super) fn park(&self, home: Point) -> Option<Point> {
        let beside = |(place, _): &(Bounds, Over)| {
            let b = place.grown(self.aside);
            let sides = [
                Point::new(b.min.x, home.y),
                Point::new(b.max.x, home.y),
                Point::new(home.x, b.min.y),
                Point::new(home.x, b.max.y),
            ];
            [corners(&b), sides].concat()
        };
        let all = [home].into_iter().chain(self.places.iter().flat_map(beside));
        let free = all.filter(|p| self.is_free(*p) && self.is_on_table(*p));
        free.min_by(|a, b| (a - home).norm().total_cmp(&(b - home).norm()))
    }

    /// The points between two of the shortest way; `None` where there is no way.
    pub(super) fn way(&self, from: Point, to: Point) -> Option<Vec<Point>> {
        if self.is_open(from, to) {
            return Some(Vec::new());
        }
        // Dijkstra's search from the start over the corners to the end.
        let end = self.corners.len();
        let seen = |p: Point, i: usize| {
            let corner = self.corners[i];
            self.is_open(p, corner).then(|| (corner - p).norm())
        };
        let to_end: Vec<Option<f64>> = (0..end).map(|i| seen(to, i)).collect();
        let first = (0..end).map(|i| (seen(from, i).unwrap_or(f64::INFINITY), None));
        let mut reached: Vec<(f64, Option<usize>)> = first.chain([(f64::INFINITY, None)]).collect();
        let mut open = vec![true; end + 1];
        loop {
            let left = (0..=end).filter(|&i| open[i] && reached[i].0.is_finite());
            let next = left.min_by(|&i, &j| reached[i].0.total_cmp(&reached[j].0))?;
            if next == end {
                return Some(self.back(&reached, end));
            }
            open[next] = false;
            for i in 0..=end {
                let link = if i == end { to_end[next] } else { self.links[next][i] };
                let Some(length) = link.map(|link| reached[next].0 + link) else { continue };
                if open[i] && length < reached[i].0 {
                    reached[i] = (length, Some(next));
                }
            }
        }
    }

    /// The corners of a way that was found, in order.
    fn back(&self, reached: &[(f64, Option<usize>)], end: usize) -> Vec<Point> {
        let mut between = Vec::new();
        let mut at = reached[end].1;
        while let Some(i) = at {
            between.push(self.corners[i]);
            at = reached[i].1;
        }
        between.reverse();
        between
    }
}

/// The corners of a box.
pub(super) fn corners(b: &Bounds) -> [Point; 4] {
    [b.min, Point::new(b.max.x, b.min.y), b.max, Point::new(b.min.x, b.max.y)]
}

/// Whether a rapid may come into a box: where each axis runs at its own speed, it comes anywhere in
/// the rectangle between its ends.
pub(super) fn may_meet(from: Point, to: Point, place: &Bounds) -> bool {
    let (low, high) = (from.inf(&to), from.sup(&to));
    (0..2).all(|axis| low[axis] < place.max[axis] && place.min[axis] < high[axis])
}

/// Whether a straight way comes into a box: its stretches between either pair of sides overlap.
pub fn crosses(from: Point, to: Point, place: &Bounds) -> bool {
    let (mut first, mut last) = (0.0_f64, 1.0_f64);
    for axis in 0..2 {
        let (start, step) = (from[axis], to[axis] - from[axis]);
        let (low, high) = (place.min[axis] - start, place.max[axis] - start);
        if step.abs() < 1e-12 {
            if low >= 0.0 || high <= 0.0 {
                return false;
            }
            continue;
        }
        let (a, b) = (low / step, high / step);
        first = first.max(a.min(b));
        last = last.min(a.max(b));
    }
    first < last
}

#[cfg(test)]
mod tests {
    use super::*;

    fn clearing(places: &[[f64; 4]], over: Over) -> Clearing {
        let bounds =
            |of: &[f64; 4]| Bounds { min: Point::new(of[0], of[1]), max: Point::new(of[2], of[3]) };
        let places = places.iter().map(|place| (bounds(place).grown(0.1), over)).collect();
        Clearing::of(places, bounds(&[0.0, 0.0, 100.0, 100.0]), 0.9)
    }

    fn one(over: Over) -> Clearing {
        clearing(&[[10.0, 10.0, 20.0, 20.0]], over)
    }

    #[test]
    fn a_way_beside_a_clamp_stays_straight() {
        assert_eq!(
            one(Over::Never).way(Point::new(0.0, 0.0), Point::new(30.0, 5.0)),
            Some(Vec::new())
        );
    }

    #[test]
    fn a_way_with_a_clamp_in_the_rectangle_between_its_ends_turns_at_a_corner() {
        let (from, to) = (Point::new(0.0, 0.0), Point::new(60.0, 25.0));
        assert!(!crosses(from, to, &one(Over::Never).places[0].0));
        let round = one(Over::Never).way(from, to).unwrap();
        assert_eq!(round, [Point::new(21.0, 9.0)]);
        let legs = [&[from][..], &round, &[to]].concat();
        let clear = |leg: &[Point]| !may_meet(leg[0], leg[1], &one(Over::Never).places[0].0);
        assert!(legs.windows(2).all(clear));
    }

    #[test]
    fn a_way_through_a_clamp_goes_round_its_nearer_corners_and_over_a_low_one() {
        let (from, to) = (Point::new(0.0, 12.0), Point::new(30.0, 12.0));
        let round = one(Over::Never).way(from, to);
        assert_eq!(round, Some(vec![Point::new(9.0, 9.0), Point::new(21.0, 9.0)]));
        assert_eq!(one(Over::Passes).way(from, to), Some(Vec::new()));
    }

    #[test]
    fn a_way_round_several_clamps_is_the_shortest_that_there_is() {
        let row = [
            [20.0, 5.0, 30.0, 60.0],
            [45.0, 30.0, 55.0, 95.0],
            [70.0, 5.0, 80.0, 60.0],
            [40.0, 8.0, 48.0, 20.0],
        ];
        let clearing = clearing(&row, Over::Never);
        let length = |way: &[Point]| way.windows(2).map(|w| (w[1] - w[0]).norm()).sum::<f64>();
        for (from, to) in [((2.0, 20.0), (98.0, 20.0)), ((98.0, 50.0), (2.0, 40.0))] {
            let [from, to] = [from, to].map(|(x, y)| Point::new(x, y));
            let found = clearing.way(from, to).unwrap();
            let found = [&[from][..], &found, &[to]].concat();
            assert!(found.windows(2).all(|w| clearing.is_open(w[0], w[1])), "{found:?}");
            // By going over all ends of ways until none becomes shorter (Bellman and Ford).
            let all = [&[from, to][..], &clearing.corners].concat();
            let mut least = vec![f64::INFINITY; all.len()];
            least[0] = 0.0;
            for _ in 0..all.len() {
                for i in 0..all.len() {
                    for j in 0..all.len() {
                        if clearing.is_open(all[i], all[j]) {
                            least[j] = least[j].min(least[i] + (all[j] - all[i]).norm());
                        }
                    }
                }
            }
            assert!((length(&found) - least[1]).abs() < 1e-9, "{found:?}: {}", least[1]);
            assert!(least[1] > (to - from).norm() + 1.0);
        }
    }

    #[test]
    fn an_end_under_a_clamp_has_no_way() {
        assert_eq!(one(Over::Never).way(Point::new(0.0, 12.0), Point::new(15.0, 15.0)), None);
    }

    #[test]
    fn a_row_of_clamps_across_the_table_leaves_no_way() {
        let row = clearing(&[[40.0, -1.0, 50.0, 101.0]], Over::Never);
        assert_eq!(row.way(Point::new(1.0, 1.0), Point::new(99.0, 1.0)), None);
        assert_eq!(row.blocking(Point::new(1.0, 1.0), Point::new(99.0, 1.0)), vec![0]);
    }

    #[test]
    fn a_clamp_over_home_is_parked_beside_low_or_not() {
        for over in [Over::Never, Over::Passes] {
            let corner = clearing(&[[0.0, 0.0, 30.0, 20.0]], over);
            let park = corner.park(Point::origin()).unwrap();
            assert!(park.x.abs() < 1e-9 && (park.y - 21.0).abs() < 1e-9, "{park}");
        }
        assert_eq!(one(Over::Never).park(Point::origin()), Some(Point::origin()));
        assert_eq!(
            clearing(&[[-1.0, -1.0, 101.0, 101.0]], Over::Never).park(Point::origin()),
            None
        );
    }
}
