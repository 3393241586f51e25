//! The pieces at the angles they may lie at, and which places they leave to each other: what the
//! searches work with.

use super::convex::doubled_area;
use super::no_fit_polygon::NoFitPolygon;
use super::problem::{Piece, Placed, Rotations, SheetSize};
use crate::geometry::{Bounds, Placement, Point, Vector, tolerance::COINCIDENT_MM};
use std::f64::consts::{FRAC_PI_2, PI};

/// What is left between a piece and what is kept free, in mm: more than any search forgives.
const CLEAR_MM: f64 = 1e-4;

/// One kind of piece at one angle.
#[derive(Clone, Debug)]
pub(super) struct Orientation {
    /// Which kind.
    pub kind: usize,
    /// In radians.
    pub angle: f64,
    /// Its corners, turned about the origin of its frame.
    pub outline: Vec<Point>,
    /// The translations that keep it inside the sheet's margin: its inner-fit polygon, which is a
    /// rectangle on a rectangular sheet.
    pub inner_fit: Bounds,
    /// In mm^2.
    pub area: f64,
    kept_out: Vec<NoFitPolygon>,
}

impl Orientation {
    /// `None` where the sheet is too small for it, or it has no area.
    pub(super) fn of(kind: usize, piece: &Piece, angle: f64, sheet: &SheetSize) -> Option<Self> {
        let outline = rotated(piece, angle);
        let inner_fit = inner_fit(&outline, sheet)?;
        let area = doubled_area(&outline).abs() / 2.0;
        let no_fit = |k: &Bounds| NoFitPolygon::of(&corners(*k), &outline, CLEAR_MM);
        let kept_out = sheet.keep_out.iter().map(no_fit).collect();
        let orientation = Self { kind, angle, outline, inner_fit, area, kept_out };
        (area > COINCIDENT_MM).then_some(orientation)
    }

    /// What keeps it out of the sheet's kept-out rectangles.
    pub(super) fn kept_out(&self) -> &[NoFitPolygon] {
        &self.kept_out
    }

    /// Where it lies, moved by `at`.
    pub(super) fn placed(&self, at: Vector) -> Placed {
        Placed { piece: self.kind, placement: Placement::new(at, self.angle) }
    }
}

/// An orientation moved to a place.
#[derive(Clone, Copy, Debug)]
pub(super) struct Position {
    /// Its index in the table.
    pub orientation: usize,
    /// In mm.
    pub at: Vector,
}

/// All orientations of a problem and the no-fit polygon of each two: O(o^2) polygons for o
/// orientations, made once, asked millions of times.
#[derive(Clone, Debug)]
pub(super) struct Orientations {
    all: Vec<Orientation>,
    pairs: Vec<NoFitPolygon>,
}

impl Orientations {
    /// The pieces at the given angles, a spacing in mm apart.
    pub(super) fn new(all: Vec<Orientation>, spacing: f64) -> Self {
        let mut pairs = Vec::with_capacity(all.len() * all.len());
        for a in &all {
            pairs.extend(all.iter().map(|b| NoFitPolygon::of(&a.outline, &b.outline, spacing)));
        }
        Self { all, pairs }
    }

    /// Each orientation once.
    pub(super) fn all(&self) -> &[Orientation] {
        &self.all
    }

    /// The translations of `moving` that bring it too near to `fixed`, lying at its frame's origin.
    pub(super) fn pair(&self, fixed: usize, moving: usize) -> &NoFitPolygon {
        &self.pairs[fixed * self.all.len() + moving]
    }
}

/// Whether a piece fits inside the sheet's margin at an angle in radians.
pub(super) fn fits(piece: &Piece, angle: f64, sheet: &SheetSize) -> bool {
    inner_fit(&rotated(piece, angle), sheet).is_some()
}

/// The angles in radians that a problem allows, those between quarters left out.
pub(super) fn square_angles(rotations: Rotations) -> Vec<f64> {
    match rotations {
        Rotations::Half => vec![0.0, PI],
        Rotations::Quarter | Rotations::Any => vec![0.0, PI, FRAC_PI_2, -FRAC_PI_2],
    }
}

/// The corners of a rectangle, counter-clockwise.
pub(super) fn corners(b: Bounds) -> [Point; 4] {
    [b.min, Point::new(b.max.x, b.min.y), b.max, Point::new(b.min.x, b.max.y)]
}

fn rotated(piece: &Piece, angle: f64) -> Vec<Point> {
    let turn = Placement::new(Vector::zeros(), angle);
    piece.outline.iter().map(|p| turn * p).collect()
}

fn inner_fit(outline: &[Point], sheet: &SheetSize) -> Option<Bounds> {
    let around = Bounds::around(outline.iter().copied())?;
    let margin = sheet.margin;
    let min = Point::new(margin - around.min.x, margin - around.min.y);
    let max_x = sheet.length - margin - around.max.x;
    let max = Point::new(max_x, sheet.width - margin - around.max.y);
    let fits = max.x - min.x >= -COINCIDENT_MM && max.y - min.y >= -COINCIDENT_MM;
    fits.then_some(Bounds { min, max: max.sup(&min) })
}
