//! A piece turned to one angle, and the field it is laid on.

use super::problem::{KeepOut, Lying, SheetSize, Turns};
use crate::geometry::{Bounds, Placement, Point, Vector, cross, tolerance::COINCIDENT_MM};
use std::f64::consts::{FRAC_PI_2, PI};

/// A piece's corners turned about its own origin, not yet moved.
#[derive(Clone, Debug)]
pub(super) struct Shape {
    pub piece: usize,
    pub angle: f64,
    pub points: Vec<Point>,
    pub bounds: Bounds,
}

impl Shape {
    /// The piece of this number at this angle; `None` if it has no corners.
    pub fn new(piece: usize, outline: &[Point], angle: f64) -> Option<Shape> {
        let turn = Placement::new(Vector::zeros(), angle);
        let points: Vec<Point> = outline.iter().map(|p| turn * p).collect();
        let bounds = Bounds::around(points.iter().copied())?;
        Some(Shape { piece, angle, points, bounds })
    }

    /// Where it lies after a move.
    pub fn lying(&self, at: Vector) -> Lying {
        Lying { piece: self.piece, placement: Placement::new(at, self.angle) }
    }

    /// The moves that keep its box inside a region; `None` if there are none.
    pub fn room(&self, region: Bounds) -> Option<Bounds> {
        let min = Point::from(region.min - self.bounds.min);
        let max = Point::from(region.max - self.bounds.max);
        let fits = max.x >= min.x - COINCIDENT_MM / 2.0 && max.y >= min.y - COINCIDENT_MM / 2.0;
        fits.then(|| Bounds { min, max: max.sup(&min) })
    }
}

/// The area of a simple polygon, in mm^2.
pub(super) fn area(points: &[Point]) -> f64 {
    let next = points.iter().cycle().skip(1);
    points.iter().zip(next).map(|(a, b)| cross(a.coords, b.coords)).sum::<f64>() / 2.0
}

/// What the sheet leaves to lay pieces on: a rectangle, what is kept free of it, and the spacing.
#[derive(Clone, Debug)]
pub(super) struct Field {
    pub usable: Bounds,
    pub keep_out: Vec<KeepOut>,
    pub spacing: f64,
}

impl Field {
    /// The sheet within its margin; `None` if the margin eats it.
    pub fn of(sheet: &SheetSize, spacing: f64) -> Option<Field> {
        let min = Point::new(sheet.margin, sheet.margin);
        let max = Point::new(sheet.length - sheet.margin, sheet.width - sheet.margin);
        let some = max.x > min.x && max.y > min.y;
        some.then(|| Field { usable: Bounds { min, max }, keep_out: sheet.keep_out.clone(), spacing })
    }

    /// The field turned a quarter counter-clockwise, and the placement that brings what lies on it back.
    pub fn quarter(&self) -> (Field, Placement) {
        let turn = Placement::new(Vector::zeros(), FRAC_PI_2);
        let box_of = |b: &Bounds| Bounds { min: Point::new(-b.max.y, b.min.x), max: Point::new(-b.min.y, b.max.x) };
        let keep_out = self.keep_out.iter().map(box_of).collect();
        (Field { usable: box_of(&self.usable), keep_out, spacing: self.spacing }, turn.inverse())
    }

    /// The largest part of the field that is free of everything kept out.
    pub fn free_rectangle(&self) -> Option<Bounds> {
        if self.keep_out.is_empty() {
            return Some(self.usable);
        }
        let cuts = |low: f64, high: f64, ends: &dyn Fn(&KeepOut) -> (f64, f64)| {
            let lows = self.keep_out.iter().map(|k| ends(k).1 + KEPT_OFF_MM).chain([low]).filter(|v| *v >= low);
            let highs = self.keep_out.iter().map(|k| ends(k).0 - KEPT_OFF_MM).chain([high]).filter(|v| *v <= high);
            (lows.collect::<Vec<_>>(), highs.collect::<Vec<_>>())
        };
        let (lefts, rights) = cuts(self.usable.min.x, self.usable.max.x, &|k| (k.min.x, k.max.x));
        let (lows, tops) = cuts(self.usable.min.y, self.usable.max.y, &|k| (k.min.y, k.max.y));
        let mut best: Option<Bounds> = None;
        for (&x0, &x1) in lefts.iter().flat_map(|a| rights.iter().map(move |b| (a, b))).filter(|(a, b)| b > a) {
            for (&y0, &y1) in lows.iter().flat_map(|a| tops.iter().map(move |b| (a, b))).filter(|(a, b)| b > a) {
                let here = Bounds { min: Point::new(x0, y0), max: Point::new(x1, y1) };
                let free = !self.keep_out.iter().any(|k| k.touches(here));
                if free && best.is_none_or(|b| here.width() * here.height() > b.width() * b.height()) {
                    best = Some(here);
                }
            }
        }
        best
    }
}

/// Constructions stay this far off what is kept out: touching is not allowed.
pub(super) const KEPT_OFF_MM: f64 = 1e-6;

/// The angles other than tilted ones that a piece may lie at.
pub(super) fn upright_angles(turns: Turns) -> &'static [f64] {
    match turns {
        Turns::Half => &[0.0, PI],
        Turns::Quarter | Turns::Any => &[0.0, PI, FRAC_PI_2, 3.0 * FRAC_PI_2],
    }
}
