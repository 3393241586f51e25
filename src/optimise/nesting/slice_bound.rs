//! The bound by slices: a linear programme over where pieces may stand, line by line.
//!
//! Lay a horizontal line over a sheet. Each piece that crosses it takes a stretch of it, its slice
//! at that height; grown pieces do not overlap, so the stretches sum to no more than the line. How
//! long a piece's slice is depends only on how far up the piece stands. So: cut the heights at
//! which a piece can stand into cells, let a variable be the number of pieces in each, and for each
//! line ask that the least slices of the pieces over their cells fit. Whatever a real layout is,
//! its counts satisfy all that; the largest sum that does is a bound. The same holds for vertical
//! lines.
//!
//! It is a bar relaxation (G. Belov, V. Kartak, H. Rohling, G. Scheithauer, One-dimensional
//! relaxations and LP bounds for orthogonal packing, 2009, from memory) taken from rectangles to
//! polygons; that step is this project's own, and held against found counts in the tests.
//!
//! **Cost**: for l lines, l rows an axis and up to l variables a shape; slices O(l^2) of a polygon
//! of c corners, each O(c log c), and one linear programme.

use super::field::RotatedPiece;
use super::no_fit_slice::exchanged;
use super::problem::Rotations;
use crate::geometry::{Bounds, Point, sides};
use microlp::{ComparisonOp, LinearExpr, OptimizationDirection, Problem, Variable};
use std::f64::consts::FRAC_PI_2;

/// A linear programme's answer may be low by this much.
pub(super) const SLACK: f64 = 1e-6;

/// So far to either side of a corner its slice is looked at, in mm: there it may jump.
const BESIDE_MM: f64 = 1e-7;

/// How many of a grown piece an extent holds at most, by so many lines along each axis; `None`
/// where the programme is not solved.
///
/// Rotated pieces are variables of their own. They are as many along one axis as along the other,
/// which ties the programmes of both axes together.
pub(super) fn by_slices(
    grown: &[Point],
    rotations: Rotations,
    extent: Bounds,
    lines: usize,
) -> Option<usize> {
    let angles: &[f64] = if rotations == Rotations::Half { &[0.0] } else { &[0.0, FRAC_PI_2] };
    let shapes: Vec<RotatedPiece> = angles
        .iter()
        .filter_map(|a| RotatedPiece::new(0, grown, *a))
        .filter(|shape| fits(shape, extent))
        .collect();
    if shapes.is_empty() {
        return Some(0);
    }
    let up: Vec<Profile> = shapes.iter().map(|s| Profile::new(&s.points)).collect();
    let across: Vec<Profile> = shapes.iter().map(|s| Profile::new(&exchanged(&s.points))).collect();
    let (width, height) = (extent.width(), extent.height());
    let mut problem = Problem::new(OptimizationDirection::Maximize);
    // Every piece stands along both axes: it is counted along the first alone.
    let first = Axis::new(height, width, lines).add_to(&mut problem, &up, 1.0);
    let second = Axis::new(width, height, lines).add_to(&mut problem, &across, 0.0);
    for (a, b) in first.iter().zip(&second) {
        // A real layout has so many pieces of an orientation, along whichever axis they are
        // counted.
        let mut same = LinearExpr::empty();
        a.iter().for_each(|v| same.add(*v, 1.0));
        b.iter().for_each(|v| same.add(*v, -1.0));
        problem.add_constraint(same, ComparisonOp::Eq, 0.0);
    }
    let solution = problem.solve().ok()?.into_solution().ok()?;
    Some((solution.objective() + SLACK).floor() as usize)
}

/// Grown pieces of one kind in an order.
pub(super) struct Sliced {
    pub grown: Vec<Point>,
    pub rotations: Rotations,
    pub count: f64,
}

/// A size for each kind, a share of a sheet, such that no layout on the extent has more than one
/// sheet of sizes, and the order as much as can be so shown; `None` where the programme is not
/// solved.
///
/// It is the dual of the programme above with all kinds in it: every line is given a weight, all
/// weights together one sheet, and a piece has the size of the least that it takes of the weighted
/// lines wherever it stands, along both axes.
pub(super) fn sizes(kinds: &[Sliced], extent: Bounds, lines: usize) -> Option<Vec<f64>> {
    let (width, height) = (extent.width(), extent.height());
    let axes = [Axis::new(height, width, lines), Axis::new(width, height, lines)];
    let mut problem = Problem::new(OptimizationDirection::Maximize);
    let mut one_sheet = LinearExpr::empty();
    let mut weights: Vec<Vec<Variable>> = Vec::new();
    for axis in &axes {
        let rows = 0..axis.rows();
        let own: Vec<Variable> =
            rows.clone().map(|_| problem.add_var(0.0, (0.0, f64::INFINITY))).collect();
        rows.for_each(|row| one_sheet.add(own[row], axis.merged(row)));
        weights.push(own);
    }
    problem.add_constraint(one_sheet, ComparisonOp::Le, 1.0);
    let mut sizes = Vec::new();
    for kind in kinds {
        let size = problem.add_var(kind.count, (0.0, 1.0));
        sizes.push(size);
        let angles: &[f64] =
            if kind.rotations == Rotations::Half { &[0.0] } else { &[0.0, FRAC_PI_2] };
        let shapes = angles.iter().filter_map(|a| RotatedPiece::new(0, &kind.grown, *a));
        for shape in shapes.filter(|shape| fits(shape, extent)) {
            let profiles = [Profile::new(&shape.points), Profile::new(&exchanged(&shape.points))];
            let mut both = LinearExpr::empty();
            both.add(size, 1.0);
            for ((axis, profile), own) in axes.iter().zip(&profiles).zip(&weights) {
                let along = problem.add_var(0.0, (0.0, 1.0));
                both.add(along, -1.0);
                for taken in axis.cells(profile) {
                    let mut least = LinearExpr::empty();
                    least.add(along, 1.0);
                    let crossed = taken.iter().zip(own).filter(|(length, _)| **length > 0.0);
                    crossed.for_each(|(length, weight)| least.add(*weight, -length / axis.line));
                    problem.add_constraint(least, ComparisonOp::Le, 0.0);
                }
            }
            problem.add_constraint(both, ComparisonOp::Le, 0.0);
        }
    }
    let solution = problem.solve().ok()?.into_solution().ok()?;
    // A hair less than the programme says: it is solved in doubles.
    Some(sizes.iter().map(|size| (solution.var_value_raw(*size) - SLACK).max(0.0)).collect())
}

fn fits(shape: &RotatedPiece, extent: Bounds) -> bool {
    shape.bounds.width() <= extent.width() + SLACK
        && shape.bounds.height() <= extent.height() + SLACK
}

/// Lines across one axis: where they lie, and how long they are.
struct Axis {
    /// Along the axis, in mm.
    extent: f64,
    /// Of each line, in mm.
    line: f64,
    lines: usize,
}

impl Axis {
    fn new(extent: f64, line: f64, lines: usize) -> Self {
        Self { extent, line, lines: lines.max(2) }
    }

    /// How many rows the programme has: a line and its mirror image share one. A half-turned piece
    /// is the piece mirrored along this axis, so each layout can be averaged with its own half turn
    /// without loss; then a line and its mirror ask the same, and the sum of both asks as much as
    /// each. It halves the programme and leaves out the half turn as a variable of its own.
    fn rows(&self) -> usize {
        self.lines.div_ceil(2)
    }

    /// How many lines' length a merged row has: the middle one of an odd number stands alone.
    fn merged(&self, row: usize) -> f64 {
        if row == self.lines - 1 - row { 1.0 } else { 2.0 }
    }

    fn row_of(&self, line: usize) -> usize {
        line.min(self.lines - 1 - line)
    }

    /// Adds the cells and lines of this axis; the variables of each profile, a piece in any of them
    /// being worth so much.
    fn add_to(
        &self,
        problem: &mut Problem,
        profiles: &[Profile],
        worth: f64,
    ) -> Vec<Vec<Variable>> {
        let mut rows = vec![LinearExpr::empty(); self.rows()];
        let mut variables = Vec::new();
        for profile in profiles {
            let mut own = Vec::new();
            for taken in self.cells(profile) {
                let variable = problem.add_var(worth, (0.0, f64::INFINITY));
                own.push(variable);
                for (row, length) in rows.iter_mut().zip(&taken).filter(|(_, l)| **l > 0.0) {
                    // As a share of the line: rows of like size are what the solver is exact for.
                    row.add(variable, length / self.line);
                }
            }
            variables.push(own);
        }
        for (j, row) in rows.into_iter().enumerate() {
            problem.add_constraint(row, ComparisonOp::Le, self.merged(j));
        }
        variables
    }

    /// For each cell that a profile may stand in, what it takes at least of each row's lines, in
    /// mm.
    fn cells(&self, profile: &Profile) -> Vec<Vec<f64>> {
        let step = self.extent / self.lines as f64;
        // The lowest point of the piece stands anywhere in the play; cells no larger than the step
        // between lines, or a coarse cell would blur what fine lines see.
        let play = (self.extent - profile.height()).max(0.0);
        let count = (play / step).ceil().max(1.0) as usize;
        let size = play / count as f64;
        (0..count).map(|p| self.cell(profile, p, size)).collect()
    }

    /// What a profile in cell `p`, of a size in mm, takes at least of each row's lines.
    fn cell(&self, profile: &Profile, p: usize, size: f64) -> Vec<f64> {
        let step = self.extent / self.lines as f64;
        let mut taken = vec![0.0; self.rows()];
        for j in 0..self.lines {
            // In the middle of its strip: a line at the very edge of the sheet would cross nothing.
            let height = (j as f64 + 0.5) * step;
            let from = height - (p + 1) as f64 * size;
            taken[self.row_of(j)] += profile.least(from, height - p as f64 * size);
        }
        taken
    }
}

/// How long the slices of a polygon are, by height above its lowest corner.
struct Profile {
    ring: Vec<Point>,
    /// The heights of its corners, rising.
    levels: Vec<f64>,
}

impl Profile {
    fn new(ring: &[Point]) -> Self {
        let low = ring.iter().map(|p| p.y).fold(f64::INFINITY, f64::min);
        let ring: Vec<Point> = ring.iter().map(|p| Point::new(p.x, p.y - low)).collect();
        let mut levels: Vec<f64> = ring.iter().map(|p| p.y).collect();
        levels.sort_by(f64::total_cmp);
        Self { ring, levels }
    }

    fn height(&self) -> f64 {
        self.levels.last().copied().unwrap_or(0.0)
    }

    /// The length of the slice at a height: its crossings taken two by two.
    fn length(&self, y: f64) -> f64 {
        let mut xs: Vec<f64> = sides(&self.ring)
            .filter(|(a, b)| (a.y > y) != (b.y > y))
            .map(|(a, b)| a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x))
            .collect();
        xs.sort_by(f64::total_cmp);
        // A line enters and leaves in turn: holes between teeth are left out.
        xs.chunks_exact(2).map(|c| c[1] - c[0]).sum()
    }

    /// The least slice between two heights: slices change evenly between corners, so it is at an
    /// end or beside a corner.
    fn least(&self, from: f64, to: f64) -> f64 {
        // The line may pass below or above the piece: then the least it takes is nothing.
        if from <= 0.0 || to >= self.height() {
            return 0.0;
        }
        // Between corners the slice changes evenly; at one it may jump, so both sides are asked.
        let start = self.levels.partition_point(|l| *l < from - BESIDE_MM);
        let within = self.levels[start..].iter().take_while(|l| **l <= to + BESIDE_MM);
        let beside = within.flat_map(|l| [l - BESIDE_MM, l + BESIDE_MM]);
        beside.chain([from, to]).map(|y| self.length(y)).fold(f64::INFINITY, f64::min)
    }
}
