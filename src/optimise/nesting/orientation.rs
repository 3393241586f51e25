//! The pieces at the turns they may lie at, and which places they leave to each other.

use std::f64::consts::{FRAC_PI_2, PI};

use super::convex::doubled_area;
use super::no_fit_polygon::NoFit;
use super::problem::{Lying, Piece, SheetSize, Turns};
use crate::geometry::{Bounds, Placement, Point, Vector, tolerance::COINCIDENT_MM};

/// What is left between a piece and what is kept free, in mm: more than any search forgives.
const CLEAR_MM: f64 = 1e-4;

/// One kind of piece at one turn.
#[derive(Clone, Debug)]
pub(super) struct Posture {
    /// Which kind.
    pub kind: usize,
    /// In radians.
    pub turn: f64,
    /// Its corners, turned about the origin of its frame.
    pub outline: Vec<Point>,
    /// The translations that keep it inside the sheet's margin.
    pub room: Bounds,
    /// In mm^2.
    pub area: f64,
    kept_out: Vec<NoFit>,
}

impl Posture {
    /// `None` where the sheet is too small for it, or it has no area.
    pub fn of(kind: usize, piece: &Piece, turn: f64, sheet: &SheetSize) -> Option<Posture> {
        let turned = Placement::new(Vector::zeros(), turn);
        let outline: Vec<Point> = piece.outline.iter().map(|p| turned * p).collect();
        let room = room(&outline, sheet)?;
        let area = doubled_area(&outline).abs() / 2.0;
        let kept_out = sheet.keep_out.iter().map(|k| NoFit::of(&corners(*k), &outline, CLEAR_MM)).collect();
        (area > COINCIDENT_MM).then_some(Posture { kind, turn, outline, room, area, kept_out })
    }

    /// What keeps it out of the sheet's kept-out rectangles.
    pub fn kept_out(&self) -> &[NoFit] {
        &self.kept_out
    }

    /// Where it lies, moved by `at`.
    pub fn lying(&self, at: Vector) -> Lying {
        Lying { piece: self.kind, placement: Placement::new(at, self.turn) }
    }
}

/// A posture moved to a place.
#[derive(Clone, Copy, Debug)]
pub(super) struct Spot {
    /// Its index in the table.
    pub posture: usize,
    /// In mm.
    pub at: Vector,
}

/// All postures of an order and the no-fit polygon of each two.
#[derive(Clone, Debug)]
pub(super) struct Postures {
    all: Vec<Posture>,
    pairs: Vec<NoFit>,
}

impl Postures {
    /// The pieces at the given turns, a spacing in mm apart.
    pub fn new(all: Vec<Posture>, spacing: f64) -> Postures {
        let pairs =
            all.iter().flat_map(|a| all.iter().map(move |b| NoFit::of(&a.outline, &b.outline, spacing))).collect();
        Postures { all, pairs }
    }

    /// Each posture once.
    pub fn all(&self) -> &[Posture] {
        &self.all
    }

    /// The translations of `moving` that bring it too near to `fixed`, lying at its frame's origin.
    pub fn pair(&self, fixed: usize, moving: usize) -> &NoFit {
        &self.pairs[fixed * self.all.len() + moving]
    }
}

/// Whether a piece fits inside the sheet's margin at a turn.
pub(super) fn fits(piece: &Piece, turn: f64, sheet: &SheetSize) -> bool {
    let turned = Placement::new(Vector::zeros(), turn);
    let outline: Vec<Point> = piece.outline.iter().map(|p| turned * p).collect();
    room(&outline, sheet).is_some()
}

/// The turns in radians that an order allows, without a tilt.
pub(super) fn square_turns(turns: Turns) -> Vec<f64> {
    match turns {
        Turns::Half => vec![0.0, PI],
        Turns::Quarter | Turns::Any => vec![0.0, PI, FRAC_PI_2, -FRAC_PI_2],
    }
}

/// The corners of a rectangle, counter-clockwise.
pub(super) fn corners(b: Bounds) -> [Point; 4] {
    [b.min, Point::new(b.max.x, b.min.y), b.max, Point::new(b.min.x, b.max.y)]
}

fn room(outline: &[Point], sheet: &SheetSize) -> Option<Bounds> {
    let around = Bounds::around(outline.iter().copied())?;
    let margin = sheet.margin;
    let min = Point::new(margin - around.min.x, margin - around.min.y);
    let max = Point::new(sheet.length - margin - around.max.x, sheet.width - margin - around.max.y);
    let fits = max.x - min.x >= -COINCIDENT_MM && max.y - min.y >= -COINCIDENT_MM;
    fits.then_some(Bounds { min, max: max.sup(&min) })
}
