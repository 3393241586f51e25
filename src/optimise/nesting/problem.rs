//! What is to be laid on sheets, and what comes of it.

use crate::geometry::{Bounds, Placement, Point};

/// How many copies are asked for.
pub type Count = usize;

/// One kind of piece: a simple polygon.
#[derive(Clone, Debug)]
pub struct Piece {
    /// Its corners counter-clockwise, in mm, in its own frame.
    pub outline: Vec<Point>,
    /// How many are wanted.
    pub count: Count,
    /// Which turns it may lie at.
    pub turns: Turns,
}

/// Which turns a piece may lie at, against its own frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turns {
    /// None and half round: the grain runs along X of piece and sheet.
    Half,
    /// Quarters.
    Quarter,
    /// Any angle.
    Any,
}

/// A sheet with its lower left corner at 0,0. Pieces stay inside its margin and out of what is kept free.
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

/// A rectangle on the sheet that no piece may touch: where a clamp sits. The spacing is not added to it.
pub type KeepOut = Bounds;

/// How hard to search; the same effort and seed give the same layout.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Effort {
    /// 0: constructions only; each step more searches longer.
    pub level: u32,
    /// Where the search starts.
    pub seed: u64,
}

/// One piece on one sheet.
#[derive(Clone, Copy, Debug)]
pub struct Lying {
    /// Which kind of piece.
    pub piece: usize,
    /// From the piece's frame to the sheet.
    pub placement: Placement,
}
