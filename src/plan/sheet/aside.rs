//! A dark beam's head travels at the height it cuts at: from cut to cut it goes round clamps, not over them.

use super::Sheet;
use crate::finding::{Finding, GEOMETRY, Severity};
use crate::geometry::{Bounds, Point};
use crate::plan::program::Step;

/// What a way round a clamp keeps from it beside the tool's radius, in mm: a waypoint is never on the limit itself.
const ASIDE_MM: f64 = 1.0;
/// What any way keeps from it at least beside the radius, in mm: more than a program's last digit.
const LEAST_MM: f64 = 0.01;

/// The steps with every rapid across led round the clamps, by the shortest way along their corners; and how much longer, in
/// mm, that makes them.
///
/// # Errors
/// The refusal, where clamps leave no way.
pub(super) fn round_clamps(sheet: &Sheet, steps: Vec<Step>) -> Result<(Vec<Step>, f64), Vec<Finding>> {
    let clearing = Clearing::of(sheet);
    let mut at: Option<Point> = None;
    let mut longer = 0.0;
    let mut led = Vec::with_capacity(steps.len());
    for step in steps {
        if let (Step::RapidXy(to), Some(from)) = (&step, at) {
            let between = clearing.way(from, *to).ok_or_else(|| vec![in_the_way(from, *to)])?;
            let turns: Vec<Point> = [from].into_iter().chain(between.iter().copied()).chain([*to]).collect();
            longer += turns.windows(2).map(|leg| (leg[1] - leg[0]).norm()).sum::<f64>() - (to - from).norm();
            led.extend(between.into_iter().map(Step::RapidXy));
        }
        at = match &step {
            Step::RapidXy(to) => Some(*to),
            Step::Cut { segment, .. } => Some(segment.to()),
            _ => at,
        };
        led.push(step);
    }
    Ok((led, longer))
}

fn in_the_way(from: Point, to: Point) -> Finding {
    let place = |p: Point| format!("X {:.0} Y {:.0}", p.x, p.y);
    Finding::new("clamp-in-the-way", Severity::Refusal, "cut.clamps")
        .figures(
            format!("no way round the clamps from {} to {} (mm)", place(from), place(to)),
            "a way for the beam's head, X0 Y0 free",
        )
        .source(GEOMETRY)
}

/// Where the head may not go, and the corners that its ways turn at.
struct Clearing {
    closed: Vec<Bounds>,
    corners: Vec<Point>,
}

impl Clearing {
    fn of(sheet: &Sheet) -> Clearing {
        let radius = sheet.machine.tool_radius().as_mm();
        let closed: Vec<Bounds> = sheet.clamps.iter().map(|clamp| clamp.grown(radius + LEAST_MM)).collect();
        let [most_x, most_y] = [0, 1].map(|axis: usize| sheet.machine.travel[axis].as_mm());
        let on_table = |p: &Point| p.x >= 0.0 && p.y >= 0.0 && p.x <= most_x && p.y <= most_y;
        let corners = sheet
            .clamps
            .iter()
            .map(|clamp| clamp.grown(radius + ASIDE_MM))
            .flat_map(|b| [b.min, Point::new(b.max.x, b.min.y), b.max, Point::new(b.min.x, b.max.y)])
            .filter(on_table)
            .collect();
        Clearing { closed, corners }
    }

    fn is_open(&self, from: Point, to: Point) -> bool {
        self.closed.iter().all(|place| !crosses(from, to, place))
    }

    /// The points between two of the shortest way round the clamps; `None` where there is no way.
    fn way(&self, from: Point, to: Point) -> Option<Vec<Point>> {
        if self.is_open(from, to) {
            return Some(Vec::new());
        }
        // Dijkstra's search over start, corners and end.
        let nodes: Vec<Point> = [from].into_iter().chain(self.corners.iter().copied()).chain([to]).collect();
        let end = nodes.len() - 1;
        let mut reached = vec![(f64::INFINITY, 0); nodes.len()];
        let mut open = vec![true; nodes.len()];
        reached[0].0 = 0.0;
        loop {
            let left = (0..nodes.len()).filter(|&i| open[i] && reached[i].0.is_finite());
            let next = left.min_by(|&i, &j| reached[i].0.total_cmp(&reached[j].0))?;
            if next == end {
                return Some(back(&nodes, &reached, end));
            }
            open[next] = false;
            for i in (0..nodes.len()).filter(|&i| open[i]).collect::<Vec<_>>() {
                let length = reached[next].0 + (nodes[i] - nodes[next]).norm();
                if length < reached[i].0 && self.is_open(nodes[next], nodes[i]) {
                    reached[i] = (length, next);
                }
            }
        }
    }
}

/// The points before the last of a way that was found, without its start.
fn back(nodes: &[Point], reached: &[(f64, usize)], end: usize) -> Vec<Point> {
    let mut between = Vec::new();
    let mut i = reached[end].1;
    while i != 0 {
        between.push(nodes[i]);
        i = reached[i].1;
    }
    between.reverse();
    between
}

/// Whether a straight way comes into a box: its stretches between either pair of sides overlap.
fn crosses(from: Point, to: Point, place: &Bounds) -> bool {
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

    fn clearing(places: &[[f64; 4]]) -> Clearing {
        let bounds =
            |of: &[f64; 4], by: f64| Bounds { min: Point::new(of[0], of[1]), max: Point::new(of[2], of[3]) }.grown(by);
        let corners = |b: Bounds| [b.min, Point::new(b.max.x, b.min.y), b.max, Point::new(b.min.x, b.max.y)];
        Clearing {
            closed: places.iter().map(|place| bounds(place, 0.1)).collect(),
            corners: places.iter().flat_map(|place| corners(bounds(place, 1.0))).collect(),
        }
    }

    #[test]
    fn a_way_beside_a_clamp_stays_straight() {
        let clearing = clearing(&[[10.0, 10.0, 20.0, 20.0]]);
        assert_eq!(clearing.way(Point::new(0.0, 0.0), Point::new(30.0, 5.0)), Some(Vec::new()));
    }

    #[test]
    fn a_way_through_a_clamp_goes_round_its_nearer_corners() {
        let clearing = clearing(&[[10.0, 10.0, 20.0, 20.0]]);
        let way = clearing.way(Point::new(0.0, 12.0), Point::new(30.0, 12.0));
        assert_eq!(way, Some(vec![Point::new(9.0, 9.0), Point::new(21.0, 9.0)]));
    }

    #[test]
    fn an_end_under_a_clamp_has_no_way() {
        let clearing = clearing(&[[10.0, 10.0, 20.0, 20.0]]);
        assert_eq!(clearing.way(Point::new(0.0, 12.0), Point::new(15.0, 15.0)), None);
    }
}
