//! A pocket: a part of the inner face that is routed down to one depth.

use std::fmt;

use crate::geometry::{Contour, Placement, Point, Vector};
use crate::units::Length;

/// What a side of a pocket is for. Treads and risers count from 1 at the foot.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PocketRole {
    /// The level side over tread `k`: it lies at the tread's finished top.
    TreadTop(usize),
    /// The side under tread `k`, sloping where a wedge goes in.
    TreadUnderside(usize),
    /// The plumb side before the nosing of tread `k`.
    Nosing(usize),
    /// The plumb side before riser `k`.
    RiserFace(usize),
    /// The side behind riser `k`, leaning where a wedge goes in.
    RiserBack(usize),
    /// The plumb side behind tread `k`.
    TreadEnd(usize),
    /// The level side under riser `k`.
    RiserFoot(usize),
}

impl PocketRole {
    /// Whether it runs rather up and down than level.
    pub fn is_upright(self) -> bool {
        matches!(
            self,
            Self::Nosing(_) | Self::RiserFace(_) | Self::RiserBack(_) | Self::TreadEnd(_)
        )
    }
}

impl fmt::Display for PocketRole {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TreadTop(k) => write!(f, "top of tread pocket {k}"),
            Self::TreadUnderside(k) => write!(f, "underside of tread pocket {k}"),
            Self::Nosing(k) => write!(f, "nosing of tread pocket {k}"),
            Self::RiserFace(k) => write!(f, "face of riser pocket {k}"),
            Self::RiserBack(k) => write!(f, "back of riser pocket {k}"),
            Self::TreadEnd(k) => write!(f, "end of tread pocket {k}"),
            Self::RiserFoot(k) => write!(f, "foot of riser pocket {k}"),
        }
    }
}

/// One pocket: its sides, square to the face, and how deep it is.
#[derive(Clone, Debug)]
pub struct Pocket {
    /// Its sides, counter-clockwise, corners sharp: the pocket lies to the left.
    pub contour: Contour<PocketRole>,
    /// Convex pieces that together are the pocket, overlapping where it turns.
    pub cells: Vec<Cell>,
    /// Its depth below the face.
    pub depth: Length,
}

/// A convex piece of a pocket.
#[derive(Clone, Debug)]
pub struct Cell {
    /// What it is called.
    pub name: String,
    /// Its corners, counter-clockwise.
    pub corners: Vec<Point>,
    /// The unit direction along it.
    pub along: Vector,
}

impl Pocket {
    /// The pocket turned and moved.
    pub fn placed(&self, placement: &Placement) -> Self {
        let cell = |cell: &Cell| Cell {
            name: cell.name.clone(),
            corners: cell.corners.iter().map(|p| placement * p).collect(),
            along: placement.rotation * cell.along,
        };
        Self {
            contour: self.contour.placed(placement),
            cells: self.cells.iter().map(cell).collect(),
            depth: self.depth,
        }
    }
}
