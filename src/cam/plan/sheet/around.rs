//! What lies round a piece on its sheet: how far the others are, the sheet's edge, the clamps.

use super::{Sheet, Tooled};
use crate::cam::plan::clamps::FROM_CLAMP_MM;
use crate::cam::plan::program::Placed;
use crate::geometry::hanging::Anchor;
use crate::geometry::{Bounds, Point, Segment, distance_to_segment};
use crate::profile::Machine;

/// The boundaries of all pieces on a sheet.
pub(super) struct Around<'a> {
    sheet: &'a Sheet<'a>,
    pieces: Vec<Lain>,
    /// Where clamps stand.
    clamps: Vec<Bounds>,
}

struct Lain {
    bounds: Bounds,
    edges: Vec<(Bounds, Segment)>,
}

/// Whether there is room everywhere along a way, which `room` tells of a point in mm, less than
/// nothing where there is none.
///
/// From point to point: as far on as there is room round a point, nothing is in the way. Where
/// there is hardly any left, a step of `d` misses `d`^2/8r of a corner that something of radius `r`
/// passes; no more than `missed` mm is missed. Distances to sets of points never change faster
/// than the place they are taken from, which is all that this asks of `room`.
pub(super) fn has_room(
    way: &Segment,
    (radius, missed): (f64, f64),
    room: impl Fn(Point) -> f64,
) -> bool {
    let (length, least_step) = (way.length(), (8.0 * radius * missed).sqrt().min(radius));
    let mut along = 0.0;
    loop {
        let share = if length > 0.0 { along / length } else { 0.0 };
        let room = room(way.point_at(share));
        if room < 0.0 || along >= length {
            return room >= 0.0;
        }
        along = (along + room.max(least_step)).min(length);
    }
}

/// Closeness in mm below which a tool that just fits is taken to fit: far below what the proof
/// allows.
const FITS_MM: f64 = 1e-4;
/// What lies farther from a tool than this is not looked at, in mm.
const LOOK_MM: f64 = 10.0;

impl<'a> Around<'a> {
    pub(super) fn new(sheet: &'a Sheet<'a>, kinds: &[Tooled], pieces: &[Placed]) -> Self {
        let lain = |placed: &Placed| {
            let contour = kinds[placed.kind].piece.placed(&placed.placement);
            let edges =
                contour.edges().iter().map(|edge| (edge.segment.bounds(), edge.segment)).collect();
            Lain { bounds: contour.bounds(), edges }
        };
        let clamps = sheet.clamps.iter().map(|clamp| clamp.place).collect();
        Around { sheet, pieces: pieces.iter().map(lain).collect(), clamps }
    }

    /// The machine under the sheet.
    pub(super) fn machine(&self) -> &'a Machine {
        self.sheet.machine
    }

    /// How much farther than `reach` the boundaries of all pieces but those are from a point, in
    /// mm; `LOOK_MM` at most.
    pub(super) fn beyond(&self, p: Point, but: &[usize], reach: f64) -> f64 {
        let most = reach + LOOK_MM;
        let others = self.pieces.iter().enumerate().filter(|(i, _)| !but.contains(i));
        let near = others.filter(|(_, lain)| lain.bounds.distance(p) < most);
        near.map(|(_, lain)| lain.distance(p, most)).fold(most, f64::min) - reach
    }

    /// The sheet, in mm.
    pub(super) fn plate(&self) -> Bounds {
        let stock = self.sheet.stock;
        Bounds { min: Point::origin(), max: Point::new(stock.length.as_mm(), stock.width.as_mm()) }
    }

    /// What holds the sheet: its clamps, else its rim.
    pub(super) fn anchor(&self) -> Anchor<'_> {
        match &self.clamps[..] {
            [] => Anchor::Edge,
            clamps => Anchor::Under(clamps),
        }
    }

    /// The piece whose boundary is nearest to a point, `piece` left out, within `most`.
    pub(super) fn nearest(&self, p: Point, piece: usize, most: f64) -> Option<usize> {
        let near = |(i, lain): (usize, &Lain)| {
            let distance = if i != piece && lain.bounds.distance(p) < most {
                lain.distance(p, most)
            } else {
                most
            };
            (distance < most).then_some((i, distance))
        };
        let all = self.pieces.iter().enumerate().filter_map(near);
        all.min_by(|a, b| a.1.total_cmp(&b.1)).map(|(i, _)| i)
    }

    /// From a point to the sheet's nearest edge, in mm; negative outside.
    pub(super) fn to_edge(&self, p: Point) -> f64 {
        let (length, width) = (self.sheet.stock.length.as_mm(), self.sheet.stock.width.as_mm());
        p.x.min(p.y).min(length - p.x).min(width - p.y)
    }

    /// From a point to the nearest clamp and what holds it, in mm.
    pub(super) fn to_clamp(&self, p: Point) -> f64 {
        self.sheet
            .clamps
            .iter()
            .map(|clamp| clamp.standing(&self.sheet.stock).distance(p))
            .fold(f64::INFINITY, f64::min)
    }

    /// How far a tool of a radius about `p` is from what it must not cut (a piece, the sheet's
    /// margin, a clamp), in mm:
    /// negative where it cuts it, `LOOK_MM` at most.
    pub(super) fn room(&self, p: Point, radius: f64) -> f64 {
        let reach = radius - FITS_MM;
        let margin = self.to_edge(p) - self.sheet.material.margin.as_mm();
        let others = margin.min(self.to_clamp(p) - FROM_CLAMP_MM) - reach;
        self.beyond(p, &[], reach).min(others)
    }
}

impl Lain {
    fn distance(&self, p: Point, most: f64) -> f64 {
        let near = self.edges.iter().filter(|(bounds, _)| bounds.distance(p) < most);
        near.map(|(_, edge)| distance_to_segment(p, edge)).fold(most, f64::min)
    }
}
