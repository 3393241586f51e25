//! Left fill: pieces put one by one as near to the left as they go, touching what lies there
//! already.
//!
//! Bottom-left fill (B. S. Baker, E. G. Coffman, R. L. Rivest, Orthogonal packings in two
//! dimensions, 1980; for polygons K. A. Dowsland, S. Vaid, W. B. Dowsland, An algorithm for polygon
//! placement using a bottom-left strategy, 2002; from memory) with left in the place of bottom. A
//! piece is tried at every height at which it would sit in a seat of one that lies there, and slid
//! in from the left through the gaps between forbidden stretches.
//!
//! For n pieces placed with s seats each, one more costs O(n s) heights of O(n) slices: O(n^2 s)
//! slices at worst, bounded by a number of slices in all.

use super::field::{Field, RotatedPiece, area, upright_angles};
use super::no_fit_slice::NoFitSlicer;
use super::orientation::corners;
use super::problem::{KEPT_OFF_MM, Piece, Placed};
use crate::geometry::{Bounds, Point, Vector, tolerance::COINCIDENT_MM};
use oorandom::Rand64;
use std::collections::BTreeMap;

/// A field being filled.
pub(super) struct LeftFill<'a> {
    field: &'a Field,
    pieces: &'a [Piece],
    shapes: Vec<RotatedPiece>,
    /// What each shape keeps from others: the spacing, or next to nothing for what is kept out.
    spacings: Vec<f64>,
    /// How shape and shape meet. A tree, not a hash table: nothing may hang on its order, and so
    /// nothing can.
    meetings: BTreeMap<(usize, usize), Meeting>,
    placed: Vec<(usize, Vector)>,
    /// Slices that may still be looked at.
    slices: usize,
    random: Option<Rand64>,
    varies: Varies,
}

/// What chance decides on when a field is filled again.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Varies {
    Angles,
    AnglesAndPlaces,
}

/// How one shape meets another.
struct Meeting {
    slicer: NoFitSlicer,
    heights: (f64, f64),
    /// The heights at which the second sits in the first.
    seats: Vec<f64>,
}

impl Meeting {
    fn new(a: &[Point], b: &[Point], spacing: f64) -> Self {
        // A hair less than the spacing, so that what touches at the spacing is not taken to be in
        // the way.
        let hair_less = (spacing - COINCIDENT_MM / 2.0).max(COINCIDENT_MM / 4.0);
        let slicer = NoFitSlicer::along_x(a, b, hair_less);
        // Seats from all four sides: b slid in from the right and the left, from above and below.
        let seats_x = |a, b| NoFitSlicer::along_x(a, b, spacing).seats();
        let seats_y = |a, b| NoFitSlicer::along_y(a, b, spacing).seats();
        let mut seats: Vec<f64> = seats_x(a, b).iter().map(|s| s.0).collect();
        seats.extend(seats_x(b, a).iter().map(|s| -s.0));
        seats.extend(seats_y(a, b).iter().map(|s| s.1));
        seats.extend(seats_y(b, a).iter().map(|s| -s.1));
        seats.sort_by(f64::total_cmp);
        seats.dedup_by(|a, b| *a - *b < SAME_SEAT_MM);
        Self { heights: slicer.heights(), slicer, seats }
    }
}

/// Seats whose heights differ by less are one, in mm.
const SAME_SEAT_MM: f64 = 1e-6;

impl<'a> LeftFill<'a> {
    /// A field with some pieces on it already; at most so many slices of no-fit polygons are looked
    /// at.
    pub(super) fn new(
        pieces: &'a [Piece],
        field: &'a Field,
        lying: &[Placed],
        slices: usize,
    ) -> Self {
        let mut fill = LeftFill {
            field,
            pieces,
            shapes: Vec::new(),
            spacings: Vec::new(),
            meetings: BTreeMap::new(),
            placed: Vec::new(),
            slices,
            random: None,
            varies: Varies::Angles,
        };
        // What is kept out comes first, so that emptying the field is a truncation.
        for kept in &field.keep_out {
            if let Some(shape) = RotatedPiece::new(usize::MAX, &corners(*kept), 0.0) {
                fill.shapes.push(shape);
                fill.spacings.push(KEPT_OFF_MM);
                fill.placed.push((fill.shapes.len() - 1, Vector::zeros()));
            }
        }
        for one in lying {
            if let Some(shape) = fill.shape(one.piece, one.placement.rotation.angle()) {
                fill.placed.push((shape, one.placement.translation.vector));
            }
        }
        fill
    }

    /// Whether no more may be looked at.
    pub(super) fn is_spent(&self) -> bool {
        self.slices == 0
    }

    /// An empty field again, to be filled by other choices: among angles, with an odd seed among
    /// places too.
    pub(super) fn empty_again(&mut self, seed: u64) {
        self.placed.truncate(self.field.keep_out.len());
        self.varies = if seed % 2 == 1 { Varies::AnglesAndPlaces } else { Varies::Angles };
        self.random = Some(Rand64::new(u128::from(seed)));
    }

    /// Adds pieces, the largest kind first, no more of each than `left` says, turned by `turn`
    /// radians against their own angles, until none fits or enough was looked at; what was added,
    /// in order.
    pub(super) fn fill(&mut self, left: &[usize], turn: f64) -> Vec<Placed> {
        let mut added = Vec::new();
        for kind in self.by_size(left) {
            let angles = upright_angles(self.pieces[kind].rotations).iter().map(|a| a + turn);
            let shapes: Vec<usize> = angles.filter_map(|a| self.shape(kind, a)).collect();
            for _ in 0..left[kind] {
                let Some(best) = self.best_place(&shapes) else { break };
                self.placed.push(best);
                added.push(self.shapes[best.0].placed(best.1));
            }
        }
        added
    }

    /// The kinds of which some are left, the largest first: small ones find gaps between large.
    fn by_size(&self, left: &[usize]) -> Vec<usize> {
        let is_left = |kind: &usize| left.get(*kind).is_some_and(|n| *n > 0);
        let size = |kind: usize| area(&self.pieces[kind].outline);
        let mut kinds: Vec<usize> = (0..self.pieces.len()).filter(is_left).collect();
        kinds.sort_by(|a, b| size(*b).total_cmp(&size(*a)));
        kinds
    }

    /// Of the leftmost place of each shape the one whose right end is furthest left, give or take
    /// what chance adds.
    fn best_place(&mut self, shapes: &[usize]) -> Option<(usize, Vector)> {
        // All shapes are placed before any is ranked: chance is asked in a fixed order.
        let mut places = Vec::new();
        for shape in shapes {
            if let Some(at) = self.leftmost(*shape) {
                places.push((*shape, at));
            }
        }
        let mut ranked = Vec::new();
        for place in places {
            let end = place.1.x + self.shapes[place.0].bounds.max.x;
            ranked.push((end + self.noise(place.0), place));
        }
        ranked.into_iter().min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, place)| place)
    }

    /// What a place is taken to be further right than it is, so that another angle may be chosen:
    /// up to half the piece. More would choose angles without sense, less none but near ties.
    fn noise(&mut self, shape: usize) -> f64 {
        let half = self.shapes[shape].bounds.width() / 2.0;
        self.random.as_mut().map_or(0.0, |random| half * random.rand_float())
    }

    /// The number of the shape of this piece at this angle.
    fn shape(&mut self, piece: usize, angle: f64) -> Option<usize> {
        // Turns are sums of a few angles: equal ones may differ by rounding, and each shape costs
        // slicers against all others.
        let is_same =
            |s: &RotatedPiece| s.piece == piece && (s.angle - angle).abs() < COINCIDENT_MM;
        if let Some(known) = self.shapes.iter().position(is_same) {
            return Some(known);
        }
        self.shapes.push(RotatedPiece::new(piece, &self.pieces.get(piece)?.outline, angle)?);
        self.spacings.push(self.field.spacing);
        Some(self.shapes.len() - 1)
    }

    /// The place of a shape furthest left among the heights where it touches something.
    fn leftmost(&mut self, shape: usize) -> Option<Vector> {
        let room = self.shapes[shape].inner_fit(self.field.usable)?;
        let mut best: Option<(f64, Vector)> = None;
        for y in self.heights(shape, room) {
            // Further right than the best so far is of no use: slices are saved.
            let limit = best.map_or(room.max.x, |b| b.0.min(room.max.x));
            let Some(x) = self.first_free(shape, y, room, limit) else { continue };
            let rank = match self.varies {
                Varies::Angles => x,
                Varies::AnglesAndPlaces => x + self.noise(shape),
            };
            // Better by more than rounding, else the lower height: ties must not hang on the last
            // bit.
            if best.is_none_or(|b| rank < b.0 - COINCIDENT_MM) {
                best = Some((rank, Vector::new(x, y)));
            }
        }
        best.map(|b| b.1)
    }

    /// The heights at which a shape lies at the bottom or the top, or sits in something, rising.
    fn heights(&mut self, shape: usize, room: Bounds) -> Vec<f64> {
        for i in 0..self.placed.len() {
            self.meet(self.placed[i].0, shape);
        }
        let mut heights = vec![room.min.y, room.max.y];
        for (other, at) in &self.placed {
            heights.extend(self.meetings[&(*other, shape)].seats.iter().map(|y| y + at.y));
        }
        // Seats outside of the field are no places.
        heights.retain(|y| (room.min.y..=room.max.y).contains(y));
        heights.sort_by(f64::total_cmp);
        heights.dedup_by(|a, b| *a - *b < COINCIDENT_MM);
        heights
    }

    /// The first x at a height, not above `limit`, where a shape is clear of everything.
    fn first_free(&mut self, shape: usize, y: f64, room: Bounds, limit: f64) -> Option<f64> {
        let mut taken: Vec<(f64, f64)> = Vec::new();
        for (other, at) in &self.placed {
            let meeting = &self.meetings[&(*other, shape)];
            let up = y - at.y;
            if meeting.heights.0 < up && up < meeting.heights.1 {
                // Spent, every height reads as taken: the fill ends as if nothing fitted.
                self.slices = self.slices.checked_sub(1)?;
                let forbidden = meeting.slicer.forbidden(up);
                taken.extend(forbidden.iter().map(|i| (i.0 + at.x, i.1 + at.x)));
            }
        }
        taken.sort_by(|a, b| a.0.total_cmp(&b.0));
        // The stretches are by their low ends: the first that begins beyond x leaves x free. At its
        // low end a stretch is open, so x may lie just there.
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
        if !self.meetings.contains_key(&(fixed, moved)) {
            let (a, b) = (&self.shapes[fixed].points, &self.shapes[moved].points);
            let meeting = Meeting::new(a, b, self.spacings[fixed]);
            self.meetings.insert((fixed, moved), meeting);
        }
    }
}
