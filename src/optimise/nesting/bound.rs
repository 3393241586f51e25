//! Upper bounds: no layout of one kind of piece on one sheet holds more. Both are for the piece grown by half the spacing
//! on a field grown by as much, where grown pieces do not overlap.

use super::problem::Turns;
use super::field::{Field, Shape, area};
use crate::geometry::{Bounds, Contour, Point, Segment, offset_outside};
use microlp::{ComparisonOp, LinearExpr, OptimizationDirection, Problem, Variable};
use std::f64::consts::FRAC_PI_2;

/// Lines laid over the field, coarsely and finely.
const LINES: [usize; 2] = [100, 320];
/// Fine lines are laid where the coarse ones left the bound this near.
const HOPE: usize = 1;
/// A linear programme's answer may be low by this much.
const SLACK: f64 = 1e-6;

/// How many pieces of one outline a field holds at most; not asked further once the answer is down to `reached`.
pub(super) fn per_sheet(outline: &[Point], turns: Turns, field: &Field, reached: usize) -> Option<usize> {
    let grown = grown(outline, field.spacing / 2.0);
    let extent = field.usable.grown(field.spacing / 2.0);
    let mut bound = (extent.width() * extent.height() / area(&grown) + SLACK).floor() as usize;
    if turns == Turns::Any {
        return Some(bound);
    }
    for lines in LINES {
        let fine = lines > LINES[0];
        if bound <= reached || fine && bound > reached + HOPE {
            break;
        }
        bound = by_slices(&grown, turns, extent, lines).map_or(bound, |b| b.min(bound));
    }
    Some(bound)
}

/// The area in mm^2 that a piece takes at least: that of the piece grown by half the spacing.
pub(super) fn taken_area(outline: &[Point], spacing: f64) -> f64 {
    area(&grown(outline, spacing / 2.0))
}

/// How many bounding boxes lie in rows on a field: a grid, and where quarter turns are allowed a second one of turned
/// boxes beside it.
pub(super) fn by_boxes(outline: &[Point], turns: Turns, field: &Field) -> usize {
    let Some(own) = Bounds::around(outline.iter().copied()) else { return 0 };
    let s = field.spacing;
    let (length, width) = (field.usable.width(), field.usable.height());
    let fit = |room: f64, size: f64| ((room + s + 1e-9) / (size + s)).floor().max(0.0);
    let grid = |x: f64, y: f64, w: f64, h: f64| fit(x, w) * fit(y, h);
    let (w, h) = (own.width(), own.height());
    if turns == Turns::Half {
        return grid(length, width, w, h) as usize;
    }
    let mut best: f64 = 0.0;
    for (w, h) in [(w, h), (h, w)] {
        for k in 0..=fit(length, w) as usize {
            let rest = length - k as f64 * (w + s);
            best = best.max(k as f64 * fit(width, h) + grid(rest, width, h, w));
        }
        for k in 0..=fit(width, h) as usize {
            let rest = width - k as f64 * (h + s);
            best = best.max(k as f64 * fit(length, w) + grid(length, rest, h, w));
        }
    }
    best as usize
}

/// A polygon inside the outline grown by `by` mm, its arcs cut short; the outline itself where it cannot be grown.
fn grown(outline: &[Point], by: f64) -> Vec<Point> {
    let vertices: Vec<(Point, ())> = outline.iter().map(|p| (*p, ())).collect();
    let flat = || {
        let contour = offset_outside(&Contour::polygon(&vertices).ok()?, by).ok()?;
        let points: Vec<Point> = contour.edges().iter().flat_map(|e| flattened(&e.segment)).collect();
        let roles: Vec<(Point, ())> = points.iter().map(|p| (*p, ())).collect();
        let ring = Contour::polygon(&roles).ok()?;
        ring.is_simple_polygon().then_some(points)
    };
    if by > 0.0 { flat().unwrap_or_else(|| outline.to_vec()) } else { outline.to_vec() }
}

/// Points on a segment from its start on, its end left out.
fn flattened(segment: &Segment) -> Vec<Point> {
    let parts = match segment {
        Segment::Line { .. } => 1,
        Segment::Arc { .. } => 1 + (segment.sweep().abs() / 0.4) as usize,
    };
    (0..parts).map(|i| segment.point_at(i as f64 / parts as f64)).collect()
}

/// The linear programme of slices. Pieces stand in cells along each axis; on every line across that axis the least slices
/// of the pieces over each cell fit the line. A line and its mirror image are one: a half-turned piece then counts as
/// the piece in the mirrored cell. Turned and unturned pieces are as many along one axis as along the other.
fn by_slices(grown: &[Point], turns: Turns, extent: Bounds, lines: usize) -> Option<usize> {
    let angles: &[f64] = if turns == Turns::Half { &[0.0] } else { &[0.0, FRAC_PI_2] };
    let shapes: Vec<Shape> = angles.iter().filter_map(|a| Shape::new(0, grown, *a)).collect();
    let fits = |s: &&Shape| s.bounds.width() <= extent.width() + SLACK && s.bounds.height() <= extent.height() + SLACK;
    let shapes: Vec<&Shape> = shapes.iter().filter(fits).collect();
    if shapes.is_empty() {
        return Some(0);
    }
    let exchanged = |s: &Shape| s.points.iter().rev().map(|p| Point::new(p.y, p.x)).collect::<Vec<_>>();
    let up: Vec<Profile> = shapes.iter().map(|s| Profile::new(&s.points)).collect();
    let across: Vec<Profile> = shapes.iter().map(|s| Profile::new(&exchanged(s))).collect();
    let mut problem = Problem::new(OptimizationDirection::Maximize);
    let first = add_axis(&mut problem, &up, extent.height(), extent.width(), lines, 1.0);
    let second = add_axis(&mut problem, &across, extent.width(), extent.height(), lines, 0.0);
    for (a, b) in first.iter().zip(&second) {
        let mut same = LinearExpr::empty();
        a.iter().for_each(|v| same.add(*v, 1.0));
        b.iter().for_each(|v| same.add(*v, -1.0));
        problem.add_constraint(same, ComparisonOp::Eq, 0.0);
    }
    let solution = problem.solve().ok()?.into_solution().ok()?;
    Some((solution.objective() + SLACK).floor() as usize)
}

/// The cells and lines of one axis; the variables of each profile.
fn add_axis(
    problem: &mut Problem,
    profiles: &[Profile],
    extent: f64,
    line: f64,
    lines: usize,
    worth: f64,
) -> Vec<Vec<Variable>> {
    let lines = lines.max(2);
    let step = extent / lines as f64;
    let mut rows = vec![LinearExpr::empty(); lines.div_ceil(2)];
    let mut variables = Vec::new();
    for profile in profiles {
        let play = (extent - profile.height()).max(0.0);
        let cells = (play / step).ceil().max(1.0) as usize;
        let cell = play / cells as f64;
        let mut own = Vec::with_capacity(cells);
        for p in 0..cells {
            let variable = problem.add_var(worth, (0.0, f64::INFINITY));
            own.push(variable);
            let mut taken = vec![0.0; rows.len()];
            for j in 0..lines {
                let height = (j as f64 + 0.5) * step;
                let from = height - (p + 1) as f64 * cell;
                taken[j.min(lines - 1 - j)] += profile.least(from, height - p as f64 * cell);
            }
            for (row, length) in rows.iter_mut().zip(&taken).filter(|(_, l)| **l > 0.0) {
                row.add(variable, length / line);
            }
        }
        variables.push(own);
    }
    for (j, row) in rows.into_iter().enumerate() {
        let merged = if j == lines - 1 - j { 1.0 } else { 2.0 };
        problem.add_constraint(row, ComparisonOp::Le, merged);
    }
    variables
}

/// How long the slices of a polygon are, by height above its lowest corner.
struct Profile {
    ring: Vec<Point>,
    levels: Vec<f64>,
}

impl Profile {
    fn new(ring: &[Point]) -> Profile {
        let low = ring.iter().map(|p| p.y).fold(f64::INFINITY, f64::min);
        let ring: Vec<Point> = ring.iter().map(|p| Point::new(p.x, p.y - low)).collect();
        let mut levels: Vec<f64> = ring.iter().map(|p| p.y).collect();
        levels.sort_by(f64::total_cmp);
        Profile { ring, levels }
    }

    fn height(&self) -> f64 {
        self.levels.last().copied().unwrap_or(0.0)
    }

    fn length(&self, y: f64) -> f64 {
        let mut xs: Vec<f64> = crate::geometry::sides(&self.ring)
            .filter(|(a, b)| (a.y > y) != (b.y > y))
            .map(|(a, b)| a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x))
            .collect();
        xs.sort_by(f64::total_cmp);
        xs.chunks_exact(2).map(|c| c[1] - c[0]).sum()
    }

    /// The least slice between two heights: slices change evenly between corners, so it is at an end or beside a corner.
    fn least(&self, from: f64, to: f64) -> f64 {
        if from <= 0.0 || to >= self.height() {
            return 0.0;
        }
        let start = self.levels.partition_point(|l| *l < from - BESIDE_MM);
        let within = self.levels[start..].iter().take_while(|l| **l <= to + BESIDE_MM);
        let beside = within.flat_map(|l| [l - BESIDE_MM, l + BESIDE_MM]);
        beside.chain([from, to]).map(|y| self.length(y)).fold(f64::INFINITY, f64::min)
    }
}

/// So far to either side of a corner its slice is looked at.
const BESIDE_MM: f64 = 1e-7;
