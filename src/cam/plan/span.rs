//! Which of the places where tabs may stand hold a piece still: round its centre of area, not all
//! on one line.
//!
//! Defaults are common practice, no source.

use super::tabs::{FEWEST, LOOK_MM, RANKS, SPACING_IN, Spot, Tab};
use crate::geometry::{Contour, Point, Segment, cross, distance_to_segment};
use crate::units::Length;

/// How far inside the hull of its tabs a piece's centre of area lies at least, in mm.
const INSIDE_MM: f64 = 3.0;
/// A tab that brings the centre no farther inside than this is not worth making, in mm.
const GAIN_MM: f64 = 1.0;
/// The most tabs that are added to a piece to span its centre.
const MOST_ADDED: usize = 4;
/// The most places of which the three best are looked for.
const MOST_COMPARED: usize = 24;

/// Tabs among `spots`, beside those that the piece has already: the back first, a foot and a half
/// apart at most; then the ends, farthest from the line of the back, until the centre of area lies
/// inside the hull of all tabs; risers and treads only where it would not lie there else; three at
/// least where there is room. Where the job says how many, as many: the three that hold best, the
/// others each as far from those as can be. Those of one round stay `apart` mm.
pub(super) fn spanning(
    spots: &[Spot],
    already: &[Tab],
    (apart, asked): (f64, Option<usize>),
    center: Point,
) -> Vec<Tab> {
    let mut choice = Choice { spots, apart, center, tabs: already.to_vec() };
    if already.is_empty() && asked.is_none() {
        choice.along_the_back();
    }
    if choice.tabs.len() < 2 {
        choice.best_three();
    }
    for rank in 1..RANKS {
        choice.span(rank, asked.unwrap_or(usize::MAX));
    }
    for rank in 0..RANKS {
        choice.fill_up(rank, asked.unwrap_or(FEWEST));
    }
    let mut added = choice.tabs.split_off(already.len());
    added.sort_by(|a, b| a.along_mm.total_cmp(&b.along_mm));
    added
}

/// How far inside the hull of tabs a point lies, in mm; negative outside, and where they lie on one
/// line.
pub(super) fn inside(tabs: &[Tab], center: Point) -> f64 {
    let points: Vec<Point> = tabs.iter().map(|tab| tab.top).collect();
    let ring = hull(points);
    let sides = || ring.iter().zip(ring.iter().cycle().skip(1));
    let away =
        sides().map(|(a, b)| distance_to_segment(center, &Segment::Line { from: *a, to: *b }));
    let away = away.fold(f64::INFINITY, f64::min);
    let is_inside = ring.len() >= 3 && sides().all(|(a, b)| cross(b - a, center - a) >= 0.0);
    if is_inside { away } else { -away }
}

/// The corners of the convex hull, counter-clockwise; fewer than three of points on a line.
fn hull(mut points: Vec<Point>) -> Vec<Point> {
    points.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    let half = |points: &mut dyn Iterator<Item = Point>| {
        let mut side: Vec<Point> = Vec::new();
        for p in points {
            while side.len() >= 2
                && cross(side[side.len() - 1] - side[side.len() - 2], p - side[side.len() - 2])
                    <= 1e-6
            {
                side.pop();
            }
            side.push(p);
        }
        side.pop();
        side
    };
    if points.len() < 2 {
        return points;
    }
    let mut ring = half(&mut points.iter().copied());
    ring.extend(half(&mut points.iter().rev().copied()));
    ring
}

/// The centre of area of a contour; arcs count as their chords.
pub(super) fn center_of<R: Copy>(piece: &Contour<R>) -> Point {
    let corners = piece.vertices();
    let (mut area, mut moment) = (0.0, nalgebra::Vector2::zeros());
    for (a, b) in crate::geometry::sides(&corners) {
        let (u, v) = (a - corners[0], b - corners[0]);
        area += cross(u, v);
        moment += (u + v) * cross(u, v);
    }
    corners[0] + moment / (3.0 * area)
}

struct Choice<'a> {
    spots: &'a [Spot],
    apart: f64,
    center: Point,
    tabs: Vec<Tab>,
}

impl Choice<'_> {
    fn is_apart(&self, spot: &Spot) -> bool {
        self.tabs.iter().all(|tab| (tab.along_mm - spot.tab.along_mm).abs() >= self.apart - 1e-6)
    }

    fn free(&self, ranks: std::ops::RangeInclusive<usize>) -> impl Iterator<Item = &Spot> {
        self.spots.iter().filter(move |spot| ranks.contains(&spot.rank) && self.is_apart(spot))
    }

    /// Evenly on every run of places on the back, the longest first.
    fn along_the_back(&mut self) {
        let mut runs = runs(self.spots);
        let length = |run: &[Spot]| run[run.len() - 1].tab.along_mm - run[0].tab.along_mm;
        runs.sort_by(|a, b| length(b).total_cmp(&length(a)));
        for (i, run) in runs.into_iter().enumerate() {
            let room = length(run);
            let wanted = (room / Length::inches(SPACING_IN).as_mm()).ceil().max(if i == 0 {
                2.0
            } else {
                1.0
            });
            let count = wanted.min((room / self.apart).floor() + 1.0);
            for k in 0..count as usize {
                let at = run[0].tab.along_mm + room * (k as f64 + 0.5) / count;
                let off = |spot: &&Spot| (spot.tab.along_mm - at).abs();
                let nearest = run
                    .iter()
                    .filter(|s| self.is_apart(s))
                    .min_by(|a, b| off(a).total_cmp(&off(b)));
                let is_needed = i == 0 || nearest.is_some_and(|spot| self.is_far(spot));
                if let (Some(spot), true) = (nearest, is_needed) {
                    self.tabs.push(spot.tab);
                }
            }
        }
    }

    /// Whether no tab stands within half the greatest distance.
    fn is_far(&self, spot: &Spot) -> bool {
        let far = Length::inches(SPACING_IN).as_mm() / 2.0;
        self.tabs.iter().all(|tab| (tab.at - spot.tab.at).norm() >= far)
    }

    /// Where fewer than two tabs stand: the three places, of as low a rank as will do, that span
    /// the centre best.
    fn best_three(&mut self) {
        let mut best: Option<(f64, [Tab; 3])> = None;
        for rank in 0..RANKS {
            if best.is_some_and(|(depth, _)| depth >= INSIDE_MM) {
                break;
            }
            let all: Vec<Tab> = self.free(0..=rank).map(|spot| spot.tab).collect();
            let step = all.len().div_ceil(MOST_COMPARED).max(1);
            let some: Vec<Tab> = all.into_iter().step_by(step).collect();
            for three in triples(&some, self.apart) {
                let depth = inside(&[&self.tabs[..], &three].concat(), self.center);
                if best.is_none_or(|(most, _)| depth > most + GAIN_MM) {
                    best = Some((depth, three));
                }
            }
        }
        self.tabs.extend(best.into_iter().flat_map(|(_, three)| three));
    }

    /// Adds what brings the centre of area farthest inside, of ranks up to this one, until it lies
    /// there or there are as many tabs as may be.
    fn span(&mut self, rank: usize, most: usize) {
        let mut depth = inside(&self.tabs, self.center);
        for _ in 0..MOST_ADDED {
            if depth >= INSIDE_MM || self.tabs.len() >= most {
                break;
            }
            let with = |spot: &Spot| inside(&[&self.tabs[..], &[spot.tab]].concat(), self.center);
            let all = self.free(0..=rank).map(|spot| (with(spot), spot.tab));
            let Some((reached, tab)) = all.max_by(|a, b| a.0.total_cmp(&b.0)) else { break };
            if reached < depth + GAIN_MM {
                break;
            }
            self.tabs.push(tab);
            depth = reached;
        }
    }

    /// Adds places of a rank, each as far from the tabs as can be, until there are as many tabs as
    /// hold a piece.
    fn fill_up(&mut self, rank: usize, count: usize) {
        while self.tabs.len() < count {
            let off = |spot: &Spot| {
                self.tabs
                    .iter()
                    .map(|tab| (tab.at - spot.tab.at).norm())
                    .fold(f64::INFINITY, f64::min)
            };
            let all = self.free(rank..=rank).map(|spot| (off(spot), spot.tab));
            let Some((_, tab)) = all.max_by(|a, b| a.0.total_cmp(&b.0)) else { break };
            self.tabs.push(tab);
        }
    }
}

/// Places on the back that follow each other on one edge.
fn runs(spots: &[Spot]) -> Vec<&[Spot]> {
    let back = &spots[..spots.partition_point(|spot| spot.rank == 0)];
    let follows = |a: &Spot, b: &Spot| {
        let step = b.tab.along_mm - a.tab.along_mm;
        step > 0.0 && step <= 1.5 * LOOK_MM && (b.tab.at - a.tab.at - a.ahead * step).norm() <= 1e-3
    };
    back.chunk_by(follows).collect()
}

/// Every three of some tabs that stay apart along their round.
fn triples(tabs: &[Tab], apart: f64) -> Vec<[Tab; 3]> {
    let far = |a: usize, b: usize| (tabs[a].along_mm - tabs[b].along_mm).abs() >= apart;
    let mut found = Vec::new();
    for i in 0..tabs.len() {
        for j in (i + 1..tabs.len()).filter(|&j| far(i, j)) {
            let third = (j + 1..tabs.len()).filter(|&k| far(i, k) && far(j, k));
            found.extend(third.map(|k| [tabs[i], tabs[j], tabs[k]]));
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cam::plan::tabs::Down;
    use crate::geometry::Vector;
    use crate::stair::outline::Role;

    /// Spots a look apart along a straight way, `along` mm on in its round.
    fn spots(from: (f64, f64), to: (f64, f64), along: f64, rank: usize) -> Vec<Spot> {
        let (from, to) = (Point::new(from.0, from.1), Point::new(to.0, to.1));
        let length = (to - from).norm();
        let ahead: Vector = (to - from) / length;
        let count = (length / LOOK_MM).ceil();
        let spot = |i: usize| {
            let on = length * i as f64 / count;
            let (at, along_mm) = (from + ahead * on, along + on);
            let tab = Tab {
                at,
                length_mm: 40.0,
                height_mm: 6.0,
                level_mm: 16.0,
                top: at,
                along_mm,
                down_mm: 12.0,
                down: Down::Plunge,
                role: Role::LowerEdge,
            };
            Spot { tab, rank, ahead }
        };
        (0..=count as usize).map(spot).collect()
    }

    /// A back of 1.2 m, an end at either side of it, and a face on the far side.
    fn long_piece() -> Vec<Spot> {
        let ways = [
            spots((1100.0, 0.0), (100.0, 0.0), 100.0, 0),
            spots((0.0, 40.0), (0.0, 160.0), 1240.0, 1),
            spots((1200.0, 160.0), (1200.0, 40.0), 2600.0, 1),
            spots((500.0, 280.0), (700.0, 280.0), 1900.0, 2),
        ];
        ways.concat()
    }

    #[test]
    fn the_tabs_of_a_long_piece_stand_on_the_back_and_at_both_ends_round_its_centre() {
        let tabs = spanning(&long_piece(), &[], (60.0, None), Point::new(600.0, 110.0));
        let on = |x: f64| {
            tabs.iter().filter(|tab| (tab.at.x - x).abs() < 1e-9 && tab.at.y > 0.0).count()
        };
        assert_eq!((on(0.0), on(1200.0), tabs.len()), (1, 1, 5));
        assert!(inside(&tabs, Point::new(600.0, 110.0)) >= INSIDE_MM);
        assert!(
            tabs.iter().all(|tab| tab.at.y < 200.0),
            "nothing on the face where the ends will do"
        );
    }

    #[test]
    fn a_face_is_used_only_where_the_centre_lies_beyond_the_ends() {
        let center = Point::new(600.0, 200.0);
        let tabs = spanning(&long_piece(), &[], (60.0, None), center);
        assert!(tabs.iter().any(|tab| tab.at.y > 200.0) && inside(&tabs, center) >= INSIDE_MM);
        let far = spanning(&long_piece(), &[], (60.0, None), Point::new(600.0, 400.0));
        assert!(inside(&far, Point::new(600.0, 400.0)) < 0.0);
    }

    #[test]
    fn a_tab_is_far_from_half_of_the_greatest_distance_on() {
        let half = Length::inches(SPACING_IN).as_mm() / 2.0;
        let [one, other] = [0.0, 900.0].map(|x| spots((x, 0.0), (x, 10.0), 0.0, 0)[0].tab);
        let choice =
            Choice { spots: &[], apart: 60.0, center: Point::origin(), tabs: vec![one, other] };
        let is_far = |x: f64, y: f64| choice.is_far(&spots((x, y), (x, y + 10.0), 0.0, 0)[0]);
        assert!(!is_far(0.0, half - 1.0) && is_far(0.0, half + 1.0));
        assert!(!is_far(900.0, half - 1.0) && is_far(450.0, 0.0) && !is_far(899.0, 0.0));
    }

    #[test]
    fn tabs_on_one_line_span_nothing() {
        let tabs: Vec<Tab> =
            spots((1100.0, 0.0), (100.0, 0.0), 0.0, 0).iter().map(|spot| spot.tab).collect();
        assert!((inside(&tabs, Point::new(600.0, 110.0)) + 110.0).abs() < 1e-9);
        assert!(inside(&tabs, Point::new(600.0, 0.0)) <= 0.0);
        assert_eq!(inside(&[], Point::origin()), f64::NEG_INFINITY);
    }

    #[test]
    fn tabs_of_one_round_stay_apart_however_the_places_are_cut_up() {
        // Two runs of one back, 18 mm apart: each would take a tab of its own.
        let places = [
            spots((400.0, 0.0), (300.0, 0.0), 100.0, 0),
            spots((282.0, 0.0), (182.0, 0.0), 218.0, 0),
        ]
        .concat();
        for center in [Point::new(290.0, 50.0), Point::new(290.0, 0.0), Point::new(700.0, 10.0)] {
            let tabs = spanning(&places, &[], (60.0, None), center);
            assert!(tabs.len() >= 3, "{tabs:?}");
            assert!(
                tabs.windows(2).all(|pair| pair[1].along_mm - pair[0].along_mm >= 60.0 - 1e-6),
                "{tabs:?}"
            );
            let already = [tabs[0]];
            let more = spanning(&places, &already, (60.0, None), center);
            assert!(
                more.iter().all(|tab| (tab.along_mm - already[0].along_mm).abs() >= 60.0 - 1e-6)
            );
        }
    }

    #[test]
    fn the_centre_of_a_contour_is_that_of_its_area() {
        let corners = [(0.0, 0.0), (3.0, 0.0), (3.0, 1.0), (1.0, 1.0), (1.0, 3.0), (0.0, 3.0)];
        let contour =
            Contour::polygon(&corners.map(|(x, y)| (Point::new(x + 50.0, y - 7.0), ()))).unwrap();
        let center = center_of(&contour);
        // Two oblongs: 3 by 1 about (1.5, 0.5), 1 by 2 about (0.5, 2).
        assert!(
            (center - Point::new(50.0 + 5.5 / 5.0, -7.0 + 5.5 / 5.0)).norm() < 1e-9,
            "{center}"
        );
    }
}
