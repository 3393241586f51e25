//! What is to be laid on sheets, and where one piece of it lies.

use crate::geometry::{Bounds, Contour, Placement, Point};

/// One kind of piece: a simple polygon.
#[derive(Clone, Debug)]
pub struct Piece {
    /// Its corners counter-clockwise, in mm, in its own frame.
    pub outline: Vec<Point>,
    /// How many copies are wanted.
    pub count: usize,
    /// Which angles it may lie at.
    pub rotations: Rotations,
}

impl Piece {
    /// The area of its outline, in square millimetres.
    pub fn area(&self) -> f64 {
        super::field::area(&self.outline)
    }
}

/// Which angles a piece may lie at, against its own frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rotations {
    /// None and half round: the grain runs along X of piece and sheet.
    Half,
    /// Quarters.
    Quarter,
    /// Any angle.
    Any,
}

/// A sheet with its lower left corner at 0,0. Pieces stay inside its margin and out of what is kept
/// free.
#[derive(Clone, Debug)]
pub struct SheetSize {
    /// Extent along X, in mm.
    pub length: f64,
    /// Extent along Y, in mm.
    pub width: f64,
    /// What stays between a piece and the sheet's edge, in mm.
    pub margin: f64,
    /// What no piece may touch.
    pub keep_out: Vec<KeepOut>,
}

/// A rectangle on the sheet, in mm, that no piece may touch: where a clamp sits. The spacing is not
/// added to it.
pub type KeepOut = Bounds;

/// One piece on one sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placed {
    /// Which kind of piece.
    pub piece: usize,
    /// From the piece's frame to the sheet.
    pub placement: Placement,
}

/// Why pieces cannot be laid. Kinds of piece are told by their index.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NestingError {
    /// The sheet, its margin or the spacing is negative or no number, or the margin leaves nothing
    /// of the sheet.
    #[error("the sheet, its margin or the spacing is no length, or the margin leaves no sheet")]
    NoSheet,
    /// What is kept out covers the sheet.
    #[error("what is kept free covers the sheet")]
    Covered,
    /// The outline of this piece is no simple polygon running counter-clockwise.
    #[error("piece {0} is no simple polygon running counter-clockwise")]
    NoPolygon(usize),
    /// This piece was found no place on an empty sheet.
    #[error("piece {0} was found no place on an empty sheet")]
    TooLarge(usize),
}

/// Pieces to be laid on equal sheets, a spacing apart.
///
/// Every piece of which some are wanted is a simple polygon that runs counter-clockwise; sheet,
/// margin and spacing are lengths, and neither the margin nor what is kept out leaves nothing.
#[derive(Clone, Debug)]
pub struct Problem {
    pieces: Vec<Piece>,
    sheet: SheetSize,
    spacing_mm: f64,
}

impl Problem {
    /// Pieces that keep `spacing_mm` from each other on sheets of one size.
    ///
    /// # Errors
    /// If the sheet or an outline is none, or what is kept out covers the sheet.
    pub fn new(
        pieces: Vec<Piece>,
        sheet: SheetSize,
        spacing_mm: f64,
    ) -> Result<Self, NestingError> {
        let lengths = [sheet.length, sheet.width, sheet.margin, spacing_mm];
        if lengths.iter().any(|l| !l.is_finite() || *l < 0.0) {
            return Err(NestingError::NoSheet);
        }
        let usable = sheet.usable().ok_or(NestingError::NoSheet)?;
        if free_rectangle(usable, &sheet.keep_out).is_none() {
            return Err(NestingError::Covered);
        }
        let is_bad = |piece: &Piece| piece.count > 0 && !is_polygon(&piece.outline);
        match pieces.iter().position(is_bad) {
            Some(bad) => Err(NestingError::NoPolygon(bad)),
            None => Ok(Self { pieces, sheet, spacing_mm }),
        }
    }

    /// The kinds of piece.
    pub fn pieces(&self) -> &[Piece] {
        &self.pieces
    }

    /// The sheet.
    pub fn sheet(&self) -> &SheetSize {
        &self.sheet
    }

    /// What two pieces keep from each other, in mm.
    pub fn spacing_mm(&self) -> f64 {
        self.spacing_mm
    }

    /// How many of each kind are wanted.
    pub(super) fn counts(&self) -> Vec<usize> {
        self.pieces.iter().map(|p| p.count).collect()
    }

    /// The kinds of which some are wanted.
    pub(super) fn wanted(&self) -> impl Iterator<Item = (usize, &Piece)> {
        self.pieces.iter().enumerate().filter(|(_, p)| p.count > 0)
    }

    /// The same with other counts; a kind that none were wanted of stays at none, for its outline
    /// was not looked at.
    pub(super) fn with_counts(&self, counts: &[usize]) -> Self {
        let mut problem = self.clone();
        for (piece, &count) in problem.pieces.iter_mut().zip(counts) {
            piece.count = if piece.count > 0 { count } else { 0 };
        }
        problem
    }

    /// The same with each piece's bounding box in its place, at quarters at the most: a tilted box
    /// of a piece is not the box of the tilted piece.
    pub(super) fn boxed(&self) -> Self {
        let mut problem = self.clone();
        for piece in &mut problem.pieces {
            if let Some(Bounds { min, max }) = Bounds::around(piece.outline.iter().copied()) {
                piece.outline = vec![min, Point::new(max.x, min.y), max, Point::new(min.x, max.y)];
            }
            if piece.rotations == Rotations::Any {
                piece.rotations = Rotations::Quarter;
            }
        }
        problem
    }

    /// The corners of a piece where it lies.
    pub(super) fn corners(&self, placed: &Placed) -> Vec<Point> {
        self.pieces[placed.piece].outline.iter().map(|p| placed.placement * p).collect()
    }
}

impl SheetSize {
    /// The sheet within its margin; `None` if the margin eats it.
    pub(super) fn usable(&self) -> Option<Bounds> {
        let min = Point::new(self.margin, self.margin);
        let max = Point::new(self.length - self.margin, self.width - self.margin);
        (max.x > min.x && max.y > min.y).then_some(Bounds { min, max })
    }
}

fn is_polygon(outline: &[Point]) -> bool {
    let vertices: Vec<(Point, ())> = outline.iter().map(|p| (*p, ())).collect();
    Contour::polygon(&vertices).is_ok_and(|c| c.is_simple_polygon())
}

/// Constructions stay this far off what is kept out, in mm: touching is not allowed.
pub(super) const KEPT_OFF_MM: f64 = 1e-6;

/// The largest rectangle inside another that is free of everything kept out.
///
/// A largest one cannot grow, so each of its sides lies on a side of `usable` or beside a kept-out
/// one. All combinations of those are tried: O(k^5) for k rectangles, few clamps that they are.
pub(super) fn free_rectangle(usable: Bounds, keep_out: &[KeepOut]) -> Option<Bounds> {
    if keep_out.is_empty() {
        return Some(usable);
    }
    let along_x: Vec<(f64, f64)> = keep_out.iter().map(|k| (k.min.x, k.max.x)).collect();
    let along_y: Vec<(f64, f64)> = keep_out.iter().map(|k| (k.min.y, k.max.y)).collect();
    let columns = stretches(usable.min.x, usable.max.x, &along_x);
    let rows = stretches(usable.min.y, usable.max.y, &along_y);
    let mut best: Option<Bounds> = None;
    for &(x0, x1) in &columns {
        for &(y0, y1) in &rows {
            let here = Bounds { min: Point::new(x0, y0), max: Point::new(x1, y1) };
            let is_free = !keep_out.iter().any(|k| k.touches(here));
            if is_free && best.is_none_or(|b| box_area(here) > box_area(b)) {
                best = Some(here);
            }
        }
    }
    best
}

/// Every stretch from the low end or behind a kept-out one to the high end or before a kept-out
/// one.
fn stretches(low: f64, high: f64, kept_out: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let behind = kept_out.iter().map(|k| k.1 + KEPT_OFF_MM).chain([low]).filter(|v| *v >= low);
    let before = kept_out.iter().map(|k| k.0 - KEPT_OFF_MM).chain([high]).filter(|v| *v <= high);
    let (starts, ends): (Vec<f64>, Vec<f64>) = (behind.collect(), before.collect());
    let pairs = starts.iter().flat_map(|a| ends.iter().map(move |b| (*a, *b)));
    pairs.filter(|(a, b)| b > a).collect()
}

/// The area of a box, in mm^2.
pub(super) fn box_area(bounds: Bounds) -> f64 {
    bounds.width() * bounds.height()
}
