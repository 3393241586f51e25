//! Convex polygons, and a simple polygon cut into them.
//!
//! A polygon is cut into triangles by ears (G. H. Meisters, Polygons have ears, 1975), which are
//! joined again while they stay convex (S. Hertel, K. Mehlhorn, Fast triangulation of simple
//! polygons, 1983: at most four times the fewest parts). Hulls are made by monotone chains (A. M.
//! Andrew, Another efficient algorithm for convex hulls in two dimensions, 1979). From memory.
//! O(n^3) for n corners, of which a stringer has some 30.

use crate::geometry::{Bounds, Point, Vector, cross, left_of};

/// A corner that stands out by less than this, in mm, is no corner: the rounding of sums of
/// coordinates of some metres.
const FLAT_MM: f64 = 1e-10;

/// A side of a convex shape: the points p with `normal . p <= reach` lie on its inner side.
#[derive(Clone, Copy, Debug)]
pub(super) struct Side {
    /// Outward, of length 1.
    pub normal: Vector,
    /// In mm.
    pub reach: f64,
}

impl Side {
    /// How far a point lies outside, in mm.
    pub(super) fn beyond(&self, p: Point) -> f64 {
        self.normal.x * p.x + self.normal.y * p.y - self.reach
    }
}

/// A convex polygon with an area, counter-clockwise.
#[derive(Clone, Debug)]
pub(super) struct Convex {
    corners: Vec<Point>,
    /// Side i runs from corner i to the next.
    sides: Vec<Side>,
    bounds: Bounds,
}

impl Convex {
    /// The hull of points; `None` if it has no area.
    pub(super) fn hull(mut points: Vec<Point>) -> Option<Self> {
        points.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
        // The lower chain, then the upper: each leaves out its last point, the first of the other.
        let mut corners = half_hull(points.iter().copied());
        corners.extend(half_hull(points.iter().rev().copied()));
        let bounds = Bounds::around(corners.iter().copied())?;
        if corners.len() < 3 {
            return None;
        }
        let sides = (0..corners.len())
            .map(|i| side(corners[i], corners[(i + 1) % corners.len()]))
            .collect();
        Some(Self { corners, sides, bounds })
    }

    /// The corners, counter-clockwise.
    pub(super) fn corners(&self) -> &[Point] {
        &self.corners
    }

    /// The sides; side i starts at corner i.
    pub(super) fn sides(&self) -> &[Side] {
        &self.sides
    }

    /// The box around it.
    pub(super) fn bounds(&self) -> Bounds {
        self.bounds
    }

    /// Whether another lies wholly inside.
    pub(super) fn covers(&self, other: &Self) -> bool {
        // No distances: the first side that a corner is beyond settles it, mostly that of the box.
        let (own, its) = (self.bounds, other.bounds);
        own.min.x <= its.min.x
            && own.min.y <= its.min.y
            && own.max.x >= its.max.x
            && own.max.y >= its.max.y
            && other.corners.iter().all(|p| self.sides.iter().all(|side| side.beyond(*p) <= 0.0))
    }

    /// By how much a point's distance falls short of `wanted` (0 or more), in mm; 0 where it does
    /// not.
    pub(super) fn shortfall(&self, p: Point, wanted: f64) -> f64 {
        // Any one side farther than wanted settles it: most questions end at the first or second
        // side, without a square root. This is the innermost step of the searches.
        let mut flat = f64::NEG_INFINITY;
        for side in &self.sides {
            flat = flat.max(side.beyond(p));
            if flat >= wanted {
                return 0.0;
            }
        }
        // Inside, and beside a side, the farthest side tells the distance, negative inside; only
        // around a corner is the nearest side asked.
        let distance = if flat <= 0.0 { flat } else { self.distance_outside(p) };
        (wanted - distance).max(0.0)
    }

    fn distance_outside(&self, p: Point) -> f64 {
        let n = self.corners.len();
        (0..n)
            .map(|i| squared_to_segment(p, self.corners[i], self.corners[(i + 1) % n]))
            .fold(f64::MAX, f64::min)
            .sqrt()
    }
}

/// The square of the distance from a point to a segment.
pub(super) fn squared_to_segment(p: Point, from: Point, to: Point) -> f64 {
    let along = to - from;
    let squared = along.norm_squared();
    let share =
        if squared > 0.0 { ((p - from).dot(&along) / squared).clamp(0.0, 1.0) } else { 0.0 };
    (p - (from + along * share)).norm_squared()
}

/// A simple polygon as convex polygons that cover it and overlap in nothing but sides: triangles,
/// joined where they may.
pub(super) fn convex_parts(outline: &[Point]) -> Vec<Vec<Point>> {
    let mut parts = triangles(outline);
    let mut first = 0;
    while first < parts.len() {
        let joined =
            (first + 1..parts.len()).find_map(|k| Some((k, joined(&parts[first], &parts[k])?)));
        match joined {
            Some((other, part)) => {
                parts[first] = part;
                // Looked at again from the first: the larger part may take in one that it could not
                // before.
                parts.swap_remove(other);
            }
            None => first += 1,
        }
    }
    parts
}

/// Twice the signed area of a polygon: positive where it runs counter-clockwise.
pub(super) fn doubled_area(outline: &[Point]) -> f64 {
    (0..outline.len())
        .map(|i| cross(outline[i].coords, outline[(i + 1) % outline.len()].coords))
        .sum()
}

fn side(from: Point, to: Point) -> Side {
    let normal = -left_of((to - from).normalize());
    Side { normal, reach: normal.dot(&from.coords) }
}

/// The lower hull of points that run in x, its last point left out.
fn half_hull(points: impl Iterator<Item = Point>) -> Vec<Point> {
    let mut hull: Vec<Point> = Vec::new();
    for p in points {
        while hull.len() >= 2 && !stands_out(hull[hull.len() - 2], hull[hull.len() - 1], p) {
            // The point before made a turn to the right, or none: it is inside.
            hull.pop();
        }
        if hull.last().is_none_or(|last| (p - last).norm() > FLAT_MM) {
            hull.push(p);
        }
    }
    hull.pop();
    hull
}

/// Whether `b` lies to the right of the way from `a` to `c`.
fn stands_out(a: Point, b: Point, c: Point) -> bool {
    cross(b - a, c - a) > FLAT_MM * (c - a).norm()
}

/// Ears cut off a simple polygon one by one.
fn triangles(outline: &[Point]) -> Vec<Vec<Point>> {
    let mut left: Vec<Point> = outline.to_vec();
    if doubled_area(&left) < 0.0 {
        left.reverse();
    }
    let mut found = Vec::new();
    while left.len() >= 3 {
        // Flat corners first: they make no triangle, and an ear beside one would be a sliver.
        let flat = (0..left.len()).find(|&i| is_flat(corner_at(&left, i)));
        let cut = flat.or_else(|| (0..left.len()).find(|&i| is_ear(&left, i)));
        // A simple polygon always has an ear; what is none is left uncut from here on.
        let Some(cut) = cut else { break };
        if flat.is_none() {
            found.push(corner_at(&left, cut).to_vec());
        }
        left.remove(cut);
    }
    found
}

/// A corner with the ones before and behind it.
fn corner_at(polygon: &[Point], i: usize) -> [Point; 3] {
    let n = polygon.len();
    [polygon[(i + n - 1) % n], polygon[i], polygon[(i + 1) % n]]
}

fn is_flat([a, b, c]: [Point; 3]) -> bool {
    cross(b - a, c - a).abs() <= FLAT_MM * (c - a).norm().max((b - a).norm())
}

fn is_ear(polygon: &[Point], i: usize) -> bool {
    let corners = corner_at(polygon, i);
    let left_of_sides =
        |p: Point| (0..3).all(|k| cross(corners[(k + 1) % 3] - corners[k], p - corners[k]) >= 0.0);
    let is_corner = |p: Point| corners.iter().any(|c| (p - c).norm() <= FLAT_MM);
    cross(corners[1] - corners[0], corners[2] - corners[0]) > 0.0
        && !polygon.iter().any(|&p| !is_corner(p) && left_of_sides(p))
}

/// Two convex polygons that share a side, as one, if that is convex.
fn joined(a: &[Point], b: &[Point]) -> Option<Vec<Point>> {
    let (n, m) = (a.len(), b.len());
    for i in 0..n {
        // Both run counter-clockwise, so the shared side runs the other way in b.
        let is_shared = |k: &usize| is_same(a[i], b[(k + 1) % m]) && is_same(a[(i + 1) % n], b[*k]);
        let Some(k) = (0..m).find(is_shared) else { continue };
        let of_a = (1..=n).map(|step| a[(i + step) % n]);
        let whole: Vec<Point> = of_a.chain((2..m).map(|step| b[(k + step) % m])).collect();
        return is_convex(&whole).then_some(whole);
    }
    None
}

fn is_same(p: Point, q: Point) -> bool {
    (p - q).norm() <= FLAT_MM
}

fn is_convex(polygon: &[Point]) -> bool {
    let n = polygon.len();
    (0..n).all(|i| {
        let [p, q, r] = corner_at(polygon, (i + 1) % n);
        cross(q - p, r - q) >= 0.0
    })
}
