//! A piece turned to one angle, and the field it is laid on: what the constructions work with.

use super::problem::{KEPT_OFF_MM, KeepOut, Placed, Problem, Rotations, SheetSize, free_rectangle};
use crate::geometry::{Bounds, Placement, Point, Vector, cross, tolerance::COINCIDENT_MM};
use std::f64::consts::{FRAC_PI_2, PI};

/// A piece's corners turned about its own origin, not yet moved.
#[derive(Clone, Debug)]
pub(super) struct RotatedPiece {
    pub piece: usize,
    /// In radians.
    pub angle: f64,
    pub points: Vec<Point>,
    pub bounds: Bounds,
}

impl RotatedPiece {
    /// The piece of this number at this angle; `None` if it has no corners.
    pub(super) fn new(piece: usize, outline: &[Point], angle: f64) -> Option<Self> {
        let turn = Placement::new(Vector::zeros(), angle);
        let points: Vec<Point> = outline.iter().map(|p| turn * p).collect();
        let bounds = Bounds::around(points.iter().copied())?;
        Some(Self { piece, angle, points, bounds })
    }

    /// Where it lies after a move.
    pub(super) fn placed(&self, at: Vector) -> Placed {
        Placed { piece: self.piece, placement: Placement::new(at, self.angle) }
    }

    /// The moves that keep its box inside a region; `None` if there are none. For a rectangular
    /// region this is its inner-fit polygon, exactly.
    pub(super) fn inner_fit(&self, region: Bounds) -> Option<Bounds> {
        let min = Point::from(region.min - self.bounds.min);
        let max = Point::from(region.max - self.bounds.max);
        // A piece as long as the sheet shall fit, whatever rounding does to the difference.
        let slack = COINCIDENT_MM / 2.0;
        let fits = max.x >= min.x - slack && max.y >= min.y - slack;
        fits.then(|| Bounds { min, max: max.sup(&min) })
    }
}

/// The area of a simple polygon, in mm^2 (the shoelace formula).
pub(super) fn area(points: &[Point]) -> f64 {
    let next = points.iter().cycle().skip(1);
    points.iter().zip(next).map(|(a, b)| cross(a.coords, b.coords)).sum::<f64>() / 2.0
}

/// What the sheet leaves to lay pieces on: a rectangle, what is kept free of it, and the spacing.
#[derive(Clone, Debug)]
pub(super) struct Field {
    pub usable: Bounds,
    pub keep_out: Vec<KeepOut>,
    /// In mm, never 0: pieces may not touch.
    pub spacing: f64,
}

impl Field {
    /// The sheet of a problem within its margin.
    pub(super) fn of(problem: &Problem) -> Option<Self> {
        let sheet: &SheetSize = problem.sheet();
        let spacing = problem.spacing_mm().max(KEPT_OFF_MM);
        Some(Self { usable: sheet.usable()?, keep_out: sheet.keep_out.clone(), spacing })
    }

    /// The field turned a quarter counter-clockwise, and the placement that brings what lies on it
    /// back.
    pub(super) fn quarter(&self) -> (Self, Placement) {
        let turn = Placement::new(Vector::zeros(), FRAC_PI_2);
        let keep_out = self.keep_out.iter().map(|k| quarter_turned(*k)).collect();
        let usable = quarter_turned(self.usable);
        (Self { usable, keep_out, spacing: self.spacing }, turn.inverse())
    }

    /// The largest part of the field that is free of everything kept out.
    pub(super) fn free_rectangle(&self) -> Option<Bounds> {
        free_rectangle(self.usable, &self.keep_out)
    }
}

fn quarter_turned(b: Bounds) -> Bounds {
    Bounds { min: Point::new(-b.max.y, b.min.x), max: Point::new(-b.min.y, b.max.x) }
}

/// The angles in radians that a piece may lie at, those between quarters left out.
pub(super) fn upright_angles(rotations: Rotations) -> &'static [f64] {
    match rotations {
        Rotations::Half => &[0.0, PI],
        Rotations::Quarter | Rotations::Any => &[0.0, PI, FRAC_PI_2, 3.0 * FRAC_PI_2],
    }
}
