//! Filling up: pieces put one by one as near to the left as they go, touching what lies there already.

use super::layout_check::corners_of;
use super::problem::{Lying, Piece};
use super::field::{Field, KEPT_OFF_MM, Shape, area, upright_angles};
use super::no_fit_slice::Slicer;
use crate::geometry::{Bounds, Vector, tolerance::COINCIDENT_MM};
use std::collections::BTreeMap;

/// A field being filled.
pub(super) struct Filler<'a> {
    field: &'a Field,
    pieces: &'a [Piece],
    shapes: Vec<Shape>,
    spacings: Vec<f64>,
    pairs: BTreeMap<(usize, usize), Meeting>,
    placed: Vec<(usize, Vector)>,
    slices: usize,
    whims: Option<oorandom::Rand64>,
    chooses: Chooses,
}

/// What whims decide on.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Chooses {
    Turns,
    TurnsAndPlaces,
}

/// How one shape meets another.
struct Meeting {
    slicer: Slicer,
    heights: (f64, f64),
    seats: Vec<f64>,
}

impl<'a> Filler<'a> {
    /// A field with some pieces on it already; at most so many slices of no-fit regions are looked at.
    pub fn new(pieces: &'a [Piece], field: &'a Field, lying: &[Lying], slices: usize) -> Filler<'a> {
        let (shapes, spacings, placed) = (Vec::new(), Vec::new(), Vec::new());
        let mut filler = Filler {
            field,
            pieces,
            shapes,
            spacings,
            pairs: BTreeMap::new(),
            placed,
            slices,
            whims: None,
            chooses: Chooses::Turns,
        };
        for kept in &field.keep_out {
            if let Some(shape) = Shape::new(usize::MAX, &corners_of(*kept), 0.0) {
                filler.shapes.push(shape);
                filler.spacings.push(KEPT_OFF_MM);
                filler.placed.push((filler.shapes.len() - 1, Vector::zeros()));
            }
        }
        for one in lying {
            if let Some(shape) = filler.shape(one.piece, one.placement.rotation.angle()) {
                filler.placed.push((shape, one.placement.translation.vector));
            }
        }
        filler
    }

    /// Whether no more may be looked at.
    pub fn is_spent(&self) -> bool {
        self.slices == 0
    }

    /// An empty field again, to be filled by other choices: among turns, with an odd seed among places too.
    pub fn empty_again(&mut self, seed: u64) {
        self.placed.truncate(self.field.keep_out.len());
        self.chooses = if seed % 2 == 1 { Chooses::TurnsAndPlaces } else { Chooses::Turns };
        self.whims = Some(oorandom::Rand64::new(u128::from(seed)));
    }

    /// What a place is taken to be further right than it is, so that another turn may be chosen: up to half the piece.
    fn whim(&mut self, shape: usize) -> f64 {
        let half = self.shapes[shape].bounds.width() / 2.0;
        self.whims.as_mut().map_or(0.0, |w| half * w.rand_float())
    }

    /// The number of the shape of this piece at this angle.
    fn shape(&mut self, piece: usize, angle: f64) -> Option<usize> {
        let same = |s: &Shape| s.piece == piece && (s.angle - angle).abs() < COINCIDENT_MM;
        if let Some(known) = self.shapes.iter().position(same) {
            return Some(known);
        }
        self.shapes.push(Shape::new(piece, &self.pieces.get(piece)?.outline, angle)?);
        self.spacings.push(self.field.spacing);
        Some(self.shapes.len() - 1)
    }

    /// Adds pieces, the largest kind first, no more of each than `left` says, turned by `turn` against their own
    /// angles, until none fits or enough was looked at; what was added, in order.
    pub fn fill(&mut self, left: &[usize], turn: f64) -> Vec<Lying> {
        let mut kinds: Vec<usize> = (0..self.pieces.len()).filter(|k| left.get(*k).is_some_and(|n| *n > 0)).collect();
        kinds.sort_by(|a, b| area(&self.pieces[*b].outline).total_cmp(&area(&self.pieces[*a].outline)));
        let mut added = Vec::new();
        for kind in kinds {
            let angles = upright_angles(self.pieces[kind].turns).iter().map(|a| a + turn);
            let shapes: Vec<usize> = angles.filter_map(|a| self.shape(kind, a)).collect();
            for _ in 0..left[kind] {
                let places: Vec<_> = shapes.iter().filter_map(|s| Some((*s, self.leftmost(*s)?))).collect();
                let edge = |s: usize, at: Vector| at.x + self.shapes[s].bounds.max.x;
                let edges: Vec<f64> = places.iter().map(|(s, at)| edge(*s, *at)).collect();
                let ranked = edges.into_iter().zip(places).map(|(edge, place)| (edge + self.whim(place.0), place));
                let Some((_, best)) = ranked.min_by(|a, b| a.0.total_cmp(&b.0)) else { break };
                self.placed.push(best);
                added.push(self.shapes[best.0].lying(best.1));
            }
        }
        added
    }

    /// The place of a shape furthest left among the heights where it touches something.
    fn leftmost(&mut self, shape: usize) -> Option<Vector> {
        let room = self.shapes[shape].room(self.field.usable)?;
        for i in 0..self.placed.len() {
            self.meet(self.placed[i].0, shape);
        }
        let mut heights = vec![room.min.y, room.max.y];
        for (other, at) in &self.placed {
            heights.extend(self.pairs[&(*other, shape)].seats.iter().map(|y| y + at.y));
        }
        heights.retain(|y| (room.min.y..=room.max.y).contains(y));
        heights.sort_by(f64::total_cmp);
        heights.dedup_by(|a, b| *a - *b < COINCIDENT_MM);
        let mut best: Option<(f64, Vector)> = None;
        for y in heights {
            let limit = best.map_or(room.max.x, |b| b.0.min(room.max.x));
            let Some(x) = self.first_free(shape, y, room, limit) else { continue };
            let rank = x + if self.chooses == Chooses::Turns { 0.0 } else { self.whim(shape) };
            if best.is_none_or(|b| rank < b.0 - COINCIDENT_MM) {
                best = Some((rank, Vector::new(x, y)));
            }
        }
        best.map(|b| b.1)
    }

    /// The first x at a height, not above `limit`, where a shape is clear of everything.
    fn first_free(&mut self, shape: usize, y: f64, room: Bounds, limit: f64) -> Option<f64> {
        let mut taken: Vec<(f64, f64)> = Vec::new();
        for (other, at) in &self.placed {
            let meeting = &self.pairs[&(*other, shape)];
            let up = y - at.y;
            if meeting.heights.0 < up && up < meeting.heights.1 {
                self.slices = self.slices.checked_sub(1)?;
                taken.extend(meeting.slicer.forbidden(up).iter().map(|i| (i.0 + at.x, i.1 + at.x)));
            }
        }
        taken.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut x = room.min.x;
        for (low, high) in taken {
            if low < x && x < high {
                x = high;
            } else if low >= x {
                break;
            }
        }
        (x <= limit).then_some(x)
    }

    /// Makes sure that the meeting of two shapes is known.
    fn meet(&mut self, fixed: usize, moved: usize) {
        if self.pairs.contains_key(&(fixed, moved)) {
            return;
        }
        // A hair less than the spacing, so that what touches at the spacing is not taken to be in the way.
        let spacing = (self.spacings[fixed] - COINCIDENT_MM / 2.0).max(COINCIDENT_MM / 4.0);
        let (a, b) = (&self.shapes[fixed].points, &self.shapes[moved].points);
        let slicer = Slicer::new(a, b, spacing);
        let spacing = self.spacings[fixed];
        let mut seats: Vec<f64> = Slicer::new(a, b, spacing).seats().iter().map(|s| s.0).collect();
        seats.extend(Slicer::new(b, a, spacing).seats().iter().map(|s| -s.0));
        seats.extend(Slicer::across(a, b, spacing).seats().iter().map(|s| s.1));
        seats.extend(Slicer::across(b, a, spacing).seats().iter().map(|s| -s.1));
        seats.sort_by(f64::total_cmp);
        seats.dedup_by(|a, b| *a - *b < 1e-6);
        self.pairs.insert((fixed, moved), Meeting { heights: slicer.heights(), slicer, seats });
    }
}
