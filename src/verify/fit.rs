//! Where the part lies in a drawing that may have been turned and moved anyhow, or mirrored, by the
//! best fit of edges.
//!
//! First guesses turn the part's longest edge onto each long edge of the ring and lay the areas'
//! centres on each other. Each edge of the part then has a counterpart, and the sum of the
//! distances (not of their squares, so that one moved edge does not drag the others) is made least
//! by reweighted least squares: Gauss-Newton on turn, move and offset.

use nalgebra::{Matrix4, Vector4};

use super::limits::{ALIKE_RAD, CAPTURE_MM, MERGE_MM, MOST_FITTED, MOST_GUESSES};
use crate::geometry::tolerance::PROOF_MM;
use crate::geometry::{Contour, Placement, Point, Segment, Vector, cross, left_of};
use crate::stair::outline::Role;

/// The steps that find counterparts anew.
const ROUNDS: usize = 4;
/// The reweighted steps of each.
const STEPS: usize = 40;
/// Distances below this weigh alike.
const SOFT_MM: f64 = 1e-4;
/// A counterpart runs along at least this share of the shorter of both edges.
const ALONG: f64 = 0.3;

/// Whether the offset of all edges is fitted too.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Offset {
    /// The edges are to lie on each other.
    None,
    /// All edges may be off by one distance.
    Uniform,
}

/// The ring as the fit takes it: counter-clockwise, straight edges only, split edges made whole.
#[derive(Clone, Debug)]
pub(super) struct Straightened {
    lines: Vec<(Point, Point)>,
    /// The enclosed area in square millimetres.
    pub area: f64,
    center: Point,
}

/// How far an edge of the part is off its counterpart at its start and its end, outward positive;
/// `None` without one.
pub(super) type EdgeOff = Option<[f64; 2]>;

/// One fit.
#[derive(Clone, Debug)]
pub(super) struct Fit {
    /// From the board frame to the drawing.
    pub placement: Placement,
    /// The offset of all edges outward, in mm.
    pub offset_mm: f64,
    /// What remains of each edge beside the offset.
    pub off: Vec<EdgeOff>,
    /// The sum of what remains.
    pub cost: f64,
}

impl Straightened {
    /// `None` if it encloses nothing or has more edges than are fitted.
    pub(crate) fn new(ring: &[Segment]) -> Option<Self> {
        let home = ring.first()?.from().coords;
        let near = |p: Point| p - home;
        let doubled: f64 = ring
            .iter()
            .map(|segment| segment.placed(&Placement::translation(-home.x, -home.y)).doubled_area())
            .sum();
        let (first, last) = (ring.first()?.from(), ring.last()?.to());
        let mut points: Vec<(Point, bool)> =
            ring.iter().map(|s| (near(s.from()), matches!(s, Segment::Line { .. }))).collect();
        if (last - first).norm() > MERGE_MM {
            points.push((near(last), true));
        }
        let mut lines = merged(&points);
        let vertices: Vec<Point> = points.iter().map(|(p, _)| *p).collect();
        let (_, center) = polygon(&vertices)?;
        if doubled < 0.0 {
            lines = lines.into_iter().rev().map(|(a, b)| (b, a)).collect();
        }
        let back = |p: Point| p + home;
        let lines: Vec<_> = lines.into_iter().map(|(a, b)| (back(a), back(b))).collect();
        let fits = !lines.is_empty() && lines.len() <= MOST_FITTED && doubled.abs() > 0.0;
        fits.then(|| Self { lines, area: doubled.abs() / 2.0, center: back(center) })
    }

    /// Mirrored at the drawing's y axis.
    pub(crate) fn mirrored(&self) -> Self {
        let flip = |p: Point| Point::new(-p.x, p.y);
        let lines = self.lines.iter().rev().map(|(a, b)| (flip(*b), flip(*a))).collect();
        Self { lines, area: self.area, center: flip(self.center) }
    }

    fn placed(&self, placement: &Placement) -> Vec<(Point, Point)> {
        self.lines.iter().map(|(a, b)| (placement * a, placement * b)).collect()
    }
}

/// The straight lines through `points`, each with whether a line leaves it; points on a straight
/// run are left out.
fn merged(points: &[(Point, bool)]) -> Vec<(Point, Point)> {
    let count = points.len();
    let corner = |i: usize| {
        let ((a, before), (p, after), (b, _)) =
            (points[(i + count - 1) % count], points[i], points[(i + 1) % count]);
        !before || !after || off_line(p, a, b) > MERGE_MM || (p - a).dot(&(b - p)) < 0.0
    };
    let Some(first) = (0..count).find(|&i| corner(i)) else { return Vec::new() };
    let mut lines: Vec<(Point, Point)> = Vec::new();
    let mut open: Option<(Point, Point)> = None;
    for step in 0..count {
        let i = (first + step) % count;
        let ((from, straight), (to, _)) = (points[i], points[(i + 1) % count]);
        if !straight {
            lines.extend(open.take());
            continue;
        }
        open = match open {
            Some((start, end))
                if off_line(end, start, to) <= MERGE_MM && (end - start).dot(&(to - end)) > 0.0 =>
            {
                Some((start, to))
            }
            other => {
                lines.extend(other);
                Some((from, to))
            }
        };
    }
    lines.extend(open);
    lines.retain(|(a, b)| (b - a).norm() > MERGE_MM);
    lines
}

fn off_line(p: Point, a: Point, b: Point) -> f64 {
    let along = b - a;
    if along.norm() <= MERGE_MM { (p - a).norm() } else { cross(along, p - a).abs() / along.norm() }
}

/// Twice the area and the centre of a polygon.
fn polygon(vertices: &[Point]) -> Option<(f64, Point)> {
    let (mut doubled, mut moment) = (0.0, Vector::zeros());
    for (a, b) in vertices.iter().zip(vertices.iter().cycle().skip(1)) {
        let piece = cross(a.coords, b.coords);
        doubled += piece;
        moment += (a.coords + b.coords) * piece;
    }
    (doubled.abs() > MERGE_MM).then(|| (doubled, Point::from(moment / (3.0 * doubled))))
}

/// The best fit of the part to a ring.
pub(super) fn best_fit(ring: &Straightened, part: &Contour<Role>, offset: Offset) -> Option<Fit> {
    let longest =
        part.edges().iter().map(|e| e.segment).max_by(|a, b| a.length().total_cmp(&b.length()))?;
    let (_, center) = polygon(&part.vertices())?;
    let mut long: Vec<_> =
        ring.lines.iter().filter(|(a, b)| (b - a).norm() >= longest.length() / 2.0).collect();
    long.sort_by(|(a, b), (c, d)| (d - c).norm().total_cmp(&(b - a).norm()));
    let guesses = long.into_iter().take(MOST_GUESSES).map(|(a, b)| {
        let (from, to) = (b - a, longest.to() - longest.from());
        let turn = Placement::rotation(cross(from, to).atan2(from.dot(&to)));
        Placement::from_parts((center - turn * ring.center).into(), turn.rotation)
    });
    guesses
        .map(|guess| refined(ring, part, center, guess, offset))
        .min_by(|a, b| a.cost.total_cmp(&b.cost))
}

/// The pose that a first guess comes to.
fn refined(
    ring: &Straightened,
    part: &Contour<Role>,
    center: Point,
    guess: Placement,
    offset: Offset,
) -> Fit {
    let mut pose = guess;
    let mut offset_mm = 0.0;
    for _ in 0..ROUNDS {
        let pairs = counterparts(&ring.placed(&pose), part);
        let moved = least(&pairs, part, center, offset);
        let turn = Placement::rotation(moved[0]);
        let about = center + Vector::new(moved[1], moved[2]) - turn * center;
        pose = Placement::from_parts(about.into(), turn.rotation) * pose;
        offset_mm = moved[3];
    }
    let off: Vec<EdgeOff> = counterparts(&ring.placed(&pose), part)
        .iter()
        .zip(part.edges())
        .map(|(line, edge)| {
            line.map(|line| ends_off(&edge.segment, line).map(|off| off - offset_mm))
        })
        .collect();
    let of_edge = |off: &EdgeOff| {
        off.map_or(CAPTURE_MM, |[a, b]| f64::midpoint(a.abs(), b.abs()).min(CAPTURE_MM))
    };
    let cost = off.iter().map(of_edge).sum();
    Fit { placement: pose.inverse(), offset_mm, off, cost }
}

/// The ring's line that stands for each edge of the part: alike in direction, along it, and near.
fn counterparts(lines: &[(Point, Point)], part: &Contour<Role>) -> Vec<Option<(Point, Point)>> {
    let of = |segment: &Segment| {
        let (from, length) = (segment.from(), segment.length());
        let along = (segment.to() - from) / length;
        let quality = |(a, b): (Point, Point)| {
            let line = b - a;
            let alike =
                cross(along, line).abs() <= ALIKE_RAD * line.norm() && along.dot(&line) > 0.0;
            let (start, end) =
                (along.dot(&(a - from)).max(0.0), along.dot(&(b - from)).min(length));
            let share = (end - start) / length.min(line.norm());
            let far = cross(along, nalgebra::center(&a, &b) - from).abs();
            (alike && share >= ALONG && far <= CAPTURE_MM)
                .then(|| (end - start) / length - far / CAPTURE_MM)
        };
        let rated = lines.iter().filter_map(|&line| quality(line).map(|quality| (quality, line)));
        rated.max_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, line)| line)
    };
    part.edges().iter().map(|edge| of(&edge.segment)).collect()
}

/// How far a line runs outside the start and the end of an edge of the part, along the edge's
/// normal.
fn ends_off(edge: &Segment, (a, b): (Point, Point)) -> [f64; 2] {
    let outward = -left_of(edge.direction_at(0.0));
    let across = -left_of(b - a);
    [edge.from(), edge.to()].map(|p| (a - p).dot(&across) / outward.dot(&across))
}

/// Turn about `center`, move and offset that make the sum of distances least, in that order.
fn least(
    pairs: &[Option<(Point, Point)>],
    part: &Contour<Role>,
    center: Point,
    offset: Offset,
) -> Vector4<f64> {
    let mut rows: Vec<(Vector4<f64>, f64)> = Vec::new();
    // The turn is counted in mm at the part's end, so that all four unknowns are of one size.
    let reach = part.vertices().iter().map(|p| (p - center).norm()).fold(1.0, f64::max);
    for (edge, line) in part.edges().iter().zip(pairs) {
        let Some(line) = line else { continue };
        let outward = -left_of(edge.segment.direction_at(0.0));
        for (p, off) in
            [edge.segment.from(), edge.segment.to()].into_iter().zip(ends_off(&edge.segment, *line))
        {
            let turning = outward.dot(&left_of(p - center)) / reach;
            let shift = if offset == Offset::Uniform { -1.0 } else { 0.0 };
            rows.push((Vector4::new(turning, outward.x, outward.y, shift), off));
        }
    }
    let mut at = Vector4::zeros();
    for step in 0..=STEPS {
        let (mut normal, mut right) = (Matrix4::identity() * 1e-9, Vector4::zeros());
        for (row, off) in &rows {
            let left = (off + row.dot(&at)).abs();
            let weight = match step {
                0 => 1.0,
                // The last step is plain least squares of those that agree.
                STEPS => f64::from(u8::from(left <= PROOF_MM)) + 1e-6,
                _ => 1.0 / left.max(SOFT_MM),
            };
            normal += row * row.transpose() * weight;
            right -= row * (*off * weight);
        }
        let Some(next) = normal.cholesky().map(|factors| factors.solve(&right)) else { break };
        at = next;
    }
    at[0] /= reach;
    at
}

impl Fit {
    /// How far each edge that has a counterpart is off at most, with its sign.
    pub(crate) fn worst(&self) -> impl Iterator<Item = f64> + '_ {
        self.off.iter().flatten().map(|[a, b]| if a.abs() >= b.abs() { *a } else { *b })
    }

    /// Whether all edges lie where they belong.
    pub(crate) fn is_exact(&self) -> bool {
        self.off.iter().all(Option::is_some) && self.worst().all(|off| off.abs() <= PROOF_MM)
    }

    /// Whether the ring is this part, if with mistakes: most edges are where they belong, or all
    /// are near it.
    pub(crate) fn is_likely(&self) -> bool {
        let count = self.off.len();
        let found = self.worst().count();
        let right = self.worst().filter(|off| off.abs() <= PROOF_MM).count();
        (found * 5 >= count * 4 && right * 2 > count)
            || (found == count && self.worst().all(|off| off.abs() <= CAPTURE_MM / 3.0))
    }
}
